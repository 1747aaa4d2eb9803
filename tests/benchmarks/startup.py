"""From the README's command to a usable first screen: ``python tests/benchmarks/startup.py``.

The workbook and the client's page are opened as a reader does, in a real Chromium without a
cache; beside each, in the same round, what it is built on: JupyterLab and Voilà on a notebook
of one cell, which JupyterLab does not even run. Seconds from the start of the command, medians
of the rounds; processor seconds are those of the server and its kernels, among them the one
that is kept ready for the next page, where there was time to start it.
"""

import argparse
import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

import nbformat
import psutil
from screens import _browser

from pricelab.app.launch import LOOPBACK, free_port
from pricelab.files.folders import ROOT

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


@dataclass(frozen=True)
class Opened:
    """A command that serves, and by what in the page one knows that it is there, and done."""

    name: str
    command: Callable[[Path, int], list[str]]
    path: str
    shown: str
    done: str


def pricelab(*words: str) -> Callable[[Path, int], list[str]]:
    """The command of the README, for this port and without a browser of its own."""
    return lambda folder, port: [*("-m", "pricelab", *words, "--no-browser", "--port", str(port))]


def bare(module: str, *words: str) -> Callable[[Path, int], list[str]]:
    """Jupyter's own command on the bare notebook."""
    return lambda folder, port: [
        *("-m", module, "--no-browser", f"--port={port}", *words),
        *([str(folder / "bare.ipynb")] if module == "voila" else [f"--notebook-dir={folder}"]),
    ]


IDLE = ".jp-Notebook-ExecutionIndicator[data-status=idle]"
OUTPUT = ".jp-OutputArea-output:has-text('2')"
LAB = ("--IdentityProvider.token=", "--allow-root", "--LabApp.news_url=''")
NOT_DIRTY = f"body:not(:has(.jp-mod-dirty)) {IDLE}"
"""All cells are run: the notebook counts as changed while they are."""

STEPS = 'svg[aria-labelledby="counter-steps-title"]'
MEASURED = (
    Opened("JupyterLab, bare", bare("jupyterlab", *LAB), "lab/tree/bare.ipynb", ".jp-Cell", IDLE),
    Opened("workbook", pricelab(), "", ".pl-panel svg.pl-picture", NOT_DIRTY),
    Opened("Voilà, bare", bare("voila"), "", OUTPUT, OUTPUT),
    Opened("client's page", pricelab("client"), "", ".plc-price", STEPS),
)  # fmt: skip


def main() -> int:
    """Measure and print; there is no aim but the ratio to what it is built on."""
    options = argparse.ArgumentParser()
    options.add_argument("--rounds", type=int, default=5)
    rounds = options.parse_args().rounds
    print(f"{'seconds from the command to':24}" + "".join(f"{phase:>15}" for phase in PHASES))
    with TemporaryDirectory() as folder, _browser() as browser:
        bare_notebook(Path(folder) / "bare.ipynb")
        times = {opened.name: [] for opened in MEASURED}
        for _ in range(rounds):
            for opened in MEASURED:
                times[opened.name].append(measure(browser, opened, Path(folder)))
    middle = {
        name: [median(each) for each in zip(*rows, strict=True)] for name, rows in times.items()
    }
    for name, row in middle.items():
        print(f"{name:24}" + "".join(f"{seconds:15.2f}" for seconds in row))
    for ours, theirs in (("workbook", "JupyterLab, bare"), ("client's page", "Voilà, bare")):
        ratios = [a / b for a, b in zip(middle[ours], middle[theirs], strict=True)]
        print(f"{ours + ', ratio':24}" + "".join(f"{ratio:15.2f}" for ratio in ratios))
    return 0


def bare_notebook(path: Path) -> None:
    """A notebook of one cell."""
    spec = {"kernelspec": {"name": "python3", "display_name": "Python 3"}}
    cells = [nbformat.v4.new_code_cell("1+1")]
    nbformat.write(nbformat.v4.new_notebook(cells=cells, metadata=spec), path)


def measure(browser, opened: Opened, folder: Path) -> list[float]:
    """Seconds to each phase, and the processor's."""
    begun = time.time()
    with serving(opened, folder) as (address, process):
        listening = time.time()
        context = browser.new_context(viewport={"width": 1280, "height": 900})
        page = context.new_page()
        page.set_default_timeout(90_000)
        page.add_init_script(f"({JOINED})()")
        page.goto(address)
        loaded = time.time()
        page.locator(opened.shown).first.wait_for()
        shown = time.time()
        page.wait_for_function("window.joined")
        for each in opened.done.split(", "):
            page.locator(each).first.wait_for()
        done = time.time()
        joined = page.evaluate("window.joined") / 1000
        seconds = processor(process)
        context.close()
    return [*(at - begun for at in (listening, loaded, joined, shown, done)), seconds]


@contextmanager
def serving(opened: Opened, folder: Path) -> Iterator[tuple[str, psutil.Process]]:
    """Run the command; its address once it listens (ours tells it)."""
    port = free_port()
    environment = {
        **os.environ,
        "PYTHONPATH": str(ROOT),
        "JUPYTER_CONFIG_DIR": str(folder / "config"),
        "JUPYTER_DATA_DIR": str(folder / "data"),
        "IPYTHONDIR": str(folder / "ipython"),
    }
    with (folder / "said.txt").open("w+") as said:
        process = subprocess.Popen(
            [sys.executable, *opened.command(folder, port)], stdout=said, stderr=said,
            env=environment, cwd=folder,
        )  # fmt: skip
        try:
            yield address(opened, process, said.name, port), psutil.Process(process.pid)
        finally:
            process.terminate()
            try:
                process.wait(timeout=10)
            except subprocess.TimeoutExpired:  # bare JupyterLab does not always hear it
                process.kill()
                process.wait()


def address(opened, process, said, port):
    """Where it is served."""
    while process.poll() is None:
        text = Path(said).read_text("utf-8")
        if "pricelab" in opened.command(Path(), 0):
            if " is at " in text:
                return text.partition(" is at ")[2].split()[0]
        elif f":{port}/" in text:
            return f"http://{LOOPBACK}:{port}/{opened.path}"
        time.sleep(0.02)
    raise SystemExit(f"{opened.name}: {Path(said).read_text('utf-8')}")


def processor(process: psutil.Process) -> float:
    """Processor seconds of a process and all it started."""
    family = [process, *process.children(recursive=True)]
    return sum(sum(each.cpu_times()[:2]) for each in family)


if __name__ == "__main__":
    sys.exit(main())
