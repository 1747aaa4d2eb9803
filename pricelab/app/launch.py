"""Opens the workbook in a browser: the owner's notebooks, or the page for a client.

Both are served to this machine only, behind a token made for the occasion, with settings
of their own in a folder that goes when they stop: a reader's own JupyterLab stays as it is.
Nothing is asked of any other machine.
"""

import argparse
import json
import os
import secrets
import signal
import socket
import subprocess
import sys
import time
import webbrowser
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from pricelab.app.server_settings import LOOPBACK, Key, page_settings, workbook_settings
from pricelab.app.terminal import DONE
from pricelab.files.folders import (
    DEMO_SHOP,
    KEEPS_VARIABLE,
    NOTEBOOKS,
    SHOP_VARIABLE,
    SHOPS_VARIABLE,
    opened_last,
    python_path,
    shop_folder,
    shops_folder,
    shown,
)
from pricelab.shop.errors import PricelabError

START = "0-start.ipynb"
CLIENT_PAGE = "2-quantity-breaks.ipynb"

_PORTS = 100  # tried one after the other
_PATIENCE = 60.0  # seconds; a cold disk takes about ten
_HERE = Path(__file__).parent


def open_workbook(options: argparse.Namespace) -> int:
    """Serve the notebooks until Ctrl-C."""
    named = options.shop or os.environ.get(SHOP_VARIABLE)
    if not named:
        _say_which()
    shop = shop_folder(named) if named else None  # the notebooks follow the choice made in one
    with workbook(NOTEBOOKS, shop, START, options.port) as served:
        show(served, browser=not options.no_browser)
    return DONE


def _say_which() -> None:
    """Say which shop was chosen last, and how the demo's is reached."""
    if opened_last() is not None:
        try:
            print(
                f"Your shop is {shown(shop_folder())}. The invented one: --shop {shown(DEMO_SHOP)}"
            )
        except PricelabError as error:  # its folder is gone: the notebooks say so too
            print(error, file=sys.stderr)


def open_client_page(options: argparse.Namespace) -> int:
    """Serve the client's page until Ctrl-C."""
    with client_page(NOTEBOOKS / CLIENT_PAGE, shop_folder(options.shop), options.port) as served:
        show(served, browser=not options.no_browser)
    return DONE


@dataclass(frozen=True)
class Served:
    """A page that is being served, and the process behind it.

    Its `address` has the token in it. `once` is the same page's with a token that opens once,
    for the browser's command line, which every user of the machine may read.
    """

    address: str
    once: str
    process: subprocess.Popen


def workbook(
    notebooks: Path, shop: Path | None, first: str, port: int | None = None
) -> AbstractContextManager[Served]:
    """JupyterLab on the folder `notebooks`, opened at the notebook `first`, for the `shop`.

    Without a shop the notebooks take the one that was chosen last, also while they are open.
    """
    settings = partial(workbook_settings, notebooks)
    return _served(["jupyterlab"], settings, f"/lab/tree/{first}", shop, "tables", port)


def client_page(
    notebook: Path, shop: Path, port: int | None = None
) -> AbstractContextManager[Served]:
    """`notebook` as a page without code or files, for a client to see across the counter."""
    if not notebook.is_file():
        raise PricelabError(f'There is no notebook "{notebook.name}" in {notebook.parent.name}/.')
    program = ["pricelab.app.client_page", str(notebook.resolve())]
    return _served(program, page_settings, "/", shop, "", port)


def show(served: Served, browser: bool = True) -> None:
    """Tell the address, open it in the reader's `browser`, and stay until Ctrl-C."""
    for name in {"SIGTERM", "SIGHUP"} & set(dir(signal)):  # a closed terminal, a shut-down
        signal.signal(getattr(signal, name), signal.default_int_handler)
    print(f"The workbook is at {served.address}")
    print("Press Ctrl-C here to stop it.", flush=True)
    try:
        if browser and not webbrowser.open(served.once):
            print("No browser could be opened from here: open the address above in one.")
        while served.process.poll() is None:
            time.sleep(0.5)
    except KeyboardInterrupt:
        print("\nStopped. What you saved is in your shop's folder.")
        return
    raise PricelabError("The workbook stopped by itself. Run the same command again.")


