"""Hours of play a week that ground can take from each step of its opening on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from decide.decision.consultation import Consultation
from decide.measure import dates
from decide.model.planned import PlayHours
from decide.model.words import capital
from decide.plan.jobs import ONE, Job, When, read_value


def play_hours(c: Consultation, job: Job, events: Mapping[str, When]) -> list[PlayHours]:
    """Hours of play a week from each step of opening on, and when growth ends and comes back in the year
    after.

    Adult hours by class of ground and season of growth; empty where the ground's drainage is not known.
    """
    ground = c.site.get("site.ground-class")
    if not isinstance(ground, str) or job.season is None or c.filled.site is None:
        return []
    steps = _steps(c, job, events)
    rows = [_row(c, job, ground, date, step, share) for date, (step, share) in sorted(steps.items())]
    if steps:
        last = max(steps)
        share = steps[last][1]
        grew = c.filled.site.grows(job.season, dates.day_of_year(last))
        for step in range(1, dates.YEAR + 1):
            date = last + step * ONE
            grows = c.filled.site.grows(job.season, dates.day_of_year(date))
            if grows != grew:
                grew = grows
                name = c.knowledge.text("play-growing") if grows else c.knowledge.text("play-resting")
                rows.append(_row(c, job, ground, date, name, share))
    return rows


def _steps(c: Consultation, job: Job, events: Mapping[str, When]) -> dict[dt.date, tuple[str, float]]:
    """The days from which more may be played, with what is open then and the share of all hours; of one day
    the last step.
    """
    return {
        events[row.event].late: (
            row.name,
            1.0 if row.share is None else read_value(c, row.share, job.facts, "ratio") or 0.0,
        )
        for row in c.knowledge.play.values()
        if row.event in events and job.draft.remedy in row.remedies
    }


def _row(c: Consultation, job: Job, ground: str, date: dt.date, step: str, share: float) -> PlayHours:
    site, k = c.filled.site, c.knowledge
    assert site is not None
    assert job.season is not None
    growing = site.grows(job.season, dates.day_of_year(date))
    stands = k.value(f"hours-growing-{job.season}" if growing else "hours-resting", ground) or 0.0
    hours = _half_hours(stands * share)
    youth = k.value("youth-hour-share")
    text = (
        k.text("play-hours-youth", step=capital(step), hours=hours, youth=_half_hours(hours / youth))
        if youth
        else k.text("play-hours", step=capital(step), hours=hours)
    )
    return PlayHours(**{"from": date.isoformat()}, zone=job.name, hours=hours, text=text)


def _half_hours(hours: float) -> float:
    """Hours rounded to the half, as nobody can tell them better."""
    return round(2 * hours) / 2
