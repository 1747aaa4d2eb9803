"""Everything that writes into a shop's folder, to be struck at: what it writes, and where.

`python -m writers FOLDER`, with the clone and its tests on the path, kills a process at every
step of each and leaves what came of it in the folder.
"""

import json
import shutil
import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from unittest import mock

from openpyxl import Workbook
from smallshop import FILES, write_shop
from strikes import deaths

from pricelab.files import new_shop as newshop
from pricelab.files.edits import Edits
from pricelab.files.quote_folder import save_quote
from pricelab.files.records.accepting import accept
from pricelab.files.records.book import COPY, Records
from pricelab.files.records.shop_then import keep_tables
from pricelab.files.records.tables import TABLES
from pricelab.files.save_grid import NewGrid, save_grid
from pricelab.files.save_list import save_list
from pricelab.files.saving import save_whole
from pricelab.files.shop_folder import read_shop
from pricelab.files.unsaved import keep_unsaved
from pricelab.jobs.learning import Change
from pricelab.shop.errors import PricelabError
from pricelab.shop.place import Place
from pricelab.shop.price_list import PriceList
from pricelab.shop.sizes import Measure

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)
DAY = NOW.date()
IN = (Measure.MEAN_OF_SIDES, "in")
OLD_LIST = "old/price_list.until-2026-11-25-093000"
KEPT = "grids/old/patches.until-2026-11-25-093000"


def a_list() -> PriceList:
    """A list of the small shop's patch on its cap, other than the one it has."""
    prices = ((25.10, 12.0, 10.50), (26.95, 14.0, 12.30))
    return PriceList("patch", "cap", *IN, [2, 3], [1, 18, 24], 50, prices)


def a_grid() -> NewGrid:
    """A grid of patches, other than the one the small shop has."""
    return NewGrid((("", "1", "20"), ("2", "3.10", "2.10"), ("3", "4.10", "3.10")), *IN)


def two_files(number: str) -> dict[str, bytes]:
    """A quote's page and the order behind it, which name their number."""
    page = f"page {number}".encode() * 999
    return {f"quote-{number}.pdf": page, f"order-{number}.json": b"{}"}


@dataclass(frozen=True)
class Writer:
    """One way of writing: `ready(folder)` gives the step that writes into the shop there.

    `before` changes the small shop first. Between the old and the new folder there may be
    others: `between` names the files that are new in each, while the rest is old.
    """

    ready: Callable[[Path], Callable[[], object]]
    before: Callable[[Path], object] = lambda folder: None
    between: tuple[frozenset[str], ...] = ()


def _book(folder: Path) -> None:
    from small_jobs import jobs_of

    Records(folder).add_jobs(jobs_of({}))
    Records(folder).write_csv()
    Records(folder).add_jobs(jobs_of({}).assign(job="2"))


_KEPT_SHOP, _KEPT_BLANKS = (
    f"old/{table}.until-2026-11-25-093000.csv" for table in ("shop", "blanks")
)
_ONE_TABLE = (
    frozenset({_KEPT_SHOP}),
    frozenset({_KEPT_SHOP, _KEPT_BLANKS}),
    frozenset({_KEPT_SHOP, _KEPT_BLANKS, "shop.csv"}),
)


def _edits(folder: Path):
    edits = Edits.of(folder)
    name = "Third" if edits.setting("name") == "Other" else "Other"
    edits = edits.with_setting("name", name).with_cell("blanks", 1, "name", name)
    return lambda: edits.save(NOW)


def _keeps_unsaved(folder: Path):
    edits = Edits.of(folder).with_setting("name", "Other")
    return lambda: keep_unsaved(edits)


def _keeps_shop(folder: Path):
    with (folder / "shop.csv").open("a") as table:
        table.write("# other tables than before\n")

    def keep():
        hindered = keep_tables(folder)
        if hindered:
            raise PricelabError(hindered.partition("day. ")[2])

    return keep


def _starts_shop(folder: Path):
    def start():
        with mock.patch.object(newshop, "shops_folder", return_value=folder / "shops"):
            newshop.copy_shop(f"Shop {len(newshop.own_shops())}", folder)

    return start


_PLACED = [f"{COPY}/{table.name}.csv" for table in TABLES]
_ONE_BY_ONE = tuple(frozenset(_PLACED[:at]) for at in range(1, len(_PLACED)))


