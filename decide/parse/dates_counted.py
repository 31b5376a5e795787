"""Days that are counted from others: feasts, weeks from a weekday, the weekend after a day that is named."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, Final

from dateutil.easter import EASTER_ORTHODOX, easter

from decide.parse import numbers
from decide.parse.months import month_number, say_day
from decide.parse.results import NotUnderstood, Result, Setting, Understood
from decide.parse.vocabulary import rows

_DAYS: Final = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_WEEKDAY: Final = r"(?:mon|tues|wednes|thurs|fri|satur|sun)day"
_YEARS: Final = re.compile(r"(?P<rest>.+?) (?:of |in )?(?P<year>next year(?:'?s)?|this year(?:'?s)?|20\d\d)")
_SPAN: Final = re.compile(
    r"(?P<n>[a-z0-9]+(?: [a-z]+)?) (?P<unit>days?|weeks?|fortnights?|months?) "
    r"(?P<way>before|after|from|past|on|to) (?!now\b|today\b|next\b)(?P<rest>.+)"
)
_NEXT_TO: Final = re.compile(
    rf"(?:the )?(?:(?:very )?(?P<n>first|next) )?(?P<what>day|week|weekend|{_WEEKDAY}) "
    r"(?P<way>before|after|following) (?P<rest>.+)"
)
_WEEKEND: Final = re.compile(
    r"(?:the )?(?P<n>first|1st|second|2nd|third|3rd|fourth|4th|last) weekend (?:of|in) (?P<m>[a-z]+)"
    r"(?: (?P<year>20\d\d))?"
)
_NTH: Final = {"first": 0, "1st": 0, "second": 1, "2nd": 1, "third": 2, "3rd": 2, "fourth": 3, "4th": 3}
_FORTNIGHT: Final = re.compile(rf"(?:this |next |coming )?(?P<d>{_WEEKDAY}) (?P<by>week|fortnight)")
_LENGTH: Final = {"day": 1, "week": 7, "fortnight": 14}
Read = Callable[[str, Setting], Result]


def counted(said: str, setting: Setting, read: Read) -> Result | None:
    """A day that is told by another one; None where the words are no such thing. `read` reads the other."""
    return (
        _of_year(said, setting, read)
        or _feast(said, setting)
        or _from_day(said, setting, read)
        or _beside(said, setting, read)
        or _weekend(said, setting)
        or _week_on(said, setting)
        or _of_month(said, setting)
    )


def names_of_feasts(setting: Setting) -> tuple[str, ...]:
    """The patterns of the feasts that are known, longest first."""
    table = rows(setting, "feasts")
    found = [*table.get("easter", {}), *table.get("fixed", {})]
    return tuple(sorted(found, key=len, reverse=True))


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
    if match["year"].startswith("20") and _feast(match["rest"], setting) is None:
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
    """A feast by its name: those that move with Easter, and those of one day."""
    table: Mapping[str, Any] = rows(setting, "feasts")
    name = re.sub(r"^the ", "", said)
    years = (-1, 0, 1)
    for pattern, by in table.get("easter", {}).items():
        if re.fullmatch(pattern, name):
            east = (setting.country or "") in table.get("orthodox", ())
            sundays = [
                easter(year, EASTER_ORTHODOX) if east else easter(year)
                for year in (setting.today.year + each for each in years)
            ]
            days = [day + dt.timedelta(days=by) for day in sundays]
            return _taken(_nearest(days, setting))
    for pattern, dated in table.get("fixed", {}).items():
        if re.fullmatch(pattern, name):
            when = dated.get(setting.country or "") if isinstance(dated, Mapping) else dated
            if when is None:
                return NotUnderstood("Which day is that? Say it like this: 5 September.")
            month, day = (int(part) for part in when.split("-"))
            days = [dt.date(setting.today.year + each, month, day) for each in years]
            return _taken(_nearest(days, setting))
    return None


def _nearest(days: list[dt.date], setting: Setting) -> dt.date:
    """The next of some days from today, or the last where the past is asked."""
    passed = [day for day in days if (day <= setting.today if setting.past else day < setting.today)]
    return passed[-1] if setting.past else days[len(passed)]


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
    wanted = _DAYS.index("saturday" if match["what"] == "weekend" else match["what"])
    if back:
        return _taken(start - dt.timedelta(days=(start.weekday() - wanted) % 7 or 7))
    return _taken(start + dt.timedelta(days=(wanted - start.weekday()) % 7 or 7))


def _weekend(said: str, setting: Setting) -> Result | None:
    """The Saturday of a weekend that is counted in its month."""
    match = _WEEKEND.fullmatch(said)
    month = month_number(match["m"]) if match is not None else None
    if match is None or month is None:
        return None
    ahead = 0 if match["year"] else -1 if setting.past else 1
    first = int(match["year"]) if match["year"] else setting.today.year
    for year in (first, first + ahead):
        start = dt.date(year, month, 1)
        month_long = [start + dt.timedelta(days=at) for at in range(31)]
        saturdays = [day for day in month_long if day.month == month and day.weekday() == 5]
        day = saturdays[_NTH.get(match["n"], -1)]
        if match["year"] or (day <= setting.today if setting.past else day >= setting.today):
            return _taken(day)
    return None


def _week_on(said: str, setting: Setting) -> Result | None:
    """A weekday a week or a fortnight later: Saturday fortnight."""
    match = _FORTNIGHT.fullmatch(said)
    if match is None or setting.past or match["by"] == "week":
        return None
    ahead = (_DAYS.index(match["d"]) - setting.today.weekday()) % 7 or 7
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
