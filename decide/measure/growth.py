"""Turns daily normals into growth heat, readiness dates and the fate of a planting in its first winter."""

import bisect
import dataclasses
import functools
import math
from collections.abc import Mapping

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
# K, below which the days of a month are all as warm as its mean
_NO_SPREAD = 1e-9

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
    """Numbers of the readiness rules: heat in K-day, days, weeks; spreads as shares of the day-to-day
    spread.
    """

    year_shift: float
    long_wait_days: float
    long_wait_share: float
    least_cool: float
    least_warm: float
    gate_coldest_c: float
    gate_lost: float
    gate_safe: float
    gate_hard_c: float
    gate_mild_c: float
    gate_mild_heat: float
    hardy_limit_c: float
    warm_lost: float
    warm_safe: float
    warm_best: float
    warm_winter_spreads: float
    warm_kill_c: float
    warm_mild_c: float
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
    cut_quick_days: float
    usual_cool: float
    usual_warm: float
    full_cool: float
    full_warm: float


@dataclasses.dataclass(frozen=True)
class StageNeed:
    """What a stage needs: heat (K-day) with a floor in weeks, or, where no heat is known, weeks alone.

    `asked_low` and `asked_high` are the weeks from the start that printed pages ask for: a middling year is
    no sooner than the low end, a slow one no sooner than the high end.
    """

    heat_early: float | None = None
    heat_middle: float | None = None
    heat_late: float | None = None
    floor_weeks: float = 0.0
    weeks_early: float | None = None
    weeks_middle: float | None = None
    weeks_late: float | None = None
    asked_low: float = 0.0
    asked_high: float = 0.0

    @property
    def known(self) -> bool:
        """Whether a day can be worked out."""
        return self.heat_middle is not None or self.weeks_early is not None

    @property
    def floors(self) -> tuple[int, int, int]:
        """Days from the start that no heat can shorten: early, middle, late."""
        weeks = (self.floor_weeks, self.asked_low, self.asked_high)
        early, middle, late = (math.ceil(round(7 * each, 6)) for each in weeks)
        return early, max(early, middle), max(early, middle, late)


@dataclasses.dataclass(frozen=True)
class Germination:
    """Base (C) and heat (K-day) from sowing to germination; or days in warm moist soil where no heat is
    known.
    """

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
class Winter:
    """First winter of a planting: level and heat gathered before it (K-day).

    `at_risk` marks ryegrass where winters are so cold that even a well-grown sowing may die; `strong` a
    warm-season planting early enough for the best recovery in spring.
    """

    level: str
    heat: float | None
    at_risk: bool = False
    strong: bool = False


@dataclasses.dataclass(frozen=True)
class Plants:
    """What the growth model knows of grasses: season of each, needs of each grass and start, germination,
    plugs.

    `cut_after` holds the least and most days from the first green (of sod: from laying) to the first cut, by
    what it is made from, where no heat is known; `runners_up` the days until sprigs and plugs show new green;
    `full_after` the least days of light use before full play, and `miss` the factor by which the heat of two
    published cases in three misses, by what it is made from; `places` how many places with published cases
    stand behind a need, by grass and start, then stage.
    """

    warm: frozenset[str]
    needs: Mapping[str, Mapping[str, StageNeed]]
    germination: Mapping[str, Germination]
    gap_heat: Mapping[str, GapHeat]
    cut_after: Mapping[str, tuple[float, float]] = dataclasses.field(default_factory=dict)
    runners_up: tuple[float, float] | None = None
    full_after: Mapping[str, float] = dataclasses.field(default_factory=dict)
    miss: Mapping[str, float] = dataclasses.field(default_factory=dict)
    places: Mapping[str, Mapping[str, int]] = dataclasses.field(default_factory=dict)


def ramp(normals: Floats, spread: float, base: float) -> Floats:
    """Mean of max(0, X - base) where X is normal about `normals` with standard deviation `spread` (all C).

    s phi(z) + (T - B) Phi(z), z = (T - B)/s: the mean of a normal variable above a threshold (degree days
    from monthly means, Monthly Weather Review 82, 1954).
    """
    above = normals - base
    if spread < _NO_SPREAD:
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
    """Daily heats (K) of a kind: C3, C4, R3, R4, or G (germination above `base`), for daily mean temperatures
    (C).

    `spread` is the standard deviation of single days about them: 0 for days that were measured. Raises
    ValueError for another kind.
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

    Method 1 takes the mean first; method 2 raises both to the base first (Agricultural and Forest Meteorology
    87, 1997). Raises ValueError for another method.
    """
    match method:
        case 1:
            return max(0.0, (maximum + minimum) / 2 - base)
        case 2:
            return (max(maximum, base) + max(minimum, base)) / 2 - base
    raise ValueError(f"method {method}: write 1 (mean first) or 2 (raised to the base first)")


