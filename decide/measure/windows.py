"""Works out when a grass may be established at a place: good, fair and dormant windows of the year."""

import dataclasses
import math
from collections.abc import Mapping, Sequence

import numpy as np

from decide.measure import climate as cl
from decide.measure import dates, growth
from decide.measure.places import KM_PER_DEGREE
from decide.measure.window import Flags, Ints, Stretch, Window, Windows, painted

EDGES = (
    "summer-heat-past", "thin-before-winter", "heat-before-winter", "last-frost-near", "spring-warmth",
    "before-summer-heat", "seed-sleeps", "seed-wakes", "mild-season", "mild-season-ends",
    "slow-before-winter", "cool-before-winter", "too-cold-to-sprout", "summer-with-water", "another-window",
    "frost-past", "soil-warm", "best-before-growth-ends", "heat-before-growth-ends", "no-cold-season",
    "rains-begin", "rains-too-short", "roots-in-time", "roots-too-late", "heat-stops-roots",
    "ground-not-frozen", "ground-frozen", "roots-rest", "roots-wake", "roots-soon", "roots-slower",
)  # fmt: skip
EMPTIES = ("too-hot-all-year", "too-cold", "season-too-short", "no-roots-known", "not-made-this-way")


@dataclasses.dataclass(frozen=True)
class WindowNumbers:
    """Numbers of the window rules: levels of the daily normal (C), heat left (K-day), days, weeks."""

    stress_below_peak: float
    stress_most_c: float
    stress_least_c: float
    spring_before_frost_days: float
    spring_close_heat: float
    spring_close_peak_c: float
    spring_close_by_peak: float
    dormant_opens_c: float
    dormant_closes_c: float
    maritime_rises_c: float
    maritime_falls_c: float
    maritime_summer_peak_c: float
    summer_peak_c: float
    warm_after_frost_days: float
    warm_rises_c: float
    warm_close_share: float
    warm_good_share: float
    warm_sod_opens_share: float
    sod_weeks: float
    warm_sod_weeks_most: float
    rain_weeks: float
    frozen_ground_c: float
    overseed_opens_c: float
    overseed_peak_c: float
    overseed_opens_by_peak: float
    overseed_closes_c: float
    overseed_span_c: float
    overseed_fair_closes_c: float
    warm_close_heat: Mapping[str, float]
    warm_sod_roots_c: Mapping[str, float]
    warm_good_heat: Mapping[str, float]
    warm_after_frost_own: Mapping[str, float]
    relatives: Mapping[str, str]


def _ordered(opens: int | None, closes: int | None, end: int) -> bool:
    """Whether a window that must lie before `end` has its opening before its closing."""
    if opens is None or closes is None:
        return False
    return dates.days_ahead(closes, end) <= dates.days_ahead(opens, end)


def km_apart(latitude: float, longitude: float, other_latitude: float, other_longitude: float) -> float:
    """Distance of two places, km, on a flat map about the first; good enough for a few hundred kilometres."""
    north = other_latitude - latitude
    east = ((other_longitude - longitude + 180) % 360 - 180) * math.cos(math.radians(latitude))
    return math.hypot(north, east) * KM_PER_DEGREE


def stress_level(site: growth.Site, numbers: WindowNumbers) -> float:
    """Daily normal, C, above which summer stresses seedlings of cool-season grass; not reached where no day
    is warm.
    """
    level = min(site.year.peak - numbers.stress_below_peak, numbers.stress_most_c)
    return level if level >= numbers.stress_least_c else np.inf


def autumn_window(site: growth.Site, numbers: WindowNumbers) -> tuple[int | None, int | None]:
    """Late-summer window of cool-season seed as published windows have it: days of opening and closing.

    Opens when the falling normal passes the summer-stress level. Closes with the heat left to the coldest day
    that brings it safely through the first winter.
    """
    closes = site.latest_day(growth.COOL, site.year.coldest, site.safe_heat)
    return site.year.falls_below(stress_level(site, numbers)), closes


