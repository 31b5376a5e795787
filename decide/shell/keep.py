"""Keeps the answers on disk: after each one, by a temporary file and a rename, so that nothing is lost
half written.
"""

from __future__ import annotations

import datetime as dt
import json
import os
import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

from decide.model.errors import DecideError
from decide.model.files import write_whole

MOST_BYTES: Final = 1_000_000
_MOST_ASIDE: Final = 1000
_QUOTED: Final = re.compile(r"""(["'])(?:\\.|(?!\1).)*\1""")


class KeepError(DecideError):
    """A file of answers that cannot be read or written."""


def state_file(env: Mapping[str, str]) -> Path:
    """The file in the user's state folder that holds the talk where no other file is named."""
    base = env.get("XDG_STATE_HOME", "")
    folder = (
        Path(base)
        if base and os.path.isabs(base)
        else Path(env.get("HOME") or os.path.expanduser("~")) / ".local" / "state"
    )
    return folder / "decide" / "talk.json"


class Keeper:
    """The file of one talk."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def load(self) -> dict[str, Any]:
        """The answers kept there; {} where there are none; KeepError where the file cannot be read, or holds
        notes that would be lost by writing it.
        """
        answers = load(self.path, must=False)
        if self.path.suffix.lower() == ".toml" and answers and _has_notes(self.path):
            raise KeepError(
                "it holds notes (#) that would be lost",
                where=str(self.path),
                instead=f"Write decide {self.path} to go on from it and leave it as it is",
            )
        return answers

    def save(self, answers: Mapping[str, Any]) -> None:
        """Writes the answers; KeepError where that fails."""
        _write(self.path, as_text(answers, self.path.suffix))

    def save_as(self, name: str, answers: Mapping[str, Any], over: bool = False) -> Path:
        """Writes a copy under a name that the person gives; over a file that is there only where told so."""
        path = Path(name).expanduser()
        if path.suffix.lower() not in (".toml", ".json"):
            path = path.with_name(path.name + ".toml")
        if not over and (path.exists() or path.is_symlink()):
            raise KeepError("there is already such a file", where=str(path), instead="Choose another name")
        _write(path, as_text(answers, path.suffix.lower()))
        return path

    def set_aside(self, unless: Mapping[str, Any] | None = None) -> Path | None:
        """Moves the kept talk to a file of its own beside it, so that a new one can start, unless it holds
        just these answers; the place it went to.
        """
        if not self.path.exists() or (unless is not None and self._holds(unless)):
            return None
        names = (self.path.stem + "-before" + (f"-{at}" if at > 1 else "") for at in range(1, _MOST_ASIDE))
        places = (self.path.with_name(name + self.path.suffix) for name in names)
        aside = next((place for place in places if not place.exists()), None)
        if aside is None:
            raise KeepError(
                "too many talks are put aside there", where=str(self.path.parent), instead="Move some away"
            )
        try:
            os.replace(self.path, aside)
        except OSError as error:
            raise KeepError(
                f"it cannot be moved aside: {_said(error)}", where=str(self.path), instead="Name another file"
            ) from None
        return aside

    def _holds(self, answers: Mapping[str, Any]) -> bool:
        try:
            return load(self.path) == answers
        except KeepError:
            return False


def load(path: Path, must: bool = True) -> dict[str, Any]:
    """The answers in a file; KeepError where it cannot be read, or is not there though it must be."""
    try:
        raw = path.read_bytes() if must or path.exists() else b""
    except OSError as error:
        raise KeepError(
            f"it cannot be read: {_said(error)}", where=str(path), instead="Name another file"
        ) from None
    if len(raw) > MOST_BYTES:
        raise KeepError("it is far too large for a talk", where=str(path), instead="Name another file")
    if not raw.strip():
        return {}
    try:
        text = raw.decode("utf-8-sig")
        found = json.loads(text) if text.lstrip().startswith("{") else tomllib.loads(text)
    except (ValueError, RecursionError):
        raise KeepError(
            "it holds no answers that can be read",
            where=str(path),
            instead="Move it away, or name another file",
        ) from None
    if not isinstance(found, dict):
        raise KeepError("it holds no table of answers", where=str(path), instead="Name another file")
    return {key: _plain(value) for key, value in found.items()}


def _has_notes(path: Path) -> bool:
    """Whether a file of TOML has notes, which stand after "#"."""
    return "#" in _QUOTED.sub("", path.read_text(encoding="utf-8-sig"))


def _said(error: OSError) -> str:
    return (error.strerror or "unknown trouble").lower()


def _plain(value: Any) -> Any:
    if isinstance(value, (dt.date, dt.datetime, dt.time)):
        return value.isoformat()
    if isinstance(value, dict):
        return {key: _plain(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_plain(inner) for inner in value]
    return value


def _write(path: Path, text: str) -> None:
    target = Path(os.path.realpath(path))
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        write_whole(target, text.encode())
    except OSError as error:
        raise KeepError(
            f"it cannot be written: {_said(error)}",
            where=str(path),
            instead="Name a file in a folder of yours",
        ) from None


def as_text(answers: Mapping[str, Any], suffix: str) -> str:
    """The answers as the text of a situation file, TOML where the suffix says so, else JSON."""
    if suffix == ".toml":
        # Not at the head: a talk that is kept as JSON does without it.
        import tomlkit

        return tomlkit.dumps(answers)
    return json.dumps(answers, ensure_ascii=False, indent=1, allow_nan=False) + "\n"
