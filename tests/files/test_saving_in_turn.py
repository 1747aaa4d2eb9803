"""Windows that save into one folder at the same time: none is told of a save that is lost.

`python tests/files/test_saving_in_turn.py 2500` lets each of four processes save so often.
"""

import subprocess
import sys
import tempfile
import threading
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from pricelab.files import saving
from pricelab.files.saving import OLD, held, keep_copy, save_together
from pricelab.shop.errors import PricelabError

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)
FILES = ("blanks.csv", "shop.csv")

SAVES = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from test_saving_in_turn import save_often
save_often(Path(sys.argv[2]), sys.argv[3], int(sys.argv[4]))
"""


def save_often(folder: Path, who: str, count: int) -> None:
    """Add a line to both files, until so many savings were told to be done."""
    done = 0
    while done < count:
        seen = {name: held(folder / name) for name in FILES}
        line = f"{who} {done}\n".encode()
        try:
            save_together(folder, {name: seen[name] + line for name in FILES}, seen)
            done += 1
        except PricelabError as error:
            if "was changed since" not in str(error):
                raise


def lost(folder: Path, count: int, windows: int) -> set[str]:
    """The savings that were told to be done and stand in one file or none, or stand twice."""
    for name in FILES:
        (folder / name).write_bytes(b"")
    code = [sys.executable, "-c", SAVES, str(Path(__file__).parent), str(folder)]
    running = [subprocess.Popen([*code, str(who), str(count)]) for who in range(windows)]
    assert [window.wait() for window in running] == [0] * windows
    wanted = sorted(f"{who} {at}" for who in range(windows) for at in range(count))
    found = [sorted((folder / name).read_text().splitlines()) for name in FILES]
    return {line for lines in found for line in wanted if lines.count(line) != 1}


def test_no_saving_of_several_processes_is_lost(tmp_path):
    """Each adds to what it read; one that was overtaken is refused and reads again."""
    assert lost(tmp_path, 40, 3) == set()
    assert sorted(path.name for path in tmp_path.iterdir()) == list(FILES)


def test_nor_one_of_several_threads(tmp_path):
    """As two panels of one notebook."""
    for name in FILES:
        (tmp_path / name).write_bytes(b"")
    windows = [threading.Thread(target=save_often, args=(tmp_path, who, 25)) for who in "abc"]
    for window in windows:
        window.start()
    for window in windows:
        window.join()
    lines = [(tmp_path / name).read_text().splitlines() for name in FILES]
    assert [len(set(each)) for each in lines] == [75, 75]


def test_a_file_that_another_program_writes_at_that_moment_is_not_told_to_be_saved(
    tmp_path, monkeypatch
):
    """While the new one is written, or right after it took its place: the other's stays."""
    path, others = tmp_path / "shop.csv", b"of a spreadsheet"
    for step in ("_write", "place"):
        path.write_bytes(b"old")
        done = getattr(saving, step)
        with monkeypatch.context() as patch:
            patch.setattr(saving, step, lambda *of, do=done: (do(*of), path.write_bytes(others)))
            with pytest.raises(PricelabError, match=r"^shop\.csv was changed since this page read"):
                save_together(tmp_path, {"shop.csv": b"new"}, {"shop.csv": b"old"})
        assert path.read_bytes() == others


def test_a_window_that_does_not_come_to_an_end_is_told(tmp_path, monkeypatch):
    """Another one waits, but not for ever."""
    monkeypatch.setattr(saving, "_TURN", 0.05)
    with (
        saving.locked(tmp_path),
        pytest.raises(PricelabError, match=r"^Another window") as told,
    ):
        save_together(tmp_path, {"shop.csv": b"new"})
    assert str(told.value) == (
        f"Another window has been saving into {tmp_path.name} for 0.05 seconds. Wait until it is "
        "done, or close it, and try again; nothing was changed."
    )
    save_together(tmp_path, {"shop.csv": b"new"})


def test_old_copies_are_thinned_out(quick):
    """All of today, the last of each day for a month, the last of each month before."""
    path, old = quick / "shop.csv", quick / OLD
    for hours in range(24 * 90, -1, -12):
        path.write_bytes(str(hours).encode())
        kept = keep_copy(path, old, NOW - timedelta(hours=hours))
        assert kept.read_bytes() == path.read_bytes()
    names = sorted(copy.name[len("shop.until-") : -len(".csv")] for copy in old.iterdir())
    days = [name[:10] for name in names]
    assert days[:2] == ["2026-08-31", "2026-09-30"]
    assert names[-1] == "2026-11-25-093000"
    before = [name for name in names if name < "2026-11-25"]
    assert all(name.endswith("-213000") for name in before)
    assert len(before) == 31 + 3
    for at in range(110):  # more in a day than there are numbers of two figures
        path.write_bytes(b"x" * at)
        keep_copy(path, old, NOW)
    assert len(list(old.glob("shop.until-2026-11-25-*"))) >= 110


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        gone = lost(Path(folder), int(sys.argv[1]), 4)
        sys.stdout.write(f"{4 * int(sys.argv[1]):,} saved, {len(gone)} lost\n")
