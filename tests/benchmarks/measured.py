"""What `screens.py` measures: four lines of 500 points under a slider, in two ways."""

import ipywidgets as widgets
import numpy as np

from pricelab.pictures import look
from pricelab.pictures.curves import CURVES, Curve, Curves
from pricelab.screens.controls import Slide
from pricelab.screens.panel import Panel, View

QUANTITIES = np.arange(1, 501)
NAMES = ("Leather patch", "Embroidered patch", "Moulded patch", "Cut vinyl")


def curves(marked: int) -> Curves:
    """Costs of four methods that change with the marked quantity."""
    return Curves(
        "cost", f"{marked} pieces", "USD", QUANTITIES,
        tuple(
            Curve(name, 6 + at + (10 + marked / 20) * (at + 1) / np.sqrt(QUANTITIES), at)
            for at, name in enumerate(NAMES)
        ),
        marked,
    )  # fmt: skip


class Measured(Panel):
    """One figure, one picture."""

    def __init__(self):
        self.pieces = Slide("Pieces", 100, (1, 500))
        self.view = View(CURVES, "measured")
        self.lay_out([self.pieces], self.view)

    def update(self):
        self.view.draw(curves(self.pieces.value))


def plain(values: Curves):
    """The same picture with pyplot, as a notebook would draw it without this package."""
    import matplotlib.pyplot as plt

    figure, ax = plt.subplots(figsize=(760 / 72, 400 / 72))
    for curve in values.curves:
        ax.plot(values.x, curve.y, color=look.thread(curve.thread).colour, label=curve.name)
        ax.plot([values.marked], [curve.y[values.here]], "o")
    ax.axvline(values.marked, color="grey", linewidth=0.8)
    ax.set(xscale="log", ylim=(0, 60), xlabel="pieces in the order", ylabel="USD a piece")
    ax.set_title(CURVES.describe(values).finding)
    ax.legend()
    return figure


def plain_way():
    """A slider and an `Output` in which pyplot shows a new figure each time."""
    import matplotlib.pyplot as plt

    def show(pieces):
        plain(curves(pieces))
        plt.show()

    pieces = widgets.IntText(value=100, description="Pieces")
    return widgets.VBox([pieces, widgets.interactive_output(show, {"pieces": pieces})])
