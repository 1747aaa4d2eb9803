"""The fast reader of long tables says what the careful one says, or nothing."""

from pathlib import Path

import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pricelab.files import jobs
from pricelab.files.faults import Report
from pricelab.files.folders import ROOT
from pricelab.files.jobs import read_jobs
from pricelab.files.many_rows import read_fast
from pricelab.files.schema import Keys
from pricelab.files.shop_folder import read_shop
from pricelab.files.source import Folder

KEYS = Keys("in", ("patch", "stitch"), ("cap", "visor"))
HEAD = "job,date,client,method,blank,width,height,quantity,order,price each,charged\n"
ROW = "1,2026-03-02,A,patch,cap,2,2 1/4,20,first,12.40,248.00\n"


def frame_of(content: bytes, keys: Keys) -> pd.DataFrame | None:
    """The jobs of a file by the fast reader; None where it leaves any to the careful one."""
    read = read_fast(content, "jobs.csv", "jobs", jobs.KEY, keys)
    return read if isinstance(read, pd.DataFrame) else None


def fast(text: str) -> pd.DataFrame | None:
    """A table read by the fast reader."""
    return frame_of(text.encode(), KEYS)


def careful(folder: Path, text: str) -> tuple[pd.DataFrame, Report]:
    """The same by the careful reader alone."""
    report = Report()
    (folder / "jobs.csv").write_text(text, encoding="utf-8", newline="")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(jobs, "_read_fast", lambda *_: None)
        return read_jobs(Folder(folder), KEYS, report), report


@pytest.mark.parametrize("name", ["harbour-caps", "fjord-muetzen"])
def test_a_whole_history_reads_alike_both_ways(name, monkeypatch):
    """One demo's file has decimal points, the other semicolons and decimal commas."""
    folder = ROOT / "data" / name
    shop = read_shop(folder).shop
    keys = Keys(shop.unit, tuple(shop.methods), tuple(shop.blanks))
    frame = frame_of((folder / "jobs.csv").read_bytes(), keys)
    monkeypatch.setattr(jobs, "_read_fast", lambda *_: None)
    report = Report()
    pd.testing.assert_frame_equal(frame, read_jobs(Folder(folder), keys, report), check_exact=True)
    assert not report.faults


@pytest.mark.parametrize(
    "text",
    [
        HEAD,
        HEAD + ROW,
        "\ufeff" + HEAD + ROW,
        "# a remark\n\n" + HEAD + ROW,
        HEAD + ROW.replace("A", '"Smith, Jones & Co"'),
        HEAD + ROW.replace("A", '"two\nlines"') + ROW.replace("1,", "2,", 1),
        HEAD + ROW.replace("A", "  Åse  "),
        HEAD.replace("client", "note") + ROW,
        HEAD + ROW.replace("\n", "\r\n"),
    ],
)
def test_a_sound_table_is_read_fast_and_alike(tmp_path, text):
    frame = fast(text)
    wanted, report = careful(tmp_path, text)
    assert not report.faults
    pd.testing.assert_frame_equal(frame, wanted, check_exact=True)


@pytest.mark.parametrize(
    "text",
    [
        "",
        HEAD.replace("charged", "paid") + ROW,
        HEAD.replace("client", "job") + ROW,
        HEAD + ROW.replace("cap", "blank"),
        HEAD + ROW.replace("248.00", "248.00,"),
        HEAD + ROW + ROW.replace("1,", "2,", 1).replace("248.00", "248.00,"),
        HEAD + ROW.replace(",248.00", ""),
        HEAD + ROW + "\n" + ROW,
        HEAD + ROW + "#" + ROW,
        HEAD + ROW.replace("A", '"A"B'),
        HEAD + ROW.replace("A", '"A""B"'),
        HEAD + ROW.replace("A", '"A'),
        HEAD + ROW.replace("A", "\u00a0A"),
        HEAD + ROW.replace("A", "A\0"),
        HEAD + ROW.replace("A", "A\x1b[31m"),
        HEAD + ROW.replace("A", "A\x9b2J"),
    ],
)
def test_a_table_with_any_doubt_is_left_to_the_careful_reader(text):
    assert fast(text) is None


