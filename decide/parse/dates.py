"""Dates as people say them: mid September, in five weeks, 12/6, end of August."""

from __future__ import annotations

import calendar
import datetime as dt
import re
from typing import Final

from decide.parse import numbers, weekdays
from decide.parse.dates_counted import counted
from decide.parse.months import month_number, say_day, season_month
from decide.parse.plain import fold
from decide.parse.results import AskBack, NotUnderstood, Reading, Result, Setting, Understood

_FURTHEST: Final = 30  # years from today that a date is believed
_LEAD: Final = re.compile(
    r"^(?:(?:by|on|about|around|roughly|approximately|sometime|some time|from|before|after|until|till|maybe"
    r"|probably|"
    r"we want it|i think|it was|it is|it's|that was|in about|say|ready|well|oh|um|circa|hopefully)\s+)+"
)
_TAIL: Final = re.compile(
    r"(?: (?:at the (?:very )?(?:latest|outside|earliest|most)|or (?:else|bust|sooner|earlier)|at a push"
    r"|tops|max|if possible|please|ideally|for sure|sharp|if we can|kick ?-?off"
    r"|(?:in the )?(?:morning|afternoon|evening)))+$"
)
_DATE_HELP: Final = (
    'Write a date such as 15 September, mid September, in five weeks, or 2026-09-15; or "don\'t know".'
)


def last_day(year: int, month: int) -> int:
    return calendar.monthrange(year, month)[1]


def _make(year: int, month: int, day: int) -> dt.date | None:
    try:
        return dt.date(year, month, day)
    except ValueError:
        return None


def _near_year(month: int, day: int, setting: Setting) -> dt.date | None:
    """The next such day from today, or the latest where the question is about the past; None where no year
    has it.
    """
    step = -1 if setting.past else 1
    for ahead in range(0, 9):
        found = _make(setting.today.year + step * ahead, month, day)
        if found is not None and (found <= setting.today if setting.past else found >= setting.today):
            return found
    return None


def _year(text: str, today: dt.date) -> int | None:
    year = int(text)
    if len(text) == 2:
        year += 2000
    return year if abs(year - today.year) <= _FURTHEST else None


def _shift_months(day: dt.date, months: int) -> dt.date:
    count = day.year * 12 + day.month - 1 + months
    year, month = divmod(count, 12)
    return dt.date(year, month + 1, min(day.day, last_day(year, month + 1)))


def _answer(found: dt.date | None, note: str = "") -> Result:
    return (
        NotUnderstood("There is no such day. " + _DATE_HELP)
        if found is None
        else Understood(found.isoformat(), note)
    )


def _either(*days: tuple[str, dt.date | None]) -> Result:
    readings = [(say, day) for say, day in days if day is not None]
    distinct = {day for _, day in readings}
    if len(distinct) <= 1:
        return _answer(readings[0][1] if readings else None)
    return AskBack(
        "Which day is meant?",
        tuple(
            Reading(f"{say_day(day)}{' (' + say + ')' if say else ''}", day.isoformat())
            for say, day in readings
        ),
    )


def read_date(text: str, setting: Setting) -> Result:
    """A date as ISO text; two readings are asked back, with the days written out."""
    said = re.sub(r"[!?;]+$", "", fold(text)).strip().rstrip(".").replace(",", " ")
    said = " ".join(said.split())
    said = _TAIL.sub("", _LEAD.sub("", said))
    today = setting.today
    for reader in (
        _written,
        _relative,
        _by_day_of_month,
        _by_month,
        _by_season,
        _by_weekday,
        _by_nth_weekday,
    ):
        found = reader(said, setting)
        if found is not None:
            return found
    other = counted(said, setting, read_date)
    if other is not None:
        return other
    match = re.fullmatch(r"(?:the )?([0-9]{1,2})(?:st|nd|rd|th)", said)
    if match:
        day = int(match[1])
        for ahead in range(0, 13):
            first = _shift_months(today.replace(day=1), -ahead if setting.past else ahead)
            found_day = _make(first.year, first.month, day)
            if found_day and (found_day <= today if setting.past else found_day > today):
                return _answer(found_day)
        return _answer(None)
    return NotUnderstood("I do not see a date in that. " + _DATE_HELP)


