"""Turns calendar dates into days of a 365-day year and back."""

import datetime as dt

YEAR = 365
YEAR_MONTHS = 12
MONTH_LENGTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
MONTH_CODES = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_BEFORE_MONTH = tuple(sum(MONTH_LENGTHS[:i]) for i in range(13))


def day_of_year(date: dt.date) -> int:
    """Day 1..365 of a date; 29 February counts as 28 February."""
    day = 28 if (date.month, date.day) == (2, 29) else date.day
    return _BEFORE_MONTH[date.month - 1] + day


def wrap(day: int) -> int:
    """Any whole number of days brought into 1..365."""
    return (day - 1) % YEAR + 1


def month_and_day(day: int) -> tuple[int, int]:
    """Month 1..12 and day of the month of a day of the year (wrapped into 1..365)."""
    day = wrap(day)
    month = next(i for i in range(1, 13) if day <= _BEFORE_MONTH[i])
    return month, day - _BEFORE_MONTH[month - 1]


def month_of(day: int) -> int:
    """Month 1..12 of a day of the year."""
    return month_and_day(day)[0]


def month_code(day: int) -> str:
    """Short code of the month of a day of the year: jan .. dec."""
    return MONTH_CODES[month_of(day) - 1]


def middle_of_month(month: int) -> int:
    """Middle day of month 1..12: 16 for January, 197 for July."""
    return _BEFORE_MONTH[month - 1] + (MONTH_LENGTHS[month - 1] + 1) // 2


def first_of_month(month: int) -> int:
    """Day of the year of the first day of month 1..12."""
    return _BEFORE_MONTH[month - 1] + 1


def date_in_year(day: int, year: int) -> dt.date:
    """The date of a day of the year in a given calendar year."""
    month, of_month = month_and_day(day)
    return dt.date(year, month, of_month)


def date_on_or_after(day: int, date: dt.date) -> dt.date:
    """The first date on or after `date` that falls on this day of the year."""
    found = date_in_year(day, date.year)
    if found < date and day_of_year(date) != wrap(day):
        found = date_in_year(day, date.year + 1)
    return max(found, date)


def days_ahead(start: int, end: int) -> int:
    """Days from one day of the year forward to the next occurrence of another: 0..364."""
    return (end - start) % YEAR


def days_apart(a: int, b: int) -> int:
    """Signed shortest way round the year from b to a: -182..182 (positive where a comes later)."""
    return (a - b + 182) % YEAR - 182


def days_between(start: dt.date, end: dt.date) -> int:
    """Calendar days from start to end; negative where the end comes first."""
    return (end - start).days


def date_after(start: dt.date, days: int) -> dt.date:
    """The date a number of days later."""
    return start + dt.timedelta(days=days)


def in_span(day: int, opens: int, closes: int) -> bool:
    """Whether a day lies in a span that may run over the turn of the year, both ends counted."""
    return days_ahead(opens, day) <= days_ahead(opens, closes)


def months_between(start: dt.date, end: dt.date) -> tuple[int, ...]:
    """Months 1..12 touched from start to end, in order, each once; empty where the end comes first."""
    months: list[int] = []
    year, month = start.year, start.month
    while (year, month) <= (end.year, end.month) and len(months) < YEAR_MONTHS:
        months.append(month)
        year, month = (year, month + 1) if month < YEAR_MONTHS else (year + 1, 1)
    return tuple(months) if start <= end else ()


def months_of_span(opens: int, closes: int) -> tuple[int, ...]:
    """Months 1..12 touched by a span of days of the year that may run over the turn of the year."""
    months = [month_of(opens + i) for i in range(days_ahead(opens, closes) + 1)]
    return tuple(dict.fromkeys(months))
