"""Writing a file whole or not at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path


def write_whole(target: Path, data: bytes, mode: int | None = None) -> None:
    """Put the bytes in place of a file at once, readable by its owner alone or with the permissions of `mode`; OSError where it cannot be."""
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