def _written(said: str, setting: Setting) -> Result | None:
    match = re.fullmatch(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})", said)
    if match:
        year = _year(match[1], setting.today)
        if year is None:
            return _too_far(match[1])
        return _answer(_make(year, int(match[2]), int(match[3])))
    match = re.fullmatch(
        r"([0-9]{1,2})\s?([-/.])\s?([0-9]{1,2})(?:\s?[-/.]\s?([0-9]{4}|[0-9]{2}))?[.]?", said
    )
    if not match:
        return None
    first, second = int(match[1]), int(match[3])
    year = None
    if match[4]:
        year = _year(match[4], setting.today)
        if year is None:
            return _too_far(match[4])

    def at(month: int, day: int) -> dt.date | None:
        if not 1 <= month <= 12:
            return None
        return _make(year, month, day) if year is not None else _near_year(month, day, setting)

    day_first, month_first = at(second, first), at(first, second)
    if match[2] == "." and day_first is not None and setting.country not in (None, "us", "ca", "ph"):
        # Where dates are written with dots the day stands first.
        return _answer(day_first)
    return _either(("day first", day_first), ("month first", month_first))


def _relative(said: str, setting: Setting) -> Result | None:
    today = setting.today
    day = dt.timedelta(days=1)
    fixed = {
        "today": today, "now": today, "right now": today, "straight away": today, "right away": today,
        "immediately": today, "at once": today, "asap": today, "as soon as possible": today,
        "tomorrow": today + day, "yesterday": today - day, "the day after tomorrow": today + 2 * day,
        "day after tomorrow": today + 2 * day, "the day before yesterday": today - 2 * day,
        "day before yesterday": today - 2 * day, "last week": today - 7 * day, "next week": today + 7 * day,
        "this time next year": _shift_months(today, 12), "a year from now": _shift_months(today, 12),
        "this time last year": _shift_months(today, -12),
        "a week today": today + 7 * day, "a fortnight today": today + 14 * day,
    }  # fmt: skip
    if said in fixed:
        return _answer(fixed[said])
    if said == "last month":
        first = _shift_months(today.replace(day=1), -1)
        return _answer(_span_day(first.year, first.month, "", setting), "I take the end of last month.")
    if said == "next month":
        first = _shift_months(today.replace(day=1), 1)
        return _answer(first, f"I take {say_day(first)}.")
    if said in ("next year", "last year"):
        return NotUnderstood(
            "A year is too wide. Name the month too, such as May " + str(today.year + 1) + "."
        )
    match = re.fullmatch(
        r"(?:in|within) (?P<ahead>.+?)(?: time)?|(?P<on>.+) (?:from now|from today|ahead)"
        r"|(?P<ago>.+) (?:ago|back)",
        said,
    )
    bare = match is None
    phrase = said if match is None else str(match["ahead"] or match["on"] or match["ago"])
    if bare and not re.search(r"(?:day|week|wk|fortnight|month)s?(?:' time)?$", phrase):
        return None
    phrase = re.sub(r"'s? time$", "", phrase)
    sign = -1 if (match is not None and match["ago"]) or (bare and setting.past) else 1
    if re.search(r"\b(?:few|some|several|many)\b", phrase):
        return NotUnderstood("How many? " + _DATE_HELP)
    try:
        row = numbers.tokens(phrase)
        found = numbers.span(row)
    except numbers.NumberTrouble as error:
        return NotUnderstood(f"{error} {_DATE_HELP}")
    if found is None or found[2] != len(row):
        return None
    ends = [found[0]] + ([found[1]] if found[1] else [])
    days: list[tuple[str, dt.date | None]] = []
    for end in ends:
        day_found = _days_on(end, sign, today)
        if day_found is None:
            return NotUnderstood("That is too far off, or no span of days. " + _DATE_HELP)
        unit = end.unit if end.values[0] == 1 else end.unit + "s"
        days.append((f"{numbers.tidy(end.values[0])} {unit}", day_found))
    return _either(*days)


