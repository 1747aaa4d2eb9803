"""A CSV file as it is written: UTF-8, its cells separated by commas, semicolons or tabs.

Read once, it serves the reader of tables and the editor alike: any cell can be written anew,
and no other letter changes.
"""

import io
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from pricelab.files.cells import trimmed
from pricelab.files.source import BadFile

BOM = b"\xef\xbb\xbf"

MOST_LINES = 2_000_000

_BLANK = ("",)
"""The cells of a blank line: one for all, since a file may hold a million of them."""


def text_of(content: bytes) -> str:
    """The text of a CSV file; `BadFile` where it is none in UTF-8."""
    try:
        text = content.decode("utf-8-sig")
        unreadable = content.find(0)
    except UnicodeDecodeError as error:
        text, unreadable = "", error.start
    if unreadable >= 0:
        raise BadFile(
            "letters that are not UTF-8",
            "a text file in UTF-8",
            'Save it from the spreadsheet as "CSV UTF-8".',
            content.count(b"\n", 0, unreadable) + 1,
        )
    return text


def separator_of(text: str) -> str:
    """What separates the cells of the header row: a semicolon, a tab or else a comma."""
    lines = (line.strip() for line in io.StringIO(text, newline=None))
    header = next((x for x in lines if x.strip(",;\t") and x.lstrip('"')[:1] != "#"), "")
    outside = re.sub(r'"[^"]*"', "", header)
    return next((sign for sign in ";\t" if sign in outside), ",")


def unquoted(cell: str) -> str:
    """What a reader sees in a cell: without its quotation marks, and trimmed."""
    return trimmed(cell[1:-1].replace('""', '"') if cell[:1] == '"' else cell)


@dataclass(frozen=True)
class CsvSheet:
    """Rows of cells with their quotation marks, as they stand, and the end of every line.

    Rows count from 0, remarks and blank ones too: a spreadsheet's number less one.
    """

    separator: str
    rows: tuple[tuple[str, ...], ...]
    ends: tuple[str, ...]
    bom: bool = False

    @classmethod
    def of(cls, content: bytes) -> "CsvSheet":
        """The sheet of a file's `content`; `BadFile`, with its row, where that is no CSV."""
        text = text_of(content)
        lines = text.count("\n") or text.count("\r")
        if lines > MOST_LINES:
            mend = "Take out the rows and blank lines that are not needed."
            raise BadFile(f"{lines:,} lines", f"up to {MOST_LINES:,}", mend)
        separator = separator_of(text)
        cell = re.compile(
            rf'("[^"]*(?:""[^"]*)*"|(?!")[^{re.escape(separator)}\r\n]*)'
            rf"({re.escape(separator)}|\r\n|\r|\n|\Z)"
        )
        rows, ends, row, at = [], [], [], 0
        for found in cell.finditer(text):
            if found.start() != at:
                break
            at = found.end()
            row.append(found[1])
            if found[2] != separator:
                if row != [""] or found[2]:
                    rows.append(tuple(row) if row != [""] else _BLANK)
                    ends.append(found[2])
                row = []
        if at < len(text):
            mend = "Close or remove the odd quotation mark."
            raise BadFile("an odd quotation mark", "them in pairs", mend, len(rows) + 1)
        return cls(separator, tuple(rows), tuple(ends), content.startswith(BOM))

    @property
    def mark(self) -> str:
        """The decimal mark that goes with the separator."""
        return "," if self.separator == ";" else "."

    @property
    def content(self) -> bytes:
        """The file."""
        lines = (
            self.separator.join(row) + end for row, end in zip(self.rows, self.ends, strict=True)
        )
        return BOM * self.bom + "".join(lines).encode("utf-8", "replace")

    @cached_property
    def head(self) -> int | None:
        """The row of the headings; None where there is none."""
        return next((at for at in range(len(self.rows)) if not self.is_remark(at)), None)

    @cached_property
    def headings(self) -> tuple[str, ...]:
        """The columns' names, on one line each."""
        if self.head is None:
            return ()
        return tuple(" ".join(unquoted(cell).split()) for cell in self.rows[self.head])

    def is_remark(self, row: int) -> bool:
        """Whether a row is skipped: empty, or a remark."""
        if self.rows[row] == _BLANK:
            return True
        cells = [unquoted(cell) for cell in self.rows[row]]
        return not any(cells) or cells[0].startswith("#")

    def cell(self, row: int, column: str) -> str:
        """What a reader sees in a cell; nothing where the row or the header ends before it."""
        at = self.headings.index(column) if column in self.headings else len(self.rows[row])
        return unquoted(self.rows[row][at]) if at < len(self.rows[row]) else ""

    def with_cell(self, row: int, column: str, text: str) -> "CsvSheet":
        """The sheet with another `text` in a cell; a column that is not there is added."""
        if self.cell(row, column) == text:
            return self
        rows, headings = list(self.rows), self.headings
        if column not in headings:
            headings = (*headings, column)
            rows[self.head] = (*rows[self.head], self._written(column))
        cells = [*rows[row], *[""] * (len(headings) - len(rows[row]))]
        cells[headings.index(column)] = self._written(text)
        rows[row] = tuple(cells)
        return replace(self, rows=tuple(rows))

    def with_row(self, texts: Sequence[str]) -> "CsvSheet":
        """The sheet with one row more at its end."""
        usual = next((end for end in self.ends if end), "\n")
        ends = [end or usual for end in self.ends]
        row = tuple(map(self._written, texts))
        return replace(self, rows=(*self.rows, row), ends=(*ends, usual))

    def without(self, row: int) -> "CsvSheet":
        """The sheet without a row."""
        rows, ends = ((*all_[:row], *all_[row + 1 :]) for all_ in (self.rows, self.ends))
        return replace(self, rows=rows, ends=ends)

    def _written(self, text: str) -> str:
        if re.search(rf'[{re.escape(self.separator)}"\r\n]', text):
            return '"' + text.replace('"', '""') + '"'
        return text
