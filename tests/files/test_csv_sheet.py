"""A CSV file whose cells can be written anew while every other letter stays."""

import csv
import io

from hypothesis import given
from hypothesis import strategies as st

from pricelab.files.csv_sheet import BOM, CsvSheet

LETTERS = st.text(st.sampled_from('ab1 .;,\t"\r\n#é帽'), max_size=6)


@st.composite
def written(draw):
    """A CSV file as any program might write it: separator, quotation marks and ends vary."""
    separator = draw(st.sampled_from(",;\t"))
    quoting = draw(st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]))
    end = draw(st.sampled_from(["\n", "\r\n", "\r"]))
    header = [f"column {at}" for at in range(draw(st.integers(2, 4)))]
    rows = draw(st.lists(st.lists(LETTERS, min_size=1, max_size=len(header)), max_size=5))
    out = io.StringIO()
    csv.writer(out, delimiter=separator, quoting=quoting, lineterminator=end).writerows(
        [header, *rows]
    )
    text = out.getvalue()
    text = draw(st.sampled_from([text, text.removesuffix(end)]))
    return draw(st.sampled_from([b"", BOM])) + text.encode()


def rows_of(content: bytes, separator: str) -> list[list[str]]:
    """The rows by Python's own reader, a blank one as one empty cell."""
    text = io.StringIO(content.decode("utf-8-sig"), newline="")
    return [row or [""] for row in csv.reader(text, delimiter=separator, strict=True)]


def plain(cells) -> list[str]:
    """Cells as they are written, without their quotation marks."""
    return [c[1:-1].replace('""', '"') if c[:1] == '"' else c for c in cells]


@given(written())
def test_a_file_comes_back_as_it_is_and_splits_as_pythons_reader_splits_it(content):
    """Letter by letter, and cell by cell."""
    sheet = CsvSheet.of(content)
    assert sheet.content == content
    assert [plain(row) for row in sheet.rows] == rows_of(content, sheet.separator)


@given(written(), st.data())
def test_a_cell_written_reads_back_and_no_other_moves(content, data):
    """Any text, in any row under the header: Python's reader finds it, and the rest as it was."""
    sheet = CsvSheet.of(content)
    row = data.draw(st.integers(0, len(sheet.rows)), label="row")
    if row in (0, len(sheet.rows)):
        sheet, row = sheet.with_row(["x"]), len(sheet.rows)
    column = data.draw(st.sampled_from([*sheet.headings, "another"]), label="column")
    text = data.draw(LETTERS, label="text")
    after = sheet.with_cell(row, column, text)
    if sheet.cell(row, column) == text:
        assert after is sheet
        return
    at = after.headings.index(column)
    for number, (old, new) in enumerate(zip(sheet.rows, after.rows, strict=True)):
        if number not in (0, row):
            assert old == new
        for place, cell in enumerate(old):
            if (number, place) != (row, at):
                assert new[place] == cell
    read = rows_of(after.content, after.separator)
    assert read[row][at] == text
    assert len(read) == len(after.rows)
    assert after.without(row).content == sheet.without(row).content or column == "another"


def test_a_row_is_added_under_the_last_with_the_ends_the_file_has():
    """The last line had none."""
    sheet = CsvSheet.of(b"a;b\r\n1;2").with_row(["x;y", ""])
    assert sheet.content == b'a;b\r\n1;2\r\n"x;y";\r\n'
