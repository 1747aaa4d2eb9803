"""The panel on times and spoilage: what it says, and what accepting writes."""

import shutil

import pytest
import smallshop

from pricelab.files.folders import ROOT
from pricelab.files.records.accepting import LOG, accepted
from pricelab.files.shop_folder import read_shop
from pricelab.screens.times import TimesPanel


@pytest.fixture
def panel(harbour):
    """The panel as it opens."""
    return TimesPanel(harbour)


@pytest.fixture
def own(tmp_path):
    """The panel on a copy of the shop that may be written to."""
    shutil.copytree(ROOT / "data" / "harbour-caps", tmp_path, dirs_exist_ok=True)
    return TimesPanel(read_shop(tmp_path))


def table(folder, name):
    """A file of the shop."""
    return (folder / name).read_text()


def test_it_opens_with_old_beside_new(panel):
    assert panel.overview.words.startswith("Your jobs contradict 11 of your figures")
    assert panel.picture.words.startswith("Leather patch, pressed on: 135 finished jobs took ")
    assert "operations.csv, row 6" in panel.changes.words
    assert panel.log.words == ""


def test_each_figure_says_how_sure_it_is(panel):
    """Marked and to be changed, or not contradicted, or told to say little."""
    panel.method.set("vinyl")
    panel.part.set("piece")
    assert "your figure lies outside that range: change it." in panel.said.words
    panel.part.set("order")
    assert "the jobs do not contradict it." in panel.said.words
    panel.method.set("moulded")
    assert "So wide a range means that the jobs say little; wait for more." in panel.said.words
    panel.part.set("spoiled")
    assert "pieces started in 19 jobs say 1.03 %" in panel.said.words


def test_accepting_writes_one_figure_and_notes_it(own, tmp_path):
    """Two rows of operations.csv are others; all else is as it was."""
    own.method.set("vinyl")
    own.part.set("piece")
    before = table(tmp_path, "operations.csv").splitlines()
    assert "Written into operations.csv." in own.accept.press()
    after = table(tmp_path, "operations.csv").splitlines()
    changed = [(a, b) for a, b in zip(before, after, strict=True) if a != b]
    assert changed == [
        ("vinyl,weed,1.2,piece,,attended,", "vinyl,weed,1.63,piece,,attended,"),
        (
            "vinyl,place and unload,0.75,piece,,attended,cap press",
            "vinyl,place and unload,1.02,piece,,attended,cap press",
        ),
    ]
    assert [row[1:] for row in accepted(tmp_path)] == [
        ("Cut vinyl: weed", "1.2", "1.63", "43 jobs"),
        ("Cut vinyl: place and unload", "0.75", "1.02", "43 jobs"),
    ]
    assert "Cut vinyl: weed" in own.log.words
    assert "Written into operations.csv." in own.accept.said.value
    assert own.accept.button.layout.display == "none"  # nothing is left to write
    assert own.accept.box.layout.display is None  # and what was written is told


def test_what_was_accepted_is_what_the_jobs_say(own, tmp_path):
    """The shop is read again: old and new agree, and nothing is left to write."""
    own.method.set("vinyl")
    own.part.set("piece")
    own.accept.press()
    assert own.overview.words.startswith("Your jobs contradict 10 of your figures")
    assert "do not contradict" in own.said.words
    assert "There is nothing to write: your files say so already." in own.accept.press()
    assert read_shop(tmp_path).shop.methods["vinyl"].operations


def test_spoilage_is_accepted_into_methods(own, tmp_path):
    """Raised embroidery spoils 5.4 %, not 4 %."""
    own.method.set("raised")
    own.part.set("spoiled")
    assert "Written into methods.csv." in own.accept.press()
    assert read_shop(tmp_path).shop.methods["raised"].spoilage == 0.054


def test_a_file_changed_in_another_tab_is_not_overwritten(own, tmp_path):
    """The owner's own change stays."""
    path = tmp_path / "operations.csv"
    path.write_text(table(tmp_path, "operations.csv").replace("vinyl,weed,1.2", "vinyl,weed,9"))
    assert "was changed since this page read it" in own.accept.press()
    assert "vinyl,weed,9," in table(tmp_path, "operations.csv")
    assert accepted(tmp_path) == []


def test_a_change_that_cannot_be_noted_is_not_written(own, tmp_path):
    """A folder stands in the place of the log."""
    before = table(tmp_path, "operations.csv")
    (tmp_path / LOG).mkdir(parents=True)
    own.method.set("vinyl")
    own.part.set("piece")
    assert "a folder of that name is in its place" in own.accept.press()
    assert table(tmp_path, "operations.csv") == before


def test_a_method_with_too_few_jobs_says_so(tmp_path):
    """In the table, instead of the picture, and instead of a change."""
    shutil.copytree(ROOT / "data" / "harbour-caps", tmp_path, dirs_exist_ok=True)
    jobs = table(tmp_path, "jobs.csv").splitlines()
    few = [line for line in jobs if ",vinyl," not in line]
    (tmp_path / "jobs.csv").write_text("\n".join(few))
    panel = TimesPanel(read_shop(tmp_path))
    panel.method.set("vinyl")
    said = "0 finished jobs of Cut vinyl, pressed on note their minutes; under 8 say too little."
    assert panel.picture.words == said
    assert panel.said.words == ""  # it is said once
    assert panel.changes.words == ""
    assert "jobs tell too little" in panel.overview.words
    assert "say too little" in panel.accept.press()


def test_a_shop_without_jobs_is_told_so_once(tmp_path):
    panel = TimesPanel(read_shop(smallshop.write_shop(tmp_path)))
    assert panel.overview.words.startswith("Your jobs do not yet tell whether your times are right")
    assert str(panel).count("note their minutes; under 8 say too little.") == 1
    assert panel.accept.button.layout.display == "none"
