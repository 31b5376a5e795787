"""Turns daily normals into growth heat, readiness dates and the fate of a planting in its first winter."""

import bisect
import dataclasses
import functools
import math
from collections.abc import Mapping, Sequence

import numpy as np

from decide.measure import climate as cl
from decide.measure import dates
from decide.measure.climate import Floats

STAGES = ("first-cut", "cover", "rooted", "light-use", "full-play", "full-fixtures")
STARTS = ("seed", "sod", "thick-sod", "sprigs", "plugs")
WINTERS = ("safe", "thinned", "lost", "dormant", "none")
# heat kinds: growth and rooting, cool- and warm-season
COOL, WARM, COOL_ROOTS, WARM_ROOTS = "C3", "C4", "R3", "R4"
YEARS_HELD = 4
_BEFORE = {"light-use": "cover", "full-play": "light-use", "full-fixtures": "full-play"}

_erf = np.vectorize(math.erf, otypes=[np.float64])


@dataclasses.dataclass(frozen=True)
class Curves:
    """Corner temperatures (C) of the daily heat curves: base, level reached, level left, nothing left."""

    cool_base: float
    cool_full: float
    cool_falls: float
    cool_stops: float
    warm_base: float
    warm_full: float
    cool_root_base: float
    cool_root_full: float
    cool_root_falls: float
    cool_root_stops: float
    warm_root_base: float
    warm_root_full: float
    germination_stops: float


@dataclasses.dataclass(frozen=True)
class GrowthRules:
    """Numbers of the readiness rules: heat in K-day, days, weeks; spreads as shares of the day-to-day spread."""

    year_shift: float
    long_wait_days: float
    long_wait_share: float
    least_cool: float
    least_warm: float
    gate_coldest_c: float
    gate_lost: float
    gate_safe: float
    hardy_limit_c: float
    warm_lost: float
    warm_safe: float
    warm_best: float
    delay_reference: float
    delay_within_days: float
    delay_early: float
    delay_middle: float
    delay_late: float
    full_fixtures_share: float
    weeks_with_winter: float
    growth_end_c: float
    plug_gap_cm: float
    thick_sod_days: float
    mows_light: float
    mows_full: float
    cut_every_days: float


@dataclasses.dataclass(frozen=True)
class StageNeed:
    """What a stage needs: heat (K-day) with a floor in weeks, or, where no heat is known, weeks alone."""

    heat_early: float | None = None
    heat_middle: float | None = None
    heat_late: float | None = None
    floor_weeks: float = 0.0
    weeks_early: float | None = None
    weeks_late: float | None = None


@dataclasses.dataclass(frozen=True)
class Germination:
    """Base (C) and heat (K-day) from sowing to germination; or days in warm moist soil where no heat is known."""

    base: float | None
    heat: float | None
    days_early: float | None
    days_late: float | None
    waits_for_spring: bool


@dataclasses.dataclass(frozen=True)
class GapHeat:
    """Heat (K-day) for each centimetre of bare gap between plugs."""

    early: float
    middle: float
    late: float


@dataclasses.dataclass(frozen=True)
class Readiness:
    """Days from the start day to a stage: early, middle, late; None where it is not reached or not known.

    `basis` is heat, weeks, at-once or none; `why` is empty, no-data, dies-in-winter or never-reached;
    `over_winter` says that the early date lies before the coldest day and the late one after it.
    """

    stage: str
    early: int | None
    middle: int | None
    late: int | None
    basis: str
    winter: str
    why: str = ""
    over_winter: bool = False


@dataclasses.dataclass(frozen=True)
class Winter:
    """First winter of a planting: level and heat gathered before it (K-day).

    `at_risk` marks ryegrass where winters are so cold that even a well-grown sowing may die; `strong` a warm-season
    planting early enough for the best recovery in spring.
    """

    level: str
    heat: float | None
    at_risk: bool = False
    strong: bool = False


