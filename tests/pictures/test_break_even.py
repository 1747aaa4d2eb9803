"""Pictures of what pays: they say their finding, show what they count, and are drawn the same."""

import numpy as np
import pytest
from drawing import check_drawn_again, drawn, misplaced, said

from pricelab.analysis.break_even import break_even
from pricelab.analysis.machine import PressCase
from pricelab.analysis.month import Mix, MonthPlan
from pricelab.analysis.stock import Stock
from pricelab.pictures.earning import EARNING, Earning
from pricelab.pictures.machine import PAYBACK, PRESS_MAP, Payback, PressMap
from pricelab.pictures.month import MONTH, Month
from pricelab.pictures.risk import PROFITS, TORNADO, Profits, Tornado
from pricelab.pictures.stock_cost import STOCK_COST, StockCost

# ---- what an order earns --------------------------------------------------------------

QUANTITIES = np.arange(1, 101)
EARNED = np.where(QUANTITIES < 50, QUANTITIES - 20.0, QUANTITIES - 60.0)
"""Nothing lost from 20 to 49 and from 60 on."""


def earning(earned=EARNED, goal=0.0, what="profit", marked=30):
    """Those figures, as a picture takes them."""
    found = break_even(earned, QUANTITIES, goal)
    return Earning("Patch, 2 in", what, "USD", QUANTITIES, earned, goal, found, marked)


def test_earning_names_its_ranges_and_pockets():
    described = EARNING.describe(earning())
    assert described.finding == (
        "Patch, 2 in breaks even first at 20 pieces, and always from 60 on; 2 ranges fall short"
    )
    assert described.rows == (
        ("1–19 pieces", "fall short", "−$19.00", "−$1.00"),
        ("20–49 pieces", "earn the goal", "$0.00", "$29.00"),
        ("50–59 pieces", "fall short", "−$10.00", "−$1.00"),
        ("60–100 pieces", "earn the goal", "$0.00", "$40.00"),
    )


@pytest.mark.parametrize(
    ("values", "finding"),
    [
        (earning(EARNED + 50), "Patch, 2 in: every quantity that is sold breaks even"),
        (earning(goal=50.0), "Patch, 2 in: no quantity earns a profit of $50.00"),
        (earning(QUANTITIES - 5.0), "Patch, 2 in breaks even from 5 pieces on"),
        (
            earning(-EARNED),
            "Patch, 2 in breaks even first at 1 piece, but not at the largest orders; "
            "2 ranges fall short",
        ),
        (
            earning(EARNED / 100, 0.2, "margin"),
            "Patch, 2 in earns a margin of 20 % first at 40 pieces, and always from 80 on; "
            "2 ranges fall short",
        ),
    ],
)
def test_earning_says_what_becomes_of_the_goal(values, finding):
    assert EARNING.describe(values).finding == finding
    assert drawn(EARNING, values).lines


def test_earning_marks_every_range_along_the_foot_and_names_the_pockets():
    ax = drawn(EARNING, earning())
    bars = [tuple(line.get_xdata()) for line in ax.lines if line.get_gid() == "earning"]
    assert bars == [(20, 50), (60, 101)]
    assert {"1–19", "50–59", "goal $0.00", "profit"} <= set(said(ax))
    hatched = [patch for patch in ax.patches if patch.get_hatch()]
    assert len(hatched) == 2
    (tint,) = ax.collections  # what is over the goal is tinted, and nothing under it
    x, y = np.concatenate([path.vertices for path in tint.get_paths()]).T
    assert y.min() == 0
    assert x.min() == 20
    assert not ((x > 50) & (x < 60)).any()


# ---- how sure -------------------------------------------------------------------------

OUTCOME = np.arange(-10.0, 190.0)  # 200 draws, ten of them a loss


def test_profits_say_the_likely_range_and_the_chance_of_a_loss():
    """Of −10 … 189, a twentieth of 199 steps up is −.05 and down 179.05 (linear quantiles)."""
    described = PROFITS.describe(Profits("48 pieces", "USD", OUTCOME, 90.0))
    assert described.finding == (
        "48 pieces: profit is most likely −$0.05 to $179.05; the chance of a loss is 5 %"
    )
    assert described.rows[0] == ("draws", "200")
    assert described.rows[-1] == ("by the cost sheet", "$90.00")