def _days_on(span: numbers.Quantity, sign: int, today: dt.date) -> dt.date | None:
    count = span.values[0]
    length = {"day": 1, "week": 7, "fortnight": 14}.get(span.unit)
    if count > 366 * _FURTHEST or len(span.values) > 1:
        return None
    if length is not None and count * length <= 366 * _FURTHEST:
        return today + dt.timedelta(days=sign * round(count * length))
    if span.unit in ("month", "year"):
        months = count * (12 if span.unit == "year" else 1)
        if months > 12 * _FURTHEST:
            return None
        return _shift_months(today, sign * int(months)) + dt.timedelta(
            days=sign * round((months - int(months)) * 30)
        )
    return None


_PART: Final = (
    r"(?P<part>(?:the )?(?:very )?(?:early|start of|beginning of|first of|mid|middle of|late|end of"
    r"|the end of|"
    r"first half of|second half of|half way through"
    r"|in))[- ]"
)


def _span_day(year: int, month: int, part: str, setting: Setting) -> dt.date:
    """The day meant by a part of a month; without a part its first day, or its last where the past is
    asked.
    """
    last = last_day(year, month)
    part = part.removeprefix("the ").removeprefix("very ").strip()
    if part == "early":
        day = 5
    elif part in ("mid", "middle of", "half way through"):
        day = 15
    elif part in ("late",):
        day = 25
    elif part in ("end of", "second half of"):
        day = last
    elif part == "first half of":
        day = 15
    elif part in ("start of", "beginning of", "first of"):
        day = 1
    else:
        day = last if setting.past else 1
    found = dt.date(year, month, day)
    return (
        min(found, setting.today)
        if setting.past and (year, month) == (setting.today.year, setting.today.month)
        else found
    )


def _too_far(year: str) -> NotUnderstood:
    return NotUnderstood(f"The year {year} is too far off. " + _DATE_HELP)


def _by_day_of_month(said: str, setting: Setting) -> Result | None:
    """A day with the name of its month: 15 September, March the 3rd 2027."""
    match = re.fullmatch(
        r"(?:(?:the )?(?P<d1>[0-9]{1,2})(?:st|nd|rd|th)?(?: of)? (?P<m1>[a-z]+)\.?"
        r"|(?P<m2>[a-z]+)\.? (?:the )?(?P<d2>[0-9]{1,2})(?:st|nd|rd|th)?)(?: (?P<year>[0-9]{4}))?",
        said,
    )
    month = month_number(match["m1"] or match["m2"]) if match else None
    if match is None or month is None:
        return None
    day = int(match["d1"] or match["d2"])
    if not match["year"]:
        return _answer(_near_year(month, day, setting))
    year = _year(match["year"], setting.today)
    return _too_far(match["year"]) if year is None else _answer(_make(year, month, day))


def _by_month(said: str, setting: Setting) -> Result | None:
    """A month or a part of it: mid September, end of August 2027, next May."""
    match = re.fullmatch(
        rf"(?:{_PART})?(?:(?P<which>next|this|last|coming|this coming) )?(?P<m>[a-z]+)\.?"
        r"(?: (?P<year>[0-9]{4}))?",
        said,
    )
    month = month_number(match["m"]) if match else None
    if match is None or month is None:
        return None
    part, today = (match["part"] or "").strip(), setting.today
    part = "" if part == "in" else part
    taken = f"I take {'the end' if setting.past else 'the start'} of the month"
    if match["year"]:
        year = _year(match["year"], today)
        if year is None:
            return _too_far(match["year"])
        return _answer(_span_day(year, month, part, setting), "" if part else f"{taken}.")
    if match["which"] == "last":
        year = today.year if month < today.month else today.year - 1
        return _answer(_span_day(year, month, part, setting))
    if match["which"] == "next" and month > today.month:
        return _either(
            ("this year", _span_day(today.year, month, part, setting)),
            ("next year", _span_day(today.year + 1, month, part, setting)),
        )
    year = _year_of_month(month, part, setting)
    if not setting.past and not part and (year, month) == (today.year, today.month):
        end = dt.date(year, month, last_day(year, month))
        return _answer(end, f"I take {say_day(end)}.")
    found = _span_day(year, month, part, setting)
    return _answer(found, "" if part else f"{taken}: {say_day(found)}.")


