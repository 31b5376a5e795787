"""Finds the days that go by a name: feasts and holidays of a country, and what no calendar of it has."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any, Final

import holidays
from dateutil.easter import EASTER_ORTHODOX, easter

from decide.parse.plain import fold
from decide.parse.results import Setting

TABLE: Final = "feasts"
_ADDED = re.compile(
    r" \((?:observed|estimated|second day|additional holiday)[^)]*\)|^day (?:before|after|following|off) ?.*"
)
_NEVER: Final = r"(?!)"

# Where most feasts are those of the parts of a country, the part whose calendar stands for all.
_WITH_PARTS: Final = {"ca": "ON", "gb": "ENG", "au": "NSW"}


@lru_cache(maxsize=64)
def calendar_of(country: str, years: tuple[int, ...]) -> Mapping[str, tuple[dt.date, ...]]:
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


def names_of_feasts(setting: Setting) -> tuple[str, ...]:
    """The patterns of all days that go by a name where the talk is about, longest first."""
    table = _table(setting)
    more = tuple(name for kind in ("calendar", "easter", "fixed") for name in table.get(kind, ()))
    return _names(setting.country or "", _years(setting.today), tuple(table.get("not", ())), more)


@lru_cache(maxsize=64)
def _names(
    country: str, years: tuple[int, ...], left_out: tuple[str, ...], more: tuple[str, ...]
) -> tuple[str, ...]:
    """The names of a calendar, but for those left out, and more beside them."""
    own = calendar_of(country, years)
    names = [re.escape(name).replace("\\ ", " ") for name in own if name not in left_out]
    return tuple(sorted({*names, *more}, key=lambda name: (-len(name), name)))


def is_feast(words: str, setting: Setting) -> bool:
    """Whether some words are the name of a day, of whatever country."""
    return _one_of(names_of_feasts(setting)).fullmatch(_plain(words)) is not None


@lru_cache(maxsize=64)
def _one_of(names: tuple[str, ...]) -> re.Pattern[str]:
    return re.compile("|".join(names) or _NEVER)


def day_called(words: str, setting: Setting) -> dt.date | None:
    """The next day (the last one where the past is meant) that is called so: by the calendar of the country,
    where it knows the day, or else by the reckoning of all; None where neither has it.
    """
    name, table = _plain(words), _table(setting)
    own = calendar_of(setting.country or "", _years(setting.today))
    called = {name} - set(table.get("not", ()))
    for said, names in table.get("calendar", {}).items():
        if re.fullmatch(said, name):
            called |= set(names)
    days = sorted(day for known, each in own.items() if known in called for day in each)
    return _nearest(days or _reckoned(name, setting, table), setting)


def _reckoned(name: str, setting: Setting, table: Mapping[str, Any]) -> list[dt.date]:
    """The days of a name about today that are counted from Easter, or have one date everywhere."""
    for said, by in table.get("easter", {}).items():
        if re.fullmatch(said, name):
            east = (setting.country or "") in table.get("orthodox", ())
            sundays = [
                easter(year, EASTER_ORTHODOX) if east else easter(year) for year in _years(setting.today)
            ]
            return [day + dt.timedelta(days=by) for day in sundays]
    for said, dated in table.get("fixed", {}).items():
        if re.fullmatch(said, name):
            month, day = (int(part) for part in dated.split("-"))
            return [dt.date(year, month, day) for year in _years(setting.today)]
    return []


def _plain(words: str) -> str:
    return fold(words).strip().removeprefix("the ")


def _nearest(days: Sequence[dt.date], setting: Setting) -> dt.date | None:
    if setting.past:
        return next((day for day in reversed(days) if day <= setting.today), None)
    return next((day for day in days if day >= setting.today), None)


def _years(today: dt.date) -> tuple[int, ...]:
    return (today.year - 1, today.year, today.year + 1)


def _table(setting: Setting) -> Mapping[str, Any]:
    return setting.talk.get(TABLE, {})
