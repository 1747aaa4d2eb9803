"""The server of the client's page: that page, what it is made of, and no other address.

Voilà, of which it is made, has a way to files, a form to log in by and answers of its own to
more addresses; here each address is named that is answered, so that whatever it may come to
answer later stays out.
"""

from jupyter_server.base.handlers import FileFindHandler
from jupyter_server.log import log_request
from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection
from jupyter_server.services.kernels.handlers import KernelHandler
from tornado.ioloop import IOLoop
from voila.app import Voila
from voila.shutdown_kernel_handler import VoilaShutdownKernelHandler
from voila.static_file_handler import MultiStaticFileHandler, TemplateStaticFileHandler
from voila.tornado.handler import TornadoVoilaHandler
from voila.tornado.kernel_websocket_handler import VoilaKernelWebsocketHandler

_COMMS = ["comm_open", "comm_msg", "comm_close"]

SAID = [*_COMMS, "comm_info_request", "kernel_info_request"]
"""What a page may say to its kernel: that a control was moved, and who is there."""

TOLD = [*_COMMS, "comm_info_reply", "kernel_info_reply", "status"]
"""What it is told: what its controls show. Neither code, nor print, nor what an error was."""

_FILE = r"((?!.*\.\.)[\w@.+-]+/[\w@./+-]+)"
_PROGRAMS = {
    MultiStaticFileHandler: r"/voila/static/((?!.*\.\.)[\w.-]+)",
    TemplateStaticFileHandler: r"/voila/templates/((?!.*\.\.)[\w-]+/static/[\w./-]+)",
    FileFindHandler: rf"/voila/labextensions/{_FILE}",
}
"""Files that come with the libraries and are the same for every shop."""


class ClientPage(TornadoVoilaHandler):
    """The page itself, at the one address it has."""

    async def get(self) -> None:
        """Make the page, with the mark by which it may stop its kernel; keep the shop's tables."""
        if self.current_user:
            self.xsrf_token  # noqa: B018 - leaves it in a cookie
            IOLoop.current().run_in_executor(None, _keep_tables)
        await super().get()


def _keep_tables() -> None:
    """Keep the tables that the kernel behind a page reads now, which itself saves no cost."""
    from pricelab.files.records.shop_then import keep_tables  # loaded while the kernel works

    keep_tables()


class Connection(ZMQChannelsWebsocketConnection):
    """What connects a page to its kernel, and passes on a closed list of messages."""

    def handle_outgoing_message(self, stream: str, outgoing_msg: list) -> None:
        """Pass on a message of the kernel, if it is of a kind that a page may be told."""
        _, (_, header, *_) = self.session.feed_identities(outgoing_msg)
        if self.session.unpack(header)["msg_type"] in TOLD:
            super().handle_outgoing_message(stream, outgoing_msg)


class ClientServer(Voila):
    """Voilà on one notebook, with a closed list of addresses and of messages."""

    def init_settings(self) -> dict:
        """Those of Voilà; fewer messages are let through to a kernel, and no token is logged."""
        settings = super().init_settings()
        settings["kernel_websocket_connection_class"] = Connection
        self.kernel_manager.allowed_message_types = SAID
        return settings | {"log_function": log_request}

    def init_handlers(self) -> list:
        """The page, its kernel, the programs it is made of, and where others are turned away."""
        kept = (KernelHandler, VoilaKernelWebsocketHandler, VoilaShutdownKernelHandler)
        handlers = self.identity_provider.get_handlers()
        for pattern, handler, *settings in super().init_handlers():
            if handler in kept:
                handlers.append((pattern, handler, *settings))
            elif handler in _PROGRAMS:
                handlers.append((_PROGRAMS[handler], handler, *settings))
            elif handler is TornadoVoilaHandler:
                handlers.append((r"/", ClientPage, *settings))
        return handlers

    def stop(self) -> None:
        """Stop the kernels before the folder goes that one may be starting in."""
        self.ioloop.run_sync(self.kernel_manager.shutdown_all)
        super().stop()


if __name__ == "__main__":
    ClientServer.launch_instance()
