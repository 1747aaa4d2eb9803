"""Nothing of costs, margins or other clients reaches a client, by any way there is.

A copy of the demo shop has costs like 6.9037: figures that no price, size, date or coordinate
is, so that a match is a leak. A browser opens the screen, drives every control and keeps all
that can be read of it: what is seen, the page's source, every answer of the server, every
frame of the websockets both ways, and every file that is saved. All of it is searched.
"""

import csv
import io
import json
import math
import re
import shutil
import subprocess
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Error
from programs import program_or_skip

from pricelab.app import launch
from pricelab.cost.costing import cost_sheet
from pricelab.cost.orders import Order, check_possible
from pricelab.files.folders import DEMO_SHOP, NOTEBOOKS
from pricelab.files.records.shop_then import shop_then
from pricelab.files.shop_folder import read_shop
from pricelab.shop.sizes import Artwork

pytestmark = [pytest.mark.browser, pytest.mark.slow]

NOTEBOOK = "2-quantity-breaks.ipynb"

TAIL = "37"
"""What makes a cost unmistakable: two decimals more than money has."""

COST_COLUMNS = {
    "blank_prices.csv": ("price",),
    "methods.csv": ("set-up",),
    "costs.csv": ("amount",),
    "rolls.csv": ("price",),
    "stitching.csv": ("thread price",),
    "operations.csv": ("minutes",),
}
SETTINGS = ("labour rate", "overhead rate", "target margin", "floor margin")

# Words of the shop's own reckoning. A client may read what an order *costs* the client.
WORDS = re.compile(
    r"\b(margins?|markup|profit\w*|floor|spoil\w*|overhead|labour|full cost|unit cost|"
    r"our cost|cost (a piece|price|sheet)|contribution|break-even)\b",
    re.IGNORECASE,
)
THE_CLIENTS_COST = re.compile(
    r"(order cost\?|costs? (less|no more|\$|€)|pieces cost no|next step costs no)", re.IGNORECASE
)


# ---- a shop whose costs are unmistakable ----------------------------------------------


def _odd(cell: str) -> str:
    """A figure with the tail, if the cell holds one: 6.90 becomes 6.9037, 42 % 42.0037 %."""
    number = re.fullmatch(r"(\d+(?:\.\d+)?)( ?%)?", cell.strip())
    if not number or not float(number[1]):
        return cell
    return f"{float(number[1]):.2f}{TAIL}{number[2] or ''}"


@dataclass(frozen=True)
class OddShop:
    """The shop's folder, its secret figures, and the names of its other clients."""

    folder: Path
    figures: tuple[float, ...]
    names: tuple[str, ...]


@pytest.fixture(scope="module")
def shop(tmp_path_factory) -> OddShop:
    """The demo shop with its prices as they are and every cost made odd."""
    folder = tmp_path_factory.mktemp("odd") / "shop"
    shutil.copytree(DEMO_SHOP, folder, ignore=shutil.ignore_patterns("quotes"))
    figures: set[float] = set()
    for path in [*folder.glob("*.csv"), *folder.glob("grids/*.csv")]:
        rows = list(csv.reader(io.StringIO(path.read_text("utf-8"))))
        head = next(at for at, row in enumerate(rows) if row and not row[0].startswith("#"))
        for row in rows[head + 1 :]:
            for at in _cost_cells(path, rows[head], row):
                row[at] = _odd(row[at])
                if row[at].rstrip(" %").endswith(TAIL):
                    figure = float(row[at].rstrip(" %"))
                    figures.add(round(figure / 100, 6) if "%" in row[at] else figure)
        text = io.StringIO()
        csv.writer(text, lineterminator="\n").writerows(rows)
        path.write_text(text.getvalue(), "utf-8")
    read = read_shop(folder)
    names = tuple(sorted(set(read.jobs["client"])))
    assert len(figures) > 100
    assert len(names) > 10
    return OddShop(folder, (*sorted(figures), *_costs_of_orders(read.shop)), names)


def _cost_cells(path: Path, head, row):
    """Where a row has a cost: cells of cost columns, all prices of a grid, rates and goals."""
    if path.parent.name == "grids":
        return range(1, len(row))
    if path.name == "shop.csv":
        return [1] if row[0] in SETTINGS else []
    named = COST_COLUMNS.get(path.name, ())
    return [at for at, name in enumerate(head) if name in named and at < len(row)]