def spring_window(site: growth.Site, numbers: WindowNumbers) -> tuple[int | None, int | None]:
    """Spring window of cool-season seed: days of opening and closing.

    Opens some weeks before the last frost, but not before seed wakes (where frost is rare, when the normal
    rises to the level of the mild season; where it never falls so low, on the coldest day). Closes while the
    closing heat is left to summer stress; a hotter summer asks for more of it.
    """
    last, year = site.frost.last, site.year
    if last is None:
        opens = (
            year.coldest if year.low >= numbers.maritime_rises_c else year.rises_to(numbers.maritime_rises_c)
        )
    else:
        opens, wakes = (
            dates.wrap(last - round(numbers.spring_before_frost_days)),
            year.rises_to(numbers.dormant_closes_c),
        )
        if wakes is not None and dates.in_span(opens, year.coldest, wakes):
            opens = wakes
    stress = year.rises_to(stress_level(site, numbers))
    hotter = numbers.spring_close_by_peak * (year.peak - numbers.spring_close_peak_c)
    heat = max(0.0, numbers.spring_close_heat + hotter)
    return opens, None if stress is None else site.latest_day(growth.COOL, stress, heat)


def dormant_window(site: growth.Site, numbers: WindowNumbers) -> tuple[int | None, int | None]:
    """Dormant sowing of cool-season seed: from the falling normal of one level to the rising normal of
    another.
    """
    return site.year.falls_below(numbers.dormant_opens_c), site.year.rises_to(numbers.dormant_closes_c)


def warm_window(
    site: growth.Site, numbers: WindowNumbers, grass: str, best: bool = False
) -> tuple[int | None, int | None]:
    """Window of warm-season seed, sprigs and plugs: days of opening and closing.

    Opens some weeks after the last frost; where frost is rare, at a rising normal. Closes with the closing
    heat of the grass left to the end of growth, or, for the best part of it, with more: all of that heat
    where winter kills young plants, a share where it spares them.
    """
    last = site.frost.last
    after = numbers.warm_after_frost_own.get(grass, numbers.warm_after_frost_days)
    opens = site.year.rises_to(numbers.warm_rises_c) if last is None else dates.wrap(last + round(after))
    heat = _closing_heat(numbers, grass)[0]
    share = numbers.warm_close_share
    if best:
        own = numbers.warm_good_heat.get(grass)
        heat = own or numbers.warm_good_heat.get(numbers.relatives.get(grass, ""), heat or 0.0)
        share = numbers.warm_good_share
    if not heat:
        return opens, None
    need = heat * (share + (1 - share) * site.warm_kill)
    return opens, site.latest_day(growth.WARM, site.growth_end, need)


def overseed_window(site: growth.Site, numbers: WindowNumbers) -> tuple[int | None, int | None]:
    """Winter overseeding of ryegrass into warm-season turf: between two levels of the falling normal.

    The upper level is higher where summers are hotter: nights of the desert are cool under hot days. Where no
    summer reaches it the window opens when the normal begins to fall. The lower level stands some degrees
    under it; where no winter is as cold the window closes on the coldest day.
    """
    year = site.year
    level = numbers.overseed_opens_c + numbers.overseed_opens_by_peak * (year.peak - numbers.overseed_peak_c)
    opens = year.falls_below(level)
    if opens is None and year.peak < level:
        opens = year.hottest
    return opens, _closes_at(site, min(numbers.overseed_closes_c, level - numbers.overseed_span_c))


def _closes_at(site: growth.Site, level: float) -> int | None:
    """Day on which the falling normal passes a level, or the coldest day where it never does."""
    year = site.year
    return year.coldest if year.low >= level else year.falls_below(level)


def _closing_heat(numbers: WindowNumbers, grass: str) -> tuple[float | None, bool]:
    """Closing heat of a warm-season grass and whether it is borrowed from its nearest relative."""
    if grass in numbers.warm_close_heat:
        return numbers.warm_close_heat[grass], False
    return numbers.warm_close_heat.get(numbers.relatives.get(grass, "")), True


def windows(
    site: growth.Site,
    plants: growth.Plants,
    numbers: WindowNumbers,
    key: str,
    variant: str = "plain",
    wet: Flags | None = None,
) -> Windows:
    """The windows of a grass and start ("perennial-ryegrass/seed") through the year.

    The variant winter-overseed asks for ryegrass sown into dormant warm-season turf. `wet` marks the days on
    which rain waters new grass (see `rain_fed_days`); it divides the year where no cold does. Raises
    ValueError for a key that does not exist.
    """
    grass, start = growth.split_key(key)
    if variant == "winter-overseed":
        return _overseed(site, plants, numbers, grass)
    if start in ("sod", "thick-sod"):
        return _sod(site, plants, numbers, grass)
    if grass in plants.warm:
        return _warm(site, numbers, grass, wet)
    if start != "seed":
        return Windows((), "not-made-this-way")
    if site.year.low < site.rules.gate_coldest_c:
        return _cool_inland(site, plants, numbers, grass)
    return _cool_maritime(site, numbers)


