"""What a client is handed tells nothing of costs, margins or other clients, hidden or shown."""

import io
import json
import re
import subprocess
import zipfile
import zlib
from contextlib import suppress

import numpy as np
import pytest
from handedout import quoted
from ipywidgets.embed import dependency_state
from programs import program_or_skip
from smallshop import FILES, ON, write_shop

from pricelab.files.records.shop_then import stamp_of
from pricelab.files.shop_folder import read_shop
from pricelab.lists.audit import audit
from pricelab.lists.selling_list import planned_list
from pricelab.lists.typical_quantity import weights_of
from pricelab.paper.client_copy import ClientCopy
from pricelab.paper.list_csv import list_csv
from pricelab.paper.list_pdf import list_pdf
from pricelab.paper.list_xlsx import list_xlsx
from pricelab.paper.quote import quote_pdf
from pricelab.paper.workings import workings_xlsx
from pricelab.screens.counter import open_counter

WORDS = (
    "margin", "markup", "floor", "target", "profit", "overhead", "labour", "spoil", "freight",
    "card fee", "fees", "pressing", "earn", "below", "workings", "Secret Client", "patches.csv",
)  # fmt: skip
COSTS = ("4.137", "3.119", "3.271", "2.183", "4.291", "3.207", "31.7", "6.13", "30.77", "0.37")
RATES = ("41.3", "0.413", "21.7", "0.217", "5.3 %", "0.053")


@pytest.fixture
def odd(tmp_path):
    """The small shop with costs and goals that no price can be taken for."""
    shop = FILES["shop.csv"].replace("labour rate,30", "labour rate,31.7")
    shop = shop.replace("40 %", "41.3 %").replace("floor margin,20 %", "floor margin,21.7 %")
    return read_shop(
        write_shop(
            tmp_path / "odd",
            shop=shop,
            blank_prices="blank,from,price\ncap,1,4.137\ncap,24,3.119\n",
            patches="mean of sides (in),1,20\n2,3.271,2.183\n3,4.291,3.207\n",
            methods=FILES["methods.csv"].replace(",30,", ",30.77,"),
            costs=FILES["costs.csv"].replace("6.00", "6.13").replace("5 %", "5.3 %")
            .replace("0.30", "0.37"),
        )
    )  # fmt: skip


@pytest.fixture
def judged(odd):
    """Its list, planned and judged."""
    price_list = planned_list(odd, odd.shop.methods["patch"], odd.shop.blanks["cap"])
    return audit(odd.shop, price_list, weights_of(odd, price_list))


def text_of_xlsx(content: bytes) -> str:
    """Every part of the file, without the names of its page margins and of its links' targets."""
    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        xml = "\n".join(parts.read(name).decode("utf-8") for name in parts.namelist())
    return re.sub(r"<pageMargins[^>]*/>| Target=| TargetMode=", "", xml)


def text_of_pdf(content: bytes, reader: str, path) -> str:
    """All text of the pages, and the words of whatever else the file holds, packed or plain.

    Figures outside the text are places on the page, and are left out.
    """
    assert b"/EmbeddedFile" not in content
    path.write_bytes(content)
    said = [reader, str(path), "-"]
    text = subprocess.run(said, check=True, capture_output=True, text=True).stdout
    for packed in re.findall(rb"stream\r?\n(.*?)endstream", content, re.DOTALL):
        with suppress(zlib.error):  # some are not packed
            packed = zlib.decompress(packed)
        assert b"/EmbeddedFile" not in packed
        text += re.sub(r"[\d.]+", " ", packed.decode("latin-1"))
    return text


@pytest.fixture
def handed_out(odd, judged, tmp_path):
    """Every file that a client may be given, as text."""
    reader = program_or_skip("pdftotext", "pdftotext")
    shop, price_list = odd.shop, judged.price_list
    copy = ClientCopy.of(shop, price_list, ON)
    offer = quoted(shop, price_list, 3, 2, 21, ON, client="Otter & Sons")
    return {
        "csv": list_csv(copy).decode(),
        "xlsx": text_of_xlsx(list_xlsx(copy)),
        "pdf": text_of_pdf(list_pdf(copy), reader, tmp_path / "list.pdf"),
        "quote": text_of_pdf(quote_pdf(offer), reader, tmp_path / "quote.pdf"),
    }


def test_no_word_and_no_figure_of_the_shops_own(handed_out):
    """Words of costing, cost figures, rates and goals, and the clients of finished jobs."""
    for name, text in handed_out.items():
        told = [word for word in WORDS if word.lower() in text.lower()]
        figures = [x for x in (*COSTS, *RATES) if re.search(rf"(?<![\d.]){re.escape(x)}", text)]
        assert (name, told, figures) == (name, [], [])


def test_no_unit_cost_and_no_margin_that_was_worked_out(judged, handed_out):
    """At any quantity of the list, in any size, with two to four decimals."""
    margins = np.concatenate([judged.worst_margin, judged.typical_margin]).ravel()
    secrets = {f"{cost:.4f}" for cost in judged.basis.unit_cost.ravel()}
    secrets |= {f"{cost:.3f}" for cost in judged.basis.unit_cost.ravel()}
    secrets |= {f"{margin:.4f}" for margin in margins} | {f"{margin:.1%}" for margin in margins}
    for text in handed_out.values():
        assert not [secret for secret in secrets if secret in text]


def test_a_saved_quote_hands_no_stamp_out_and_the_screen_holds_none(tmp_path):
    """The order names the shop's tables for the owner; page, table and controls do not."""
    pdftotext = program_or_skip("pdftotext", "pdftotext")
    shop = write_shop(tmp_path / "shop")
    counter = open_counter(shop)
    counter.save.press()
    (quote,) = (shop / "quotes").iterdir()
    stamp = stamp_of(read_shop(shop))
    texts = {path.suffix: path.read_bytes().decode("latin-1") for path in quote.iterdir()}
    assert stamp in texts.pop(".json")
    texts["page"] = text_of_pdf((quote / f"quote-{quote.name}.pdf").read_bytes(), pdftotext,
                                tmp_path / "quote.pdf")  # fmt: skip
    texts["controls"] = json.dumps(dependency_state(counter.root, drop_defaults=False), default=str)
    assert set(texts) == {".pdf", ".csv", "page", "controls"}
    assert quote.name in texts["controls"]  # it is saved, and said so
    for name, text in texts.items():
        assert not [part for part in stamp.split("-") if part[:12] in text], name


def test_the_search_finds_what_it_looks_for(odd, judged):
    """The owner's workings, searched the same way, tell it all."""
    text = text_of_xlsx(workings_xlsx(odd.shop, judged, ON))
    for told in ("margin", "floor", "4.137", "3.271", "0.413", "0.217", "0.053", "30.77"):
        assert told in text.lower()
