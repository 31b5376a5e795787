"""When new grass is up, cut, rooted and bears use, by heat and by weeks of growth."""

import dataclasses
import math
from collections.abc import Sequence

from decide.measure import dates
from decide.measure.growth import (
    COOL,
    STAGES,
    GrowthRules,
    Plants,
    Site,
    StageNeed,
    Winter,
    heat_kind,
    season_of,
    split_key,
    winter,
)

BEFORE = {"light-use": "cover", "full-play": "light-use", "full-fixtures": "full-play"}


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


def germination_days(site: Site, plants: Plants, grass: str, start_day: int) -> tuple[int | None, int | None]:
    """Days to germination, early and late, in moist soil; None where not known or not within three years.

    By thermal time in a warm and a cold year where a base and a heat are known, else the days that are said.
    """
    seed = plants.germination.get(grass)
    if seed is None:
        return None, None
    if seed.base is not None and seed.heat is not None:
        shift = site.year_shift
        days = [site.days_to_heat("G", start_day, seed.heat, x, seed.base) for x in (shift, -shift)]
        return days[0], days[1]
    early, late = seed.days_early, seed.days_late
    return None if early is None else math.ceil(early), None if late is None else math.ceil(late)


Days = tuple[int | None, int | None, int | None]


def made_from(start: str) -> str:
    """What a start is made from: seed, sod or vegetative."""
    return "seed" if start == "seed" else "sod" if start in ("sod", "thick-sod") else "vegetative"


def first_green(site: Site, plants: Plants, key: str, start_day: int) -> Days:
    """Days to the first green, early, middle and late: germination of seed, new shoots of sprigs and plugs, 0
    of sod.
    """
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
    """Days to the first cut, early, middle and late, in moist ground; None where not known or not within
    three years.

    By its heat where one is known, and not before the first green; else by the days that are said to follow
    the first green (of sod: the laying), put off to a day on which the grass grows.
    """
    grass, start = split_key(key)
    season, green = season_of(plants, grass), first_green(site, plants, key, start_day)
    need = stage_need(plants, site.rules, key, "first-cut", None)
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

    The early end is left alone: the number of cuts is remembered, and an early date decides what is ruled
    out.
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
        days = site.days_to_heat(kind, start_day, need, sign * site.year_shift)
        if days is None or days > site.rules.long_wait_days:
            shift = sign * site.year_shift * site.rules.long_wait_share
            days = site.days_to_heat(kind, start_day, need, shift)
        found.append(days)
    return found


def _growing_from(site: Site, season: str, start_day: int, days: int) -> int | None:
    """The days, put off to the first day on which the grass grows; None where it never does."""
    wait = site.wait_for_growth(season, start_day + days - 1)
    return None if wait is None else days + wait


def _with_delay(site: Site, need: StageNeed, start_day: int) -> StageNeed:
    """The need of cool-season seed raised for a late start: each unit of heat short before winter
    costs more.
    """
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


def stage_need(
    plants: Plants, rules: GrowthRules, key: str, stage: str, gap_cm: float | None
) -> StageNeed | None:
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

    Ready is the latest of: the heat need reached, the floor in weeks, the cuts made (middle and late day; not
    of sod), the rooting of thin sod, and a day on which the grass grows. Early takes the least published need
    in the kinder of a warm and a cold year, late the greatest in the harder one; a wait over the long-wait
    limit halves the shift of the year. Seed that the first winter kills is never ready. Thick sod is ready at
    once when the tests pass, and at the latest when thin sod would be. `vigour` is the share of full growth
    (above 0, up to 1) that light and water allow: it puts off the late day alone. Raises ValueError for a
    stage or key that does not exist, and for another share.
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
    need = stage_need(plants, site.rules, key, stage, gap_cm)
    if need is None or (need.heat_middle is None and need.weeks_early is None):
        return Readiness(stage, None, None, None, "none", first_winter.level, "no-data")
    basis = "heat" if need.heat_middle is not None else "weeks"
    if season == "cool" and first_winter.level == "lost":
        return Readiness(stage, None, None, None, basis, "lost", "dies-in-winter")
    days = (
        _by_heat(site, plants, key, start_day, stage, need, first_winter, vigour)
        if basis == "heat"
        else _by_weeks(site, season, start_day, need, vigour)
    )
    found = [None if d is None else _growing_from(site, season, start_day, max(1, d)) for d in days]
    if basis == "weeks" and stage in BEFORE:
        # weeks of growing weather and weeks by the calendar are not one measure: keep the stages in order
        before = readiness(site, plants, key, start_day, BEFORE[stage], gap_cm, vigour)
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
    site: Site,
    plants: Plants,
    key: str,
    start_day: int,
    stage: str,
    need: StageNeed,
    first_winter: Winter,
    vigour: float = 1.0,
) -> list[int | None]:
    kind = heat_kind(plants, key)
    late_sown = (
        kind == COOL
        and stage in ("light-use", "full-play", "full-fixtures")
        and first_winter.level in ("safe", "thinned")
        and dates.days_ahead(start_day, site.year.coldest) < site.rules.delay_within_days
    )
    slowed = need
    if need.heat_late is not None and vigour < 1:
        slowed = dataclasses.replace(need, heat_late=need.heat_late / vigour)
    if late_sown:
        need, slowed = _with_delay(site, need, start_day), _with_delay(site, slowed, start_day)
    if (
        need.heat_early is None
        or need.heat_middle is None
        or need.heat_late is None
        or slowed.heat_late is None
    ):
        return [None, None, None]
    floor = math.ceil(7 * need.floor_weeks)
    kind_years = _spread_years(site, kind, start_day, need.heat_early)
    # A longer wait halves the shift of the year: less growth is never sooner than full growth for that.
    hard_years = [
        days
        for heat in {need.heat_late, slowed.heat_late}
        for days in _spread_years(site, kind, start_day, heat)
    ]
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
