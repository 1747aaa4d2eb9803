"""What figures and findings are called: the words of the screen, the paper and the command line.

Text from values, and nothing but text. Money is written by `money.show_money`, lengths
carry their unit, shares are percentages.
"""

from collections import Counter
from collections.abc import Iterable
from datetime import date
from textwrap import shorten

from pricelab.lists.audit import Audit
from pricelab.lists.better_off import better_off
from pricelab.lists.supplier_change import SupplierChange
from pricelab.lists.trouble import LOSING, Finding, Trouble
from pricelab.shop.figures import number, percent, pieces, points
from pricelab.shop.price_list import PriceList
from pricelab.shop.pricing_rules import Tax
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Measure

_LONGEST = 28
"""Letters that a short name has room for beside a line or in a part of a map."""


def short_names(names: Iterable[str]) -> list[str]:
    """Names up to their first comma, in whole words; told apart by what is after it.

    >>> short_names(["Leather patch, pressed on", "Flat embroidery, own machine",
    ...              "Flat embroidery, contracted out"])
    ['Leather patch', 'Flat (own machine)', 'Flat (contracted out)']
    """
    names = list(names)
    heads = [name.partition(",")[0].strip() for name in names]
    short = []
    for name, head in zip(names, heads, strict=True):
        rest = name.partition(",")[2].strip()
        if heads.count(head) > 1 and rest:
            head = f"{head.split(maxsplit=1)[0]} ({rest})" if head else rest
        short.append(_cut(head))
    return [one if short.count(one) == 1 else name for one, name in zip(short, names, strict=True)]


def short_methods(shop: Shop) -> dict[str, str]:
    """The short name of every method, by its key."""
    names = short_names(method.name for method in shop.methods.values())
    return dict(zip(shop.methods, names, strict=True))


def _cut(name: str) -> str:
    """As many whole words as there is room for.

    >>> _cut("Raised embroidery over very thick foam")
    'Raised embroidery over very'
    """
    whole = {"break_on_hyphens": False, "break_long_words": False, "placeholder": ""}
    return shorten(name, _LONGEST, **whole) or f"{name[: _LONGEST - 1]}…"


def day(on: date) -> str:
    """A day that reads the same everywhere.

    >>> day(date(2026, 11, 5))
    '5 November 2026'
    """
    from babel.dates import format_date

    return format_date(on, "d MMMM y", locale="en")


# ---- the parts of a price list --------------------------------------------------------

_SQUARE = {"in": "sq in", "mm": "mm²"}
_PLURAL = {"in": "inches", "mm": "millimetres"}


def size_unit(measure: Measure, unit: str | None) -> str:
    """What a list's sizes are counted in.

    >>> size_unit(Measure.AREA, "mm"), size_unit(Measure.MEAN_OF_SIDES, "in")
    ('mm²', 'in')
    """
    if measure is Measure.THOUSAND_STITCHES:
        return "thousand stitches"
    return _SQUARE[unit] if measure is Measure.AREA else unit


def measure_note(measure: Measure, unit: str | None) -> str:
    """How a client finds the size of an artwork.

    >>> measure_note(Measure.LONGEST_SIDE, "mm")
    'The size is the longer side, in millimetres.'
    """
    example = (4, 2) if unit == "in" else (60, 40)
    wide, high = (f"{side} {unit}" for side in example)
    return {
        Measure.MEAN_OF_SIDES: (
            f"The size is width plus height, divided by two: "
            f"{wide} by {high} is {number(sum(example) / 2)} {unit}."
        ),
        Measure.AREA: (
            f"The size is width times height: {wide} by {high} is "
            f"{number(example[0] * example[1])} {_SQUARE.get(unit, '')}."
        ),
        Measure.LONGEST_SIDE: f"The size is the longer side, in {_PLURAL.get(unit, '')}.",
        Measure.THOUSAND_STITCHES: "The size is the number of stitches, in thousands.",
    }[measure]


def size_label(price_list: PriceList, band: int) -> str:
    """A size band, known by its upper end: "up to 2.5 in"."""
    unit = size_unit(price_list.measure, price_list.unit)
    return f"up to {number(price_list.sizes[band])} {unit}"


def tier_label(price_list: PriceList, tier: int) -> str:
    """A quantity tier: "24–47", "1", and "144+" for the last one."""
    start, end = price_list.starts[tier], price_list.ends[tier]
    if tier == len(price_list.starts) - 1:
        return f"{start}+"
    return f"{start}" if start == end else f"{start}–{end}"


def name_of(shop: Shop, price_list: PriceList) -> str:
    """The method and the blank, by their names: "Leather patch, pressed on (Knitted beanie)"."""
    return f"{shop.methods[price_list.method].name} ({shop.blanks[price_list.blank].name})"


def tax_note(tax: Tax) -> str:
    """Whether the prices include sales tax.

    >>> tax_note(Tax(0.19, True, "value added tax")), tax_note(Tax(0.065))
    ('Prices include 19 % value added tax.', '6.5 % sales tax is added to the prices.')
    """
    if not tax.rate:
        return f"No {tax.name} is added to the prices."
    rate = percent(tax.rate, 3)
    if tax.included:
        return f"Prices include {rate} {tax.name}."
    return f"{rate} {tax.name} is added to the prices."


