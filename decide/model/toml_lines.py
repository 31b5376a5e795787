"""The tables of a TOML text within bounds, and the line numbers of its headers and keys, which the standard
reader does not give.
"""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from collections.abc import Iterable, Mapping
from typing import Any, Final

MOST_DEPTH: Final = 40
_MOST_PARTS: Final = 12
# No expression here may try a letter twice: a line may have a million of them.
_HEADER = re.compile(r"^\s*(\[\[?)([^\[\]]+)\]\]?\s*(?:#.*)?$")
_NAME: Final = r"""(?:[A-Za-z0-9_\-]+|"[^"\n]*"|'[^'\n]*')"""
_KEY = re.compile(rf"^\s*+({_NAME}(?:\s*+\.\s*+{_NAME})*+)\s*+=")
_QUOTED = re.compile(r""""(?:[^"\\]|\\.)*+"?|'[^']*+'?|(#.*)""")
_BRACKET = re.compile(r"[\[\]{}]")
_LONG_NAME = re.compile(rf"(?<![\w\-])(?:{_NAME}\s*+\.\s*+){{{_MOST_PARTS},}}")
# Whole numbers of this many digits are none that anybody measured, and cost more than they say.
_HUGE = re.compile(r"(?<![\w.])[+\-]?(?:0[xob])?[0-9A-Fa-f][0-9A-Fa-f_]{399,}")


class TomlError(ValueError):
    """A text that is no TOML, or none that is read: `said` is what is wrong, `line` where (0: not known)."""

    def __init__(self, said: str, line: int = 0) -> None:
        super().__init__(said)
        self.said, self.line = said, line


def toml_table(text: str) -> dict[str, Any]:
    """The tables of a TOML text; TomlError where there are none, or names, brackets or numbers go beyond what
    any honest file writes.
    """
    if too_deep(text):
        raise TomlError("the brackets are nested too deeply")
    for number, line in enumerate(text.split("\n"), start=1):
        if line.count(".") >= _MOST_PARTS and _LONG_NAME.search(line):
            raise TomlError("a name has too many parts between dots", number)
        if len(line) >= _LONG_LINE and _HUGE.search(_QUOTED.sub('""', line)):
            raise TomlError("a number has too many digits", number)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        place = re.search(r"line (\d+)", str(error))
        said = re.sub(r"\s*\(at [^)]*\)$", "", str(error))
        raise TomlError(said, int(place[1]) if place else 0) from None
    except (ValueError, RecursionError, OverflowError) as error:
        raise TomlError(str(error)) from None


_LONG_LINE: Final = 400


def plain_tables(tables: Mapping[str, Any]) -> dict[str, Any]:
    """Tables with days and times of day as text, as an answer tells them."""
    return {key: _plain(value) for key, value in tables.items()}


def _plain(value: Any) -> Any:
    if isinstance(value, (dt.date, dt.datetime, dt.time)):
        return value.isoformat()
    if isinstance(value, dict):
        return plain_tables(value)
    if isinstance(value, list):
        return [_plain(inner) for inner in value]
    return value


def too_deep(text: str) -> bool:
    """Whether brackets are nested deeper than any honest file nests them (strings are not looked into)."""
    depth = 0
    for bracket in _BRACKET.finditer(text):
        if bracket[0] in "[{":
            depth += 1
            if depth > MOST_DEPTH:
                return True
        else:
            depth = max(0, depth - 1)
    return False


def _names(dotted: str) -> list[str]:
    return [part.strip().strip("\"'") for part in re.findall(r"""[A-Za-z0-9_\-]+|"[^"]*"|'[^']*'""", dotted)]


class Lines:
    """Where each header and key of a TOML text stands; paths are tuples of names and list positions
    from 0.
    """

    def __init__(self, text: str) -> None:
        self.at: dict[tuple[Any, ...], int] = {}
        counts: dict[tuple[Any, ...], int] = {}
        here: tuple[Any, ...] = ()
        fence = ""
        depth = 0
        for position, line in enumerate(text.split("\n"), start=1):
            if fence:
                if line.count(fence) % 2:
                    fence = ""
                continue
            header = _HEADER.match(line) if depth == 0 else None
            names = _names(header[2]) if header else []
            if header and names:
                here = self._inside(names[:-1], counts)
                last = (*here, names[-1])
                if header[1] == "[[":
                    counts[last] = counts.get(last, -1) + 1
                    last = (*last, counts[last])
                here = last
                self.at.setdefault(here, position)
                continue
            if depth == 0:
                key = _KEY.match(line)
                if key:
                    self.at.setdefault((*here, *_names(key[1])), position)
            for mark in ('"""', "'''"):
                if line.count(mark) % 2:
                    fence = mark
            if not fence:
                bare = _QUOTED.sub("", line)
                if not _HEADER.match(line) or depth:
                    depth = max(
                        0, depth + bare.count("[") + bare.count("{") - bare.count("]") - bare.count("}")
                    )

    def _inside(self, names: Iterable[str], counts: dict[tuple[Any, ...], int]) -> tuple[Any, ...]:
        path: tuple[Any, ...] = ()
        for name in names:
            path = (*path, name)
            if path in counts:
                path = (*path, counts[path])
        return path

    def within(self, name: str) -> Lines:
        """The lines of a table as if it were the whole."""
        inner = Lines("")
        inner.at = {path[1:]: line for path, line in self.at.items() if path[:1] == (name,) and path[1:]}
        return inner

    def find(self, path: Iterable[Any]) -> int:
        """The line of `path`, or of the nearest header above it; 0 where none is known."""
        names = tuple(path)
        while names:
            if names in self.at:
                return self.at[names]
            names = names[:-1]
        return 0
