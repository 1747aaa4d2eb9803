"""From key press to new picture on screen: ``python tests/benchmarks/screens.py``.

Drives a real Chromium; every figure is measured in one run, beside bare matplotlib drawing
the same lines to PNG and the plain `Output` way. The exit code is 1 if an aim was missed.
Nothing here runs with the tests: a loaded machine must not fail a correct program.
"""

import io
import os
import shutil
import sys
import time
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

import nbformat
from measured import curves, plain

from pricelab.app import launch
from pricelab.app.launch import CLIENT_PAGE
from pricelab.files.folders import DEMO_SHOP, NOTEBOOKS, ROOT

HERE = Path(__file__).resolve().parent
CHANGES = 40
ENTRY = ".pl-slide input[type=text]"

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


def main() -> int:
    """Measure, print, and tell by the exit code whether all aims were met."""
    os.environ["PYTHONPATH"] = os.pathsep.join([str(HERE), str(ROOT)])
    bare = _bare()
    print(f"{'':34}{'median':>8}{'95 %':>8}  ms from key press to picture")
    print(f"{'matplotlib alone, PNG, no screen':34}{median(bare):8.0f}{_p95(bare):8.0f}")
    met = []
    with TemporaryDirectory() as folder, _browser() as browser:
        ours = _notebook(Path(folder) / "ours.ipynb", "from measured import Measured\n\nMeasured()")
        theirs = _notebook(
            Path(folder) / "plain.ipynb",
            "%matplotlib inline\nfrom measured import plain_way\n\nplain_way()",
        )
        lab = _lab(browser, ours, "svg.pl-picture", "JupyterLab", 80, 120, met)
        slow = _lab(browser, theirs, ".jp-OutputArea img", "JupyterLab, Output and plt.show")
        ratio = median(slow) / median(lab)
        met.append(ratio >= 3)
        print(f"{'':34}{ratio:8.1f} times quicker, aim 3: {_verdict(met[-1])}")
        with launch.client_page(ours, DEMO_SHOP) as served:
            _measured(browser, served, "svg.pl-picture", "client page", 50, 80, met)
        with launch.client_page(NOTEBOOKS / CLIENT_PAGE, DEMO_SHOP) as served:
            shown = 'svg[aria-labelledby="counter-steps-title"]'
            _measured(browser, served, shown, "client page, whole screen", 50, 80, met)
        prices = Path(folder) / "1-price-list.ipynb"
        shutil.copy(NOTEBOOKS / prices.name, prices)
        with launch.workbook(prices.parent, DEMO_SHOP, prices.name) as served:
            _measured(browser, served, ".pl-prices", "price list, whole panel")
    return 0 if all(met) else 1


def _bare() -> list[float]:
    """Milliseconds of drawing the plain figure to PNG, without a kernel or a screen."""
    import matplotlib as mpl
    import matplotlib.pyplot as plt

    mpl.use("agg")
    times = []
    for marked in range(100, 100 + CHANGES):
        start = time.perf_counter()
        plain(curves(marked)).savefig(io.BytesIO(), format="png")
        times.append(1000 * (time.perf_counter() - start))
        plt.close("all")
    return times


def _notebook(path: Path, code: str) -> Path:
    notebook = nbformat.v4.new_notebook(
        cells=[nbformat.v4.new_code_cell(code)],
        metadata={
            "kernelspec": {"name": "python3", "display_name": "Python 3"},
            "pricelab": {"run_on_open": True},
        },
    )
    nbformat.write(notebook, path)
    return path


class _browser:  # noqa: N801 - used like a function
    def __enter__(self):
        from playwright.sync_api import sync_playwright

        found = (shutil.which(name) for name in ("chromium", "chromium-browser", "google-chrome"))
        path = next(filter(None, found))
        self.playwright = sync_playwright().start()
        root = hasattr(os, "geteuid") and os.geteuid() == 0
        self.browser = self.playwright.chromium.launch(
            executable_path=path, chromium_sandbox=not root
        )
        return self.browser

    def __exit__(self, *_):
        self.browser.close()
        self.playwright.stop()


def _lab(browser, notebook, shown, name, *aims):
    with launch.workbook(notebook.parent, DEMO_SHOP, notebook.name) as served:
        return _measured(browser, served, shown, name, *aims)


def _measured(browser, served, shown, name, middle=None, high=None, met=None):
    """Forty key presses, each after the last one's picture; then thirty in a row."""
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.set_default_timeout(90_000)
    page.goto(served.address)
    entry = f".widget-vbox {ENTRY}"
    page.locator(entry).first.wait_for()
    page.locator(shown).first.wait_for()
    page.wait_for_timeout(3000)  # the page is done with its own start
    page.evaluate(WATCH, [entry, shown])
    page.locator(entry).first.focus()
    for count in range(1, CHANGES + 1):
        page.keyboard.press("ArrowUp")
        page.wait_for_function("(n) => window.times.length >= n", arg=count)
        page.wait_for_timeout(60)
    times = page.evaluate("window.times")[:CHANGES]
    for _ in range(30):
        page.keyboard.press("ArrowDown")
    page.wait_for_timeout(1500)
    after = page.evaluate("window.times.at(-1)")
    page.close()
    line = f"{name:34}{median(times):8.0f}{_p95(times):8.0f}"
    print(f"{line}  after 30 quick ones {after:.0f}", end="")
    if middle is None:
        print(flush=True)
        return times
    met += [median(times) < middle, _p95(times) < high, after < 200]
    print(f"; aims {middle}, {high}, 200: {', '.join(map(_verdict, met[-3:]))}", flush=True)
    return times


def _p95(times) -> float:
    return sorted(times)[int(0.95 * len(times))]


def _verdict(good: bool) -> str:
    return "met" if good else "MISSED"


if __name__ == "__main__":
    sys.exit(main())