@dataclasses.dataclass(frozen=True)
class Plants:
    """What the growth model knows of grasses: season of each, needs of each grass and start, germination, plugs.

    `cut_after` holds the least and most days from the first green (of sod: from laying) to the first cut, by what it is
    made from, where no heat is known; `runners_up` the days until sprigs and plugs show new green; `places` how many
    places with published cases stand behind a need, by grass and start, then stage.
    """

    warm: frozenset[str]
    needs: Mapping[str, Mapping[str, StageNeed]]
    germination: Mapping[str, Germination]
    gap_heat: Mapping[str, GapHeat]
    cut_after: Mapping[str, tuple[float, float]] = dataclasses.field(default_factory=dict)
    runners_up: tuple[float, float] | None = None
    places: Mapping[str, Mapping[str, int]] = dataclasses.field(default_factory=dict)


def ramp(normals: Floats, spread: float, base: float) -> Floats:
    """Mean of max(0, X - base) where X is normal about `normals` with standard deviation `spread` (all C).

    s phi(z) + (T - B) Phi(z), z = (T - B)/s: the mean of a normal variable above a threshold (degree days from
    monthly means, Monthly Weather Review 82, 1954).
    """
    above = normals - base
    if spread < 1e-9:
        return np.maximum(0.0, above)
    z = above / spread
    density = np.exp(-z * z / 2) / math.sqrt(2 * math.pi)
    return np.asarray(spread * density + above * 0.5 * (1 + _erf(z / math.sqrt(2))), dtype=np.float64)


def plateau(normals: Floats, spread: float, base: float, full: float, falls: float, stops: float) -> Floats:
    """Mean daily heat (K) of a curve that rises from base to full, stays level to falls and ends at stops."""
    slope = (full - base) / (stops - falls)
    return (
        ramp(normals, spread, base)
        - ramp(normals, spread, full)
        - slope * ramp(normals, spread, falls)
        + slope * ramp(normals, spread, stops)
    )


def capped(normals: Floats, spread: float, base: float, full: float) -> Floats:
    """Mean daily heat (K) above a base, level from `full` on."""
    return ramp(normals, spread, base) - ramp(normals, spread, full)


def daily_heat(curves: Curves, kind: str, means: Floats, spread: float, base: float = 0.0) -> Floats:
    """Daily heats (K) of a kind: C3, C4, R3, R4, or G (germination above `base`), for daily mean temperatures (C).

    `spread` is the standard deviation of single days about them: 0 for days that were measured. Raises ValueError for
    another kind.
    """
    c = curves
    if kind == COOL:
        heat = plateau(means, spread, c.cool_base, c.cool_full, c.cool_falls, c.cool_stops)
    elif kind == WARM:
        heat = capped(means, spread, c.warm_base, c.warm_full)
    elif kind == COOL_ROOTS:
        heat = plateau(
            means, spread, c.cool_root_base, c.cool_root_full, c.cool_root_falls, c.cool_root_stops
        )
    elif kind == WARM_ROOTS:
        heat = capped(means, spread, c.warm_root_base, c.warm_root_full)
    elif kind == "G":
        heat = capped(means, spread, base, c.germination_stops)
    else:
        raise ValueError(f"heat kind {kind!r}: write one of C3, C4, R3, R4, G")
    return np.maximum(heat, 0.0)


def day_heat(maximum: float, minimum: float, base: float, method: int) -> float:
    """Degree days (K-day) of one day from its highest and lowest temperature (C).

    Method 1 takes the mean first; method 2 raises both to the base first (Agricultural and Forest Meteorology 87,
    1997). Raises ValueError for another method.
    """
    if method == 1:
        return max(0.0, (maximum + minimum) / 2 - base)
    if method == 2:
        return (max(maximum, base) + max(minimum, base)) / 2 - base
    raise ValueError(f"method {method}: write 1 (mean first) or 2 (raised to the base first)")