def better_off_notes(price_list: PriceList) -> list[str]:
    """Quantities for which a later step costs the client no more, a sentence for each step."""
    bands = len(price_list.sizes)
    ranges: dict[tuple[int, int], list[int]] = {}
    for found in better_off(price_list):
        ranges.setdefault((found.until, found.buy), []).append(found.quantity)
    said = []
    for (until, buy), firsts in sorted(ranges.items()):
        few = pieces(min(firsts), until).split()[0]
        same = len(firsts) == bands and len(set(firsts)) == 1
        verb, where = ("cost", "") if same else ("can cost", ", depending on the size")
        said.append(f"{pieces(buy)} {verb} no more than {few}{where}.")
    return said


# ---- what an audit found --------------------------------------------------------------


_CHARGE = "charge {instead} instead of {price}."
_SAID = {
    Trouble.BELOW_COST: "{pieces} {loses} money (a margin of {margin}); " + _CHARGE,
    Trouble.BELOW_FLOOR: "{pieces} {earns} {floor_missed}, under the floor of {floor}; " + _CHARGE,
    Trouble.UNDER_TARGET: (
        "the usual order of {pieces} earns {target_missed}, under the target of {target}; "
        + _CHARGE
    ),
    Trouble.RISES: (
        "a piece costs {price}, more than the {instead} of {before}; ask {instead} at most here, "
        "or {price} at least there."
    ),
    Trouble.SMALLER_DEARER: (
        "a piece costs {price}, less than the {instead} of the smaller size {smaller}; ask "
        "{instead} at least here, or {price} at most there."
    ),
    Trouble.BETTER_OFF: (
        "{range} {costs} the client no less than {buy} do; offer {buy} to whoever asks for them."
    ),
}


def say(finding: Finding, price_list: PriceList, shop: Shop) -> str:
    """One finding as a sentence for the owner, with what would fix it."""
    starts, ends, rules = price_list.starts, price_list.ends, shop.pricing
    last, quantity, margin = finding.tier == len(ends) - 1, finding.quantity, finding.margin or 0.0
    start, before = starts[finding.tier], finding.tier - 1
    tier = f"{number(start)} pieces or more" if last else pieces(start, ends[finding.tier])
    size, one = size_label(price_list, finding.band), quantity == 1
    said = _SAID[finding.trouble].format(
        pieces=pieces(quantity),
        loses="loses" if one else "lose",
        earns="earns" if one else "earn",
        margin=percent(margin),
        floor=percent(rules.floor),
        floor_missed=_short_of(margin, rules.floor),
        target=percent(rules.target),
        target_missed=_short_of(margin, rules.target),
        price=shop.money(finding.price),
        instead=shop.money(finding.instead or 0.0),
        before=pieces(starts[before], ends[before]),
        smaller=size_label(price_list, finding.band - 1),
        range=pieces(quantity, finding.until),
        costs="costs" if one and finding.until == 1 else "cost",
        buy=number(finding.buy or 0),
    )
    return f"{size[0].upper()}{size[1:]}, {tier}: {said}"


def _short_of(margin: float, goal: float) -> str:
    """A margin with as many decimals as it takes to see that it is short of the goal."""
    decimals = (text for d in range(1, 6) if (text := percent(margin, d)) != percent(goal, d))
    return next(decimals, percent(margin))


def sentences(audit: Audit, shop: Shop) -> list[str]:
    """All that an audit found: a sentence for each finding, those on buying more in one."""
    found = [finding for finding in audit.findings if finding.trouble is not Trouble.BETTER_OFF]
    said = [say(finding, audit.price_list, shop) for finding in found]
    notes = better_off_notes(audit.price_list)
    return [*said, f"Worth telling clients: {' '.join(notes)}"] if notes else said


def verdict(audit: Audit, shop: Shop) -> str:
    """What an audit comes to, in a sentence or two."""
    cells = audit.holding.size
    failing = int(cells - audit.holding.sum())
    name = name_of(shop, audit.price_list)
    if not failing:
        return f"{name}: all {cells} prices hold." if cells > 1 else f"{name}: the price holds."
    counts = Counter(finding.trouble for finding in audit.findings)
    words = ("below cost", "below the floor", "under the target")
    parts = [f"{counts[x]} {say}" for x, say in zip(LOSING, words, strict=True) if counts[x]]
    verb = "does" if failing == 1 else "do"
    return f"{name}: {failing} of {cells} prices {verb} not hold ({', '.join(parts)})."


# ---- what a supplier's new grid does --------------------------------------------------


def say_change(change: SupplierChange, shop: Shop) -> list[str]:
    """What a new grid does to a list: the sum of it, then a sentence for each cell it breaks."""
    after, broken = change.after, change.stops_holding
    name = name_of(shop, after.price_list)
    count, held = int(broken.sum()), int(change.before.holding.sum())
    verb = "does" if count == 1 else "do"
    first = f"{count} of the {held} prices that held {verb} not any more"
    if not count:
        first = "every price that held still holds"
    low, high = change.margin_change.min(), change.margin_change.max()
    said = [f"{name}: {first}; margins move by {points(low)} to {points(high)}."]
    for finding in after.findings:
        if finding.trouble in LOSING and broken[finding.band, finding.tier]:
            moved = change.margin_change[finding.band, finding.tier]
            sentence = say(finding, after.price_list, shop)
            said.append(f"{sentence[:-1]} (its margin moves by {points(moved)}).")
    for size, reason in change.lost:
        unit = size_unit(after.price_list.measure, after.price_list.unit)
        said.append(f"Up to {number(size)} {unit}: not possible any more, {reason}")
    return said
