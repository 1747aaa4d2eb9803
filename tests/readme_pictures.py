"""Takes the README's pictures off the running program: `python tests/readme_pictures.py`.

Needs Chromium. The workbook and the client's page are opened on the demo shop as anybody
opens them, and what they show is photographed; the lines of Python are run as they stand.
"""

import shutil
from pathlib import Path

from playwright.sync_api import sync_playwright
from readme_lines import run_readme_lines

from pricelab.app.launch import client_page, workbook
from pricelab.files.folders import DEMO_SHOP, NOTEBOOKS

PICTURES = NOTEBOOKS / "pictures"
PANEL = ".pl-panel.widget-vbox"


def main() -> None:
    """Write every picture."""
    PICTURES.mkdir(exist_ok=True)
    axes, _ = run_readme_lines()
    axes.figure.set_size_inches(8, 4)
    axes.figure.savefig(PICTURES / "unit-cost.png", dpi=100, bbox_inches="tight")
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1280, "height": 1400}, device_scale_factor=1)
        for number, name, height in ((1, "price-list", 1045), (3, "methods", 640)):
            with workbook(NOTEBOOKS, DEMO_SHOP, f"{number}-{name}.ipynb") as served:
                _photograph(page, served.address, PANEL, PICTURES / f"{name}.png", height)
        page.set_viewport_size({"width": 1280, "height": 800})
        with client_page(NOTEBOOKS / "2-quantity-breaks.ipynb", DEMO_SHOP) as served:
            _photograph(page, served.address, "body", PICTURES / "quantity-breaks.png", 800)
        browser.close()


def _photograph(page, address: str, selector: str, to: Path, height: int) -> None:
    """The upper part of what `selector` finds, once its pictures are there and still."""
    page.goto(address)
    page.locator(f"{selector} svg.pl-picture").first.wait_for(timeout=90_000)
    page.wait_for_timeout(3_000)
    box = page.locator(selector).first.bounding_box()
    box["height"] = min(box["height"], height)
    page.screenshot(path=to, clip=box)


if __name__ == "__main__":
    main()
