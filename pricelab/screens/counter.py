"""The screen the owner shows a client across the counter: what does my order cost?

It is made of a `Catalogue`, which has no cost in it, of the folder that quotes are saved in,
and of the stamp of the shop's tables, which a saved quote names; it never meets the shop itself.
"""

import os
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import partial
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
from pricelab.files.folders import KEEPS_VARIABLE, shop_folder
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
from pricelab.screens.opening import FaultsPanel, tables_of
from pricelab.screens.panel import Panel, Shown, View
from pricelab.screens.reading import length, pieces
from pricelab.shop.errors import PricelabError

MORE_ROWS = 3
"""Further colours or blanks in one order, beside the first."""

_LOOKED_AT = 3
"""Decorations that are compared when the page opens: more lines than that hide one another."""

_PIECES = 36

NOT_YET = (
    "This page cannot be shown yet: the shop's files need mending. The owner finds what and where "
    "with: python -m pricelab check"
)
"""What a client is told where the shop's files are not in order; why is for the owner alone."""

_OPENING = {"in": ("4", "2"), "mm": ("80", "45")}


class CounterPanel(Panel):
    """Pieces, size, blank and decoration in; price, hint, steps and drawing out; quotes saved."""

    changed = "Prices are up to date"
    unfit = "Prices are being changed just now: please ask us."

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
        say.show_heading(self.head, counter)
        self.steady = (self.head, self.saved)
        self.several.on_change(self._open_more)
        self.lay_out(
            [self.pieces, self.width, self.height, self.blank, self.method],
            [self.order, self.several, self.colour],
            *self.more,
            [*self.look.values()],
            [self.client, self.save],
            *(self.head, self.price, self.hint, self.front, self.steps),
            *(self.by_price, self.notes, self.saved),
        )
        self._arrange()

    def _make_controls(self, counter: Catalogue) -> None:
        unit, wide = counter.shop.unit, {"width": "100%"}
        width, height = _OPENING[unit]
        blanks = {blank.name: blank.key for blank in counter.blanks}
        methods = {counter.short_name(method.key): method.key for method in counter.methods}
        often = max(int(listed.starts[-1]) for listed in counter.lists.values())
        span = (1, min(2 * often, counter.most), counter.most)
        self.pieces = Slide("Pieces", _PIECES, span, **wide)
        self.width = Typed(f"Width, {unit}", length(unit), width, **wide)
        self.height = Typed(f"Height, {unit}", length(unit), height, **wide)
        self.blank = Choice("Piece to decorate", blanks, **wide)
        self.method = Choice("Decoration", methods, **wide)
        self.order = SideBox("Artwork", {"new": True, "made before": False})
        self.several = Tick("Several colours or pieces, same artwork")
        self.colour = Words("Colour of the first", **wide)
        self.more = [
            [
                Typed(f"How many ({at})", pieces(0), "0", **wide),
                Choice(f"Piece ({at})", blanks, **wide),
                Words(f"Colour ({at})", **wide),
            ]
            for at in range(2, MORE_ROWS + 2)
        ]
        self.look = {
            key: Tick(name, at < _LOOKED_AT) for at, (name, key) in enumerate(methods.items())
        }
        self.client = Words("For (name, if you like)", **wide)
        self.save = Press("Save the quote", self.save_the_quote)

    # ---- where things stand -----------------------------------------------------------

    def _arrange(self) -> None:
        """Controls at the side, and beside them what they make, in two columns where it fits."""
        self.pieces.box.add_class("plc-pieces")
        self.several.box.add_class("plc-several")
        more = [
            _stack(_row("plc-pair", count, colour), blank) for count, blank, colour in self.more
        ]
        self._more_box = _stack(self.colour, *more).add_class("plc-more")
        side = _stack(
            self.pieces,
            _row("plc-pair", self.width, self.height),
            *(self.blank, self.method, self.order, self.several),
            self._more_box,
            _stack(self.client, self.save.button, self.save.said, self.saved).add_class("plc-save"),
        )
        look_at = _row("plc-look", widgets.HTML("Look at:"), *self.look.values())
        figures = _stack(self.price, self.hint, self.by_price, look_at)
        halves = _row("plc-halves", figures, _stack(self.front, self.steps))
        main = _stack(self._answer, halves, self.notes)
        both = _row("plc-columns", side.add_class("plc-side"), main.add_class("plc-main"))
        css = files("pricelab.screens").joinpath("counter.css").read_text("utf-8")
        look = widgets.HTML(f"{style()}<style>{css}</style>")
        self.root.children = [look, self.head.box, both]
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
        if several:
            more = [Part(blank.value, n.value, colour.value) for n, blank, colour in self.more]
            parts += [part for part in more if part.pieces]
        size = self.width.value, self.height.value
        return Wanted(self.method.value, tuple(parts), *size, self.order.value)

    def update(self) -> None:
        """Offer what is wanted, or say why not and what would do."""
        counter, wanted = self._counter, self.wanted()
        self._offer, refused = None, None
        if why_not(counter, wanted):
            refused = refuse(counter, wanted)
            say.show_refusal(self.price, counter, refused)
            self.hint.write("")
        else:
            self._offer = offer = make_offer(counter, wanted)
            say.show_price(self.price, counter, offer)
            say.show_hint(self.hint, counter, offer, more_pieces(counter, wanted))
        self._draw_front(wanted, None if refused is None or refused.fits else refused)
        self._compare(wanted)
        say.show_good_to_know(self.notes, counter, wanted)
        self.saved.write("")
        self.save.said.value = ""

    def _draw_front(self, wanted: Wanted, refused: Refusal | None) -> None:
        counter, artwork = self._counter, artwork_of(self._counter, wanted)
        front = CapFront.of(
            counter.shop.blanks[wanted.parts[0].blank],
            counter.short_name(wanted.method),
            counter.shop.unit,
            (artwork.width, artwork.height),
            reason=refused.reason if refused else "",
            would_fit=refused.size if refused else None,
        )
        self._draw(self.front, front)

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
        if steps:
            lines = (steps.pop(wanted.method, None), tuple(steps.values()))
            blank = counter.shop.blanks[wanted.parts[0].blank].name
            at = PriceSteps(blank, counter.shop.currency, wanted.quantity, *lines)
            self._draw(self.steps, at)
        else:
            self.steps.write("")
            self._drawn.pop(self.steps, None)
        if len(self.look) > 1:  # one alone has nothing beside it
            say.show_methods(self.by_price, counter, wanted.method, results)

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
        say.show_saved(self.saved, number, made[f"quote-{number}.pdf"])
        return ""


def _stack(*items) -> widgets.VBox:
    return widgets.VBox([getattr(item, "box", item) for item in items])


def _row(kind: str, *items) -> widgets.HBox:
    return widgets.HBox([getattr(item, "box", item) for item in items]).add_class(kind)


def open_counter(named: Path | None = None) -> Panel:
    """The client's screen for the shop that is named, or the one the workbook was opened on."""
    before = tables_of(named)
    try:
        folder = shop_folder(named)
        read = read_shop(folder)
        counter = catalogue_of(read)
    except PricelabError:
        return FaultsPanel(PricelabError(NOT_YET))
    panel = CounterPanel(counter, folder / QUOTES, stamp=stamped(read))
    if os.environ.get(KEEPS_VARIABLE):  # else the tables that it was opened on are those kept
        panel.follow(partial(tables_of, named), before, partial(open_counter, named))
    return panel
