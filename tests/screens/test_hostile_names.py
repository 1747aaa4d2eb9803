"""A shop whose every name is markup, a formula or a command: shown as text everywhere."""

import csv
import io
import re
import subprocess
from datetime import date
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest
from fuzzing.panels import make_panel, panel_kinds, widgets_of
from hostile_names import NAMES, hostile_shop
from openpyxl import load_workbook
from programs import program_or_skip

from pricelab.files.folders import SHOPS_VARIABLE
from pricelab.lists.audit import audit
from pricelab.lists.typical_quantity import weights_of
from pricelab.paper.client_copy import ClientCopy
from pricelab.paper.list_csv import list_csv
from pricelab.paper.list_pdf import list_pdf
from pricelab.paper.list_xlsx import list_xlsx
from pricelab.paper.workings import workings_xlsx

ON = date(2026, 11, 25)
FOREIGN = {"script", "img", "iframe", "object", "embed", "form", "input", "link", "meta", "base"}
"""Elements that no panel has."""


class Page(HTMLParser):
    """The elements, attributes and text of a page."""

    def __init__(self, html: str):
        super().__init__()
        self.elements, self.wild, self.said = set(), [], []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.elements.add(tag)
        self.wild += [
            (name, value)
            for name, value in attrs
            if name.startswith("on") or "javascript:" in (value or "")
        ]

    def handle_data(self, data):
        self.said.append(data)

    def handle_comment(self, data):
        self.wild.append(("comment", data))


@pytest.mark.parametrize("kind_of_name", ["script", "entity", "maths"])
def test_a_name_is_text_on_every_panel(kind_of_name, tmp_path, monkeypatch):
    """No element, attribute or comment of its making; and it is read somewhere as it is."""
    monkeypatch.setenv(SHOPS_VARIABLE, str(tmp_path / "shops"))
    name = NAMES[kind_of_name]
    hostile_shop(tmp_path / "shop", name)
    shown = ""
    for kind in panel_kinds().values():
        panel = make_panel(kind, tmp_path / "shop")
        boxes = widgets_of(panel.root)
        html = "".join(box.value for box in boxes if type(box).__name__ == "HTML")
        page = Page(html)
        assert not page.elements & FOREIGN, kind.__name__
        assert page.wild == [], kind.__name__
        shown += " ".join("".join(page.said).split())
        for svg in re.findall(r"<svg.*?</svg>", html, re.DOTALL):
            shown += "".join(ElementTree.fromstring(svg).itertext())
    assert shown.count(name) >= 10


def test_the_search_finds_what_is_not_text():
    """A page with a foreign element, a handler and a comment."""
    page = Page("<p>a<script>x</script><b onclick='x'><!-- c --></p>")
    assert page.elements == {"p", "script", "b"}
    assert page.wild == [("onclick", "x"), ("comment", " c ")]


@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES)
def test_a_name_is_text_in_everything_handed_over(name, tmp_path):
    """In the PDF to the letter; in CSV and XLSX behind an apostrophe where it starts a formula."""
    folder = hostile_shop(tmp_path / "shop", name)
    listed = folder.price_lists[0]
    copy = ClientCopy.of(folder.shop, listed, ON)
    safe = f"'{name}" if name[0] in "=+-@" else name
    cells = [cell for row in csv.reader(io.StringIO(list_csv(copy).decode())) for cell in row]
    assert any(name in cell for cell in cells)
    assert not [cell for cell in cells if cell.startswith(("=", "+", "@", "\t", "\r"))]
    workings = workings_xlsx(
        folder.shop, audit(folder.shop, listed, weights_of(folder, listed)), ON
    )
    for content in (list_xlsx(copy), workings):
        book = load_workbook(io.BytesIO(content))
        held = [cell for sheet in book for row in sheet for cell in row if cell.value is not None]
        assert any(safe in str(cell.value) for cell in held)
        assert not any(name in str(cell.value) for cell in held if cell.data_type == "f")
    (tmp_path / "list.pdf").write_bytes(list_pdf(copy))
    reader = program_or_skip("pdftotext", "pdftotext")
    said = subprocess.run(
        [reader, "-raw", tmp_path / "list.pdf", "-"], capture_output=True, check=True, timeout=60
    ).stdout.decode()
    assert "".join(name.split()) in "".join(said.replace("\u200b", "").split())
