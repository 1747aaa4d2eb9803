"""What a launch writes and chooses, short of a browser."""

import json
import os
import socket

import pytest
from smallshop import write_shop

from pricelab.app import launch
from pricelab.files.folders import KEEPS_VARIABLE, SHOP_VARIABLE
from pricelab.shop.errors import PricelabError


def test_a_busy_port_is_passed_over():
    """The next one is taken."""
    with socket.socket() as busy:
        busy.bind((launch.LOOPBACK, 0))
        busy.listen()
        port = busy.getsockname()[1]
        assert launch.free_port(port) > port


def test_when_no_port_is_left_another_may_be_named(monkeypatch):
    """Any that is free will do."""
    monkeypatch.setattr(launch, "_PORTS", 1)
    with socket.socket() as busy:
        busy.bind((launch.LOOPBACK, 0))
        busy.listen()
        with pytest.raises(
            PricelabError, match=r"is free on this machine\. Leave out --port, and any"
        ):
            launch.free_port(busy.getsockname()[1])


def test_a_readers_own_settings_are_neither_read_nor_written(monkeypatch, tmp_path):
    """Every folder that Jupyter writes to is in the throw-away home."""
    monkeypatch.setenv("JUPYTER_CONFIG_PATH", "the reader's own")
    monkeypatch.setenv("JUPYTERLAB_SETTINGS_DIR", "the reader's own")
    told = launch._environment(tmp_path / "home", tmp_path, "tables")
    assert "the reader's own" not in told.values()
    folders = [name for name in told if name.endswith("_DIR") and name.startswith("JUPYTER")]
    assert len(folders) == 5
    assert all(told[name].startswith(str(tmp_path / "home")) for name in folders)
    assert told[SHOP_VARIABLE] == str(tmp_path)
    assert told[KEEPS_VARIABLE] == "tables"


def test_the_home_goes_and_the_token_is_never_on_a_command_line(monkeypatch, tmp_path):
    """Anyone on a machine may read its command lines; only this user may read the home."""
    seen = {}

    def pretend(program, home, shop, port, keeps):
        seen.update(program=program, home=home, keeps=keeps)
        seen["mode"] = home.stat().st_mode & 0o077
        seen["config"] = json.loads((home / "config/jupyter_lab_config.json").read_text())
        return launch.contextmanager(lambda: iter(["a process"]))()

    monkeypatch.setattr(launch, "_running", pretend)
    with launch.workbook(tmp_path, tmp_path, "0-start.ipynb") as served:
        token = served.address.partition("token=")[2]
    assert len(token) >= 32
    assert seen["config"]["IdentityProvider"]["token"] == token
    assert seen["config"]["ServerApp"]["ip"] == "127.0.0.1"
    assert token not in " ".join(seen["program"])
    assert not seen["home"].exists()
    assert os.name == "nt" or seen["mode"] == 0
    assert seen["keeps"] == "tables"


def test_a_server_that_does_not_start_gives_its_last_words(monkeypatch, tmp_path):
    """And the mend; the reader sees no traceback of Jupyter's."""
    (tmp_path / "broken.py").write_text("raise SystemExit('the wheel is off')")
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    port = launch.free_port()
    with (
        pytest.raises(PricelabError, match=r"its last words: the wheel is off\)"),
        launch._running(["broken"], tmp_path, tmp_path, port, ""),
    ):
        pytest.fail("It started.")


def test_a_server_is_stopped_when_the_caller_is_done(monkeypatch, tmp_path, capsys):
    """Whatever the caller did in between; and that the shop's tables cannot be kept is told."""
    (tmp_path / "listens.py").write_text(
        "import http.server, os\n"
        "http.server.HTTPServer(('127.0.0.1', int(os.environ['TEST_PORT'])),\n"
        "    http.server.BaseHTTPRequestHandler).serve_forever()\n"
    )
    port = launch.free_port()
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    monkeypatch.setenv("TEST_PORT", str(port))
    (tmp_path / "old").write_text("A file is in the place of the folder.")
    write_shop(tmp_path)
    processes = []

    def serve_and_fail():
        with launch._running(["listens"], tmp_path, tmp_path, port, "") as process:
            assert process.poll() is None
            processes.append(process)
            raise KeyError("the caller's own")

    with pytest.raises(KeyError, match="the caller's own"):
        serve_and_fail()
    assert capsys.readouterr().out == (
        "Quotes will not keep the costs of their day. Could not save "
        f'"{tmp_path}/old/shops": a file is in the place of its folder. Move that file away and '
        "try again; nothing was changed.\n"
    )
    assert processes[0].poll() is not None


def test_a_page_that_is_not_there_is_named(tmp_path):
    """By its name and folder, not by this machine's path."""
    with (
        pytest.raises(PricelabError, match=r'^There is no notebook "page\.ipynb" in books/\.$'),
        launch.client_page(tmp_path / "books" / "page.ipynb", tmp_path),
    ):
        pytest.fail("It started.")


def test_the_browser_is_given_what_opens_once_and_the_terminal_what_opens_always(
    monkeypatch, capsys
):
    """A browser's command line is read by every user of the machine; a terminal by its own."""
    opened = []

    class Running:
        def poll(self):
            raise KeyboardInterrupt

    monkeypatch.setattr(launch.webbrowser, "open", lambda address: opened.append(address) or True)
    monkeypatch.setattr(launch.signal, "signal", lambda *_: None)
    launch.show(launch.Served("http://always", "http://once", Running()))
    assert opened == ["http://once"]
    said = capsys.readouterr().out
    assert "http://always" in said
    assert "http://once" not in said
