"""Files are saved whole or not at all, and not over what others changed or have open."""

import errno
import os
import re
import subprocess
import sys
import tempfile
import time
from functools import partial
from pathlib import Path, PureWindowsPath

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pricelab.files import saving
from pricelab.files.saving import file_stem, held, lock_of, save_together, save_whole
from pricelab.shop.errors import PricelabError


def refused(path: Path, why: str, content: bytes = b"new", *seen: bytes | None) -> None:
    """Saving is refused with `why`, and the folder is as it was."""
    before = sorted(os.listdir(path.parent)) if path.parent.is_dir() else None
    save = partial(save_whole, path, content)
    if seen:
        save = partial(save_together, path.parent, {path.name: content}, {path.name: seen[0]})
    with pytest.raises(PricelabError, match=f"^{re.escape(why.format(path=path))}$"):
        save()
    assert (sorted(os.listdir(path.parent)) if path.parent.is_dir() else None) == before


def test_it_makes_the_folder_and_replaces_an_older_file(tmp_path):
    """Nothing but the file is left in the folder."""
    path = tmp_path / "lists" / "list.csv"
    for content in (b"old", b"new and longer"):
        assert save_whole(path, content) == path
    assert path.read_bytes() == b"new and longer"
    assert os.listdir(path.parent) == ["list.csv"]


def test_a_file_may_be_read_by_its_owner_and_by_whom_the_owner_let(tmp_path):
    """Others of the machine read neither prices nor clients' names."""
    path = save_whole(tmp_path / "list.csv", b"new")
    assert path.stat().st_mode & 0o777 == 0o600
    path.chmod(0o644)
    save_whole(path, b"newer")
    assert path.stat().st_mode & 0o777 == 0o640


# ---- what keeps a file from being saved ------------------------------------------------


def test_a_folder_that_is_a_file_is_told(tmp_path):
    """The sentence names the file and says what to do."""
    (tmp_path / "lists").write_text("a file")
    refused(tmp_path / "lists" / "list.csv", 'Could not save "{path}": a file is in the place of '
            "its folder. Move that file away and try again; nothing was changed.")  # fmt: skip
    assert (tmp_path / "lists").read_text() == "a file"


def test_a_file_that_became_a_folder_is_told(tmp_path):
    """It is left as it is."""
    (tmp_path / "list.csv").mkdir()
    refused(tmp_path / "list.csv", 'Could not save "{path}": a folder of that name is in its '
            "place. Move that folder away and try again; nothing was changed.")  # fmt: skip


def test_a_shop_that_is_not_there_any_more_is_not_made_anew(tmp_path):
    """An unplugged drive: what is saved must not go to another disk, under the same name."""
    gone = ('Could not save "{path}": its folder is not there any more. Put the folder or its '
            "drive back and try again; nothing was changed.")  # fmt: skip
    refused(tmp_path / "shop" / "for-clients" / "list.pdf", gone)
    refused(tmp_path / "shop" / "price_list.csv", gone, b"new", None)
    assert os.listdir(tmp_path) == []


def test_a_name_that_is_too_long_is_told(tmp_path):
    """300 letters, where disks take 255 bytes."""
    refused(tmp_path / f"{'x' * 300}.csv", 'Could not save "{path}": its name or path is too '
            "long. Give the file or its folder a shorter one and try again; nothing was "
            "changed.")  # fmt: skip


def test_a_path_that_is_too_long_for_windows_is_told(tmp_path, monkeypatch):
    """Windows says that there is no such file, although its folder is there."""

    def too_long(*_):
        raise FileNotFoundError(errno.ENOENT, "No such file or directory")

    monkeypatch.setattr(os, "replace", too_long)
    refused(tmp_path / "list.csv", 'Could not save "{path}": its name or path is too long. Give '
            "the file or its folder a shorter one and try again; nothing was "
            "changed.")  # fmt: skip


AS_ANOTHER = """
import os, resource, signal, sys
from pathlib import Path
from pricelab.shop.errors import PricelabError
from pricelab.files.saving import save_whole
if os.getuid() == 0:
    os.setuid(65534)
if sys.argv[2] != "0":
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]),) * 2)
try:
    save_whole(Path(sys.argv[1]), b"new" * 9999)
except PricelabError as error:
    print(error)
"""


