"""Replays a planting through the weather of many years: how often it is ready by a date, dies in the cold or
washes out.
"""

import dataclasses
import math
import statistics
from typing import Literal

import numpy as np

from decide.measure import dates, growth
from decide.measure.climate import Floats
from decide.measure.past import Flags, Ints, OddsNumbers, Past
from decide.measure.readiness import Off, before_of, late_up, mown, stage_need

How = Literal["replayed", "approximation"]

# early, middle and late needs
LEVELS = ("early", "middle", "late")
# steps in which a year may be warm or cold, or its frost early or late, where only averages are known: tenths
STEPS = 10


@dataclasses.dataclass(frozen=True)
class Odds:
    """Shares of years, 0 to 1. `ready` is by the middle need, `ready_least` by the late one, `ready_most` by
    the early one.

    `killed`: the first winter, or the first frost of warm-season grass, kills it. `washed_out`: a heavy rain
    carries the seed off before it holds; None where rain is not known or washes nothing out. `years` is None
    for an approximation.
    """

    years: int | None
    ready: float
    ready_least: float
    ready_most: float
    killed: float
    washed_out: float | None
    how: How
    note: str = ""


@dataclasses.dataclass(frozen=True, eq=False)
class Replay:
    """What each replayed year did, a column a year: ready by level (early, middle, late), killed, washed out.

    `years` are the calendar years of the starts. `washed_out` is None where rain is not known or washes
    nothing out.
    """

    years: Ints
    ready: Flags
    killed: Flags
    washed_out: Flags | None


@dataclasses.dataclass(frozen=True)
class Planting:
    """What is planted, when, for what, and by when: grass and start ("perennial-ryegrass/seed"), day of the
    year, stage.

    `days` run from the start to the date wanted; `method` tells how a heavy rain reaches the seed; `off` are
    the spans in which nobody cuts.
    """

    key: str
    start: int
    stage: str
    days: int
    method: str = ""
    off: Off = ()


def odds(
    site: growth.Site,
    plants: growth.Plants,
    numbers: OddsNumbers,
    planting: Planting,
    past: Past | None = None,
) -> Odds | None:
    """The odds of a planting: replayed where there are years enough, else a stated approximation from
    averages.

    None where the model has no need for the stage. Raises ValueError for a stage or key that does not exist.
    """
    if planting.stage not in growth.STAGES:
        raise ValueError(f"stage {planting.stage!r}: write one of {', '.join(growth.STAGES)}")
    if past is not None:
        found = replay(past, plants, planting)
        if found is None:
            return None
        if len(found.years) >= numbers.years_least:
            share = found.ready.mean(axis=1)
            washed = None if found.washed_out is None else float(found.washed_out.mean())
            return Odds(
                len(found.years), float(share[1]), float(share[2]), float(share[0]),
                float(found.killed.mean()), washed, "replayed",
                f"weather of {int(found.years[0])} to {int(found.years[-1])}",
            )  # fmt: skip
    return approximation(site, plants, numbers, planting)


