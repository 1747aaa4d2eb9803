"""A real spreadsheet program works a file out afresh."""

import io
import subprocess
from functools import cache
from pathlib import Path

from openpyxl import load_workbook


def recalculated(program: str, folder: Path, files: dict[str, bytes], changes=None) -> dict:
    """Each workbook as `program` works it out: name → openpyxl workbook of plain values.

    The copies that it opens hold formulas without stored values, so that every figure is
    its own. `changes` maps (file, sheet, cell) to what is written there first.
    """
    bare, done = folder / "bare", folder / "done"
    bare.mkdir()
    for name, content in files.items():
        book = load_workbook(io.BytesIO(content))  # openpyxl keeps formulas, drops their values
        for (file, sheet, cell), value in (changes or {}).items():
            if file == name:
                book[sheet][cell] = value
        book.save(bare / f"{name}.xlsx")
        unworked = load_workbook(bare / f"{name}.xlsx", data_only=True)
        for sheet, row, column, _ in formulas(content):
            assert unworked[sheet].cell(row, column).value is None
    subprocess.run(
        [
            program, f"-env:UserInstallation={(folder / 'profile').as_uri()}", "--headless",
            "--convert-to", "xlsx", "--outdir", str(done),
            *(str(bare / f"{name}.xlsx") for name in files),
        ],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    return {name: load_workbook(done / f"{name}.xlsx", data_only=True) for name in files}


@cache
def formulas(content: bytes) -> list[tuple[str, int, int, object]]:
    """Sheet, row, column and stored value of every formula."""
    written, stored = (load_workbook(io.BytesIO(content), data_only=only) for only in (False, True))
    return [
        (sheet.title, cell.row, cell.column, stored[sheet.title].cell(cell.row, cell.column).value)
        for sheet in written
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f"
    ]


def disagreements(content: bytes, worked) -> list[str]:
    """Formulas whose stored value is not what the program makes of them, to 1e-9."""
    found = []
    for sheet, row, column, stored in formulas(content):
        value = worked[sheet].cell(row, column).value
        if isinstance(stored, int | float) and isinstance(value, int | float):
            same = abs(stored - value) <= 1e-9
        else:
            same = (stored or "") == (value or "")
        if not same:
            found.append(f"{sheet}, row {row}, column {column}: stored {stored}, worked {value}")
    return found
