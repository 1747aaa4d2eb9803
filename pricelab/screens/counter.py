"""The screen the owner shows a client across the counter: what does my order cost?

It is made of a `Catalogue`, which has no cost in it, of the folder that quotes are saved in,
and of the stamp of the shop's tables, which a saved quote names; it never meets the shop itself.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from importlib.resources import files
from pathlib import Path

import ipywidgets as widgets

from pricelab.client.catalogue import Catalogue, catalogue_of
from pricelab.client.offers import (
    Offer,
    Part,
    Refusal,
    Wanted,
    artwork_of,
    make_offer,
    more_pieces,
    prices_by_quantity,
    refuse,
    why_not,
)
from pricelab.files.clock import today
from pricelab.files.folders import shop_folder
from pricelab.files.order_file import QUOTES, CounterOrder, order_file
from pricelab.files.quote_folder import save_quote
from pricelab.files.records.shop_then import stamped
from pricelab.files.shop_folder import read_shop
from pricelab.paper.quote import quote, quote_files
from pricelab.pictures.cap_front import CAP_FRONT, CapFront
from pricelab.pictures.price_steps import PRICE_STEPS, PriceSteps, Steps
from pricelab.screens import counter_html as say
from pricelab.screens.controls import Choice, Press, SideBox, Slide, Tick, Typed, Words
from pricelab.screens.html import style
from pricelab.screens.panel import Panel, Shown, View
from pricelab.screens.reading import length, pieces
from pricelab.shop.errors import PricelabError

MORE_ROWS = 3
"""Further colours or blanks in one order, beside the first."""

_LOOKED_AT = 3
"""Decorations that are compared when the page opens: more lines than that hide one another."""

_PIECES = 36

_OPENING = {"in": ("4", "2"), "mm": ("80", "45")}


class CounterPanel(Panel):
    """Pieces, size, blank and decoration in; price, hint, steps and drawing out; quotes saved."""

    def __init__(
        self, counter: Catalogue, quotes: Path, day: Callable[[], date] = today, stamp: str = ""
    ):
        self._counter, self._quotes, self._day, self._stamp = counter, quotes, day, stamp
        self._drawn: dict[View, object] = {}
        self._offer: Offer | None = None
        self._make_controls(counter)
        self.head, self.price, self.hint = Shown(), Shown(), Shown()
        self.by_price, self.notes, self.saved = Shown(), Shown(), Shown()
        self.front = View(CAP_FRONT, "counter-front")
        self.steps = View(PRICE_STEPS, "counter-steps")
        self.head.write(*say.heading(counter))
        self.steady = (self.head, self.saved)
        self.several.on_change(self._open_more)
        self.lay_out(
            [self.pieces, self.width, self.height, self.blank, self.method],
            [self.order, self.several, self.colour],
            *self.more,
            [*self.look.values()],
            [self.client, self.save],
            self.head,
            self.price,
            self.hint,
            self.front,
            self.steps,
            self.by_price,
            self.notes,
            self.saved,
        )
        self._arrange()

    def _make_controls(self, counter: Catalogue) -> None:
        shop = counter.shop
        blanks = {blank.name: blank.key for blank in counter.blanks}
        wide, high = _OPENING[shop.unit]
        often = max(int(listed.starts[-1]) for listed in counter.lists.values())
        span = (1, min(2 * often, counter.most), counter.most)
        self.pieces = Slide("Pieces", _PIECES, span, width="100%")
        self.width = Typed(f"Width, {shop.unit}", length(shop.unit), wide, width="100%")
        self.height = Typed(f"Height, {shop.unit}", length(shop.unit), high, width="100%")
        self.blank = Choice("Piece to decorate", blanks, width="100%")
        methods = {counter.short_name(method.key): method.key for method in counter.methods}
        self.method = Choice("Decoration", methods, width="100%")
        self.order = SideBox("Artwork", {"new": True, "made before": False})
        self.several = Tick("Several colours or pieces, same artwork")
        self.colour = Words("Colour of the first", width="100%")
        self.more = [
            [
                Typed(f"How many ({at})", pieces(0), "0", width="100%"),
                Choice(f"Piece ({at})", blanks, width="100%"),
                Words(f"Colour ({at})", width="100%"),
            ]
            for at in range(2, MORE_ROWS + 2)
        ]
        self.look = {
            method.key: Tick(counter.short_name(method.key), at < _LOOKED_AT)
            for at, method in enumerate(counter.methods)
        }
        self.client = Words("For (name, if you like)", width="100%")
        self.save = Press("Save the quote", self.save_the_quote)

    # ---- where things stand -----------------------------------------------------------

    def _arrange(self) -> None:
        """Controls at the side, and beside them what they make, in two columns where it fits."""
        self.pieces.box.add_class("plc-pieces")
        self.several.box.add_class("plc-several")
        self._more_box = widgets.VBox(
            [self.colour.box]
            + [
                widgets.VBox([_pair(count.box, colour.box), blank.box])
                for count, blank, colour in self.more
            ]
        ).add_class("plc-more")
        save = widgets.VBox([self.client.box, self.save.button, self.save.said, self.saved.box])
        side = widgets.VBox(
            [
                self.pieces.box,
                _pair(self.width.box, self.height.box),
                self.blank.box,
                self.method.box,
                self.order.box,
                self.several.box,
                self._more_box,
                save.add_class("plc-save"),
            ]
        )
        ticks = [tick.box for tick in self.look.values()]
        look_at = widgets.HBox([widgets.HTML("Look at:"), *ticks]).add_class("plc-look")
        figures = [self.price.box, self.hint.box, self.by_price.box, look_at]
        pictures = [self.front.box, self.steps.box]
        halves = widgets.HBox([widgets.VBox(figures), widgets.VBox(pictures)])
        main = widgets.VBox([self._answer.box, halves.add_class("plc-halves"), self.notes.box])
        both = widgets.HBox([side.add_class("plc-side"), main.add_class("plc-main")])
        css = files("pricelab.screens").joinpath("counter.css").read_text("utf-8")
        look = widgets.HTML(f"{style()}<style>{css}</style>")
        self.root.children = [look, self.head.box, both.add_class("plc-columns")]
        self.root.add_class("pl-counter")
        if len(self.look) == 1:
            look_at.layout.display = "none"
        self._open_more()

    def _open_more(self) -> None:
        """Room for further colours and blanks, or none of them in the order."""
        self._more_box.layout.display = None if self.several.value else "none"
        if not self.several.value:
            with self.quietly():
                for count, _, _ in self.more:
                    count.set("0")

    # ---- what is shown ----------------------------------------------------------------

    def wanted(self) -> Wanted:
        """The order that the controls ask for."""
        several = self.several.value
        parts = [Part(self.blank.value, self.pieces.value, self.colour.value if several else "")]
        for count, blank, colour in self.more if several else ():
            if count.value:
                parts.append(Part(blank.value, count.value, colour.value))
        return Wanted(
            self.method.value, tuple(parts), self.width.value, self.height.value, self.order.value
        )

    def update(self) -> None:
        """Offer what is wanted, or say why not and what would do."""
        counter, wanted = self._counter, self.wanted()
        self._offer, refused = None, None
        if why_not(counter, wanted):
            refused = refuse(counter, wanted)
            self.price.write(*say.refusal(counter, refused))
            self.hint.write("")
        else:
            self._offer = offer = make_offer(counter, wanted)
            self.price.write(*say.price(counter, offer))
            self.hint.write(*say.hint(counter, offer, more_pieces(counter, wanted)))
        self._draw_front(wanted, None if refused is None or refused.fits else refused)
        self._compare(wanted)
        self.notes.write(*say.good_to_know(counter, wanted))
        self._clear_saved()

    def _draw_front(self, wanted: Wanted, refused: Refusal | None) -> None:
        counter, artwork = self._counter, artwork_of(self._counter, wanted)
        blank = counter.shop.blanks[wanted.parts[0].blank]
        self._draw(
            self.front,
            CapFront.of(
                blank,
                counter.short_name(wanted.method),
                counter.shop.unit,
                (artwork.width, artwork.height),
                reason=refused.reason if refused else "",
                would_fit=refused.size if refused else None,
            ),
        )

    def _compare(self, wanted: Wanted) -> None:
        """The decorations looked at: their steps over quantity, and by price."""
        counter, keys = self._counter, list(self._counter.shop.methods)
        looked_at = [key for key, tick in self.look.items() if tick.value or key == wanted.method]
        steps, results = {}, {}
        for key in looked_at:
            other = replace(wanted, method=key)
            results[key] = why_not(counter, other) or make_offer(counter, other)
            listed = prices_by_quantity(counter, other)
            if listed is not None:
                steps[key] = Steps.of(counter.short_name(key), keys.index(key), listed)
        chosen = steps.pop(wanted.method, None)
        blank = counter.shop.blanks[wanted.parts[0].blank].name
        if chosen or steps:
            lines = (chosen, tuple(steps.values()))
            at = PriceSteps(blank, counter.shop.currency, wanted.quantity, *lines)
            self._draw(self.steps, at)
        else:
            self.steps.write("")
            self._drawn.pop(self.steps, None)
        threads = {key: keys.index(key) for key in looked_at}
        if len(self.look) > 1:  # one alone has nothing beside it
            said = say.methods_by_price(counter, wanted.method, results, threads)
            self.by_price.write(*said)

    def _draw(self, view: View, values) -> None:
        """Draw a picture anew, unless it would be the same."""
        if self._drawn.get(view) != values:
            view.draw(values)
            self._drawn[view] = values

    # ---- the quote --------------------------------------------------------------------

    def save_the_quote(self) -> str:
        """Save the order on the screen as a quote; returns what came of it."""
        if self._offer is None:
            raise PricelabError("There is nothing to save: choose an order that can be made.")
        wanted, offer, on = self.wanted(), self._offer, self._day()
        hint = say.saving(self._counter, offer, more_pieces(self._counter, wanted))
        made: dict[str, bytes] = {}

        def files_of(number: str) -> dict[str, bytes]:
            about = {"client": self.client.value, "number": number, "hint": hint}
            made.clear()
            made.update(quote_files(quote(self._counter, wanted, offer, on, **about)))
            order = CounterOrder(number, on, self.client.value, wanted, offer, self._stamp)
            return {**made, f"order-{number}.json": order_file(order)}

        number = save_quote(self._quotes, on, files_of)
        self.saved.write(*say.saved(number, made[f"quote-{number}.pdf"]))
        return ""

    def _clear_saved(self) -> None:
        self.saved.write("")
        self.save.said.value = ""


def _pair(left, right) -> widgets.HBox:
    return widgets.HBox([left, right]).add_class("plc-pair")


class NotYet(Panel):
    """The screen of a shop whose files are not in order."""

    def __init__(self):
        self.said = Shown()
        self.lay_out(self.said)

    def update(self) -> None:
        """Say so, and nothing of what is wrong: that is for the owner."""
        self.said.write(*say.not_yet())


def open_counter(named: Path | None = None) -> Panel:
    """The client's screen for the shop that is named, or the one the workbook was opened on."""
    try:
        folder = shop_folder(named)
        read = read_shop(folder)
        counter = catalogue_of(read)
    except PricelabError:
        return NotYet()
    return CounterPanel(counter, folder / QUOTES, stamp=stamped(read))
