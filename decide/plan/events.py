"""The days that follow from a job's start: first green, rooting, first cut, cover, use, growth."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Sequence

from decide.decision.consultation import Consultation
from decide.facts.draft import days_off
from decide.facts.wetting import wakes
from decide.measure import dates, readiness
from decide.plan.jobs import ONE, Job, When


def why_then(c: Consultation, event: str, add: int) -> str:
    """Why a task is done so many days after an event."""
    row = c.knowledge.events[event]
    return c.knowledge.text("plan-why-after-event", n=add, event=row.name) if add else row.why


def events_of(c: Consultation, job: Job, start: dt.date) -> dict[str, When]:
    """The days that the tasks of a job hang on, by name; only those that can be told."""
    today, site = c.filled.today, c.filled.site
    found = {"today": When(today, today), "start": When(start, start)}
    if job.draft.new_grass and site is not None:
        found.update(_establishing(c, job, start))
    elif job.draft.remedy == "recover":
        early, late = (job.facts.get(f"zone.recovery-days.{end}") for end in ("early", "late"))
        if isinstance(early, float) and isinstance(late, float):
            closed = When(start + dt.timedelta(days=early), start + dt.timedelta(days=late))
            found["recovered"] = found["light-use"] = closed
    if job.season is not None and site is not None:
        spring = (
            start if job.draft.remedy == "wait" else dates.date_on_or_after(site.year.coldest, start + ONE)
        )
        for name, since in (("growing", start), ("growth", spring)):
            wait = site.wait_for_growth(job.season, dates.day_of_year(since))
            if wait is not None:
                found[name] = When(since + wait * ONE, since + wait * ONE)
    stand = job.facts.get("zone.main-season-type")
    over = c.knowledge.variants[job.draft.variant].cover_over
    if job.draft.new_grass and over and isinstance(stand, str) and site is not None:
        spring = dates.date_on_or_after(site.year.coldest, start + ONE)
        wait = site.wait_for_growth(stand, dates.day_of_year(spring))
        if wait is not None:
            found["stand-wakes"] = When(spring + wait * ONE, spring + wait * ONE)
    return found


def _after(of: When, days: Sequence[float | None]) -> When | None:
    """Some days after an event, at the low and the high end."""
    low, high = days
    if low is None or high is None:
        return None
    return When(of.early + math.ceil(low) * ONE, of.late + math.ceil(high) * ONE)


def _establishing(c: Consultation, job: Job, start: dt.date) -> Iterator[tuple[str, When]]:
    """First green, rooting, first cut, cover and the dates of use, in order."""
    site, plants, k = c.filled.site, c.filled.library.constants.plants, c.knowledge
    assert site is not None
    draft, made, at = job.draft, job.made_from, dates.day_of_year(start)
    begun, wake = When(start, start), When(*[wakes(c.filled, draft.key, draft.variant, start)] * 2)
    yield "wetting", wake
    up: When | None = None
    if made == "seed":
        up = _after(
            wake, readiness.germination_days(site, plants, draft.plant, dates.day_of_year(wake.early))
        )
    elif made == "vegetative":
        up = _after(begun, [k.value(f"sprig-damp-days-{end}") for end in ("low", "high")])
    if up is not None:
        yield "emergence", up
    ready = {
        stage: readiness.readiness(site, plants, draft.key, at, stage)
        for stage in ("rooted", "first-cut", "cover")
    }
    ready.update(c.measures.readiness(draft.key, start, draft.zone))
    found = {stage: _after(begun, (row.early, row.late)) for stage, row in ready.items()}
    after = up or begun
    cut, low, high = found["first-cut"], *(k.value(f"first-cut-after-{end}", made) for end in ("low", "high"))
    if cut is None:
        found["first-cut"] = _after(after, (low, high))
    elif (least := _after(after, (low, low))) is not None:
        found["first-cut"] = When(max(cut.early, least.early), max(cut.late, least.late))
    if made != "sod":
        del found["rooted"]
        _after_cuts(c, job, found)
    yield from ((stage, event) for stage, event in found.items() if event is not None)


def _after_cuts(c: Consultation, job: Job, found: dict[str, When | None]) -> None:
    """Put off the days of use until the cuts that their opening asks for can be made, one after another at
    the plan's pace.
    """
    site, cut = c.filled.site, found["first-cut"]
    if site is None or cut is None or job.season is None:
        return
    rules, off = site.rules, days_off(c.filled, cut.early)
    for stage, cuts in (("light-use", rules.mows_light), ("full-play", rules.mows_full)):
        use = found.get(stage)
        wait = readiness.cut_again(
            site, job.season, dates.day_of_year(cut.early), 0, cuts - 1, rules.cut_every_days, off
        )
        if use is not None and wait is not None:
            first = max(use.early, cut.early + wait * ONE)
            found[stage] = When(first, max(first, use.late))
