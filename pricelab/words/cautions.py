"""Cautions of the trade: where hands, goods or the law can be hurt. Words only.

General sense of the trade, no source; the makers' own instructions and local rules come
first and may say otherwise.
"""

from dataclasses import dataclass

from pricelab.shop.shop import Shop


@dataclass(frozen=True)
class Caution:
    """A caution: what it is about, and what to do."""

    about: str
    says: str

    def __str__(self):
        return f"{self.about}: {self.says}"


STARTING_POINTS = Caution(
    "Settings",
    "Temperatures, times and speeds in a shop's files are starting points, never instructions: "
    "the maker's instructions for the machine and the material come first.",
)
TRIAL = Caution(
    "Trial piece", "Make one piece of the very blank and material first, and let it cool or rest."
)
HOT = Caution(
    "Hot platens",
    "A press stays hot long after it is switched off, and its platens close with force: keep "
    "hands out, never leave it closed and alone, and keep children away.",
)
MOVING = Caution(
    "Moving needles and cutters",
    "Needles, hoops and blades pinch and pierce: stop the machine before threading or clearing.",
)
HEAT_HARMS = Caution(
    "Materials that heat harms",
    "Nylon, foam, coated, waxed and woollen goods can melt, glaze or shrink: check what the blank "
    "bears before pressing. Never press or cut a material whose make-up you do not know; some, "
    "such as PVC, give off harmful fumes when heated.",
)
LAUNDRY = Caution(
    "Goods not to be laundered",
    "Leather, and some raised and pressed work, does not go through a wash: say so to the client "
    "in writing.",
)
CHILDREN_AND_FOOD = Caution(
    "Children's goods and food",
    "Goods for children and goods that touch food come under rules of their own (small parts, "
    "dyes, coatings, labels): find out those of the places you sell to before you offer them.",
)
TAX = Caution(
    "Tax and accounts",
    "Sales tax, wages and book-keeping follow local rules. The figures here help to price and do "
    "not replace licensed advice.",
)


OTHER_RULES = (
    "Goods for small children, and goods that touch food, come under rules of their own: "
    "tell us before you order."
)
"""The caution on every client's screen and paper (the rules differ from place to place)."""

HEADING = "Before you work by these figures"

MACHINES = (STARTING_POINTS, TRIAL, HOT, HEAT_HARMS, MOVING)
"""What goes with any machine, whether the shop has it yet or not."""


def work_cautions(shop: Shop) -> tuple[Caution, ...]:
    """Those of a shop's settings, machines, materials and care: of machines it has."""
    methods, left_out = shop.methods.values(), []
    if all(method.heat is None for method in methods):
        left_out += [HOT, HEAT_HARMS]
    if all(method.stitching is None and method.roll is None for method in methods):
        left_out.append(MOVING)
    return (*(one for one in MACHINES if one not in left_out), LAUNDRY, CHILDREN_AND_FOOD)


def cautions_for(shop: Shop) -> tuple[Caution, ...]:
    """Every caution that touches a shop."""
    return (*work_cautions(shop), TAX)