class Site:
    """One place with its normals, frost days and daily heat; all that was worked out is kept in the object."""

    def __init__(
        self,
        climate: cl.Climate,
        numbers: cl.ClimateNumbers,
        curves: Curves,
        rules: GrowthRules,
        typed_first_frost: int | None = None,
        typed_last_frost: int | None = None,
    ) -> None:
        self.climate = climate
        self.numbers = numbers
        self.curves = curves
        self.rules = rules
        self.year = cl.Year(climate, numbers)
        self.frost = cl.frost(self.year, numbers, typed_first_frost, typed_last_frost)
        self._daily: dict[tuple[str, float, float], Floats] = {}
        self._sums: dict[tuple[str, float, float], list[float]] = {}
        self._waits: dict[str, list[int] | None] = {}
        self._grown: dict[tuple[str, float | None], list[float]] = {}

    @functools.cached_property
    def growth_end(self) -> int:
        """Day of the year on which warm-season growth ends and hardening begins (else the coldest day)."""
        return self.year.falls_below(self.rules.growth_end_c) or self.year.coldest

    def daily(self, kind: str, shift: float = 0.0, base: float = 0.0) -> Floats:
        """365 daily heats (K) of a kind: C3, C4, R3, R4, or G (germination above `base`).

        `shift` moves the normals by so many day-to-day spreads: +0.4 is a warm year.
        """
        key = (kind, shift, base)
        if key not in self._daily:
            s = self.year.spread
            heat = daily_heat(self.curves, kind, self.year.normals + shift * s, s, base)
            heat.setflags(write=False)
            self._daily[key] = heat
        return self._daily[key]

    def _running(self, kind: str, shift: float, base: float) -> list[float]:
        """Running heat over some years, one longer than the days it covers (0 first)."""
        key = (kind, shift, base)
        if key not in self._sums:
            heat = np.tile(self.daily(kind, shift, base), YEARS_HELD)
            # read number by number, which a list does several times as fast as an array
            self._sums[key] = [0.0, *np.cumsum(heat).tolist()]
        return self._sums[key]

    def heat(self, kind: str, start: int, days: int, shift: float = 0.0, base: float = 0.0) -> float:
        """Heat (K-day) of `days` days from a start day, that day counted."""
        running, first = self._running(kind, shift, base), dates.wrap(start) - 1
        whole, rest = divmod(max(0, days), dates.YEAR)
        return whole * running[dates.YEAR] + running[first + rest] - running[first]

    def days_to_heat(
        self, kind: str, start: int, need: float, shift: float = 0.0, base: float = 0.0
    ) -> int | None:
        """Days from a start day, that day counted, until the heat reaches a need; None if not within three years."""
        running, first = self._running(kind, shift, base), dates.wrap(start) - 1
        days = bisect.bisect_left(running, running[first] + need) - first
        return days if days <= (YEARS_HELD - 1) * dates.YEAR else None

    def heat_today(self, season: str, day: int) -> float:
        """Growth heat (K) of one day's normal for "cool" or "warm"; near nothing means that it does not grow."""
        return float(self.daily(WARM if season == "warm" else COOL)[dates.wrap(day) - 1])

    def least(self, season: str) -> float:
        """Daily heat (K) under which the grass is taken as standing still."""
        return self.rules.least_warm if season == "warm" else self.rules.least_cool

    def grows(self, season: str, day: int) -> bool:
        """Whether the normal of a day lets the grass grow."""
        return self.heat_today(season, day) >= self.least(season)

    def wait_for_growth(self, season: str, day: int) -> int | None:
        """Days from a day of the year until the grass grows: 0 where it grows, None where it never does."""
        if season not in self._waits:
            growing = (self.daily(WARM if season == "warm" else COOL) >= self.least(season)).tolist()
            waits, wait = [0] * dates.YEAR, 0
            for at in reversed(range(2 * dates.YEAR)):
                wait = 0 if growing[at % dates.YEAR] else wait + 1
                waits[at % dates.YEAR] = wait
            self._waits[season] = waits if any(growing) else None
        held = self._waits[season]
        return None if held is None else held[dates.wrap(day) - 1]

    def growing_days_left(self, season: str, day: int) -> int:
        """Days from a day on until growth stops: 0 where it stands still now, 365 where it never stops."""
        heat = np.roll(self.daily(WARM if season == "warm" else COOL), 1 - dates.wrap(day))
        still = heat < self.least(season)
        return int(np.argmax(still)) if still.any() else dates.YEAR

    def days_of_growth(self, season: str, start: int, days: float, full: float | None = None) -> int | None:
        """Calendar days from a start day until so many growing days have passed; None if not within three years.

        Where `full` is given, the heat (K-day) of a day of full growth, a cooler growing day counts by its share of it.
        """
        key = (season, full)
        if key not in self._grown:
            heat = self.daily(WARM if season == "warm" else COOL)
            share = np.ones_like(heat) if full is None else np.minimum(1.0, heat / full)
            growing = np.tile(np.where(heat >= self.least(season), share, 0.0), YEARS_HELD)
            self._grown[key] = [0.0, *np.cumsum(growing).tolist()]
        running, first = self._grown[key], dates.wrap(start) - 1
        found = bisect.bisect_left(running, running[first] + math.ceil(days) - 1e-9, first + 1) - first
        return found if found <= (YEARS_HELD - 1) * dates.YEAR else None

    def heats_ahead(self, kind: str, days: int) -> Floats:
        """Heat (K-day) of the next `days` days (up to a year) from each day of the year, that day counted."""
        running: Floats = np.asarray(self._running(kind, 0.0, 0.0), dtype=np.float64)
        return running[days : days + dates.YEAR] - running[: dates.YEAR]

    def heat_to_coldest(self, start: int) -> float:
        """Cool-season heat (K-day) from a day to the coldest day of the year."""
        return self.heat(COOL, start, dates.days_ahead(start, self.year.coldest))

    def heat_to_growth_end(self, start: int) -> float:
        """Warm-season heat (K-day) from a day to the end of warm-season growth."""
        return self.heat(WARM, start, dates.days_ahead(start, self.growth_end))

    def heat_to_first_frost(self, start: int) -> float | None:
        """Warm-season heat (K-day) from a day to the median first frost; None where frost is rare."""
        first = self.frost.first
        return None if first is None else self.heat(WARM, start, dates.days_ahead(start, first))

    def latest_day(self, kind: str, end: int, need: float) -> int | None:
        """Latest day of the year before `end` from which the heat up to the day before `end` reaches a need."""
        running, last = self._running(kind, 0.0, 0.0), dates.wrap(end) - 1 + dates.YEAR
        before = bisect.bisect_right(running, running[last] - need) - 1
        return dates.wrap(before + 1) if last - before <= dates.YEAR else None


