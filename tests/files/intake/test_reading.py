"""Suppliers' sheets of our own making, each read and held against a grid written by hand."""

import contextlib
import io
import re
import time
import zipfile
from collections import Counter
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook
from openpyxl.styles import Font

from pricelab.files.grid_file import read_grid
from pricelab.files.intake.reading import Pasted, read_pasted, read_sheet_file
from pricelab.files.printed import parse_band, parse_break
from pricelab.files.save_grid import NewGrid
from pricelab.shop.errors import PricelabError
from pricelab.shop.grids import PER_PIECE

SHEETS = Path(__file__).parents[2] / "sheets"
PATHS = sorted(path for path in SHEETS.iterdir() if path.suffix not in (".grid", ".md"))
NOTHING = "nothing"

RIGHT, DOUBTED, TIMID, WRONG = "right", "rightly doubted", "doubted though clear", "silently wrong"


def spreadsheet(text: str) -> bytes:
    """An XLSX file of tab-separated cells: figures as figures, days as days, ~4.10 struck out."""
    book = Workbook()
    for row, line in enumerate(text.splitlines(), 1):
        for column, cell in enumerate(line.split("\t"), 1):
            book.active.cell(row, column, typed(cell.lstrip("~")))
            book.active.cell(row, column).font = Font(strike=cell.startswith("~"))
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def typed(cell: str):
    """A cell as a spreadsheet keeps it."""
    for kind in (date.fromisoformat, float):
        try:
            return kind(cell)
        except ValueError:
            continue
    return cell or None


def read(path: Path) -> Pasted | None:
    """What is read off a sheet; None where the reader says that there is no grid."""
    try:
        if path.suffix == ".cells":
            return read_sheet_file("sheet.xlsx", spreadsheet(path.read_text("utf-8")))
        if path.suffix == ".txt":
            return read_pasted(path.read_text("utf-8"))
        return read_sheet_file(path.name, path.read_bytes())
    except PricelabError:
        return None


def expected(path: Path) -> list[tuple[str, list[list[str]]]]:
    """The grids written by hand beside a sheet: measure, unit, what prices are for; the cells.

    `?` is a cell that cannot be known from the sheet, `12?` one that must be doubted.
    """
    grids = []
    for part in path.with_suffix(".grid").read_text("utf-8").strip().split("\n\n"):
        heading, *rows = part.splitlines()
        if heading != NOTHING:
            grids.append((heading, [[cell.strip() for cell in row.split("|")] for row in rows]))
    return grids


def same(text: str, wanted: str, row: int, column: int) -> bool:
    """Whether a cell as read is the one written by hand: a quantity, an upper end or a price."""
    if not text:
        return False
    if row == 0:
        return parse_break(text, ".").start == int(wanted)
    if column == 0:
        return text == wanted or parse_band(text, ".").upper == parse_band(wanted, ".").upper
    return Decimal(text) == Decimal(wanted)


def judge(path: Path) -> Counter:
    """How the cells of a sheet were read."""
    judged: Counter = Counter()
    pasted, wanted = read(path), expected(path)
    readings = pasted.readings if pasted else ()
    for at in range(max(len(readings), len(wanted))):
        cells = readings[at].cells if at < len(readings) else ()
        doubts = readings[at].doubtful() if at < len(readings) else set()
        grid = wanted[at][1] if at < len(wanted) else []
        for row in range(max(len(cells), len(grid))):
            width = max(len(cells[row]) if cells else 0, len(grid[row]) if row < len(grid) else 0)
            for column in range(width):
                if row == column == 0:
                    continue
                text = cells[row][column] if row < len(cells) and column < len(cells[0]) else ""
                inside = row < len(grid) and column < len(grid[row])
                hand = grid[row][column] if inside else "?"
                doubted = (row, column) in doubts
                if hand.endswith("?"):
                    kind = DOUBTED if doubted else WRONG
                elif doubted:
                    kind = TIMID
                else:
                    kind = RIGHT if same(text, hand, row, column) else WRONG
                judged[kind] += 1
    return judged


