"""Reading how many people: 3 dads and me; four, not counting me; everyone bar four of the twenty."""

from __future__ import annotations

import re
from typing import Final

from decide.parse import numbers
from decide.parse.numbers import NumberTrouble
from decide.parse.quantities import one_of, whole
from decide.parse.results import NotUnderstood, Result, Setting, Understood
from decide.parse.vocabulary import any_of, phrases, rows, said_plainly

_WRITE: Final = "Write a whole number, such as 3."
_NUMBER: Final = r"(?:\d+|[a-z]+(?: ?- ?[a-z]+)?)"


def read_people(text: str, setting: Setting) -> Result:
    """A whole number of people, the person too where they count themselves."""
    talk, said = rows(setting, "people"), said_plainly(text)
    if said in phrases(setting, "nobody"):
        return Understood(0)
    if said in talk.get("alone", ()):
        return Understood(1)
    bar = re.search(
        rf"\b(?:{talk.get('but', '(?!)')}) ({_NUMBER})(?: of (?:the |our |us )?({_NUMBER}))?", said
    )
    if bar is not None and re.match(rf"(?:{talk.get('all', '(?!)')})\b", said):
        left_out, of = _figure(bar[1]), _figure(bar[2] or "")
        if left_out is not None and of is not None and of > left_out:
            return Understood(int(of - left_out))
        return NotUnderstood(_WRITE)
    said = re.sub(
        rf"[ ,]+(?:plus|and|maybe|with)\b(?:(?!\b(?:and|plus)\b)[^,])*\b{talk.get('perhaps', '(?!)')}\b.*",
        "",
        said,
    )
    strict = _strictly(said, talk.get("around", "(?!)"), setting)
    if strict is not None:
        return strict
    more = bool(any_of((talk.get("without-me", r"(?!)"),)).search(said))
    said = any_of((talk.get("without-me", r"(?!)"),)).sub(" ", said)
    said = re.sub(rf"\b(?:{talk.get('ages', '(?!)')})", " ", said)
    one = rf"(?:{talk.get('one', '(?!)')})\b(?! (?:{talk.get('no-count', '(?!)')})\b)"
    counted = _counted(said, talk.get("me", "(?!)"), one, talk.get("nobody", "(?!)"))
    if counted is None:
        raise NumberTrouble(_WRITE)
    low, high = (value + more for value in counted)
    if low != int(low):
        return NotUnderstood(_WRITE)
    return one_of([low] if low == high else [low, high], "count", ends=True)


def _strictly(said: str, around: str, setting: Setting) -> Result | None:
    """The number or range that is all of a line but for the words for people; None where more is said."""
    try:
        low, high = whole(numbers.tokens(re.sub(rf"\b(?:{around})\b", " ", said)), setting)
    except NumberTrouble:
        return None
    values = [value for one in (low, high) if one is not None for value in one.values]
    if low.unit or any(value != int(value) for value in values):
        return NotUnderstood(_WRITE)
    return one_of(values, "count", ends=high is not None)


def _counted(said: str, me: str, one: str, nobody: str) -> tuple[float, float] | None:
    """The sum of the people in the pieces of a line, at least and at most; None where no piece counts any."""
    total: tuple[float, float] | None = None
    for piece in re.split(r",(?!\d{3})|;|\.\s|\+|&|\band\b|\bplus\b|\bwith\b", said):
        found = _piece(piece.strip(), me, one, nobody)
        if found is None:
            if total is None and piece.strip():
                return None
            continue
        total = found if total is None else (total[0] + found[0], total[1] + found[1])
    return total


def _piece(piece: str, me: str, one: str, nobody: str) -> tuple[float, float] | None:
    if re.search(rf"\b(?:{nobody})\b", piece):
        return 0, 0
    said = re.sub(r"\bor\b", "-", piece)
    row = [token for token in numbers.tokens(said) if token.kind in ("number", "word", "sign")]
    if row and row[0].text == "-":
        return None
    for at, token in enumerate(row):
        if token.kind == "word" and re.fullmatch("a|an|my|the|half|second|third", token.text):
            continue
        span = numbers.span(row[at:])
        if span is not None:
            low, high, _ = span
            if low.unit or len(low.values) > 1:
                return None
            ends = (low.values[0], high.values[0] if high is not None else low.values[0])
            return (min(ends), max(ends))
    if re.search(rf"\b(?:{me})\b", piece) or re.search(rf"\b(?:{one})\b", piece):
        return 1, 1
    return None


def _figure(text: str) -> float | None:
    row = numbers.tokens(text)
    found = numbers.figure(row, 0)
    return found[0][0] if found is not None and found[1] == len(row) else None
