"""`python -m pricelab`: the workbook, the tests and the rest of the command line.

Runs before anything is installed, so everything up to the last line is standard library,
and old enough in its grammar to tell an old Python that it is too old.
"""

import sys

if sys.version_info < (3, 11):  # noqa: UP036 - this is where an older one is turned away
    sys.exit(
        f"pricelab needs Python 3.11 or newer, and this is Python {sys.version.split()[0]}. "
        "Install a newer one from python.org/downloads and run the same command with it."
    )

from pricelab.app.environment import rerun_with_libraries


def main():
    arguments = sys.argv[1:]
    code = rerun_with_libraries(arguments)
    if code is not None:
        return code
    from pricelab.app import cli

    return cli.main(arguments)


if __name__ == "__main__":
    sys.exit(main())