def split_key(key: str) -> tuple[str, str]:
    """Grass and start of a key like "perennial-ryegrass/seed"; raises ValueError for another form."""
    grass, _, start = key.partition("/")
    if start not in STARTS:
        raise ValueError(f"{key!r}: write a grass, a slash and one of {', '.join(STARTS)}")
    return grass, start


def heat_kind(plants: Plants, key: str) -> str:
    """Which daily heat drives a grass and start: rooting heat for sod, growth heat for the others."""
    grass, start = split_key(key)
    warm = grass in plants.warm
    if start in ("sod", "thick-sod"):
        return WARM_ROOTS if warm else COOL_ROOTS
    return WARM if warm else COOL


def season_of(plants: Plants, grass: str) -> str:
    """Season of a grass or mixture: "warm" or "cool"."""
    return "warm" if grass in plants.warm else "cool"


def winter(site: Site, plants: Plants, key: str, start_day: int) -> Winter:
    """What the first winter does to a planting: safe, thinned, lost, dormant (seed waits for spring) or none.

    Cool-season seed, where the coldest normal is under the gate: by the C3 heat from sowing to the coldest day, and
    dormant where it cannot germinate before. Warm-season seed, sprigs and plugs: by the C4 heat to the first frost.
    Sod has no gate; nor has a place without the cold.
    """
    grass, start = split_key(key)
    rules = site.rules
    if start in ("sod", "thick-sod"):
        return Winter("none", None)
    if grass in plants.warm:
        heat = site.heat_to_first_frost(start_day)
        if heat is None:
            return Winter("none", None)
        level = "lost" if heat < rules.warm_lost else "thinned" if heat < rules.warm_safe else "safe"
        return Winter(level, heat, strong=heat >= rules.warm_best)
    if site.year.low >= rules.gate_coldest_c:
        return Winter("none", None)
    heat = site.heat_to_coldest(start_day)
    seed = plants.germination.get(grass)
    waits = seed is not None and seed.waits_for_spring
    at_risk = not waits and site.year.low < rules.hardy_limit_c
    if seed is not None and seed.base is not None and seed.heat is not None:
        days = dates.days_ahead(start_day, site.year.coldest)
        if site.heat("G", start_day, days, base=seed.base) < seed.heat:
            return Winter("dormant" if waits else "lost", heat, at_risk)
    level = "lost" if heat < rules.gate_lost else "thinned" if heat < rules.gate_safe else "safe"
    return Winter(level, heat, at_risk)