def _overseed(site: growth.Site, plants: growth.Plants, numbers: WindowNumbers, grass: str) -> Windows:
    opens, closes = overseed_window(site, numbers)
    if grass in plants.warm:
        return Windows((), "not-made-this-way")
    if opens is None or closes is None:
        return Windows((), "too-hot-all-year" if opens is None else "too-cold")
    spans = [Stretch(opens, dates.wrap(closes - 1), "good", "summer-heat-past", "cool-before-winter")]
    late = _closes_at(site, numbers.overseed_fair_closes_c)
    if late is not None and late != closes:
        spans.insert(
            0, Stretch(opens, dates.wrap(late - 1), "fair", "summer-heat-past", "too-cold-to-sprout")
        )
    return Windows(painted(spans))


def _cool_inland(site: growth.Site, plants: growth.Plants, numbers: WindowNumbers, grass: str) -> Windows:
    """Cool-season seed where winters are cold: bands by the heat left to the coldest day, spring, dormant."""
    spans: list[Stretch] = []
    cold = site.year.coldest
    autumn = site.year.falls_below(stress_level(site, numbers))
    seed = plants.germination.get(grass)
    if seed is not None and seed.waits_for_spring:
        opens, closes = dormant_window(site, numbers)
        if opens is not None and closes is not None:
            spans.append(Stretch(opens, dates.wrap(closes - 1), "dormant", "seed-sleeps", "seed-wakes"))
    opens, closes = spring_window(site, numbers)
    stress = site.year.rises_to(stress_level(site, numbers))
    spring_why = _why_spring(site)
    cool_summer = site.year.peak < numbers.maritime_summer_peak_c
    if site.year.peak < numbers.summer_peak_c:
        last = site.latest_day(growth.COOL, cold, site.lost_heat)
        if opens is not None and last is not None and _ordered(opens, last, cold):
            spans.append(Stretch(opens, last, "fair", spring_why, "heat-before-winter"))
    if opens is not None and closes is not None and stress is not None and _ordered(opens, closes, stress):
        spans.append(
            Stretch(opens, closes, "good" if cool_summer else "fair", spring_why, "before-summer-heat")
        )
        if autumn is not None and site.year.peak < numbers.summer_peak_c:
            spans.append(
                Stretch(
                    dates.wrap(closes + 1),
                    dates.wrap(autumn - 1),
                    "fair",
                    "summer-with-water",
                    "summer-heat-past",
                )
            )
    # Where no day is warm there is no summer to wait for.
    first, first_why = (
        (opens, spring_why) if np.isinf(stress_level(site, numbers)) else (autumn, "summer-heat-past")
    )
    for quality, heat, why in (
        ("fair", site.lost_heat, "heat-before-winter"),
        ("good", site.safe_heat, "thin-before-winter"),
    ):
        closes = site.latest_day(growth.COOL, cold, heat)
        if first is not None and closes is not None and _ordered(first, closes, cold):
            spans.append(Stretch(first, closes, quality, first_why, why))
    return Windows(painted(spans), "" if spans else "too-cold")


def _why_spring(site: growth.Site) -> str:
    return "spring-warmth" if site.frost.last is None else "last-frost-near"


def _cool_maritime(site: growth.Site, numbers: WindowNumbers) -> Windows:
    """Cool-season seed where winters are mild: good in autumn and spring, fair through the rest of the mild
    season.
    """
    year, spans = site.year, list[Stretch]()
    level = stress_level(site, numbers)
    autumn, stress = year.falls_below(level), year.rises_to(level)
    if autumn is None and year.peak > numbers.stress_most_c:
        return Windows((), "too-hot-all-year")
    opens = year.rises_to(numbers.maritime_rises_c) or year.coldest
    falls = year.falls_below(numbers.maritime_falls_c)
    ends = dates.wrap((opens if falls is None else falls) - 1)
    if np.isinf(level):
        # No summer to wait for, and hardly warm enough for the normal to fall to the end of the season: from
        # warmth to the last heat.
        last = autumn_window(site, numbers)[1] or ends
        return Windows(painted([Stretch(opens, last, "good", "mild-season", "slow-before-winter")]))
    spans.append(Stretch(opens, ends, "fair", "mild-season", "mild-season-ends"))
    if autumn is None or stress is None:
        return Windows(painted(spans))
    summer = Stretch(stress, dates.wrap(autumn - 1), "fair", "summer-with-water", "summer-heat-past")
    spring_opens, spring_closes = spring_window(site, numbers)
    spring_good = _ordered(spring_opens, spring_closes, stress)
    if spring_good and spring_closes is not None:
        summer = dataclasses.replace(summer, opens=dates.wrap(spring_closes + 1))
    if year.peak >= numbers.maritime_summer_peak_c:
        summer = dataclasses.replace(summer, quality="closed")
    spans.append(summer)
    if spring_good and spring_opens is not None and spring_closes is not None:
        spans.append(Stretch(spring_opens, spring_closes, "good", _why_spring(site), "before-summer-heat"))
    closes = autumn_window(site, numbers)[1]
    if closes is not None and _ordered(autumn, closes, year.coldest):
        spans.append(Stretch(autumn, closes, "good", "summer-heat-past", "slow-before-winter"))
    return Windows(tuple(w for w in painted(spans) if w.quality != "closed"))


