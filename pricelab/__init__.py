"""Costing, price lists and break-even for a small cap-decorating shop.

Open a shop and ask it; what comes back are pandas frames::

    import pricelab as pl

    shop = pl.open_shop("data/harbour-caps")
    shop.unit_cost("leather", "structured-twill", (2.5, 2), range(1, 301)).plot()

Nothing is imported before it is asked for: the command line fetches the libraries by this
package before there are any.
"""

__version__ = "0.1.0"

_FROM = {
    "NoBreakEven": "shop.errors",
    "NoPrice": "shop.errors",
    "NotPossible": "shop.errors",
    "OpenShop": "face.open_shop",
    "PriceGrid": "face.price_grid",
    "PricelabError": "shop.errors",
    "ShopFaults": "files.faults",
    "open_shop": "face.open_shop",
    "read_shop": "face.open_shop",
}

__all__ = sorted(_FROM)


def __getattr__(name: str):
    if name not in _FROM:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(f"{__name__}.{_FROM[name]}"), name)


def __dir__():
    return [*globals(), *__all__]
