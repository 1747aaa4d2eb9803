"""Programs outside Python that some tests drive."""

import os
import shutil

import pytest

IN_CI = os.environ.get("CI", "").lower() in ("1", "true")


def program_or_skip(what: str, *names: str) -> str:
    """The path of the first of `names` on this machine.

    Without any, the test says so and is skipped; in CI, where nobody would notice, it fails.
    """
    for name in names:
        if found := shutil.which(name):
            return found
    sentence = f"{what} is not on this machine (looked for: {', '.join(names)})."
    if IN_CI:
        pytest.fail(f"{sentence} CI must have it: see .ci/run.", pytrace=False)
    pytest.skip(sentence)