JUDGED = {path.name: judge(path) for path in PATHS}
"""The count of every sheet, made once."""


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_no_cell_of_a_sheet_is_silently_wrong(path):
    """Each is as written by hand, or doubted."""
    assert JUDGED[path.name][WRONG] == 0


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_measure_and_unit_are_read_where_the_sheet_says_them(path):
    """And left to the owner where it does not."""
    pasted = read(path)
    said = [
        f"{reading.measure.value if reading.measure else '?'} | "
        f"{reading.unit or ('none' if reading.measure and not reading.measure.has_unit else '?')}"
        f"{f' | {reading.per}' if reading.per != PER_PIECE else ''}"
        f"{f' | packs of {reading.pack}' if reading.pack > 1 else ''}"
        for reading in (pasted.readings if pasted else ())
    ]
    assert said == [heading for heading, _ in expected(path)]


def test_hardly_a_cell_is_doubted_that_is_clear_to_a_careful_reader():
    """Of some 3,600 cells on all sheets."""
    total = sum(JUDGED.values(), Counter())
    assert len(JUDGED) >= 160
    assert total[RIGHT] >= 2000
    assert total[TIMID] <= 5


def test_a_quantity_over_another_is_read_from_the_next_piece_with_a_doubt():
    """Over 11 is from 12, if the supplier means what is printed."""
    (reading,) = read_pasted("Size (in)\tOver 11\tOver 23\n2\t4.10\t3.20\n3\t5.25\t4.00").readings
    assert reading.cells[0] == ("", "12+", "24+")
    assert [doubt.cell for doubt in reading.doubts] == [(0, 1), (0, 2)]
    assert reading.doubts[0].why == "It may hold from 11 or from the next piece."


def test_prices_are_never_taken_for_sizes_that_cannot_be_read():
    """The first column has names, the next ones only prices."""
    with pytest.raises(PricelabError, match=r"^Found no price grid, "):
        read_pasted("Badge\t6 to 12?\t12-23\t24+\nfox\t4.10\t3.20\t2.70\nowl\t5.25\t4.00\t3.35")


# ---- any layout, any text ---------------------------------------------------------------


@st.composite
def printed_sheets(draw):
    """A grid of cents, and a sheet that prints it in one of the many usual ways."""
    starts = sorted(draw(st.sets(st.integers(2, 900), min_size=2, max_size=6)))
    ends = sorted(draw(st.sets(st.integers(20, 600), min_size=2, max_size=6)))
    prices = [
        [
            900 + 40 * size - 45 * quantity + draw(st.integers(0, 30))
            for quantity in range(len(starts))
        ]
        for size in range(len(ends))
    ]
    separator, mark = draw(
        st.sampled_from([("\t", "."), ("\t", ","), (";", ","), (",", "."), (" | ", "."),
                         ("   ", "."), ("   ", ","), (" ", ".")])
    )  # fmt: skip
    turned = draw(st.booleans())
    unit = draw(st.sampled_from([" in", '"', " mm"]))

    def figure(cents: int) -> str:
        return f"{cents // 100}.{cents % 100:02}".replace(".", mark)

    money = draw(st.sampled_from(["{}", "${}", "{} €", "EUR {}"]))
    up_to = draw(st.sampled_from(["up to {}", "≤ {}", "{}", "max. {}"]))
    ranged = draw(st.booleans())
    more = draw(st.sampled_from(["{}+", "{} or more", "{} pcs"]))
    bands = [
        f"{figure(ends[at - 1] + 1)}-{figure(end)}{unit}" if at and ranged
        else up_to.format(f"{figure(end)}{unit}")
        for at, end in enumerate(ends)
    ]  # fmt: skip
    breaks = [
        f"{start}-{starts[at + 1] - 1}" if ranged and at + 1 < len(starts) else more.format(start)
        for at, start in enumerate(starts)
    ]
    table = [["Size", *breaks]]
    table += [
        [band, *map(money.format, map(figure, row))]
        for band, row in zip(bands, prices, strict=True)
    ]
    if turned:
        table = [list(column) for column in zip(*table, strict=True)]
        table[0][0] = "Quantity"
    lines = [separator.join(row) for row in table]
    above = draw(st.sampled_from([[], ["Our prices"], ["Our prices 2026", ""]]))
    below = draw(st.sampled_from([[], ["", "Set-up $40"], ["Prices before tax, valid 60 days."]]))
    return starts, ends, prices, "\n".join([*above, *lines, *below])


