"""Days that are counted from others: feasts, weeks from a weekday, the weekend after a day that is named."""

from __future__ import annotations

import calendar
import datetime as dt
import re
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from decide.parse import numbers, weekdays
from decide.parse.feasts import day_called, is_feast
from decide.parse.months import month_number, say_day
from decide.parse.results import NotUnderstood, Result, Setting, Understood

_YEARS: Final = re.compile(r"(?P<rest>.+?) (?:of |in )?(?P<year>next year(?:'?s)?|this year(?:'?s)?|20\d\d)")
_SPAN: Final = re.compile(
    r"(?P<n>[a-z0-9]+(?: [a-z]+)?) (?P<unit>days?|weeks?|fortnights?|months?) "
    r"(?P<way>before|after|from|past|on|to) (?!now\b|today\b|next\b)(?P<rest>.+)"
)
_NEXT_TO: Final = re.compile(
    rf"(?:the )?(?:(?:very )?(?P<n>first|next) )?(?P<what>day|week|weekend|{weekdays.WORD}) "
    r"(?P<way>before|after|following) (?P<rest>.+)"
)
_FORTNIGHT: Final = re.compile(rf"(?:this |next |coming )?(?P<d>{weekdays.WORD}) (?P<by>week|fortnight)")
_WEEK: Final = re.compile(
    rf"(?:the )?(?P<count>{weekdays.COUNT_WORD}) week (?:(?:of|in) )?"
    r"(?:(?:this|coming|this coming|next) )?(?P<month>[a-z]+)\.?"
    r"(?: (?P<year>20\d\d))?"
)
_LENGTH: Final = {"day": 1, "week": 7, "fortnight": 14}
Read = Callable[[str, Setting], Result]


def counted(said: str, setting: Setting, read: Read) -> Result | None:
    """A day that is told by another one; None where the words are no such thing. `read` reads the other."""
    return (
        _of_year(said, setting, read)
        or _feast(said, setting)
        or _from_day(said, setting, read)
        or _beside(said, setting, read)
        or _week_on(said, setting)
        or _week_of_month(said, setting)
        or _of_month(said, setting)
    )


def with_year(text: str) -> str:
    """A line without the time of the day, and with a year that is said behind its date joined to it."""
    clock = r"[, ]*\b(?:at |from )?\d{1,2}[.:]\d\d ?(?:am|pm|o'?clock|kick ?-?off|ko|start)\b"
    text = re.sub(clock, "", text)
    return re.sub(r"[,;.]? (?:but |only )?(?:the one )?(?:of )?next year(?:'?s)?\b", " next year", text)


def _taken(day: dt.date) -> Understood:
    return Understood(day.isoformat(), f"I take {say_day(day)}.")


def _of_year(said: str, setting: Setting, read: Read) -> Result | None:
    """A day of the next year, or of this one."""
    match = _YEARS.fullmatch(said)
    if match is None or not re.search(r"[a-z]", match["rest"]) or month_number(match["rest"]) is not None:
        return None
    if match["year"].startswith("20") and not is_feast(match["rest"], setting):
        return None
    year = setting.today.year + ("next" in match["year"])
    first = dt.date(int(match["year"]) if match["year"].startswith("20") else year, 1, 1)
    if first > setting.today:
        setting = replace(setting, today=first, past=False)
    found = read(match["rest"], setting)
    if isinstance(found, Understood) and str(found.value)[:4] != str(first.year):
        return None
    return found if isinstance(found, Understood) else None


def _feast(said: str, setting: Setting) -> Result | None:
    """A feast by its name; asked back where it is one that this country has not, or no country is known."""
    if not is_feast(said, setting):
        return None
    day = day_called(said, setting)
    return NotUnderstood("Which day is that? Say it like this: 5 September.") if day is None else _taken(day)


def _other(words: str, setting: Setting, read: Read) -> dt.date | None:
    found = read(words, setting)
    return dt.date.fromisoformat(str(found.value)) if isinstance(found, Understood) else None


