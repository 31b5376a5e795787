"""Where the data folder is, reading a plain file within bounds, and writing one whole or not at all."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
import tempfile
from pathlib import Path


def data_folder() -> Path:
    """The knowledge folder that travels with the package, or the checkout's own."""
    package = Path(__file__).parents[1]
    inside = package / "data"
    return inside if inside.is_dir() else package.parent / "knowledge"


def write_whole(target: Path, data: bytes, mode: int | None = None) -> None:
    """Put the bytes in place of a file at once, readable by its owner alone or with the permissions of
    `mode`; OSError where it cannot be.
    """
    handle, name = tempfile.mkstemp(prefix=".decide-", suffix=".part", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if mode is not None:
            os.chmod(name, mode)
        os.replace(name, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise


def plain_bytes(path: str | Path, most: int) -> bytes:
    """The bytes of a plain file, at most one more than `most`; OSError for anything else, of which a pipe
    would be waited for and a device read without end.
    """
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    if not stat.S_ISREG(os.stat(path).st_mode):
        raise OSError(errno.EINVAL, "this is no plain file")
    with open(os.open(path, flags), "rb") as file:
        # Another may have been put in its place since it was looked at.
        if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
            raise OSError(errno.EINVAL, "this is no plain file")
        return file.read(most + 1)
