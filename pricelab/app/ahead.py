"""What every notebook of the workbook needs, loaded while a kernel waits for its page.

IPython loads this when a kernel starts (`load_ipython_extension`). It is a matter of time
alone: what is not loaded here is loaded where it is used.
"""

from importlib import import_module

LIBRARIES = (
    "pandas",
    "matplotlib.figure",
    "matplotlib.backends.backend_svg",
    "babel.numbers",
    "pricelab.screens.start",
    "pricelab.screens.counter",
)


def load_ipython_extension(shell: object) -> None:
    """Load them; nothing is put into the notebook's names."""
    for name in LIBRARIES:
        import_module(name)
