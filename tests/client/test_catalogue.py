"""What a client may see holds prices and limits, and nothing of costs or of other clients."""

import dataclasses

import numpy as np
import pytest
from smallshop import FILES, SETUP, with_setting
from twoblanks import two_blanks, two_blanks_counter

from pricelab.client.catalogue import catalogue_of, without_costs
from pricelab.files.shop_folder import read_shop
from pricelab.shop.blank import Blank
from pricelab.shop.errors import PricelabError
from pricelab.shop.method import Method
from pricelab.shop.shop import Shop

# Costs that no price or size is: every one of them is in the shop's files.
ODD = {
    "shop": FILES["shop.csv"]
    .replace("rate,30", "rate,31.7391")
    .replace("40 %", "41.3917 %")
    .replace("20 %", "21.7183 %"),
    "blank_prices": "blank,from,price\ncap,1,4.1373\ncap,24,3.1191\nknit,1,3.5177\n",
    "patches": "mean of sides (in),1,20\n2,3.2711,2.1837\n3,4.2917,3.2071\n",
    "methods": (
        "method,name,grid,set-up,repeat set-up,spoilage,care\n"
        'patch,"Leather patch, pressed on",patches,30.7719,7.1193,3.1717 %,wipe clean\n'
    ),
    "operations": "method,operation,minutes,per\npatch,pressing,1.0739,piece\n",
    "costs": (
        "method,cost,element,level,amount\n,freight,freight,order,6.1391\n"
        ",card fee,fees,revenue,5.3179 %\n,card fee an order,fees,revenue,0.3719\n"
    ),
}
SECRETS = (
    *(31.7391, 0.413917, 0.217183, 4.1373, 3.1191, 3.5177, 3.2711, 2.1837, 4.2917, 3.2071),
    *(30.7719, 7.1193, 0.031717, 1.0739, 6.1391, 0.053179, 0.3719),
)


def everything_in(value, seen=None):
    """Every number and text that can be reached from a value, through fields and containers."""
    seen = {} if seen is None else seen
    if id(value) in seen:
        return
    seen[id(value)] = value  # kept, so that no other value gets its id
    if isinstance(value, str | int | float | np.generic):
        yield value
    elif isinstance(value, np.ndarray):
        yield from value.reshape(-1).tolist()
    elif isinstance(value, dict):
        for part in (*value.keys(), *value.values()):
            yield from everything_in(part, seen)
    elif isinstance(value, list | tuple | set | frozenset):
        for part in value:
            yield from everything_in(part, seen)
    elif hasattr(value, "__dict__"):
        yield from everything_in(vars(value), seen)


def secrets_in(value):
    """Which of the secret figures, and whether another client's name, a value holds."""
    found = list(everything_in(value))
    numbers = np.array([x for x in found if isinstance(x, int | float)], float)
    leaked = [secret for secret in SECRETS if (np.abs(numbers - secret) < 1e-9).any()]
    return leaked + [x for x in found if isinstance(x, str) and "Secret Client" in x]


def test_no_cost_rate_margin_or_client_can_be_reached_from_a_counter(tmp_path):
    """And the search can find: the shop that the counter is made from holds every one of them."""
    folder = read_shop(two_blanks(tmp_path / "shop", **ODD))
    assert set(SECRETS) <= set(secrets_in(folder.shop))
    assert secrets_in(catalogue_of(folder)) == []


def test_no_file_row_or_column_can_be_reached_from_a_counter(tmp_path):
    """Nor a path of the machine: what a client is told names no place."""
    catalogue = two_blanks_counter(tmp_path / "shop")
    found = [x for x in everything_in(catalogue) if isinstance(x, str)]
    assert [x for x in found if ".csv" in x or str(tmp_path) in x or x == "patches"] == []


