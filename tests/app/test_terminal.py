"""What the command line prints arrives on any terminal, in any language, or is told why not."""

import os
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st
from oddplaces import NAME
from smallshop import write_shop

from pricelab.app import cli
from pricelab.app.terminal import plain, printed


@pytest.fixture
def shop(tmp_path):
    """The small shop in a folder with a name as people give them."""
    return write_shop(tmp_path / NAME)


def run(shop, *words, out=subprocess.PIPE, **environment):
    """A process of the command line on the shop."""
    return subprocess.run(
        [sys.executable, "-m", "pricelab", *words, "--shop", str(shop)], stdout=out,
        stderr=subprocess.PIPE, check=False,
        env={**os.environ, "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", **environment},
    )  # fmt: skip


@pytest.mark.parametrize(
    ("language", "encoding"), [("C", "ascii"), ("ar_EG.UTF-8", "cp1252"), ("tr_TR", "cp1254")]
)
def test_the_answer_is_the_same_in_every_language_but_for_signs_it_lacks(
    shop, capsys, language, encoding
):
    """Figures have their points and commas, a loss its minus."""
    code = cli.main(["audit", "--shop", str(shop)])
    wanted = capsys.readouterr().out
    assert "−" in wanted
    assert "–" in wanted
    told = {"LC_ALL": language, "LANGUAGE": language, "PYTHONIOENCODING": encoding}
    done = run(shop, "audit", **told)
    assert (done.returncode, done.stderr) == (code, b"")
    said = done.stdout.decode(encoding)
    assert [plain(line) for line in said.splitlines()] == list(map(plain, wanted.splitlines()))
    assert "?" not in said


def test_files_are_the_same_in_every_language(shop, tmp_path):
    """CSV as the small shop's list is written where nothing is said of a language."""
    words = ("export", "patch", "cap", "--on", "2026-11-25", "--to")
    here, there = tmp_path / "here", tmp_path / "là bas"
    assert cli.main([*words, str(here), "--shop", str(shop)]) == 0
    done = run(shop, *words, there, LC_ALL="de_DE.UTF-8", PYTHONIOENCODING="ascii")
    assert (done.returncode, done.stderr) == (0, b"")
    names = sorted(os.listdir(here))
    assert sorted(os.listdir(there)) == names
    for name in names:
        if name.endswith((".csv", ".pdf")):  # a workbook notes the time
            assert (here / name).read_bytes() == (there / name).read_bytes()


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="a device of Linux")
def test_a_full_disk_under_what_is_printed_is_a_sentence(shop):
    """And exit code 2; nothing of Python's own."""
    with open("/dev/full", "w") as full:
        done = run(shop, "audit", out=full)
    assert (done.returncode, done.stderr.decode()) == (
        2,
        "This could not be done, or not be printed (No space left on device). Make room or allow "
        "it, and try again.\n",
    )


def test_a_reader_that_has_seen_enough_ends_it_quietly(shop):
    """As `… | head` does."""
    reading, writing = os.pipe()
    os.close(reading)
    done = run(shop, "audit", out=writing)
    os.close(writing)
    assert (done.returncode, done.stderr) == (0, b"")


def test_a_machine_without_room_for_settings_is_a_sentence(monkeypatch, capsys):
    """The workbook keeps those of one run among the machine's temporary files."""
    monkeypatch.setattr("tempfile.tempdir", None)
    monkeypatch.setattr("tempfile._candidate_tempdir_list", lambda: ["/no such place"])
    assert cli.main(["open", "--no-browser"]) == 2
    assert capsys.readouterr().err == (
        "This could not be done, or not be printed (No usable temporary directory found in "
        "['/no such place']). Make room or allow it, and try again.\n"
    )


def test_what_stops_a_command_is_a_sentence(capsys):
    """A file that the machine does not give, or the reader's Ctrl-C."""

    def refuse():
        raise PermissionError(13, "Permission denied", "pyproject.toml")

    def stop():
        raise KeyboardInterrupt

    assert (printed(refuse), printed(stop)) == (2, 2)
    assert capsys.readouterr().err == (
        'Could not use "pyproject.toml" (Permission denied). Make room or allow it, and try '
        "again.\n\nStopped.\n"
    )


@given(st.text())
def test_what_is_plain_is_on_every_terminal(text):
    """And has every figure, point and minus of the text."""
    said = plain(text)
    assert said.isascii()
    assert said.count("-") >= text.count("−") + text.count("-")
    assert plain(said) == said


def test_figures_lose_nothing():
    """Signs of figures and sizes, and a price."""
    assert plain("−1.4 % ≤ 2¼ × 3½ in: €1,250.00") == "-1.4 % <= 2 1/4 x 3 1/2 in: EUR1,250.00"
