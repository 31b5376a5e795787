"""How ground is watered at a stage: times a day, amounts, days that stay dry; by soil and weather."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final, get_args

from decide.engine.language import Fact
from decide.facts.filled import Filled, soil_class, soil_of, zone_of
from decide.knowledge.schema_care import BedWeather, WaterMeans, WaterStage
from decide.measure import clock, dates, wetting
from decide.measure.window import OPEN_QUALITIES
from decide.model.units import convert
from decide.model.written import coded

NOT_TOLD: Final = "not-told"
ONE: Final = dt.timedelta(days=1)
WEEK: Final = 7
# What the weather of some days is measured by, and what the first wettings are made of beside it.
SPELL_KEYS: Final = ("season", "latitude")
SPELL_VALUES: Final = ("wetting-judged-days", "hot-seed-day", "cool-bed-day")
DOSE_VALUES: Final = (
    *SPELL_VALUES,
    *(f"{made}-wettings-{weather}" for made in ("seed", "sod", "sprig") for weather in get_args(BedWeather)),
    "wettings-fewest", "wettings-fewest-hot", "wetting-depth-low", "wetting-depth-high", "sod-wetting-low",
    "sod-wetting-high", "water-share-bed", "water-once-most", "water-slope-from", "water-slope-share",
)  # fmt: skip
# What only moves them: soil has a usual reading, and hands bear on how often.
DOSE_MOVED_BY: Final = (
    "field.soil", "zone.soil", "zone.name", "field.rootzone", "field.slope_percent", "means.water",
    "means.wettings_weekday",
)  # fmt: skip


@dataclass(frozen=True)
class Dose:
    """How one stage is watered on days without rain.

    `goes` wettings on a watering day, mm in each, and days from one watering day to the next.
    """

    goes: int
    each: float
    every: int = 1

    @property
    def a_day(self) -> float:
        """Wettings on a day without rain; below 1 where it is not watered every day."""
        return self.goes / self.every

    @property
    def depth(self) -> float:
        """Mm on a watering day."""
        return self.goes * self.each


@dataclass(frozen=True)
class Spell:
    """Some days of a usual year: mm a day of reference evapotranspiration, share of days without rain, and
    how a bed dries in them.
    """

    lost: float
    dry: float
    weather: BedWeather


def first_stage(filled: Filled, made_from: str) -> WaterStage | None:
    """The stage in which what is sown, laid or planted must be kept wet; None where nothing must."""
    stages = filled.library.knowledge.watering.values()
    return next((row for row in stages if row.kind == "wet" and made_from in row.made_from), None)


def spell(filled: Filled, first: dt.date, last: dt.date) -> Spell | None:
    """The days from one date to another in a usual year; None where place or climate is not known."""
    season, number = filled.season, filled.library.number
    if season is None or filled.latitude is None:
        return None
    count = (last - first).days + 1
    lost = dry = high = 0.0
    for at in (dates.day_of_year(first + step * ONE) for step in range(count)):
        mean, month = season.site.year.normal(at), dates.month_of(at)
        lost += season.water.reference(at) or 0.0
        high += mean + season.water.day_range(at) / 2
        if season.site.climate.rain:
            fallen, days = season.site.climate.rain[month - 1], dates.MONTH_LENGTHS[month - 1]
            dry += 1 - wetting.wet_share(fallen, days, mean, filled.library.constants.wet_days)
        else:
            dry += 1
    high /= count
    hot, cool = number("hot-seed-day"), number("cool-bed-day")
    weather: BedWeather = (
        "hot" if hot is not None and high >= hot
        else "cool" if cool is not None and high < cool
        else "mild"
    )  # fmt: skip
    return Spell(lost / count, dry / count, weather)


def water_means(filled: Filled) -> WaterMeans:
    """The means of watering that there is, as far as it was told."""
    return filled.library.knowledge.water_means[coded(filled.situation.means.water or NOT_TOLD)]


def hours_a_day(filled: Filled) -> float | None:
    """Hours of a day in which the water may run: told, else those that are allowed, else by the means of
    watering; never more than are allowed.
    """
    told, allowed = filled.situation.means.watering_hours_day, filled.situation.limits.water_hours
    there = filled.library.number(water_means(filled).hours) if told is None else told
    if there is None or not allowed:
        return there
    return min(there, clock.open_minutes([(span.start, span.until) for span in allowed]) / 60)


def soil_for_water(filled: Filled, zone: str) -> tuple[str, bool]:
    """The soil of a zone for water, and whether it was told: that of what the field was built of, else that
    of its top.
    """
    knowledge, field = filled.library.knowledge, filled.situation.field
    built = knowledge.rootzones.get(coded(field.rootzone or ""))
    told = built.soil if built is not None else soil_class(filled, soil_of(filled, zone_of(filled, zone)))
    return str(told or knowledge.usual["site.soil"].is_), told is not None


def most_in_one_go(filled: Filled, zone: str) -> float:
    """The most water, mm, that the ground of a zone takes in one go without running off."""
    number = filled.library.number
    most = number("water-once-most", soil_for_water(filled, zone)[0]) or math.inf
    slope, steep = filled.situation.field.slope_percent, number("water-slope-from")
    share = number("water-slope-share")
    if slope is not None and steep is not None and share is not None and slope >= steep:
        most *= share
    return most


def amount(
    filled: Filled, written: str | None, facts: Mapping[str, Fact], unit: str, zone: str
) -> float | None:
    """The number of a value as a stage names it ("name" or "name[fact]"), by the zone's soil for water where
    it is by soil, in `unit`; None without data.
    """
    if written is None:
        return None
    name, _, index = written.rstrip("]").partition("[")
    known = filled.library.knowledge.values[name]
    key = (
        soil_for_water(filled, zone)[0] if known.by == "soil" else str(facts.get(index, "")) if index else ""
    )
    held = filled.library.number(name, key)
    return None if held is None else convert(held, known.unit, unit)


def first_spell(filled: Filled, first: dt.date) -> Spell | None:
    """The days from one day on whose weather decides how what must be kept wet is watered."""
    days = math.ceil(filled.library.number("wetting-judged-days") or 1)
    return spell(filled, first, first + (days - 1) * ONE)


def kept_wet(
    filled: Filled, stage: WaterStage, facts: Mapping[str, Fact], in_: Spell, zone: str
) -> Dose | None:
    """The wettings of a day in which the top must not dry: as often as is printed for soil and weather, fewer
    and larger as far as it bears it where hands can come no oftener, and in them what is lost.
    """
    times = amount(filled, stage.wettings.get(in_.weather), facts, "count/day", zone)
    fewest = amount(filled, stage.fewest.get(in_.weather), facts, "count/day", zone)
    share = amount(filled, stage.share, facts, "ratio", zone)
    least, most = (amount(filled, name, facts, "mm", zone) for name in (stage.least, stage.most))
    if times is None or share is None or least is None or most is None:
        return None
    need, most = in_.lost * share, max(least, min(most, most_in_one_go(filled, zone)))
    told = filled.situation.means.wettings_weekday
    if told is not None and fewest is not None and water_means(filled).by_hand:
        times = min(times, max(fewest, math.floor(told)))
    goes = max(round(times), math.ceil(round(need / most, 6)))
    return Dose(goes, min(max(need / goes, least), most))


def first_dose(
    filled: Filled,
    made_from: str,
    facts: Mapping[str, Fact],
    start: dt.date,
    zone: str,
    spell_from: Callable[[dt.date], Spell | None],
) -> Dose | None:
    """How what is sown, laid or planted in a zone on a day is wetted at first; None where it is not known.
    `spell_from` gives the days from one on, as `first_spell` does.
    """
    stage = first_stage(filled, made_from)
    if stage is None:
        return None
    first = start + (ONE if stage.after_opening else dt.timedelta())
    in_ = spell_from(first)
    return None if in_ is None else kept_wet(filled, stage, facts, in_, zone)


def soaking(filled: Filled, stage: WaterStage, facts: Mapping[str, Fact], zone: str) -> Dose | None:
    """One soaking, in as many goes as the ground takes."""
    depth = amount(filled, stage.most, facts, "mm", zone)
    if depth is None:
        return None
    goes = math.ceil(round(depth / most_in_one_go(filled, zone), 6))
    return Dose(goes, depth / goes)


def to_the_roots(
    filled: Filled,
    stage: WaterStage,
    facts: Mapping[str, Fact],
    need: float,
    before: Dose | None,
    zone: str,
) -> Dose | None:
    """A watering that wets the depth of the roots, no smaller than the one of the stage before, and the days
    that it lasts at a need of so many mm a day.
    """
    number, soil = filled.library.number, soil_for_water(filled, zone)[0]
    roots, least = (amount(filled, name, facts, "mm", zone) for name in (stage.roots, stage.least))
    holds, drawn, spell_days = number("soil-holds", soil), number("soil-drawn"), number("dry-spell-days")
    if roots is None or least is None or holds is None or drawn is None or spell_days is None or need <= 0:
        return None
    depth = max(roots * holds * drawn, least, need)
    goes = math.ceil(round(depth / most_in_one_go(filled, zone), 6))
    each = max(depth / goes, 0.0 if before is None else before.each)
    return Dose(goes, each, max(1, min(math.floor(round(goes * each / need, 6)), math.ceil(spell_days))))


def wakes(filled: Filled, key: str, variant: str, start: dt.date) -> dt.date:
    """The day of the first wetting: the start, or the day after winter on which seed that was put to sleep
    begins to grow.
    """
    window = filled.windows(key, variant).window_on(dates.day_of_year(start))
    meant = filled.library.knowledge.variants[variant].starts_in
    if window is None or window.quality not in meant or window.quality in OPEN_QUALITIES:
        return start
    return dates.date_on_or_after(window.closes, start) + ONE