@settings(max_examples=150, deadline=None, derandomize=True)
@given(printed_sheets())
def test_a_grid_in_any_usual_layout_is_read_as_it_was(sheet):
    """Whatever is read without a doubt is what was printed; nearly all of it is read."""
    starts, ends, prices, text = sheet
    (reading,) = read_pasted(text).readings
    wanted = [["", *starts], *([end, *row] for end, row in zip(ends, prices, strict=True))]
    doubted = reading.doubtful()
    assert [len(row) for row in reading.cells] == [len(row) for row in wanted]
    for row, cells in enumerate(reading.cells):
        for column, cell in enumerate(cells):
            if (row or column) and (row, column) not in doubted:
                hand = wanted[row][column]
                assert same(cell, str(hand if row == 0 else Decimal(hand) / 100), row, column)


FIGURE = re.compile(r"[0-9]+[.,][0-9]{2}")
SPOILS = st.sampled_from(["", "{0} {0}", "{0}*", "O", "call", "{0}.", "({0})"])


@settings(max_examples=250, deadline=None, derandomize=True)
@given(printed_sheets(), st.integers(0), SPOILS)
def test_a_figure_lost_doubled_or_spoiled_leaves_no_price_in_a_wrong_place(sheet, at, spoil):
    """Whatever is read without a doubt stands at the size and quantity it was printed for."""
    starts, ends, prices, text = sheet
    figures = list(FIGURE.finditer(text))
    found = figures[at % len(figures)]
    said = found[0].replace("0", "O", 1) if spoil == "O" else spoil.format(found[0])
    try:
        (reading, *_) = read_pasted(text[: found.start()] + said + text[found.end() :]).readings
    except PricelabError:
        return
    doubted, cells = reading.doubtful(), reading.cells
    for row in range(1, len(cells)):
        for column in range(1, len(cells[0])):
            if not doubted & {(row, column), (row, 0), (0, column)}:
                end = parse_band(cells[row][0], ".").upper * 100
                start = parse_break(cells[0][column], ".").start
                wanted = prices[ends.index(end)][starts.index(start)]
                assert Decimal(cells[row][column]) * 100 == wanted


TEXTS = [path.read_text("utf-8") for path in PATHS]
BITS = st.sampled_from(
    ["12-23", "24+", "48 or more", 'up to 2"', "2.01-2.50", "$4.10", "4,10 €", "1,234", "call",
     "\t", "  ", "|", ";", ",", "\n", "\n\n", "Size", "Qty", "-", "–", "1/2", "½", "1 gross",
     "6k-7k", "mm", '"', "0", "1/0", "9" * 30, "٣", "²", "~~", "\0", "\ufeff", "per dozen",
     "set-up $40", "min 24"]
)  # fmt: skip
TANGLES = st.lists(BITS, max_size=4_000).map(lambda bits: "".join(bits)[:20_000])
REPEATED = st.builds(lambda bit, times: (bit * times)[:20_000], BITS, st.integers(1, 20_000))


@st.composite
def damaged_sheets(draw):
    """A sheet with some places overwritten."""
    text = draw(st.sampled_from(TEXTS)) * draw(st.sampled_from([1, 1, 1, 20]))
    for _ in range(draw(st.integers(1, 8))):
        at, gone = draw(st.integers(0, len(text))), draw(st.integers(0, 10))
        text = text[:at] + draw(BITS) + text[at + gone :]
    return text[:20_000]