def _year_of_month(month: int, part: str, setting: Setting) -> int:
    """The year of a month that is named without one: the next, or the last where the past is asked."""
    today = setting.today
    if setting.past:
        return today.year if month <= today.month else today.year - 1
    here = _span_day(today.year, month, part, setting)
    ahead = here >= today or (not part and month == today.month)
    return today.year if ahead else today.year + 1


def _by_season(said: str, setting: Setting) -> Result | None:
    match = re.fullmatch(
        r"(?:(?P<part>early|mid|late|start of|beginning of|middle of|end of|the end of|the start of"
        r"|in)[- ])?(?:the )?"
        r"(?:(?P<which>next|this|last|coming) )?(?P<s>spring|summer|autumn|fall|winter)"
        r"(?: (?P<year>[0-9]{4}))?",
        said,
    )
    if match is None:
        return None
    part = (match["part"] or "").removeprefix("the ")
    days: list[tuple[str, dt.date | None]] = []
    halves = [setting.hemisphere] if setting.hemisphere in ("north", "south") else ["north", "south"]
    for half in halves:
        first = season_month(match["s"], str(half))
        place = {"mid": 1, "middle of": 1, "late": 2, "end of": 2}.get(
            part, 2 if setting.past and part in ("", "in") else 0
        )
        inner = {"early": "", "mid": "mid", "middle of": "mid", "late": "mid", "end of": "end of"}.get(
            part, "end of" if setting.past else ""
        )
        if match["year"]:
            begins = _year(match["year"], setting.today)
            if begins is None:
                return _too_far(match["year"])
            start = dt.date(begins, first, 1)
        else:
            start = _season_start(first, setting, match["which"] or "")
        month = _shift_months(start, place)
        days.append(
            (f"{half}ern half of the earth", _span_day(month.year, month.month, inner or "start of", setting))
        )
    if len(days) == 1 and days[0][1] is not None:
        return _answer(days[0][1], f"I take {say_day(days[0][1])}.")
    return _either(*days)


def _season_start(first: int, setting: Setting, which: str) -> dt.date:
    today = setting.today
    start = dt.date(today.year, first, 1)
    if setting.past or which == "last":
        while start > today or (which == "last" and _shift_months(start, 3) > today):
            start = dt.date(start.year - 1, first, 1)
        return start
    return start if start >= today else dt.date(today.year + 1, first, 1)


def _by_weekday(said: str, setting: Setting) -> Result | None:
    match = re.fullmatch(
        r"(?:(?P<which>next|this|this coming|last|coming) )?(?P<d>[a-z]+?)(?P<more> week)?", said
    )
    if match is None:
        return None
    weekday = weekdays.number_of(match["d"])
    if weekday is None:
        return None
    today = setting.today
    if match["which"] == "last" or (setting.past and match["which"] in (None, "this")):
        back = (today.weekday() - weekday) % 7 or 7
        return _answer(today - dt.timedelta(days=back))
    ahead = (weekday - today.weekday()) % 7 or 7
    coming = today + dt.timedelta(days=ahead)
    later = coming + dt.timedelta(days=7)
    if match["more"]:
        return _answer(later)
    if match["which"] == "next":
        return _either(("this coming one", coming), ("the one after", later))
    return _answer(coming)


def _by_nth_weekday(said: str, setting: Setting) -> Result | None:
    """A weekday or weekend counted in its month, or weekends from now: first Saturday in September, the
    weekend after next.
    """
    match = re.fullmatch(r"(?:the )?weekend after next|(?:the )?(?:next|following) weekend but one", said)
    if match is not None:
        saturday = weekdays.coming_saturday(setting.today, weeks=1)
        return _answer(saturday, f"I take {say_day(saturday)}.")
    found = weekdays.counted_in_month(said, setting.today, past=setting.past)
    if found is None:
        return None
    if found.day is not None and abs(found.day.year - setting.today.year) > _FURTHEST:
        return _too_far(str(found.day.year))
    return _answer(found.day, "" if found.day is None else f"I take {say_day(found.day)}.")
