"""Who asks what of the two servers, and what is answered: the tables below are the record.

Each server is started as the command starts it and opened in a browser, whose cookies are
then used beside those of nobody and a wrong token: a second browser, another user of the
machine, a page of another site.
"""

import http.client
import json
import os
import shutil
import socket
import subprocess
import sys
import uuid
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

import psutil
import pytest
from websockets.exceptions import InvalidStatus
from websockets.sync.client import connect

from pricelab.app import launch
from pricelab.files.folders import DEMO_SHOP, NOTEBOOKS, ROOT

pytestmark = [pytest.mark.browser, pytest.mark.slow]

PAGE = "2-quantity-breaks.ipynb"
NOBODY = str(uuid.UUID(int=0))


@dataclass
class Asked:
    """A server that is running, and the browser that was let in."""

    served: launch.Served
    page: object
    shop: object

    @property
    def port(self) -> int:
        """Where it listens."""
        return urlsplit(self.served.address).port

    @property
    def token(self) -> str:
        """What lets in."""
        return self.served.address.partition("token=")[2]

    def key(self, who: str) -> dict[str, str]:
        """What a request of nobody, of a wrong token and of the browser itself carries."""
        if who == "wrong":
            return {"Authorization": "token wrong"}
        if who == "nobody":
            return {}
        cookies = {each["name"]: each["value"] for each in self.page.context.cookies()}
        sent = {"Cookie": "; ".join(f"{name}={value}" for name, value in cookies.items())}
        return sent | {"X-XSRFToken": cookies["_xsrf"], "Referer": self.here()}

    def here(self, path: str = "/") -> str:
        """An address of it."""
        return f"http://{launch.LOOPBACK}:{self.port}{path}"

    def ask(self, line: str, who: str = "nobody", **headers: str) -> http.client.HTTPResponse:
        """The answer to a method and a path, which is sent as it is written."""
        method, path = line.split(" ")
        asking = http.client.HTTPConnection(launch.LOOPBACK, self.port, timeout=30)
        asking.request(method, path, headers=self.key(who) | headers)
        answer = asking.getresponse()
        answer.text = answer.read().decode("utf-8", errors="replace")
        asking.close()
        return answer

    @contextmanager
    def socket(self, kernel: str, who: str = "own", **headers: str):
        """A websocket to a kernel."""
        at = f"ws://{launch.LOOPBACK}:{self.port}/api/kernels/{kernel}/channels?session_id=asking"
        with connect(at, additional_headers=self.key(who) | headers, max_size=None) as opened:
            yield opened

    def refused(self, kernel: str, who: str = "own", **headers: str) -> int:
        """The status by which a websocket was refused; 101 where it was not."""
        try:
            with self.socket(kernel, who, **headers):
                return 101
        except InvalidStatus as refused:
            return refused.response.status_code


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    """A copy of the demo shop, whose folder no answer may name."""
    folder = tmp_path_factory.mktemp("served") / "shop"
    shutil.copytree(DEMO_SHOP, folder, ignore=shutil.ignore_patterns("quotes"))
    return folder


@contextmanager
def _opened(chromium, serve, shop, shown):
    with serve as served:
        page = chromium.new_context().new_page()
        page.set_default_timeout(60_000)
        page.goto(served.once)
        page.locator(shown).first.wait_for()
        yield Asked(served, page, shop)
        page.context.close()


@pytest.fixture(scope="module")
def client(chromium, shop):
    """The client's page in a browser of its own."""
    serve = launch.client_page(NOTEBOOKS / PAGE, shop)
    with _opened(chromium, serve, shop, ".plc-price") as asked:
        yield asked


@pytest.fixture(scope="module")
def again(client):
    """The client's page as its browser gets it once more."""
    return client.ask("GET /", "own")


@pytest.fixture(scope="module")
def owner(chromium, shop, tmp_path_factory):
    """The owner's workbook, likewise; of its notebooks one that is made for this."""
    books = tmp_path_factory.mktemp("books")
    shutil.copy(NOTEBOOKS / PAGE, books)
    with _opened(chromium, launch.workbook(books, shop, PAGE), shop, ".plc-price") as asked:
        yield asked


