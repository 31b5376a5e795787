"""Weekdays by their names, and weekdays and weekends as they are counted in a month."""

from __future__ import annotations

import calendar
import datetime as dt
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from decide.parse.months import month_number

NAMES: Final = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
CODES: Final = tuple(name[:3] for name in NAMES)
SATURDAY: Final = NAMES.index("saturday")
# A weekday by its full name, as part of a longer pattern.
WORD: Final = r"(?:mon|tues|wednes|thurs|fri|satur|sun)day"
_LAST: Final = -1
_COUNTS: Final[Mapping[str, int]] = {
    "first": 1, "1st": 1, "second": 2, "2nd": 2, "third": 3, "3rd": 3, "fourth": 4, "4th": 4, "fifth": 5,
    "5th": 5, "last": _LAST,
}  # fmt: skip
_OTHERWISE: Final = {"weds": "wed"}
COUNT_WORD: Final = rf"(?:{'|'.join(_COUNTS)})"
_THE_MONTH: Final = r"(?:the )?(?:next|this) month"
_COUNTED: Final = re.compile(
    rf"(?:the )?(?P<count>{COUNT_WORD}) (?P<day>[a-z]+)\.? (?:of|in) (?P<month>{_THE_MONTH}|[a-z]+)\.?"
    r",?(?: (?P<year>20\d\d))?"
)


@dataclass(frozen=True)
class Counted:
    """A day that is counted in its month; the day is None where no such month has so many."""

    day: dt.date | None


def number_of(word: str) -> int | None:
    """0 for Monday to 6 for Sunday, by the name or its beginning of three letters or more; None for any other
    word.
    """
    name = word.strip(".").casefold()
    name = _OTHERWISE.get(name, name)
    found = [at for at, full in enumerate(NAMES) if len(name) >= len(CODES[at]) and full.startswith(name)]
    return found[0] if len(found) == 1 else None


def count_of(word: str) -> int:
    """1 for "first" or "1st", -1 for "last"; `word` is one of COUNT_WORD."""
    return _COUNTS[word]


def nth(year: int, month: int, weekday: int, count: int) -> dt.date | None:
    """The weekday of that count in a month, the last one where the count is -1; None where there is none."""
    length = calendar.monthrange(year, month)[1]
    days = [
        day for day in (dt.date(year, month, at) for at in range(1, length + 1)) if day.weekday() == weekday
    ]
    if count == _LAST:
        return days[-1]
    return days[count - 1] if count <= len(days) else None


def counted_in_month(said: str, today: dt.date, *, past: bool = False) -> Counted | None:
    """The day of words such as "the second Saturday in May", "first weekend of next month" (its
    Saturday): the next one, or the last where the past is meant; None where the words are of another form.
    """
    match = _COUNTED.fullmatch(said)
    if match is None:
        return None
    weekday = SATURDAY if match["day"] == "weekend" else number_of(match["day"])
    named = re.fullmatch(_THE_MONTH, match["month"])
    month = None if named else month_number(match["month"])
    if weekday is None or (month is None and named is None):
        return None
    count = _COUNTS[match["count"]]
    if month is None:
        ahead = today.month + ("next" in match["month"])
        return Counted(nth(today.year + (ahead - 1) // 12, (ahead - 1) % 12 + 1, weekday, count))
    if match["year"]:
        return Counted(nth(int(match["year"]), month, weekday, count))
    for year in (today.year, today.year - 1 if past else today.year + 1):
        day = nth(year, month, weekday, count)
        if day is not None and (day <= today if past else day >= today):
            return Counted(day)
    return Counted(None)


def coming_saturday(today: dt.date, weeks: int = 0) -> dt.date:
    """The next Saturday, today where it is one, or that of so many weeks later."""
    return today + dt.timedelta(days=(SATURDAY - today.weekday()) % 7 + 7 * weeks)
