"""Reading a whole shop folder: the shop, its price lists and jobs, or every fault at once."""

import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from pricelab.files.blanks import read_blanks
from pricelab.files.clock import today
from pricelab.files.contradictions import contradicted_jobs, contradictions
from pricelab.files.faults import Fault, Report, in_order, one_line
from pricelab.files.job_questions import ask_about_jobs
from pricelab.files.jobs import read_jobs, read_quotes, with_recorded
from pricelab.files.methods import read_methods
from pricelab.files.price_lists import read_price_lists
from pricelab.files.raw_table import find_file
from pricelab.files.records import book as records
from pricelab.files.saving import finish_together, lock_of
from pricelab.files.schema import TABLES, Keys
from pricelab.files.settings import read_settings
from pricelab.files.source import SUFFIXES, Folder
from pricelab.shop.business import Business
from pricelab.shop.errors import PricelabError
from pricelab.shop.place import Place
from pricelab.shop.shop import Shop

if TYPE_CHECKING:
    import pandas as pd

_OTHER_ENDINGS = (".csv", ".xlsx", ".xls", ".xlsm", ".ods", ".numbers", ".tsv", ".txt")


@dataclass(frozen=True, eq=False)
class ShopFolder(Business):
    """A shop without faults: the shop, today's lists, the finished jobs, and warnings.

    `jobs` are those of jobs.csv and of the book of records, with the columns of
    `pricelab.files.jobs.TYPES`; `quotes` are those of quotes.csv, with the columns of
    `pricelab.files.jobs.QUOTE_TYPES`. `held` is what the files held when they were read, by
    name: where one is another by now, nothing is saved over it. `folder` is None where the
    shop was read from memory.
    """

    folder: Path | None
    warnings: tuple[Fault, ...]
    held: Mapping[str, bytes]


def read_shop(source: str | os.PathLike | Mapping[str, bytes]) -> ShopFolder:
    """Read a shop out of a folder, or out of files in memory; `ShopFaults` tells every fault.

    Files in memory are what each holds, by name: ``{"shop.csv": b"...", "grids/leather.csv":
    b"...", ...}``. Of them no book of records is read.
    """
    report = Report()
    if isinstance(source, Mapping):
        folder, files = None, source
    else:
        folder = Path(source)
        files = Folder(folder)
        _check_folder(folder, report)
        report.raise_faults()
        finish_together(folder)
    said = read_settings(files, report)
    unit = said.get("unit", "in")  # any will do to find the other faults by
    blanks, blank_keys = read_blanks(files, unit, report)
    methods = read_methods(files, unit, report)
    said.check_fees(methods, report)
    keys = Keys(unit, methods.keys, blank_keys)
    largest = said.get("largest order", Shop.largest_order)
    lists = read_price_lists(files, keys, methods.methods, said.tax(), largest, report)
    read, recorded = read_jobs(files, keys, report), None
    if folder is not None:
        recorded = _recorded(folder, report)
        _warn_of_open(folder, report)
    quotes = read_quotes(files, keys, report)
    _warn_of_unread(files, report)
    report.raise_faults()
    shop, file = said.shop(methods, blanks), find_file(files, "jobs", Report())
    jobs = with_recorded(read, recorded)

    def place_of(at: int) -> Place:
        """Where a job stands: in a row of jobs.csv, else in the book of records."""
        if jobs is not read and (at := jobs.index[at]) >= len(read):
            return Place(records.FILE)
        return Place(file, int(read.index[at]))

    ask_about_jobs(jobs, place_of, shop, report)
    warnings = [*report.warnings, *contradictions(shop, lists, said.places)]
    warnings += contradicted_jobs(shop, read, file, today()) if len(read) else []
    return ShopFolder(shop, lists, jobs, quotes, folder, in_order(warnings), report.held)


def _recorded(folder: Path, report: Report) -> "pd.DataFrame | None":
    """The jobs of the book; None, with a warning, where it cannot be read."""
    try:
        return records.Records(folder).jobs()
    except PricelabError as error:
        report.warn(
            Place(records.FILE),
            "a book of records that cannot be read",
            "the one that this workbook keeps; its jobs and quotes are left out",
            str(error),
        )
        return None


def _check_folder(folder: Path, report: Report) -> None:
    """Faults of the folder itself: not there, not a folder, or empty."""
    place, wanted = Place(str(folder)), "a folder that holds shop.csv"
    copy = "Copy a demo shop's folder and fill it in."
    try:
        if not any(folder.iterdir()):
            report.fault(place, "an empty folder", wanted, copy)
    except FileNotFoundError:
        report.fault(place, "no such folder", wanted, copy)
    except NotADirectoryError:
        report.fault(place, "a file", wanted, "Name the folder it lies in.")
    except (OSError, ValueError) as error:  # ValueError: a name no system can have
        said = getattr(error, "strerror", None) or error
        report.fault(place, f"a folder that does not open ({said})", wanted, "Choose another.")


def _warn_of_open(folder: Path, report: Report) -> None:
    """Warn of tables that a spreadsheet has open."""
    for path in (folder / f"{table}{suffix}" for table in TABLES for suffix in SUFFIXES):
        if path.exists() and lock_of(path):
            report.warn(
                Place(path.name),
                "a file that is open in a spreadsheet",
                "one that is closed: what is not saved there is not read here, and what is saved "
                "here would be lost there",
                "Save it there and close it.",
            )


def _warn_of_unread(files: Iterable[str], report: Report) -> None:
    """Warn of tables that nobody reads: by a name misspelt, or with another program's ending."""
    for name in sorted(files):
        stem, _, ending = name.rpartition(".")
        suffix, table = f".{ending}", stem.lower()
        temporary = name.startswith(("~", "."))  # what spreadsheets leave while open
        if suffix in SUFFIXES and "/" not in name and stem not in TABLES and not temporary:
            found, expected = "a file that is not read", f"the names {', '.join(TABLES)}"
            report.warn(Place(one_line(name)), found, expected, "Rename it if it is one of these.")
        elif suffix not in SUFFIXES and suffix.lower() in _OTHER_ENDINGS and table in TABLES:
            expected = " or ".join(f"{table}{suffix}" for suffix in SUFFIXES)
            mend = f"Save it as {table}.csv, and delete this file."
            report.warn(Place(one_line(name)), "a table that is not read", expected, mend)
