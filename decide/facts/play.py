"""Hours of play by month, and days on which nobody plays."""

from __future__ import annotations

import datetime as dt
from typing import Final

from decide.facts.draft import is_free
from decide.facts.filled import Filled, zone_of
from decide.measure import dates
from decide.model.written import MONTHS

# What free days rest on.
FREE_DAYS: Final = ("dates.play_by", "zone.in_play", "dates.no_play", "use")


def hours(filled: Filled, month: str) -> float | None:
    """Hours a week in a month; a use whose months nobody told is counted in all of them."""
    uses = filled.situation.use
    if uses is None or any(use.hours_per_week is None for use in uses):
        return None
    return sum(use.hours_per_week or 0 for use in uses if use.months is None or month in use.months)


def adult_hours(filled: Filled, month: str) -> float | None:
    """Hours a week in a month, those of young people counted by their share."""
    uses = filled.situation.use
    if uses is None or any(use.hours_per_week is None for use in uses):
        return None
    share = filled.library.number("youth-hour-share")
    total = 0.0
    for use in uses:
        if use.months is None or month in use.months:
            weight = share if use.players == "youth" and share is not None else 1.0
            total += weight * (use.hours_per_week or 0)
    return total


def hours_by_growth(filled: Filled, season: str) -> tuple[float | None, float | None] | None:
    """Adult hours a week in the busiest month with growth of a season's grass, and in the busiest without."""
    site = filled.site
    if site is None:
        return None
    growing: list[float] = []
    resting: list[float] = []
    for number, month in enumerate(MONTHS, start=1):
        each = adult_hours(filled, month)
        if each is None:
            return None
        (growing if site.grows(season, dates.middle_of_month(number)) else resting).append(each)
    return max(growing, default=None), max(resting, default=None)


def free_days(filled: Filled, zone: str, start: dt.date) -> float | None:
    """Days from a start until somebody plays again, or until the date wanted where that is earlier."""
    play_by = filled.situation.dates.play_by
    limit = (play_by - start).days if play_by is not None and play_by >= start else None
    if zone_of(filled, zone).in_play is False:
        return limit
    known = False
    for step in range(dates.YEAR + 1):
        free = is_free(filled, zone, start + dt.timedelta(days=step))
        if free is None:
            break
        known = True
        if not free:
            return step if limit is None else min(step, limit)
    if not known:
        return None
    return limit if limit is not None else dates.YEAR
