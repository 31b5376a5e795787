"""Where on this machine the knowledge is kept as it was read, so that the next command starts at once."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Final

# Names another folder, or with "no" none at all.
VARIABLE: Final = "DECIDE_KEPT"


def kept_folder() -> Path | None:
    """The folder in the user's own place for what can be made again; None where the user wants none, or has
    no such place.
    """
    told = os.environ.get(VARIABLE, "")
    if told:
        return None if told == "no" else Path(told)
    place = _place()
    return place / "decide" if place is not None and place.is_absolute() else None


def _place() -> Path | None:
    try:
        if sys.platform == "win32":
            local = os.environ.get("LOCALAPPDATA", "")
            return Path(local) if local else None
        if sys.platform == "darwin":
            return Path.home() / "Library" / "Caches"
        told = os.environ.get("XDG_CACHE_HOME", "")
        return Path(told) if told else Path.home() / ".cache"
    except RuntimeError:  # a user without a home
        return None