def test_profits_hatch_what_is_lost():
    """One fill for what loses, one for what does not, and neither crosses nothing."""
    ax = drawn(PROFITS, Profits("48 pieces", "USD", OUTCOME, 90.0))
    losing, earning = ax.collections
    assert losing.get_hatch() == "///"
    assert losing.get_paths()[0].vertices[:, 0].max() <= 1e-9
    assert earning.get_paths()[0].vertices[:, 0].min() >= -1e-9
    assert (
        "did not lose once"
        in PROFITS.describe(Profits("48 pieces", "USD", np.arange(5.0), 2.0)).finding
    )


def test_the_tornado_has_its_widest_bar_on_top():
    swings = {"prices": (120, 60), "minutes": (95, 85)}
    values = Tornado("48 pieces", "USD", swings, 90.0)
    described = TORNADO.describe(values)
    assert described.finding == (
        "48 pieces: suppliers' prices move the profit most, by $60.00 from the poor end to the "
        "good one"
    )
    assert described.rows[0] == ("suppliers' prices", "$60.00", "$120.00", "$60.00")
    bars = sorted(drawn(TORNADO, values).patches, key=lambda bar: (bar.get_y(), bar.get_x()))
    ends = [(bar.get_x(), bar.get_x() + bar.get_width()) for bar in bars]
    assert ends == [(85, 90), (90, 95), (60, 90), (90, 120)]


def test_a_tornado_of_what_is_sure_says_so():
    values = Tornado("48 pieces", "USD", {"prices": (90, 90)}, 90.0)
    assert TORNADO.describe(values).finding == "48 pieces: nothing is in doubt"
    assert not drawn(TORNADO, values).patches
    sure = Profits("48 pieces", "USD", np.full(9, 90.0), 90.0)
    assert drawn(PROFITS, sure).get_xlim() == (89.5, 90.5)


# ---- the month ------------------------------------------------------------------------

MIX = Mix([10], [6], [1])


def test_the_month_says_what_could_be_lost():
    """By hand: 400 over 4.00 is 100 pieces; 150 leave 200.00, 50 of them (a third) to lose."""
    values = Month(MonthPlan(MIX, 400, 150), "USD")
    assert MONTH.describe(values).finding == (
        "150 pieces a month leave $200.00; 50 of them (33.3 %) could be lost before the month "
        "loses money"
    )
    assert {"100 pieces\nbreak even", "50 pieces of safety", "fixed $400.00"} <= set(
        said(drawn(MONTH, values))
    )


def test_a_month_under_water_says_what_is_missing():
    values = Month(MonthPlan(MIX, 400, 60), "USD")
    assert MONTH.describe(values).finding == (
        "60 pieces a month lose $160.00; the month breaks even at 100"
    )
    assert "40 pieces missing" in said(drawn(MONTH, values))


@pytest.mark.parametrize(("fixed", "pieces"), [(0, 0), (0, 50), (400, 0)])
def test_a_month_without_costs_or_pieces_can_be_drawn(fixed, pieces):
    assert drawn(MONTH, Month(MonthPlan(MIX, fixed, pieces), "USD")).lines


# ---- a machine ------------------------------------------------------------------------

CASE = PressCase(10_000, 2, 2_600, 3, 0.1, 200, 1_000)  # flows −10,000; 5,000; 5,000; 6,000


def test_payback_says_when_and_what_is_left():
    """By hand: plain after 2 years; at 10 %, 1,322.31 owed of 4,507.89 in the third: 2.3 years."""
    values = Payback(CASE, "USD")
    assert PAYBACK.describe(values).finding == (
        "A machine for $10,000.00 pays back in 2.3 years at 10 % a year; over 3 years it is worth "
        "$3,185.57 more than its price"
    )
    assert values.paid() == 2
    words = said(drawn(PAYBACK, values))
    assert {"2 years", "2.3 years", "plain", "at 10 % a year"} <= set(words)


def test_payback_of_what_never_pays_has_no_marker():
    values = Payback(PressCase(10_000, 1, 100, 3), "USD")
    assert PAYBACK.describe(values).finding == (
        "A machine for $10,000.00 does not pay back; over 3 years it is $9,700.00 short"
    )
    assert not [line for line in drawn(PAYBACK, values).lines if line.get_marker() != "None"]


