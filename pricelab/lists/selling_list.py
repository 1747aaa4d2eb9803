"""The list by which a method on a blank is sold: today's, else the one that would be planned."""

from dataclasses import dataclass, replace

from pricelab.lists.basis import list_sizes
from pricelab.lists.plan import plan
from pricelab.lists.typical_quantity import weights_between
from pricelab.lists.usual_tiers import usual_tiers
from pricelab.shop.blank import Blank
from pricelab.shop.business import Business
from pricelab.shop.errors import PricelabError
from pricelab.shop.method import Method
from pricelab.shop.price_list import PriceList


def planned_list(
    business: Business, method: Method, blank: Blank, *, tiers=None, sizes=None
) -> PriceList:
    """The list of the method on the blank, with the tiers and sizes told or the usual ones."""
    shop, today = business.shop, business.todays_list(method, blank)
    tiers = usual_tiers(business, method, blank) if tiers is None else tiers
    last = max(shop.largest_order, tiers[-1])
    if today is not None:
        last = max(last, today.last)
        sizes = today.sizes if sizes is None else sizes
    weights = weights_between(business, method, tiers[0], last)
    return plan(shop, method, blank, tiers, last, sizes=sizes, weights=weights)


def selling_list(business: Business, method: Method, blank: Blank) -> PriceList:
    """The list by which a method on a blank is sold: today's, else the planned one.

    A printed list has no column for set-up: where set-up is a line of its own, it is priced
    as every plan prices it.
    """
    listed = business.todays_list(method, blank)
    if listed is None:
        return planned_list(business, method, blank)
    if listed.setup is None and business.shop.pricing.setup_apart:
        size = list_sizes(method, blank, listed.sizes)[:1]
        listed = replace(listed, setup=plan(business.shop, method, blank, [1], 1, sizes=size).setup)
    return listed


@dataclass(frozen=True, eq=False)
class ListsOnBlank:
    """What a shop can offer on one blank: a list of every method, or why there is none.

    `planned` are the methods without a list today, whose list is planned; `refused` pairs a
    method with the reason why no size of it can go on the blank.
    """

    blank: Blank
    lists: tuple[PriceList, ...]
    planned: frozenset[str]
    refused: tuple[tuple[Method, str], ...]


def lists_on(business: Business, blank: Blank) -> ListsOnBlank:
    """Today's list of every method on a blank, the planned one where there is none today."""
    lists, planned, refused = [], set(), []
    for method in business.shop.methods.values():
        try:
            lists.append(selling_list(business, method, blank))
        except PricelabError as error:
            whole = f"no size of {method.name} can go on {blank.name}: "
            refused.append((method, str(error).removeprefix(whole)))
            continue
        if business.todays_list(method, blank) is None:
            planned.add(method.key)
    return ListsOnBlank(blank, tuple(lists), frozenset(planned), tuple(refused))
