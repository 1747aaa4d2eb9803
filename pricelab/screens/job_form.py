"""The entries of one finished job: read as a job, or filled with one that was recorded."""

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from pricelab.files.cells import MOST_PIECES, amount, count_or_none, day
from pricelab.files.records.happened import one_job, pieces_and_setup
from pricelab.screens.controls import Choice, Control, Pieces, SideBox, Typed, Words
from pricelab.screens.reading import cell, cell_or_none
from pricelab.screens.sides import Sides
from pricelab.shop.errors import PricelabError
from pricelab.shop.shop import Shop

if TYPE_CHECKING:
    import pandas as pd

NONE = ""


class JobForm:
    """Controls for what is known of a finished job; what is left empty was not noted."""

    def __init__(self, shop: Shop, today: date):
        self._shop, money = shop, shop.currency
        width, height = Sides(shop.unit).controls
        orders = {"first order": "first", "repeat": "repeat"}
        due, paid = cell(amount), cell_or_none(amount)
        minutes, count = cell_or_none(amount), cell_or_none(count_or_none)
        self._boxes: dict[str, Control] = {
            "job": Words("Job number", width="110px"),
            "date": Typed("Finished on", cell(day), today.isoformat(), width="120px"),
            "client": Words("Client (may be empty)", width="190px"),
            "quote": Choice("Sold on quote", {"none": NONE}, width="170px"),
            "method": Choice.of("Method", shop.methods),
            "blank": Choice.of("Blank", shop.blanks),
            "width": width,
            "height": height,
            "quantity": Pieces("Good pieces", "24", MOST_PIECES, width="90px"),
            "order": SideBox("Artwork", orders),
            "price each": Typed(f"A piece, {money} before tax", due, "0", width="150px"),
            "set-up charged": Typed(f"Set-up, {money} before tax", due, "0", width="150px"),
            "charged": Typed("In all, if not their sum", paid, "", width="150px"),
            "attended minutes": Typed("Minutes worked", minutes, "", width="110px"),
            "machine minutes": Typed("Machine minutes", minutes, "", width="110px"),
            "spoiled pieces": Typed("Spoiled pieces", count, "", width="110px"),
            "freight paid": Typed(f"Freight paid, {money}", paid, "", width="130px"),
            "set-up paid": Typed(f"Set-up paid, {money}", paid, "", width="130px"),
            "same pieces": Choice(
                "Are they the same pieces as another row's?",
                {"not said": "", "no, others": "no", "yes, decorated once more": "yes"},
                width="330px",
            ),
        }

    def __getitem__(self, column: str) -> Control:
        """The control of a column of jobs.csv."""
        return self._boxes[column]

    @property
    def rows(self) -> list[list[Control]]:
        """The controls, in rows."""
        boxes = list(self._boxes.values())
        return [boxes[:4], boxes[4:9], boxes[9:13], boxes[13:18], boxes[18:]]

    def read(self, also: "pd.Series | None" = None) -> "pd.DataFrame":
        """The job that is told, as the book takes it; an error where an entry will not do.

        What the form has no entry for is taken from `also`, the job that is corrected.
        """
        wrong = next((c.words for c in self._boxes.values() if c.words), "")
        if wrong or not self["job"].value:
            raise PricelabError(f"Nothing was noted. {wrong or 'Give the job its number.'}")
        told = {name: control.value for name, control in self._boxes.items()}
        told |= {side: float(told[side].to(self._shop.unit)) for side in ("width", "height")}
        if told["charged"] is None:
            del told["charged"]
        kept = () if also is None else {"materials paid", "labour rate"} & set(also.index)
        return one_job({name: also[name] for name in kept} | told)

    def fill(self, job: "pd.Series") -> None:
        """Put a recorded job into the entries."""
        for name, known in (("method", self._shop.methods), ("blank", self._shop.blanks)):
            if job[name] not in known:
                raise PricelabError(
                    f'job {job["job"]} has the {name} "{job[name]}", which your files have no '
                    f"more. Put it back there, then correct the job."
                )
        import pandas as pd

        sum_of = pieces_and_setup(job)
        entries = {**job, "charged": None if job["charged"] == sum_of else job["charged"]}
        for name, control in self._boxes.items():
            value = entries.get(name)
            if isinstance(control, Typed):
                control.set(_typed(value))
            else:
                control.set("" if pd.isna(value) else value)


def _typed(value) -> str:
    """A value as it is typed, so that reading it gives the same; '' where it was not noted."""
    import pandas as pd

    if pd.isna(value):
        return ""
    if hasattr(value, "isoformat"):
        return value.date().isoformat()
    cents = 0 if value == round(value) else 2
    return f"{value:.{cents}f}" if value == round(value, 2) else f"{Decimal(repr(float(value))):f}"