# ---------- replay ----------
def replay(past: Past, plants: growth.Plants, p: Planting) -> Replay | None:
    """A planting in every year that was read from its start to its end and through its first winter.

    None where the model has no need for the stage. The needs, floors, winter gates and delays are those of
    the readiness dates; the heat is that of each year's own days, and so are its frost and its growing days.
    """
    grass, start = growth.split_key(p.key)
    if start == "thick-sod" and p.stage in ("light-use", "full-play", "full-fixtures"):
        return _thick(past, plants, p, grass)
    if stage_need(plants, past.site.rules, p.key, p.stage, None) is None:
        return None
    at = past.starts(p.start, _horizon(past.site, plants, p))
    killed, limit, heat, asleep = _winter(past, plants, p, at)
    ready = np.stack([_ready(past, plants, p, p.stage, level, at, limit, heat, asleep) for level in LEVELS])
    if growth.season_of(plants, grass) == "cool":
        ready &= ~killed
    return Replay(past.year0 + at // dates.YEAR, ready, killed, _washed(past, p, at))


def _thick(past: Past, plants: growth.Plants, p: Planting, grass: str) -> Replay | None:
    """Thick sod is ready at once when the tests pass, at the latest when thin sod would be."""
    stage = "full-play" if p.stage == "light-use" else p.stage
    thin = replay(past, plants, dataclasses.replace(p, key=f"{grass}/sod", stage=stage))
    if thin is None:
        return None
    soon = np.full(len(thin.years), p.days >= past.site.rules.thick_sod_days)
    return dataclasses.replace(thin, ready=np.stack([soon, soon, soon & thin.ready[2]]))


def _horizon(site: growth.Site, plants: growth.Plants, p: Planting) -> int:
    """Days that a year must have been read: to the date wanted, through the first winter where that
    can kill.
    """
    grass, start = growth.split_key(p.key)
    if start in ("sod", "thick-sod"):
        return max(1, p.days)
    if grass in plants.warm:
        span = _frost_span(site, p.start)
        return max(1, p.days, 0 if span is None else span[1])
    return max(
        1,
        p.days,
        dates.days_ahead(p.start, site.year.coldest) if site.year.low < site.rules.gate_coldest_c else 0,
    )


def _frost_span(site: growth.Site, start: int) -> tuple[int, int] | None:
    """Days from a start between which the year's first frost is looked for; None where frost is rare.

    From the hottest day before the usual first frost to the coldest after it, so that a late frost of spring
    is none.
    """
    first = site.frost.first
    if first is None:
        return None
    ahead = dates.days_ahead(start, first)
    return max(0, ahead - dates.days_ahead(site.year.hottest, first)), ahead + dates.days_ahead(
        first, site.year.coldest
    ) + 1


def _winter(
    past: Past, plants: growth.Plants, p: Planting, at: Ints
) -> tuple[Flags, Ints, Floats | None, Flags]:
    """For each year: killed, the days until which it can become ready, cool-season heat before winter, asleep
    till spring.
    """
    site, rules = past.site, past.site.rules
    grass, start = growth.split_key(p.key)
    none, limit = np.zeros(len(at), dtype=np.bool_), np.full(len(at), p.days, dtype=np.int64)
    if start in ("sod", "thick-sod"):
        return none, limit, None, none
    if grass in plants.warm:
        span = _frost_span(site, p.start)
        if span is None or not at.size:
            return none, limit, None, none
        days = np.arange(*span)
        with np.errstate(invalid="ignore"):
            cold = past.low[at[:, None] + days] <= past.numbers.frost_c
        frost = np.where(cold.any(axis=1), days[np.argmax(cold, axis=1)], span[1])
        sums = past.sums(growth.WARM)
        killed = cold.any(axis=1) & (sums[at + frost] - sums[at] < rules.warm_lost)
        return killed, np.where(killed, np.minimum(limit, frost), limit), None, none
    if site.year.low >= rules.gate_coldest_c:
        return none, limit, None, none
    days_left = dates.days_ahead(p.start, site.year.coldest)
    heat = past.sums(growth.COOL)[at + days_left] - past.sums(growth.COOL)[at]
    seed = plants.germination.get(grass)
    asleep = none
    if seed is not None and seed.base is not None and seed.heat is not None:
        warmth = past.sums("G", seed.base)
        asleep = warmth[at + days_left] - warmth[at] < seed.heat
    waits = seed is not None and seed.waits_for_spring
    killed = np.where(asleep, not waits, heat < rules.gate_lost)
    return np.asarray(killed, dtype=np.bool_), limit, heat, asleep


def _part(need: growth.StageNeed, level: str) -> tuple[float | None, float | None]:
    """Heat (K-day) or, where none is known, weeks of a level of a need."""
    weeks = (need.weeks_early, need.weeks_middle, need.weeks_late)
    heat = (need.heat_early, need.heat_middle, need.heat_late)
    at = LEVELS.index(level)
    return heat[at], weeks[at]


def _least(site: growth.Site, plants: growth.Plants, p: Planting, stage: str, level: str) -> int | None:
    """Days that no heat can shorten: the weeks that print asks for and the cuts, on normals; None where the
    cuts are never made.
    """
    need, at = stage_need(plants, site.rules, p.key, stage, None), LEVELS.index(level)
    cut = mown(site, plants, p.key, p.start, stage, p.off)[at]
    return None if need is None or cut is None else max(1, need.floors[at], cut)


def _delay(rules: growth.GrowthRules, level: str) -> float:
    return {"early": rules.delay_early, "middle": rules.delay_middle, "late": rules.delay_late}[level]


def _is_delayed(site: growth.Site, p: Planting, kind: str, stage: str) -> bool:
    """Whether a start so long before the coldest day pays for heat that it lacks before winter."""
    play = stage in ("light-use", "full-play", "full-fixtures")
    return (
        kind == growth.COOL
        and play
        and dates.days_ahead(p.start, site.year.coldest) < site.rules.delay_within_days
    )


def _ready(
    past: Past,
    plants: growth.Plants,
    p: Planting,
    stage: str,
    level: str,
    at: Ints,
    limit: Ints,
    winter_heat: Floats | None,
    asleep: Flags,
) -> Flags:
    """Whether a stage is reached within the limit of days, for each year."""
    site, rules = past.site, past.site.rules
    need = stage_need(plants, rules, p.key, stage, None)
    least, wait = _least(site, plants, p, stage, level), late_up(site, plants, p.key, p.start)
    if need is None or least is None or wait is None:
        return np.zeros(len(at), dtype=np.bool_)
    season = growth.season_of(plants, growth.split_key(p.key)[0])
    latest, count = past.growing(season)
    # the latest growing day within the limit: the stage is not reached in a time without growth
    last = np.where(limit > 0, latest[np.clip(at + limit - 1, 0, len(latest) - 1)], -1)
    done = (last >= at) & (last + 1 - at >= least)
    heat, weeks = _part(need, level)
    if heat is not None:
        kind = growth.heat_kind(plants, p.key)
        wanted = np.full(len(at), heat)
        if winter_heat is not None and _is_delayed(site, p, kind, stage):
            short = np.maximum(0.0, rules.delay_reference - winter_heat)
            wanted += np.where(asleep, 0.0, _delay(rules, level) * short)
        sums = past.sums(kind)
        begun = np.minimum(at + wait, len(sums) - 1)
        done &= sums[np.maximum(last, 0) + 1] - sums[begun] >= wanted - 1e-9
    elif weeks is not None and weeks > rules.weeks_with_winter:
        done &= last + 1 - at >= math.ceil(7 * weeks)
    elif weeks is not None:
        done &= count[np.maximum(last, 0) + 1] - count[at] >= 7 * weeks - 1e-9
    for sooner, gap in before_of(plants, p.key, stage, "heat" if heat is not None else "weeks"):
        if stage_need(plants, rules, p.key, sooner, None) is not None:
            done &= _ready(past, plants, p, sooner, level, at, limit - gap, winter_heat, asleep)
    return np.asarray(done, dtype=np.bool_)


def _washed(past: Past, p: Planting, at: Ints) -> Flags | None:
    """Whether a day's rain reached the limit of the method in the first days; None where rain or limit is not
    known.
    """
    limit = past.numbers.washout_rain.get(p.method)
    days = np.arange(round(past.numbers.washout_days))
    if limit is None or not at.size:
        return None
    rain = past.rain[np.minimum(at[:, None] + days, len(past.rain) - 1)]
    if float(np.isnan(rain).mean()) > past.numbers.gap_most:
        return None
    with np.errstate(invalid="ignore"):
        return np.asarray((rain >= limit).any(axis=1), dtype=np.bool_)


# ---------- approximation ----------
def _steps() -> list[float]:
    """Middles of equal steps of the normal distribution, in standard deviations."""
    normal = statistics.NormalDist()
    return [normal.inv_cdf((step + 0.5) / STEPS) for step in range(STEPS)]


def approximation(site: growth.Site, plants: growth.Plants, numbers: OddsNumbers, p: Planting) -> Odds | None:
    """The odds from averages alone: years a little warmer or colder than normal, in ten equal steps.

    How far years differ is taken from the shift of the readiness dates, which so many years in ten come up
    to; a long wait evens the weather out. Frost comes earlier or later by its spread between years. Rain of
    single days is not known, so nothing is said of washing out. None where the model has no need for the
    stage.
    """
    grass, start = growth.split_key(p.key)
    note = "estimated from averages, not from daily weather"
    if start == "thick-sod" and p.stage in ("light-use", "full-play", "full-fixtures"):
        stage = "full-play" if p.stage == "light-use" else p.stage
        thin = approximation(site, plants, numbers, dataclasses.replace(p, key=f"{grass}/sod", stage=stage))
        soon = float(p.days >= site.rules.thick_sod_days)
        return (
            None
            if thin is None
            else dataclasses.replace(
                thin, ready=soon, ready_most=soon, ready_least=min(soon, thin.ready_least)
            )
        )
    if stage_need(plants, site.rules, p.key, p.stage, None) is None:
        return None
    spread = site.year_shift / statistics.NormalDist().inv_cdf(numbers.shift_share)
    shares = dict.fromkeys((*LEVELS, "killed"), 0.0)
    for step in _steps():
        shift = step * spread
        died = _dies(site, plants, p, shift)
        shares["killed"] += sum(d is not None for d in died) / len(died) / STEPS
        for level in LEVELS:
            days = _days(site, plants, p, p.stage, level, shift)
            if days is None or days > p.days:
                continue
            kept = [d is None or (grass in plants.warm and days <= d) for d in died]
            shares[level] += sum(kept) / len(kept) / STEPS
    ready = {level: min(1.0, round(shares[level], 9)) for level in LEVELS}
    return Odds(
        None,
        ready["middle"],
        min(ready.values()),
        max(ready.values()),
        min(1.0, round(shares["killed"], 9)),
        None,
        "approximation",
        note,
    )


def _dies(site: growth.Site, plants: growth.Plants, p: Planting, shift: float) -> list[int | None]:
    """Days from the start until winter or frost kills it, None where it does not, for equally likely frost
    days.
    """
    rules = site.rules
    grass, start = growth.split_key(p.key)
    if start in ("sod", "thick-sod"):
        return [None]
    if grass in plants.warm:
        if site.frost.first is None:
            return [None]
        usual = dates.days_ahead(p.start, site.frost.first)
        found: list[int | None] = []
        for step in _steps():
            days = max(0, usual + round(step * site.frost.year_days))
            found.append(days if site.heat(growth.WARM, p.start, days, shift) < rules.warm_lost else None)
        return found
    if site.year.low >= rules.gate_coldest_c:
        return [None]
    days = dates.days_ahead(p.start, site.year.coldest)
    seed = plants.germination.get(grass)
    if (
        seed is not None
        and seed.base is not None
        and seed.heat is not None
        and site.heat("G", p.start, days, shift, seed.base) < seed.heat
    ):
        return [None if seed.waits_for_spring else days]
    return [days if site.heat(growth.COOL, p.start, days, shift) < rules.gate_lost else None]


def _days(
    site: growth.Site, plants: growth.Plants, p: Planting, stage: str, level: str, shift: float
) -> int | None:
    """Days to a stage in a year that is so much warmer or colder than normal (a share of the day-to-day
    spread).
    """
    rules = site.rules
    need = stage_need(plants, rules, p.key, stage, None)
    least, wait = _least(site, plants, p, stage, level), late_up(site, plants, p.key, p.start, shift)
    if need is None or least is None or wait is None:
        return None
    grass = growth.split_key(p.key)[0]
    season = growth.season_of(plants, grass)
    heat, weeks = _part(need, level)
    days: int | None
    if heat is not None:
        kind = growth.heat_kind(plants, p.key)
        if _is_delayed(site, p, kind, stage) and growth.winter(site, plants, p.key, p.start).level in (
            "safe",
            "thinned",
        ):
            left = dates.days_ahead(p.start, site.year.coldest)
            heat += _delay(rules, level) * max(
                0.0, rules.delay_reference - site.heat(growth.COOL, p.start, left, shift)
            )
        days = site.days_to_heat(kind, p.start + wait, heat, shift)
        if days is None or wait + days > rules.long_wait_days:
            wait = late_up(site, plants, p.key, p.start, shift * rules.long_wait_share) or 0
            days = site.days_to_heat(kind, p.start + wait, heat, shift * rules.long_wait_share)
        days = None if days is None else wait + days
    else:
        assert weeks is not None
        calendar = weeks > rules.weeks_with_winter
        days = (
            math.ceil(7 * weeks)
            if calendar
            else site.days_of_growth(season, p.start, 7 * weeks, site.full(season))
        )
    if days is None:
        return None
    days = max(days, least)
    for sooner, gap in before_of(plants, p.key, stage, "heat" if heat is not None else "weeks"):
        if stage_need(plants, rules, p.key, sooner, None) is not None:
            held = _days(site, plants, p, sooner, level, shift)
            if held is None:
                return None
            days = max(days, held + gap)
    rest = site.wait_for_growth(season, p.start + days - 1, shift)
    return None if rest is None else days + rest