# What is asked of the client's page        nobody wrong  own
CLIENT = """
GET /                                         302   302   200
HEAD /                                        302   302   405
POST /                                        403   403   405
PUT /                                         403   403   405
DELETE /                                      403   403   405
TRACE /                                       405   405   405
GET /login                                    403   403   403
POST /login                                   403   403   405
GET /logout                                   404   404   404
GET /lab                                      404   404   404
GET /tree                                     404   404   404
GET /api                                      404   404   404
GET /api/contents                             404   404   404
GET /api/contents/../..                       404   404   404
GET /api/kernels                              404   404   404
POST /api/kernels                             404   404   404
GET /api/kernels/NOBODY                       403   403   404
POST /api/kernels/NOBODY/restart              404   404   404
GET /api/sessions                             404   404   404
POST /api/sessions                            404   404   404
GET /api/terminals                            404   404   404
POST /api/terminals                           404   404   404
GET /api/kernelspecs                          404   404   404
GET /api/config/notebook                      404   404   404
GET /api/status                               404   404   404
GET /api/me                                   404   404   404
POST /api/shutdown                            404   404   404
GET /api/nbconvert                            404   404   404
GET /metrics                                  404   404   404
GET /files/1-price-list.ipynb                 404   404   404
GET /notebooks/1-price-list.ipynb             404   404   404
GET /nbconvert/html/1-price-list.ipynb        404   404   404
GET /static/base/images/logo.png              404   404   404
GET /static/..%2f..%2fshop.csv                404   404   404
GET /nbextensions/x.js                        404   404   404
GET /shop.csv                                 404   404   404
GET /view/shop.csv                            404   404   404
GET /lab/tree/records.sqlite                  404   404   404
GET /1-price-list.ipynb                       404   404   404
GET /voila/render/1-price-list.ipynb          404   404   404
GET /voila/tree                               404   404   404
GET /voila/api/contents                       404   404   404
GET /voila/api/themes/x                       404   404   404
GET /voila/files/1-price-list.ipynb           404   404   404
GET /voila/files/pictures/methods.png         404   404   404
GET /voila/files/%2e%2e/data/harbour-caps/shop.csv         404  404  404
GET /voila/files/..%2fdata%2fharbour-caps%2frecords.sqlite 404  404  404
GET /voila/static/..%2f..%2f..%2fshop.csv     404   404   404
GET /voila/execution/NOBODY                   404   404   404
GET /voila/query/NOBODY                       404   404   404
POST /voila/api/shutdown/NOBODY               403   403   404
GET /voila/static/voila.js                    200   200   200
GET /voila/static/%2e%2e/%2e%2e/app.py        404   404   404
GET /voila/static/../../app.py                404   404   404
GET /voila/static/..%5c..%5capp.py            404   404   404
GET /voila/templates/lab/static/voila.js      200   200   200
GET /voila/templates/lab/static/../index.html.j2           404  404  404
GET /voila/templates/%2e%2e/static/x          404   404   404
GET /voila/templates/lab                      404   404   404
GET /voila/labextensions/%2e%2e/kernels/python3/kernel.json 404 404  404
GET /voila/labextensions/../kernels/python3/kernel.json     404 404  404
"""

# What is asked of the workbook             nobody wrong  own
OWNER = """
GET /                                         302   302   302
GET /lab                                      302   302   200
GET /login                                    403   403   403
GET /logout                                   404   404   404
GET /tree                                     404   404   404
GET /api                                      200   200   200
GET /api/contents                             403   403   200
GET /api/contents/../..                       403   403   404
GET /api/contents/%2e%2e%2f%2e%2e             403   403   404
GET /api/kernels                              403   403   200
POST /api/kernels                             403   403   201
GET /api/sessions                             403   403   200
GET /api/terminals                            404   404   404
POST /api/terminals                           403   403   404
GET /api/kernelspecs                          403   403   200
GET /api/config/notebook                      403   403   200
GET /api/status                               403   403   200
GET /metrics                                  403   403   200
GET /files/2-quantity-breaks.ipynb            302   302   200
GET /files/%2e%2e/%2e%2e/shop.csv             302   302   403
GET /files/..%2f..%2fshop.csv                 302   302   403
GET /nbconvert/html/2-quantity-breaks.ipynb   302   302   200
GET /lab/api/settings                         403   403   200
GET /lsp/status                               404   404   404
GET /voila/render/2-quantity-breaks.ipynb     404   404   404
GET /voila/files/pictures/methods.png         404   404   404
POST /api/shutdown                            403   403   -
"""


def _rows(table):
    return [
        line.replace("NOBODY", NOBODY).rsplit(maxsplit=3) for line in table.strip().splitlines()
    ]


def _told(asked, table, known=()) -> list[str]:
    """What is answered otherwise than the table says, or tells where things lie.

    Whoever is `known` may be told that: the owner is.
    """
    otherwise = []
    for line, *expected in _rows(table):
        for who, status in zip(("nobody", "wrong", "own"), expected, strict=True):
            if status == "-":
                continue
            answer = asked.ask(line, who)
            if answer.status != int(status):
                otherwise.append(f"{line}, {who}: {answer.status}, expected {status}")
            for word in (str(asked.shop), str(ROOT), "Traceback"):
                if word in answer.text and who not in known:
                    otherwise.append(f"{line}, {who}: tells {word}")
    return otherwise


