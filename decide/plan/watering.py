"""How each job is watered, stage by stage: how often, how much, for how long, and what is lacking for it."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from decide.decision.consultation import Consultation
from decide.engine.language import Fact
from decide.facts.areas import field_as_told
from decide.knowledge.schema_care import WaterMeans, WaterStage
from decide.measure import area, dates, water
from decide.model.planned import Watering
from decide.model.written import coded
from decide.plan.jobs import ONE, WEEK, Job, When, read_value, sentences, shown, unit_of

NOT_TOLD: Final = "not-told"


@dataclass(frozen=True)
class Wetting:
    """One stage of watering of one job, with what the weeks need of it.

    Visits a day; litres a day beyond rain, None where the area is not known; days from one watering to
    the next.
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
class Dose:
    """Wettings on a day without rain, mm in each, and how many of them follow one another on a
    watering day.
    """

    a_day: float
    each: float
    goes: int = 1


def water_means(c: Consultation) -> WaterMeans:
    """The means of watering that there is, as far as it was told."""
    return c.knowledge.water_means[coded(c.filled.situation.means.water or NOT_TOLD)]


def wettings(
    c: Consultation, job: Job, events: Mapping[str, When], ends: dt.date | None = None
) -> Iterator[Wetting]:
    """The stages of a job, one after another, until the day on which new work takes its ground.

    None where climate or days are not known.
    """
    f = c.filled
    if f.site is None or f.latitude is None or f.climate is None or job.season is None:
        return
    after: dt.date | None = None
    for key, stage in c.knowledge.watering.items():
        if job.made_from not in stage.made_from or stage.opens not in events:
            continue
        closes = events.get(stage.closes) or events.get(stage.closes_else or "")
        if closes is None:
            continue
        first = events[stage.opens].early + (ONE if stage.after_opening else dt.timedelta())
        first = max(first, f.today if after is None else after + ONE)
        last = closes.late if ends is None else min(closes.late, ends - ONE)
        if last < first:
            continue
        after = last
        found = _wetting(c, job, key, stage, first, last)
        if found is not None:
            yield found


def _wetting(
    c: Consultation, job: Job, key: str, stage: WaterStage, first: dt.date, last: dt.date
) -> Wetting | None:
    numbers, flow = c.filled.library.constants.water, c.filled.situation.means.flow_l_min
    means = water_means(c)
    assert job.season is not None
    lost, rain = _lost_and_rain(c, first, last)
    share = (
        read_value(c, stage.share, job.facts, "ratio")
        if stage.share
        else numbers.turf_coefficient[job.season]
    )
    need = lost * (share or 0.0)
    dose = _dose(c, job, stage, need, first, last)
    if dose is None:
        return None
    once = stage.kind == "once"
    short = dose.a_day * dose.each if once else max(0.0, WEEK * (need - rain))
    litres = None if job.area is None else water.litres_to_send(job.area, dose.each, numbers.efficiency)
    minutes = None if litres is None or not flow else litres / flow
    visits = float(math.ceil(dose.a_day)) if short > 0 and means.by_hand else 0.0
    if not means.waters:
        said = [c.knowledge.text("water-none-here"), sentences(c, stage.unwatered, job.facts)]
    else:
        said = [
            _rhythm(c, dose, stage),
            sentences(c, stage.text, job.facts),
            *_lacking(c, job, stage, dose, short, minutes, visits),
        ]
    row = Watering(
        **{"from": first.isoformat()},
        zone=job.name,
        stage=stage.stage,
        until=last.isoformat(),
        times_a_day=round(dose.a_day, 2),
        mm_each=round(dose.each, 1),
        mm_a_week=round(short, 1),
        litres_each=None if litres is None else round(litres),
        minutes_each=None if minutes is None else round(minutes, 1),
        text=" ".join(said),
        sources=sorted(stage.sources),
    )
    a_day = (
        None
        if job.area is None or not means.waters
        else water.litres_to_send(job.area, short if once else short / WEEK, numbers.efficiency)
    )
    every = max(1.0, float(round(dose.goes / dose.a_day)))
    return Wetting(job, key, row, first, last, visits, a_day, every)


# ---------- how much ----------
def _lost_and_rain(c: Consultation, first: dt.date, last: dt.date) -> tuple[float, float]:
    """Mean reference evapotranspiration and mean rain of a normal year over some days, mm a day."""
    f = c.filled
    assert f.season is not None
    assert f.site is not None
    count = (last - first).days + 1
    lost = rain = 0.0
    for step in range(count):
        at = dates.day_of_year(first + step * ONE)
        lost += f.season.water.reference(at) or 0.0
        month = dates.month_of(at)
        if f.site.climate.rain:
            rain += f.site.climate.rain[month - 1] / dates.MONTH_LENGTHS[month - 1]
    return lost / count, rain / count


def soil_for_water(c: Consultation) -> tuple[str, bool]:
    """The soil for water, and whether it was told: that of what the field was built of, else that
    of its top.
    """
    built = c.knowledge.rootzones.get(str(c.site.get("site.rootzone")))
    told_soil = built.soil if built is not None else c.site.get("site.soil")
    usual = c.types["site.soil"].usual
    return str(told_soil or usual), told_soil is not None


def _most_in_one_go(c: Consultation) -> float:
    """The most water, mm, that the ground takes in one go without running off."""
    k = c.knowledge
    most = k.value("water-once-most", soil_for_water(c)[0]) or math.inf
    slope, steep = c.filled.situation.field.slope_percent, k.value("water-slope-from")
    share = k.value("water-slope-share")
    if slope is not None and steep is not None and share is not None and slope >= steep:
        most *= share
    return most


