"""What a rule does and reads, by the words it is written in: so much is kept of one that was taken away."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final

UNLESS: Final = "unless"
_FACT: Final = re.compile(r"\b(?:site|zone|sign|option|step)\.[a-z0-9\-]+(?:\.[a-z0-9\-]+)*")
_VALUE: Final = re.compile(r"\bvalue:([a-z0-9][a-z0-9.\-/]*)")


def words_of(then: Mapping[str, Any], conditions: Iterable[str]) -> tuple[str, ...]:
    """What it does, with criterion and grade of a mark, what it concludes, and each condition of it and of
    its exceptions, before each of which UNLESS stands.
    """
    does = [*then, *([f"{then['mark']}/{then.get('grade', '')}"] if "mark" in then else [])]
    return (" ".join(does), str(then.get("conclude", "")), *map(str, conditions))


def words_of_raw(raw: Mapping[str, Any]) -> tuple[str, ...]:
    """The same of a row of a file that nobody has checked; nothing where it is no rule."""
    then, unless = raw.get("then"), raw.get("unless", [])
    rows = [raw, *(unless if isinstance(unless, list) else [])]
    lists = [row.get("when", []) for row in rows if isinstance(row, Mapping)]
    if not isinstance(then, Mapping) or not all(isinstance(each, list) for each in lists):
        return ()
    return words_of(then, parted(lists))


def parted(lists: Iterable[Iterable[str]]) -> Iterator[str]:
    """The conditions of a rule and of its exceptions in a row."""
    for n, each in enumerate(lists):
        yield from each if n == 0 else (UNLESS, *each)


def facts_in(words: Iterable[str]) -> frozenset[str]:
    """The names of facts that stand in some conditions."""
    return frozenset(name for word in words for name in _FACT.findall(word))


def values_in(words: Iterable[str]) -> frozenset[str]:
    """The names of values that stand in some conditions."""
    return frozenset(name for word in words for name in _VALUE.findall(word))
