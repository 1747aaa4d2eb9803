"""The command line: `python -m pricelab COMMAND`.

One function a command, which reads its words, calls one public function and prints its
result. Exit codes: 0 done; 1 done, and the answer is bad news; 2 the input cannot be used.
"""

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from tempfile import TemporaryDirectory

from pricelab import __version__
from pricelab.app.terminal import DONE, NOT_USABLE, printed
from pricelab.files.folders import (
    DEMO_SHOP,
    NOTEBOOKS,
    ROOT,
    SHOP_VARIABLE,
    SHOPS_VARIABLE,
    opened_last,
    python_path,
    shop_folder,
    shown,
)
from pricelab.shop.errors import PricelabError

START = "0-start.ipynb"
CLIENT_PAGE = "2-quantity-breaks.ipynb"

_EXIT_CODES = """\
exit codes:
  0  done
  1  done, and the answer is bad news (a price list that does not hold, a failed test)
  2  the input cannot be used: the sentence says what to mend
"""


def main(words: Sequence[str] | None = None) -> int:
    """Do what `words` say (default: those of the command line); the exit code."""
    return printed(lambda: _main(words))


def _main(words: Sequence[str] | None) -> int:
    words = list(sys.argv[1:] if words is None else words)
    if not words or (words[0].startswith("-") and words[0] not in ("-h", "--help", "--version")):
        words.insert(0, "open")
    rest = []
    if words[0] == "test" and not {"-h", "--help"} & set(words):
        words, rest = words[:1], words[1:]  # pytest's words, not ours
    options = parser().parse_args(words)
    options.rest = rest
    try:
        return options.run(options)
    except PricelabError as error:
        print(error, file=sys.stderr)
        return NOT_USABLE


