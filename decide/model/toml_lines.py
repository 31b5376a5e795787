"""Line numbers of the headers and keys of a TOML text, which the standard reader does not give."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any, Final

MOST_DEPTH: Final = 40
_HEADER = re.compile(r"^\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(?:#.*)?$")
_KEY = re.compile(
    r"""^\s*((?:[A-Za-z0-9_\-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_\-]+|"[^"]*"|'[^']*'))*)\s*="""
)


def too_deep(text: str) -> bool:
    """Whether brackets are nested deeper than any honest file nests them (strings are not looked into)."""
    depth = 0
    for char in text:
        if char in "[{":
            depth += 1
            if depth > MOST_DEPTH:
                return True
        elif char in "]}":
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
        for position, line in enumerate(text.splitlines(), start=1):
            if fence:
                if line.count(fence) % 2:
                    fence = ""
                continue
            if depth == 0:
                header = _HEADER.match(line)
                if header:
                    names = _names(header[2])
                    here = self._inside(names[:-1], counts)
                    last = (*here, names[-1])
                    if header[1] == "[[":
                        counts[last] = counts.get(last, -1) + 1
                        last = (*last, counts[last])
                    here = last
                    self.at.setdefault(here, position)
                    continue
                key = _KEY.match(line)
                if key:
                    self.at.setdefault((*here, *_names(key[1])), position)
            for mark in ('"""', "'''"):
                if line.count(mark) % 2:
                    fence = mark
            if not fence:
                bare = re.sub(r'"(?:\\.|[^"\\])*"|\'[^\']*\'', "", line).split("#", 1)[0]
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
