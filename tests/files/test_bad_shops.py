"""One thing wrong in a whole shop: the one sentence that is said, in full.

Row numbers are counted by hand in `cornershop.CORNER_SHOP`.
"""

import pytest

GRID = "grids/leather.csv"
MEASURED = 'column "mean of sides (in)"'


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("2.01–2.50", "2.11–2.50", f'row 4, {MEASURED}: found "2.11–2.50" after "1.51–2.00", '
         'expected a band that begins where "1.51–2.00" ends. '
         "Add the band between them, or correct the ends."),
        ("1.51–2.00", "1.41–2.00", f'row 3, {MEASURED}: found "1.41–2.00" after "up to 1.50", '
         'expected a band that begins where "up to 1.50" ends. '
         "Correct the ends: the two bands overlap."),
        ("up to 1.50", "2.2", f'row 3, {MEASURED}: found "1.51–2.00" after "2.2", '
         "expected size bands that rise downward. Sort the rows by size."),
        ("2.01–2.50", "1.91–2.00", f'row 4, {MEASURED}: found "1.91–2.00" after "1.51–2.00", '
         "expected every size band once. Remove one of the two rows."),
        ("12,24,48", "12,24,24", 'row 1, column "24": found "24" after "24", '
         "expected every quantity once. Remove one of the two columns."),
        ("12,24,48", "24,12,48", 'row 1, column "12": found "12" after "24", '
         "expected quantities that rise to the right. Sort the columns by quantity."),
        ("12,24,48", "12,1.5,48", 'row 1, column "1.5": found "1.5", expected a quantity '
         "such as 25, 25–49, 25+ or 144 or more. Write a whole number of pieces."),
        ("12,24,48", "12–23,24–47,49+", 'row 1, column "49+": found "49+" after "24–47", '
         "expected a break from 48. Add the break between them, or correct the quantities."),
        ("12,24,48", "12–25,24–47,48+", 'row 1, column "24–47": found "24–47" after "12–25", '
         "expected a break from 26. Correct the quantities: the two breaks overlap."),
        ("3.40", "", 'row 3, column "24": found an empty cell, '
         "expected an amount such as 3.20. Fill in the cell."),
        ("mean of sides (in)", "mean of side (in)", 'row 1: found "mean of side (in)", expected a '
         'measure such as "mean of sides (in)" or "area (mm)". Write "mean of sides (in)".'),
        ("mean of sides (in)", "width", 'row 1: found "width", expected a measure such as "mean '
         'of sides (in)" or "area (mm)". Write one of: mean of sides (in), mean of sides (mm), '
         "area (in), area (mm), longest side (in), longest side (mm), thousand stitches, "
         "any size."),
        ("mean of sides (in)", '"mean of sides (in), pack of 12"', 'row 1: found "mean of sides '
         '(in), pack of 12", expected "price per thousand stitches" or "packs of 12" after the '
         'measure. Correct "pack of 12".'),
    ],
)  # fmt: skip
def test_a_faulty_grid(corner_shop, old, new, said):
    """One cell of the leather grid is wrong; nothing else is said."""
    corner_shop.change(GRID, old, new)
    assert corner_shop.faults() == [f"{GRID}, {said}" if said.startswith("row") else said]


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("", ": found an empty file, expected a first row of column names. "
         "Copy that row from a demo shop."),
        ("mean of sides (in),12\n", ": found a first row and no others, expected size bands such "
         "as 2.50 down the first column. Add the supplier's rows."),
        ("mean of sides (in)\n2.00,3.65\n", ", row 1: found no quantity breaks, expected "
         "quantities such as 12, 24, 48 across the first row. "
         "Write them to the right of the measure."),
        ("any size,12\nany,3\nsome,2\n", ', row 3, column "any size": found "some", expected one '
         'row labelled "any" in a grid by any size. '
         'Remove the row, or label it "any" if it is the only one.'),
    ],
)  # fmt: skip
def test_a_grid_that_is_no_rectangle(corner_shop, content, said):
    """The whole leather grid is replaced."""
    corner_shop.write(GRID, content)
    assert corner_shop.faults() == [GRID + said]