class Site:
    """One place with its normals, frost days and daily heat; all that was worked out is kept in the
    object.
    """

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
        self._waits: dict[tuple[str, float], list[int] | None] = {}
        self._grown: dict[tuple[str, float | None, float | None], list[float]] = {}

    @functools.cached_property
    def year_shift(self) -> float:
        """How far a warm or cold year, one in ten, may lie from what is known of the place, in day-to-day
        spreads: the years' own spread and the miss of the normals, as the root of their squares.
        """
        return math.hypot(self.rules.year_shift, self.climate.miss_c / max(self.year.spread, _NO_SPREAD))

    @functools.cached_property
    def growth_end(self) -> int:
        """Day of the year on which warm-season growth ends and hardening begins (else the coldest day)."""
        return self.year.falls_below(self.rules.growth_end_c) or self.year.coldest

    @functools.cached_property
    def safe_heat(self) -> float:
        """Cool-season heat (K-day) to the coldest day that brings seedlings safely through the winter here.

        A hard winter asks for all of it, a mild one for the heat at which published autumn times close.
        """
        rules = self.rules
        ends = (rules.gate_hard_c, rules.gate_mild_c), (rules.gate_safe, rules.gate_mild_heat)
        return float(np.interp(self.year.low, *ends))

    @functools.cached_property
    def lost_heat(self) -> float:
        """The same heat below which seedlings are lost: it falls with the heat that is safe."""
        return self.rules.gate_lost * self.safe_heat / self.rules.gate_safe

    @functools.cached_property
    def warm_kill(self) -> float:
        """How far winter kills young warm-season grass here: 1 where it does, 0 where it spares it.

        Single cold days kill, not means: it goes by the coldest normal less some day-to-day spreads.
        """
        rules = self.rules
        coldest_days = self.year.low - rules.warm_winter_spreads * self.year.spread
        return float(np.interp(coldest_days, (rules.warm_kill_c, rules.warm_mild_c), (1.0, 0.0)))

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
        """Days from a start day, that day counted, until the heat reaches a need; None if not within three
        years.
        """
        running, first = self._running(kind, shift, base), dates.wrap(start) - 1
        days = bisect.bisect_left(running, running[first] + need) - first
        return days if days <= (YEARS_HELD - 1) * dates.YEAR else None

    def heat_today(self, season: str, day: int) -> float:
        """Growth heat (K) of one day's normal for "cool" or "warm"; near nothing means that it does
        not grow.
        """
        return float(self.daily(WARM if season == "warm" else COOL)[dates.wrap(day) - 1])

    def least(self, season: str) -> float:
        """Daily heat (K) under which the grass is taken as standing still."""
        return self.rules.least_warm if season == "warm" else self.rules.least_cool

    def full(self, season: str) -> float:
        """Daily heat (K) of a whole day of growing weather, as weeks to play are told in."""
        return self.rules.full_warm if season == "warm" else self.rules.full_cool

    def grows(self, season: str, day: int) -> bool:
        """Whether the normal of a day lets the grass grow."""
        return self.heat_today(season, day) >= self.least(season)

    def wait_for_growth(self, season: str, day: int, shift: float = 0.0) -> int | None:
        """Days from a day of the year until the grass grows: 0 where it grows, None where it never does; in
        a year warmer or colder than normal by a shift in day-to-day spreads.
        """
        key = (season, shift)
        if key not in self._waits:
            kind = WARM if season == "warm" else COOL
            growing = (self.daily(kind, shift) >= self.least(season)).tolist()
            waits, wait = [0] * dates.YEAR, 0
            for at in reversed(range(2 * dates.YEAR)):
                wait = 0 if growing[at % dates.YEAR] else wait + 1
                waits[at % dates.YEAR] = wait
            self._waits[key] = waits if any(growing) else None
        held = self._waits[key]
        return None if held is None else held[dates.wrap(day) - 1]

    def growing_days_left(self, season: str, day: int) -> int:
        """Days from a day on until growth stops: 0 where it stands still now, 365 where it never stops."""
        heat = np.roll(self.daily(WARM if season == "warm" else COOL), 1 - dates.wrap(day))
        still = heat < self.least(season)
        return int(np.argmax(still)) if still.any() else dates.YEAR

    def days_of_growth(
        self,
        season: str,
        start: int,
        days: float,
        full: float | None = None,
        idle_above: float | None = None,
    ) -> int | None:
        """Calendar days from a start day until so many growing days have passed; None if not within three
        years.

        Where `full` is given, the heat (K-day) of a day of full growth, a cooler growing day counts by its
        share of it. Days whose normal (C) lies above `idle_above` do not count.
        """
        key = (season, full, idle_above)
        if key not in self._grown:
            heat = self.daily(WARM if season == "warm" else COOL)
            share = np.ones_like(heat) if full is None else np.minimum(1.0, heat / full)
            grows = heat >= self.least(season)
            if idle_above is not None:
                grows &= self.year.normals <= idle_above
            growing = np.tile(np.where(grows, share, 0.0), YEARS_HELD)
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
        """Latest day of the year before `end` from which the heat up to the day before `end` reaches
        a need.
        """
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

    Cool-season seed, where the coldest normal is under the gate: by the C3 heat from sowing to the coldest
    day, and dormant where it cannot germinate before. Warm-season seed, sprigs and plugs: by the C4 heat to
    the first frost. Sod has no gate; nor has a place without the cold.
    """
    grass, start = split_key(key)
    rules = site.rules
    if start in ("sod", "thick-sod"):
        return Winter("none", None)
    if grass in plants.warm:
        heat = site.heat_to_first_frost(start_day)
        if heat is None or site.warm_kill == 0:
            return Winter("none", heat)
        lost, safe = rules.warm_lost * site.warm_kill, rules.warm_safe * site.warm_kill
        level = "lost" if heat < lost else "thinned" if heat < safe else "safe"
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
    level = "lost" if heat < site.lost_heat else "thinned" if heat < site.safe_heat else "safe"
    return Winter(level, heat, at_risk)
