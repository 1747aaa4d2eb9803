"""Invented shops, blanks and methods so plain that every figure can be worked out by hand."""

from pricelab.shop.blank import Blank
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.grids import Grid
from pricelab.shop.method import Method, Stitching
from pricelab.shop.nesting import Roll
from pricelab.shop.place import Place, Sheet
from pricelab.shop.pricing_rules import PricingRules
from pricelab.shop.rounding import Rounding
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork, Measure
from pricelab.shop.work import Operation, Rates

PATCH = Artwork(2.25, 2.25, "in")


def a_blank(key="cap", breaks=(1,), prices=(4.00,), *, pack=1, sheet=None, **changes) -> Blank:
    """A blank at 4.00 whatever the quantity, unless told otherwise; its panel is 5 × 3 in."""
    grid = Grid.by_quantity(f"{key} prices", breaks, prices, pack=pack, sheet=sheet)
    parts = {"panel_width": 5, "panel_height": 3, "unit": "in", **changes}
    return Blank(key, f"the {key}", grid, **parts)


def a_patch(breaks=(1,), prices=((2.00,),), bands=(2.5,), **changes) -> Method:
    """A bought-in patch at 2.00 up to a mean of sides of 2.5 in, unless told otherwise."""
    grid = Grid("patches", Measure.MEAN_OF_SIDES, "in", bands, breaks, prices)
    return Method(**{"key": "patch", "name": "Patch", "unit": "in", "grid": grid, **changes})


def a_shop(*methods: Method, blanks=(), rates=None, target=0.5, floor=0.4, **changes) -> Shop:
    """A shop without labour, overhead, fees or charges, unless told otherwise."""
    parts = {
        "name": "Invented caps",
        "currency": "USD",
        "unit": "in",
        "rates": rates or Rates(0),
        "pricing": PricingRules(target, floor),
        "methods": {method.key: method for method in methods},
        "blanks": {blank.key: blank for blank in blanks},
    }
    return Shop(**{**parts, **changes})


# ---- the shop of the worked orders ----------------------------------------------------
# Labour 24.00 an hour is .40 a minute, overhead 15.00 an hour is .25 a minute; 4 % of the
# pieces started are spoiled, so that 24 good ones take exactly 1 more.

WORKED_CAP = a_blank(
    breaks=(1, 30),
    prices=(4.40, 4.00),
    pack=10,
    sheet=Sheet("blank_prices.csv", (2, 3), ("price",), long=True),
)

LEATHER = Method(
    "leather",
    "Leather",
    "in",
    grid=Grid(
        "leather",
        Measure.MEAN_OF_SIDES,
        "in",
        bands=[2.0, 2.5],
        breaks=[25, 50],
        prices=[[2.50, 2.20], [2.80, 2.40]],
        sheet=Sheet("grids/leather.csv", (2, 3), ("25", "50")),
    ),
    setup=35.00,
    spoilage=0.04,
    operations=(
        Operation("set the press", 10, Level.ORDER, station="press"),
        Operation("draw the artwork", 20, Level.DESIGN),
        Operation("fetch a tray", 2, Level.BATCH, batch=10),
        Operation("load and place", 1.5, station="press"),
        Operation("press", 0.5, attended=False, station="press"),
    ),
    charges=(
        Charge("cover sheet", Element.CONSUMABLES, Level.PIECE, 0.05),
        Charge("inbound freight", Element.FREIGHT, Level.ORDER, 12.00),
    ),
    place=Place("methods.csv", 2),
)

STITCHED = Method(
    "stitched",
    "Stitched",
    "in",
    stitching=Stitching(speed=800, heads=2, thread=0.02, change=0.5),
    setup=30.00,
    repeat_setup=5.00,
    spoilage=0.04,
    operations=(Operation("hoop", 1.0),),
)

VINYL = Method(
    "vinyl",
    "Vinyl",
    "in",
    roll=Roll(width=15, edge=0.5, gap=0.25, price=0.10, unit="in"),
    spoilage=0.04,
    operations=(Operation("weed", 2.0),),
)

WORKED_SHOP = a_shop(
    LEATHER,
    STITCHED,
    VINYL,
    blanks=(WORKED_CAP,),
    rates=Rates(labour=24, overhead=15),
    operations=(Operation("count and pack", 0.5),),
    charges=(
        Charge("rent", Element.RENT, Level.PERIOD, 900.00),
        Charge("bag", Element.CONSUMABLES, Level.PIECE, 0.10),
        Charge("carton", Element.PACKING, Level.BATCH, 1.25, batch=12),
        Charge("packing", Element.PACKING, Level.ORDER, 3.50),
        Charge("delivery", Element.DELIVERY, Level.ORDER, 9.00),
        Charge("card fee", Element.FEES, Level.REVENUE, amount=0.30, share=0.029),
    ),
)

# ---- the shop of the worked lists -----------------------------------------------------

CARTONS = a_shop(
    a_patch((1, 10), ((1.00, 0.60), (2.00, 1.60)), (2, 3)),
    blanks=(a_blank(prices=(2.00,)),),
    pricing=PricingRules(target=0.50, floor=0.48, rounding=Rounding(0.05)),
    charges=(
        Charge("inbound freight", Element.FREIGHT, Level.ORDER, 6.00),
        Charge("carton", Element.PACKING, Level.BATCH, 4.00, batch=8),
    ),
)
"""Blanks at 2.00, freight and cartons: the worst quantity of a tier is not its first."""
