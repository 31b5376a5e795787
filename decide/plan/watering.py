"""How each job is watered, stage by stage: how often, how much, for how long, and what is lacking for it."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from decide.decision.consultation import Consultation
from decide.facts.areas import field_as_told
from decide.facts.wetting import (
    Dose,
    Spell,
    amount,
    first_spell,
    hours_a_day,
    kept_wet,
    soaking,
    soil_for_water,
    spell,
    to_the_roots,
    water_means,
)
from decide.knowledge.schema_care import WaterStage
from decide.measure import area, dates, water
from decide.model.planned import Watering
from decide.plan.jobs import ONE, WEEK, Job, When, sentences, shown


@dataclass(frozen=True)
class Wetting:
    """One stage of watering of one job, with what the weeks need of it.

    Visits a day; litres of a usual day, None where the area is not known; days from one watering to the next.
    """

    job: Job
    key: str
    row: Watering
    first: dt.date
    last: dt.date
    visits: float
    litres_day: float | None
    every_days: float

    def on(self, date: dt.date) -> bool:
        """Whether the stage runs on that day."""
        return self.first <= date <= self.last


@dataclass(frozen=True)
class Run:
    """How long the water runs: minutes of one wetting, hours of a watering day, and the parts of the zone
    that are watered, or begun, on days of their own.
    """

    minutes: float
    hours: float
    pieces: int


def wettings(
    c: Consultation, job: Job, events: Mapping[str, When], ends: dt.date | None = None
) -> Iterator[Wetting]:
    """The stages of a job, one after another, until the day on which new work takes its ground.

    None where climate or days are not known.
    """
    f = c.filled
    if f.site is None or f.latitude is None or job.season is None:
        return
    after: dt.date | None = None
    before: Dose | None = None
    for key, stage in c.knowledge.watering.items():
        if job.made_from not in stage.made_from or stage.opens not in events:
            continue
        closes = events.get(stage.closes) or events.get(stage.closes_else or "")
        if closes is None:
            continue
        opens = events[stage.opens].early + (ONE if stage.after_opening else dt.timedelta())
        first = max(f.today, opens if after is None else after + ONE)
        last = _last(c, job, stage, first, closes.late if ends is None else min(closes.late, ends - ONE))
        if last < first:
            continue
        after = last
        dose = _dose(c, job, stage, first, last, before)
        if dose is not None:
            before = before if stage.kind == "once" else dose[0]
            yield _wetting(c, job, key, first, last, *dose)


def _last(c: Consultation, job: Job, stage: WaterStage, first: dt.date, closes: dt.date) -> dt.date:
    """The last day of a stage: that of what closes it, and never later than its most days in such weather."""
    in_ = first_spell(c.filled, first)
    most = None if in_ is None else amount(c.filled, stage.days.get(in_.weather), {}, "day", job.zone)
    return closes if most is None else min(closes, first + (math.ceil(most) - 1) * ONE)


def _dose(
    c: Consultation, job: Job, stage: WaterStage, first: dt.date, last: dt.date, before: Dose | None
) -> tuple[Dose, float] | None:
    """How a stage is watered, and the wettings of a usual week; None where a number of it is not known."""
    f = c.filled
    # So the option that is judged and the plan of it say the same of the first wettings.
    in_ = first_spell(f, first) if stage.kind == "wet" else spell(f, first, last)
    if in_ is None:
        return None
    if stage.kind == "once":
        dose = soaking(f, stage, job.facts, job.zone)
        return None if dose is None else (dose, float(dose.goes))
    if stage.kind == "wet":
        dose = kept_wet(f, stage, job.facts, in_, job.zone)
    else:
        need, short = _need_and_short(c, job, stage, in_, first, last)
        dose = to_the_roots(f, stage, job.facts, need, before, job.zone)
        if dose is not None and stage.rain == "sum":
            return dose, max(0.0, short) / dose.each
    return None if dose is None else (dose, WEEK * in_.dry * dose.a_day)


def _need_and_short(
    c: Consultation, job: Job, stage: WaterStage, in_: Spell, first: dt.date, last: dt.date
) -> tuple[float, float]:
    """Mm a day that a stage uses in a usual year, and mm a week of it that rain does not bring; without a
    share of its own those of turf that has set.
    """
    share = amount(c.filled, stage.share, job.facts, "ratio", job.zone)
    if share is not None:
        return in_.lost * share, WEEK * in_.lost * share
    assert job.season is not None
    days = [dates.day_of_year(first + n * ONE) for n in range((last - first).days + 1)]
    needs = [c.filled.need_mm_a_day(day, job.season) or 0.0 for day in days]
    shorts = [c.filled.rain_short(day, job.season) for day in days]
    need = sum(needs) / len(days)
    known = [short for short in shorts if short is not None]
    return need, sum(known) / len(known) if known else WEEK * need


def _wetting(
    c: Consultation, job: Job, key: str, first: dt.date, last: dt.date, dose: Dose, a_week: float
) -> Wetting:
    stage, means = c.knowledge.watering[key], water_means(c.filled)
    efficiency = c.filled.library.constants.water.efficiency
    litres = None if job.area is None else water.litres_to_send(job.area, dose.each, efficiency)
    run = _run(c, dose, litres)
    # Goes with an hour between are one visit.
    wanted = float(dose.goes) if stage.kind == "wet" else 1.0
    visits = wanted if a_week > 0 and means.by_hand else 0.0
    if not means.waters:
        said = [c.knowledge.text("water-none-here"), sentences(c, stage.unwatered, job.facts)]
    else:
        said = [
            _rhythm(c, dose, stage),
            sentences(c, stage.text, job.facts),
            *_lacking(c, job, stage, dose, a_week, run, visits),
        ]
    row = Watering(
        **{"from": first.isoformat()},
        zone=job.name,
        stage=stage.stage,
        until=last.isoformat(),
        times_a_day=round(dose.a_day, 2),
        mm_each=round(dose.each, 2),
        times_a_week=round(a_week, 3),
        mm_a_week=round(a_week * dose.each, 1),
        litres_each=None if litres is None else round(litres),
        litres_a_week=None if litres is None else round(a_week * litres),
        minutes_each=None if run is None else round(run.minutes, 1),
        pieces=1 if run is None else run.pieces,
        text=" ".join(said),
        sources=sorted(stage.sources),
    )
    days = 1 if stage.kind == "once" else WEEK
    a_day = None if litres is None or not means.waters else a_week * litres / days
    return Wetting(job, key, row, first, last, visits, a_day, float(dose.every))


def _run(c: Consultation, dose: Dose, litres: float | None) -> Run | None:
    """How long the water runs, and in how many parts it is watered, or begun, where a day is too short."""
    flow, there = c.filled.situation.means.flow_l_min, hours_a_day(c.filled)
    if litres is None or not flow or not there:
        return None
    minutes = litres / flow
    hours = minutes * dose.goes / 60
    return Run(minutes, hours, math.ceil(round(hours / there, 6)))


# ---------- in words ----------
def _rhythm(c: Consultation, dose: Dose, stage: WaterStage) -> str:
    """How much at a time, and how often."""
    k, each = c.knowledge, shown(c, round(dose.each, 1), "mm")
    if stage.kind == "once":
        return k.text("water-once", n=dose.goes, each=each)
    if dose.every <= 1:
        return k.text("water-daily", n=dose.goes, each=each)
    said = k.text("water-seldom", n=dose.goes, days=dose.every, each=each)
    deep = k.value("deep-from")
    return f"{said} {k.text('water-deep')}" if deep is not None and dose.depth >= deep else said


def _lacking(
    c: Consultation, job: Job, stage: WaterStage, dose: Dose, a_week: float, run: Run | None, visits: float
) -> Iterator[str]:
    """What is lacking, in words: rain that is enough, law, hands, hours, reach, the soil."""
    k = c.knowledge
    if a_week <= 0:
        yield k.text("water-rain-is-enough")
    yield from _law(c, stage, dose)
    yield from _hands(c, visits)
    if run is not None:
        yield from _hours(c, job, stage, dose, run)
    reach = hose_reach(c)
    if reach is not None and job.area is not None and job.area > reach:
        yield k.text("water-reach-short", reach=shown(c, reach, "m2"), area=shown(c, job.area, "m2"))
    soil, was_told = soil_for_water(c.filled, job.zone)
    if not was_told and stage.kind == "deep":
        yield k.text("water-soil-assumed", soil=soil)


def _law(c: Consultation, stage: WaterStage, dose: Dose) -> Iterator[str]:
    """What the law on watering leaves of it."""
    limits, k = c.filled.situation.limits, c.knowledge
    if limits.water_hours:
        spans = [f"{span.start}–{span.until}" for span in limits.water_hours]
        yield k.text("water-law-hours", hours=spans)
    if limits.water_law in (None, "none") or limits.new_turf_excepted is True:
        return
    if limits.water_law == "banned":
        yield k.text("water-law-banned")
    else:
        yield k.text(
            "water-law-wants-every-day"
            if stage.kind != "once" and dose.every <= 1
            else "water-law-allowed-days"
        )
        if limits.water_days:
            yield k.text(
                "water-law-days",
                days=[k.text(f"weekday-{each}") for each in limits.water_days],
            )


def _hands(c: Consultation, visits: float) -> Iterator[str]:
    """The days on which nobody can come so often."""
    k, means = c.knowledge, c.filled.situation.means
    for day, made in (
        (k.text("water-weekday"), means.wettings_weekday),
        (k.text("water-weekend-day"), means.wettings_weekend),
    ):
        if made == 0 and visits > 0:
            yield k.text("water-nobody-comes", day=day, wanted=visits)
        elif made is not None and visits > made:
            yield k.text("water-visits-short", day=day, n=made, wanted=visits, short=visits - made)


def _hours(c: Consultation, job: Job, stage: WaterStage, dose: Dose, run: Run) -> Iterator[str]:
    """More hours of running water than there are in a day, and what the water keeps up all the same."""
    k, there = c.knowledge, hours_a_day(c.filled)
    if there is None or job.area is None or run.hours <= there:
        return
    if stage.kind == "deep" and run.pieces <= dose.every:
        yield k.text("water-piece-by-piece", hours=round(run.hours, 1), n=run.pieces)
        return
    days = dose.every if stage.kind == "deep" else 1
    kept = shown(c, job.area * there * days / run.hours, "m2")
    yield k.text(
        "water-keeps-up" if stage.kind == "deep" else "water-begin-less", hours=round(run.hours, 1), area=kept
    )


def hose_reach(c: Consultation) -> float | None:
    """The area, m2, that a hose standing at the middle of an edge can reach: half a circle, no more than the
    field.
    """
    means = c.filled.situation.means
    if means.hose_reach_m is None or means.hose_reach_m <= 0 or not water_means(c.filled).by_hand:
        return None
    half = area.circle(means.hose_reach_m, 0.5)
    whole = field_as_told(c.filled)
    return half if whole is None else min(half, whole)
