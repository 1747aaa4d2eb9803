"""The tests as a command: all of them, or the quick ones for whoever changes a rule."""

import argparse
import os
from tempfile import TemporaryDirectory

import pytest

from pricelab.files.folders import ROOT, SHOP_VARIABLE, SHOPS_VARIABLE, python_path

EVERY = (
    *("-n", str(1 + (os.cpu_count() or 1)), "--dist", "loadfile", "--no-loadscope-reorder"),
    *("--nbval", "--nbval-current-env", "--nbval-cell-timeout", "60"),
)
"""Notebooks are held to their stored outputs, strictly; a notebook runs in one worker. There is
one worker more than processors, for tests in a browser mostly wait."""

RULES = ("shop", "cost", "lists", "client", "jobs", "analysis", "words")
QUICK = (
    *("-n", "auto", "-m", "not slow", "--examples", "10"),
    *(f"{top}/{room}" for room in RULES for top in ("pricelab", "tests")),
    *("tests/oracle", "tests/test_house.py"),
)
"""The rules' own tests and doctests, each property tried on fewer examples, and the house."""


def run_tests(options: argparse.Namespace) -> int:
    """Run pytest on the package, the tests and the notebooks; pytest's own exit code."""
    os.chdir(ROOT)
    os.environ["PYTHONPATH"] = python_path()
    os.environ.pop(SHOP_VARIABLE, None)  # the notebooks are checked on the demo shop
    words = [word for word in options.rest if word != "--quick"]
    chosen = QUICK if "--quick" in options.rest else EVERY
    with TemporaryDirectory() as none:  # whatever shops the developer has
        os.environ[SHOPS_VARIABLE] = none
        return int(pytest.main([*chosen, *words]))
