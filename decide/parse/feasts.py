"""Finds the days that go by a name in a country: feasts and public holidays."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Final

import holidays

from decide.parse.plain import fold

_ADDED = re.compile(
    r" \((?:observed|estimated|second day|additional holiday)[^)]*\)|^day (?:before|after|following) .*"
)

# Where most feasts are those of the parts of a country, the part whose calendar stands for all.
_WITH_PARTS: Final = {"ca": "ON", "gb": "ENG", "au": "NSW"}


@lru_cache(maxsize=64)
def feasts_of(country: str, years: tuple[int, ...]) -> Mapping[str, tuple[dt.date, ...]]:
    """The named days of a country in some years, by their English names in small letters; empty where the
    country is not known.
    """
    code = country.upper()
    part = _WITH_PARTS.get(country.lower())
    if code not in holidays.list_supported_countries(include_aliases=False):
        return {}
    try:
        found = holidays.country_holidays(code, subdiv=part, years=years, language="en_US")
    except NotImplementedError:
        found = holidays.country_holidays(code, subdiv=part, years=years)
    days: dict[str, list[dt.date]] = {}
    for day, names in sorted(found.items()):
        for name in str(names).split(";"):
            plain = fold(name).strip()
            if not _ADDED.search(plain):
                days.setdefault(plain, []).append(day)
    return {name: tuple(each) for name, each in days.items()}


def day_called(
    words: str, country: str, today: dt.date, names: Mapping[str, Sequence[str]], past: bool
) -> dt.date | None:
    """The next day (the last one where the past is meant) that is called so in a country, by the names of the
    calendar or by those that people use for them (each word with what the calendar calls it); None where the
    country has no such day.
    """
    held = feasts_of(country, (today.year - 1, today.year, today.year + 1))
    called = {fold(words).strip()}
    for said, calendar in names.items():
        if re.fullmatch(said, words):
            called |= set(calendar)
    days = sorted(day for name, each in held.items() if called & {name} for day in each)
    if past:
        return next((day for day in reversed(days) if day <= today), None)
    return next((day for day in days if day >= today), None)
