"""The book of records written out as CSV files, which any spreadsheet opens."""

from pathlib import Path

from pricelab.files.records.book import rows_of
from pricelab.files.records.database import reading
from pricelab.files.records.schema import TABLES
from pricelab.files.saving import save_together, told
from pricelab.shop.errors import PricelabError

COPY = "records-copy"
"""The folder of the CSV files, in the shop's folder."""


def export_csv(folder: Path) -> list[Path]:
    """Write every table of the book as a CSV file in the folder `COPY`, all or none; their paths.

    What is not noted is an empty cell; money is in the currency.
    """
    with reading(folder) as book:
        frames = {f"{COPY}/{table.name}.csv": rows_of(book, table) for table in TABLES}
    texts = {
        # line ends of two signs, so that either of them is quoted in a cell
        name: frame.to_csv(index=False, lineterminator="\r\n").encode()
        for name, frame in frames.items()
    }
    with told(folder / COPY):
        if (folder / COPY).is_symlink():
            raise PricelabError(f"{COPY} is a link out of the shop's folder. Make it a folder.")
    save_together(folder, texts)
    return [folder / name for name in texts]
