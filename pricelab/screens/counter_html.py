"""What the client's screen says, as HTML and in plain words; only what is shown may come here."""

from base64 import b64encode
from collections.abc import Sequence

from pricelab.client.catalogue import Catalogue
from pricelab.client.offers import Offer, Refusal, Wanted, estimated_stitches
from pricelab.paper.client_copy import care_words
from pricelab.pictures import look
from pricelab.pictures.picture import Description
from pricelab.screens.html import Cell, bullets, table, text
from pricelab.screens.panel import Shown
from pricelab.shop import figures
from pricelab.shop.figures import listed
from pricelab.words import findings as wording
from pricelab.words.cautions import OTHER_RULES


def show_heading(part: Shown, counter: Catalogue) -> None:
    """Whose screen it is."""
    name, notice = counter.shop.name, counter.shop.notice
    html = f'<div class="plc-head"><b>{text(name)}</b><span>{text(notice)}</span></div>'
    part.write(html, f"{name}\n{notice}")


def show_price(part: Shown, counter: Catalogue, offer: Offer) -> None:
    """The price a piece and in all, in large figures, and the lines they are made of."""
    payable, each, of = counter.shop.money(offer.payable), _each(counter, offer), _in_all(offer)
    large = (
        f'<div class="plc-price" role="status"><div><b>{text(each)}</b><span>a piece</span></div>'
        f'<div class="plc-total"><b>{text(payable)}</b><span>{text(of)}</span></div></div>'
    )
    lines, finding = _lines(counter, offer), f"{each} a piece, {payable} {of}"
    told = Description(finding, ("", "each", "together"), tuple(lines))
    total_at = [name for name, *_ in lines].index("Total")
    part.write(large + table(told.columns, lines, sums=(total_at,)), told)


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


def show_hint(part: Shown, counter: Catalogue, offer: Offer, more: Sequence[Offer]) -> None:
    """What a few more pieces would do: a sentence, and the next tiers side by side."""
    sentence = saving(counter, offer, more) or _next_step(counter, offer, more)
    html = f'<div class="plc-hint">{text(sentence)}</div>'
    if not more:
        part.write(html, sentence)
        return
    money, rows = counter.shop.money, []
    for other in (offer, *more):
        change = round(other.payable - offer.payable, 6)
        beside = "the same"
        if other is offer:
            beside = "your order"
        elif change:
            beside = f"{money(abs(change))} {'more' if change > 0 else 'less'}"
        each, in_all = _each(counter, other), money(other.payable)
        rows.append((figures.pieces(other.quantity), each, in_all, beside))
    told = Description(sentence, ("If you take", "each", "in all", ""), tuple(rows))
    part.write(html + table(told.columns, rows), told)


def show_refusal(part: Shown, counter: Catalogue, refused: Refusal) -> None:
    """Why it cannot be made, and what would do."""
    would = []
    if refused.size:
        size = " × ".join(figures.number(side) for side in refused.size)
        would.append(f"{size} {counter.shop.unit} would fit.")
    if refused.methods:
        names = [counter.short_name(key) for key in refused.methods]
        would.append(f"In the size asked for: {listed(names)}.")
    instead = f"<small>{text(' '.join(would))}</small>" if would else ""
    html = f'<div class="plc-no" role="alert">{text(refused.reason)}{instead}</div>'
    part.write(html, " ".join([refused.reason, *would]))


def show_methods(
    part: Shown, counter: Catalogue, chosen: str, results: dict[str, Offer | str]
) -> None:
    """Decorations for the same order, cheapest first, then those that are not possible."""
    offers = {key: offer for key, offer in results.items() if not isinstance(offer, str)}
    ranked = sorted(offers, key=lambda key: offers[key].payable)
    keys = [*ranked, *(key for key in results if key not in offers)]
    rows, told, threads = [], [], list(counter.shop.methods)
    for key in keys:
        name, under, amounts = counter.short_name(key), results[key], ("", "")
        if key in offers:
            under = counter.shop.methods[key].care
            amounts = _each(counter, offers[key]), counter.shop.money(offers[key].payable)
        colour = look.thread(threads.index(key)).colour
        dot = f'<i class="plc-key" style="background:{colour}"></i>'
        named = f'{dot}{text(name)}<span class="plc-under">{text(under)}</span>'
        rows.append((Cell(named), *amounts))
        told.append((name, *amounts, under))
    columns = ("Decoration", "each", "in all", "worth knowing")
    caption = "The same order in other decorations, by price"
    html = table(columns[:3], rows, caption=caption, chosen=keys.index(chosen))
    part.write(html, Description(caption, columns, tuple(told)))


def show_good_to_know(part: Shown, counter: Catalogue, wanted: Wanted) -> None:
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
    html = f'<h3>Good to know</h3><div class="plc-note">{bullets(said)}</div>'
    part.write(html, "\n".join(said))


def show_saved(part: Shown, number: str, page: bytes) -> None:
    """That a quote was saved, with its page to open and print."""
    words, packed = f"Quote {number} is saved.", b64encode(page).decode("ascii")
    html = (
        f'<div class="plc-said" role="status">{text(words)}<br>'
        f'<a download="{text(f"quote-{number}.pdf")}" '
        f'href="data:application/pdf;base64,{packed}">Open the page to print</a></div>'
    )
    part.write(html, words)
