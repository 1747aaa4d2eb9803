"""Costing, price lists and break-even for a small cap-decorating shop.

Each module is named for the rule it holds; import what you need from it::

    from pricelab.cost.costing import cost_sheet
    from pricelab.lists.plan import plan

Nothing is imported here, so that the package starts at once and needs no more
libraries than the rule in hand.
"""

__version__ = "0.1.0"
