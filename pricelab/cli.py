"""The command line: `python -m pricelab COMMAND`.

One function a command, which reads its words, calls one public function and prints its
result. Exit codes: 0 done; 1 done, and the answer is bad news; 2 the input cannot be used.
"""

import argparse
import os
import sys
from collections.abc import Callable, Sequence

from pricelab import __version__
from pricelab.errors import PricelabError
from pricelab.folders import NOTEBOOKS, ROOT, SHOP_VARIABLE, shop_folder

DONE = 0
BAD_NEWS = 1
NOT_USABLE = 2

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
        """
        python -m pricelab
        python -m pricelab open --shop my-shop
        python -m pricelab open --no-browser --port 9000
        """,
    )
    _shop(command)
    _serving(command)

    command = _command(
        commands,
        "client",
        open_client_page,
        "open the page to look at with a client: no code, no files, no costs",
        """
        python -m pricelab client
        python -m pricelab client --shop my-shop
        """,
    )
    _shop(command)
    _serving(command)

    _command(
        commands,
        "test",
        run_tests,
        "run every test; further words go to pytest",
        """
        python -m pricelab test
        python -m pricelab test -k grid -x
        python -m pricelab test -m "not browser"
        """,
    )
    return top


def _command(
    commands, name: str, run: Callable[[argparse.Namespace], int], what: str, examples: str
) -> argparse.ArgumentParser:
    lines = "\n".join("  " + line.strip() for line in examples.strip().splitlines())
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
        "--shop", metavar="FOLDER", help="your shop's folder (default: the invented demo shop)"
    )


def _serving(command):
    command.add_argument(
        "--no-browser", action="store_true", help="print the address instead of opening it"
    )
    command.add_argument(
        "--port", type=int, metavar="N", help="the first port to try (the next free one is taken)"
    )


def open_workbook(options: argparse.Namespace) -> int:
    """Serve the notebooks until Ctrl-C."""
    from pricelab.screens import launch

    shop = shop_folder(options.shop)
    with launch.workbook(NOTEBOOKS, shop, START, options.port or launch.PORT) as served:
        launch.show(served, browser=not options.no_browser)
    return DONE


def open_client_page(options: argparse.Namespace) -> int:
    """Serve the client's page until Ctrl-C."""
    from pricelab.screens import launch

    shop = shop_folder(options.shop)
    page = NOTEBOOKS / CLIENT_PAGE
    with launch.client_page(page, shop, options.port or launch.PORT) as served:
        launch.show(served, browser=not options.no_browser)
    return DONE


def run_tests(options: argparse.Namespace) -> int:
    """Run pytest on the package, the tests and the notebooks; pytest's own exit code."""
    import pytest

    os.chdir(ROOT)
    os.environ.pop(SHOP_VARIABLE, None)  # the notebooks are checked on the demo shop
    paths = [str(ROOT), *filter(None, [os.environ.get("PYTHONPATH")])]
    os.environ["PYTHONPATH"] = os.pathsep.join(paths)
    return int(pytest.main([*PYTEST, *options.rest]))


PYTEST = (
    *("-n", "auto", "--dist", "loadfile"),
    *("--nbval", "--nbval-current-env", "--nbval-cell-timeout", "60"),
    "--benchmark-disable",
)
"""Notebooks are held to their stored outputs, strictly; a notebook runs in one worker."""