def stands_in(price: str, text: str) -> bool:
    """Whether a price is a whole figure of the text, with a point or a comma."""
    figure = re.escape(price).replace(r"\.", "[.,]")
    return re.search(rf"(?<![0-9]){figure}(?![0-9])", text) is not None


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.text(max_size=200) | TANGLES | REPEATED | damaged_sheets())
def test_any_text_gives_grids_or_one_sentence_and_no_price_that_is_not_in_it(text):
    """In under a second."""
    began = time.process_time()
    readings, refused = (), ""
    try:
        readings = read_pasted(text).readings
    except PricelabError as error:
        refused = str(error)
    assert readings or re.fullmatch(r"Found [^\n]+, expected [^\n]+\. [^\n]+\.", refused)
    assert time.process_time() - began < 1
    for reading in readings:
        prices = [cell for row in reading.cells[1:] for cell in row[1:] if cell]
        assert all(stands_in(price, text) for price in prices)
        empty = {(r, c) for r, row in enumerate(reading.cells) for c, x in enumerate(row) if not x}
        assert empty - {(0, 0)} <= reading.doubtful()


OWN_GRIDS = sorted((Path(__file__).parents[3] / "data").glob("*/grids/*.*"))


@pytest.mark.parametrize("path", OWN_GRIDS, ids=lambda path: path.stem)
def test_a_grid_of_the_demo_shops_is_read_as_the_shop_reads_it(path):
    """Our own form is a supplier's sheet like others."""
    (reading,) = read_sheet_file(path.name, path.read_bytes()).readings
    grid, _ = read_grid(path)
    assert reading.doubts == ()
    read, _ = NewGrid(
        reading.cells, reading.measure, reading.unit, reading.per, reading.pack
    ).check()
    for name in ("measure", "unit", "per", "pack"):
        assert getattr(read, name) == getattr(grid, name)
    for name in ("bands", "breaks", "prices"):
        assert getattr(read, name).tolist() == getattr(grid, name).tolist()


# ---- files --------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["prices.png", "Prices.PDF", "sheet.xls"])
def test_a_file_of_another_kind_is_told_what_to_do_with(name):
    told = (
        f'Found "{name}", expected a CSV, text or XLSX file. Open it, copy the table in it and '
        "paste it; type off one that is a picture."
    )
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        read_sheet_file(name, b"\x89PNG")


BOOK = spreadsheet((SHEETS / "60-title-and-blank-column.cells").read_text("utf-8"))


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.integers(0, len(BOOK) - 1), st.binary(min_size=1, max_size=40))
def test_a_damaged_spreadsheet_is_read_or_refused(at, damage):
    """Never more than a sentence."""
    try:
        pasted = read_sheet_file("a.xlsx", BOOK[:at] + damage + BOOK[at + len(damage) :])
    except PricelabError as error:
        refused = str(error)
    else:
        refused = "" if pasted.readings else "nothing."
    assert refused == "" or refused.endswith(".")


@pytest.mark.parametrize("name", ["a.csv", "a.xlsx"])
@settings(max_examples=60, deadline=None, derandomize=True)
@given(content=st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(name, content):
    """As from a wrong file."""
    with contextlib.suppress(PricelabError):
        assert read_sheet_file(name, content).readings


def test_a_spreadsheet_that_unpacks_to_far_more_is_refused_unread():
    """Four million letters in a file of some thousand."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr("xl/worksheets/sheet1.xml", " " * 4_000_000)
    assert len(file.getvalue()) < 10_000
    with pytest.raises(PricelabError, match=r"^Found a file of 4\.0 MB, expected .*\.$"):
        read_sheet_file("a.xlsx", file.getvalue())


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("a.csv", b"\xff\xfe", 'Found letters in "a.csv" that are not UTF-8, expected a CSV or '
         'XLSX file. Save it from the spreadsheet as "CSV UTF-8".'),
        ("a.txt", b"1\n" * 400, "Found 800 letters in 401 lines, expected a price sheet of up to "
         "300 lines. Paste the table alone."),
        ("a.txt", b"a\0b", "Found signs that are no text, expected a table. Paste it as text."),
        ("a.txt", b"Dear customer", "Found no price grid, expected a row of quantities such as "
         "12–23, 24+ with a row of prices for each size under it, or the other way round. Paste "
         "the table with its header."),
    ],
)  # fmt: skip
def test_what_holds_no_table_is_refused_in_a_sentence(name, content, said):
    """With what would do."""
    with pytest.raises(PricelabError, match=f"^{re.escape(said)}$"):
        read_sheet_file(name, content)
