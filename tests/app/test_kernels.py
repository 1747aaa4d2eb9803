"""Kernels that are started ahead and given way to, without starting any."""

import asyncio
from concurrent.futures import ThreadPoolExecutor
from types import SimpleNamespace

import pytest
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from tornado.web import HTTPError

from pricelab.app import kernels
from pricelab.app.kernels import Kernels


@pytest.fixture
def started(monkeypatch):
    """Kernels whose processes are made up: those that were started, by number, with their words."""
    begun = {}

    async def start(self, *, kernel_id=None, **words):
        kernel_id = kernel_id or f"kernel {len(begun)}"
        begun[kernel_id] = words
        await asyncio.sleep(0)
        if "none is left" in begun:
            raise OSError("no memory is left")
        self._kernels[kernel_id] = SimpleNamespace(is_alive=lambda: _answer(kernel_id not in dead))
        return kernel_id

    async def stop(self, kernel_id, now=False, restart=False):
        del self._kernels[kernel_id]

    def about(self, kernel_id):
        return {"id": kernel_id, "connections": pages.get(kernel_id, 0)}

    dead, pages = set(), {}
    monkeypatch.setattr(AsyncMappingKernelManager, "kernel_model", about)
    monkeypatch.setattr(AsyncMappingKernelManager, "start_kernel", start)
    for name in ("shutdown_kernel", "_async_shutdown_kernel"):
        monkeypatch.setattr(AsyncMappingKernelManager, name, stop)
    monkeypatch.setattr(kernels, "_SETTLED", 0)
    return SimpleNamespace(begun=begun, dead=dead, pages=pages)


def _run(coroutine):
    """In a thread of its own: the browser of other tests keeps a loop running in this one."""
    with ThreadPoolExecutor(1) as one:
        one.submit(asyncio.run, coroutine).result()


async def _answer(value):
    return value


async def _settle():
    for _ in range(20):
        await asyncio.sleep(0.001)


def test_a_page_gets_the_kernel_that_waits_and_the_next_one_is_started(started, tmp_path):
    """One is started before anybody asks, and again one when it was taken."""

    async def two_pages():
        manager = Kernels(root_dir=str(tmp_path))
        await _settle()
        assert list(started.begun) == ["kernel 0"]
        assert await manager.start_kernel(path="", kernel_name="python3") == "kernel 0"
        await _settle()
        assert list(started.begun) == ["kernel 0", "kernel 1"]
        assert await manager.start_kernel(path=None) == "kernel 1"

    _run(two_pages())


def test_what_waits_is_not_given_to_another_folder_language_or_number(started, tmp_path):
    """It works in the notebooks' own folder, in Python, and has its number."""
    (tmp_path / "below").mkdir()

    async def others():
        manager = Kernels(root_dir=str(tmp_path))
        await _settle()
        assert await manager.start_kernel(path="below") == "kernel 1"
        assert await manager.start_kernel(kernel_name="another") == "kernel 2"
        assert await manager.start_kernel(kernel_id="named") == "named"
        assert await manager.start_kernel(kernel_id="named") == "named"  # the same, not another
        assert list(started.begun) == ["kernel 0", "kernel 1", "kernel 2", "named"]

    _run(others())


def test_one_that_died_while_it_waited_is_not_given_out(started, tmp_path):
    """A new one is started in its place, and likewise where none could be started ahead."""

    async def dead():
        manager = Kernels(root_dir=str(tmp_path))
        await _settle()
        started.dead.add("kernel 0")
        assert await manager.start_kernel() == "kernel 1"

    async def none_to_be_had():
        started.begun["none is left"] = True
        manager = Kernels(root_dir=str(tmp_path))
        await _settle()
        del started.begun["none is left"]
        assert await manager.start_kernel() in manager

    _run(dead())
    started.begun.clear()
    _run(none_to_be_had())


def test_the_oldest_whose_page_has_gone_gives_way(started, tmp_path):
    """Where as many as may be are at work; a page that is open keeps its own."""

    async def many():
        manager = Kernels(root_dir=str(tmp_path), most=3)
        await _settle()
        at_work = [await manager.start_kernel() for _ in range(3)]
        started.pages[at_work[0]] = 1
        fourth = await manager.start_kernel()
        assert [each for each in (*at_work, fourth) if each not in manager] == [at_work[1]]
        started.pages.update(dict.fromkeys(manager.list_kernel_ids(), 1))
        with pytest.raises(HTTPError, match="3 pages are open already: close one of them first"):
            await manager.start_kernel()

    _run(many())


def test_the_one_that_waits_is_nobodys_yet(started, tmp_path, monkeypatch):
    """It is not listed, is not stopped for doing nothing, and is stopped with the rest."""
    looked_at = []

    async def cull(self, kernel_id):
        looked_at.append(kernel_id)

    monkeypatch.setattr(AsyncMappingKernelManager, "cull_kernel_if_idle", cull)

    async def waits():
        manager = Kernels(root_dir=str(tmp_path))
        await _settle()
        assert manager.list_kernels() == []
        own = await manager.start_kernel()
        await _settle()
        assert [each["id"] for each in manager.list_kernels()] == [own]
        assert len(manager) == 2
        await manager.cull_kernels()
        assert looked_at == [own]
        await manager.shutdown_all()
        assert len(manager) == 0
        manager._start_ahead()
        await _settle()
        assert len(manager) == 0

    _run(waits())
