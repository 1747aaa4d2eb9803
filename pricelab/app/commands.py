"""The commands about price lists, for a shop that wants them without a browser.

Each reads the shop's folder, calls what it is about and prints the answer; the exit code
is the command line's (see `terminal`).
"""

import argparse
import re
from collections.abc import Sequence
from datetime import date
from pathlib import Path

import numpy as np

from pricelab.app.terminal import BAD_NEWS, DONE, text_table
from pricelab.files.clock import today
from pricelab.files.folders import shop_folder
from pricelab.files.grid_file import read_grid
from pricelab.files.saving import file_stem, save_whole, told
from pricelab.files.shop_folder import ShopFolder, read_shop
from pricelab.lists import supplier_change as supplier
from pricelab.lists.audit import audit
from pricelab.lists.basis import list_measure
from pricelab.lists.breaks import TIERS_AT_A_GLANCE
from pricelab.lists.selling_list import planned_list, selling_list
from pricelab.lists.typical_quantity import quantities_sold, weights_of
from pricelab.lists.usual_tiers import break_frontier
from pricelab.paper.client_copy import ClientCopy
from pricelab.shop import figures
from pricelab.shop.blank import Blank
from pricelab.shop.errors import NotPossible, PricelabError
from pricelab.shop.method import Method
from pricelab.shop.price_list import PriceList
from pricelab.shop.sizes import Measure
from pricelab.shop.units import parse_length
from pricelab.words import findings as wording


def check(options: argparse.Namespace) -> int:
    """Say whether the folder is in order, and what in it is worth a look."""
    folder = _folder(options)
    shop = folder.shop
    counts = (
        (len(shop.methods), "method"),
        (len(shop.blanks), "blank"),
        (len(folder.price_lists), "price list"),
        (len(folder.jobs), "finished job"),
    )
    counted = ", ".join(f"{n} {what}{'' if n == 1 else 's'}" for n, what in counts)
    print(f"{shop.name}: in order ({counted}).")
    if folder.warnings:
        print("\nWorth a look:")
        _print_all(folder.warnings, "  ")
    return DONE


def plan(options: argparse.Namespace) -> int:
    """Print the list that holds, with its margins."""
    folder = _folder(options)
    _print_list(folder, _planned(folder, options))
    return DONE


def audit_lists(options: argparse.Namespace) -> int:
    """Judge today's lists: all of them, those of a method, or one."""
    folder = _folder(options)
    held = []
    for price_list in _todays(folder, options):
        if held:
            print()
        held.append(_print_audit(folder, price_list))
    if len(held) > 1:
        print(f"\n{sum(held)} of {len(held)} lists hold.")
    return DONE if all(held) else BAD_NEWS


def choose(options: argparse.Namespace) -> int:
    """Print the frontier of breaks: as few tiers as will do, overcharging least."""
    folder = _folder(options)
    method, blank = _pair(folder, options)
    shop = folder.shop
    frontier = break_frontier(folder, method, blank, options.most or TIERS_AT_A_GLANCE)
    sold = len(quantities_sold(folder, method))
    by = f"weighed by {sold} finished jobs" if sold else "every quantity weighed the same"
    print(f"{shop.name}: {method.name} ({blank.name})")
    print(f"Best breaks, {by}; what a piece is overcharged on average, {shop.currency}.\n")
    print("tiers  overcharge  breaks")
    for found in frontier:
        overcharge = f"{found.overcharge:.{shop.decimals + 1}f}"
        starts = ", ".join(map(str, found.starts))
        print(f"{len(found.starts):<5}  {overcharge:>10}  {starts}")
    return DONE


def new_grid(options: argparse.Namespace) -> int:
    """Say what a supplier's new grid does to today's lists of a method."""
    folder = _folder(options)
    method = folder.shop.method(options.method)
    lists = _todays(folder, options)
    if not Path(options.grid).is_file():
        raise PricelabError(f'There is no file "{options.grid}". Name the file of the new grid.')
    grid, warnings = read_grid(options.grid)
    changed = supplier.with_grid(folder.shop, method.key, grid)
    _print_all(warnings)
    worse = False
    for at, price_list in enumerate(lists):
        weights = weights_of(folder, price_list)
        if at or warnings:
            print()
        try:
            change = supplier.supplier_change(folder.shop, changed, price_list, weights)
        except NotPossible as error:
            print(f"{wording.name_of(folder.shop, price_list)}: cannot be judged, {error}")
            worse = True
            continue
        first, *others = wording.say_change(change, folder.shop)
        print(first)
        _print_all(others, "  ")
        worse = worse or bool(change.lost) or bool(change.stops_holding.any())
    return BAD_NEWS if worse else DONE


