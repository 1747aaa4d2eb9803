"""What an order leaves of the money taken."""

import pytest
from example_shops import LEATHER, PATCH, WORKED_CAP, WORKED_SHOP, a_blank, a_patch, a_shop

from pricelab.cost.costing import cost_sheet
from pricelab.cost.earnings import earnings
from pricelab.cost.fees import Fees
from pricelab.cost.orders import Order
from pricelab.cost.price import price_for_margin
from pricelab.shop.errors import PricelabError
from pricelab.shop.rounding import Rounding


def test_what_the_worked_order_leaves_at_its_price():
    """By hand: full cost 311.55, target 40 %, card fee 2.9 % + .30.

    (311.55 + .30) / .571 / 24 = 22.7561, up to 22.80; 24 × 22.80 = 547.20; fees 15.8688 +
    .30 = 16.1688; profit 547.20 − 16.1688 − 311.55 = 219.4812; contribution adds the
    overhead of 21.50 = 240.9812; in 86 minutes of the operator, 153.1264 an hour.
    """
    sheet = cost_sheet(WORKED_SHOP, Order.of(WORKED_CAP, 24, LEATHER, PATCH))
    fees = Fees.of(WORKED_SHOP.charges)
    each = Rounding(0.05).up(price_for_margin(sheet.full / 24, 0.40, fees, orders=1 / 24))
    assert each == 22.80
    left = earnings(sheet, 24 * each, fees)
    assert left.fees == pytest.approx(16.1688)
    assert left.profit == pytest.approx(219.4812)
    assert left.margin == pytest.approx(219.4812 / 547.20)
    assert left.contribution == pytest.approx(240.9812)
    assert left.profit_per_hour == pytest.approx(153.1264, abs=5e-5)


def test_work_that_takes_no_time_earns_nothing_by_the_hour():
    left = earnings(cost_sheet(a_shop(), Order.of(a_blank(), 24, a_patch(), PATCH)), 240.0)
    assert left.profit == pytest.approx(240 - 24 * 6)
    told = r"^nothing is earned by the hour in work that takes no minutes\.$"
    with pytest.raises(PricelabError, match=told):
        _ = left.profit_per_hour