@pytest.mark.parametrize(
    ("kind", "let_in"),
    [
        (
            Shop,
            "name currency unit rates pricing methods blanks heat_unit notice valid_days "
            "conditions largest_order",
        ),
        (
            Method,
            "key name unit grid stitching roll density max_width max_height min_side heat care",
        ),
        (
            Blank,
            "key name prices panel_width panel_height unit make_up heat_limit care",
        ),
    ],
)
def test_a_field_that_nobody_let_in_stays_at_its_default(tmp_path, kind, let_in):
    """What a shop may come to hold later is not shown until it is named here and there."""
    shop = without_costs(read_shop(two_blanks(tmp_path / "shop", **ODD)).shop)
    values = {Shop: [shop], Method: shop.methods.values(), Blank: shop.blanks.values()}[kind]
    for field in dataclasses.fields(kind):
        if field.name in let_in.split():
            continue
        for value in values:
            default = field.default
            if default is dataclasses.MISSING:
                default = field.default_factory()
            assert getattr(value, field.name) == default, field.name


def test_prices_are_those_of_todays_list_with_the_set_up_of_a_plan(tmp_path):
    """The printed 25.10, 9.90 and 10.50; set-up 30 / 0.55 = 54.55, by the small shop's page."""
    catalogue = two_blanks_counter(tmp_path / "shop")
    listed = catalogue.lists["patch", "cap"]
    assert listed.prices[0].tolist() == [25.10, 9.90, 10.50]
    assert listed.setup == SETUP


def test_what_has_no_list_today_is_not_offered(tmp_path):
    """The film has none on the knit, and without any there is nothing to show."""
    assert ("film", "knit") not in two_blanks_counter(tmp_path / "shop").lists
    (tmp_path / "shop" / "price_list.csv").unlink()
    said = (
        "^Small Shop has no price list that could be shown to a client\\. Plan one in notebook 1 "
        "and save it\\.$"
    )
    with pytest.raises(PricelabError, match=said):
        catalogue_of(read_shop(tmp_path / "shop"))


def test_what_a_blank_does_not_bear_is_not_offered_on_it(tmp_path):
    """The film needs 300°, the knit bears 250°."""
    catalogue = two_blanks_counter(tmp_path / "shop")
    assert set(catalogue.lists) == {("patch", "cap"), ("patch", "knit"), ("film", "cap")}
    assert [blank.key for blank in catalogue.blanks] == ["cap", "knit"]
    assert [method.key for method in catalogue.methods] == ["patch", "film"]
    assert catalogue.most == 50


def test_a_repeat_order_pays_the_repeat_fee_at_the_target_margin(tmp_path):
    """By hand: 11 / (1 − 0.05 − 0.40) = 20.00, before and after rounding up to 0.05."""
    methods = FILES["methods.csv"].replace("set-up,care", "set-up,repeat set-up,care")
    catalogue = two_blanks_counter(
        tmp_path / "shop", methods=methods.replace("patches,30,", "patches,30,11,")
    )
    assert catalogue.repeat_setup == {"patch": 20.00}


def test_set_up_spread_over_the_pieces_has_no_line_of_its_own(tmp_path):
    """Neither on a first order nor on a repeat."""
    catalogue = two_blanks_counter(tmp_path / "shop", shop=with_setting("set-up", "spread"))
    assert {listed.setup for listed in catalogue.lists.values()} == {None}
    assert set(catalogue.repeat_setup.values()) == {0.0}


def test_a_name_is_cut_at_its_comma_unless_another_would_be_the_same(tmp_path):
    """So that a chosen decoration is always told from the others."""
    catalogue = two_blanks_counter(tmp_path / "shop")
    assert catalogue.short_name("patch") == "Leather patch"
    two = two_blanks_counter(
        tmp_path / "two",
        methods='method,name,grid,set-up\npatch,"Patch, pressed",patches,30\n'
        'film,"Patch, sewn",patches,0\n',
    )
    assert two.short_name("patch") == "Patch, pressed"
