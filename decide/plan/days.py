"""On which days a task may be done: work allowed, ground free of play, grass growing."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from typing import Final

from decide.decision.consultation import Consultation
from decide.facts.draft import can_work, is_free
from decide.knowledge.schema_care import TaskTemplate
from decide.measure import dates
from decide.plan.jobs import ONE, Job, days_of, read_value, unit_of

# How far ahead a day is looked for: beyond two years nothing told today still holds.
HORIZON: Final = dt.timedelta(days=900)


def money_until(c: Consultation) -> dt.date | None:
    """The last day on which the money may be spent, where that is still to come."""
    until = c.filled.situation.means.budget_until
    return until if until is not None and until >= c.filled.today else None


def holds_shut(c: Consultation, job: Job) -> bool:
    """Whether work that needs the ground free of play is held to such days: not where the choice itself
    starts amid play.
    """
    return is_free(c.filled, job.zone, job.draft.start or c.filled.today) is not False


def _free_of_play(c: Consultation, job: Job, date: dt.date) -> bool:
    return not holds_shut(c, job) or is_free(c.filled, job.zone, date) is not False


def may_be_done(c: Consultation, task: TaskTemplate, jobs: Sequence[Job], date: dt.date) -> bool:
    """Whether a task may be done on a day: work allowed, ground free of play, grass growing, money there, as
    far as it asks for them.
    """
    money = c.filled.situation.means.budget_from
    if not can_work(c.filled, date) or (task.pays and money is not None and date < money):
        return False
    site = c.filled.site
    for job in jobs:
        if task.shut and not _free_of_play(c, job, date):
            return False
        if (
            task.grows
            and job.season is not None
            and site is not None
            and not site.grows(job.season, dates.day_of_year(date))
        ):
            return False
    return True


def first_day(c: Consultation, task: TaskTemplate, jobs: Sequence[Job], date: dt.date) -> dt.date | None:
    """The first day from `date` on which a task may be done; None beyond the horizon."""
    end = c.filled.today + HORIZON
    while date <= end:
        if may_be_done(c, task, jobs, date):
            return date
        date += ONE
    return None


def last_day(c: Consultation, task: TaskTemplate, jobs: Sequence[Job], date: dt.date) -> dt.date:
    """The last day until `date` on which a task may be done, and today at the earliest."""
    while date > c.filled.today and not may_be_done(c, task, jobs, date):
        date -= ONE
    return date


def days_taken(c: Consultation, task: TaskTemplate, jobs: Sequence[Job]) -> int:
    """The days of work that a task takes in one go: its own, or more where the helpers are too few for its
    hours by hand.
    """
    return max(1, days_of(c, task.days, jobs[0]), _days_by_hand(c, task, jobs))


def _days_by_hand(c: Consultation, task: TaskTemplate, jobs: Sequence[Job]) -> int:
    """Days that the helpers need for the slow end of a task's hours; 0 where their number, the area or the
    hours are not known, or others do it.
    """
    helpers, a_day = c.filled.situation.means.helpers, c.knowledge.value("helper-day")
    if not helpers or a_day is None or task.every is not None or not c.knowledge.hands[task.who].own:
        return 0
    hours = hours_of_go(c, task, jobs)
    return 0 if hours is None else math.ceil(round(hours[1] / (helpers * a_day), 6))


def hours_of_go(c: Consultation, task: TaskTemplate, jobs: Sequence[Job]) -> tuple[float, float] | None:
    """Hours of work of one go of a task, the quick and the slow end: by the area of every job that shares it,
    or by the go; None where they are not known.
    """
    ends: list[float] = []
    for written in (task.hours_low, task.hours_high):
        if written is None:
            return None
        unit = unit_of(c, written)
        held = read_value(c, written, jobs[0].facts, unit)
        if held is None:
            return None
        if unit == "h/1000m2":
            areas = [job.area for job in jobs]
            if None in areas:
                return None
            held *= sum(area for area in areas if area is not None) / 1000
        ends.append(held)
    return min(ends), max(ends)


def end_of(c: Consultation, task: TaskTemplate, jobs: Sequence[Job], first: dt.date) -> dt.date:
    """The last of the days that a task takes, counted in days on which it may be done."""
    last = first
    for _ in range(days_taken(c, task, jobs) - 1):
        last = first_day(c, task, jobs, last + ONE) or last
    return last


def allowed_start(c: Consultation, job: Job, date: dt.date) -> dt.date:
    """The first day from `date` on which a job may start."""
    end = date + HORIZON
    while date < end and not (can_work(c.filled, date) and _free_of_play(c, job, date)):
        date += ONE
    return date


def next_working_day(c: Consultation, date: dt.date) -> dt.date:
    """The first day from `date` on which work is allowed."""
    while not can_work(c.filled, date) and date < c.filled.today + HORIZON:
        date += ONE
    return date


def last_working_day(c: Consultation, date: dt.date) -> dt.date:
    """The last day until `date` on which work is allowed, and today at the earliest."""
    while not can_work(c.filled, date) and date > c.filled.today:
        date -= ONE
    return date
