"""The book of records: what is put in comes out the same, and old files and odd folders."""

import os
import sqlite3
import subprocess
import sys
import tempfile
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from small_jobs import jobs_of

from pricelab.files.folders import DEMO_SHOP
from pricelab.files.records.book import FILE, Records
from pricelab.files.records.tables import JOBS, LAYOUT, TABLES, columns_of, frame_of
from pricelab.files.shop_folder import read_shop
from pricelab.shop.errors import PricelabError


def test_a_book_without_a_file_is_empty_and_makes_none(tmp_path):
    records = Records(tmp_path)
    assert [len(records.table(table)) for table in TABLES] == [0] * len(TABLES)
    assert list(tmp_path.iterdir()) == []


def test_the_shop_s_jobs_are_taken_over_once(tmp_path):
    """jobs.csv of a demo shop: every row comes out as it was read; a second time adds none."""
    jobs = read_shop(DEMO_SHOP).jobs
    records = Records(tmp_path)
    assert records.add_jobs(jobs) == len(jobs)
    assert records.add_jobs(jobs) == 0
    out = records.jobs()
    pd.testing.assert_frame_equal(
        out[list(jobs.columns)], jobs.reset_index(drop=True), check_exact=True
    )
    assert (out["quote"] == "").all()


def test_a_recorded_job_stays_as_it_is(tmp_path):
    records = Records(tmp_path)
    records.add_jobs(jobs_of({"charged": 302.55}))
    assert records.add_jobs(jobs_of({"charged": 1.00}, {"charged": 2.00})) == 1
    assert records.jobs()["charged"].tolist() == [302.55, 2.00]


def test_a_corrected_job_forgets_what_it_no_longer_tells(tmp_path):
    """Minutes were noted by mistake: the job as corrected has none."""
    records = Records(tmp_path)
    records.add_jobs(jobs_of({"attended minutes": 70.0, "machine minutes": 4.5}))
    correct = jobs_of({"machine minutes": 5.0})
    records.correct_job(tuple(correct[name].item() for name in JOBS.key), correct)
    job = records.jobs().iloc[0]
    assert pd.isna(job["attended minutes"])
    assert job["machine minutes"] == 5.0


@pytest.mark.parametrize("most", [1, 5, 99])
def test_one_job_and_the_last_ones_are_read_without_the_others(tmp_path, most):
    """They are what the whole book has of them; job 3 has three rows, 7 none."""
    records = Records(tmp_path)
    jobs = jobs_of(*({"width": float(wide)} for wide in range(1, 10)))
    records.add_jobs(jobs.assign(job=list("133345689")))
    whole = records.jobs()
    for number, rows in (("1", 1), ("3", 3), ("7", 0)):
        assert len(records.job(number)) == rows
        wanted = whole[whole["job"] == number].reset_index(drop=True)
        pd.testing.assert_frame_equal(records.job(number), wanted, check_exact=True)
    last, count = records.last_jobs(most)
    assert count == 7
    wanted = whole.tail(most).reset_index(drop=True)
    pd.testing.assert_frame_equal(last, wanted, check_exact=True)


@pytest.mark.parametrize("count", [99, 100, 101, 300])
def test_a_long_list_goes_in_whole_with_each_job_once(tmp_path, count):
    """A hundred rows go into the file at once; the first job stands twice."""
    jobs = jobs_of(*({"charged": float(at)} for at in range(1, count + 1)))
    twice = pd.concat([jobs.head(1), jobs.head(1).assign(charged=0.0), jobs.iloc[1:]])
    records = Records(tmp_path)
    assert records.add_jobs(twice) == count
    assert records.jobs().set_index("job")["charged"].to_dict() == {
        str(at): float(at) for at in range(1, count + 1)
    }


def test_every_cent_comes_back_to_the_cent(tmp_path):
    """Each amount from .00 to 99.99, and large ones, as the decimal it was."""
    cents = np.arange(10_000)
    amounts = [*(float(f"{cent // 100}.{cent % 100:02}") for cent in cents), 1234567.89, 9e9 + 0.01]
    jobs = jobs_of(*({} for _ in range(1))).loc[np.zeros(len(amounts), int)]
    jobs = jobs.assign(job=[f"{at:06}" for at in range(len(amounts))], charged=amounts)
    records = Records(tmp_path)
    records.add_jobs(jobs)
    assert records.jobs()["charged"].tolist() == amounts


text = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12)
money = st.integers(0, 10**12).map(lambda parts: parts / 10_000)
plain = st.floats(0, 1e9, allow_nan=False, allow_subnormal=False)
job = st.fixed_dictionaries({
    "job": text.map(lambda name: f"J{name}"), "client": text, "method": text, "blank": text,
    "date": st.dates(date(1900, 1, 1), date(2199, 12, 31)).map(lambda day: np.datetime64(day, "s")),
    "width": plain, "height": plain, "quantity": st.integers(1, 10**6),
    "order": st.sampled_from(["first", "repeat"]), "price each": money, "set-up charged": money,
    "charged": money, "attended minutes": st.none() | plain, "machine minutes": st.none() | plain,
    "spoiled pieces": st.none() | st.integers(0, 10**6),
    "freight paid": st.none() | money, "set-up paid": st.none() | money,
})  # fmt: skip


@settings(max_examples=12, deadline=None)  # each writes to the disk and waits for it
@given(rows=st.lists(job, min_size=1, max_size=4))
@example(rows=[{"width": 1 / 3, "height": 1.1e-7, "attended minutes": 0.1 + 0.2, "client": "a\rb"}])
def test_any_job_comes_back_from_the_book_and_from_its_csv(tmp_path_factory, rows):
    """Types, days, empty cells, letters of any script, and figures to the last bit."""
    one = Records(tmp_path_factory.mktemp("book"))
    jobs = jobs_of(*rows).drop_duplicates(list(JOBS.key))
    jobs = jobs.reindex(columns=[*JOBS.columns]).assign(quote="")
    jobs["job"] = [f"{at}{name}" for at, name in enumerate(jobs["job"])]
    rows = zip(*(column.tolist() for column in columns_of(JOBS, jobs).values()), strict=True)
    wanted = frame_of(JOBS, list(rows))  # texts without spaces round them
    one.add_jobs(jobs)
    kept = one.jobs()
    pd.testing.assert_frame_equal(
        kept, wanted.sort_values("job", ignore_index=True), check_exact=True
    )
    figures = [name for name, kind in JOBS.columns.items() if kind.dtype in ("float64", "int64")]
    kept = kept.set_index("job").loc[wanted["job"]]
    assert kept[figures[:]].to_numpy().tolist() == jobs[figures].to_numpy().tolist()
    *_, file, _ = one.write_csv()
    read = pd.read_csv(file, keep_default_na=False, dtype=object).set_index("job")
    read = read.loc[wanted["job"].tolist()]
    assert read["client"].tolist() == wanted["client"].tolist()
    assert read[figures].astype(float).to_numpy().tolist() == jobs[figures].to_numpy().tolist()


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"job": " "}, 'found "" for the job, expected a number or a name that does not begin'),
        ({"job": "#1"}, 'found "#1" for the job'),
        ({"client": "A\0"}, 'found signs in "client" that are no text'),
        ({"client": "\ud800"}, 'found signs in "client" that are no text'),
        ({"charged": 0.00005}, 'found .*5e-05.* in "charged", expected money with up to four'),
        ({"charged": float("nan")}, 'found an empty cell in "charged", expected a figure'),
        ({"width": float("inf")}, 'found an endless figure in "width"'),
        ({"quantity": 0}, "A row is not as it must be: pieces from 1"),
        ({"order": "third"}, "A row is not as it must be: pieces from 1, an order that is first"),
        ({"date": None}, 'found no day in "date", expected one such as 2026-11-25'),
    ],
)
def test_what_cannot_be_recorded_is_told_and_nothing_is(tmp_path, wrong, sentence):
    """A sound row before the wrong one is not recorded either."""
    records = Records(tmp_path)
    with pytest.raises(PricelabError, match=sentence):
        records.add_jobs(jobs_of({}, wrong))
    assert len(records.jobs()) == 0


