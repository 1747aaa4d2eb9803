"""The kernels behind the pages that are served: one waits ready, and there are never too many.

A kernel that was started ahead has its libraries loaded by the time a page asks for one. It
has read no file of a shop: that is done when the page is opened, as ever.
"""

import asyncio
from typing import Any

from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from tornado.ioloop import IOLoop
from tornado.web import HTTPError
from traitlets import Integer

_SETTLED = 5  # seconds: the page that is being opened has the machine to itself


class Kernels(AsyncMappingKernelManager):
    """Jupyter's kernels, one of them always started ahead, and at most so many at work."""

    most = Integer(12, config=True, help="Kernels at work at one time.")

    def __init__(self, **settings):
        super().__init__(**settings)
        self._ahead: asyncio.Task | None = None
        self._stopping = False
        IOLoop.current().add_callback(self._start_ahead)

    async def start_kernel(
        self, *, kernel_id: str | None = None, path: str | None = None, **more: Any
    ) -> str:
        """The kernel that waits, or a new one; the number of the one there is from now on."""
        if kernel_id in self:
            return kernel_id
        await self._make_room()
        here = path is None or self.cwd_for_path(path) == self.cwd_for_path("")
        usual = more.get("kernel_name") in (None, self.default_kernel_name)
        fits = here and usual and kernel_id is None
        ahead = await self._take_ahead() if fits else None
        IOLoop.current().call_later(_SETTLED, self._start_ahead)
        return ahead or await super().start_kernel(kernel_id=kernel_id, path=path, **more)

    def list_kernels(self) -> list[dict]:
        """Those at work: the one that waits is nobody's yet."""
        return [model for model in super().list_kernels() if model["id"] != self._waiting()]

    async def cull_kernel_if_idle(self, kernel_id: str) -> None:
        """Stop a kernel that no page has been joined to for long, but not the one that waits."""
        if kernel_id != self._waiting():
            await super().cull_kernel_if_idle(kernel_id)

    async def shutdown_all(self, now: bool = False) -> None:
        """Stop all of them; the one that waits has nothing to finish."""
        self._stopping = True
        ahead = await self._take_ahead()
        if ahead is not None:
            await self.shutdown_kernel(ahead, now=True)
        await super().shutdown_all(now=now)

    def _start_ahead(self) -> None:
        if self._ahead is None and not self._stopping:
            self._ahead = asyncio.ensure_future(super().start_kernel(path=""))

    async def _take_ahead(self) -> str | None:
        ahead, self._ahead = self._ahead, None
        if ahead is None:
            return None
        try:
            kernel_id = await ahead
            alive = await self.is_alive(kernel_id)
        except Exception:  # it could not be started, or has gone: another one is tried
            return None
        return kernel_id if alive else None

    def _waiting(self) -> str | None:
        done = self._ahead is not None and self._ahead.done() and not self._ahead.cancelled()
        return self._ahead.result() if done and not self._ahead.exception() else None

    async def _make_room(self) -> None:
        """Stop the oldest kernel whose page has gone where there are as many as may be."""
        at_work = self.list_kernels()
        if len(at_work) < self.most:
            return
        left = [model["id"] for model in at_work if not model["connections"]]
        if not left:
            raise HTTPError(503, f"{self.most} pages are open already: close one of them first.")
        await self.shutdown_kernel(left[0], now=True)