def test_of_the_clients_page_one_page_is_answered(client):
    """The page, the programs it is made of and its own kernel; nothing else to anybody."""
    assert _told(client, CLIENT) == []


def test_of_the_workbook_nothing_is_answered_without_its_key(owner):
    """But the version of the program; and even with it no terminal and no second way in."""
    assert _told(owner, OWNER, known=["own"]) == []


@pytest.mark.parametrize("kind", ["client", "owner"])
def test_it_is_heard_on_this_machines_loopback_alone(kind, request):
    """One address, 127.0.0.1: not the machine's other ones, nor another of loopback."""
    asked = request.getfixturevalue(kind)
    served = psutil.Process(asked.served.process.pid)
    listening = {at.laddr for at in served.net_connections("tcp") if at.status == "LISTEN"}
    assert (launch.LOOPBACK, asked.port) in listening
    assert {at.ip for at in listening} == {launch.LOOPBACK}
    own = socket.gethostbyname(socket.gethostname())
    for other in {"127.0.0.2", own} - {launch.LOOPBACK}:
        with socket.socket() as tried:
            assert tried.connect_ex((other, asked.port)) != 0, other


@pytest.mark.parametrize("kind", ["client", "owner"])
def test_by_another_name_it_does_not_answer(kind, request):
    """A page of another site, whose name was made to point to this machine, has no use of it."""
    asked = request.getfixturevalue(kind)
    line = "GET /" if kind == "client" else "GET /lab"
    elsewhere = f"elsewhere.example:{asked.port}"
    for who in ("nobody", "own"):
        assert asked.ask(line, who, Host=elsewhere).status == 403
    assert asked.ask(f"{line}?token={asked.token}", Host=elsewhere).status == 403
    assert asked.ask(line, "own", Host=f"localhost:{asked.port}").status in (200, 302)


def test_no_other_site_frames_it_sends_to_it_or_is_told_of_it(client, owner, again):
    """What the browser is told to keep: the headers, and the cookies that are the key."""
    page, lab = again, owner.ask("GET /lab", "own")
    rules = page.headers["Content-Security-Policy"]
    for rule in ("default-src 'self'", "frame-ancestors 'none'", "form-action 'none'"):
        assert rule in rules
    assert "frame-ancestors 'self'" in lab.headers["Content-Security-Policy"]
    for answer in (page, lab):
        assert answer.headers["Referrer-Policy"] == "same-origin"
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert answer.headers["Access-Control-Allow-Origin"] is None
    for asked in (client, owner):
        (key,) = (each for each in asked.page.context.cookies() if "username" in each["name"])
        assert key["httpOnly"]
        assert key["sameSite"] == "Strict"
        assert key["expires"] == -1  # with the browser's session


def test_another_sites_request_with_the_browsers_cookies_is_refused(client, owner):
    """Without the mark that only the page itself can read, nothing is done."""
    stop = {"X-XSRFToken": "", "Origin": "http://elsewhere.example"}
    for asked, line in (
        (client, f"POST /voila/api/shutdown/{NOBODY}"),
        (owner, "POST /api/kernels"),
    ):
        assert asked.ask(line, "own", **stop).status in (403, 404)
    before = len(json.loads(owner.ask("GET /api/kernels", "own").text))
    assert owner.ask("POST /api/kernels", "own", **stop).status in (403, 404)
    assert len(json.loads(owner.ask("GET /api/kernels", "own").text)) == before


def test_the_token_is_seen_nowhere(client, owner):
    """Not on a command line, in the address, its history, a log, or a file others may read."""
    for asked in (client, owner):
        once = asked.served.once.partition("token=")[2]
        lines = [each.cmdline() for each in psutil.Process().children(recursive=True)]
        seen = "\n".join(" ".join(line) for line in lines)
        assert "ipykernel" in seen
        assert asked.token not in seen
        assert once not in seen
        assert "token" not in asked.page.url
        assert "token" not in asked.page.evaluate(
            "performance.getEntriesByType('resource').map(each => each.name).join()"
        ).replace("tokenizer", "")
        home = _home_of(asked)
        assert home.stat().st_mode & 0o077 == 0
        assert asked.token not in (home / "said.txt").read_text("utf-8", errors="replace")
        for kernel in home.rglob("kernel-*.json"):
            assert kernel.stat().st_mode & 0o077 == 0


