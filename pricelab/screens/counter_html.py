"""What the client's screen says, as HTML and in plain words; only what is shown may come here."""

from base64 import b64encode
from collections.abc import Sequence
from typing import NamedTuple

from pricelab.client.catalogue import Catalogue
from pricelab.client.offers import Offer, Refusal, Wanted, estimated_stitches
from pricelab.paper.client_copy import care_words
from pricelab.pictures import look
from pricelab.pictures.picture import Description
from pricelab.screens.html import bullets, paragraph, table, text
from pricelab.shop import figures
from pricelab.shop.figures import listed
from pricelab.words import findings as wording
from pricelab.words.cautions import OTHER_RULES


class Said(NamedTuple):
    """A part of the screen: its HTML, and the same in words."""

    html: str
    words: str


def heading(counter: Catalogue) -> Said:
    """Whose screen it is."""
    shop = counter.shop
    return Said(
        f'<div class="plc-head"><b>{text(shop.name)}</b><span>{text(shop.notice)}</span></div>',
        f"{shop.name}\n{shop.notice}",
    )


def price(counter: Catalogue, offer: Offer) -> Said:
    """The price a piece and in all, in large figures, and the lines they are made of."""
    money, each, of = counter.shop.money, _each(counter, offer), _in_all(offer)
    large = (
        f'<div class="plc-price" role="status"><div><b>{text(each)}</b><span>a piece</span></div>'
        f'<div class="plc-total"><b>{text(money(offer.payable))}</b><span>{text(of)}</span></div>'
        "</div>"
    )
    columns, lines = ("", "each", "together"), _lines(counter, offer)
    total_at = [name for name, *_ in lines].index("Total")
    finding = f"{each} a piece, {money(offer.payable)} {of}"
    words = Description(finding, columns, tuple(lines))
    return Said(large + table(columns, lines, sums=(total_at,)), str(words))


def _in_all(offer: Offer) -> str:
    parts = ["set-up"] if offer.setup else []
    if offer.tax:
        parts.append("tax")
    return f"in all, with {listed(parts)}" if parts else "in all"


def _each(counter: Catalogue, offer: Offer) -> str:
    """The price a piece, or the range of several."""
    money, prices = counter.shop.money, sorted(line.each for line in offer.lines)
    if offer.each is not None:
        return money(offer.each)
    return f"{money(prices[0])}–{money(prices[-1])}"


def _lines(counter: Catalogue, offer: Offer) -> list[tuple[str, str, str]]:
    money, tax = counter.shop.money, counter.shop.pricing.tax
    lines = []
    for line in offer.lines:
        name = ", ".join(filter(None, (line.blank, line.colour)))
        count = figures.number(line.pieces)
        lines.append((f"{count} × {name}", money(line.each), money(line.amount)))
    if counter.shop.pricing.setup_apart:
        setup = money(offer.setup) if offer.setup else "none"
        lines.append(("Set-up of the artwork, once", "", setup))
    total = ("Total", "", money(offer.payable))
    if not tax.rate:
        return [*lines, total]
    rate, due = f"{figures.percent(tax.rate, 3)} {tax.name}", money(offer.tax)
    if tax.included:
        return [*lines, total, (f"in it {rate}", "", due)]
    return [*lines, (rate, "", due), total]


def saving(counter: Catalogue, offer: Offer, more: Sequence[Offer]) -> str:
    """The later tier that costs no more than the order itself, in a sentence; '' without one."""
    money, few = counter.shop.money, figures.number(offer.quantity)
    best = min(more, key=lambda other: other.payable, default=offer)
    saved = round(offer.payable - best.payable, 6)
    if best is offer or saved < 0:
        return ""
    if not saved:
        return f"{figures.pieces(best.quantity)} cost no more than {few}."
    return (
        f"{figures.pieces(best.quantity)} cost less than {few}: {money(best.payable)} in all, "
        f"{money(saved)} less."
    )


def _next_step(counter: Catalogue, offer: Offer, more: Sequence[Offer]) -> str:
    """What the next tier that brings a piece down would do, in a sentence."""
    if not more:
        return "This is our lowest price a piece for it."
    near = next((other for other in more if _average(other) < _average(offer)), None)
    if near is None:
        return f"A piece costs no less up to {figures.pieces(more[-1].quantity)}."
    money = counter.shop.money
    added, extra = near.quantity - offer.quantity, near.payable - offer.payable
    down = f" down to {money(near.each)}" if near.each is not None else " down"
    return (
        f"{figures.number(added)} more {'brings' if added == 1 else 'bring'} a piece{down}: "
        f"{figures.number(near.quantity)} cost {money(near.payable)} in all, {money(extra)} more."
    )


def _average(offer: Offer) -> float:
    """What a piece of it is charged at, of several prices on average, to the cent."""
    return round(sum(line.amount for line in offer.lines) / offer.quantity, 6)