def as_another(path: Path, root: Path, most: int = 0) -> str:
    """What a process says that may not do everything, and write files of `most` bytes at most."""
    run = subprocess.run(
        [sys.executable, "-c", AS_ANOTHER, path, str(most)], cwd=root, capture_output=True,
        text=True, check=False,
    )  # fmt: skip
    assert run.stderr == ""
    return run.stdout.removesuffix("\n")


@pytest.fixture
def outside():
    """A folder where any user of the machine may look, unlike pytest's own, with a file."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o777)
        path = Path(folder) / "list.csv"
        path.write_text("old")
        path.chmod(0o666)
        yield path
        Path(folder).chmod(0o777)


@pytest.mark.skipif(os.name != "posix", reason="permissions as on Linux and macOS")
@pytest.mark.parametrize("locked", ["folder", "file"])
def test_what_may_only_be_read_is_not_written(outside, root, locked):
    """A real user without the right; a file locked by its owner is not replaced either."""
    (outside.parent if locked == "folder" else outside).chmod(0o555)
    assert as_another(outside, root) == (
        f'Could not save "{outside}": the file or its folder may not be written to. Allow it and '
        "try again; nothing was changed."
    )
    assert (outside.read_text(), os.listdir(outside.parent)) == ("old", ["list.csv"])


@pytest.mark.skipif(os.name != "posix", reason="limits as on Linux and macOS")
def test_a_file_that_may_not_grow_is_told_and_the_older_one_stays(outside, root):
    """A real limit: 10 kB of the 30 kB to be written."""
    assert as_another(outside, root, 10_000) == (
        f'Could not save "{outside}": the disk is full. Make room and try again; nothing was '
        "changed."
    )
    assert (outside.read_text(), os.listdir(outside.parent)) == ("old", ["list.csv"])


def test_a_saving_that_is_stopped_leaves_nothing(tmp_path, monkeypatch):
    """By the notebook's stop button, say."""
    path = save_whole(tmp_path / "list.csv", b"old")

    def stop(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", stop)
    with pytest.raises(KeyboardInterrupt, match=r"^$"):
        save_whole(path, b"new")
    assert (path.read_bytes(), os.listdir(tmp_path)) == (b"old", ["list.csv"])


# ---- what others do meanwhile ----------------------------------------------------------


class InUseError(PermissionError):
    """As Windows says that another program has a file open."""

    winerror = 32


def in_use(times: int, monkeypatch) -> list[float]:
    """Taking a file's place fails so many times; the waits between, which are not waited."""
    waits, replaced = [], os.replace

    def replace(*paths):
        if len(waits) < times:
            raise InUseError(errno.EACCES, "used by another process")
        replaced(*paths)

    monkeypatch.setattr(os, "replace", replace)
    monkeypatch.setattr(time, "sleep", waits.append)
    return waits


def test_a_file_in_use_for_a_moment_is_waited_for(tmp_path, monkeypatch):
    """A virus scan lets go of it soon."""
    path = save_whole(tmp_path / "list.csv", b"old")
    waits = in_use(3, monkeypatch)
    save_whole(path, b"new")
    assert (path.read_bytes(), waits) == (b"new", [0.05, 0.1, 0.2])


def test_a_file_in_use_for_longer_is_told(tmp_path, monkeypatch):
    """After less than a second."""
    path = save_whole(tmp_path / "list.csv", b"old")
    waits = in_use(99, monkeypatch)
    refused(path, 'Could not save "{path}": another program has it open, or it may not be written '
            "to. Close it there, or allow it, and try again; nothing was changed.")  # fmt: skip
    assert path.read_bytes() == b"old"
    assert sum(waits) < 1


@pytest.mark.parametrize("lock", [".~lock.list.csv#", "~$list.csv"])
def test_a_file_that_a_spreadsheet_has_open_is_not_written_over(tmp_path, lock):
    """What is open there would be saved over it next."""
    path = save_whole(tmp_path / "list.csv", b"old")
    (tmp_path / lock).write_bytes(b",owner,desk")
    refused(path, 'Could not save "{path}": it is open in a spreadsheet, which would write over '
            "it. Close it there and try again; nothing was changed. (If no spreadsheet has it "
            f'open, delete "{lock}" beside it.)')  # fmt: skip
    assert path.read_bytes() == b"old"
    (tmp_path / lock).unlink()
    save_whole(path, b"new")
    assert path.read_bytes() == b"new"


@pytest.mark.spreadsheet
def test_a_real_spreadsheet_says_which_file_it_has_open(tmp_path, spreadsheet_program):
    """LibreOffice leaves the mark that is looked for, as long as it has the file open."""
    path = save_whole(tmp_path / "list.csv", b"method,1\npatch,2\n")
    assert lock_of(path) is None
    with subprocess.Popen(
        [
            spreadsheet_program, f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}",
            "--headless", "--norestore", "--infilter=Text - txt - csv (StarCalc):44,34,76,1",
            str(path),
        ],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
    ) as program:  # fmt: skip
        try:
            deadline = time.monotonic() + 60
            while lock_of(path) is None and time.monotonic() < deadline:
                time.sleep(0.1)
            with pytest.raises(PricelabError, match="it is open in a spreadsheet"):
                save_whole(path, b"new")
        finally:
            os.killpg(program.pid, 15)


