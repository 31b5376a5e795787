"""Hours of play by month, and days on which nobody plays."""

from __future__ import annotations

import datetime as dt
from typing import Final

from decide.facts.draft import is_free
from decide.facts.filled import Filled, zone_of
from decide.measure import dates
from decide.model.situation import Situation, Use
from decide.model.written import MONTHS

# What free days and hours of play rest on.
FREE_DAYS: Final = ("dates.play_by", "zone.in_play", "dates.no_play", "use")
FREE_DAYS_MOVED_BY: Final = ("zone.name", "dates.can_close_weeks")
HOURS: Final = ("use", "field.play_hours_week")
HOURS_MOVED_BY: Final = ("field.unbooked_hours_week",)
HOURS_VALUES: Final = ("game-hours",)


def _of_use(filled: Filled, use: Use) -> float | None:
    """Hours a week of one use: told, else of its games."""
    if use.hours_per_week is not None or use.games_per_week is None:
        return use.hours_per_week
    each = filled.library.number("game-hours")
    return None if each is None else use.games_per_week * each


def hours_told(situation: Situation) -> bool:
    """Whether it was told how much is played: in all, or of each use in hours or games."""
    if situation.field.play_hours_week is not None:
        return True
    return situation.use is not None and all(
        use.hours_per_week is not None or use.games_per_week is not None for use in situation.use
    )


def hours(filled: Filled, month: str) -> float | None:
    """Hours a week in a month; a use whose months nobody told is counted in all of them."""
    return _summed(filled, month, 1.0)


def adult_hours(filled: Filled, month: str) -> float | None:
    """Hours a week in a month, those of young people counted by their share."""
    share = filled.library.number("youth-hour-share")
    return _summed(filled, month, 1.0 if share is None else share)


def _summed(filled: Filled, month: str, youth: float) -> float | None:
    """Hours a week in a month with those of young people weighed: the total where one was told, else the sum
    of the uses, and what nobody booked.
    """
    uses, ground = filled.situation.use, filled.situation.field
    total, unbooked = ground.play_hours_week, ground.unbooked_hours_week or 0.0
    if total is not None:
        played = uses is None or any(use.months is None or month in use.months for use in uses)
        only_youth = bool(uses) and all(use.players == "youth" for use in uses or [])
        return (total * (youth if only_youth else 1.0) if played else 0.0) + unbooked
    told = None if uses is None else [(use, _of_use(filled, use)) for use in uses]
    if told is None or any(each is None for _, each in told):
        return None
    return unbooked + sum(
        (youth if use.players == "youth" else 1.0) * (each or 0)
        for use, each in told
        if use.months is None or month in use.months
    )


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
    """Days from a start until somebody plays again, or until the date wanted where that is earlier; no longer
    than the ground can be shut.
    """
    play_by, weeks = filled.situation.dates.play_by, filled.situation.dates.can_close_weeks
    ends = [(play_by - start).days] if play_by is not None and play_by >= start else []
    if weeks is not None:
        ends.append(round(7 * weeks))
    limit = min(ends, default=None)
    if zone_of(filled, zone).in_play is False:
        return limit
    first = first_play(filled, zone, start)
    if first is None:
        return None if weeks is None else limit
    if first <= dates.YEAR:
        return first if limit is None else min(first, limit)
    return limit if limit is not None else dates.YEAR


def days_to_play(filled: Filled, zone: str, start: dt.date) -> float | None:
    """Days from a start until somebody plays again, whatever date is wanted, a year at most; no longer than
    the ground can be shut.
    """
    weeks = filled.situation.dates.can_close_weeks
    most = dates.YEAR if weeks is None else min(dates.YEAR, round(7 * weeks))
    if zone_of(filled, zone).in_play is False:
        return most
    first = first_play(filled, zone, start)
    if first is None:
        return None if weeks is None else most
    return min(first, most)


def first_play(filled: Filled, zone: str, start: dt.date) -> int | None:
    """Days from a start until somebody plays, as far as is known; more than a year where nobody does, None
    where nothing is known of the start itself.
    """
    for step in range(dates.YEAR + 1):
        free = is_free(filled, zone, start + dt.timedelta(days=step))
        if free is None:
            return dates.YEAR + 1 if step else None
        if not free:
            return step
    return dates.YEAR + 1