def hint(counter: Catalogue, offer: Offer, more: Sequence[Offer]) -> Said:
    """What a few more pieces would do: a sentence, and the next tiers side by side."""
    sentence = saving(counter, offer, more) or _next_step(counter, offer, more)
    if not more:
        return Said(f'<div class="plc-hint">{text(sentence)}</div>', sentence)
    money, rows = counter.shop.money, []
    for other in (offer, *more):
        change = other.payable - offer.payable
        if other is offer:
            beside = "your order"
        elif round(change, 6) == 0:
            beside = "the same"
        else:
            beside = f"{money(abs(change))} {'more' if change > 0 else 'less'}"
        each, in_all = _each(counter, other), money(other.payable)
        rows.append((figures.pieces(other.quantity), each, in_all, beside))
    columns = ("If you take", "each", "in all", "")
    html = f'<div class="plc-hint">{text(sentence)}</div>{table(columns, rows)}'
    return Said(html, str(Description(sentence, columns, tuple(rows))))


def refusal(counter: Catalogue, refused: Refusal) -> Said:
    """Why it cannot be made, and what would do."""
    shop, would = counter.shop, []
    if refused.size:
        size = " × ".join(figures.number(side) for side in refused.size)
        would.append(f"{size} {shop.unit} would fit.")
    if refused.methods:
        names = [counter.short_name(key) for key in refused.methods]
        would.append(f"In the size asked for: {listed(names)}.")
    instead = " ".join(would)
    html = (
        f'<div class="plc-no" role="alert">{text(refused.reason)}'
        f"{f'<small>{text(instead)}</small>' if instead else ''}</div>"
    )
    return Said(html, f"{refused.reason} {instead}".strip())


def methods_by_price(
    counter: Catalogue, chosen: str, results: dict[str, Offer | str], threads: dict[str, int]
) -> Said:
    """Decorations for the same order, cheapest first, then those that are not possible."""
    offers = {key: offer for key, offer in results.items() if not isinstance(offer, str)}
    ranked = sorted(offers, key=lambda key: offers[key].payable)
    body, rows = [], []
    for key in [*ranked, *(key for key in results if key not in offers)]:
        name, care = counter.short_name(key), counter.shop.methods[key].care
        dot = f'<i class="plc-key" style="background:{look.thread(threads[key]).colour}"></i>'
        under = care if key in offers else results[key]
        head = (
            f'<th scope="row" class="pl-left">{dot}{text(name)}'
            f'<span class="plc-under">{text(under)}</span></th>'
        )
        amounts = ("", "")
        if key in offers:
            amounts = (_each(counter, offers[key]), counter.shop.money(offers[key].payable))
        row = ' class="plc-chosen"' if key == chosen else ""
        cells = "".join(f"<td>{text(amount)}</td>" for amount in amounts)
        body.append(f"<tr{row}>{head}{cells}</tr>")
        rows.append((name, *amounts, under))
    columns = ("Decoration", "each", "in all", "worth knowing")
    caption = "The same order in other decorations, by price"
    html = (
        f'<div class="pl-wide"><table class="pl-table"><caption>{caption}</caption><thead><tr>'
        '<th scope="col" class="pl-left">Decoration</th><th scope="col">each</th>'
        f'<th scope="col">in all</th></tr></thead><tbody>{"".join(body)}</tbody></table></div>'
    )
    return Said(html, str(Description(caption, columns, tuple(rows))))


def good_to_know(counter: Catalogue, wanted: Wanted) -> Said:
    """Care, cautions and conditions."""
    shop, method = counter.shop, counter.shop.methods[wanted.method]
    blanks = [shop.blanks[key] for key in dict.fromkeys(part.blank for part in wanted.parts)]
    said = list(dict.fromkeys(words for blank in blanks for words in care_words(method, blank)))
    stitches = estimated_stitches(counter, wanted)
    if stitches is not None:
        about = figures.number(round(stitches, -2) or stitches)
        said.append(
            f"Priced for about {about} stitches, as usual for this size; we tell you before work "
            "begins if your artwork needs more."
        )
    if method.roll is not None:
        said.append(f"{method.name}: the price is for artwork in one colour; ask us for more.")
    said += [OTHER_RULES, wording.tax_note(shop.pricing.tax)]
    if shop.conditions:
        said.append(shop.conditions)
    return Said(
        f'<h3>Good to know</h3><div class="plc-note">{bullets(said)}</div>', "\n".join(said)
    )


def saved(number: str, page: bytes) -> Said:
    """That a quote was saved, with its page to open and print."""
    name = f"quote-{number}.pdf"
    packed = b64encode(page).decode("ascii")
    words = f"Quote {number} is saved."
    return Said(
        f'<div class="plc-said" role="status">{text(words)}<br>'
        f'<a download="{text(name)}" href="data:application/pdf;base64,{packed}">'
        "Open the page to print</a></div>",
        words,
    )


def not_yet() -> Said:
    """What the page says when the shop's files are not in order; why is for the owner alone."""
    words = (
        "This page cannot be shown yet: the shop's files need mending. The owner finds what and "
        "where with: python -m pricelab check"
    )
    return Said(paragraph(words, "finding"), words)
