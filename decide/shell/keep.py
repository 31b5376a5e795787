"""Keeps the answers on disk: after each one, by a temporary file and a rename, so that nothing is lost
half written.
"""

from __future__ import annotations

import copy
import json
import math
import os
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from typing import Any, Final

from decide.model.errors import DecideError
from decide.model.files import plain_bytes, write_whole
from decide.model.toml_lines import plain_tables, toml_table, too_deep
from decide.parse.results import DONT_KNOW
from decide.shell import table

MOST_BYTES: Final = 1_000_000
_MOST_ASIDE: Final = 1000
# A whole number that is longer is none that a field has, and overflows where it is divided.
_MOST_BITS: Final = 256
# Tables of which a field has several.
_LISTS: Final = ("use", "zone", "offer", "proposal", "ongoing", "done", "check", "seen")


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
    """The file of one talk, and the hand-written file that it went on from.

    Of a file of TOML all stays that no answer changes: notes, order, layout. A file into which somebody else
    wrote since is left as it is, and the answers go on beside it.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self._written: str | None = None
        self._told: tuple[str, dict[str, Any]] | None = None

    def load(self) -> dict[str, Any]:
        """The answers kept there; {} where there are none; KeepError where the file cannot be read."""
        text = _text(self.path, must=False)
        answers = _answers(text, self.path)
        self._written = _digest(text) if self.path.exists() else None
        self.go_on_from(text, answers)
        return answers

    def go_on_from(self, text: str, answers: Mapping[str, Any]) -> None:
        """Hold the layout of a file of TOML whose answers the talk goes on from."""
        self._told = None if not text.strip() or _is_json(text) else (text, copy.deepcopy(dict(answers)))

    def stays_beside(self, answers: Mapping[str, Any]) -> None:
        """Let stand what the hand-written file tells beside these answers."""
        if self._told is not None:
            self.go_on_from(self._told[0], answers)

    def save(self, answers: Mapping[str, Any]) -> str:
        """Writes the answers, and gives what has to be said of it, mostly nothing; KeepError where that
        fails.
        """
        said = self._beside() if self._changed_by_another(answers) else ""
        text = self._as_text(answers, self.path.suffix.lower())
        if text is None:
            aside = self.set_aside()
            text = as_text(answers, ".toml")
            said += f" The file as it was is in {aside}: its notes could not be kept where so much changed."
        _write(self.path, text)
        self._written = _digest(text)
        if self.path.suffix.lower() == ".toml":
            self.go_on_from(text, answers)
        return said.strip()

    def _as_text(self, answers: Mapping[str, Any], suffix: str) -> str | None:
        if suffix != ".toml" or self._told is None:
            return as_text(answers, suffix)
        from decide.shell.layout import changed_text

        return changed_text(*self._told, answers)

    def _changed_by_another(self, answers: Mapping[str, Any]) -> bool:
        """Whether the file holds neither what this talk read or wrote, nor what it would write."""
        if not self.path.exists():
            return False
        text = _text(self.path)
        return bool(text.strip()) and _digest(text) != self._written and not self._holds(answers)

    def _beside(self) -> str:
        old, self.path = self.path, _free(self.path, "beside")
        self._written = None
        return (
            f"Another talk has written into {old} since. It is left as it is, and your answers are kept in "
            f"{self.path}."
        )

    def save_as(self, name: str, answers: Mapping[str, Any], over: bool = False) -> Path:
        """Writes a copy under a name that the person gives; over a file that is there only where told so."""
        path = Path(name).expanduser()
        if path.suffix.lower() not in (".toml", ".json"):
            path = path.with_name(path.name + ".toml")
        if not over and (path.exists() or path.is_symlink()):
            raise KeepError("there is already such a file", where=str(path), instead="Choose another name")
        text = self._as_text(answers, path.suffix.lower())
        _write(path, as_text(answers, ".toml") if text is None else text)
        return path

    def set_aside(self, unless: Mapping[str, Any] | None = None) -> Path | None:
        """Moves the kept talk to a file of its own beside it, so that a new one can start, unless it holds
        just these answers; the place it went to.
        """
        if not self.path.exists() or (unless is not None and self._holds(unless)):
            return None
        aside = _free(self.path, "before")
        try:
            os.replace(self.path, aside)
        except OSError as error:
            raise KeepError(
                f"it cannot be moved aside: {_said(error)}", where=str(self.path), instead="Name another file"
            ) from None
        self._told = None
        return aside

    def _holds(self, answers: Mapping[str, Any]) -> bool:
        try:
            return load(self.path) == answers
        except KeepError:
            return False


def _free(path: Path, word: str) -> Path:
    """A name beside a file that none has yet."""
    names = (path.stem + f"-{word}" + (f"-{at}" if at > 1 else "") for at in range(1, _MOST_ASIDE))
    places = (path.with_name(name + path.suffix) for name in names)
    free = next((place for place in places if not os.path.lexists(place)), None)
    if free is None:
        raise KeepError(
            "too many talks are put aside there", where=str(path.parent), instead="Move some away"
        )
    return free


def load(path: Path, must: bool = True) -> dict[str, Any]:
    """The answers in a file; KeepError where it cannot be read, or is not there though it must be."""
    return _answers(_text(path, must), path)


def load_with_text(path: Path) -> tuple[str, dict[str, Any]]:
    """The text of a file that must be there, and the answers in it."""
    text = _text(path)
    return text, _answers(text, path)


def _text(path: Path, must: bool = True) -> str:
    try:
        raw = plain_bytes(path, MOST_BYTES) if must or path.exists() else b""
    except OSError as error:
        raise KeepError(
            f"it cannot be read: {_said(error)}", where=str(path), instead="Name another file"
        ) from None
    if len(raw) > MOST_BYTES:
        raise KeepError("it is far too large for a talk", where=str(path), instead="Name another file")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _unreadable(path) from None


def _is_json(text: str) -> bool:
    return text.lstrip().startswith("{")


def _answers(text: str, path: Path) -> dict[str, Any]:
    if not text.strip():
        return {}
    try:
        if too_deep(text):
            raise _unreadable(path)
        found = json.loads(text, parse_constant=_no_number) if _is_json(text) else toml_table(text)
    except (ValueError, RecursionError):
        raise _unreadable(path) from None
    if not isinstance(found, dict):
        raise KeepError("it holds no table of answers", where=str(path), instead="Name another file")
    for key, held in found.items():
        if held != DONT_KNOW and (wrong := _wrong(key, held)):
            raise KeepError(wrong, where=str(path), instead="Mend it there, or name another file")
    return plain_tables(found)


def _wrong(key: str, held: Any) -> str:
    """Why what stands under a key cannot be answers; "" where it can."""
    rows = held if isinstance(held, list) else [held]
    if not all(isinstance(row, dict) for row in rows):
        return f"{key} is no table of answers"
    if not _finite(rows):
        return f"{key} holds a number that cannot be used"
    if key in _LISTS and not isinstance(held, list):
        return f"{key} is one table and must be a list of them"
    names = [row.get("name") for row in rows] if key == "zone" else []
    if not all(isinstance(name, str) and name.strip() for name in names):
        return "a part of the field has no name"
    if key == "zone":
        lists = [(f"{key}.{name}", inner) for row in rows for name, inner in row.items()]
    else:
        lists = [(key, held)]
    unnamed = (name for of, inner in lists if (name := table.ROWS.get(of)) and not _has_words(inner, name))
    name = next(unnamed, None)
    return "" if name is None else f"{name} in {key} is no word"


def _has_words(held: Any, name: str) -> bool:
    """Whether each row of a list has a word, or nothing, under the name of what it is about."""
    rows = held if isinstance(held, list) else []
    return all(isinstance(row.get(name, ""), str) for row in rows if isinstance(row, dict))


def _finite(held: Any) -> bool:
    """Whether every number in it is one that can be counted with."""
    if isinstance(held, dict):
        return all(map(_finite, held.values()))
    if isinstance(held, list):
        return all(map(_finite, held))
    if isinstance(held, int):
        return held.bit_length() <= _MOST_BITS
    return not isinstance(held, float) or math.isfinite(held)


def _no_number(word: str) -> float:
    raise ValueError(f"{word} is not a number that can be used")


def _unreadable(path: Path) -> KeepError:
    return KeepError(
        "it holds no answers that can be read", where=str(path), instead="Move it away, or name another file"
    )


def _digest(text: str) -> str:
    return sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def _said(error: OSError) -> str:
    return (error.strerror or "unknown trouble").lower()


def _write(path: Path, text: str) -> None:
    target = Path(os.path.realpath(path))
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        mode = target.stat().st_mode & 0o777 if target.exists() else None
        write_whole(target, text.encode("utf-8", "replace"), mode)
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
