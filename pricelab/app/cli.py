"""The command line: `python -m pricelab COMMAND`.

`COMMANDS` holds all of it: what each command is for, the words it takes, and the function that
does it, which is loaded when it is called. Exit codes: 0 done; 1 done, and the answer is bad
news; 2 the input cannot be used.
"""

import argparse
import re
import sys
from collections.abc import Sequence
from datetime import date
from importlib import import_module
from typing import NamedTuple

from pricelab import __version__
from pricelab.app.terminal import NOT_USABLE, printed
from pricelab.shop.errors import PricelabError

_EXIT_CODES = """\
exit codes:
  0  done
  1  done, and the answer is bad news (a price list that does not hold, a failed test)
  2  the input cannot be used: the sentence says what to mend
"""


def _list_of(text: str) -> list[str]:
    return [part.strip() for part in text.split(",") if part.strip()]


def tiers(text: str) -> tuple[int, ...]:
    """Quantities such as 1,12,24: whole, from 1, rising."""
    numbers = [int(n) if re.fullmatch(r"[0-9]{1,6}", n) else 0 for n in _list_of(text)]
    if not numbers or min(numbers) < 1 or sorted(set(numbers)) != numbers:
        raise _not_understood(text, "whole quantities that rise, such as 1,12,24,48")
    return tuple(numbers)


def sizes(text: str) -> tuple[str, ...]:
    """Sizes such as 2,2.5,3; what they measure hangs on the method."""
    return tuple(_list_of(text))


def day(text: str) -> date:
    """A day such as 2026-11-25."""
    from pricelab.files import cells  # not before it is needed: help answers at once

    try:
        return cells.day(text, ".")
    except cells.BadCell:
        raise _not_understood(text, "a day such as 2026-11-25") from None


def count(text: str) -> int:
    """A whole number from 1 to 30."""
    if not re.fullmatch(r"[0-9]{1,2}", text) or not 1 <= int(text) <= 30:
        raise _not_understood(text, "a whole number from 1 to 30")
    return int(text)


def _not_understood(text: str, expected: str) -> argparse.ArgumentTypeError:
    return argparse.ArgumentTypeError(f'found "{text}", expected {expected}')


_METHOD, _BLANK = "a method of methods.csv", "a blank of blanks.csv"

WORDS = {
    "method": {"metavar": "METHOD", "help": _METHOD},
    "blank": {"metavar": "BLANK", "help": _BLANK},
    "[method]": {"metavar": "METHOD", "nargs": "?", "help": f"{_METHOD} (default: all)"},
    "[blank]": {"metavar": "BLANK", "nargs": "?", "help": f"{_BLANK} (default: all)"},
    "--tiers": {
        "metavar": "N,N,…",
        "type": tiers,
        "help": "quantities from which prices hold (default: those of today's list, or else the "
        "best for your finished jobs)",
    },
    "--sizes": {
        "metavar": "S,S,…",
        "type": sizes,
        "help": "upper ends of the size bands (default: those of today's list, or else of the "
        "grid)",
    },
    "--most": {"metavar": "N", "type": count, "help": "the most tiers (default: 6)"},
    "--grid": {"metavar": "FILE", "required": True, "help": "the new grid, CSV or XLSX"},
    "--to": {"metavar": "FOLDER", "required": True, "help": "where to save the files"},
    "--today": {"action": "store_true", "help": "today's list as it stands, not a new plan"},
    "--on": {"metavar": "DAY", "type": day, "help": "the day on the list (default: today)"},
    "--decimal-comma": {
        "action": "store_true",
        "help": "write the CSV with ; and a decimal comma",
    },
    "--shop": {
        "metavar": "FOLDER",
        "help": "your shop's folder, or its name in data/shops (default: the one chosen last in "
        "the workbook, or else the invented demo shop)",
    },
    "--no-browser": {"action": "store_true", "help": "print the address instead of opening it"},
    "--port": {
        "metavar": "N",
        "type": int,
        "help": "this port, or the next free one (default: any)",
    },
}
"""Every word that a command may take, as `ArgumentParser.add_argument` is told of it."""


class Command(NamedTuple):
    """A command: the function that does it, what it is for, the words it takes, examples."""

    run: str
    what: str
    words: str
    examples: tuple[str, ...]


