"""The owner's panel for a price list: spec, list with margins, staircase, findings, why."""

from functools import partial

from pricelab.files.clock import now, today
from pricelab.files.save_list import FILE, save_list
from pricelab.files.saving import OLD, file_stem, save_whole
from pricelab.files.shop_folder import ShopFolder, read_shop
from pricelab.lists.account import account_of
from pricelab.lists.audit import Audit
from pricelab.lists.basis import list_measure
from pricelab.lists.breaks import DOZENS, FRIENDLY, MOST_TIERS, TENS
from pricelab.lists.draft import Draft, ListSpec, OwnPrice, draft, opening_spec
from pricelab.lists.trouble import Trouble
from pricelab.paper.client_copy import ClientCopy
from pricelab.paper.list_csv import list_csv
from pricelab.paper.list_pdf import list_pdf
from pricelab.paper.list_xlsx import list_xlsx
from pricelab.pictures.frontier import FRONTIER, Frontier
from pricelab.pictures.staircase import STAIRCASE, Staircase
from pricelab.screens.account_table import account_description, show_account
from pricelab.screens.controls import Choice, Pick, Press, SideBox, Slide, Tick, Typed
from pricelab.screens.html import paragraph, sentence, text
from pricelab.screens.panel import Panel, Shown, View
from pricelab.screens.price_table import show_prices
from pricelab.screens.reading import pieces, price, rising, size
from pricelab.shop.figures import number
from pricelab.shop.money import show_money
from pricelab.shop.rounding import Rounding
from pricelab.words.findings import (
    name_of,
    say,
    size_label,
    size_unit,
    tax_note,
    tier_label,
    verdict,
)

HANDED_OUT = "for-clients"
"""The folder in the shop's folder for what is handed out."""

PAPERS = {"PDF": list_pdf, "XLSX": list_xlsx, "CSV": list_csv}

NEW, TODAY = "new", "today"
CHOSEN, TYPED = "chosen", "typed"

_PLACES = {"dozens": DOZENS, "tens, hundreds": TENS, "either": FRIENDLY}
_USUAL = [*map(Rounding, (0.05, 0.1, 0.25, 0.5, 1.0)), Rounding(1.0, 0.95), Rounding(1.0, 0.9)]


