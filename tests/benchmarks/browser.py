"""What the benchmarks in a browser share: a Chromium, and notebooks of one cell."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import nbformat
from playwright.sync_api import Browser, Page, sync_playwright

PATIENCE = 90_000  # milliseconds


@contextmanager
def chromium() -> Iterator[Browser]:
    """A headless Chromium of this machine."""
    found = map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))
    root = hasattr(os, "geteuid") and os.geteuid() == 0
    with sync_playwright() as playwright:
        path = next(filter(None, found))
        browser = playwright.chromium.launch(executable_path=path, chromium_sandbox=not root)
        yield browser
        browser.close()


def new_page(browser: Browser) -> Page:
    """A tab of its own, without a cache."""
    page = browser.new_context(viewport={"width": 1280, "height": 900}).new_page()
    page.set_default_timeout(PATIENCE)
    return page


def write_notebook(path: Path, code: str) -> Path:
    """A notebook of one cell, which runs when it is opened."""
    kernel = {"name": "python3", "display_name": "Python 3"}
    about = {"kernelspec": kernel, "pricelab": {"run_on_open": True}}
    cells = [nbformat.v4.new_code_cell(code)]
    nbformat.write(nbformat.v4.new_notebook(cells=cells, metadata=about), path)
    return path
