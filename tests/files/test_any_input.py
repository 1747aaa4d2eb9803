"""Whatever stands in a file, the reader answers with the shop or with faults that name the file."""

import tempfile
from pathlib import Path

from cornershop import CORNER_SHOP, CornerShop
from hypothesis import example, given, settings
from hypothesis import strategies as st

from pricelab.files.faults import ShopFaults

QUICK = settings(max_examples=100, deadline=None, derandomize=True)

TRICKY = st.sampled_from(
    ["", "0", "-1", "1e9", "nan", "inf", "1/0", "0/1", "2 1/0", "٣", "½", "9" * 400, "2" * 12, "%",
     "0 %", "100 %", "-", "–", "1–", "+", "12+", "any", "yes", "#", '"', "../x", "con", "a/b", "\\",
     "\u00a0", "2026-13-01", "0001-01-01", "9999-12-31", "first", "leather", "24", "0.0001", "{0}"]
)  # fmt: skip
CELLS = TRICKY | st.text(max_size=12)
FILES = st.sampled_from(sorted(CORNER_SHOP))


def read_with(file: str, content: str | bytes) -> None:
    """Read the small shop with one file replaced; faults must say where, anything else is wrong."""
    with tempfile.TemporaryDirectory() as folder:
        shop = CornerShop(Path(folder))
        shop.write(file, content)
        try:
            shop.read()
        except ShopFaults as refused:
            for line in str(refused).split("\n"):
                assert line.split(":")[0].split(",")[0].endswith((".csv", ".xlsx")), line
                assert line.endswith("."), line


@QUICK
@given(FILES, st.integers(0), st.integers(0), CELLS)
def test_any_text_in_any_cell_is_read_or_refused_by_name(file, row, column, text):
    """One cell of one file holds anything at all."""
    lines = CORNER_SHOP[file].splitlines()
    row %= len(lines)
    cells = lines[row].split(",")
    cells[column % len(cells)] = '"' + text.replace('"', '""') + '"'
    lines[row] = ",".join(cells)
    read_with(file, "\n".join(lines).encode("utf-8", "surrogatepass"))


@QUICK
@given(FILES, st.binary(max_size=60) | st.text(max_size=60))
@example("shop.csv", b"\xef\xbb\xbf")
@example("grids/leather.csv", "\r\n\r\n")
def test_any_bytes_for_a_file_are_read_or_refused_by_name(file, content):
    """A whole file is anything at all."""
    read_with(file, content if isinstance(content, bytes) else content.encode(errors="replace"))


@QUICK
@given(FILES, st.integers(0), st.binary(min_size=1, max_size=3))
def test_any_damage_to_a_file_is_read_or_refused_by_name(file, at, damage):
    """Some bytes of a sound file are overwritten."""
    content = bytearray(CORNER_SHOP[file].encode())
    at %= len(content)
    content[at : at + len(damage)] = damage
    read_with(file, bytes(content))