def _home_of(asked):
    """The folder of one run."""
    return Path(psutil.Process(asked.served.process.pid).cwd())


def test_what_kernels_say_is_sealed(client, owner):
    """Another user of this machine may listen to its loopback: without the key he hears nothing."""
    for asked in (client, owner):
        files = list(_home_of(asked).rglob("kernel-*.json"))
        assert files
        for path in files:
            assert len(json.loads(path.read_text())["curve_secretkey"]) == 40


@pytest.mark.parametrize("kind", ["client", "owner"])
def test_the_browsers_command_line_opens_once(kind, request, chromium):
    """A second browser with it is told how to come in; the address of the terminal opens it."""
    asked = request.getfixturevalue(kind)
    context = chromium.new_context()
    page = context.new_page()
    page.goto(asked.served.once)
    assert page.get_by_text("Open the address that the terminal shows").is_visible()
    assert context.request.get(asked.here("/")).status == 403
    assert context.request.get(asked.here("/login"), params={"token": asked.token}).status == 403
    assert context.request.get(asked.here("/login")).status == 403
    there = asked.here(f"/api/kernels/{NOBODY}")
    assert context.request.get(there).status == 404  # by the cookie of before: none such
    context.close()


# ---- the way to a kernel --------------------------------------------------------------


@pytest.fixture(scope="module")
def kernel(again):
    """A kernel of the client's browser."""
    config = again.text.partition('id="jupyter-config-data"')[2].partition(">")[2]
    return json.loads(config.partition("</script>")[0])["kernelId"]


def test_a_kernel_is_reached_by_the_page_that_has_it(client, kernel):
    """By its browser, from its own address: not by others, by a guess, or from another site."""
    assert client.refused(kernel) == 101
    assert client.refused(kernel, "nobody") == 403
    assert client.refused(kernel, "wrong") == 403
    assert client.refused(NOBODY) == 404
    assert client.refused(kernel, Origin="http://elsewhere.example") == 403
    opening = {
        "Connection": "Upgrade", "Upgrade": "websocket", "Sec-WebSocket-Version": "13",
        "Sec-WebSocket-Key": "AAAAAAAAAAAAAAAAAAAAAA==", "Host": f"elsewhere.example:{client.port}",
    }  # fmt: skip
    assert client.ask(f"GET /api/kernels/{kernel}/channels", "own", **opening).status == 403
    assert client.ask(f"GET /api/kernels/{kernel}").status == 403
    assert client.ask(f"GET /api/kernels/{kernel}", "own").status == 200
    assert client.ask(f"DELETE /api/kernels/{kernel}").status == 403
    assert client.ask(f"DELETE /api/kernels/{kernel}", "own", **{"X-XSRFToken": ""}).status == 403


REFUSED = {
    "execute_request": {"code": "open('ran.txt', 'w')", "silent": False},
    "complete_request": {"code": "open_coun", "cursor_pos": 9},
    "inspect_request": {"code": "panel", "cursor_pos": 5, "detail_level": 1},
    "history_request": {"hist_access_type": "tail", "n": 10, "raw": True, "output": True},
    "is_complete_request": {"code": "1"},
    "connect_request": {},
    "interrupt_request": {},
    "shutdown_request": {"restart": True},
    "debug_request": {"seq": 1, "type": "request", "command": "debugInfo"},
    "create_subshell_request": {},
    "input_reply": {"value": "1"},
}


def _message(kind, content, channel, metadata=None):
    header = {
        "msg_id": uuid.uuid4().hex, "msg_type": kind, "session": "asking", "username": "",
        "version": "5.3", "date": "2026-11-25T00:00:00Z",
    }  # fmt: skip
    return {
        "channel": channel, "header": header, "content": content, "metadata": metadata or {},
        "parent_header": {}, "buffers": [],
    }  # fmt: skip


def _until(opened, *ids) -> list[dict]:
    """What is heard until the requests `ids` are answered, and all that was said on the way."""
    heard, waited_for = [], {(each, how) for each in ids for how in ("reply", "idle")}
    while waited_for:
        told = json.loads(opened.recv(timeout=30))
        heard.append(told)
        of = told["parent_header"].get("msg_id")
        if told["msg_type"].endswith("_reply"):
            waited_for.discard((of, "reply"))
        elif told["content"].get("execution_state") == "idle":
            waited_for.discard((of, "idle"))
    return heard