def _dose(
    c: Consultation, job: Job, stage: WaterStage, need: float, first: dt.date, last: dt.date
) -> Dose | None:
    """How a need of so many mm a day is given at a stage; None where a number of it is not known."""
    facts, most_once = job.facts, _most_in_one_go(c)
    if stage.kind == "wet":
        return _kept_wet(c, facts, stage, need, most_once, _is_hot(c, first, last))
    if stage.kind == "once":
        depth = read_value(c, stage.most, facts, "mm")
        if depth is None:
            return None
        times = math.ceil(round(depth / most_once, 6))
        return Dose(float(times), depth / times)
    roots = read_value(c, stage.roots, facts, "mm")
    holds, drawn = c.knowledge.value("soil-holds", soil_for_water(c)[0]), c.knowledge.value("soil-drawn")
    if roots is None or holds is None or drawn is None or need <= 0:
        return None
    depth = roots * holds * drawn
    times = math.ceil(round(depth / most_once, 6))
    if need <= depth:
        return Dose(need * times / depth, depth / times, times)
    often = math.ceil(round(need / min(depth, most_once), 6))
    return Dose(float(often), need / often)


def _kept_wet(
    c: Consultation, facts: Mapping[str, Fact], stage: WaterStage, need: float, most_once: float, hot: bool
) -> Dose | None:
    low, high = (stage.hot_low, stage.hot_high) if hot else (stage.times_low, stage.times_high)
    least, most = read_value(c, stage.least, facts, "mm"), read_value(c, stage.most, facts, "mm")
    if low is None or high is None or least is None or most is None:
        return None
    fewest, often = (round(read_value(c, name, facts, unit_of(c, name)) or 0) for name in (low, high))
    most = min(most, most_once)
    times = min(max(math.ceil(round(need / most, 6)), fewest), max(often, fewest))
    return Dose(float(times), min(max(need / times, least), most))


def _is_hot(c: Consultation, first: dt.date, last: dt.date) -> bool:
    """Whether a bed dries between mild-weather wettings: by the usual day temperature in the middle of the
    stage.
    """
    f, hot = c.filled, c.knowledge.value("hot-seed-day")
    assert f.season is not None
    assert f.site is not None
    at = dates.day_of_year(first + (last - first) // 2)
    return hot is not None and f.site.year.normal(at) + f.season.water.day_range(at) / 2 >= hot


# ---------- in words ----------
def _rhythm(c: Consultation, dose: Dose, stage: WaterStage) -> str:
    """How much at a time, and how often."""
    each = shown(c, round(dose.each, 1), "mm")
    if stage.kind == "once":
        return c.knowledge.text("water-once", n=dose.a_day, each=each)
    every = round(dose.goes / dose.a_day)
    if every <= 1:
        return c.knowledge.text("water-daily", n=max(dose.goes, round(dose.a_day)), each=each)
    return c.knowledge.text("water-seldom", n=dose.goes, days=every, each=each)


def _lacking(
    c: Consultation,
    job: Job,
    stage: WaterStage,
    dose: Dose,
    short: float,
    minutes: float | None,
    visits: float,
) -> Iterator[str]:
    """What is lacking, in words: rain that is enough, law, hands, hours, reach, the soil."""
    k = c.knowledge
    if short <= 0:
        yield k.text("water-rain-is-enough")
    yield from _law(c, dose)
    yield from _hands(c, visits)
    if minutes is not None:
        yield from _hours(c, stage, minutes * max(1.0, dose.a_day) / 60)
    reach = hose_reach(c)
    if reach is not None and job.area is not None and job.area > reach:
        yield k.text("water-reach-short", reach=shown(c, reach, "m2"), area=shown(c, job.area, "m2"))
    soil, was_told = soil_for_water(c)
    if not was_told and stage.kind == "deep":
        yield k.text("water-soil-assumed", soil=soil)


def _law(c: Consultation, dose: Dose) -> Iterator[str]:
    """What the law on watering leaves of it."""
    law = c.filled.situation.limits.water_law
    if law == "banned":
        yield c.knowledge.text("water-law-banned")
    elif law == "restricted days":
        yield (
            c.knowledge.text("water-law-wants-every-day")
            if dose.a_day >= dose.goes
            else c.knowledge.text("water-law-allowed-days")
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


def _hours(c: Consultation, stage: WaterStage, hours: float) -> Iterator[str]:
    """More hours of running water than a day has, or than there are."""
    k, there, whole_day = (
        c.knowledge,
        c.filled.situation.means.watering_hours_day,
        c.knowledge.value("hours-of-a-day"),
    )
    if whole_day is not None and hours > whole_day:
        yield (
            k.text("water-piece-by-piece", hours=round(hours))
            if stage.kind == "deep"
            else k.text("water-begin-less", hours=round(hours))
        )
    elif there is not None and hours > there:
        yield k.text("water-hours-short", wanted=round(hours, 1), there=there)


def hose_reach(c: Consultation) -> float | None:
    """The area, m2, that a hose standing at the middle of an edge can reach: half a circle, no more than the
    field.
    """
    means = c.filled.situation.means
    if means.hose_reach_m is None or means.hose_reach_m <= 0 or not water_means(c).by_hand:
        return None
    half = area.circle(means.hose_reach_m, 0.5)
    whole = field_as_told(c.filled)
    return half if whole is None else min(half, whole)