def _from_day(said: str, setting: Setting, read: Read) -> Result | None:
    """So many days or weeks before or after a day that is named: six weeks from this Saturday."""
    match = _SPAN.fullmatch(said)
    if match is None:
        return None
    way, unit = match["way"], match["unit"].removesuffix("s")
    start = _other(match["rest"], setting, read)
    count = 1.0 if match["n"] in ("a", "an") else _number(match["n"])
    if match["n"] in ("the", "first", "next") or (way in ("on", "from", "to") and start is None):
        return None
    if start is None or count is None or count > 400:
        return NotUnderstood("Which day is that? Say it like this: 5 September.")
    sign = -1 if way in ("before", "to") else 1
    if unit == "month":
        return None
    return _taken(start + dt.timedelta(days=round(sign * count * _LENGTH[unit])))


def _number(said: str) -> float | None:
    try:
        row = numbers.tokens(said)
    except numbers.NumberTrouble:
        return None
    found = numbers.figure(row, 0)
    return found[0][0] if found is not None and found[1] == len(row) else None


def _beside(said: str, setting: Setting, read: Read) -> Result | None:
    """The day, weekday, week or weekend next to a day that is named: the first Saturday after Easter."""
    match = _NEXT_TO.fullmatch(said)
    start = _other(match["rest"], setting, read) if match is not None and match["rest"] != "next" else None
    if match is None or start is None:
        return None
    back = match["way"] == "before"
    if match["what"] == "day":
        return _taken(start + dt.timedelta(days=-1 if back else 1))
    if match["what"] == "week":
        monday = start - dt.timedelta(days=start.weekday())
        return _taken(monday + dt.timedelta(days=-7 if back else 7))
    wanted = weekdays.SATURDAY if match["what"] == "weekend" else weekdays.NAMES.index(match["what"])
    if back:
        return _taken(start - dt.timedelta(days=(start.weekday() - wanted) % 7 or 7))
    return _taken(start + dt.timedelta(days=(wanted - start.weekday()) % 7 or 7))


def _week_of_month(said: str, setting: Setting) -> Result | None:
    """A week that is counted in its month: its first day, or its last where the past is meant. The first week
    is that of the first, the last one ends with the month.
    """
    match = _WEEK.fullmatch(said)
    month = month_number(match["month"]) if match is not None else None
    if match is None or month is None:
        return None
    today, count = setting.today, weekdays.count_of(match["count"])
    years = (int(match["year"]),) if match["year"] else (today.year, today.year + (-1 if setting.past else 1))
    for year in years:
        length = calendar.monthrange(year, month)[1]
        day = length - 6 if count < 0 else 7 * count - 6
        if day > length:
            return None
        first, last = dt.date(year, month, day), dt.date(year, month, min(length, day + 6))
        if match["year"] or (first <= today if setting.past else last >= today):
            return _taken(min(last, today) if setting.past else max(first, today))
    return None


def _week_on(said: str, setting: Setting) -> Result | None:
    """A weekday a week or a fortnight later: Saturday fortnight."""
    match = _FORTNIGHT.fullmatch(said)
    if match is None or setting.past or match["by"] == "week":
        return None
    ahead = (weekdays.NAMES.index(match["d"]) - setting.today.weekday()) % 7 or 7
    return _taken(setting.today + dt.timedelta(days=ahead + _LENGTH[match["by"]]))


_MONTH_PART: Final = re.compile(
    r"(?:the |at the )?(?P<part>start|beginning|early|middle|mid|late|end)[- ](?:of |in )?(?:the )?"
    r"(?P<which>next|this|coming)? ?month"
)
_PART_DAY: Final = {"start": 1, "beginning": 1, "early": 5, "middle": 15, "mid": 15, "late": 25}


def _of_month(said: str, setting: Setting) -> Result | None:
    """A part of this month or the next: the end of next month."""
    match = _MONTH_PART.fullmatch(said)
    if match is None or setting.past:
        return None
    first = setting.today.replace(day=1)
    if match["which"] == "next":
        first = (first + dt.timedelta(days=32)).replace(day=1)
    last = (first + dt.timedelta(days=32)).replace(day=1) - dt.timedelta(days=1)
    return _taken(last if match["part"] == "end" else first.replace(day=_PART_DAY[match["part"]]))
