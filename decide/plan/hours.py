"""Hours of play a week that ground can take from each step of its opening on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from decide.decision.consultation import Consultation
from decide.measure import dates
from decide.model import advice as out
from decide.model.words import capital
from decide.plan.jobs import ONE, Event, Job


def play_hours(c: Consultation, job: Job, events: Mapping[str, Event]) -> list[out.PlayHours]:
    """Hours of play a week from each step of opening on, and when growth ends and comes back in the year after.

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


def _steps(c: Consultation, job: Job, events: Mapping[str, Event]) -> dict[dt.date, tuple[str, float]]:
    """The days from which more may be played, with what is open then and the share of all hours; of one day the last step."""
    k = c.knowledge
    light, full = k.value("play-share-light") or 0, k.value("play-share-full") or 0
    steps: list[tuple[dt.date, str, float]] = []
    if job.draft.new_grass:
        named = (
            ("light-use", k.text("play-light-use"), light),
            ("full-play", k.text("play-full-play"), full),
            ("full-fixtures", k.text("play-full-fixtures"), 1.0),
        )
        steps = [(events[event].late, name, share) for event, name, share in named if event in events]
    elif "recovered" in events:
        steps = [(events["recovered"].late, k.text("play-full-play"), full)]
    elif job.draft.remedy in ("use-less", "move-play"):
        steps = [(events["start"].early, k.text("play-ground-stands"), 1.0)]
    return {date: (name, share) for date, name, share in steps}


def _row(c: Consultation, job: Job, ground: str, date: dt.date, step: str, share: float) -> out.PlayHours:
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
    return out.PlayHours(**{"from": date.isoformat()}, zone=job.name, hours=hours, text=text)


def _half_hours(hours: float) -> float:
    """Hours rounded to the half, as nobody can tell them better."""
    return round(2 * hours) / 2
