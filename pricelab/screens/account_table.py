"""Why an order leaves what it leaves: its account line by line, with where each figure stands."""

from pricelab.lists.account import Account
from pricelab.pictures.picture import Description
from pricelab.screens.html import paragraph, table
from pricelab.screens.panel import Shown
from pricelab.shop.charges import Level
from pricelab.shop.figures import number, percent, pieces
from pricelab.shop.method import Method
from pricelab.shop.place import Place
from pricelab.shop.shop import Shop

_LEVELS = {
    Level.PIECE: "each piece",
    Level.BATCH: "each batch",
    Level.ORDER: "the order",
    Level.DESIGN: "the artwork",
}
_OF_ONE = {"pieces": "piece", "batches": "batch", "minutes": "minute"}


def account_description(
    account: Account, method: Method, shop: Shop, *, of_cell: bool = False
) -> Description:
    """An account line by line, costs by level; of an order, or of a list's cell at its worst."""
    money, tax, count = shop.money, shop.pricing.tax, pieces(account.quantity)
    whose = "Of" if of_cell else f"{method.name}: of"
    which = ", the quantity that earns least here" if of_cell else ""
    finding = (
        f"{whose} {money(account.revenue)} for {count}{which}, {money(account.profit)} are left: "
        f"{percent(account.margin)}."
    )
    before = f" before {tax.name}" if tax.included else ""
    each, of_all = money(account.each), money(account.each * account.quantity)
    taken = f"{count} at the list's price{before}", "", number(account.quantity), each, of_all
    rows = [(*taken, "this list")]
    if account.setup:
        setup = money(account.setup)
        due = f"set-up line of the list{before}", "the artwork", "1", setup, setup
        rows.append((*due, "this list"))
    spent = [line for line in account.lines if line.quantity]
    for line in sorted(spent, key=lambda line: list(Level).index(line.level)):
        unit = _OF_ONE.get(line.unit, line.unit) if line.quantity == 1 else line.unit
        rows.append(
            (
                line.label.removeprefix(f"{method.name}: "),
                _LEVELS[line.level],
                f"{number(round(line.quantity, 2))} {unit}",
                _rate(line.rate, shop),
                money(-line.amount),
                _where(line.place),
            )
        )
    left = f"left: a margin of {percent(account.margin)}"
    rows.append(("fees on the money taken", "the money", "", "", money(-account.fees), "costs.csv"))
    rows.append((left, "", "", "", money(account.profit), ""))
    columns = ("What", "Grows with", "Quantity", "Rate", "Amount", "Found in")
    return Description(finding, columns, tuple(rows))


def show_account(part: Shown, told: Description, *, head: str = "", lines: bool = True) -> None:
    """Show an account under `head` (HTML): its sentence, and its `lines` where they are wanted."""
    sums = (0, len(told.rows) - 1)
    listed = table(told.columns, told.rows, left=(0, 1, 5), sums=sums) if lines else ""
    part.write(f"{head}{paragraph(told.finding)}{listed}", told if lines else told.finding)


def _rate(rate: float, shop: Shop) -> str:
    """A rate; one under a tenth with all its decimals, since cents tell little of it."""
    if abs(rate) >= 0.1 or round(rate, shop.decimals) == rate:
        return shop.money(rate)
    return f"{number(rate)} {shop.currency}"


def _where(place: Place | None) -> str:
    """Where a figure stands, as short as a table needs it."""
    if place is None:
        return ""
    row = f", row {place.row}" if place.row else ""
    return f"{place.file}{row}" + (f", {place.column}" if place.column else "")