def rain_fed_days(site: growth.Site, need_mm: Sequence[float], numbers: WindowNumbers) -> Flags | None:
    """Days of the year on which usual rain waters new grass: it covers the turf's need then and over the next
    weeks.

    `need_mm` is the water that turf uses on each of 365 days, mm. None where the rain is not known.
    """
    if not site.climate.rain:
        return None
    a_day = [total / length for total, length in zip(site.climate.rain, dates.MONTH_LENGTHS, strict=True)]
    over = np.maximum(cl.daily_normals(a_day), 0.0) - np.asarray(need_mm, dtype=np.float64)
    days = round(7 * numbers.rain_weeks)
    running = np.concatenate([[0.0], np.cumsum(np.tile(over, 2))])
    ahead = running[days : days + dates.YEAR] - running[: dates.YEAR]
    return np.asarray((over >= 0) & (ahead >= 0), dtype=np.bool_)


def _warm(site: growth.Site, numbers: WindowNumbers, grass: str, wet: Flags | None) -> Windows:
    """Warm-season seed, sprigs and plugs: from safe warmth to the day with too little heat left."""
    fair, borrowed = _closing_heat(numbers, grass)
    if fair is None:
        return Windows((), "season-too-short", borrowed)
    if site.year.peak < numbers.warm_rises_c or site.frost.kind == "always":
        return Windows((), "too-cold", borrowed)
    if site.frost.last is None and site.year.low >= numbers.warm_rises_c:
        return Windows(_by_rain(wet), borrowed=borrowed)
    spans = []
    for quality, best, why in (
        ("fair", False, "heat-before-growth-ends"),
        ("good", True, "best-before-growth-ends"),
    ):
        opens, closes = warm_window(site, numbers, grass, best)
        if opens is not None and closes is not None and _ordered(opens, closes, site.growth_end):
            first = "soil-warm" if site.frost.last is None else "frost-past"
            spans.append(Stretch(opens, closes, quality, first, why))
    return Windows(painted(spans), "" if spans else "season-too-short", borrowed)


def _by_rain(wet: Flags | None) -> tuple[Window, ...]:
    """The year of a place without a cold season: all good, or good from the onset of the rains and fair in
    the dry season.
    """
    if wet is None or wet.all() or not wet.any():
        return (Window(1, dates.YEAR, "good", "no-cold-season", "no-cold-season"),)
    edges = [d for d in range(dates.YEAR) if wet[d] != wet[d - 1]]
    found = []
    for a, b in zip(edges, [*edges[1:], edges[0] + dates.YEAR], strict=True):
        rainy = bool(wet[a])
        ends = ("rains-begin", "rains-too-short") if rainy else ("rains-too-short", "rains-begin")
        found.append(Window(a + 1, dates.wrap(b), "good" if rainy else "fair", *ends))
    return tuple(found)