def _grid_as_xlsx(folder: Path) -> None:
    (folder / "grids/patches.csv").unlink()
    book = Workbook()
    for row in FILES["grids/patches.csv"].splitlines():
        book.active.append(row.split(","))
    book.save(folder / "grids/patches.xlsx")


def _saves_grid(folder: Path):
    return lambda: save_grid(folder, "patches", a_grid(), DAY, NOW)


def _saves_list(folder: Path):
    shop = read_shop(folder)
    return lambda: save_list(shop, a_list(), NOW)


def _accepts(folder: Path):
    shop = read_shop(folder)
    change = Change(Place("operations.csv", 2, "minutes"), "pressing", "1", "1.5")
    return lambda: accept(shop, [change], "Patch", "24 jobs", DAY)


WRITERS = {
    "list": Writer(_saves_list, between=(frozenset({f"{OLD_LIST}.csv"}),)),
    "first list": Writer(_saves_list, lambda folder: (folder / "price_list.csv").unlink()),
    "minutes": Writer(_accepts, between=(frozenset({"operations.csv"}),)),
    "grid": Writer(_saves_grid, between=(frozenset({f"{KEPT}.csv"}),)),
    "first grid": Writer(lambda f: lambda: save_grid(f, "leather", a_grid(), DAY, NOW)),
    "grid for XLSX": Writer(
        _saves_grid, _grid_as_xlsx,
        (frozenset({f"{KEPT}.xlsx"}), frozenset({f"{KEPT}.xlsx", "grids/patches.csv"})),
    ),
    "quote": Writer(lambda f: lambda: save_quote(f / "quotes", DAY, two_files)),
    "paper": Writer(
        lambda f: lambda: save_whole(f / "for-clients/list.csv", b"new" * 9999),
        lambda f: save_whole(f / "for-clients/list.csv", b"old"),
    ),
    "tables": Writer(_edits, between=_ONE_TABLE),
    "shop of a day": Writer(_keeps_shop),
    "unsaved tables": Writer(_keeps_unsaved),
    "new shop": Writer(_starts_shop, lambda folder: (folder / "shops").mkdir()),
    "copy of the book": Writer(lambda f: Records(f).write_csv, _book, _ONE_BY_ONE),
}  # fmt: skip


def begin(writer: Writer, folder: Path) -> tuple[Callable[[], object], Callable[[], object]]:
    """A shop in `folder` and the step that writes; and what puts the folder back to before it."""
    writer.before(write_shop(folder))
    do, old = writer.ready(folder), folder.with_name(f"{folder.name} before")
    shutil.copytree(folder, old)

    def again() -> None:
        shutil.rmtree(folder)
        shutil.copytree(old, folder)

    return do, again


def tree(folder: Path) -> dict[str, bytes]:
    """What every file of the folder holds that is not begun; the book of records apart."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and not path.name.startswith("records.sqlite")
        and not any(part.startswith(".") for part in path.relative_to(folder).parts)
    }  # fmt: skip


def begun(folder: Path) -> list[Path]:
    """The hidden files and folders of a folder."""
    return sorted(path for path in folder.rglob(".*"))


def _inside(path: Path) -> list[str]:
    """The names in a hidden folder, or that of a hidden file, without what is drawn by lot."""
    return [path.name[:8], *sorted(file.name for file in path.rglob("*"))]


def states(writer: Writer, old: dict, new: dict) -> list[dict]:
    """What the folder may hold: the old, what stands between, the new."""
    between = [
        {path: tree[path] for path in old.keys() | files
         if path in (tree := new if path in files else old)}
        for files in writer.between
    ]  # fmt: skip
    return [old, *between, new]


def main(into: Path) -> None:
    """Let a process die at every step of every writer; tells how many there were of each.

    What came of it is kept under the number of the first step of which that came.
    """
    told = {}
    for name, writer in WRITERS.items():
        folder = into / name / "shop"
        do, again = begin(writer, folder)
        old = (tree(folder), [])
        came = [old]
        for at in deaths(do):
            told[name] = at
            state = (tree(folder), [file for path in begun(folder) for file in _inside(path)])
            if state not in came:
                came.append(state)
                shutil.copytree(folder, into / name / str(at))
            if state != old:
                again()
    json.dump(told, sys.stdout)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