def germination_days(site: Site, plants: Plants, grass: str, start_day: int) -> tuple[int | None, int | None]:
    """Days to germination, early and late, in moist soil; None where not known or not within three years.

    By thermal time in a warm and a cold year where a base and a heat are known, else the days that are said.
    """
    seed = plants.germination.get(grass)
    if seed is None:
        return None, None
    if seed.base is not None and seed.heat is not None:
        shift = site.rules.year_shift
        days = [site.days_to_heat("G", start_day, seed.heat, x, seed.base) for x in (shift, -shift)]
        return days[0], days[1]
    early, late = seed.days_early, seed.days_late
    return None if early is None else math.ceil(early), None if late is None else math.ceil(late)


Days = tuple[int | None, int | None, int | None]


def made_from(start: str) -> str:
    """What a start is made from: seed, sod or vegetative."""
    return "seed" if start == "seed" else "sod" if start in ("sod", "thick-sod") else "vegetative"


def first_green(site: Site, plants: Plants, key: str, start_day: int) -> Days:
    """Days to the first green, early, middle and late: germination of seed, new shoots of sprigs and plugs, 0 of sod."""
    grass, start = split_key(key)
    made = made_from(start)
    if made == "sod":
        return 0, 0, 0
    if made == "vegetative":
        return _three(plants.runners_up)
    early, late = germination_days(site, plants, grass, start_day)
    seed = plants.germination.get(grass)
    if early is None or late is None or seed is None:
        return early, None, late
    if seed.base is None or seed.heat is None:
        return early, math.ceil((early + late) / 2), late
    return early, site.days_to_heat("G", start_day, seed.heat, base=seed.base), late


def _three(ends: tuple[float, float] | None) -> Days:
    if ends is None:
        return None, None, None
    return math.ceil(ends[0]), math.ceil((ends[0] + ends[1]) / 2), math.ceil(ends[1])


def first_cut(site: Site, plants: Plants, key: str, start_day: int) -> Days:
    """Days to the first cut, early, middle and late, in moist ground; None where not known or not within three years.

    By its heat where one is known, and not before the first green; else by the days that are said to follow the first
    green (of sod: the laying), put off to a day on which the grass grows.
    """
    grass, start = split_key(key)
    season, green = season_of(plants, grass), first_green(site, plants, key, start_day)
    need = _need(plants, site.rules, key, "first-cut", None)
    days: Sequence[int | None]
    if need is not None and need.heat_middle is not None:
        days = _by_heat(site, plants, key, start_day, "first-cut", need, Winter("none", None))
        days = [d if d is None or up is None else max(d, up) for d, up in zip(days, green, strict=True)]
    else:
        after = _three(plants.cut_after.get(made_from(start)))
        days = [
            None if up is None or wait is None else up + wait for up, wait in zip(green, after, strict=True)
        ]
    early, middle, late = _in_order(
        [None if d is None else _growing_from(site, season, start_day, max(1, d)) for d in days]
    )
    return early, middle, late


def _mown(site: Site, plants: Plants, key: str, start_day: int, stage: str) -> Days:
    """Days until new grass from seed, sprigs or plugs was cut as often as a stage asks, middle and late.

    The early end is left alone: the number of cuts is remembered, and an early date decides what is ruled out.
    """
    grass, start = split_key(key)
    rules = site.rules
    if made_from(start) == "sod" or stage not in ("light-use", "full-play", "full-fixtures"):
        return None, None, None
    more = (rules.mows_light if stage == "light-use" else rules.mows_full) - 1
    season, found = season_of(plants, grass), []
    for cut in first_cut(site, plants, key, start_day)[1:]:
        after = (
            None if cut is None else site.days_of_growth(season, start_day + cut, more * rules.cut_every_days)
        )
        found.append(None if cut is None or after is None else cut + after)
    return None, found[0], found[1]


def _spread_years(site: Site, kind: str, start_day: int, need: float) -> list[int | None]:
    """Days to a need in a warm and in a cold year; a long wait evens the weather out."""
    found = []
    for sign in (1, -1):
        days = site.days_to_heat(kind, start_day, need, sign * site.rules.year_shift)
        if days is None or days > site.rules.long_wait_days:
            shift = sign * site.rules.year_shift * site.rules.long_wait_share
            days = site.days_to_heat(kind, start_day, need, shift)
        found.append(days)
    return found


