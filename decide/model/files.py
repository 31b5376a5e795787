"""Where the data folder is, and writing a file whole or not at all."""

from __future__ import annotations

import contextlib
import os
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
