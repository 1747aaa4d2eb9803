"""The small shop with a second blank and a method that the second blank does not bear.

Today's list asks for a patch up to 2 in, by `smallshop`: on the cap 25.10 from 1, 9.90 from
12, 10.50 from 24; on the knit 24.00, 9.00 and 8.00. Set-up is 54.55, tax 10 % on top.
"""

from pathlib import Path

from smallshop import FILES, write_shop

from pricelab.client.catalogue import Catalogue, catalogue_of
from pricelab.files.shop_folder import read_shop

CHANGED = {
    "blanks": (
        "blank,name,make-up,panel width,panel height,heat limit,care\n"
        "cap,Plain cap,six panels,5,2.5,,hand wash\n"
        "knit,Knit beanie,turned cuff,4,2,250,dry flat\n"
    ),
    "blank_prices": "blank,from,price\ncap,1,4.00\ncap,24,3.00\nknit,1,3.50\n",
    "methods": (
        "method,name,grid,set-up,heat,care\n"
        'patch,"Leather patch, pressed on",patches,30,,wipe clean; not for laundering\n'
        "film,Pressed film,patches,0,300,wash cold\n"
    ),
    "price_list": FILES["price_list.csv"]
    + "patch,knit,2,24.00,9.00,8.00\npatch,knit,3,26.00,11.00,9.00\n",
}


def two_blanks(folder: Path, **changed: str) -> Path:
    """Write the shop's files in `folder`; the film is sold on the cap."""
    files = CHANGED | changed
    if "film," in files["methods"]:
        files["price_list"] += "film,cap,2,22.00,9.00,7.00\nfilm,cap,3,24.00,10.00,8.00\n"
    return write_shop(folder, **files)


def two_blanks_counter(folder: Path, **changed: str) -> Catalogue:
    """What a client may see of it."""
    return catalogue_of(read_shop(two_blanks(folder, **changed)))
