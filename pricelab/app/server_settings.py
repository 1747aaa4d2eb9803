"""The settings by which the workbook and the client's page are served, file by file.

Plain values: each function returns what goes into which file of the folder `home`, which only
this user can read. The classes that are named in them are loaded by the server's own process.
"""

from dataclasses import dataclass
from pathlib import Path

LOOPBACK = "127.0.0.1"

_EXTENSIONS = Path(__file__).parent / "labextensions"

Files = dict[str, dict]
"""What is in each file, by its path in the folder."""


@dataclass(frozen=True)
class Key:
    """Where it is served, and the two tokens that let a browser in: one of them only once."""

    port: int
    token: str
    once: str


# Quiet, and nothing written into a notebook that the reader did not ask for: the workbook runs
# when it is opened, and a shop's costs must not find their way into a file by themselves.
_QUIET = {
    "@jupyterlab/apputils-extension:notification": {
        "fetchNews": "false",
        "checkForUpdates": False,
    },
    # One after the other: in threads of their own, two quick changes would meet in one panel,
    # and the later be lost.
    "@jupyterlab/apputils-extension:kernels-settings": {"commsOverSubshells": "disabled"},
    "@jupyterlab/docmanager-extension:plugin": {"autosave": False},
    "@jupyterlab/filebrowser-extension:browser": {
        "showLastModifiedColumn": False,
        "singleClickNavigation": True,
    },
    "@jupyterlab/notebook-extension:tracker": {"kernelShutdown": True},  # with its tab
}

# The whole width is for the notebook, on a tablet too: the list of files is a click away.
_CLOSED = {"collapsed": True, "visible": True, "widgets": []}
_ROOMY = {
    "data": {"layout-restorer:data": {"left": _CLOSED, "right": _CLOSED}},
    "metadata": {"id": "default"},
}

# What the workbook has no use for: other ways to its files and notebooks, and work at the start.
_NO_OTHERS = {
    "jupyterlab": True,
    **dict.fromkeys(
        ("jupyter_lsp", "jupyter_server_terminals", "notebook_shim", "voila.server_extension"),
        False,
    ),
}
_NO_BUILD = {
    "buildAvailable": False,
    "buildCheck": False,
    "disabledExtensions": {"@voila-dashboards/jupyterlab-preview": True},
}

_KERNELS = "pricelab.app.kernels.Kernels"
_BEFORE_A_PAGE = {
    "ipython/profile_default/ipython_config.json": {
        "InteractiveShellApp": {"extensions": ["pricelab.app.ahead"]}
    }
}

_HEADERS = {"Referrer-Policy": "same-origin"}  # no other site is told the address

# What the client's page may be made of: nothing of another machine, in no other page's frame.
_CONTENT = (
    "default-src 'self' data: blob:; script-src 'self' 'unsafe-inline' 'unsafe-eval'; "
    "style-src 'self' 'unsafe-inline'; frame-ancestors 'none'; base-uri 'none'; "
    "form-action 'none'; object-src 'none'"
)


def workbook_settings(notebooks: Path, home: Path, key: Key) -> Files:
    """JupyterLab on the folder `notebooks`."""
    return _BEFORE_A_PAGE | {
        "config/labconfig/default_setting_overrides.json": _QUIET,
        "config/labconfig/page_config.json": _NO_BUILD,
        "workspaces/default-37a8.jupyterlab-workspace": _ROOMY,
        "config/jupyter_server_config.json": {"ServerApp": {"jpserver_extensions": _NO_OTHERS}},
        "config/jupyter_lab_config.json": {
            "ServerApp": {
                **_served_here(key),
                "root_dir": str(notebooks.resolve()),
                "allow_root": True,  # a container or a test machine has no other user
                "terminals_enabled": False,
                "kernel_manager_class": _KERNELS,
            },
            "LabApp": {
                "extra_labextensions_path": [str(_EXTENSIONS)],
                "extension_manager": "readonly",  # the other one asks a package registry
                "news_url": None,
                "open_browser": False,
            },
            **_guarded(key),
        },
    }


def page_settings(home: Path, key: Key) -> Files:
    """The client's page, without code or files; what belongs to its kernels stays in `home`."""
    boxes = (_EXTENSIONS / "pricelab-run-on-open/boxes.js").read_text("utf-8")
    return _BEFORE_A_PAGE | {
        "config/voila.json": {
            "Voila": {
                **_served_here(key),
                "token": key.token,
                "connection_dir_root": str(home),
                # Asked for by another name than this machine's own, it does not answer: a page
                # of another site cannot come to it by a name that points here.
                "tornado_settings": {
                    "headers": {**_HEADERS, "Content-Security-Policy": _CONTENT},
                    "allow_remote_access": False,
                },
            },
            "VoilaConfiguration": {
                "template": "pricelab",
                "strip_sources": True,
                "show_tracebacks": False,
                "file_allowlist": [],
                "resources": {
                    "metadata": {"name": "What does my order cost?"},
                    "boxes": boxes,  # what they owe to whoever does not see them
                },
                "multi_kernel_manager_class": _KERNELS,
            },
            "TagRemovePreprocessor": {"enabled": True, "remove_cell_tags": ["check", "owner"]},
            "Kernels": {  # each takes about 200 MB, and goes 600 s after the page's last word
                "most": 6,
                "cull_idle_timeout": 600,
                "cull_interval": 60,
            },
            **_guarded(key),
        },
    }


def _served_here(key: Key) -> dict:
    return {
        "ip": LOOPBACK,
        "port": key.port,
        "port_retries": 0,
        "open_browser": False,
        "identity_provider_class": "pricelab.app.door.Door",
        "tornado_settings": {"headers": _HEADERS},
    }


def _guarded(key: Key) -> dict:
    """What lets in, and a seal on what kernels say: other users of a machine hear its loopback."""
    cookie = {"samesite": "Strict", "expires_days": None}  # for this site and this session
    return {
        "IdentityProvider": {"token": key.token, "cookie_options": cookie},
        "Door": {"once": key.once},
        "MappingKernelManager": {"transport_encryption": "auto"},
    }
