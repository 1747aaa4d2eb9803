"""Files are saved whole or not at all."""

import os
import tempfile
from pathlib import Path

from pricelab.errors import PricelabError


def save_whole(path: Path, content: bytes) -> Path:
    """Put `content` in the file at `path` in one step; an older file stays until then.

    The folder is made where it is missing. Where that fails, nothing is left behind and
    the error says why.
    """
    path = Path(path)
    part = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(
            dir=path.parent, prefix=f".{path.name}.", delete=False
        ) as file:
            part = Path(file.name)
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        part.chmod(0o666 & ~_umask())
        os.replace(part, path)
    except OSError as error:
        if part is not None:
            part.unlink(missing_ok=True)
        raise PricelabError(
            f'Could not save "{path}" ({error.strerror or error}). Close it in other programs, '
            "make sure that the folder may be written to and has room, and try again."
        ) from None
    return path


def _umask() -> int:
    """The permissions that new files go without on this machine."""
    mask = os.umask(0)
    os.umask(mask)
    return mask
