"""Months as people say them: September to May, all year but July, March and May."""

from __future__ import annotations

import calendar
import datetime as dt
import difflib
import re
from typing import Final

from decide.parse.plain import fold
from decide.parse.results import (
    AskBack,
    NotUnderstood,
    Reading,
    Result,
    Setting,
    Understood,
)

MONTH_CODES: Final = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


_NAMES: Final = tuple(name.casefold() for name in calendar.month_name[1:])


SEASONS: Final = {
    "spring": 3,
    "summer": 6,
    "autumn": 9,
    "fall": 9,
    "winter": 12,
}  # first month, northern half


# A season of which only the end is told has so many months.
_LENGTHS: Final = range(10, 2, -1)


_WHOLE_YEAR: Final = (
    r"(?:all|the whole|whole|the entire|entire|throughout|all through|through)[ -](?:of )?(?:the )?year"
    r"(?:[ -]?(?:round|long))?|year[ -]?(?:round|long)|"
    r"(?:every|each) month|all (?:of them|the months|months)|(?:all )?(?:12|twelve) months|(?:all )?52 weeks"
    r"|every week of the year"
)


_NAME: Final = "(?:" + "|".join(f"{name}|{name[:3]}" for name in _NAMES) + "|sept)"


_RUN: Final = rf"{_NAME}\.?\s*(?:-|to|until|till|through|thru)\s*{_NAME}\b\.?"


_BUT: Final = (
    rf"(?:\s*,?\s*(?:but(?: not)?|except(?: for)?|apart from|without)\s+{_NAME}\b"
    rf"(?:(?:\s*,\s*|\s+and\s+|\s*&\s*){_NAME}\b)*)"
)


# Months inside a longer sentence: all year, with what is left out, or one or more runs of months.
MONTHS_INSIDE: Final = re.compile(
    rf"\b(?:(?:{_WHOLE_YEAR})(?: of the year| a year)?\b{_BUT}?"
    rf"|{_RUN}(?:(?:\s*,\s*|\s+and\s+|\s*&\s*)(?:from\s+)?{_RUN})*)",
    re.IGNORECASE,
)


_MONTH_NOISE: Final = re.compile(
    r"\b(?:in|during|the|months?(?: of)?|we play|they play|played|mostly|only|just|about|it's|season is"
    r"|season)\b"
)


_MONTH_HELP: Final = 'Name the months, such as September to May, or all year but July; or "don\'t know".'


def say_day(day: dt.date) -> str:
    """A date in words: 12 June 2026."""
    # Not by the library that words dates elsewhere: it is slow to import, and the talk says today's date
    # first of all.
    return f"{day.day} {calendar.month_name[day.month]} {day.year}"


def month_number(word: str) -> int | None:
    """1 to 12 for the name of a month, its short form or a near spelling; None for anything else."""
    name = word.strip(".").casefold()
    if name in ("sept",):
        return 9
    if len(name) >= 3:
        for number, full in enumerate(_NAMES, 1):
            if name == full or name == full[:3]:
                return number
    if len(name) >= 5:
        close = difflib.get_close_matches(name, _NAMES, n=1, cutoff=0.8)
        if close:
            return _NAMES.index(close[0]) + 1
    return None


def season_month(season: str, hemisphere: str) -> int:
    """The first month of a season (three whole months each) in a half of the earth."""
    first = SEASONS[season]
    return first if hemisphere == "north" else (first + 5) % 12 + 1