def _costs_of_orders(shop):
    """What the orders that are put on the screen cost the shop: in all and a piece."""
    found, artwork = set(), Artwork(4, 2, "in")
    pairs = [(method, "structured-twill") for method in shop.methods]
    for method, blank in [*pairs, *(("leather", blank) for blank in shop.blanks)]:
        for quantity in (36, 45, 48):
            for first in (True, False):
                order = Order.of(
                    shop.blanks[blank], quantity, shop.methods[method], artwork, first=first
                )
                try:
                    check_possible(order)
                except ValueError:
                    continue
                cost = float(cost_sheet(shop, order).full)
                found |= {cost, cost / quantity}
    return tuple(sorted(found))


# ---- what is kept, and the search -----------------------------------------------------


@dataclass
class Kept:
    """Everything there is to read, by where it was found."""

    texts: dict[str, list[str]] = field(default_factory=dict)

    def add(self, where: str, text: str) -> None:
        """Keep a text."""
        self.texts.setdefault(where, []).append(text)

    def search(self, shop: OddShop, words=()) -> dict[str, set[str]]:
        """What leaked, by where: figures and names everywhere, words in the places named."""
        found: dict[str, set[str]] = {}
        pattern = _figures(shop.figures)
        for where, texts in self.texts.items():
            text = _without_looks("\n".join(texts))
            leaks = {match[0] for match in pattern.finditer(text)}
            leaks |= {name for name in shop.names if name in text}
            if where in words:
                leaks |= {match[0].lower() for match in WORDS.finditer(text)}
            if leaks:
                found[where] = leaks
        return found


def _figures(figures) -> re.Pattern:
    """Any figure as it could be written: with four decimals, three, or dollars and cents.

    Decimals tell it from a coordinate, which has two, the dollar sign from a size. Figures
    under 1 are not looked for by three decimals, nor a cost of a round quarter by its cents,
    which a price may have.
    """
    digits, cents = set(), set()
    for figure in figures:
        written = f"{figure:.6f}".rstrip("0")  # a cost that was worked out has more decimals
        digits.add(written if len(written.partition(".")[2]) < 6 else written[:-2])
        if figure > 1:
            digits |= {f"{math.floor(figure * 1e3 + 1e-6) / 1e3:.3f}", f"{figure:.3f}"}
        if round(figure * 100) % 25 and figure > 0.05:
            cents.add(f"{figure:,.2f}")
    return re.compile(
        rf"(?<![\d.,#])(?:{'|'.join(map(re.escape, sorted(digits, key=len, reverse=True)))})"
        rf"|\$(?:{'|'.join(map(re.escape, sorted(cents)))})(?!\d)"
    )


