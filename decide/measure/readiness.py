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

    By thermal time in a warm and a cold year where a base and a heat are known: the early end by as much less
    as the least published days are under those of usual warmth, neither end sooner than the published days,
    for some seed always lags. Else the days that are said.
    """
    seed = plants.germination.get(grass)
    if seed is None:
        return None, None
    early, late = seed.days_early, seed.days_late
    if seed.base is None or seed.heat is None:
        return None if early is None else math.ceil(early), None if late is None else math.ceil(late)
    shift, usual = site.year_shift, seed.heat / (_usual(site, plants, grass) - seed.base)
    quick = seed.heat * (1.0 if early is None else min(1.0, early / usual))
    up = site.days_to_heat("G", start_day, quick, shift, seed.base)
    last = site.days_to_heat("G", start_day, seed.heat, -shift, seed.base)
    least, most = math.ceil(early or 0), math.ceil(late or 0)
    return None if up is None else max(up, least), None if last is None else max(last, most)


def _usual(site: Site, plants: Plants, grass: str) -> float:
    """Daily normal (C) at the start of the published sowings."""
    return site.rules.usual_warm if grass in plants.warm else site.rules.usual_cool


Days = tuple[int | None, int | None, int | None]
# Spans in which nobody works, first and last in days from a start.
Off = tuple[tuple[int, int], ...]


def late_up(site: Site, plants: Plants, key: str, start_day: int, shift: float = 0.0) -> int | None:
    """Days by which seed comes up later than in the published sowings that gave the needs: their heat holds
    the days that seed takes in soil of the usual warmth. 0 of what is not seed, and where its germination is
    not known by heat; None where it does not come up within three years.
    """
    grass, start = split_key(key)
    seed = plants.germination.get(grass)
    if start != "seed" or seed is None or seed.base is None or seed.heat is None:
        return 0
    usual = _usual(site, plants, grass)
    up = site.days_to_heat("G", start_day, seed.heat, shift, seed.base)
    return None if up is None else max(0, up - math.ceil(seed.heat / (usual - seed.base)))


def _days_to(
    site: Site, plants: Plants, key: str, start_day: int, need: float, shift: float = 0.0
) -> int | None:
    """Days from the start until a need of growth heat is met, counted from when seed is up."""
    wait = late_up(site, plants, key, start_day, shift)
    if wait is None:
        return None
    days = site.days_to_heat(heat_kind(plants, key), start_day + wait, need, shift)
    return None if days is None else wait + days


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
    middle = site.days_to_heat("G", start_day, seed.heat, base=seed.base)
    return early, None if middle is None else min(late, max(early, middle)), late


def _three(ends: tuple[float, float] | None) -> Days:
    if ends is None:
        return None, None, None
    return math.ceil(ends[0]), math.ceil((ends[0] + ends[1]) / 2), math.ceil(ends[1])


def first_cut(site: Site, plants: Plants, key: str, start_day: int, off: Off = ()) -> Days:
    """Days to the first cut, early, middle and late, in moist ground, on a day that is not `off`; None where
    not known or not within three years.

    By its heat where one is known, and not before the first green; else by the days that are said to follow
    the first green (of sod: the laying), put off to a day on which the grass grows.
    """
    grass, start = split_key(key)
    season, green = season_of(plants, grass), first_green(site, plants, key, start_day)
    need = stage_need(plants, site.rules, key, "first-cut", None)
    days: Sequence[int | None]
    if need is not None and need.heat_middle is not None:
        days = _by_heat(site, plants, key, start_day, "first-cut", need, Winter("none", None))
        days = _latest(days, need.floors, [0 if up is None else up for up in green])
    else:
        after = _three(plants.cut_after.get(made_from(start)))
        days = [
            None if up is None or wait is None else up + wait for up, wait in zip(green, after, strict=True)
        ]
    found = _growing_from(site, season, start_day, days)
    early, middle, late = _in_order([_to_cut(site, season, start_day, each, off) for each in found])
    return early, middle, late


def _to_cut(site: Site, season: str, start_day: int, day: int | None, off: Off) -> int | None:
    """The first day from one on, in days from the start, on which somebody works and the grass grows."""
    for first, last in off:
        if day is not None and first <= day <= last:
            wait = site.wait_for_growth(season, start_day + last + 1)
            day = None if wait is None else last + 1 + wait
    return day


def cut_again(
    site: Site, season: str, start_day: int, cut: int, cuts: float, pace: float, off: Off = ()
) -> int | None:
    """Days from the start until grass that could be cut first so many days after it was cut so many times
    more, at a pace in days, never on a day that is `off`; None if not within three years.

    `off` is in order of its days.
    """
    whole = site.days_of_growth(season, start_day + cut, cuts * pace)
    if whole is None or not off:
        return None if whole is None else cut + whole
    day = _to_cut(site, season, start_day, cut, off)
    for _ in range(math.ceil(cuts)):
        after = None if day is None else site.days_of_growth(season, start_day + day, pace)
        day = None if day is None or after is None else _to_cut(site, season, start_day, day + after, off)
    return None if day is None else max(day, cut + whole)


def mown(site: Site, plants: Plants, key: str, start_day: int, stage: str, off: Off = ()) -> Days:
    """Days until new grass from seed, sprigs or plugs was cut as often as a stage asks, on days that are not
    `off`: early, middle, late.

    The early end takes the quick pace of those who cut more than once a week. 0 of sod and of other stages.
    """
    _, start = split_key(key)
    rules = site.rules
    if made_from(start) == "sod" or stage not in ("light-use", "full-play", "full-fixtures"):
        return 0, 0, 0
    more = (rules.mows_light if stage == "light-use" else rules.mows_full) - 1
    season = season_of(plants, split_key(key)[0])
    paces = (rules.cut_quick_days, rules.cut_every_days, rules.cut_every_days)
    found: list[int | None] = []
    for cut, pace in zip(first_cut(site, plants, key, start_day, off), paces, strict=True):
        found.append(None if cut is None else cut_again(site, season, start_day, cut, more, pace, off))
    early, middle, late = found
    return early, middle, late


def _spread_years(site: Site, plants: Plants, key: str, start_day: int, need: float) -> list[int | None]:
    """Days to a need in a warm and in a cold year; a long wait evens the weather out."""
    found = []
    for sign in (1, -1):
        shift = sign * site.year_shift
        days = _days_to(site, plants, key, start_day, need, shift)
        if days is None or days > site.rules.long_wait_days:
            days = _days_to(site, plants, key, start_day, need, shift * site.rules.long_wait_share)
        found.append(days)
    return found


def _growing_from(site: Site, season: str, start_day: int, days: Sequence[int | None]) -> list[int | None]:
    """Early, middle and late days, put off to the first day on which the grass grows, the late one to that of
    a cold year; None where it never does. A warm winter opens nothing sooner.
    """

    def put_off(day: int | None, shift: float = 0.0) -> int | None:
        wait = None if day is None else site.wait_for_growth(season, start_day + day - 1, shift)
        return None if day is None or wait is None else day + wait

    asked = [None if each is None else max(1, each) for each in days]
    early, middle, late = (put_off(each) for each in asked)
    if late is not None and late != asked[2]:
        late = put_off(put_off(late, -site.year_shift))
    return [early, middle, late]


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
        by(need.weeks_middle),
        by(need.weeks_late),
        share * need.asked_low,
        share * need.asked_high,
    )


def _widened(need: StageNeed, miss: float) -> StageNeed:
    """The need with its ends at least as far from its middle as the model misses published cases; the least
    weeks stay as told, for they are no published case.
    """
    if need.heat_early is not None and need.heat_middle is not None and need.heat_late is not None:
        need = dataclasses.replace(
            need,
            heat_early=min(need.heat_early, need.heat_middle / miss),
            heat_late=max(need.heat_late, need.heat_middle * miss),
        )
    if need.weeks_middle is not None and need.weeks_late is not None:
        need = dataclasses.replace(need, weeks_late=max(need.weeks_late, need.weeks_middle * miss))
    return need


def stage_need(
    plants: Plants, rules: GrowthRules, key: str, stage: str, gap_cm: float | None
) -> StageNeed | None:
    """The stage's need, as wide as the model misses published cases; the full fixture list is a share above
    full play; plugs fill the gap between them. None where no day can be worked out.
    """
    grass, start = split_key(key)
    miss = plants.miss[made_from(start)]
    if start == "plugs" and stage == "cover" and grass in plants.gap_heat:
        gap = rules.plug_gap_cm if gap_cm is None else gap_cm
        heat = plants.gap_heat[grass]
        return _widened(StageNeed(heat.early * gap, heat.middle * gap, heat.late * gap), miss)
    full = stage == "full-fixtures"
    need = plants.needs.get(key, {}).get("full-play" if full else stage)
    if need is None or not need.known:
        return None
    if start == "plugs" and gap_cm is not None and need.weeks_early is not None:
        need = _scaled(need, gap_cm / rules.plug_gap_cm)
    need = _widened(need, miss)
    return _scaled(need, rules.full_fixtures_share) if full else need


def readiness(
    site: Site,
    plants: Plants,
    key: str,
    start_day: int,
    stage: str,
    gap_cm: float | None = None,
    vigour: float = 1.0,
    off: Off = (),
) -> Readiness:
    """Days from the start day to a stage of a grass and start ("perennial-ryegrass/seed").

    Ready is the latest of: the heat need reached, counted from when seed is up; the weeks that print asks
    for; the cuts made (not of sod), none of them on a day that is `off`; the stage before it, and some days
    of light use before full play; and a day on which the grass grows. Early takes the least published need in
    the kinder of a warm and a cold year, late the greatest in the harder one, both at least as far from the
    middle as the model misses published cases; a wait over the long-wait limit halves the shift of the year.
    Seed that the first winter kills is never ready. Thick sod is ready at once when the tests pass, and at
    the latest when thin sod would be. `vigour` is the share of full growth (above 0, up to 1) that light and
    water allow: it puts off the late day alone. Raises ValueError for a stage or key that does not exist, and
    for another share.
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
            off,
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
    if need is None:
        return Readiness(stage, None, None, None, "none", first_winter.level, "no-data")
    basis = "heat" if need.heat_middle is not None else "weeks"
    if season == "cool" and first_winter.level == "lost":
        return Readiness(stage, None, None, None, basis, "lost", "dies-in-winter")
    days = (
        _by_heat(site, plants, key, start_day, stage, need, first_winter, vigour)
        if basis == "heat"
        else _by_weeks(site, season, start_day, need, vigour)
    )
    found = _latest(days, need.floors, mown(site, plants, key, start_day, stage, off))
    why = ""
    for sooner, gap in before_of(plants, key, stage, basis):
        held = readiness(site, plants, key, start_day, sooner, gap_cm, vigour, off)
        why = held.why if held.why == "dies-in-winter" else why
        if held.why != "no-data":
            ends = [None if d is None else d + gap for d in (held.early, held.middle, held.late)]
            found = _latest(found, ends)
    found = _growing_from(site, season, start_day, found)
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