@pytest.mark.parametrize(
    ("file", "old", "new", "said"),
    [
        # ---- shop.csv
        ("shop.csv", "labour rate", "labor rate", 'row 5, column "setting": found "labor rate", '
         'expected a setting of the shop. Write "labour rate".'),
        ("shop.csv", "labour rate,24,an hour\n", "", 'found no setting "labour rate", '
         'expected a row for it. Add a row with "labour rate" and its value.'),
        ("shop.csv", "overhead rate,6", "labour rate,6", 'row 6, column "setting": found "labour '
         'rate" again, after row 5, expected it once. '
         "Remove one of the two rows, or give one another name."),
        ("shop.csv", ",24,", ",,", 'row 5, column "value": found an empty cell, '
         "expected an amount such as 3.20. Fill in the cell."),
        ("shop.csv", "USD", "dollars", 'row 3, column "value": found "dollars", '
         "expected a three-letter currency code. Write a code such as USD or EUR."),
        ("shop.csv", "unit,in,", "unit,cm,", 'row 4, column "value": found "cm", '
         "expected in or mm. Write one of these words."),
        ("shop.csv", "25 %", "55 %", 'row 8, column "value": found a floor margin of 55 %, '
         "expected no more than the target margin of 40 %. "
         "Lower the floor margin, or raise the target."),
        ("shop.csv", "40 %", "97.1 %", 'row 7, column "value": found a target margin of 97.1 % '
         "with fees of 3.1 %, expected less than 100 % together. "
         "Lower the target margin, or correct the revenue-level shares of the costs."),
        ("shop.csv", "price step,0.25", "price ending,0.95", 'row 9, column "value": found the '
         "price ending 0.95, expected one from 0 up to the rounding step 0.01. "
         "Set the price step to 1, or more."),
        # ---- blanks.csv and blank_prices.csv
        ("blanks.csv", "panel width,", "panel wide,", 'row 1, column "panel wide": found the '
         'heading "panel wide", expected one of blank, name, make-up, panel width, panel height, '
         'pack, heat limit, care. Write "panel width".'),
        ("blanks.csv", "panel width,", "note,", 'row 1: found no column "panel width", expected '
         "the columns blank, name, make-up, panel width, panel height, pack, heat limit, care. "
         'Add the column "panel width".'),
        ("blanks.csv", "make-up", "colour", 'row 1, column "colour": found the heading "colour", '
         "expected one of blank, name, make-up, panel width, panel height, pack, heat limit, "
         'care. Remove the column, or head it "note".'),
        ("blanks.csv", "make-up", "care", 'row 1, column "care": found the column twice, '
         "expected it once. Remove one of the two."),
        ("blanks.csv", "\nmesh,", "\ntwill,M,,5,2\nmesh,", 'row 3, column "blank": found "twill" '
         "again, after row 2, expected it once. "
         "Remove one of the two rows, or give one another name."),
        ("blanks.csv", "\nmesh,", "\nTwill,M,,5,2\nmesh,", 'row 3, column "blank": found "Twill", '
         'which row 2 has as "twill", expected names that differ in more than capitals. '
         "Give one another name: on many machines their files would be one."),
        ("blank_prices.csv", "twill,12", "twil,12", 'row 3, column "blank": found "twil", expected '
         'a blank of blanks.csv. Write "twill", or add "twil" to blanks.csv.'),
        ("blank_prices.csv", "twill,12", "twill,1", 'row 3, column "from": found "1" after "1" for '
         "twill, expected quantities that rise downward. "
         "Sort the rows by quantity and keep one of equal ones."),
        ("blank_prices.csv", "twill,1,6.90", "# twill", None),
        # ---- methods.csv and what hangs on it
        ("methods.csv", "patch,leather", "patch,suede", 'row 2, column "grid": found "suede", '
         "expected a file grids/suede.csv or .xlsx. Put it there, or write one of: leather."),
        ("methods.csv", "patch,leather", "patch,../shop", 'row 2, column "grid": found "../shop", '
         "expected the name of a file in grids. Write it without a folder."),
        ("methods.csv", "patch,leather", "patch,", 'row 2, column "grid": the method "leather" '
         "takes nothing: give it a grid, a stitching row or a roll."),
        ("methods.csv", "\nflat,", "\nvinyl,V\nflat,", 'row 4, column "method": found "vinyl" '
         "again, after row 3, expected it once. "
         "Remove one of the two rows, or give one another name."),
        ("promotions.csv", "2026-12-06", "2026-11-06", 'row 2, column "ends": the promotion ends '
         "on 2026-11-06, before it starts on 2026-11-20. Correct one of the two days."),
        ("operations.csv", "leather,", "suede,", 'row 3, column "method": found "suede", '
         "expected a method of methods.csv. Add it to methods.csv."),
        ("operations.csv", "piece,,dwell,cap press", "piece,,dwell,", 'row 3, column "station": '
         '"press" is dwell without a station; name the machine it occupies.'),
        ("operations.csv", "12,order", "12,month", 'row 2, column "per": found "month", '
         "expected piece, batch, order or design. Write one of these words."),
        ("costs.csv", "packing", "pakking", 'row 2, column "element": found "pakking", expected '
         "one of blank, decoration, consumables, set-up, freight, packing, delivery, labour, "
         'overhead, fees, rent, other. Write "packing".'),
        ("costs.csv", "revenue,2.9 %", "order,2.9 %", 'row 3, column "amount": "card fee" is a '
         "share at order level; only a revenue-level cost is a share of the money taken. "
         "Write an amount of money."),
        ("costs.csv", "2.10,48", "2.10,", 'row 2, column "batch": found an empty cell, expected '
         "the pieces of a batch, such as 48. Fill it in."),
        ("operations.csv", "12,order", "12,batch", 'row 2, column "batch": found an empty cell, '
         "expected the pieces of a batch, such as 48. Fill it in."),
        ("rolls.csv", "15,0.5", "1,0.5", "row 2: found a roll 1 wide with an edge of 0.5, a gap "
         "of 0 and a price of 0.21; expected none below 0 and a roll wider than its two edges."),
        # ---- price_list.csv
        ("price_list.csv", "flat,mesh", "flot,mesh", 'row 4, column "method": found "flot", '
         'expected a method of methods.csv. Write "flat", or add "flot" to methods.csv.'),
        ("price_list.csv", "20.75", "", 'row 2, column "24": found an empty cell, expected a '
         "price between the tiers that have one. "
         "Fill it in, or empty all cells to one side of it."),
        ("price_list.csv", "27.50", "", "row 3: found prices for other tiers, expected the same "
         'tiers as in row 2 of "leather" on "twill". Fill in or empty the cells that differ.'),
        ("price_list.csv", ",,18.00,15.00", "", "row 4: found a row without a price, "
         "expected one or more. Remove the row."),
        ("price_list.csv", "12,24,48", "12,48,24", 'row 1, column "24": found "24" after "48", '
         "expected quantities that rise to the right. Sort the columns by quantity."),
        ("price_list.csv", "twill,2.5", "twill,1.5", 'row 3, column "size": found "1.5" after '
         '"2", expected size bands that rise downward. Sort the rows by size.'),
        # ---- jobs.csv
        ("jobs.csv", "2 1/2,2,24", "2 1/2,2,0", 'row 2, column "quantity": found "0", '
         "expected a whole number from 1, such as 24. "
         "Write a number from 1 to 1000000."),
    ],
)  # fmt: skip
def test_a_faulty_table(corner_shop, file, old, new, said):
    """One cell, row or column of a table is wrong; nothing else is said."""
    corner_shop.change(file, old, new)
    between = ", " if said and said.startswith("row") else ": "
    assert corner_shop.faults() == ([] if said is None else [f"{file}{between}{said}"])


