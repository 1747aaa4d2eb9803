"""Edits that are not saved yet, kept beside the tables: no crash and no closed tab loses them."""

import json
from contextlib import suppress
from dataclasses import replace
from hashlib import sha256

from pricelab.files.csv_sheet import CsvSheet
from pricelab.files.edits import EDITABLE, Edits
from pricelab.files.saving import held, save_together, told
from pricelab.shop.errors import PricelabError

FILE = "unsaved.json"


def keep_unsaved(edits: Edits) -> None:
    """Keep what is not saved yet, and what each file held when it was begun; none, no file."""
    path = edits.folder / FILE
    kept = {
        table: {"edited": content.decode(), "of": _of(edits.seen.get(table))}
        for table, content in edits.contents().items()
    }
    if kept:
        save_together(edits.folder, {FILE: json.dumps(kept, ensure_ascii=False).encode()})
    else:
        with told(path):
            path.unlink(missing_ok=True)


def with_unsaved(edits: Edits) -> tuple[Edits, tuple[str, ...]]:
    """The edits with those that were kept, and the tables whose file is another by now.

    What was kept for such a table is left out; the file of what was kept stays until the
    next change.
    """
    sheets, stale = {}, []
    for table, kept in _kept(edits).items():
        if table in edits.locked or _of(edits.seen.get(table)) != kept["of"]:
            stale.append(table)
        else:
            sheets[table] = CsvSheet.of(kept["edited"].encode())
    after = replace(edits, sheets={**edits.sheets, **sheets}) if sheets else edits
    return after, tuple(stale)


def _kept(edits: Edits) -> dict[str, dict[str, str]]:
    """What was kept; nothing where the file is damaged or not of this form."""
    with suppress(PricelabError, ValueError, KeyError, AttributeError, TypeError):
        kept = json.loads(held(edits.folder / FILE) or b"{}")
        return {
            table: {"edited": str(one["edited"]), "of": str(one["of"])}
            for table, one in kept.items()
            if table in EDITABLE
        }
    return {}


def _of(content: bytes | None) -> str:
    return "" if content is None else sha256(content).hexdigest()