def _sod(site: growth.Site, plants: growth.Plants, numbers: WindowNumbers, grass: str) -> Windows:
    """Sod: good while it roots soon, fair while it may, warm-season sod in some more weeks; cool-season sod
    may wait for spring.
    """
    need = plants.needs.get(f"{grass}/sod", {}).get("rooted")
    if need is None or need.heat_early is None or need.heat_late is None:
        return Windows((), "no-roots-known")
    kind = growth.heat_kind(plants, f"{grass}/sod")
    weeks = numbers.sod_weeks, numbers.warm_sod_weeks_most if grass in plants.warm else numbers.sod_weeks
    soon, late = (site.heats_ahead(kind, round(7 * n)) for n in weeks)
    quality = np.where(soon >= need.heat_late, _GOOD, np.where(late >= need.heat_early, _FAIR, 0))
    if grass not in plants.warm:
        # Sod waits for spring where cold stops its roots, not heat.
        resting = _run_with(
            (quality == 0) & (site.year.normals < site.curves.cool_root_falls), site.year.coldest
        )
        quality[resting] = _DORMANT
    elif site.warm_kill == 0:
        # Where winter spares it, it may lie before it roots, once the year has warmed and frost is past.
        quality[(quality == 0) & _before_roots(site, numbers.warm_sod_opens_share)] = _FAIR
    if grass in numbers.warm_sod_roots_c:
        # It roots slowly, but does not stop, while it is warm enough: the end of its window moves on, day
        # after day.
        warm = site.year.normals >= numbers.warm_sod_roots_c[grass]
        for day in range(1, 2 * dates.YEAR):
            here = day % dates.YEAR
            if quality[here] == 0 and quality[here - 1] > 0 and warm[here]:
                quality[here] = _FAIR
    quality[site.year.normals < numbers.frozen_ground_c] = 0
    heat_stops = site.curves.cool_root_falls if grass not in plants.warm else np.inf
    found = _sod_runs(quality, site.year.normals > heat_stops)
    return Windows(
        found, "" if found else "too-hot-all-year" if site.year.low > numbers.stress_most_c else "too-cold"
    )


def _before_roots(site: growth.Site, share: float) -> Flags:
    """Days from a share of the way up to the warmest normal, and from the last frost, to the hottest day."""
    year = site.year
    opens = year.rises_to(year.low + share * (year.peak - year.low)) or year.coldest
    frost = site.frost.last
    if frost is not None and dates.in_span(frost, opens, year.hottest):
        opens = frost
    marked = np.zeros(dates.YEAR, dtype=np.bool_)
    marked[(opens - 1 + np.arange(dates.days_ahead(opens, year.hottest))) % dates.YEAR] = True
    return marked


def _run_with(days: Flags, day: int) -> Ints:
    """Indices of the unbroken run of marked days that holds a day of the year; none where it is not
    marked.
    """
    start = day - 1
    if not days[start] or days.all():
        return np.arange(dates.YEAR if days[start] else 0)
    back = int(np.argmin(days[(start - np.arange(dates.YEAR)) % dates.YEAR]))
    ahead = int(np.argmin(days[(start + np.arange(dates.YEAR)) % dates.YEAR]))
    return (start + np.arange(1 - back, ahead)) % dates.YEAR


_FAIR, _GOOD, _DORMANT = 1, 2, 3
_SOD_QUALITY = {_FAIR: "fair", _GOOD: "good", _DORMANT: "dormant"}


def _sod_runs(quality: Ints, hot: Flags) -> tuple[Window, ...]:
    """Windows of a year of day qualities: 0 closed, 1 fair, 2 good, 3 dormant."""
    edges = [d for d in range(dates.YEAR) if quality[d] != quality[d - 1]]
    if not edges:
        code = _SOD_QUALITY.get(int(quality[0]))
        return () if code is None else (Window(1, dates.YEAR, code, "no-cold-season", "no-cold-season"),)
    found = []
    for a, b in zip(edges, [*edges[1:], edges[0] + dates.YEAR], strict=True):
        q = int(quality[a])
        if q == 0:
            continue
        before, after = int(quality[a - 1]), int(quality[b % dates.YEAR])
        if q == _DORMANT:
            opens = "roots-rest" if before else "ground-not-frozen"
        else:
            opens = (
                "roots-wake"
                if before == _DORMANT
                else "roots-soon"
                if q == _GOOD and before
                else "another-window"
                if before
                else "roots-in-time"
            )
        if after:
            closes = (
                "roots-wake"
                if q == _DORMANT
                else "roots-rest"
                if after == _DORMANT
                else "roots-slower"
                if q == _GOOD
                else "another-window"
            )
        elif q == _DORMANT:
            closes = "ground-frozen"
        else:
            closes = "heat-stops-roots" if hot[(b - 1) % dates.YEAR] else "roots-too-late"
        found.append(Window(a + 1, dates.wrap(b), _SOD_QUALITY[q], opens, closes))
    return tuple(found)
