"""The work and water of each week, and what of it there are no hands for."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from decide.decision.consultation import Consultation
from decide.facts.new_grass import hours_of_day
from decide.model.planned import Task, Week
from decide.model.row import Hours
from decide.plan.jobs import ONE, WEEK
from decide.plan.watering import Wetting

WEEKDAYS = 5


@dataclass
class _Sum:
    """What is added up for a week: codes of tasks in order, hours at both ends, litres where they
    are known.
    """

    codes: dict[str, None] = field(default_factory=dict)
    low: float = 0.0
    high: float = 0.0
    litres: float | None = None

    def work(self, low: float, high: float) -> None:
        self.low += low
        self.high += high


def monday(date: dt.date) -> dt.date:
    """The Monday of the week of a day."""
    return date - date.weekday() * ONE


def weeks_of(
    c: Consultation,
    dated: Sequence[tuple[Task, Sequence[dt.date]]],
    watered: Sequence[tuple[Wetting, Task, float | None]],
) -> list[Week]:
    """The weeks in which there is work: of tasks with their days, and of wettings with their task and hours a
    week.
    """
    sums: dict[dt.date, _Sum] = defaultdict(_Sum)
    # Where a contractor is paid, the hours of that work are not those of the hands that are counted.
    hired = c.filled.situation.means.contractor is True
    for task, days in dated:
        for date in days:
            week = sums[monday(date)]
            week.codes[task.code] = None
            if task.hours is not None and (c.knowledge.hands[task.who].own or not hired):
                week.work(task.hours.low / len(days), task.hours.high / len(days))
    for wetting, task, weekly in watered:
        date = wetting.first
        while date <= wetting.last:
            week = sums[monday(date)]
            week.codes[task.code] = None
            if weekly is not None:
                week.work(weekly / WEEK, weekly / WEEK)
            if wetting.litres_day is not None:
                week.litres = (week.litres or 0.0) + wetting.litres_day
            date += ONE
    wettings = [wetting for wetting, _, _ in watered]
    return [_week(c, date, week, wettings) for date, week in sorted(sums.items())]


def _week(c: Consultation, date: dt.date, week: _Sum, wettings: Sequence[Wetting]) -> Week:
    there, flow = _hours_of(c, date), c.filled.situation.means.flow_l_min
    high = round(week.high, 2)
    litres = None if week.litres is None else round(week.litres)
    visits, missing = _visits(c, date, wettings)
    return Week(
        monday=date.isoformat(),
        tasks=list(week.codes),
        hours=Hours(low=round(week.low, 2), high=high),
        hours_there_are=there,
        hours_short=None if there is None or high <= there else round(high - there, 2),
        litres=litres,
        water_hours=None if litres is None or not flow else round(litres / flow / 60, 1),
        visits=visits,
        visits_short=missing,
    )


def _hours_of(c: Consultation, week: dt.date) -> float | None:
    """Hours of all hands in a week, with those of days on which many come."""
    usual, told = hours_there_are(c), c.filled.situation.means.work_days or []
    extra = sum(hours_of_day(c.filled, day) for day in told if 0 <= (day.date - week).days < WEEK)
    return extra or None if usual is None else usual + extra


def hours_there_are(c: Consultation) -> float | None:
    """Hours a week of all hands: told, else by the helpers; None where neither is known."""
    means = c.filled.situation.means
    if means.work_hours_per_week is not None:
        return means.work_hours_per_week
    each = c.knowledge.value("helper-hours")
    return None if means.helpers is None or each is None else means.helpers * each


def _visits(c: Consultation, week: dt.date, wettings: Sequence[Wetting]) -> tuple[float | None, float | None]:
    """The most visits that a day of the week wants, and how many of the week's visits nobody can make."""
    means = c.filled.situation.means
    wanted = [max((w.visits for w in wettings if w.on(week + n * ONE)), default=0.0) for n in range(WEEK)]
    if not any(wanted):
        return None, None
    weekend = means.wettings_weekday if means.wettings_weekend is None else means.wettings_weekend
    made = [means.wettings_weekday] * WEEKDAYS + [weekend] * (WEEK - WEEKDAYS)
    short = sum(max(0.0, want - can) for want, can in zip(wanted, made, strict=True) if can is not None)
    return max(wanted), short if short > 0 else None