class PriceListPanel(Panel):
    """Drafts a list of one method on one blank, beside today's, and explains every price."""

    def __init__(self, folder: ShopFolder):
        shop = self._shop = folder.shop
        self._folder = folder
        self.draft: Draft | None = None
        at = folder.price_lists[0] if folder.price_lists else None
        self.method = Choice.of("Method", shop.methods, at and at.method, width="250px")
        self.blank = Choice.of("Blank", shop.blanks, at and at.blank, width="180px")
        self.sizes = Typed("Size bands, up to", self._read_sizes, "", width="194px")
        self.target = Slide("Target margin", 0.0, (0, 90), "%", "104px", step=0.5)
        self.floor = Slide("Floor margin", 0.0, (0, 90), "%", "104px", step=0.5)
        own = shop.pricing.rounding
        roundings = {
            _rounding_words(one, shop.currency): one for one in dict.fromkeys([own, *_USUAL])
        }
        self.rounding = Choice("Prices go up to", roundings, own, width="140px")
        self.by = SideBox("Quantity breaks", {"chosen for me": CHOSEN, "typed": TYPED})
        self.tiers = Slide("How many tiers", 1, (1, MOST_TIERS), width="98px")
        self.places = Choice("Tiers start at", _PLACES, width="120px")
        self.first = Typed("Smallest order", pieces(), "", width="92px")
        starts = rising("quantities", "6, 12, 24, 48", pieces())
        self.starts = Typed("Tiers from, pieces", starts, "", width="230px")
        self.shown = SideBox("Look at", {"the new list": NEW, "today's list": TODAY})
        self.band = Choice("Size", {"": 0}, width="170px")
        self.tier = Choice("Pieces", {"": 0}, width="130px")
        self.own = Typed("Your own price", price(shop.decimals), "", width="130px")
        self.finding = Pick("Findings: choose one to see its cell")
        self.verdict, self.table, self.said, self.account = (Shown() for _ in range(4))
        self.why = Tick("show every line of the cost sheet")
        self.files = [
            Press("Save as my shop's list", self._save),
            *(Press(f"Save {kind} for clients", partial(self._hand_out, kind)) for kind in PAPERS),
        ]
        self.staircase = View(STAIRCASE, "list-staircase")
        self.frontier = View(FRONTIER, "list-frontier")
        self._open()
        self.finding.on_change(self._go_to_finding)
        breaks = [self.by, self.tiers, self.places, self.first, self.starts]
        self.lay_out(
            [self.method, self.blank, self.sizes, self.rounding],
            [self.target, self.floor, *breaks],
            self.verdict,
            [self.shown, self.band, self.tier, self.own],
            *(self.table, self.staircase),
            [self.finding],
            *(self.said, self.account),
            [self.why],
            self.frontier,
            self.files,
        )

    # ---- the spec ---------------------------------------------------------------------

    def _read_sizes(self, said: str):
        unit = size_unit(*list_measure(self._shop.methods[self.method.value]))
        return rising("sizes", "2, 2.5, 3", size(unit))(said)

    def _open(self) -> None:
        """Put the controls to where drafting this method on this blank begins."""
        self._opened = (self.method.value, self.blank.value)
        self._own: dict[tuple[float, int], float] = {}  # prices set by hand, by size and tier
        self._own_of: tuple[float, int] | None = None  # the cell that the field is shown for
        method = self._shop.methods[self.method.value]
        spec = opening_spec(self._folder, method, self._shop.blanks[self.blank.value])
        unit = size_unit(*list_measure(method))
        self.sizes.widget.description = f"Size bands, up to ({unit})"
        self.sizes.set(", ".join(f"{size:g}" for size in spec.sizes))
        self.first.set(number(spec.first))
        self.tiers.set(spec.tiers)
        self.places.set(spec.places)
        self.starts.set(", ".join(map(str, spec.starts)))
        self.target.set(spec.target * 100)
        self.floor.set(spec.floor * 100)
        self._last = spec.last
        if hasattr(self, "controls"):
            self.keep_start()

    def read(self, folder: ShopFolder) -> None:
        """Take the shop as it is once the list is saved."""
        self._folder, self._shop = folder, folder.shop

    def carry(self, before: "PriceListPanel") -> None:
        """And the prices set by hand."""
        super().carry(before)
        self._own = before._own | self._own
        self.refresh()

    def spec(self) -> ListSpec:
        """What the controls ask for."""
        return ListSpec(
            method=self.method.value,
            blank=self.blank.value,
            sizes=self.sizes.value,
            first=self.first.value,
            last=self._last,
            tiers=self.tiers.value,
            target=self.target.value / 100,
            floor=self.floor.value / 100,
            rounding=self.rounding.value,
            starts=self.starts.value if self.by.value == TYPED else None,
            places=self.places.value,
            own=tuple(OwnPrice(*cell, asked) for cell, asked in self._own.items()),
        )

    # ---- what is shown ----------------------------------------------------------------

    def update(self) -> None:
        """Draft the list of the spec and show it, or today's, and the cell that is asked for."""
        if self._opened != (self.method.value, self.blank.value):
            self._open()
        self._note_own()
        typed = self.by.value == TYPED
        self.starts.show(typed)
        for control in (self.tiers, self.places, self.first):
            control.show(not typed)
        spec = self.spec()
        with self.answering(self.floor):
            spec.rules(self._shop)
        with self.answering(self.blank):
            drafted = self.draft = draft(self._folder, spec)
        of_today = self.shown.value == TODAY and drafted.today is not None
        judged = drafted.today if of_today else drafted.judged
        listed = judged.price_list
        bands = [size_label(listed, band) for band in range(len(listed.sizes))]
        tiers = [tier_label(listed, tier) for tier in range(len(listed.starts))]
        self.band.offer({words: at for at, words in enumerate(bands)})
        self.tier.offer({words: at for at, words in enumerate(tiers)})
        here = band, tier = self.band.value, self.tier.value
        self._offer_own(here, of_today)
        self._say_verdict(judged)
        beside = {"beside": drafted.today_prices, "own": drafted.own}
        beside["named"] = "" if drafted.today is None else "today"
        show_prices(self.table, judged, drafted.shop, here=here, **({} if of_today else beside))
        self.staircase.draw(Staircase.of(judged, band, sentence(bands[band])))
        self._say_findings(judged, bands, tiers)
        told = account_description(
            account_of(judged, *here), judged.basis.method, self._shop, of_cell=True
        )
        asked, cell = self._shop.money(listed.prices[here]), f"{bands[band]}, {tiers[tier]} pieces"
        head = f"<h4>Why {text(asked)} for {text(cell)}?</h4>"
        show_account(self.account, told, head=head, lines=self.why.value)
        chosen = min(len(drafted.judged.price_list.starts), len(drafted.frontier))
        self.frontier.draw(Frontier(drafted.shop.currency, drafted.frontier, chosen))

    def _note_own(self) -> None:
        """Keep what stands in the field for the cell that it was shown for."""
        if self._own_of is not None:
            self._own.pop(self._own_of, None)
            if self.own.value is not None:
                self._own[self._own_of] = self.own.value

    def _offer_own(self, here: tuple[int, int], of_today: bool) -> None:
        """The field for the cell that is looked at; today's list is not changed by it."""
        listed = self.draft.judged.price_list
        cell = None if of_today else (float(listed.sizes[here[0]]), int(listed.starts[here[1]]))
        self.own.show(not of_today)
        if cell != self._own_of:
            self._own_of = cell
            asked = self._own.get(cell)
            self.own.set("" if asked is None else f"{asked:.{self._shop.decimals}f}")

    def _say_verdict(self, judged: Audit) -> None:
        drafted, setup = self.draft, judged.price_list.setup
        notes = [*drafted.notes]
        if setup:
            money = drafted.shop.money(setup)
            notes.append(f"Set-up is a line of its own: {money} on a first order.")
        by_hand = int(drafted.own.sum())
        if by_hand:
            what = "One price is" if by_hand == 1 else f"{by_hand} prices are"
            notes.append(f"{what} your own; empty its field to have it planned again.")
        if self.shown.value == TODAY and drafted.today is None:
            notes.append("There is no list of this method on this blank today.")
        notes.append(tax_note(drafted.shop.pricing.tax))
        said = verdict(judged, drafted.shop)
        html = paragraph(said, "finding") + paragraph(" ".join(notes), "side")
        self.verdict.write(html, "\n".join([said, *notes]))

    def _say_findings(self, judged: Audit, bands: list[str], tiers: list[str]) -> None:
        """All findings to choose from, and those of the cell that is looked at in sentences."""
        found, of_cell = {}, []
        for one in judged.findings:
            words = f"{tiers[one.tier]} pieces: {one.trouble.value}"
            if one.trouble is not Trouble.BETTER_OFF:  # that is said once a tier, whatever the size
                words = f"{bands[one.band]}, {words}"
            found.setdefault(words, (one.band, one.tier, one.trouble.value))
            if (one.band, one.tier) == (self.band.value, self.tier.value):
                of_cell.append(say(one, judged.price_list, self.draft.shop))
        self.finding.offer(found)
        self.said.say_each(of_cell or ["Nothing is wrong with the chosen cell."])

    def _go_to_finding(self) -> None:
        """Look at the cell of the finding that was picked."""
        if self.finding.value is not None and not self._busy:
            with self.quietly():
                self.band.set(self.finding.value[0])
                self.tier.set(self.finding.value[1])

    # ---- what is saved ----------------------------------------------------------------

    def _save(self) -> str:
        """Put the new list into the shop's folder."""
        self.check_up_to_date()
        price_list, changed = self.draft.judged.price_list, self.draft.changed
        kept = save_list(self._folder, price_list, now())
        self.refresh(read_shop(self._folder.folder))
        said = f"Saved in {FILE}: {name_of(self._shop, price_list)}."
        if kept is not None:
            prices = "1 price" if changed == 1 else f"{changed or 'No'} prices"
            said += f" {prices} changed; the list you had is kept in {OLD}/{kept.name}."
        return said

    def _hand_out(self, kind: str) -> str:
        """Save the new list as clients get it, without a cost in it."""
        self.check_up_to_date()
        price_list = self.draft.judged.price_list
        copy = ClientCopy.of(self.draft.shop, price_list, today())
        file = f"{file_stem(price_list.method, price_list.blank)}-price-list.{kind.lower()}"
        save_whole(self._folder.folder / HANDED_OUT / file, PAPERS[kind](copy))
        return f"Saved in your shop's folder: {HANDED_OUT}/{file}"


def _rounding_words(one: Rounding, currency: str) -> str:
    if one.ending:
        return f"end in {show_money(one.ending, currency)}"
    return f"the next {show_money(one.step, currency)}"