def _growing_from(site: Site, season: str, start_day: int, days: int) -> int | None:
    """The days, put off to the first day on which the grass grows; None where it never does."""
    wait = site.wait_for_growth(season, start_day + days - 1)
    return None if wait is None else days + wait


def _with_delay(site: Site, need: StageNeed, start_day: int) -> StageNeed:
    """The need of cool-season seed raised for a late start: each unit of heat short before winter costs more."""
    rules = site.rules
    short = max(0.0, rules.delay_reference - site.heat_to_coldest(start_day))
    if not short or need.heat_early is None or need.heat_middle is None or need.heat_late is None:
        return need
    return dataclasses.replace(
        need,
        heat_early=need.heat_early + rules.delay_early * short,
        heat_middle=need.heat_middle + rules.delay_middle * short,
        heat_late=need.heat_late + rules.delay_late * short,
    )


def _scaled(need: StageNeed, share: float) -> StageNeed:
    def by(x: float | None) -> float | None:
        return None if x is None else share * x

    return StageNeed(
        by(need.heat_early),
        by(need.heat_middle),
        by(need.heat_late),
        share * need.floor_weeks,
        by(need.weeks_early),
        by(need.weeks_late),
    )


def _need(plants: Plants, rules: GrowthRules, key: str, stage: str, gap_cm: float | None) -> StageNeed | None:
    """The stage's need; the full fixture list is a share above full play; plugs fill the gap between them."""
    grass, start = split_key(key)
    if start == "plugs" and stage == "cover" and grass in plants.gap_heat:
        gap = rules.plug_gap_cm if gap_cm is None else gap_cm
        heat = plants.gap_heat[grass]
        return StageNeed(heat.early * gap, heat.middle * gap, heat.late * gap)
    stages = plants.needs.get(key, {})
    if stage == "full-fixtures":
        full = stages.get("full-play")
        return None if full is None else _scaled(full, rules.full_fixtures_share)
    return stages.get(stage)


def readiness(
    site: Site,
    plants: Plants,
    key: str,
    start_day: int,
    stage: str,
    gap_cm: float | None = None,
    vigour: float = 1.0,
) -> Readiness:
    """Days from the start day to a stage of a grass and start ("perennial-ryegrass/seed").

    Ready is the latest of: the heat need reached, the floor in weeks, the cuts made (middle and late day; not of sod),
    the rooting of thin sod, and a day on which the grass grows. Early takes
    the least published need in the kinder of a warm and a cold year, late the greatest in the harder one; a wait over
    the long-wait limit halves the shift of the year. Seed that the first winter kills is never ready. Thick sod is
    ready at once when the tests pass, and at the latest when thin sod would be. `vigour` is the share of full growth
    (above 0, up to 1) that light and water allow: it puts off the late day alone. Raises ValueError for a stage or key
    that does not exist, and for another share.
    """
    if stage not in STAGES:
        raise ValueError(f"stage {stage!r}: write one of {', '.join(STAGES)}")
    if not 0 < vigour <= 1:
        raise ValueError(f"share of full growth {vigour}: write a number above 0, up to 1")
    grass, start = split_key(key)
    season = season_of(plants, grass)
    first_winter = winter(site, plants, key, start_day)
    if start == "thick-sod" and stage in ("light-use", "full-play", "full-fixtures"):
        thin = readiness(
            site,
            plants,
            f"{grass}/sod",
            start_day,
            "full-play" if stage == "light-use" else stage,
            None,
            vigour,
        )
        if thin.late is None:
            return dataclasses.replace(thin, stage=stage)
        at_once = int(site.rules.thick_sod_days)
        return Readiness(
            stage,
            at_once,
            at_once,
            max(at_once, thin.late),
            "at-once",
            "none",
            over_winter=_over_winter(site, start_day, at_once, thin.late),
        )
    need = _need(plants, site.rules, key, stage, gap_cm)
    if need is None or (need.heat_middle is None and need.weeks_early is None):
        return Readiness(stage, None, None, None, "none", first_winter.level, "no-data")
    basis = "heat" if need.heat_middle is not None else "weeks"
    if need.heat_late is not None and vigour < 1:
        need = dataclasses.replace(need, heat_late=need.heat_late / vigour)
    if season == "cool" and first_winter.level == "lost":
        return Readiness(stage, None, None, None, basis, "lost", "dies-in-winter")
    days = (
        _by_heat(site, plants, key, start_day, stage, need, first_winter)
        if basis == "heat"
        else _by_weeks(site, season, start_day, need, vigour)
    )
    found = [None if d is None else _growing_from(site, season, start_day, max(1, d)) for d in days]
    if basis == "weeks" and stage in _BEFORE:
        # weeks of growing weather and weeks by the calendar are not one measure: keep the stages in order
        before = readiness(site, plants, key, start_day, _BEFORE[stage], gap_cm, vigour)
        if before.why != "no-data":
            pairs = zip(found, (before.early, before.middle, before.late), strict=True)
            found = [None if d is None or sooner is None else max(d, sooner) for d, sooner in pairs]
    if basis == "weeks" and start == "sod" and stage not in ("rooted", "cover", "first-cut"):
        held = readiness(site, plants, key, start_day, "rooted", None, vigour)
        if held.why != "no-data":
            pairs = zip(found, (held.early, held.middle, held.late), strict=True)
            found = [None if d is None or root is None else max(d, root) for d, root in pairs]
    mown = _mown(site, plants, key, start_day, stage)
    found = [d if d is None or cut is None else max(d, cut) for d, cut in zip(found, mown, strict=True)]
    why = ""
    if season == "warm" and first_winter.level == "lost" and site.frost.first is not None:
        left = dates.days_ahead(start_day, site.frost.first)
        if any(d is not None and d > left for d in found):
            why = "dies-in-winter"
        found = [None if d is None or d > left else d for d in found]
    if not why and None in found:
        why = "never-reached"
    early, middle, late = _in_order(found)
    return Readiness(
        stage, early, middle, late, basis, first_winter.level, why, _over_winter(site, start_day, early, late)
    )


