"""The facts of the site."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from decide.engine.language import FactType
from decide.facts.areas import kinds_of, part_of
from decide.facts.declare import Facts, Sheet
from decide.facts.draft import play_months
from decide.facts.filled import Filled, ground_class, soil_class
from decide.facts.play import HOURS, HOURS_MOVED_BY, HOURS_VALUES, adult_hours, hours
from decide.facts.told import told_facts
from decide.measure import clock, dates, soil, water
from decide.model.written import MONTHS


@dataclass
class Here:
    """A site with its facts so far."""

    filled: Filled
    facts: Facts = field(default_factory=dict)


SITE: Final = Sheet[Here]()


def site_facts(filled: Filled, types: Mapping[str, FactType]) -> Facts:
    """All facts about the site."""
    here = Here(filled, told_facts(types.values(), "site", _tables(filled)))
    SITE.measure(here)
    return here.facts


def site_facts_again(filled: Filled, types: Iterable[FactType], kept: Facts, moving: Container[str]) -> Facts:
    """All facts about the site, of which some are `kept`: those told of `types` and those `moving` are found
    anew.
    """
    here = Here(filled, kept | told_facts(types, "site", _tables(filled)))
    SITE.measure_again(here, moving)
    return here.facts


def _tables(filled: Filled) -> Mapping[str, Any]:
    s = filled.situation
    return {
        "place": s.place, "dates": s.dates, "site": s.site, "field": s.field, "now": filled.now,
        "history": s.history, "means": s.means, "limits": s.limits,
    }  # fmt: skip


# ---------- the place ----------
@SITE.fact("site.country", keys=["country"])
def _country(here: Here) -> str | None:
    return here.filled.country or None


@SITE.fact("site.region", keys=["region"])
def _region(here: Here) -> str | None:
    return here.filled.region or None


@SITE.fact(
    "site.soil-test",
    keys=["field.soil_phosphorus"],
    also=["field.soil_test_date", "region", "today"],
    values=["soil-test-holds"],
)
def _soil_test(here: Here) -> str | None:
    """What the soil test says of phosphorus; old where it no longer counts by the region's law, or custom."""
    told, number = here.filled.situation.field, here.filled.library.number
    counts, tested = number("soil-test-holds", here.filled.region), told.soil_test_date
    if counts is None:
        counts = number("soil-test-holds", "usual")
    if tested is None or counts is None:
        return told.soil_phosphorus
    age = (here.filled.today - tested).days / dates.YEAR
    return "old" if age > counts else told.soil_phosphorus


@SITE.fact("site.water-salt", keys=["means.water_salt_ds_m", "means.water_quality"])
def _water_salt(here: Here) -> float | None:
    """Salt of the water by its test, dS/m; none where nobody says that it is reclaimed or salty."""
    means = here.filled.situation.means
    if means.water_salt_ds_m is None and means.water_quality not in ("reclaimed", "salty"):
        return 0.0
    return means.water_salt_ds_m


@SITE.fact("site.hemisphere", keys=["hemisphere"])
def _hemisphere(here: Here) -> str | None:
    return here.filled.hemisphere or None


@SITE.fact("site.climate", keys=["season"])
def _climate(here: Here) -> str | None:
    return None if here.filled.climate is None else here.filled.climate.code


@SITE.fact("site.climate-name", "site.summers", "site.summer-rain-share", keys=["season"])
def _summers(here: Here) -> tuple[str, str | None, float | None] | None:
    climate = here.filled.climate
    return None if climate is None else (climate.name, climate.summers, climate.summer_rain)


@SITE.fact("site.coldest-normal-c", "site.warmest-normal-c", keys=["season"])
def _normals(here: Here) -> tuple[float, float] | None:
    site = here.filled.site
    return None if site is None else (site.year.low, site.year.peak)


@SITE.fact("site.air-c-now", keys=["season"], also=["today", "now.day_temp_c", "now.night_temp_c"])
def _air(here: Here) -> float | None:
    """Told, else usual for the day; where the place is not known nothing is said."""
    site, now = here.filled.site, here.filled.now
    if site is None:
        return None
    if now.day_temp_c is not None and now.night_temp_c is not None:
        return (now.day_temp_c + now.night_temp_c) / 2
    return site.year.normal(dates.day_of_year(here.filled.today))


