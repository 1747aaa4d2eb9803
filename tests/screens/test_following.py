"""Panels that are shown follow what is written in another: no notebook is run again for it."""

import pytest
from quoted import a_quote
from smallshop import FILES, write_shop

from pricelab.files.records.book import Records
from pricelab.files.shop_folder import read_shop
from pricelab.screens.finished_jobs import FinishedJobsPanel
from pricelab.screens.noting import NotingPanel
from pricelab.screens.opening import opened
from pricelab.screens.panel import Panel
from pricelab.screens.price_response import PriceResponsePanel
from pricelab.screens.times import TimesPanel


@pytest.fixture(autouse=True)
def screen(monkeypatch):
    """A notebook that shows nothing yet."""
    monkeypatch.setattr(Panel, "_on_screen", {})


def shown(make, folder):
    """A panel that a notebook shows."""
    panel = opened(make, folder)
    panel._repr_mimebundle_()
    return panel


def note(noting, number="J7"):
    """Note a job of 24 pieces with 70 minutes."""
    noting.form["job"].set(number)
    noting.form["price each"].set("11.00")
    noting.form["attended minutes"].set("70")
    noting.note.press()
    return noting.note.said.value


def test_a_job_that_is_noted_is_in_the_tables_at_once(folder):
    """And where it is corrected, with its new figures; the small shop has two jobs."""
    jobs, noting = shown(FinishedJobsPanel, folder), shown(NotingPanel, folder)
    assert "2 finished jobs." in jobs.groups.words
    assert note(noting) == '<span role="status">Job J7 is noted.</span>'
    assert "3 finished jobs." in jobs.groups.words
    before = jobs.waterfall.words
    noting.recorded.set("J7")
    noting.fetch.press()
    noting.form["attended minutes"].set("24")
    noting.correct.press()
    assert jobs.waterfall.words != before


def test_jobs_from_an_earlier_month_show_where_all_were_shown(folder):
    """The small shop's are of March 2026."""
    jobs, noting = shown(FinishedJobsPanel, folder), shown(NotingPanel, folder)
    noting.form["date"].set("2026-01-15")
    note(noting)
    assert jobs.since.value == "2026-01"
    assert "3 finished jobs." in jobs.groups.words


def test_a_spreadsheet_taken_over_shows_at_once(folder):
    """One job more."""
    (folder / "old.csv").write_text(
        FILES["jobs.csv"].replace("\n1,", "\nA1,").replace("\n2,", "\nA2,")
    )
    jobs, noting = shown(FinishedJobsPanel, folder), shown(NotingPanel, folder)
    noting.file.set("old.csv")
    assert "2 new jobs are taken over." in noting.take.press()
    assert "4 finished jobs." in jobs.groups.words


def test_the_times_learn_from_a_job_at_once(folder):
    """Seven jobs with their minutes say nothing; the eighth does."""
    times, noting = shown(TimesPanel, folder), shown(NotingPanel, folder)
    for number in range(8):
        assert "under 8 say too little" in times.picture.words
        noting.form["quantity"].set(str(12 + 6 * number))
        note(noting, f"J{number}")
    assert "under 8 say too little" not in times.picture.words


def test_what_jobs_earned_follows_the_times_that_are_accepted(folder):
    """16 jobs took 1.4 minutes a piece and 9 an order, where the files say 1 and 9: once that is
    accepted, no minute is too many."""
    rows = "".join(
        f"{at},2026-03-02,Ann,patch,cap,2,2,{n},repeat,12.40,0,{12.4 * n:.2f},{9 + 1.4 * n:.1f}\n"
        for at, n in enumerate([5, 8, 12, 20, 24, 30, 40, 48] * 2)
    )
    head = FILES["jobs.csv"].partition("\n")[0]
    (folder / "jobs.csv").write_text(f"{head},attended minutes\n{rows}")
    works = "method,operation,minutes,per\npatch,pressing,1,piece\npatch,setting up,9,order\n"
    (folder / "operations.csv").write_text(works)
    jobs, times = shown(FinishedJobsPanel, folder), shown(TimesPanel, folder)
    assert "−$74.80" in jobs.waterfall.words  # 374 pieces, 0.4 minutes each at .50
    times.part.set("piece")
    times.accept.press()
    assert "−$74.80" not in jobs.waterfall.words
    assert jobs._judged["labour efficiency variance"].sum() == pytest.approx(0, abs=1e-6)


def test_a_quote_that_is_decided_counts_at_once(folder):
    """Among those won and lost."""
    Records(folder).save_quote(a_quote(folder))
    asked, noting = shown(PriceResponsePanel, folder), shown(NotingPanel, folder)
    assert "0 quotes were won and 0 lost" in asked.said.words
    noting.quote.set("Q1")
    noting.ends[1].press()
    assert "0 quotes were won and 1 lost" in asked.said.words


def test_the_first_job_of_a_shop_opens_the_tables(tmp_path):
    """Where a sentence stood that there is none."""
    header = FILES["jobs.csv"].partition("\n")[0]
    folder = write_shop(tmp_path, jobs=header)
    nothing, noting = shown(FinishedJobsPanel, folder), shown(NotingPanel, folder)
    assert "There is no finished job to judge." in str(nothing)
    note(noting)
    [inside] = nothing.root.children
    jobs = next(x for x in Panel._on_screen.values() if isinstance(x, FinishedJobsPanel))
    assert inside is jobs.root
    assert "1 finished jobs." in jobs.groups.words
    note(noting, "J8")
    assert "2 finished jobs." in jobs.groups.words


def test_a_panel_that_is_not_shown_or_shows_another_shop_stays(folder, tmp_path_factory):
    """Nothing is worked out for nobody."""
    hidden, other = opened(FinishedJobsPanel, folder), write_shop(tmp_path_factory.mktemp("b"))
    other = shown(FinishedJobsPanel, other)
    FinishedJobsPanel(read_shop(folder))._repr_mimebundle_()  # no notebook opened it
    assert note(shown(NotingPanel, folder)).endswith("Job J7 is noted.</span>")
    assert "2 finished jobs." in hidden.groups.words
    assert "2 finished jobs." in other.groups.words


def test_files_that_are_being_changed_keep_nothing_from_being_noted(folder):
    """It is told, and the tables stay."""
    jobs, noting = shown(FinishedJobsPanel, folder), shown(NotingPanel, folder)
    (folder / "blanks.csv").write_text("blank,name\n")
    assert "Job J7 is noted. It shows when your shop&#x27;s files are in order" in note(noting)
    assert "2 finished jobs." in jobs.groups.words
    assert len(Records(folder).jobs()) == 1
