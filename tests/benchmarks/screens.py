"""From key press to new picture on screen: ``python tests/benchmarks/screens.py``.

Drives a real Chromium; every figure, in milliseconds, is measured in one run. The exit code is
1 if an aim was missed. Nothing here runs with the tests: a loaded machine must not fail a
correct program.
"""

import os
import shutil
import sys
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from browser import chromium, new_page
from harness import report

from pricelab.app import launch
from pricelab.files.folders import DEMO_SHOP, NOTEBOOKS, SHOPS_VARIABLE

CHANGES = 40
ENTRY = ".widget-vbox .pl-slide input[type=text]"
STEPS = 'svg[aria-labelledby="counter-steps-title"]'

WATCH = """([entry, shown]) => {
    const input = document.querySelector(entry)
    window.times = []
    input.addEventListener("keydown", () => { window.pressed = performance.now() }, true)
    const picture = () => document.querySelector(shown)
    let last = picture()?.outerHTML
    new MutationObserver(() => {
        const now = picture()?.outerHTML
        if (!now || now === last) return
        last = now
        requestAnimationFrame(() => window.times.push(performance.now() - window.pressed))
    }).observe(document.body, {subtree: true, childList: true, attributes: true})
}"""


def figures():
    """Every figure beside its aim."""
    with TemporaryDirectory() as home, chromium() as browser:
        os.environ[SHOPS_VARIABLE] = home
        shop = shutil.copytree(DEMO_SHOP, Path(home) / "shop")
        with launch.client_page(NOTEBOOKS / launch.CLIENT_PAGE, shop) as served:
            found = _measured(browser, served, STEPS)
        yield from _told("client's page, whole", *found, (50, 80, 200))
        book = Path(shutil.copy(NOTEBOOKS / "1-price-list.ipynb", home))
        with launch.workbook(book.parent, shop, book.name) as served:
            found = _measured(browser, served, ".pl-prices")
        yield from _told("price list, whole panel", *found)


def _told(name, times, after, aims=(None, None, None)):
    found = (median(times), sorted(times)[int(0.95 * len(times))], after)
    kinds = ("median", "95 %", "after 30 quick ones")
    for kind, figure, aim in zip(kinds, found, aims, strict=True):
        yield f"{name}, {kind}", figure, aim


def _measured(browser, served, shown) -> tuple[list[float], float]:
    """Forty key presses, each after the last one's picture; then thirty in a row."""
    page = new_page(browser)
    page.goto(served.address)
    page.locator(ENTRY).first.wait_for()
    page.locator(shown).first.wait_for()
    page.wait_for_timeout(3000)  # the page is done with its own start
    page.evaluate(WATCH, [ENTRY, shown])
    page.locator(ENTRY).first.focus()
    for count in range(1, CHANGES + 1):
        page.keyboard.press("ArrowUp")
        page.wait_for_function("(n) => window.times.length >= n", arg=count)
        page.wait_for_timeout(60)
    times = page.evaluate("window.times")[:CHANGES]
    for _ in range(30):
        page.keyboard.press("ArrowDown")
    page.wait_for_timeout(1500)
    after = page.evaluate("window.times.at(-1)")
    page.context.close()
    return times, after


if __name__ == "__main__":
    sys.exit(report(figures()))
