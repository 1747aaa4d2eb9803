"""From data to a PDF page, by the templates that lie beside this module.

The data reach a template as JSON, never as markup, so that no name in a shop's files can
be taken for an instruction. The same data give the same bytes.
"""

import json
from importlib.util import find_spec
from pathlib import Path

from pricelab.shop.errors import PricelabError

TEMPLATES = Path(__file__).parent

_OWN_LETTERS = "\u0530"
"""Latin, Greek and Cyrillic come before it: the fonts that are always there have them."""

_SIGNS = range(0x2000, 0x2C00)  # dashes, currency signs, fractions, arrows


def typeset(template: str, data: dict) -> bytes:
    """The PDF that `template` makes of `data`."""
    import typst

    try:
        return typst.compile(
            TEMPLATES / template,
            root=TEMPLATES,
            font_paths=[_fonts()],
            ignore_system_fonts=_spelled_with_own_letters(data),
            sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
            pdf_standards=["ua-1"],  # tagged, titled: a screen reader can read it
        )
    except typst.TypstError as error:
        raise PricelabError(
            f"The page could not be set ({error}). Shorten the names and conditions in your files."
        ) from None


def _fonts() -> Path:
    """The DejaVu fonts that come with matplotlib, found without importing it."""
    package = find_spec("matplotlib").submodule_search_locations[0]
    return Path(package) / "mpl-data" / "fonts" / "ttf"


def _spelled_with_own_letters(data: dict) -> bool:
    """Whether no letter of `data` needs a font of the machine's own."""
    text = json.dumps(data, ensure_ascii=False)
    return all(letter < _OWN_LETTERS or ord(letter) in _SIGNS for letter in text)