def free_port(first: int | None = None) -> int:
    """Any port that nothing on this machine listens on, or the first such one from `first` on.

    Any port is the safer choice: two starts at the same moment do not choose the same.
    """
    for port in [0] if first is None else range(first, min(first + _PORTS, 2**16)):
        with socket.socket() as probe:
            try:
                probe.bind((LOOPBACK, port))
            except OSError:
                continue
            return probe.getsockname()[1]
    raise PricelabError(
        f"No port from {first} to {first + _PORTS - 1} is free on this machine. "
        "Leave out --port, and any free one is taken."
    )


@contextmanager
def _served(program, settings, page, shop, keeps, port):
    """The `page` of a server's `program`, at home in a folder that only this user can read."""
    key = Key(free_port(port), secrets.token_urlsafe(24), secrets.token_urlsafe(24))
    at = f"http://{LOOPBACK}:{key.port}{page}?token="
    with TemporaryDirectory(prefix="pricelab-", ignore_cleanup_errors=True) as folder:
        home = Path(folder)
        for name, content in settings(home, key).items():
            (home / name).parent.mkdir(parents=True, exist_ok=True)
            (home / name).write_text(json.dumps(content), encoding="utf-8")
        with _running(program, home, shop, key.port, keeps) as process:
            yield Served(at + key.token, at + key.once, process)


def _environment(home, shop, keeps):
    """This process's environment, with Jupyter at home in `home` and kernels told of the shop."""
    kept = {name: at for name, at in os.environ.items() if not name.startswith("JUPYTER")}
    return kept | {
        "JUPYTER_CONFIG_DIR": str(home / "config"),
        "JUPYTER_DATA_DIR": str(home / "data"),
        "JUPYTER_RUNTIME_DIR": str(home / "runtime"),
        "JUPYTER_PATH": str(_HERE / "page"),
        "JUPYTERLAB_SETTINGS_DIR": str(home / "settings"),
        "JUPYTERLAB_WORKSPACES_DIR": str(home / "workspaces"),
        "IPYTHONDIR": str(home / "ipython"),
        "PYTHONPATH": python_path(),
        SHOPS_VARIABLE: str(shops_folder().resolve()),
        KEEPS_VARIABLE: keeps,
        **({} if shop is None else {SHOP_VARIABLE: str(shop.resolve())}),
    }


@contextmanager
def _running(program, home, shop, port, keeps):
    """Run the `program`, a module and its words, until the caller is done; yields once it
    listens, and tells what hinders the shop's tables from being kept.
    """
    apart = (  # Ctrl-C is for this process, which then stops that one in good order
        {"creationflags": subprocess.CREATE_NEW_PROCESS_GROUP}
        if os.name == "nt"
        else {"start_new_session": True}
    )
    said = home / "said.txt"
    with said.open("wb") as output:
        process = subprocess.Popen(
            [sys.executable, "-m", "pricelab.app.serve", *program],
            cwd=home,
            env=_environment(home, shop, keeps),
            stdin=subprocess.DEVNULL,
            stdout=output,
            stderr=subprocess.STDOUT,
            **apart,
        )
        try:
            from pricelab.files.records.shop_then import keep_tables  # while the server starts

            if hindered := keep_tables(shop):
                print(hindered)
            _wait_until_it_listens(process, port, said)
            yield process
        finally:
            process.terminate()
            try:
                process.wait(timeout=15)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()


def _wait_until_it_listens(process, port, said):
    deadline = time.monotonic() + _PATIENCE
    while time.monotonic() < deadline and process.poll() is None:
        try:
            socket.create_connection((LOOPBACK, port), timeout=1).close()
            return
        except OSError:
            time.sleep(0.1)
    last = said.read_text("utf-8", errors="replace").strip().rpartition("\n")[2]
    raise PricelabError(
        f"The workbook did not start (its last words: {last or 'none'}). Run the same command "
        "again; if that does not help, delete the folder .venv first."
    )