def before_of(plants: Plants, key: str, stage: str, basis: str) -> list[tuple[str, int]]:
    """The stages that come before one, and the least days from each to it."""
    made, found = made_from(split_key(key)[1]), []
    if stage in BEFORE and (basis == "weeks" or stage != "light-use"):
        # weeks of growing weather and heat are not one measure: keep the stages in order
        found.append((BEFORE[stage], math.ceil(plants.full_after[made]) if stage == "full-play" else 0))
    if made == "sod" and stage == "light-use":
        found.append(("rooted", 0))
    return found


def _latest(*rows: Sequence[int | None]) -> list[int | None]:
    """End by end the latest of several days; None where one of them is never reached."""
    return [
        None if None in each else max(d for d in each if d is not None) for each in zip(*rows, strict=True)
    ]


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
    late_sown = (
        heat_kind(plants, key) == COOL
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
    kind_years = _spread_years(site, plants, key, start_day, need.heat_early)
    # A longer wait halves the shift of the year: less growth is never sooner than full growth for that.
    hard_years = [
        days
        for heat in {need.heat_late, slowed.heat_late}
        for days in _spread_years(site, plants, key, start_day, heat)
    ]
    early = min((d for d in kind_years if d is not None), default=None)
    late = None if None in hard_years else max(d for d in hard_years if d is not None)
    return [early, _days_to(site, plants, key, start_day, need.heat_middle), late]


def _by_weeks(site: Site, season: str, start_day: int, need: StageNeed, vigour: float) -> list[int | None]:
    """Weeks of growing weather, a cool day counted by its share of a full one; a wait that holds a winter is
    counted by the calendar, and is never over before the shorter one.
    """
    if need.weeks_early is None or need.weeks_middle is None or need.weeks_late is None:
        return [None, None, None]
    found: list[int | None] = []
    for weeks in (need.weeks_early, need.weeks_middle, need.weeks_late / vigour):
        days = (
            math.ceil(7 * weeks)
            if weeks > site.rules.weeks_with_winter
            else site.days_of_growth(season, start_day, 7 * weeks, site.full(season))
        )
        sooner = found[-1] if found else 0
        found.append(None if days is None or sooner is None else max(days, sooner))
    return found
