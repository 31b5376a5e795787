"""The words by which people answer, from the tables of the talk: whole phrases, and patterns in a line."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache, lru_cache
from typing import Any, Final

from decide.parse.plain import fold
from decide.parse.results import Setting

ANSWERS: Final = "answers"


def said_plainly(text: str) -> str:
    """A text as the tables write it: small letters, no apostrophes, no mark at its ends."""
    return " ".join(fold(text).replace("'", "").split()).strip(" .,!;:")


@lru_cache(maxsize=4096)
def all_plainly(texts: tuple[str, ...]) -> frozenset[str]:
    """Several texts as the tables write them."""
    return frozenset(map(said_plainly, texts))


def rows(setting: Setting, name: str) -> Any:
    """A table of the answers by its name; empty where there is none."""
    return setting.talk.get(ANSWERS, {}).get(name, {})


def phrases(setting: Setting, name: str) -> frozenset[str]:
    """The whole answers of a table."""
    return _set(tuple(rows(setting, name).get("phrases", ())))


def words_of(setting: Setting, name: str) -> frozenset[str]:
    """The single words of a table."""
    return _set(tuple(str(rows(setting, name).get("words", "")).split()))


def pattern_of(setting: Setting, name: str) -> re.Pattern[str]:
    """What finds any of the patterns of a table in a line that is said plainly."""
    return any_of(tuple(rows(setting, name).get("patterns", ())))


def found(pattern: str, said: str) -> re.Match[str] | None:
    """Where a pattern stands in a line that is said plainly."""
    return any_of((pattern,)).search(said)


@cache
def any_of(patterns: Sequence[str]) -> re.Pattern[str]:
    """One pattern for several; it begins and ends at a word, and finds nothing where there is none."""
    return re.compile(rf"(?<![^\W_])(?:{'|'.join(patterns)})(?![^\W_])" if patterns else r"(?!)")


@cache
def _set(words: tuple[str, ...]) -> frozenset[str]:
    return frozenset(words)
