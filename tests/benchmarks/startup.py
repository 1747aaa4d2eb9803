"""From the README's command to a usable first screen: ``python tests/benchmarks/startup.py``.

The workbook and the client's page are opened as a reader does, in a real Chromium without a
cache; beside each, in the same round, what it is built on: JupyterLab and Voilà on a notebook
of one cell, which JupyterLab does not even run. Seconds from the start of the command, medians
of the rounds; processor seconds are those of the server and its kernels, among them the one
that is kept ready for the next page, where there was time to start it.
"""

import argparse
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import NamedTuple

import psutil
from browser import chromium, new_page, write_notebook

from pricelab.app.launch import LOOPBACK, free_port
from pricelab.files.folders import DEMO_SHOP, ROOT, SHOP_VARIABLE

PHASES = ("listening", "page loaded", "kernel joined", "first shown", "all done", "processor")

JOINED = """() => {
    const Socket = window.WebSocket
    window.WebSocket = class extends Socket {
        constructor(address, ...more) {
            super(address, ...more)
            if (address.includes("/channels"))
                this.addEventListener("open", () => { window.joined ??= Date.now() })
        }
    }
}"""

IDLE = ".jp-Notebook-ExecutionIndicator[data-status=idle]"
NOT_DIRTY = f"body:not(:has(.jp-mod-dirty)) {IDLE}"
"""All cells are run: the notebook counts as changed while they are."""

OUTPUT = ".jp-OutputArea-output:has-text('2')"
STEPS = 'svg[aria-labelledby="counter-steps-title"]'


class Opened(NamedTuple):
    """The words of a command that serves; what in the page tells that it is there, and done."""

    words: str
    path: str | None
    shown: str
    done: str


LAB = "jupyterlab --IdentityProvider.token= --allow-root --LabApp.news_url='' --notebook-dir=."
MEASURED = {
    "JupyterLab, bare": Opened(LAB, "lab/tree/bare.ipynb", ".jp-Cell", IDLE),
    "workbook": Opened("pricelab open", None, ".pl-panel svg.pl-picture", NOT_DIRTY),
    "Voilà, bare": Opened("voila bare.ipynb", "", OUTPUT, OUTPUT),
    "client's page": Opened("pricelab client", None, ".plc-price", STEPS),
}
"""Ours tell their address themselves: it has a token in it."""


def main() -> int:
    """Measure and print; there is no aim but the ratio to what it is built on."""
    options = argparse.ArgumentParser()
    options.add_argument("--rounds", type=int, default=5)
    rounds = options.parse_args().rounds
    print(f"{'seconds from the command to':24}" + "".join(f"{phase:>15}" for phase in PHASES))
    times = {name: [] for name in MEASURED}
    with TemporaryDirectory() as folder, chromium() as browser:
        shutil.copytree(DEMO_SHOP, Path(folder) / "shop")
        write_notebook(Path(folder) / "bare.ipynb", "1+1")
        for _ in range(rounds):
            for name, opened in MEASURED.items():
                times[name].append(measure(browser, opened, Path(folder)))
    middle = {name: list(map(median, zip(*rows, strict=True))) for name, rows in times.items()}
    for ours, theirs in (("workbook", "JupyterLab, bare"), ("client's page", "Voilà, bare")):
        pairs = zip(middle[ours], middle[theirs], strict=True)
        middle[f"{ours}, ratio"] = [own / bare for own, bare in pairs]
    for name, row in middle.items():
        print(f"{name:24}" + "".join(f"{figure:15.2f}" for figure in row))
    return 0


def measure(browser, opened: Opened, folder: Path) -> list[float]:
    """Seconds to each phase, and the processor's."""
    begun = time.time()
    with serving(opened, folder) as (address, process):
        at = [time.time()]
        page = new_page(browser)
        page.add_init_script(f"({JOINED})()")
        page.goto(address)
        at.append(time.time())
        page.locator(opened.shown).first.wait_for()
        shown = time.time()
        page.wait_for_function("window.joined")
        page.locator(opened.done).first.wait_for()
        at += [page.evaluate("window.joined") / 1000, shown, time.time()]
        family = [process, *process.children(recursive=True)]
        spent = sum(sum(each.cpu_times()[:2]) for each in family)
        page.context.close()
    return [*(each - begun for each in at), spent]


@contextmanager
def serving(opened: Opened, folder: Path) -> Iterator[tuple[str, psutil.Process]]:
    """Run the command; its address once it listens."""
    port, said = free_port(), folder / "said.txt"
    places = ("JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "IPYTHONDIR")
    told = {**os.environ, **{name: str(folder / name) for name in places}}
    told |= {"PYTHONPATH": str(ROOT), SHOP_VARIABLE: str(folder / "shop")}
    words = [*opened.words.split(), "--no-browser", "--port", str(port)]
    with said.open("w") as out:
        process = subprocess.Popen(
            [sys.executable, "-m", *words], stdout=out, stderr=out, env=told, cwd=folder
        )
        try:
            yield address(opened, process, said, port), psutil.Process(process.pid)
        finally:
            process.terminate()
            try:
                process.wait(timeout=10)
            except subprocess.TimeoutExpired:  # bare JupyterLab does not always hear it
                process.kill()
                process.wait()


def address(opened: Opened, process: subprocess.Popen, said: Path, port: int) -> str:
    """Where it is served."""
    while process.poll() is None:
        text = said.read_text("utf-8")
        if opened.path is None and " is at " in text:
            return text.partition(" is at ")[2].split()[0]
        if opened.path is not None and f":{port}/" in text:
            return f"http://{LOOPBACK}:{port}/{opened.path}"
        time.sleep(0.02)
    raise SystemExit(f"{opened.words}: {said.read_text('utf-8')}")


if __name__ == "__main__":
    sys.exit(main())