def test_the_map_counts_the_cases_that_pay_and_rings_the_case():
    values = PressMap.of(CASE, "USD")
    pays = int((values.npv >= 0).sum())
    described = PRESS_MAP.describe(values)
    assert described.finding == (
        f"What a machine is worth over 3 years, less its price: {pays} of 42 cases pay"
    )
    assert values.npv[values.here] == pytest.approx(CASE.npv)
    ax = drawn(PRESS_MAP, values)
    assert len([patch for patch in ax.patches if patch.get_hatch()]) == 42 - pays
    assert described.rows[2][4] == "$3,186"


# ---- stock ----------------------------------------------------------------------------


def stock(demand=1300.0):
    """The published problem of stock, test_stock."""
    one = Stock([1, 400, 800], [0.75, 0.72, 0.68], demand, 8, 0.3)
    quantities = np.arange(1, 1_600)
    costs, at_breaks = one.year(quantities).cost, one.year(one.breaks).cost
    best = one.best_packs()
    return StockCost("Patch", "USD", quantities, costs, one.breaks, at_breaks, best, demand)


def test_stock_names_the_best_order_and_what_the_breaks_cost():
    """978.60, published; orders of 400 cost 1,300 × .72 + 8 × 3.25 + .3 × .72 × 200 = 1,005.20."""
    described = STOCK_COST.describe(stock())
    assert described.finding == (
        "Patch: order 800 pieces at a time, 1.6 times a year; a year costs $978.60"
    )
    assert described.rows[1:] == (
        ("400", "$1,005.20", "$26.60"), ("800 (best)", "$978.60", "$0.00")
    )  # fmt: skip


def test_the_curve_of_stock_is_broken_where_its_price_drops():
    ax = drawn(STOCK_COST, stock())
    curve = max(ax.lines, key=lambda line: len(line.get_xdata()))
    assert np.isnan(curve.get_xdata()).sum() == 2
    assert "800 pieces\n$978.60 a year" in said(ax)
    assert STOCK_COST.describe(stock(demand=400.0)).finding.startswith("Patch: order ")


# ---- all of them ----------------------------------------------------------------------

SHOWN = [
    (EARNING, earning(), earning(goal=20.0)),
    (PROFITS, Profits("A", "USD", OUTCOME, 90.0), Profits("B", "USD", OUTCOME, 80.0)),
    (
        TORNADO,
        Tornado("A", "USD", {"prices": (1, 2)}, 1.5),
        Tornado("B", "USD", {"minutes": (1, 2)}, 1.5),
    ),
    (MONTH, Month(MonthPlan(MIX, 400, 150), "USD"), Month(MonthPlan(MIX, 400, 60), "USD")),
    (PAYBACK, Payback(CASE, "USD"), Payback(PressCase(9_000, 2, 2_600, 3, 0.1), "USD")),
    (PRESS_MAP, PressMap.of(CASE, "USD"), PressMap.of(PressCase(900, 1, 50, 2), "USD")),
    (STOCK_COST, stock(), stock(900.0)),
]


@pytest.mark.parametrize(("picture", "one", "other"), SHOWN, ids=lambda x: getattr(x, "name", ""))
def test_a_quick_picture_is_a_fresh_one(picture, one, other):
    """Drawn after another."""
    check_drawn_again(picture, one, other)


@pytest.mark.parametrize(
    ("picture", "values"),
    [
        (MONTH, Month(MonthPlan(MIX, 0, 50), "USD")),
        (MONTH, Month(MonthPlan(MIX, 8, 50), "USD")),
        (MONTH, Month(MonthPlan(MIX, 9e6, 50), "USD")),
        (PAYBACK, Payback(PressCase(1, 2, 2_600, 7, 0.1), "USD")),
        (PAYBACK, Payback(PressCase(1e7, 2, 2e6, 7, 0.1), "EUR")),
        (PRESS_MAP, PressMap.of(PressCase(1e7, 2, 1, 7, 0.1), "USD")),
        (STOCK_COST, stock(2e4)),
        (PROFITS, Profits("48 pieces", "USD", np.full(9, 90.0), 90.0)),
    ],
    ids=lambda x: getattr(x, "name", ""),
)
def test_odd_figures_leave_every_word_its_place(picture, values):
    """Nothing fixed, millions, a machine paid back at once, less than a piece a year."""
    assert misplaced(drawn(picture, values)) == []


def test_pieces_missing_and_pieces_that_break_even_add_up():
    """698.4 pieces break even, so 699 whole ones: of 234 planned 465 are missing, not 464."""
    values = Month(MonthPlan(MIX, 4 * 698.4, 234), "USD")
    assert values.even - 234 == 465
    assert "465 pieces missing" in said(drawn(MONTH, values))