def _without_looks(text: str) -> str:
    """Text without what looks like a leak and tells nothing of a shop.

    Style sheets, icons (our own pictures stay), the layout property that is called margin,
    and points in time, whose seconds have decimals.
    """
    opens = r"(?:<|\\+u003c)"  # as JSON in a page has it
    text = re.sub(rf"{opens}style.*?{opens}\\*/style", "", text, flags=re.DOTALL)
    text = re.sub(r"<svg(?![^>]*pl-picture)[^>]*>.*?</svg>", "", text, flags=re.DOTALL)
    text = re.sub(r"\\*\"margin\\*\": ?(null|\\*\"[^\"]*\")", "", text)
    text = re.sub(r"\bmargin(-\w+)?\s*:", "", text)
    return re.sub(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d+", "", text)


def _is_of_the_programs(address: str) -> bool:
    """Whether a file comes with the programs and is the same for every shop."""
    path = urlsplit(address).path
    return "/static/" in path or "/labextensions/" in path or path.startswith("/voila/templates/")


def _answers(page) -> list:
    answers = []
    page.on("response", lambda answer: answers.append(answer))
    return answers


def _keep_answers(kept: Kept, answers) -> None:
    read = 0
    for answer in answers:
        if answer.status == 200 and not _is_of_the_programs(answer.url):
            with suppress(Error):  # a large answer that the browser has let go of
                kept.add("answers of the server", answer.text())
                read += 1
    assert read, "no answer of the server could be read"


def _keep_saved(kept: Kept, folder: Path) -> None:
    reader = program_or_skip("pdftotext", "pdftotext")
    files = [path for path in folder.rglob("*") if path.is_file()]
    assert {path.suffix for path in files} == {".pdf", ".csv", ".json"}
    for path in files:
        if path.suffix == ".pdf":
            said = [reader, str(path), "-"]
            text = subprocess.run(said, check=True, capture_output=True, text=True).stdout
            kept.add("saved files", text)
        kept.add("saved files", path.read_bytes().decode("utf-8", errors="replace"))


def _search_for_the_stamp(kept: Kept, folder: Path) -> None:
    """The order that is saved for the owner names the shop's tables; nothing else tells of them."""
    (order,) = folder.glob("quotes/*/order-*.json")
    stamp = json.loads(order.read_text("utf-8"))["shop"]
    then = shop_then(folder, stamp)
    assert then.shop.rates == read_shop(folder).shop.rates  # it is kept, with its costs
    secrets = [stamp, *stamp.split("-")]
    texts = [text for where in kept.texts if where != "saved files" for text in kept.texts[where]]
    files = [x for x in (folder / "quotes").rglob("*") if x.is_file() and x != order]
    texts += [path.read_bytes().decode("latin-1") for path in files]
    assert len(files) > 1
    assert not [text for text in texts if any(secret in text for secret in secrets)]


def _keep_sight(kept: Kept, page) -> None:
    kept.add("what is seen", page.locator("body").inner_text())
    kept.add("what is seen", "\n".join(page.locator("svg text").all_text_contents()))
    kept.add("page source", page.content())


# ---- driving --------------------------------------------------------------------------


def settle(visit) -> None:
    """Wait until nothing more is said between the page and the kernel."""
    before, still = -1, 0
    for _ in range(150):
        still = still + 1 if before == len(visit.frames) else 0
        before = len(visit.frames)
        if still == 4:
            return
        visit.page.wait_for_timeout(100)
    raise AssertionError("the page and the kernel never came to rest")


def drive(visit, kept: Kept) -> None:
    """Every control to several values, wrong entries too; a quote is saved at the end."""
    page, panel = visit.page, visit.page.locator(".pl-counter").first

    def after():
        settle(visit)
        kept.add("what is seen", panel.inner_text())
        kept.add("what is seen", "\n".join(panel.locator("svg text").all_text_contents()))

    def enter(label, *entries):
        for entry in entries:
            control = panel.get_by_label(label, exact=True)
            control.fill(entry)
            control.press("Enter")
            after()

    def choose(label, entries=None):
        control = panel.get_by_label(label, exact=True)
        names = control.locator("option").all_inner_texts()
        for name in names if entries is None else names[:entries]:
            control.select_option(name)
            after()
        control.select_option(names[0])
        after()

    def tick(label):
        panel.get_by_text(label, exact=True).click()
        after()

    enter("Pieces", "45", "3", "9999", "48")
    panel.locator(".noUi-handle").focus()
    for _ in range(3):
        page.keyboard.press("ArrowRight")
        after()
    enter("Pieces", "36")
    enter("Width, in", "abc", "9", "2 1/4", "4")
    enter("Height, in", "0", "57 mm", "2")
    choose("Decoration")
    choose("Piece to decorate", 6)
    for artwork in ("made before", "new"):
        panel.get_by_role("button", name=artwork).click()
        after()
    for box in panel.locator(".plc-look input[type=checkbox]").all():
        box.set_checked(True)
        after()
    tick("Several colours or pieces, same artwork")
    enter("Colour of the first", "black")
    enter("How many (2)", "x", "12")
    enter("Colour (2)", "sand")
    choose("Piece (2)", 3)
    enter("For (name, if you like)", "Somebody New")
    panel.get_by_role("button", name="Save the quote").click()
    panel.get_by_text("is saved").wait_for()
    after()


# ---- the tests ------------------------------------------------------------------------


def test_the_clients_page_gives_nothing_away(visit, shop, tmp_path):
    """In what is seen, the source, the server's answers, the frames and the saved files."""
    folder = tmp_path / "shop"
    shutil.copytree(shop.folder, folder)
    kept, page = Kept(), visit.page
    answers = _answers(page)
    with launch.client_page(NOTEBOOKS / NOTEBOOK, folder) as served:
        page.goto(served.address)
        page.locator(".plc-price").wait_for()
        drive(visit, kept)
        _keep_sight(kept, page)
        _keep_answers(kept, answers)
    _keep_saved(kept, folder / "quotes")
    for frame in visit.frames:
        kept.add("frames", frame)
    assert len(visit.frames) > 200
    everywhere = tuple(kept.texts)
    assert len(everywhere) == 5
    _search_for_the_stamp(kept, folder)
    assert kept.search(shop, words=everywhere) == {}
    seen = "\n".join(kept.texts["what is seen"])
    assert "$" in seen
    allowed = THE_CLIENTS_COST.sub("", seen)
    assert re.findall(r".{0,30}\bcosts?\b.{0,30}", allowed, re.IGNORECASE) == []
    assert not any(str(folder) in text for texts in kept.texts.values() for text in texts)


def test_in_the_workbook_it_gives_nothing_away(visit, shop, tmp_path):
    """The same notebook in JupyterLab: its frames, the server's answers, and its saved file."""
    books, folder = tmp_path / "books", tmp_path / "shop"
    books.mkdir()
    shutil.copytree(shop.folder, folder)
    shutil.copy(NOTEBOOKS / NOTEBOOK, books)
    kept, page = Kept(), visit.page
    answers = _answers(page)
    with launch.workbook(books, folder, NOTEBOOK) as served:
        page.goto(served.address)
        page.locator(".pl-counter .plc-price").first.wait_for()
        settle(visit)
        drive(visit, kept)
        before = (books / NOTEBOOK).stat().st_mtime_ns
        page.get_by_role("menuitem", name="Run", exact=True).click()
        page.get_by_text("Run All Cells", exact=True).click()
        page.locator(".jp-mod-dirty").first.wait_for()  # else there is nothing to save
        page.locator(".jp-Notebook-ExecutionIndicator[data-status=idle]").wait_for()
        settle(visit)
        page.get_by_role("menuitem", name="File", exact=True).click()
        page.get_by_text("Save Notebook", exact=True).click()
        for _ in range(100):
            if (books / NOTEBOOK).stat().st_mtime_ns != before:
                break
            page.wait_for_timeout(100)  # requests wait for the watcher, which must not sleep
        assert (books / NOTEBOOK).stat().st_mtime_ns != before, "the notebook was not saved"
        _keep_sight(kept, page)
        _keep_answers(kept, answers)
    _keep_saved(kept, folder / "quotes")
    kept.add("saved notebook", (books / NOTEBOOK).read_text("utf-8"))
    for frame in visit.frames:
        kept.add("frames", frame)
        if '"comm_' in frame:
            kept.add("messages of controls", frame)
    _search_for_the_stamp(kept, folder)
    assert len(kept.texts["messages of controls"]) > 200
    panels = ("messages of controls", "saved files")
    assert kept.search(shop, words=panels) == {}


PLANTED = """\
import ipywidgets
from pricelab.files.shop_folder import read_shop
from pricelab.files.folders import shop_folder
folder = read_shop(shop_folder())
price = float(folder.shop.blanks["structured-twill"].prices.prices[0, 0])
hidden = ipywidgets.HTML(f"margin on {price} for {folder.jobs['client'].iloc[0]}")"""


def test_a_cost_in_a_widget_that_is_never_shown_is_found(visit, shop, tmp_path):
    """A test of the search: it finds the cost, the name and the word, in the frames alone."""
    notebook = json.loads((NOTEBOOKS / NOTEBOOK).read_text("utf-8"))
    planted = {
        "cell_type": "code", "execution_count": None, "id": "planted", "metadata": {},
        "outputs": [], "source": PLANTED,
    }  # fmt: skip
    notebook["cells"].insert(0, planted)
    book = tmp_path / NOTEBOOK
    book.write_text(json.dumps(notebook), "utf-8")
    kept, page = Kept(), visit.page
    answers = _answers(page)
    with launch.client_page(book, shop.folder) as served:
        page.goto(served.address)
        page.locator(".plc-price").wait_for()
        settle(visit)
        _keep_sight(kept, page)
        _keep_answers(kept, answers)
    for frame in visit.frames:
        kept.add("frames", frame)
    found = kept.search(shop, words=tuple(kept.texts))
    assert set(found) == {"frames"}
    name = read_shop(shop.folder).jobs["client"].iloc[0]
    assert found["frames"] == {"6.9037", name, "margin"}


@pytest.mark.parametrize(
    ("text", "leaks"),
    [
        ('{"value": 6.9037}', {"6.9037"}),
        ('{"value": 6.90371}', {"6.9037"}),
        ("each 6.904 of it", {"6.904"}),
        ("for $6.90 a piece", {"$6.90"}),
        ("M 6.90 16.9037 L 6.9 0", set()),
        ("at 2026-11-25T08:00:06.903700Z", set()),
        ("a margin of", {"margin"}),
        ('{"margin": null}<style>a { margin: 0 }</style><p style="margin-left: 2px">', set()),
        ("Bramblewick Beekeepers came", {"Bramblewick Beekeepers"}),
    ],
)
def test_the_search_tells_a_leak_from_a_coordinate(text, leaks):
    """Each way of writing a figure, a word and a name; and what only looks like one."""
    kept = Kept()
    kept.add("here", text)
    shop = OddShop(Path(), (6.9037,), ("Bramblewick Beekeepers",))
    assert kept.search(shop, words=("here",)) == ({"here": leaks} if leaks else {})
