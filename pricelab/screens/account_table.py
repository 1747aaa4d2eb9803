"""Why an order leaves what it leaves: its account line by line, with where each figure stands."""

from pricelab.analysis.comparison import Sold
from pricelab.lists.account import Account
from pricelab.lists.audit import Audit
from pricelab.pictures.picture import Description
from pricelab.screens.html import table
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


def account_description(account: Account, judged: Audit) -> Description:
    """The account of a cell line by line, costs by level, as text."""
    shop, money = judged.basis.shop, judged.basis.shop.money
    finding = (
        f"Of {money(account.revenue)} for {pieces(account.quantity)}, the quantity that "
        f"earns least here, {money(account.profit)} are left: {percent(account.margin)}."
    )
    return _accounted(finding, account, judged.basis.method, shop)


def sold_description(sold: Sold, shop: Shop) -> Description:
    """The account of an order by one method line by line, costs by level, as text."""
    account, method, money = sold.account, shop.methods[sold.price_list.method], shop.money
    finding = (
        f"{method.name}: of {money(account.revenue)} for "
        f"{pieces(account.quantity)}, {money(account.profit)} are left: "
        f"{percent(account.margin)}."
    )
    return _accounted(finding, account, method, shop)


def _accounted(finding: str, account: Account, method: Method, shop: Shop) -> Description:
    money, tax = shop.money, shop.pricing.tax
    before = f" before {tax.name}" if tax.included else ""
    rows = [
        (
            f"{pieces(account.quantity)} at the list's price{before}",
            "",
            number(account.quantity),
            money(account.each),
            money(account.each * account.quantity),
            "this list",
        )
    ]
    if account.setup:
        setup = money(account.setup)
        rows.append(
            (f"set-up line of the list{before}", "the artwork", "1", setup, setup, "this list")
        )
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
    fees = money(-account.fees)
    rows.append(("fees on the money taken", "the money", "", "", fees, "costs.csv"))
    share = percent(account.margin)
    rows.append((f"left: a margin of {share}", "", "", "", money(account.profit), ""))
    columns = ("What", "Grows with", "Quantity", "Rate", "Amount", "Found in")
    return Description(finding, columns, tuple(rows))


_OF_ONE = {"pieces": "piece", "batches": "batch", "minutes": "minute"}


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


def account_table(described: Description) -> str:
    """The account of a cell as a table."""
    last = len(described.rows) - 1
    return table(described.columns, described.rows, left=(0, 1, 5), sums=(0, last))