@pytest.mark.parametrize(
    "file", ["shop.csv", "blanks.csv", "blank_prices.csv", "methods.csv", "operations.csv",
             "costs.csv"],
)  # fmt: skip
def test_a_missing_file_is_named_and_nothing_that_follows_from_it(corner_shop, file):
    """Tables that point to the missing one are not called wrong."""
    (corner_shop.folder / file).unlink()
    workbook = file.replace(".csv", ".xlsx")
    assert corner_shop.faults() == [
        f"{file}: found no such file, expected {file} or {workbook} in the shop folder. "
        "Copy it from a demo shop and fill it in."
    ]


def test_a_missing_file_of_nearly_the_right_name(corner_shop):
    """On most systems capitals matter."""
    (corner_shop.folder / "costs.csv").rename(corner_shop.folder / "Costs.CSV")
    assert corner_shop.faults() == [
        "costs.csv: found no such file, expected costs.csv or costs.xlsx in the shop folder. "
        'Rename "Costs.CSV" so.'
    ]


@pytest.mark.parametrize("file", ["stitching.csv", "rolls.csv"])
def test_a_method_without_its_machine_takes_nothing(corner_shop, file):
    """These two files may be missing, but then no method may need them."""
    (corner_shop.folder / file).unlink()
    row, method = (4, "flat") if file == "stitching.csv" else (3, "vinyl")
    assert corner_shop.faults() == [
        f'methods.csv, row {row}, column "grid": the method "{method}" takes nothing: '
        "give it a grid, a stitching row or a roll."
    ]


