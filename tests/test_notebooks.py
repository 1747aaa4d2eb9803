"""The notebooks are stories of few small cells, stored as the demo shop shows them."""

import re
from pathlib import Path

import nbformat
import pytest

NOTEBOOKS = sorted((Path(__file__).parents[1] / "notebooks").glob("*.ipynb"))

MOST_CELLS, MOST_LINES = 25, 12
RULES = re.compile(r"^\s*(def|class|for|while|if|try|lambda)\b|[^=!<>]=\s*[^=].*[*/]\s")
"""What would be a rule of pricing in a notebook: it belongs in the package."""


@pytest.fixture(params=NOTEBOOKS, ids=lambda path: path.stem)
def notebook(request):
    """Each notebook."""
    return nbformat.read(request.param, as_version=4)


def code(notebook):
    """Its code cells."""
    return [cell for cell in notebook.cells if cell.cell_type == "code"]


def test_there_are_notebooks():
    """Or all that follows would be empty."""
    assert {path.stem for path in NOTEBOOKS} >= {"0-start", "1-price-list", "7-own-shop"}


def test_every_code_cell_has_stored_outputs(notebook):
    """The check of a cell that has none would pass whatever it shows."""
    silent = [
        cell.source
        for cell in code(notebook)
        if not cell.outputs and not re.fullmatch(r"(#.*\n)?((from|import) .*\n?)+", cell.source)
    ]
    assert silent == []


def test_no_cell_failed(notebook):
    """Stored outputs come from a run without an error, and without warnings."""
    kinds = [(out.output_type, out.get("name")) for cell in code(notebook) for out in cell.outputs]
    assert not [kind for kind in kinds if kind[0] == "error" or kind[1] == "stderr"]


def test_cells_ran_once_from_top_to_bottom(notebook):
    """Counted from 1 without a gap."""
    counts = [cell.execution_count for cell in code(notebook)]
    assert counts == list(range(1, len(counts) + 1))


def test_cells_are_few_and_short(notebook):
    """A page, not a program."""
    assert len(notebook.cells) <= MOST_CELLS
    assert max(len(cell.source.splitlines()) for cell in code(notebook)) <= MOST_LINES


def test_cells_begin_with_a_friendly_comment(notebook):
    """It is what a hidden cell still shows."""
    assert all(re.match(r"# [A-Z0-9]", cell.source) for cell in code(notebook))


def test_cells_hold_no_rules(notebook):
    """They call and show; only a check may go through several cases."""
    ruled = [
        line
        for cell in code(notebook)
        if "check" not in cell.metadata.get("tags", [])
        for line in cell.source.splitlines()
        if RULES.search(line)
    ]
    assert ruled == []


def test_a_notebook_begins_with_its_question(notebook):
    """In words, before anything is calculated."""
    first = notebook.cells[0]
    assert first.cell_type == "markdown"
    assert re.match(r"# .*\?$", first.source.splitlines()[0])


def test_a_notebook_tells_what_it_means_and_what_to_do(notebook):
    """After the picture."""
    said = "\n".join(cell.source for cell in notebook.cells if cell.cell_type == "markdown")
    assert "## What this means" in said
    assert re.search(r"^## (What to do|Where to go)", said, re.MULTILINE)


def test_a_notebook_runs_when_it_is_opened(notebook):
    """And its checks do not hold the reader up."""
    assert notebook.metadata["pricelab"] == {"run_on_open": True}
    checks = [cell for cell in code(notebook) if "check" in cell.metadata.get("tags", [])]
    assert checks
    assert code(notebook)[-1] in checks


def test_nothing_stored_differs_from_run_to_run(notebook):
    """No ids of widgets, no times, no folder of whoever ran it."""
    stored = nbformat.writes(notebook)
    assert "widget-view" not in stored
    assert "widgets" not in notebook.metadata
    assert not re.search(r"/(home|root|tmp|work|Users)/|[A-Z]:\\\\|0x[0-9a-f]{6}", stored)
    assert not any("execution" in cell.metadata for cell in notebook.cells)


def test_outputs_come_from_the_demo_shop(notebook):
    """Its name, or its notice, or its money stands in what the first panel shows."""
    from pricelab.files.folders import DEMO_SHOP
    from pricelab.files.shop_folder import read_shop

    shop = read_shop(DEMO_SHOP).shop
    names = [shop.name, shop.notice, *(method.name for method in shop.methods.values())]
    shown = "".join(str(out) for cell in code(notebook) for out in cell.outputs)
    assert any(name in shown for name in names)


def test_pictures_can_be_read_by_those_who_do_not_see_them(notebook):
    """Every picture has a title and a description."""
    shown = "".join(
        "".join(out.get("data", {}).get("text/html", ""))
        for c in code(notebook)
        for out in c.outputs
    )
    assert shown.count("<svg") == shown.count("<title") == shown.count("<desc")


def test_the_text_of_a_page_holds_no_mathematics_by_accident(notebook):
    """Two dollar signs in a line are taken for a formula."""
    for cell in notebook.cells:
        if cell.cell_type == "markdown":
            assert not re.search(r"\$[^$\n]*\$", cell.source)


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_links_lead_to_notebooks_that_will_be_there(path):
    """By the names of the workbook."""
    known = {
        "0-start", "1-price-list", "2-quantity-breaks", "3-methods", "4-break-even", "5-buying",
        "6-finished-jobs", "7-own-shop",
    }  # fmt: skip
    for link in re.findall(r"\]\(([^)]+)\.ipynb\)", path.read_text("utf-8")):
        assert link in known