def test_other_tools_read_the_book_with_money_in_the_currency(tmp_path):
    """pandas.read_sql on the file itself, through its view."""
    Records(tmp_path).add_jobs(jobs_of({"freight paid": 7.25}))
    book = sqlite3.connect(tmp_path / FILE)
    wanted = 'job, date, charged, "price each", "freight paid", "set-up paid"'
    read = pd.read_sql(f"SELECT {wanted} FROM finished_jobs", book)
    book.close()
    assert read.to_dict("records") == [
        {
            "job": "1",
            "date": "2026-03-02",
            "charged": 302.55,
            "price each": 12.40,
            "freight paid": 7.25,
            "set-up paid": None,
        }
    ]


@pytest.mark.parametrize(
    ("layout", "said"),
    [
        (LAYOUT + 1, "was written by a newer version of this workbook. Update the workbook."),
        (LAYOUT - 1, "was written by a version of this workbook that was never given out, and is "
         "not read any more. Move it out of the shop's folder; a new one is made."),
    ],
)  # fmt: skip
def test_a_book_of_another_layout_is_left_alone(tmp_path, layout, said):
    records = Records(tmp_path)
    records.add_jobs(jobs_of({}))
    book = sqlite3.connect(tmp_path / FILE)
    book.execute(f"PRAGMA user_version = {layout}")
    book.close()
    before = (tmp_path / FILE).read_bytes()
    for use in (records.jobs, lambda: records.add_jobs(jobs_of({}))):
        with pytest.raises(PricelabError, match=f"^{FILE} {said}$"):
            use()
    assert (tmp_path / FILE).read_bytes()[100:] == before[100:]


def test_a_file_that_is_no_book_is_told(tmp_path):
    (tmp_path / FILE).write_text("Not a book." * 100)
    for use in (Records(tmp_path).jobs, lambda: Records(tmp_path).add_jobs(jobs_of({}))):
        with pytest.raises(PricelabError, match=r"it is damaged, or no such file. Put your last"):
            use()


def test_no_path_leads_out_of_the_shop_s_folder(tmp_path):
    (tmp_path / "shop").mkdir()
    Records(tmp_path).add_jobs(jobs_of({}))
    (tmp_path / "shop" / FILE).symlink_to(tmp_path / FILE)
    with pytest.raises(PricelabError, match=r"records.sqlite is a link; the records must lie in"):
        Records(tmp_path / "shop").jobs()
    with pytest.raises(
        PricelabError, match=r'There is no folder ".*nowhere" to keep records.sqlite'
    ):
        Records(tmp_path / "nowhere").add_jobs(jobs_of({}))


LOCKED = """
import os, sys
from pathlib import Path
import pandas, sqlite3
from pricelab.shop.errors import PricelabError
from pricelab.files.records.book import Records
pandas.DataFrame({"a": ["b"]}).to_string()  # loads what it needs while it may
if os.getuid() == 0:
    os.setuid(65534)  # the system's own user stops at no permission
records = Records(Path(sys.argv[1]))
jobs = records.jobs()
print(len(jobs))
try:
    records.add_jobs(jobs.assign(job="new"))
except PricelabError as error:
    print(error)
"""


@pytest.mark.skipif(os.name != "posix", reason="permissions as on Linux and macOS")
def test_a_folder_that_may_only_be_read_is_read_and_says_so_when_written(root):
    """The folder lies where any user of the machine may look, unlike pytest's own."""
    with tempfile.TemporaryDirectory() as folder:
        Records(Path(folder)).add_jobs(jobs_of({}, {}))
        (Path(folder) / FILE).chmod(0o444)
        Path(folder).chmod(0o555)
        try:
            done = subprocess.run(
                [sys.executable, "-c", LOCKED, folder], cwd=root, capture_output=True, text=True
            )
        finally:
            Path(folder).chmod(0o755)
    assert done.stdout.splitlines() == [
        "2",
        "records.sqlite could not be used: the folder or the file may only be read. "
        "Allow it to be written to, and try again. Nothing was changed.",
    ], done.stderr


def test_a_heading_of_half_a_letter_is_refused_in_a_sentence(tmp_path):
    """As a damaged spreadsheet may have one."""
    with pytest.raises(PricelabError, match=r'^found signs in "heading" that are no text\. Type'):
        Records(tmp_path).remember_headings({"a\ud800": "client"})