@pytest.mark.parametrize("file", ["blanks.csv", "blank_prices.csv", "methods.csv"])
def test_a_file_of_column_names_alone(corner_shop, file):
    """A shop needs blanks, prices and methods."""
    corner_shop.write(file, (corner_shop.folder / file).read_text().splitlines()[0] + "\n")
    assert corner_shop.faults() == [
        f"{file}: found a row of column names alone, expected rows under it. Fill in the rows."
    ]


def test_files_that_may_be_empty_or_missing(corner_shop):
    """A new shop has no list, no promotions and no finished jobs, and perhaps no costs."""
    for file in ("promotions.csv", "price_list.csv"):
        (corner_shop.folder / file).unlink()
    for file in ("jobs.csv", "operations.csv", "costs.csv"):
        corner_shop.write(file, (corner_shop.folder / file).read_text().splitlines()[0])
    read = corner_shop.read()
    assert (read.price_lists, len(read.jobs), read.shop.charges) == ((), 0, ())


def test_a_table_twice(corner_shop):
    """As CSV and as a workbook: which one counts?"""
    corner_shop.write("rolls.xlsx", b"")
    assert corner_shop.faults() == [
        "rolls.csv: found both rolls.csv and rolls.xlsx, expected one of the two. "
        "Remove the older one."
    ]


def test_a_file_that_does_not_open(corner_shop):
    """Here a folder bears the file's name."""
    (corner_shop.folder / "rolls.csv").unlink()
    (corner_shop.folder / "rolls.csv").mkdir()
    assert corner_shop.faults() == [
        "rolls.csv: found a file that does not open (Is a directory), "
        "expected one that can be read. Close it in other programs and allow it to be read."
    ]


def test_a_link_out_of_the_shop_folder(corner_shop, tmp_path):
    """Nothing outside the shop folder is read."""
    outside = tmp_path / "elsewhere.csv"
    (corner_shop.folder / GRID).rename(outside)
    (corner_shop.folder / GRID).symlink_to(outside)
    assert corner_shop.faults() == [
        f"{GRID}: found a link out of the shop folder, expected a file inside it. "
        "Copy the file here."
    ]


def test_fees_on_one_method_leave_no_price_for_it(corner_shop):
    """40 % target + 2.9 % card fee and 60 % commission on leather, of the total with 6.5 % tax."""
    corner_shop.change(
        "costs.csv", "leather,cover", "leather,commission,fees,revenue,60 %,\nleather,cover"
    )
    assert corner_shop.faults() == [
        'shop.csv, row 7, column "value": found a target margin of 40 % with fees of 67 % on '
        "leather, expected less than 100 % together. "
        "Lower the target margin, or correct the revenue-level shares of the costs."
    ]