def parser() -> argparse.ArgumentParser:
    """The words that the command line understands."""
    top = argparse.ArgumentParser(
        prog="python -m pricelab",
        description="Pricing and profitability for a small cap-decorating shop.\n"
        "Without a command it opens the workbook in your browser.",
        epilog=_EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.add_argument("--version", action="version", version=f"pricelab {__version__}")
    commands = top.add_subparsers(title="commands", metavar="COMMAND", required=True)

    command = _command(
        commands,
        "open",
        open_workbook,
        "open the workbook in your browser",
        "",
        "open --shop my-shop",
        "open --no-browser --port 9000",
    )
    _shop(command)
    _serving(command)

    command = _command(
        commands,
        "client",
        open_client_page,
        "open the page to look at with a client: no code, no files, no costs",
        "client",
        "client --shop my-shop",
    )
    _shop(command)
    _serving(command)

    _price_lists(commands)

    _command(
        commands,
        "test",
        run_tests,
        "run every test; further words go to pytest",
        "test",
        "test -k grid -x",
        'test -m "not browser"',
    )
    return top


def _price_lists(commands) -> None:
    """The commands about price lists; `commands` (the module) is loaded when one is run."""
    command = _command(
        commands,
        "check",
        _later("check"),
        "say whether the shop's folder is in order, or what to mend in it",
        "check",
        "check --shop my-shop",
    )
    _shop(command)

    command = _command(
        commands,
        "plan",
        _later("plan"),
        "print a price list at which every cell holds, with its margins",
        "plan leather mesh-back",
        "plan leather mesh-back --tiers 1,12,24,48 --sizes 2,2.5,3",
    )
    _pair(command)
    _planning(command)
    _shop(command)

    command = _command(
        commands,
        "audit",
        _later("audit_lists"),
        "judge today's price lists: exit code 1 when a price does not hold",
        "audit",
        "audit leather",
        "audit leather mesh-back --shop my-shop",
    )
    _pair(command, needed=False)
    _shop(command)

    command = _command(
        commands,
        "choose",
        _later("choose"),
        "print the best quantity breaks for one tier, two tiers and so on",
        "choose leather mesh-back",
        "choose leather mesh-back --most 8",
    )
    _pair(command)
    command.add_argument(
        "--most", type=_later("count"), metavar="N", help="the most tiers (default: 6)"
    )
    _shop(command)

    command = _command(
        commands,
        "new-grid",
        _later("new_grid"),
        "say what a supplier's new grid does to today's lists: exit code 1 when a price stops "
        "holding",
        "new-grid leather --grid leather-next-year.csv",
        "new-grid leather mesh-back --grid leather-next-year.csv",
    )
    command.add_argument("method", metavar="METHOD", help="a method of methods.csv")
    command.add_argument("blank", metavar="BLANK", nargs="?", help="a blank (default: all)")
    command.add_argument("--grid", metavar="FILE", required=True, help="the new grid, CSV or XLSX")
    _shop(command)

    command = _command(
        commands,
        "export",
        _later("export"),
        "save a price list as CSV, XLSX and PDF for the client, and its workings for you",
        "export leather mesh-back --to lists",
        "export leather mesh-back --to lists --today",
    )
    _pair(command)
    _planning(command)
    command.add_argument("--to", metavar="FOLDER", required=True, help="where to save the files")
    command.add_argument(
        "--today", action="store_true", help="today's list as it stands, not a new plan"
    )
    command.add_argument(
        "--on", type=_later("day"), metavar="DAY", help="the day on the list (default: today)"
    )
    command.add_argument(
        "--decimal-comma", action="store_true", help="write the CSV with ; and a decimal comma"
    )
    _shop(command)


def _later(name: str) -> Callable:
    """The function of `commands` by that name, which is loaded only when it is called."""

    def call(given):
        from pricelab.app import commands

        return getattr(commands, name)(given)

    return call


def _command(
    commands, name: str, run: Callable[[argparse.Namespace], int], what: str, *examples: str
) -> argparse.ArgumentParser:
    """A command that does `run`; `examples` are the words after `python -m pricelab`."""
    lines = "\n".join(f"  python -m pricelab {words}".rstrip() for words in examples)
    command = commands.add_parser(
        name,
        help=what,
        description=what[0].upper() + what[1:] + ".",
        epilog=f"examples:\n{lines}\n\n{_EXIT_CODES}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    command.set_defaults(run=run)
    return command


def _shop(command):
    command.add_argument(
        "--shop",
        metavar="FOLDER",
        help="your shop's folder, or its name in data/shops (default: the one chosen last in "
        "the workbook, or else the invented demo shop)",
    )


def _pair(command, *, needed: bool = True):
    how = {} if needed else {"nargs": "?"}
    every = "" if needed else " (default: all)"
    command.add_argument("method", metavar="METHOD", help=f"a method of methods.csv{every}", **how)
    command.add_argument("blank", metavar="BLANK", help=f"a blank of blanks.csv{every}", **how)


def _planning(command):
    command.add_argument(
        "--tiers",
        type=_later("tiers"),
        metavar="N,N,…",
        help="quantities from which prices hold (default: those of today's list, or else the "
        "best for your finished jobs)",
    )
    command.add_argument(
        "--sizes",
        type=_later("sizes"),
        metavar="S,S,…",
        help="upper ends of the size bands (default: those of today's list, or else of the grid)",
    )


def _serving(command):
    command.add_argument(
        "--no-browser", action="store_true", help="print the address instead of opening it"
    )
    command.add_argument(
        "--port", type=int, metavar="N", help="this port, or the next free one (default: any)"
    )


def open_workbook(options: argparse.Namespace) -> int:
    """Serve the notebooks until Ctrl-C."""
    from pricelab.app import launch

    named = options.shop or os.environ.get(SHOP_VARIABLE)
    if not named:
        _say_which()
    shop = shop_folder(named) if named else None  # the notebooks follow the choice made in one
    with launch.workbook(NOTEBOOKS, shop, START, options.port) as served:
        launch.show(served, browser=not options.no_browser)
    return DONE


def _say_which() -> None:
    """Say which shop was chosen last, and how the demo's is reached."""
    if opened_last() is not None:
        try:
            demo = DEMO_SHOP.relative_to(ROOT).as_posix()
            print(f"Your shop is {shown(shop_folder())}. The invented one: --shop {demo}")
        except PricelabError as error:  # its folder is gone: the notebooks say so too
            print(error, file=sys.stderr)


def open_client_page(options: argparse.Namespace) -> int:
    """Serve the client's page until Ctrl-C."""
    from pricelab.app import launch

    shop = shop_folder(options.shop)
    page = NOTEBOOKS / CLIENT_PAGE
    with launch.client_page(page, shop, options.port) as served:
        launch.show(served, browser=not options.no_browser)
    return DONE


def run_tests(options: argparse.Namespace) -> int:
    """Run pytest on the package, the tests and the notebooks; pytest's own exit code."""
    import pytest

    os.chdir(ROOT)
    os.environ["PYTHONPATH"] = python_path()
    os.environ.pop(SHOP_VARIABLE, None)  # the notebooks are checked on the demo shop
    with TemporaryDirectory() as none:  # whatever shops the developer has
        os.environ[SHOPS_VARIABLE] = none
        return int(pytest.main([*PYTEST, *options.rest]))


PYTEST = (
    *("-n", "auto", "--dist", "loadfile"),
    *("--nbval", "--nbval-current-env", "--nbval-cell-timeout", "60"),
)
"""Notebooks are held to their stored outputs, strictly; a notebook runs in one worker."""
