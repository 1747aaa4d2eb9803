"""A grid printed in any form reads back as it was."""

import tempfile
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pricelab.files.faults import ShopFaults
from pricelab.files.grid_file import read_grid
from pricelab.shop.grids import PER_THOUSAND_STITCHES, Grid
from pricelab.shop.place import Place
from pricelab.shop.sizes import Measure

MEASURED = [
    (measure, unit)
    for measure in Measure
    for unit in (("in", "mm") if measure.has_unit else (None,))
    if measure is not Measure.ANY_SIZE
]


@st.composite
def printed_grids(draw):
    """A grid, exactly, and the text of a file that prints it in one of the usual ways."""
    cents = st.integers(1, 99_999)
    bands = sorted(draw(st.sets(cents, min_size=1, max_size=6)))
    breaks = sorted(draw(st.sets(st.integers(1, 9999), min_size=1, max_size=6)))
    prices = [[draw(cents) for _ in breaks] for _ in bands]
    measure, unit = draw(st.sampled_from(MEASURED))
    per = draw(st.sampled_from(["piece", PER_THOUSAND_STITCHES]))
    pack = draw(st.sampled_from([1, 12]))
    separator, mark = draw(st.sampled_from([",.", ";,", "\t."]))

    def money(amount):
        return f"{amount // 100}.{amount % 100:02}".replace(".", mark)

    def band(at):
        end, before = bands[at], bands[at - 1] if at else 0
        fraction = Fraction(end, 100)
        whole, top = divmod(fraction.numerator, fraction.denominator)
        mixed = f"{whole} {top}/{fraction.denominator}" if top else f"{whole}"
        forms = [money(end), f"up to {money(end)}", f"≤ {money(end)}", mixed]
        forms += [f"{money(before + 1)}{dash}{money(end)}" for dash in ("–", "-", " – ", " to ")]
        return draw(st.sampled_from(forms))

    def break_(at):
        start, last = breaks[at], None if at + 1 == len(breaks) else breaks[at + 1] - 1
        forms = [f"{start}", f"{start}+", f"{start} or more"]
        if last is not None:
            forms += [f"{start}-{last}", f"{start}–{last}", f"{start} to {last}"]
        return draw(st.sampled_from(forms))

    heading = f"{measure.value} ({unit})" if unit else measure.value
    if per == PER_THOUSAND_STITCHES:
        heading += f", price per {per}"
    if pack > 1:
        heading += f", packs of {pack}"
    rows = [[f'"{heading}"', *(break_(at) for at in range(len(breaks)))]]
    rows += [[band(at), *map(money, prices[at])] for at in range(len(bands))]
    end = draw(st.sampled_from(["\n", "\r\n"]))
    text = draw(st.sampled_from(["", "\ufeff", f"# a note{end}{end}"]))
    text += "".join(separator.join(row) + end for row in rows)
    cents_of = np.array(prices)
    grid = Grid(
        "printed", measure, unit, np.array(bands) / 100, breaks, cents_of / 100, per=per, pack=pack
    )
    return grid, text


@settings(max_examples=120, deadline=None, derandomize=True)
@given(printed_grids())
def test_a_printed_grid_reads_back_as_it_was(printed):
    """Whatever the separator, the decimal mark, the line ends and the printed forms."""
    grid, text = printed
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "printed.csv"
        path.write_bytes(text.encode())
        read, _ = read_grid(path)
    for name in ("name", "measure", "unit", "per", "pack"):
        assert getattr(read, name) == getattr(grid, name)
    for name in ("bands", "breaks", "prices"):
        np.testing.assert_array_equal(getattr(read, name), getattr(grid, name))


def test_a_workbook_reads_as_its_csv_would(tmp_path):
    """Numbers, dates taken for breaks excepted, are what the sheet shows."""
    from openpyxl import Workbook

    book = Workbook()
    book.active.append(["area (mm), packs of 12", 12, "24–47", "48+"])
    book.active.append([1400, 3.2, 2.85, 0.1 + 0.2])
    book.active.append(["1401–2000", 4, 3.5, 3])
    book.save(tmp_path / "by-area.xlsx")
    grid, warnings = read_grid(tmp_path / "by-area.xlsx")
    assert (grid.name, grid.measure, grid.unit, grid.pack) == ("by-area", Measure.AREA, "mm", 12)
    assert grid.bands.tolist() == [1400, 2000]
    assert grid.breaks.tolist() == [12, 24, 48]
    assert grid.prices.tolist() == [[3.2, 2.85, 0.3], [4, 3.5, 3]]
    assert grid.place(1, 1) == Place("by-area.xlsx", 3, "24–47")
    assert not warnings


def test_a_grid_by_any_size_has_one_row(tmp_path):
    """Contracted embroidery: a price per thousand stitches, whatever the size."""
    path = tmp_path / "contracted.csv"
    path.write_text('"any size, price per thousand stitches",12,48\nany,0.92,0.62\n')
    grid, _ = read_grid(path)
    assert (grid.measure, grid.per) == (Measure.ANY_SIZE, PER_THOUSAND_STITCHES)
    assert float(grid.price(7, 24)) == 0.92
    assert grid.place(0, 1) == Place("contracted.csv", 2, "48")


def test_a_size_between_two_printed_bands_belongs_to_the_upper(tmp_path):
    """1.504 lies between 1.50 and the printed 1.51."""
    path = tmp_path / "leather.csv"
    path.write_text("mean of sides (in),12\nup to 1.50,3.65\n1.51–2.00,4.40\n")
    grid, _ = read_grid(path)
    assert grid.price([1.5, 1.504, 2.0], 12).tolist() == [3.65, 4.4, 4.4]


def test_a_grid_outside_a_shop_says_all_its_faults_too(tmp_path):
    """As when a supplier's new sheet is tried."""
    path = tmp_path / "new.csv"
    path.write_text("mean of sides (in),12,12\n2,x,3\n")
    with pytest.raises(
        ShopFaults, match=r'^new\.csv, row 1, column "12": found "12" after'
    ) as all_:
        read_grid(path)
    assert len(all_.value.faults) == 2
