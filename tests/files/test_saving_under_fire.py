"""Whatever writes into a shop's folder, struck at every step: nothing is lost, nothing by half."""

import errno
import itertools
import json
import os
import re
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest
from strikes import struck
from writers import WRITERS, begin, begun, states, tree

from pricelab.files.records.happened import counter_orders
from pricelab.files.saving import BEGUN
from pricelab.files.shop_folder import read_shop
from pricelab.shop.errors import PricelabError

SENTENCES = {
    errno.ENOSPC: "the disk is full. Make room and try again; nothing was changed.",
    errno.EACCES: "the file or its folder may not be {}. Allow it and try again; nothing was "
    "changed.",
    errno.EROFS: "the file or its folder may not be {}. Allow it and try again; nothing was "
    "changed.",
    errno.EIO: "Input/output error. Make sure that the disk is in order and try again; nothing "
    "was changed.",
}
QUOTE = (
    "The quote could not be saved: the disk is full, or the folder of quotes may not be written "
    "to. Nothing was saved; make room and press again."
)
BOOK = "records.sqlite could not be used: {}. Make sure that its folder may be used."


@pytest.fixture(scope="module")
def killed(quick):
    """What is left where a process was killed at every step of every writer."""
    tests = Path(__file__).parents[1]
    paths = os.pathsep.join([str(tests.parent), str(tests)])
    into = quick / "killed"
    run = subprocess.run(
        [sys.executable, "-m", "writers", into], env={**os.environ, "PYTHONPATH": paths},
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    return into, json.loads(run.stdout)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are killed as on Linux and macOS")
@pytest.mark.parametrize("name", WRITERS)
def test_a_process_killed_at_any_step_leaves_the_old_or_the_new(killed, name, tmp_path):
    """What is begun is in nobody's way: the shop is read as before, or all of it is finished then,
    several files together or none. The last turn is not killed."""
    into, steps = killed
    came = sorted(
        (p for p in (into / name).iterdir() if p.name.isdigit()), key=lambda p: int(p.name)
    )
    assert steps[name] > 10
    old, new = tree(into / name / "shop before"), tree(came[-1])
    assert int(came[-1].name) < steps[name] or begun(came[-1]) == []
    allowed = states(WRITERS[name], old, new)
    assert {allowed.index(tree(folder)) for folder in came} >= {0, allowed.index(new)}
    whole = [old, new, *(
        state for files, state in zip(WRITERS[name].between, allowed[1:-1], strict=True)
        if all("old/" in file for file in files)  # copies of what is still there
    )]  # fmt: skip
    for came_of_it in came:
        folder = shutil.copytree(came_of_it, tmp_path / came_of_it.name)
        shop = read_shop(folder)
        assert tree(folder) in whole
        assert shop.warnings == read_shop(into / name / "shop before").warnings
        assert {path.parent.name for path in counter_orders(shop)} <= {"2026-11-25-01"}


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are killed as on Linux and macOS")
@pytest.mark.parametrize("name", WRITERS)
def test_what_a_killed_process_left_goes_with_a_saving_an_hour_later(killed, name, tmp_path):
    """Not before, another window may be in the middle of saving; or it is finished at once."""
    into, _ = killed
    left = [p for p in (into / name).iterdir() if p.name.isdigit() and list(p.rglob(f"{BEGUN}*"))]
    assert left
    for killed_there in left:
        folder = shutil.copytree(killed_there, tmp_path / killed_there.name)
        finished = list(folder.glob(".placing-*"))
        save = WRITERS[name].ready(folder)
        save()
        assert finished or begun(folder)
        an_hour_ago = time.time() - 3700
        for path in begun(folder):
            os.utime(path, (an_hour_ago, an_hour_ago))
        WRITERS[name].ready(folder)()
        assert begun(folder) == []


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are killed as on Linux and macOS")
def test_a_table_changed_after_a_crash_stays_as_it_is_when_the_others_are_finished(
    killed, tmp_path
):
    into, _ = killed
    stopped = [p for p in (into / "tables").iterdir() if p.name.isdigit() and _half(p)]
    assert stopped
    for folder in stopped:
        changed = shutil.copytree(folder, tmp_path / folder.name)
        mine = (changed / "blanks.csv").read_text().replace("Plain cap", "Mine")
        (changed / "blanks.csv").write_text(mine)
        shop = read_shop(changed).shop
        assert (shop.name, shop.blanks["cap"].name) == ("Other", "Mine")
        assert begun(changed) == []


def _half(folder: Path) -> bool:
    """Whether shop.csv has its new name and blanks.csv has not."""
    told = [(folder / f"{table}.csv").read_text() for table in ("shop", "blanks")]
    return ["Other" in text for text in told] == [True, False]


@pytest.mark.parametrize("name", WRITERS)
def test_an_error_of_the_system_at_any_step_is_told_and_changes_nothing(name, quick):
    """And leaves nothing behind; or the step was one after all was saved."""
    writer, folder = WRITERS[name], quick / "struck" / name
    do, again = begin(writer, folder)
    old = tree(folder)
    do()
    allowed = states(writer, old, tree(folder))

    def fail():
        raise OSError(code, os.strerror(code))

    told = set()
    for at, code in enumerate(itertools.cycle(SENTENCES), 1):
        again()
        try:
            if not struck(do, at, fail):
                break
        except PricelabError as error:
            check_sentence(str(error), code)
            told.add(code)
            assert begun(folder) == [], at
        else:
            assert tree(folder) == allowed[-1], at
        assert tree(folder) in allowed, at
    assert told == SENTENCES.keys()


def check_sentence(said: str, code: int) -> None:
    """One of the sentences in full, for this error."""
    for doing, done in (("save", "written to"), ("read", "read")):
        found = re.fullmatch(rf'Could not {doing} "[^"]+": (.*)', said)
        if found:
            assert found[1] == SENTENCES[code].format(done)
            return
    assert said in (QUOTE, BOOK.format(os.strerror(code)))


@pytest.mark.parametrize("name", WRITERS)
def test_a_shop_deleted_while_it_was_open_does_not_come_back(name, tmp_path):
    """It is told; where the tables of a day would be kept, there are none any more."""
    do, _ = begin(WRITERS[name], tmp_path / "shop")
    shutil.rmtree(tmp_path / "shop")
    if name == "shop of a day":
        do()
    else:
        with pytest.raises(
            PricelabError,
            match=r"changed\.$|^The quote could not|^There is no folder|^Found no shop",
        ):
            do()
    assert os.listdir(tmp_path) == ["shop before"]


@pytest.mark.skipif(os.name != "posix", reason="permissions as on Linux and macOS")
@pytest.mark.parametrize("name", WRITERS)
def test_what_is_written_is_for_its_owner_s_eyes(name, tmp_path):
    """And for those of a group that the owner let read the file before; never for everybody's."""
    old = os.umask(0)
    try:
        do, _ = begin(WRITERS[name], tmp_path / "shop")
        was = {path: path.stat() for path in (tmp_path / "shop").rglob("*")}
        do()
    finally:
        os.umask(old)
    written = 0
    for path in filter(Path.is_file, (tmp_path / "shop").rglob("*")):
        before, now = was.get(path), path.stat()
        if before is None or before.st_ino != now.st_ino:
            written += 1
            assert now.st_mode & 0o777 == (0o600 if before is None else before.st_mode & 0o770)
    assert written