def _in_order(days: list[int | None]) -> tuple[int | None, int | None, int | None]:
    """Early, middle, late, so that each end holds the middle: a plain year may beat a warm and a cold one."""
    early, middle, late = days
    if middle is not None:
        early = middle if early is None else min(early, middle)
        late = None if late is None else max(late, middle)
    return early, middle, late


def _over_winter(site: Site, start_day: int, early: int | None, late: int | None) -> bool:
    if early is None or late is None:
        return False
    to_coldest = dates.days_ahead(start_day, site.year.coldest)
    return early <= to_coldest < late


def _by_heat(
    site: Site, plants: Plants, key: str, start_day: int, stage: str, need: StageNeed, first_winter: Winter
) -> list[int | None]:
    kind = heat_kind(plants, key)
    late_sown = (
        kind == COOL
        and stage in ("light-use", "full-play", "full-fixtures")
        and first_winter.level in ("safe", "thinned")
        and dates.days_ahead(start_day, site.year.coldest) < site.rules.delay_within_days
    )
    if late_sown:
        need = _with_delay(site, need, start_day)
    if need.heat_early is None or need.heat_middle is None or need.heat_late is None:
        return [None, None, None]
    floor = math.ceil(7 * need.floor_weeks)
    kind_years = _spread_years(site, kind, start_day, need.heat_early)
    hard_years = _spread_years(site, kind, start_day, need.heat_late)
    early = min((d for d in kind_years if d is not None), default=None)
    late = None if None in hard_years else max(d for d in hard_years if d is not None)
    middle = site.days_to_heat(kind, start_day, need.heat_middle)
    return [None if d is None else max(d, floor) for d in (early, middle, late)]


def _by_weeks(site: Site, season: str, start_day: int, need: StageNeed, vigour: float) -> list[int | None]:
    """Weeks of growing weather; waits that include a winter are counted by the calendar."""
    if need.weeks_early is None or need.weeks_late is None:
        return [None, None, None]
    middle = (need.weeks_early + need.weeks_late) / 2
    weeks = (need.weeks_early, middle, need.weeks_late / vigour)
    if need.weeks_late > site.rules.weeks_with_winter:
        return [math.ceil(7 * w) for w in weeks]
    return [site.days_of_growth(season, start_day, 7 * w) for w in weeks]