def test_letters_of_another_encoding_are_left_to_the_careful_reader():
    assert frame_of((HEAD + ROW).replace("A", "Ä").encode("latin-1"), KEYS) is None


def test_a_job_that_stands_twice_is_told_and_one_of_two_rows_is_not(tmp_path):
    report = Report()
    (tmp_path / "jobs.csv").write_text(HEAD + ROW + ROW.replace("cap", "visor"))
    assert len(read_jobs(Folder(tmp_path), KEYS, report)) == 2
    assert not report.faults
    (tmp_path / "jobs.csv").write_text(HEAD + ROW + ROW)
    assert len(read_jobs(Folder(tmp_path), KEYS, report)) == 1
    assert list(map(str, report.faults)) == [
        'jobs.csv, row 3, column "job": found "1, patch, cap, 2, 2.25" again, after row 2, '
        "expected it once. Remove one of the two rows, or give one another name."
    ]


def test_a_history_that_did_not_change_is_not_read_again(tmp_path, monkeypatch):
    """What is done to the jobs that were read changes none that are read later."""
    read = []
    monkeypatch.setattr(jobs, "read_fast", lambda *about: read.append(1) or read_fast(*about))
    jobs._read_fast.cache_clear()
    (tmp_path / "jobs.csv").write_text(HEAD + ROW)
    one = read_jobs(Folder(tmp_path), KEYS, Report())
    one.loc[2, "client"] = "B"
    again = read_jobs(Folder(tmp_path), Keys("in", ("patch", "stitch"), ("cap", "visor")), Report())
    assert (again["client"].tolist(), len(read)) == (["A"], 1)
    (tmp_path / "jobs.csv").write_text(HEAD + ROW.replace("A", "C"))
    assert read_jobs(Folder(tmp_path), KEYS, Report())["client"].tolist() == ["C"]
    report = Report()
    read_jobs(Folder(tmp_path), Keys("in", ("stitch",), ("cap",)), report)
    assert 'found "patch", expected a method of methods.csv' in str(report.faults[0])


CELLS = st.text(alphabet="1290.,;- e#\"'\n\r\tA\u00a0", max_size=5)


@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    cells=st.lists(st.tuples(st.integers(0, 10), CELLS), max_size=3), end=CELLS, both=st.booleans()
)
def test_whatever_stands_in_a_table_the_fast_reader_never_says_otherwise(
    tmp_path, cells, end, both
):
    """Some cells of two rows are replaced by anything: it reads as the careful one, or not."""
    rows = [ROW.strip().split(","), ROW.replace("1,", "2,", 1).strip().split(",")]
    for at, text in cells:
        rows[1][at] = text
        if both:
            rows[0][at] = text
    text = HEAD + "\n".join(map(",".join, rows)) + "\n" + end
    wanted, report = careful(tmp_path, text)
    told = Report()
    read = read_jobs(Folder(tmp_path), KEYS, told)
    assert told.faults == report.faults
    if not report.faults:
        pd.testing.assert_frame_equal(read, wanted, check_exact=True)


def test_one_bad_cell_among_many_rows_is_told_as_quickly_as_they_are_read(tmp_path, monkeypatch):
    """With the same words; the other rows are not read again."""
    rows = [ROW.replace("1,", f"{at},", 1) for at in range(1, 4001)]
    rows[2999] = rows[2999].replace(",20,", ",2O,")
    seen, read_records = [], jobs.read_records
    monkeypatch.setattr(
        jobs, "read_records", lambda raw, *of: seen.append(len(raw.rows)) or read_records(raw, *of)
    )
    (tmp_path / "jobs.csv").write_text(HEAD + "".join(rows))
    report = Report()
    read_jobs(Folder(tmp_path), KEYS, report)
    assert [str(fault) for fault in report.faults] == [
        'jobs.csv, row 3001, column "quantity": found "2O", expected a whole number from 1, such '
        "as 24. Replace the letter O by a zero."
    ]
    assert seen == [1]