def read_months(text: str, setting: Setting) -> Result:
    """A list of months, as codes jan … dec in the order of the calendar."""
    said = re.sub(r"[.!?]+$", "", fold(text)).strip()
    said = re.sub(rf"\b(?:{_WHOLE_YEAR}|all through)(?: of the year| a year)?\b", " all ", said)
    said = _MONTH_NOISE.sub(" ", said)
    said = " ".join(said.split()).strip(" ,;")
    if said in ("none", "never", "no", "nothing", "not at all"):
        return Understood([])
    halves = re.split(r"\b(?:but(?: not)?|except(?: for)?|apart from|without|minus|not|excluding)\b", said)
    if len(halves) > 2:
        return NotUnderstood(_MONTH_HELP)
    base = _month_set(halves[0].strip(" ,;") or ("all" if len(halves) == 2 else ""), setting)
    if base is None:
        return NotUnderstood("I do not see months in that. " + _MONTH_HELP)
    kept = base
    if len(halves) == 2:
        gone = _month_set(halves[1].strip(" ,;"), setting)
        if gone is None:
            return NotUnderstood("I do not see which months are left out. " + _MONTH_HELP)
        if isinstance(gone, str) or isinstance(kept, str):
            return NotUnderstood(
                "Which half of the earth is that? Name the months instead, such as September to May."
            )
        kept = kept - gone
    if isinstance(kept, str):
        both = [(half, _month_set(said, Setting(setting.today, half))) for half in ("north", "south")]
        return AskBack(
            "Which months are meant?",
            tuple(
                Reading(f"{say_months(codes)} ({half}ern half of the earth)", codes)
                for half, found in both
                if isinstance(found, set)
                for codes in [[MONTH_CODES[m - 1] for m in sorted(found)]]
            ),
        )
    return Understood([MONTH_CODES[month - 1] for month in sorted(kept)])


def _month_set(said: str, setting: Setting) -> set[int] | str | None:
    """The months of a phrase; "half" where they turn on the half of the earth; None where it is not
    understood.
    """
    said = re.sub(r"\bbetween ([a-z]+) and ([a-z]+)\b", r"\1 to \2", said)
    out: set[int] = set()
    unsure = False
    pieces = [piece.strip() for piece in re.split(r",|;|&|\+|/|\band\b", said)]
    pieces = [piece for piece in pieces if piece]
    if not pieces:
        return None
    for piece in pieces:
        run = re.fullmatch(
            r"(?:from )?(?:early |mid |late |end of |start of )?([a-z]+)\.?\s*"
            r"(?:-|to|until|till|through|thru|up to)\s*(?:early |mid |late |end of |start of )?"
            r"([a-z]+)\.?",
            piece,
        )
        if piece == "all":
            out |= set(range(1, 13))
            continue
        if run:
            first, last = month_number(run[1]), month_number(run[2])
            if first is None or last is None:
                return None
            out |= {(first - 1 + step) % 12 + 1 for step in range((last - first) % 12 + 1)}
            continue
        month = month_number(piece)
        if month is not None:
            out.add(month)
            continue
        if piece in SEASONS:
            if setting.hemisphere not in ("north", "south"):
                unsure = True
                continue
            start = season_month(piece, str(setting.hemisphere))
            out |= {(start - 1 + step) % 12 + 1 for step in range(3)}
            continue
        return None
    return "half" if unsure else out


def runs_until(last: int) -> list[list[str]]:
    """The runs of months that may be meant where only the last one (1 to 12) is told, the longest first."""
    runs = ({(last - back - 1) % 12 for back in range(length)} for length in _LENGTHS)
    return [[code for at, code in enumerate(MONTH_CODES) if at in run] for run in runs]


def say_months(codes: list[str]) -> str:
    """Months in words: September to May; all year but July; March and May."""
    present = {MONTH_CODES.index(code) for code in codes}
    names = calendar.month_name
    if len(present) == 12:
        return "all year"
    if not present:
        return "no months"
    gone = sorted(set(range(12)) - present)
    starts = [month for month in range(12) if month in present and (month - 1) % 12 not in present]
    if len(starts) == 1 and len(gone) > 1:
        first, last = starts[0], (starts[0] + len(present) - 1) % 12
        if len(present) > 2:
            return f"{names[first + 1]} to {names[last + 1]}"
    if len(gone) <= 2:
        return "all year but " + " and ".join(names[month + 1] for month in gone)
    row = [names[month + 1] for month in sorted(present)]
    return ", ".join(row[:-1]) + " and " + row[-1] if len(row) > 1 else row[0]