@SITE.fact(
    "site.weeks-until-crabgrass", "site.weeks-until-goosegrass", "site.weeks-until-annual-bluegrass",
    keys=["season"], also=["today"],
    values=["crabgrass-sprouts-from", "goosegrass-sprouts-from", "annual-bluegrass-sprouts-below"],
)  # fmt: skip
def _weeds_sprout(here: Here) -> tuple[float | None, ...]:
    """Weeks until the usual soil next warms, or cools, to where the seed of a weed sprouts; nothing where it
    never crosses that.
    """
    number = here.filled.library.number
    warm, warmer, cool = (
        number(f"{weed}-sprouts-{way}")
        for weed, way in (("crabgrass", "from"), ("goosegrass", "from"), ("annual-bluegrass", "below"))
    )
    return (
        _until_soil(here.filled, warm, 1),
        _until_soil(here.filled, warmer, 1),
        _until_soil(here.filled, cool, -1),
    )


def _until_soil(filled: Filled, limit: float | None, way: int) -> float | None:
    """Weeks from today until the usual soil next passes a limit, upwards (1) or downwards (-1)."""
    if filled.site is None or limit is None:
        return None
    at, year, numbers = dates.day_of_year(filled.today), filled.site.year, filled.library.constants.soil
    weeks = [
        way * (soil.soil_normal(year, (at + 7 * week - 1) % 365 + 1, numbers).celsius - limit)
        for week in range(53)
    ]
    return next((float(n) for n in range(1, 53) if weeks[n - 1] < 0 <= weeks[n]), None)


@SITE.fact("site.rain-short-mm-week", keys=["season", "today"])
def _rain_short(here: Here) -> float | None:
    """Of turf that stands, by the grass that grows harder that day."""
    season, day = here.filled.season, dates.day_of_year(here.filled.today)
    if season is None:
        return None
    kind = "warm" if season.site.heat_today("warm", day) > season.site.heat_today("cool", day) else "cool"
    need, rain = season.water.standing_need(day, kind), season.water.rain(day)
    return None if need is None or rain is None else water.short_mm_a_week(need, rain)


# ---------- dates and play ----------
@SITE.fact("site.month", keys=["today"])
def _month(here: Here) -> str:
    return MONTHS[here.filled.today.month - 1]


@SITE.fact("site.play-by-firm", also=["dates.play_by_firm"])
def _firm(here: Here) -> bool:
    return here.filled.situation.dates.play_by_firm is True


@SITE.fact("site.date-fixed", keys=["dates.play_by_firm"], also=["dates.play_by"])
def _fixed(here: Here) -> bool | None:
    """Whether a date that was told cannot move; unknown where nobody said."""
    told = here.filled.situation.dates
    return False if told.play_by is None else told.play_by_firm


@SITE.fact("site.date-wanted", also=["dates.play_by"])
def _date_wanted(here: Here) -> str:
    return "not-told" if here.filled.situation.dates.play_by is None else "told"


@SITE.fact("site.money-in-days", keys=["means.budget_from", "today"])
def _money_in_days(here: Here) -> int | None:
    first = here.filled.situation.means.budget_from
    return None if first is None else (first - here.filled.today).days


@SITE.fact("site.days-to-play-by", keys=["dates.play_by", "today"])
def _days_to_play_by(here: Here) -> int | None:
    play_by = here.filled.situation.dates.play_by
    return None if play_by is None else (play_by - here.filled.today).days


@SITE.fact(
    "site.adult-hours-peak", keys=HOURS, also=HOURS_MOVED_BY, values=[*HOURS_VALUES, "youth-hour-share"]
)
def _adult_peak(here: Here) -> float | None:
    return max(
        (each for month in MONTHS if (each := adult_hours(here.filled, month)) is not None), default=None
    )


@SITE.fact("site.hours-peak", keys=HOURS, also=HOURS_MOVED_BY, values=HOURS_VALUES)
def _peak(here: Here) -> float | None:
    return max((each for month in MONTHS if (each := hours(here.filled, month)) is not None), default=None)