def test_all_faults_of_a_folder_come_in_one_report(corner_shop):
    """Six faults in five files, and nothing that only follows from them."""
    corner_shop.change("shop.csv", ",24,", ",2A,")
    corner_shop.change("shop.csv", "40 %", "x")
    corner_shop.change("blanks.csv", "120 mm", "120 cm")
    corner_shop.change(GRID, "3.40", "€3.40")
    corner_shop.change("costs.csv", "0.04", "0,04")
    corner_shop.change("jobs.csv", "2,2,24", "2,2,-24")
    faults = corner_shop.faults()
    assert [fault.split(": found")[0] for fault in faults] == [
        'shop.csv, row 5, column "value"',
        'shop.csv, row 7, column "value"',
        'blanks.csv, row 3, column "panel width"',
        "costs.csv, row 4",
        'grids/leather.csv, row 3, column "24"',
        'jobs.csv, row 2, column "quantity"',
    ]


def test_a_method_that_was_renamed_is_one_fault(corner_shop):
    """Where it stands first, and in how many more rows it does."""
    corner_shop.change("methods.csv", "leather,Leather", "hide,Leather")
    (said,) = corner_shop.faults()
    assert said == (
        'promotions.csv, row 2, column "method": found "leather", expected a method of '
        "methods.csv. Add it to methods.csv. The same in 5 more rows of operations.csv, "
        "costs.csv, price_list.csv, jobs.csv."
    )


def test_what_others_go_by_is_told_before_what_goes_by_it(corner_shop):
    """A doubled key before the rows that go wrong with it."""
    corner_shop.change("methods.csv", "vinyl,Cut", "leather,Cut")
    assert [fault.partition(": ")[0] for fault in corner_shop.faults()] == [
        'methods.csv, row 3, column "method"',
        'rolls.csv, row 2, column "method"',
    ]


@pytest.mark.parametrize(
    ("file", "old", "new", "said"),
    [
        (GRID, "2.80", "3.70", [
            'row 2, column "24": found a price of 3.7 from 24 pieces after 3.65 from 12, '
            "expected no price that rises with quantity. "
            "Compare it with the supplier's own sheet.",
            'row 3, column "24": found a price of 3.4 for sizes up to 2 under 3.7 for sizes up '
            "to 1.5, expected no larger size that costs less. "
            "Compare it with the supplier's own sheet.",
        ]),
        ("blank_prices.csv", "4.10", "4.90", [
            'row 5, column "price": found a price of 4.9 from 48 pieces after 4.8 from 1, '
            "expected no price that rises with quantity. "
            "Compare it with the supplier's own sheet.",
        ]),
    ],
)  # fmt: skip
def test_odd_prices_are_warned_of_and_not_refused(corner_shop, file, old, new, said):
    """A supplier may have his reasons, or a slip."""
    corner_shop.change(file, old, new)
    assert [str(warning) for warning in corner_shop.read().warnings] == [
        f"{file}, {line}" for line in said
    ]


def test_a_table_nobody_reads_is_warned_of(corner_shop):
    """A misspelt file would else be missed in silence."""
    corner_shop.write("promotion.csv", "method\n")
    corner_shop.write("~$shop.xlsx", "")
    corner_shop.write("letter.txt", "")
    assert [str(warning) for warning in corner_shop.read().warnings] == [
        "promotion.csv: found a file that is not read, expected the names shop, blanks, "
        "blank_prices, methods, stitching, rolls, operations, costs, promotions, price_list, "
        "jobs, quotes. Rename it if it is one of these."
    ]


@pytest.mark.parametrize(
    ("file", "before", "after", "name"),
    [
        ("methods.csv", "Cut vinyl", "Leather patch", "Leather patch"),
        ("blanks.csv", "Mesh cap", "Twill cap", "Twill cap"),
    ],
)
def test_two_of_one_name_could_not_be_told_apart(corner_shop, file, before, after, name):
    """On the screens they are chosen by their names: one would hide the other."""
    corner_shop.change(file, before, after)
    assert corner_shop.faults() == [
        f'{file}, row 3, column "name": found "{name}" again, after row 2, expected it once. '
        "Remove one of the two rows, or give one another name."
    ]
