"""The words that the command line understands."""

import pytest

from pricelab.app import cli, launch, testing
from pricelab.files import folders
from pricelab.shop.errors import PricelabError


@pytest.fixture
def called(monkeypatch):
    """What `open` and `test` were called with, instead of doing it."""
    calls = []
    for module, name in ((launch, "open_workbook"), (testing, "run_tests")):
        monkeypatch.setattr(module, name, lambda options: calls.append(options) or 0)
    return calls


def _commands():
    (choices,) = (a.choices for a in cli.parser()._actions if a.choices)
    return choices


@pytest.mark.parametrize("words", [[], ["--shop", "mine"], ["open", "--shop", "mine"]])
def test_without_a_command_the_workbook_opens(called, words):
    """The shortest command is the one most used."""
    assert cli.main(words) == 0
    assert called[0].shop == ("mine" if words else None)
    assert not called[0].no_browser


def test_the_words_after_test_go_to_pytest_as_they_are(called):
    """Options and paths, in their order."""
    assert cli.main(["test", "-k", "grid", "tests", "--no-browser"]) == 0
    assert called[0].rest == ["-k", "grid", "tests", "--no-browser"]


@pytest.mark.parametrize("name", sorted(_commands()))
def test_every_command_helps_with_examples_and_exit_codes(name):
    """Each example is a line of that command that the parser understands."""
    text = _commands()[name].format_help()
    assert "exit codes:\n  0  done" in text
    lines = [line.split() for line in text.partition("examples:")[2].splitlines() if "-m" in line]
    assert lines
    for line in lines:
        words = line[3:] or ["open"]
        assert words[0] == name
        if name != "test":
            cli.parser().parse_args(words)


def test_a_fault_of_the_input_is_a_sentence_and_code_2(monkeypatch, capsys):
    """Whatever command meets it."""

    def refuse(options):
        raise PricelabError("shop.csv, row 3: found no price.")

    monkeypatch.setattr(launch, "open_workbook", refuse)
    assert cli.main([]) == 2
    said = capsys.readouterr()
    assert (said.out, said.err) == ("", "shop.csv, row 3: found no price.\n")


def test_the_shop_named_must_be_there(capsys):
    """Before anything is started."""
    assert cli.main(["--shop", "no such shop"]) == 2
    assert capsys.readouterr().err == (
        'There is no folder "no such shop". Name the folder that holds your shop.csv, '
        "or copy data/harbour-caps to start one.\n"
    )


def test_a_wrong_word_is_code_2(capsys):
    """As argparse has it: the words that would do are listed."""
    with pytest.raises(SystemExit, match="2"):
        cli.main(["opne"])
    assert "invalid choice: 'opne'" in capsys.readouterr().err


def test_the_shop_is_the_one_named_or_the_one_told_or_the_demo(monkeypatch, tmp_path):
    """In this order."""
    (tmp_path / "named").mkdir()
    (tmp_path / "told").mkdir()
    monkeypatch.delenv(folders.SHOP_VARIABLE, raising=False)
    assert folders.shop_folder() == folders.DEMO_SHOP
    monkeypatch.setenv(folders.SHOP_VARIABLE, str(tmp_path / "told"))
    assert folders.shop_folder() == (tmp_path / "told").resolve()
    assert folders.shop_folder(tmp_path / "named") == (tmp_path / "named").resolve()


def test_the_shop_chosen_last_is_taken_where_none_is_named(monkeypatch, tmp_path):
    """One's own shops go by their names too; a folder of that name comes first."""
    monkeypatch.delenv(folders.SHOP_VARIABLE, raising=False)
    monkeypatch.setenv(folders.SHOPS_VARIABLE, str(tmp_path / "shops"))
    monkeypatch.chdir(tmp_path)
    mine = tmp_path / "shops" / "Mützen 帽子"
    mine.mkdir(parents=True)
    assert folders.shop_folder() == folders.DEMO_SHOP
    (tmp_path / "shops" / folders.OPENED).write_text("Mützen 帽子\n", "utf-8")
    assert folders.shop_folder() == mine
    assert folders.shop_folder("Mützen 帽子") == mine
    (tmp_path / "Mützen 帽子").mkdir()
    assert folders.shop_folder("Mützen 帽子") == tmp_path / "Mützen 帽子"
    with pytest.raises(PricelabError, match=r'^There is no folder "\.\./shops"\.'):
        folders.shop_folder("../shops")


def test_a_shop_chosen_last_that_is_gone_is_told(monkeypatch, tmp_path):
    """By its folder, with what to do; what is no text names none."""
    monkeypatch.delenv(folders.SHOP_VARIABLE, raising=False)
    monkeypatch.setenv(folders.SHOPS_VARIABLE, str(tmp_path))
    (tmp_path / folders.OPENED).write_text("Gone")
    with pytest.raises(PricelabError, match="Gone") as told:
        folders.shop_folder()
    assert str(told.value) == (
        f'There is no folder "{tmp_path / "Gone"}" any more, the shop that was chosen last. Put it '
        "back, or choose another in the notebook on your own shop."
    )
    (tmp_path / folders.OPENED).write_bytes(b"\xff\xfe")
    assert folders.shop_folder() == folders.DEMO_SHOP


def test_the_workbook_says_which_shop_is_yours(monkeypatch, tmp_path, capsys):
    """And leaves the choice to the notebooks, where none is named; a lost one stops nothing."""
    opened = []

    @launch.contextmanager
    def pretend(notebooks, shop, first, port):
        opened.append(shop)
        yield launch.Served("", "", None)

    monkeypatch.setattr(launch, "workbook", pretend)
    monkeypatch.setattr(launch, "show", lambda served, browser: None)
    monkeypatch.delenv(folders.SHOP_VARIABLE, raising=False)
    monkeypatch.setenv(folders.SHOPS_VARIABLE, str(tmp_path))
    assert cli.main([]) == 0
    (tmp_path / "Mine").mkdir()
    (tmp_path / folders.OPENED).write_text("Mine")
    assert cli.main([]) == 0
    assert capsys.readouterr().out == (
        f"Your shop is {tmp_path / 'Mine'}. The invented one: --shop data/harbour-caps\n"
    )
    (tmp_path / "Mine").rmdir()
    assert cli.main([]) == 0
    assert "the shop that was chosen last" in capsys.readouterr().err
    assert cli.main(["--shop", str(tmp_path)]) == 0
    assert opened == [None, None, None, tmp_path]
