"""Errors that say what was wrong, where, and what to write instead."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Sequence
from typing import Final

from decide.model.words import printable

# shorter words stand inside too many names to tell which one is meant
_SHORTEST_PART: Final = 4
_MOST_NAMES: Final = 12
_LONGEST_LINE: Final = 600


class DecideError(Exception):
    """Base of every error that a person may see.

    `where` names the file and line, or the key, or the answer; `wrong` says what is wrong with it; `instead`
    says what would do. `str()` joins the three into one message.
    """

    def __init__(self, wrong: str, *, where: str = "", instead: str = "") -> None:
        self.where = _shown(where)
        self.wrong = _shown(wrong)
        self.instead = _shown(instead)
        super().__init__(self.wrong, self.where, self.instead)

    def __str__(self) -> str:
        head = f"{self.where}: {self.wrong}" if self.where else self.wrong
        return f"{head}. {self.instead}" if self.instead else head


class KnowledgeError(DecideError):
    """A mistake in the knowledge folder."""


class SituationError(DecideError):
    """A situation that cannot be read, or that contradicts itself.

    `problems` holds each single thing that is wrong, in the order of the keys; one alone holds itself.
    """

    def __init__(
        self, wrong: str, *, where: str = "", instead: str = "", problems: Sequence[SituationError] = ()
    ) -> None:
        super().__init__(wrong, where=where, instead=instead)
        self._problems = tuple(problems)

    @property
    def problems(self) -> tuple[SituationError, ...]:
        """Each single thing that is wrong."""
        return self._problems or (self,)


class EngineError(DecideError):
    """The two engines differ, or an engine refused its input."""


def _shown(text: str) -> str:
    """What an error quotes, in lines that a terminal shows as they are: a file may have been made to hurt."""
    if len(text) <= _LONGEST_LINE and text.isprintable():
        return text
    return "\n".join(
        line if len(line) <= _LONGEST_LINE else f"{line[:_LONGEST_LINE]}…"
        for line in map(printable, text.split("\n"))
    )


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word most like `word`, or "" where none is near."""
    names = sorted(set(known))
    close = difflib.get_close_matches(word, names, n=1, cutoff=0.6)
    if close:
        return close[0]
    inside = [name for name in names if len(word) >= _SHORTEST_PART and (word in name or name in word)]
    return min(inside, key=len) if inside else ""


def meant(word: str, known: Iterable[str]) -> str:
    """A sentence that offers the nearest known word, or lists what is known where it is short."""
    names = sorted(set(known))
    # A name that holds the word whole is likelier meant than one that is only spelled alike.
    whole = sorted((name for name in names if word in re.split(r"[-_ ]", name)), key=len)[:4]
    if whole:
        return "Write " + " or ".join(map(repr, sorted(whole))) + "?"
    close = nearest(word, names)
    if close:
        return f"Write {close!r}?"
    if len(names) <= _MOST_NAMES:
        return "Write one of: " + ", ".join(names)
    return ""