def export(options: argparse.Namespace) -> int:
    """Save a list for the client (CSV, XLSX, PDF) and its workings for the owner (XLSX)."""
    from pricelab.paper.list_csv import list_csv
    from pricelab.paper.list_pdf import list_pdf
    from pricelab.paper.list_xlsx import list_xlsx
    from pricelab.paper.workings import workings_xlsx

    folder = _folder(options)
    if options.today:
        _todays(folder, options)  # says so where there is none
        price_list = selling_list(folder, *_pair(folder, options))
    else:
        price_list = _planned(folder, options)
    on = options.on or today()
    judged = audit(folder.shop, price_list, weights_of(folder, price_list))
    copy = ClientCopy.of(folder.shop, price_list, on)
    name, to = file_stem(price_list.method, price_list.blank), Path(options.to)
    files = {
        f"{name}-price-list.csv": list_csv(copy, "," if options.decimal_comma else "."),
        f"{name}-price-list.xlsx": list_xlsx(copy),
        f"{name}-price-list.pdf": list_pdf(copy),
        f"{name}-workings-not-for-clients.xlsx": workings_xlsx(folder.shop, judged, on),
    }
    with told(to / next(iter(files))):
        to.mkdir(parents=True, exist_ok=True)
    for file, content in files.items():
        print(f"Saved {save_whole(to / file, content)}")
    return DONE


def _folder(options: argparse.Namespace) -> ShopFolder:
    return read_shop(shop_folder(options.shop))


def _pair(folder: ShopFolder, options: argparse.Namespace) -> tuple[Method, Blank]:
    method = folder.shop.method(options.method)
    return method, folder.shop.blank(options.blank)


def _planned(folder: ShopFolder, options: argparse.Namespace) -> PriceList:
    method, blank = _pair(folder, options)
    wanted = None if options.sizes is None else _read_sizes(method, options.sizes)
    return planned_list(folder, method, blank, tiers=options.tiers, sizes=wanted)


def _read_sizes(method: Method, texts: Sequence[str]) -> list[float]:
    measure, unit = list_measure(method)
    if measure not in (Measure.AREA, Measure.THOUSAND_STITCHES):
        read = [float(parse_length(text, unit).to(unit)) for text in texts]
    elif all(re.fullmatch(r"\d+(\.\d+)?", text) for text in texts):
        read = [float(text) for text in texts]
    else:
        of = wording.size_unit(measure, unit)
        raise PricelabError(f'found the sizes "{",".join(texts)}", expected plain numbers of {of}.')
    return sorted(set(read))


def _todays(folder: ShopFolder, options: argparse.Namespace) -> list[PriceList]:
    """Today's lists of the method on the blank that are named, or all of them."""
    lists = list(folder.price_lists)
    if not lists:
        raise PricelabError(
            f"{folder.shop.name} has no price list yet. Plan one, save it with "
            "`python -m pricelab export`, and put it in the shop's folder as price_list.csv."
        )
    for name, known in (("method", folder.shop.method), ("blank", folder.shop.blank)):
        word = getattr(options, name)
        if word is not None:
            key = known(word).key
            lists = [price_list for price_list in lists if getattr(price_list, name) == key]
    if not lists:
        listed = ", ".join(f"{x.method} {x.blank}" for x in folder.price_lists)
        raise PricelabError(
            f"Today's price list has none for that. It has: {listed}. "
            "`python -m pricelab plan` makes a new one."
        )
    return lists


# ---- what is printed ------------------------------------------------------------------


def _print_list(folder: ShopFolder, price_list: PriceList) -> None:
    shop = folder.shop
    copy = ClientCopy.of(shop, price_list, date.min)
    judged = audit(shop, price_list, weights_of(folder, price_list))
    print(f"{shop.name}: {copy.title}")
    print(f"{copy.priced_in} {copy.head.tax_note}\n")
    heading = ("size", *copy.tiers)
    rows = [
        (size, *map(copy.head.figure, prices))
        for size, prices in zip(copy.sizes, price_list.prices, strict=True)
    ]
    _print_all(text_table([heading, *rows]))
    print(
        "\nMargin at the dearest quantity of a tier / at the usual one "
        f"(floor {figures.percent(shop.pricing.floor)}, "
        f"target {figures.percent(shop.pricing.target)}), in %:\n"
    )
    both = 100 * np.stack([judged.worst_margin, judged.typical_margin], axis=-1)
    rows = [
        (size, *(f"{low:.1f} / {usual:.1f}" for low, usual in row))
        for size, row in zip(copy.sizes, both, strict=True)
    ]
    _print_all(text_table([heading, *rows]))
    usual = ", ".join(figures.number(quantity) for quantity in judged.typical_quantity)
    print(f"\nUsual quantities: {usual}.")
    print(copy.setup_note)
    _print_all(copy.hints)


def _print_audit(folder: ShopFolder, price_list: PriceList) -> bool:
    """Print the findings on a list; whether it holds."""
    shop = folder.shop
    try:
        judged = audit(shop, price_list, weights_of(folder, price_list))
    except NotPossible as error:
        print(f"{wording.name_of(shop, price_list)}: cannot be judged, {error}")
        return False
    print(wording.verdict(judged, shop))
    _print_all(wording.sentences(judged, shop), "  ")
    return bool(judged.holding.all())


def _print_all(lines, indent: str = "") -> None:
    for line in lines:
        print(f"{indent}{line}")
