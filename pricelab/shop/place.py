"""Where a figure stands in the files of the shop."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Place:
    """Where a figure stands in the shop's own files; `row` is the spreadsheet's row number."""

    file: str
    row: int | None = None
    column: str | None = None

    def __str__(self):
        where = [self.file]
        if self.row is not None:
            where.append(f"row {self.row}")
        if self.column is not None:
            where.append(f'column "{self.column}"')
        return ", ".join(where)


@dataclass(frozen=True)
class Sheet:
    """The file a grid was read from: its rows by band and its columns by break.

    A file in `long` form has the prices of one band in one column, a row for each break.
    """

    file: str
    rows: tuple[int, ...]
    columns: tuple[str, ...]
    long: bool = False

    def place(self, band: int, break_: int) -> Place:
        """File, row and column of one price."""
        row, column = (break_, 0) if self.long else (band, break_)
        return Place(self.file, self.rows[row], self.columns[column])
