"""What people say round an amount: that it is not so much, that it once was, that it is about so."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any, Final

from decide.parse import numbers
from decide.parse.mending import clauses
from decide.parse.plain import fold
from decide.parse.results import Result, Setting, Understood
from decide.parse.vocabulary import any_of, found, rows, said_plainly

_NEVER: Final = r"(?!)"


def without_asides(text: str, setting: Setting) -> str:
    """A line without the words that leave its amount as it is: "give or take", "not more than"."""
    plain = re.sub(r"(?<=\d)[ -]?ish\b", "", fold(text))
    for pattern in _table(setting).get("passed-over", ()):
        plain = any_of((pattern,)).sub(" ", plain)
    return " ".join(plain.split()).strip(" ,;") or text


def in_metres(text: str, setting: Setting, read: Callable[[str], Result]) -> Result:
    """What `read` makes of a line in which paces stand as metres; a length that was paced is said so."""
    table = _table(setting)
    paced = re.compile(rf"\b(?P<count>[\w.]+) {table.get('paces', _NEVER)}\b")

    def metres(match: re.Match[str]) -> str:
        count = numbers.figure(numbers.tokens(match["count"]), 0)
        return match[0] if count is None else f"{numbers.tidy(count[0][0] * table['pace-m'])} m"

    try:
        plain = paced.sub(metres, fold(text))
    except numbers.NumberTrouble:
        return read(text)
    result = read(plain)
    if plain == fold(text) or not isinstance(result, Understood):
        return result
    return replace(result, note=result.note or table["pace-note"])


def is_denied(clause: str, setting: Setting) -> bool:
    """Whether a clause says that its amount is not the one: "not 90 percent yet"."""
    return found(_table(setting).get("denied", _NEVER), said_plainly(clause)) is not None


def still_said(text: str, setting: Setting) -> str | None:
    """The clauses of a line that tell an amount of now; the whole line where all of them do, None where
    there is none.
    """
    pieces = clauses(text)
    past = _table(setting).get("past", _NEVER)
    kept = [one for one in pieces if not is_denied(one, setting)]
    now = [one for one in kept if not found(past, said_plainly(one))]
    if not kept:
        return None
    if not any(map(_has_amount, now)):
        now = kept
    return text if len(now) == len(pieces) else ", ".join(now)


def _has_amount(clause: str) -> bool:
    """Whether a clause holds a number, in figures or in words."""
    try:
        row = numbers.tokens(clause)
        return any(numbers.figure(row, at) is not None for at in range(len(row)))
    except numbers.NumberTrouble:
        return False


def ask_how_much(setting: Setting) -> str:
    """What is asked back where an amount is only denied."""
    return str(_table(setting).get("back", ""))


def _table(setting: Setting) -> Any:
    return rows(setting, "amounts")