COMMANDS = {
    "open": Command(
        "launch.open_workbook",
        "open the workbook in your browser",
        "--shop --no-browser --port",
        ("", "open --shop my-shop", "open --no-browser --port 9000"),
    ),
    "client": Command(
        "launch.open_client_page",
        "open the page to look at with a client: no code, no files, no costs",
        "--shop --no-browser --port",
        ("client", "client --shop my-shop"),
    ),
    "check": Command(
        "commands.check",
        "say whether the shop's folder is in order, or what to mend in it",
        "--shop",
        ("check", "check --shop my-shop"),
    ),
    "plan": Command(
        "commands.plan",
        "print a price list at which every cell holds, with its margins",
        "method blank --tiers --sizes --shop",
        ("plan leather mesh-back", "plan leather mesh-back --tiers 1,12,24,48 --sizes 2,2.5,3"),
    ),
    "audit": Command(
        "commands.audit_lists",
        "judge today's price lists: exit code 1 when a price does not hold",
        "[method] [blank] --shop",
        ("audit", "audit leather", "audit leather mesh-back --shop my-shop"),
    ),
    "choose": Command(
        "commands.choose",
        "print the best quantity breaks for one tier, two tiers and so on",
        "method blank --most --shop",
        ("choose leather mesh-back", "choose leather mesh-back --most 8"),
    ),
    "new-grid": Command(
        "commands.new_grid",
        "say what a supplier's new grid does to today's lists: exit code 1 when a price stops "
        "holding",
        "method [blank] --grid --shop",
        (
            "new-grid leather --grid leather-next-year.csv",
            "new-grid leather mesh-back --grid leather-next-year.csv",
        ),
    ),
    "export": Command(
        "commands.export",
        "save a price list as CSV, XLSX and PDF for the client, and its workings for you",
        "method blank --tiers --sizes --to --today --on --decimal-comma --shop",
        ("export leather mesh-back --to lists", "export leather mesh-back --to lists --today"),
    ),
    "test": Command(
        "testing.run_tests",
        "run every test, or with --quick those for a change of a rule; further words go to pytest",
        "",
        ("test", "test --quick", "test -k grid -x", 'test -m "not browser"'),
    ),
}


def main(words: Sequence[str] | None = None) -> int:
    """Do what `words` say (default: those of the command line); the exit code."""
    return printed(lambda: _main(list(sys.argv[1:] if words is None else words)))


def _main(words: list[str]) -> int:
    if not words or (words[0].startswith("-") and words[0] not in ("-h", "--help", "--version")):
        words.insert(0, "open")
    rest = []
    if words[0] == "test" and not {"-h", "--help"} & set(words):
        words, rest = words[:1], words[1:]  # pytest's words, not ours
    options = parser().parse_args(words)
    options.rest = rest
    module, _, function = COMMANDS[options.command].run.partition(".")
    try:
        return getattr(import_module(f"pricelab.app.{module}"), function)(options)
    except PricelabError as error:
        print(error, file=sys.stderr)
        return NOT_USABLE


def parser() -> argparse.ArgumentParser:
    """The words that the command line understands."""
    form = argparse.RawDescriptionHelpFormatter
    top = argparse.ArgumentParser(
        prog="python -m pricelab",
        description="Pricing and profitability for a small cap-decorating shop.\n"
        "Without a command it opens the workbook in your browser.",
        epilog=_EXIT_CODES,
        formatter_class=form,
    )
    top.add_argument("--version", action="version", version=f"pricelab {__version__}")
    commands = top.add_subparsers(
        title="commands", metavar="COMMAND", dest="command", required=True
    )
    for name, command in COMMANDS.items():
        what = command.what
        lines = [f"  python -m pricelab {words}".rstrip() for words in command.examples]
        epilog = "\n".join(["examples:", *lines, "", _EXIT_CODES])
        about = {"description": f"{what[0].upper()}{what[1:]}.", "epilog": epilog}
        told = commands.add_parser(name, help=what, formatter_class=form, **about)
        for word in command.words.split():
            told.add_argument(word.strip("[]"), **WORDS[word])
    return top
