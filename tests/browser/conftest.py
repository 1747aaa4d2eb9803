"""A real browser, which is let at this machine only and tells what it asked of others."""

import os
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

import nbformat
import pytest
from programs import program_or_skip

LOOPBACK = ("127.0.0.1", "localhost")
PATIENCE = 60_000  # milliseconds: two cores, one of them busy with other tests


@dataclass
class Visit:
    """A tab, the addresses beyond this machine it asked for, and what its websockets carried."""

    page: object
    outside: list[str] = field(default_factory=list)
    frames: list[str] = field(default_factory=list)

    def watch(self):
        """Block and count every request beyond loopback; keep the websockets' frames."""
        self.page.route("**/*", self._let_or_block)
        self.page.on("websocket", self._listen)
        self.page.set_default_timeout(PATIENCE)

    def _let_or_block(self, route):
        if self._is_outside(route.request.url):
            route.abort()
        else:
            route.continue_()

    def _is_outside(self, address):
        parts = urlsplit(address)
        if parts.scheme in ("data", "blob", "about") or parts.hostname in LOOPBACK:
            return False
        self.outside.append(address)
        return True

    def _listen(self, socket):
        self._is_outside(socket.url)
        for way in ("framesent", "framereceived"):
            socket.on(way, self._keep)

    def _keep(self, frame):
        text = frame if isinstance(frame, str) else bytes(frame).decode("utf-8", errors="replace")
        self.frames.append(text)


@pytest.fixture(scope="session")
def chromium():
    """A headless Chromium of this machine."""
    path = program_or_skip("Chromium", "chromium", "chromium-browser", "google-chrome")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=path,
            args=["--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost"],
            chromium_sandbox=not (hasattr(os, "geteuid") and os.geteuid() == 0),
        )
        yield browser
        browser.close()


@pytest.fixture
def visit(chromium):
    """A fresh tab; the test fails when anything beyond this machine was asked for."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900})
    visit = Visit(context.new_page())
    visit.watch()
    yield visit
    context.close()
    assert visit.outside == [], "requests beyond this machine"


@pytest.fixture
def write_notebook():
    """Writes a notebook of `cells` (Markdown where they start with #) to `path`."""

    def write(path: Path, *cells: str, run_on_open: bool = True) -> Path:
        notebook = nbformat.v4.new_notebook(
            metadata={
                "kernelspec": {"name": "python3", "display_name": "Python 3"},
                "pricelab": {"run_on_open": run_on_open},
            }
        )
        for cell in cells:
            kind = nbformat.v4.new_markdown_cell if cell[0] == "#" else nbformat.v4.new_code_cell
            notebook.cells.append(kind(cell))
        path.parent.mkdir(parents=True, exist_ok=True)
        nbformat.write(notebook, path)
        return path

    return write
