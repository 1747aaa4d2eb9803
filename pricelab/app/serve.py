"""Runs a server in a second less: ``python -m pricelab.app.serve MODULE WORDS…``.

Jupyter checks its own messages by a library that can check addresses in foreign letters too;
the grammar for those is worked out anew at every start, and takes two thirds of it. None of
the messages has such an address. The library does without where the grammar is not there.
"""

import runpy
import sys

NOT_NEEDED = "rfc3987_syntax"


def main() -> None:
    """Run the module that is named as a program, without what is not needed."""
    sys.modules[NOT_NEEDED] = None  # as if it were not installed
    del sys.argv[0]
    runpy.run_module(sys.argv[0], run_name="__main__", alter_sys=True)


if __name__ == "__main__":
    main()
