"""Speed of the lead map, by processor time: ``python tests/benchmarks/leadmap.py``.

Seven methods of the demo shop over 40 sizes and 1…1,000 quantities, off lists that cover all
of them; then what a change of the order costs the panel that shows it.
"""

import sys

import numpy as np
from engine import seconds

from pricelab.analysis.comparison import Comparison
from pricelab.analysis.lead_map import borders, leaders
from pricelab.files.folders import DEMO_SHOP
from pricelab.files.shop_folder import read_shop
from pricelab.lists.breaks import FIRST_TIERS
from pricelab.lists.plan import plan
from pricelab.lists.selling_list import lists_on
from pricelab.screens.methods import MethodsPanel
from pricelab.shop.sizes import Artwork

SIZES, LAST = np.linspace(1.0, 3.0, 40), 1000


def main():
    """Print every figure beside its aim."""
    folder = read_shop(DEMO_SHOP)
    shop, blank = folder.shop, folder.shop.blanks["structured-twill"]
    assert not lists_on(folder, blank).refused
    lists = [plan(shop, method, blank, list(FIRST_TIERS), LAST) for method in shop.methods.values()]
    artworks, quantities = Artwork(SIZES, SIZES * 0.75, "in"), np.arange(1, LAST + 1)

    def lead(by="profit"):
        return leaders(Comparison.of(shop, lists, artworks, quantities).figures(by))

    assert lead().shape == (40, 1000)
    panel = MethodsPanel(folder)
    entries = iter(range(12, 600))

    def key():
        panel.pieces.set(str(next(entries)))

    led = lead()
    missed = 0
    for what, spent, aim in (
        ("lead map, milliseconds", seconds(lead), 100),
        ("its borders, milliseconds", seconds(lambda: borders(led, quantities)), 20),
        ("panel after a key, milliseconds", seconds(key), 80),
    ):
        missed += spent * 1000 > aim
        print(f"{what:<45} {spent * 1000:>9.3g}   aim ≤ {aim}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