@pytest.mark.parametrize("seen", [b"older", None])
def test_a_file_changed_meanwhile_is_not_written_over(tmp_path, seen):
    """Or made meanwhile, where there was none."""
    path = save_whole(tmp_path / "list.csv", b"of another tab")
    refused(path, "list.csv was changed since this page read it, perhaps in another tab or in a "
            "spreadsheet. Run this notebook again, then save.", b"new", seen)  # fmt: skip
    assert path.read_bytes() == b"of another tab"


def test_what_a_file_holds_is_told_or_why_it_cannot_be(tmp_path, monkeypatch):
    """Excel lets nobody read what it has open."""
    assert held(tmp_path / "list.csv") is None
    path = save_whole(tmp_path / "list.csv", b"old")
    assert held(path) == b"old"

    def read(_):
        raise InUseError(errno.EACCES, "used by another process")

    monkeypatch.setattr(Path, "read_bytes", read)
    said = (f'Could not read "{path}": another program has it open, or it may not be read. Close '
            "it there, or allow it, and try again; nothing was changed.")  # fmt: skip
    with pytest.raises(PricelabError, match=f"^{re.escape(said)}$"):
        held(path)


# ---- names -----------------------------------------------------------------------------

FORBIDDEN = set('<>:"/\\|?*') | {chr(code) for code in range(32)}
DEVICES = {"CON", "PRN", "AUX", "NUL"} | {f"{x}{n}" for x in ("COM", "LPT") for n in "123456789¹²³"}


@given(st.text(), st.text())
def test_a_name_made_of_anything_is_one_that_every_system_takes(method, blank):
    """By Windows' rules: no forbidden sign, no device, no end in a point or space, not too long."""
    name = f"{file_stem(method, blank)}-price-list.csv"
    assert not FORBIDDEN & set(name)
    assert PureWindowsPath(name).name == name
    assert PureWindowsPath(name).stem.split(".")[0].rstrip().upper() not in DEVICES
    assert name[-1] not in ". "
    assert not name.startswith(("~", "."))
    assert len(name.encode()) <= 255


def test_names_that_differ_in_signs_that_are_left_out_stay_apart():
    """Or in what is cut off; ü is one whichever way it is stored."""
    assert file_stem("leather", "mesh-back") == "leather-mesh-back"
    names = [file_stem(x, "cap") for x in ("a/b", "a:b", "a b", "a-b", "x" * 99, "x" * 98, "?", "")]
    assert len(set(names)) == len(names)
    assert file_stem("mu\u0308tze", "a") == file_stem("m\u00fctze", "a") == "mütze-a"


def test_only_what_was_begun_an_hour_ago_is_swept(tmp_path, monkeypatch):
    """By the clock; one that was put back an hour sweeps nothing."""
    old, new = (tmp_path / f"{saving.BEGUN}{x}" for x in "ab")
    old.mkdir()
    (old / "page.pdf").write_bytes(b"half")
    new.write_bytes(b"half")
    (tmp_path / "kept.csv").write_bytes(b"whole")
    then = time.time()
    os.utime(old, (then - 3700, then - 3700))
    monkeypatch.setattr(time, "time", lambda: then - 3600)
    saving.sweep(tmp_path)
    assert len(os.listdir(tmp_path)) == 3
    monkeypatch.setattr(time, "time", lambda: then)
    saving.sweep(tmp_path)
    assert sorted(os.listdir(tmp_path)) == [new.name, "kept.csv"]
