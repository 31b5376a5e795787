"""The facts of a grass and method, and of a grass and start on a day: what the year at the place does to new
grass.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final

from decide.facts.declare import Facts, Sheet
from decide.facts.draft import days_off, lead_grass
from decide.facts.filled import Filled
from decide.facts.play import HOURS, HOURS_MOVED_BY, HOURS_VALUES, hours_by_growth
from decide.knowledge.schema import Grass
from decide.knowledge.tables import Knowledge
from decide.measure import dates, growth, readiness, soil, water
from decide.model.situation import Means
from decide.model.written import MONTHS, coded

# The readings of a range of days, from the soonest to the latest.
PARTS: Final = ("early", "middle", "late")
_SEASONS: Final = ("winter", "spring", "summer", "autumn")


def season_of_year(day: dt.date, hemisphere: str) -> str | None:
    """The season of a day in its half of the earth, by whole months; None where the half is not known."""
    if hemisphere not in ("north", "south"):
        return None
    return _SEASONS[(day.month % 12 // 3 + (2 if hemisphere == "south" else 0)) % 4]


def northern_month(day: dt.date, hemisphere: str) -> str | None:
    """The month of a day as it would be in the north, half a year on in the south; None where the half is not
    known.
    """
    if hemisphere not in ("north", "south"):
        return None
    return MONTHS[(day.month - 1 + (len(MONTHS) // 2 if hemisphere == "south" else 0)) % len(MONTHS)]


# ---------- a grass and method, wherever and whenever it is used ----------
@dataclass
class Plant:
    """A grass and method with their facts so far."""

    filled: Filled
    plant: str
    method: str
    facts: Facts = field(default_factory=dict)

    @cached_property
    def lead(self) -> Grass:
        """The grass that the stand will behave like."""
        knowledge = self.filled.library.knowledge
        return knowledge.grasses[lead_grass(knowledge, self.plant)]


PLANT: Final = Sheet[Plant]()


@PLANT.fact(
    "option.method",
    "option.grass",
    "option.lead-grass",
    "option.mixture",
    of=["plant", "method"],
)
def _names(here: Plant) -> tuple[str, ...]:
    knowledge, plant = here.filled.library.knowledge, here.plant
    return here.method, plant, lead_grass(knowledge, plant), plant if plant in knowledge.mixtures else "none"


@PLANT.fact(
    "option.season-type", "option.habit", "option.life", "option.sport", "option.wear", "option.recovery",
    "option.shade", "option.salt", "option.drought", "option.cold", "option.heat", of=["plant"],
)  # fmt: skip
def _of_grass(here: Plant) -> tuple[str, ...]:
    lead = here.lead
    return (
        lead.season_type, lead.habit, lead.life, lead.sport, lead.wear, lead.recovery,
        lead.shade, lead.salt, lead.drought, lead.cold, lead.heat,
    )  # fmt: skip


@PLANT.fact(
    "option.made-from",
    "option.by-hand",
    "option.slope-holding",
    "option.cost-class",
    of=["method"],
)
def _of_method(here: Plant) -> tuple[str, ...]:
    way = here.filled.library.knowledge.methods[here.method]
    return way.made_from, way.by_hand, way.slope_holding, way.cost_class


@PLANT.fact(
    "option.leaching-percent",
    keys=["means.water_salt_ds_m"],
    values=["soil-salt-most"],
    of=["lead.salt"],
)
def _leaching(here: Plant) -> float | None:
    """All of it where no amount of such water would do."""
    held, most = here.filled.situation.means.water_salt_ds_m, None
    if held is not None:
        most = here.filled.library.number("soil-salt-most", here.lead.salt)
    if held is None or most is None:
        return None
    share = water.leaching_share(held, most)
    return 100.0 if share is None else 100 * share


@PLANT.fact(
    "option.climate-fit",
    "option.climate-beyond-k",
    keys=["season"],
    of=["plant"],
)
def _climate_fit(here: Plant) -> tuple[str, float | None] | None:
    return None if here.filled.climate is None else here.filled.climate.fit(here.lead.climates)


@PLANT.fact(
    "option.machine", keys=["means.water", "means.equipment_own", "means.equipment_hire", "means.contractor"],
    also=["means.equipment_broken"], of=["method"],
)  # fmt: skip
def machine(here: Plant) -> str | None:
    """Where the machines come from: the worst over the groups that are needed, the last level of the fact the
    worst.
    """
    knowledge, means = here.filled.library.knowledge, here.filled.situation.means
    order = knowledge.facts["option.machine"].levels
    levels = [_source(knowledge, means, group) for group in knowledge.methods[here.method].machines]
    known = [order.index(level) for level in levels if level is not None]
    worst = order[max(known, default=0)]
    return worst if worst == order[-1] or None not in levels else None


def _source(knowledge: Knowledge, means: Means, group: Iterable[str]) -> str | None:
    """Where one of a group of machines that do the same can come from; None where that is not known."""
    wanted, watered = set(group), knowledge.water_means.get(coded(means.water or ""))
    own = {*(means.equipment_own or ()), *(() if watered is None else watered.brings)}
    own -= set(means.equipment_broken or ())
    if wanted & own:
        return "own"
    if wanted & {coded(tool) for tool in means.equipment_hire or []}:
        return "hire"
    if means.contractor:
        return "contractor"
    told = (
        means.equipment_own is not None and means.equipment_hire is not None and means.contractor is not None
    )
    return "missing" if told else None


@PLANT.fact(
    "option.hours-growing", "option.hours-resting", keys=[*HOURS, "season"], also=HOURS_MOVED_BY,
    values=[*HOURS_VALUES, "youth-hour-share"], of=["lead.season_type"],
)  # fmt: skip
def _hours(here: Plant) -> tuple[float | None, float | None] | None:
    return hours_by_growth(here.filled, here.lead.season_type)


# ---------- a grass and start on a day ----------
@dataclass
class Start:
    """A grass and start on a day with their facts so far; `share` is the share of full growth that sun and
    water allow there.
    """

    filled: Filled
    key: str
    day: dt.date
    variant: str
    season: str
    share: float = 1.0
    facts: Facts = field(default_factory=dict)

    @cached_property
    def at(self) -> int:
        """The day of the year."""
        return dates.day_of_year(self.day)

    @cached_property
    def ready(self) -> Mapping[str, readiness.Readiness]:
        """Readiness by stage, at full growth."""
        return self._ready(1.0)

    @cached_property
    def slow(self) -> Mapping[str, readiness.Readiness]:
        """Readiness by stage with the light and water that there are."""
        return self.ready if self.share == 1 else self._ready(self.share)

    def _ready(self, share: float) -> Mapping[str, readiness.Readiness]:
        season = self.filled.season
        return (
            {}
            if season is None
            else season.readiness(self.key, self.at, share, days_off(self.filled, self.day))
        )


START: Final = Sheet[Start]()
# What a measurement reads of a start: its day alone, or with it all that growth hangs on.
DAY: Final = ("day",)
GROWTH: Final = ("key", "day", "share")


@START.quantity(
    "growth-share",
    also=["zone.name", "zone.sun_hours", "field.sun_hours", "means.water", "season"],
    values=["growth-share-least", "sun-hours-least"],
)  # fmt: skip
def growth_share(filled: Filled, key: str, start: dt.date, zone: str) -> float:
    """The share of full growth that a zone's sun, and rain where there is no water, allow a grass after a
    start: 0 to 1.

    Sun against the hours that the grass needs, times rain of the month after the start against what turf uses
    then; no share under the least is reckoned, for rules judge such ground.
    """
    number = filled.library.number
    least = number("growth-share-least")
    if least is None:
        return 1.0
    lead = lead_grass(filled.library.knowledge, growth.split_key(key)[0])
    share, here = 1.0, filled.zones.get(zone)
    own = None if here is None else here.sun_hours
    sun = filled.situation.field.sun_hours if own is None else own
    needed = number("sun-hours-least", lead)
    if sun is not None and needed:
        share = min(share, sun / needed)
    if filled.situation.means.water == "none" and filled.site is not None:
        day = dates.wrap(dates.day_of_year(start) + 15)
        season = filled.library.knowledge.grasses[lead].season_type
        short, need = filled.rain_short(day, season), filled.need_mm_a_day(day, season)
        if short is not None and need and short > 0:
            share *= 1 - short / (7 * need)
    return round(min(1.0, max(least, share)), 2)


@START.fact("option.days-from-today", keys=["today"], of=DAY)
def _days_from_today(here: Start) -> int:
    return (here.day - here.filled.today).days


@START.fact("option.month", of=DAY)
def _month(here: Start) -> str:
    return MONTHS[here.day.month - 1]


@START.fact("option.northern-month", keys=["hemisphere"], of=DAY)
def _northern_month(here: Start) -> str | None:
    return northern_month(here.day, here.filled.hemisphere)


@START.fact("option.season", keys=["hemisphere"], of=DAY)
def _season(here: Start) -> str | None:
    return season_of_year(here.day, here.filled.hemisphere)


@START.fact(
    "option.window",
    "option.days-past-stop",
    "option.days-outside",
    keys=["season"],
    of=["key", "day", "variant"],
)
def _window(here: Start) -> tuple[str, float | None, float] | None:
    if here.filled.site is None:
        return None
    windows = here.filled.windows(here.key, here.variant)
    return windows.quality_on(here.at), windows.days_past_close(here.at), float(windows.days_outside(here.at))


@START.fact("option.published-window", keys=["season", "country", "region"], of=["key", "day", "variant"])
def _published(here: Start) -> str | None:
    if here.filled.site is None:
        return None
    if here.variant not in ("plain", "pregerminated", "winter-overseed"):
        return "none"
    return here.filled.published(here.key, here.at, here.variant)


@START.fact(
    "option.soil-c", keys=["season", "today", "now.soil_temp_c"], values=["start-report-holds"], of=DAY
)
def _soil(here: Start) -> float | None:
    filled = here.filled
    if filled.site is None:
        return None
    told, holds = filled.now.soil_temp_c, filled.library.number("start-report-holds") or 0
    if told is not None and (here.day - filled.today).days <= holds:
        return told
    return soil.soil_normal(filled.site.year, here.at, filled.library.constants.soil).celsius


@START.fact("option.air-c", "option.air-c-first-month", "option.night-c-first-month", keys=["season"], of=DAY)
def _air(here: Start) -> tuple[float, ...] | None:
    season = here.filled.season
    if season is None:
        return None
    year = season.site.year
    first = year.mean(here.at, 30)
    return year.normal(here.at), first, first - season.water.day_range(here.at + 15) / 2


@START.fact("option.heat-to-growth-end", "option.heat-to-first-frost", keys=["season"], of=DAY)
def _heat(here: Start) -> tuple[float | None, ...] | None:
    site = here.filled.site
    return None if site is None else (site.heat_to_growth_end(here.at), site.heat_to_first_frost(here.at))


@START.fact("option.first-winter", keys=["season"], of=["key", "day"])
def _first_winter(here: Start) -> str | None:
    site = here.filled.site
    return (
        None
        if site is None
        else growth.winter(site, here.filled.library.constants.plants, here.key, here.at).level
    )


@START.fact(
    "option.rain-short-mm-week", "option.rain-short-season-mm-week", keys=["season"], of=["season", "day"]
)
def _rain(here: Start) -> tuple[float | None, float | None]:
    """Of the first month, and of the driest of the first five."""
    middle = dates.wrap(here.at + 15)
    ahead = [here.filled.rain_short(dates.wrap(middle + 30 * month), here.season) for month in range(5)]
    return ahead[0], max((short for short in ahead if short is not None), default=None)


def _days(here: Start, stage: str) -> dict[str, int | None] | None:
    """Where light or water is short the middle and the late day are put off."""
    if not here.ready:
        return None
    slow = here.slow[stage]
    return {"early": here.ready[stage].early, "middle": slow.middle, "late": slow.late}


@START.fact(
    "option.light-use-days", keys=["season"], also=["dates.no_work"], facts=["growth-share"], of=GROWTH
)
def _light(here: Start) -> dict[str, int | None] | None:
    return _days(here, "light-use")


@START.fact(
    "option.full-play-days", keys=["season"], also=["dates.no_work"], facts=["growth-share"], of=GROWTH
)
def _full(here: Start) -> dict[str, int | None] | None:
    return _days(here, "full-play")


@START.fact("option.never-ready", keys=["season"], also=["dates.no_work"], of=["key", "day"])
def _never_ready(here: Start) -> str | None:
    if not here.ready:
        return None
    light, full = here.ready["light-use"], here.ready["full-play"]
    if "dies-in-winter" in (full.why, light.why):
        return "dies"
    return "no-data" if (full.why or light.why) == "no-data" else "no"


def _spare(here: Start, days: str, by: dt.date | None) -> dict[str, float | None] | None:
    if by is None:
        return None
    left = (by - here.day).days
    held = {part: here.facts.get(f"{days}.{part}") for part in PARTS}
    return {part: left - each if isinstance(each, float) else None for part, each in held.items()}


@START.fact("option.spare-light", keys=["dates.play_by"], facts=["option.light-use-days"], of=GROWTH)
def _spare_light(here: Start) -> dict[str, float | None] | None:
    return _spare(here, "option.light-use-days", here.filled.situation.dates.play_by)


@START.fact(
    "option.spare-full",
    keys=["dates.play_by"],
    also=["dates.matches_by"],
    facts=["option.full-play-days"],
    of=GROWTH,
)
def _spare_full(here: Start) -> dict[str, float | None] | None:
    told = here.filled.situation.dates
    return _spare(here, "option.full-play-days", told.matches_by or told.play_by)


@START.fact(
    "option.spare",
    also=["dates.first_use", "dates.matches_by"],
    facts=["option.spare-light", "option.spare-full"],
    of=GROWTH,
)
def _spare_wanted(here: Start) -> dict[str, Any]:
    """Where nobody told what is wanted first, matches are: the greater demand. Where training and matches
    have a date each, the one that is missed by more.
    """
    told = here.filled.situation.dates
    light, full = (
        {part: here.facts.get(f"option.spare-{use}.{part}") for part in PARTS} for use in ("light", "full")
    )
    if told.first_use != "training":
        return full
    if told.matches_by is None:
        return light
    return {
        part: min(one, other)
        for part in PARTS
        if isinstance(one := light[part], float) and isinstance(other := full[part], float)
    }