def test_a_kernel_does_nothing_that_it_is_told(client, kernel):
    """Neither code, names, help, history, a stop nor the debugger, over any of its channels."""
    with client.socket(kernel) as opened:
        for kind, content in REFUSED.items():
            for channel in ("shell", "control", "stdin"):
                opened.send(json.dumps(_message(kind, content, channel)))
        asked = [_message("kernel_info_request", {}, channel) for channel in ("shell", "control")]
        for each in asked:
            opened.send(json.dumps(each))
        heard = _until(opened, *(each["header"]["msg_id"] for each in asked))
    kinds = {told["msg_type"] for told in heard}
    assert "kernel_info_reply" in kinds
    assert kinds <= {"kernel_info_reply", "status"}
    assert not (NOTEBOOKS / "ran.txt").exists()
    assert client.ask(f"GET /api/kernels/{kernel}", "own").status == 200


def test_controls_that_are_sent_nonsense_tell_nothing(client, kernel):
    """Every trait of every kind of control set to what it cannot be; and new controls asked for."""
    with client.socket(kernel) as opened:
        known = {"version": "2.1.0"}
        control = {"comm_id": "all", "target_name": "jupyter.widget.control", "data": {}}
        opened.send(json.dumps(_message("comm_open", control, "shell", {"version": "1.0.0"})))
        states = {"comm_id": "all", "data": {"method": "request_states"}}
        opened.send(json.dumps(_message("comm_msg", states, "shell")))
        last = _message("kernel_info_request", {}, "shell")
        opened.send(json.dumps(last))
        heard = _until(opened, last["header"]["msg_id"])
        (told,) = (each for each in heard if each["msg_type"] == "comm_msg")
        models = told["content"]["data"]["states"]
        one_of_each = {each["model_name"]: (key, each) for key, each in models.items()}
        assert len(one_of_each) > 10
        sent = 0
        for number, (key, model) in enumerate(one_of_each.values()):
            for at, name in enumerate(list(model["state"])[number % 3 :: 3]):
                bad = (None, -1e300, ["IPY_MODEL_none"], {"a": [1]}, "<img src=x>")[
                    (number + at) % 5
                ]
                data = {"method": "update", "state": {name: bad}, "buffer_paths": []}
                opened.send(
                    json.dumps(_message("comm_msg", {"comm_id": key, "data": data}, "shell"))
                )
                sent += 1
        for name in ("OutputModel", "ImageModel", "FileUploadModel", "NoSuchModel"):
            state = {
                "_model_name": name, "_model_module": "@jupyter-widgets/controls",
                "_model_module_version": "2.0.0", "value": "../../shop.csv", "msg_id": "x",
            }  # fmt: skip
            data = {"state": state, "buffer_paths": []}
            content = {"comm_id": name, "target_name": "jupyter.widget", "data": data}
            opened.send(json.dumps(_message("comm_open", content, "shell", known)))
        last = _message("kernel_info_request", {}, "shell")
        opened.send(json.dumps(last))
        heard += _until(opened, last["header"]["msg_id"])
    assert sent > 50, sent
    text = json.dumps(heard)
    for secret in (str(ROOT), str(client.shop), "Traceback", "site-packages"):
        assert secret not in text
    assert client.ask(f"GET /api/kernels/{kernel}", "own").status == 200


def test_a_page_that_is_loaded_again_leaves_no_kernel_behind(client):
    """It ends the kernel it had; about 200 MB each would else stay until the program is stopped."""
    had = json.loads(client.page.locator("#jupyter-config-data").text_content())["kernelId"]
    assert client.ask(f"GET /api/kernels/{had}", "own").status == 200
    client.page.reload()
    for _ in range(100):
        if client.ask(f"GET /api/kernels/{had}", "own").status == 404:
            break
        client.page.wait_for_timeout(100)
    assert client.ask(f"GET /api/kernels/{had}", "own").status == 404
    client.page.locator(".plc-price").wait_for()


HELD = """
import gc
from pricelab.screens.counter import open_counter
from pricelab.shop.shop import Shop
panel = open_counter()
gc.collect()
kinds = {type(each).__name__ for each in gc.get_objects()}
shops = [each for each in gc.get_objects() if isinstance(each, Shop)]
print("Catalogue" in kinds, "ShopFolder" in kinds, [each.rates.labour for each in shops])
"""


def test_behind_the_clients_page_there_is_no_cost_to_be_found(shop):
    """When the page is there, the shop that it was made from is held by nothing any more."""
    told = {**os.environ, "PRICELAB_SHOP": str(shop), "PYTHONPATH": str(ROOT)}
    ran = subprocess.run(
        [sys.executable, "-c", HELD], capture_output=True, text=True, env=told, check=True
    )
    assert ran.stdout.strip() == "True False [0.0]"