@SITE.fact("site.goals", keys=["site.goals_anchored", "use"], also=["zone.name"])
def _goals(here: Here) -> str | None:
    """Only of sports that are known to have none is it said that nothing is played to goals; another word may
    have them. Where a part is named after a goal, one stands there.
    """
    s = here.filled.situation
    told, sports = s.site.goals_anchored is not None, {use.sport for use in s.use or ()}
    parts = [part_of(here.filled, zone) for zone in s.zone]
    if any(row is not None and row.goals for row in parts):
        return "with"
    if not told and not sports:
        return None
    goalless = {row.sport for row in here.filled.library.knowledge.fields.values() if not row.goals}
    return "with" if told or not sports <= goalless else "without"


@SITE.fact("site.played", keys=["use"])
def _played(here: Here) -> dict[str, bool] | None:
    """Of each sport that is told apart, whether it is played here; None where nobody told what is."""
    uses = [use for use in here.filled.situation.use or () if use.sport is not None]
    if not uses:
        return None
    k = here.filled.library.knowledge
    played = {k.fields[kind].sport for use in uses for kind in kinds_of(here.filled, use)}
    return {sport: sport in played for sport in k.facts["site.played"].members}


@SITE.fact("site.play-months-warm-asleep", keys=["use", "season"])
def _asleep(here: Here) -> float | None:
    months, site = play_months(here.filled), here.filled.site
    if months is None or site is None:
        return None
    middles = [dates.middle_of_month(n) for n, month in enumerate(MONTHS, 1) if month in months]
    return float(sum(not site.grows("warm", day) for day in middles))


# ---------- ground and water ----------
@SITE.fact("site.ground-class", keys=["field.rootzone", "field.drainage"])
def _ground(here: Here) -> str | None:
    return ground_class(here.filled, here.filled.situation.field.drainage)


@SITE.fact("site.soil", "site.soil-kind", keys=["field.soil"])
def _soil(here: Here) -> tuple[str | None, str | None]:
    told = here.filled.situation.field.soil
    return soil_class(here.filled, told), told


@SITE.fact("site.carpet", also=["field.rootzone"])
def _carpet(here: Here) -> bool:
    """A field is of soil until somebody says that a carpet lies on it."""
    return here.filled.situation.field.rootzone == "synthetic"


@SITE.fact("site.water-gap-hours", also=["limits.water_hours"], values=["drying-from", "drying-until"])
def _water_gap(here: Here) -> float | None:
    """The longest time of the hours in which a bed dries in which it may not be watered; none where no hours
    were told.
    """
    told, number = here.filled.situation.limits.water_hours, here.filled.library.number
    first, last = number("drying-from"), number("drying-until")
    if first is None or last is None:
        return None
    return 0.0 if not told else clock.longest_gap([(span.start, span.until) for span in told], first, last)


@SITE.fact("site.visits-weekday", keys=["means.water", "means.wettings_weekday"])
def _visits(here: Here) -> float | None:
    means = here.filled.situation.means
    return 0.0 if means.water == "none" else means.wettings_weekday


@SITE.fact(
    "site.water-litres-day",
    keys=["means.water", "means.flow_l_min", "means.watering_hours_day", "means.water_litres_day"],
    facts=["site.visits-weekday"], values=["visit-hours"],
)  # fmt: skip
def _litres(here: Here) -> float | None:
    """Of flow and hours, and no more than was told that there is."""
    found, told = _running(here), here.filled.situation.means.water_litres_day
    return min((each for each in (found, told) if each is not None), default=None)


def _running(here: Here) -> float | None:
    means, visits = here.filled.situation.means, here.facts.get("site.visits-weekday")
    if means.water == "none":
        return 0.0
    each = here.filled.library.number("visit-hours")
    watered = means.watering_hours_day
    if watered is None and isinstance(visits, float) and each is not None:
        watered = visits * each
    return (
        None if means.flow_l_min is None or watered is None else water.litres_a_day(means.flow_l_min, watered)
    )
