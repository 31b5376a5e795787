"""Hours of the day as people say them: 7am and 4pm, half eight til about 3, mon to thurs nights 6-9."""

from __future__ import annotations

import re
from typing import Final

from decide.parse.numbers import NumberTrouble, figure, tokens
from decide.parse.vocabulary import said_plainly
from decide.parse.weekdays import CODES

_DAY: Final = r"(?:mon|tue|tues|wed|wednes|thu|thur|thurs|fri|sat|satur|sun)(?:day)?s?"
_HOUR: Final = (
    r"\d{1,2}|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|noon|midday|midnight|lunch"
)
_SIDE: Final = "am|pm|oclock|in the morning|in the evening|at night"


def _time(end: str) -> str:
    return (
        rf"(?P<{end}half>half |half past )?(?P<{end}hour>{_HOUR})(?:[:.](?P<{end}min>\d\d))?"
        rf" ?(?P<{end}side>{_SIDE})?"
    )


_SPAN: Final = re.compile(
    rf"(?<![\w.])(?:from |between )?{_time('a')} ?(?:-|to|til|till|until|and) ?(?:about |around )?"
    rf"{_time('b')}(?![\w%])"
)
_POINT: Final = re.compile(rf"(?<![\w.])(?:at )?{_time('a')}(?![\w%])")
_TIMES: Final = {"once": 1.0, "twice": 2.0}
_ONE: Final = ("an", "another")
_TURN: Final = re.compile(
    rf"(?P<count>once|twice|an|another|half an|{_HOUR}) ?(?P<long>hours?|hrs?|h)?(?: more)?"
    r"(?P<clock> in the)?"
    r"(?: \w+){0,2}? (?:before|after|mornings?|evenings?|night|nights|afternoons?|lunch|noon|dawn|dusk|later)"
    r"(?: \w+){0,3}"
)
_LATE: Final = ("pm", "in the evening", "at night")
_FIXED: Final = {"noon": 12.0, "midday": 12.0, "lunch": 12.0, "midnight": 24.0}


def read_span(text: str) -> float | None:
    """The hours between two times of the day; None where the line names no such span."""
    said = said_plainly(text)
    match = _SPAN.search(said)
    if match is None or not _is_time(match, "a", "b"):
        return None
    start, end = _hour(match, "a"), _hour(match, "b")
    if start is None or end is None:
        return None
    if not match["aside"] and not match["bside"]:
        # Without am and pm the shorter way round the clock is meant.
        return (end - start) % 12 or 12.0
    if match["bside"] and not match["aside"] and match["bside"] in _LATE and start + 12 < end:
        start += 12
    return (end - start) % 24 or 24.0


def _is_time(match: re.Match[str], *ends: str) -> bool:
    """Whether some end of a span is plainly a time of the day."""
    return any(
        match[f"{end}side"] or match[f"{end}half"] or match[f"{end}min"] or match[f"{end}hour"] in _FIXED
        for end in ends
    )


def times_named(text: str) -> int:
    """How many times of the day a line names: 2 for "7am and 4pm"."""
    return sum(1 for match in _POINT.finditer(said_plainly(text)) if match["aside"] not in (None, "oclock"))


def hours_in_turns(text: str) -> float | None:
    """The hours of two or more turns of a day together: 2 for "an hour before school and one after"; None
    where the line tells no such turns, or no hours of them.
    """
    turns = _turns(text)
    if not any(turn["long"] for turn in turns) or any(turn["count"] in _TIMES for turn in turns):
        return None
    return sum(_count(turn) for turn in turns)


def times_in_turns(text: str) -> float | None:
    """How often in two or more turns of a day: 3 for "once before work and twice after", 2 for "an hour
    before school and one after"; None where the line tells no such turns.
    """
    turns = _turns(text)
    long = any(turn["long"] for turn in turns)
    return sum(1.0 if long or turn["clock"] else _count(turn) for turn in turns) if turns else None


def _turns(text: str) -> list[re.Match[str]]:
    """The turns of the day that a line is made of; none where it is one alone, or holds anything else."""
    pieces = [
        piece.strip() for piece in re.split(r",|;|\band\b|\bplus\b", said_plainly(text)) if piece.strip()
    ]
    turns = [match for match in map(_TURN.fullmatch, pieces) if match is not None]
    return turns if len(turns) == len(pieces) > 1 else []


def _count(turn: re.Match[str]) -> float:
    if turn["count"] in _ONE:
        return 1.0
    found = None if turn["count"] in _TIMES else figure(tokens(turn["count"]), 0)
    return _TIMES.get(turn["count"], 1.0) if found is None else found[0][0]


def _hour(match: re.Match[str], end: str) -> float | None:
    name = match[f"{end}hour"]
    if name in _FIXED:
        return _FIXED[name]
    try:
        found = figure(tokens(name), 0)
    except NumberTrouble:
        return None
    if found is None or found[0][0] > 24:
        return None
    hour = found[0][0] + (0.5 if match[f"{end}half"] else int(match[f"{end}min"] or 0) / 60)
    side = match[f"{end}side"] or ""
    if side in _LATE and hour < 12:
        return hour + 12
    return 0.0 + hour % 12 if side in ("am", "in the morning") and hour >= 12 else hour


def days_named(text: str) -> int:
    """How many days of the week a line names, a run of them too: 4 for "mon to thurs"."""
    said = said_plainly(text)
    run = re.search(rf"\b({_DAY}) ?(?:-|to|til|till|until|through|thru) ?({_DAY})\b", said)
    if run is not None:
        first, last = (CODES.index(day[:3]) for day in (run[1], run[2]))
        return (last - first) % 7 + 1
    return len({day[:3] for day in re.findall(rf"\b{_DAY}\b", said)})
