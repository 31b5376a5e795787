"""What is told is completed by what can be computed or assumed, and each value says which of the three it is."""

from __future__ import annotations

import dataclasses
import datetime as dt
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final

from decide.knowledge.plants import constants_of
from decide.knowledge.schema import RegionalWindow
from decide.knowledge.tables import Knowledge
from decide.measure import climate as cl
from decide.measure import dates, growth, odds, places, soil, water, window, windows
from decide.measure import readiness as ready
from decide.measure import weather as daily
from decide.measure.numbers import GrowthConstants
from decide.measure.window import Flags
from decide.model.errors import SituationError
from decide.model.situation import WHOLE_FIELD, Now, Place, Situation, Zone
from decide.model.written import coded

COUNTRY_WORDS: Final[Mapping[str, str]] = {
    "usa": "us", "united-states": "us", "united-states-of-america": "us", "america": "us", "uk": "gb", "britain": "gb",
    "great-britain": "gb", "england": "gb", "scotland": "gb", "wales": "gb", "northern-ireland": "gb",
}  # fmt: skip
AREAS_OF_COUNTRIES: Final = ("england", "scotland", "wales", "northern-ireland")
# How many times as many people a town must have as its namesakes, to be the one that is meant where nothing more is said.
SURELY_MEANT: Final = 20
FEET_COUNTRIES: Final = ("us", "lr", "mm")
READY_STAGES: Final = ("rooted", "light-use", "full-play", "full-fixtures")
# Names of a lone zone that is the field itself.
WHOLE_NAMES: Final = ("whole-field", "field", "all", "whole-pitch", "pitch", "ground", "oval")
# Parts of a ground whose name tells their size, and the value that holds it.
_NAMED_PARTS: Final[Mapping[tuple[str, ...], str]] = {
    ("goalmouth", "goal-mouth", "goal-area", "goal-square"): "goal-area", ("penalty-area", "penalty-box"): "penalty-area",
    ("centre-circle", "center-circle"): "centre-circle-area",
}  # fmt: skip
_NAMED_FIELDS: Final[Mapping[tuple[str, ...], str]] = {
    ("cricket-square", "cricket-table", "wicket-block", "wicket-table"): "cricket-square", ("cricket-pitch", "wicket", "cricket-strip"): "cricket-pitch",
    ("softball-infield",): "softball-infield", ("youth-infield", "little-diamond"): "youth-ball-infield", ("infield",): "baseball-infield",
}  # fmt: skip
SEASONS_KEPT: Final = 8


class Season:
    """What a place's climate says of every grass, whatever else is told: windows, readiness and odds, each worked out once.

    With daily years of weather (`record` says what they come to) the odds are replayed, and the day range is theirs.
    """

    def __init__(
        self, site: growth.Site, climate: cl.ClimateClass, numbers: GrowthConstants,
        record: daily.Record | None = None, weather: daily.DailyWeather | None = None,
    ) -> None:  # fmt: skip
        self.site, self.climate = site, climate
        self._numbers = numbers
        self.water = (
            numbers.water
            if record is None
            else dataclasses.replace(numbers.water, day_range={}, day_range_usual=record.day_range)
        )
        self._weather = weather if record is not None else None
        self._odds: dict[odds.Planting, odds.Odds | None] = {}
        self._windows: dict[tuple[str, str], window.Windows] = {}
        self._ready: dict[tuple[str, int, float], dict[str, ready.Readiness]] = {}
        self._up: dict[tuple[str, int], tuple[ready.Days, ready.Days]] = {}

    def windows(self, key: str, variant: str = "plain") -> window.Windows:
        """The windows of a grass and start here."""
        if (key, variant) not in self._windows:
            n = self._numbers
            self._windows[key, variant] = windows.windows(
                self.site, n.plants, n.windows, key, variant, self._rain_fed
            )
        return self._windows[key, variant]

    @cached_property
    def _rain_fed(self) -> Flags | None:
        """The days on which rain waters new warm-season grass; None where rain or latitude is not known."""
        latitude, n = self.site.climate.latitude, self._numbers
        if latitude is None:
            return None
        need = [
            water.need_mm_a_day(
                self.site.year.normal(day), latitude, day, self.climate.code, "warm", self.water
            )
            for day in range(1, dates.YEAR + 1)
        ]
        return windows.rain_fed_days(self.site, need, n.windows)

    def readiness(self, key: str, day: int, vigour: float = 1.0) -> Mapping[str, ready.Readiness]:
        """Readiness by stage of a grass and start on a day of the year, at a share of full growth."""
        if (key, day, vigour) not in self._ready:
            plants = self._numbers.plants
            self._ready[key, day, vigour] = {
                stage: ready.readiness(self.site, plants, key, day, stage, vigour=vigour)
                for stage in READY_STAGES
            }
        return self._ready[key, day, vigour]

    def up(self, key: str, day: int) -> tuple[ready.Days, ready.Days]:
        """Days to the first green and to the first cut of a grass and start on a day of the year: early, middle, late."""
        if (key, day) not in self._up:
            plants = self._numbers.plants
            self._up[key, day] = (
                ready.first_green(self.site, plants, key, day),
                ready.first_cut(self.site, plants, key, day),
            )
        return self._up[key, day]

    @cached_property
    def past(self) -> odds.Past | None:
        """The daily years of weather, made ready to be replayed; None where there are too few."""
        return None if self._weather is None else odds.Past(self._weather, self.site, self._numbers.odds)

    def odds(self, planting: odds.Planting) -> odds.Odds | None:
        """The odds of a planting here; None where the growth model says nothing of it."""
        if planting not in self._odds:
            self._odds[planting] = odds.odds(
                self.site, self._numbers.plants, self._numbers.odds, planting, self.past
            )
        return self._odds[planting]


class Library:
    """Knowledge with all that is made of it once and used by many consultations: numbers, climate tables, seasons of places."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.knowledge = knowledge
        self._seasons: dict[tuple[cl.Climate, int | None, int | None, daily.Record | None], Season] = {}
        self._records: dict[str, daily.Record | None] = {}

    def record(self, weather: daily.DailyWeather) -> daily.Record | None:
        """What the years of daily weather say of their place, None where they are too few; the latest few are kept."""
        if weather.digest not in self._records:
            if len(self._records) >= SEASONS_KEPT:
                del self._records[next(iter(self._records))]
            self._records[weather.digest] = daily.record(weather, self.constants.weather)
        return self._records[weather.digest]

    def season(
        self, climate: cl.Climate, first: int | None, last: int | None,
        record: daily.Record | None = None, weather: daily.DailyWeather | None = None,
    ) -> Season:  # fmt: skip
        """The season of a climate with the frost days that were told and the years of daily weather; the latest few are kept."""
        key = (climate, first, last, record)
        if key not in self._seasons:
            if len(self._seasons) >= SEASONS_KEPT:
                del self._seasons[next(iter(self._seasons))]
            n = self.constants
            self._seasons[key] = Season(
                n.site(climate, first, last, record), cl.climate_class(climate, n.climate), n, record, weather
            )
        return self._seasons[key]

    @cached_property
    def constants(self) -> GrowthConstants:
        """The numbers of the measures."""
        return constants_of(self.knowledge)

    @cached_property
    def tables(self) -> places.Tables:
        """Places and climate, read when first needed."""
        return places.Tables(self.knowledge.folder / "climate", self.constants.climate)

    def number(self, name: str, key: str = "") -> float | None:
        """The number in use, or None where there is no data."""
        return self.knowledge.value(name, key)


@dataclass
class Filled:
    """A situation with what is computed and assumed beside it.

    `notes` lists (key, value, how, note) of all values that are not told. `site` is None where the place, and with it
    every date, is not known.
    """

    situation: Situation
    library: Library
    today: dt.date
    today_computed: bool = False
    country: str = ""
    region: str = ""
    place_label: str = ""
    hemisphere: str = ""
    latitude: float | None = None
    season: Season | None = None
    areas: dict[str, float] = field(default_factory=dict)
    notes: list[tuple[str, Any, str, str]] = field(default_factory=list)
    weather: daily.DailyWeather | None = None
    now: Now = field(default_factory=Now)
    # Kept by whoever tries many answers on one situation: measured facts of starts, by all that they rest on.
    measured: dict[tuple[Any, ...], dict[Any, Any]] = field(default_factory=dict)

    @property
    def site(self) -> growth.Site | None:
        """The place with its normals, frost days and daily heat."""
        return None if self.season is None else self.season.site

    @property
    def climate(self) -> cl.ClimateClass | None:
        """The climate class of the place."""
        return None if self.season is None else self.season.climate

    @cached_property
    def zones(self) -> Mapping[str, Zone]:
        """The zones by code."""
        return {coded(zone.name): zone for zone in self.situation.zone}

    @property
    def us(self) -> bool:
        """Whether the place speaks in feet and pounds."""
        return self.country in FEET_COUNTRIES

    def regional(self, key: str) -> tuple[RegionalWindow, ...]:
        """The times of a grass and start that local pages print for this place."""
        plant, start = growth.split_key(key)
        knowledge = self.library.knowledge
        grass = knowledge.mixtures[plant].stands_as if plant in knowledge.mixtures else plant
        return tuple(row for row in self._local if grass in row.grasses and start in row.starts)

    @cached_property
    def _local(self) -> tuple[RegionalWindow, ...]:
        """The printed times that hold at this place, for whatever grass."""
        spot = (
            (self.site.climate.latitude, self.site.climate.longitude)
            if self.site is not None
            else (None, None)
        )
        return tuple(
            row
            for row in self.library.knowledge.windows.values()
            if _holds_here(row, self.country, self.region, *spot)
        )

    def published(self, key: str, day: int) -> str:
        """Where a day of the year lies against the printed times of its half of the year: inside, before, after or none.

        Spring is the half from the coldest to the hottest day. Outside all of them the nearest edge decides.
        """
        if self.site is None:
            return "none"
        year = self.site.year
        half = "spring" if dates.in_span(day, year.coldest, dates.wrap(year.hottest - 1)) else "autumn"
        spans = [
            (_day_of(row.opens) or 0, _day_of(row.closes) or 0)
            for row in self.regional(key)
            if row.part in ("year", half)
        ]
        if not spans:
            return "none"
        if any(dates.in_span(day, opens, closes) for opens, closes in spans):
            return "inside"
        until = min(dates.days_ahead(day, opens) for opens, _ in spans)
        since = min(dates.days_ahead(closes, day) for _, closes in spans)
        return "before" if until <= since else "after"

    def windows(self, key: str, variant: str = "plain") -> window.Windows:
        """The windows of a grass and start at this place, worked out once."""
        assert self.season is not None
        return self.season.windows(key, variant)

    def need_mm_a_day(self, day: int, season: str) -> float | None:
        """Water that turf of a season uses on a usual day of the year, mm; None where the place is not known."""
        if self.season is None or self.latitude is None:
            return None
        return water.need_mm_a_day(
            self.season.site.year.normal(day),
            self.latitude,
            day,
            self.season.climate.code,
            season,
            self.season.water,
        )

    def rain_short(self, day: int, season: str) -> float | None:
        """Water that turf lacks a week about a day of the year, beyond usual rain, mm; negative where rain is more."""
        if self.site is None or not self.site.climate.rain or self.climate is None:
            return None
        need, month = self.need_mm_a_day(day, season), dates.month_of(day)
        return (
            None
            if need is None
            else water.rain_short_mm_a_week(
                need, self.site.climate.rain[month - 1], dates.MONTH_LENGTHS[month - 1]
            )
        )


def _holds_here(
    row: RegionalWindow, country: str, region: str, latitude: float | None, longitude: float | None
) -> bool:
    """Whether a printed time holds at a place: in its regions, as far as they are known, and near enough to its centre."""
    known = bool(country or region)
    if row.regions and known and not {country, region} & set(row.regions):
        return False
    if not row.centre:
        return known
    if latitude is None or longitude is None or row.radius_km is None:
        return False
    return windows.km_apart(latitude, longitude, row.centre[0], row.centre[1]) <= row.radius_km


def _day_of(text: str | None) -> int | None:
    if text is None:
        return None
    month, day = (int(part) for part in text.split("-"))
    return dates.day_of_year(dt.date(2001, month, day))


def _place(filled: Filled) -> cl.Climate | None:
    """The climate of the place, by the best of what is told; notes say which."""
    told, tables = filled.situation.place, filled.library.tables
    country = (told.country or "").lower()
    filled.country = COUNTRY_WORDS.get(country, country)
    region = told.region or ""
    own = _typed_months(told)
    town = _town(filled, own) if told.name and told.latitude is None else None
    spot: tuple[float, float] | None = None
    if town is not None:
        spot = town.latitude, town.longitude
        filled.place_label = town.label
        filled.country = town.country.lower()
        region = f"{town.country}-{town.region}".lower() if town.region else region
        filled.notes.append(
            ("place.latitude", round(town.latitude, 2), "computed", f"{town.label}, from the table of places")
        )
        filled.notes.append(("place.longitude", round(town.longitude, 2), "computed", ""))
        if region:
            filled.notes.append(("place.region", region, "computed", ""))
    elif told.latitude is not None and told.longitude is not None:
        spot = told.latitude, told.longitude
    elif (told.latitude is not None) != (told.longitude is not None) and not (own and told.longitude is None):
        one, other = ("longitude", "latitude") if told.latitude is None else ("latitude", "longitude")
        raise SituationError(
            f"place.{one} stands without place.{other}", where="situation", instead="Write both, or a town"
        )
    if region and town is None and filled.country:
        code = tables.region_code(filled.country, region)
        region = f"{filled.country}-{code}".lower() if code else region
    if region and "-" not in region[:3]:
        region = f"{filled.country}-{coded(region)}" if filled.country else coded(region)
    filled.region = region.lower()
    climate = tables.climate_at(*spot) if spot is not None else None
    note = "" if climate is None else f"world table 2000-2025, by {climate.source}"
    if climate is not None and spot is not None and not own:
        table_m = tables.height_at(*spot)
        if told.altitude_m is None:
            note += f", for ground at {table_m:.0f} m; a field much higher or lower needs place.altitude_m"
        else:
            climate, moved = _at_height(climate, told.altitude_m, table_m, filled.library.constants.climate)
            note += "; " + moved
    if own:
        climate, note = _by_typed_months(told, climate)
    if climate is not None and told.monthly_rain_mm:
        climate = dataclasses.replace(climate, rain=tuple(told.monthly_rain_mm))
    if climate is not None and not told.monthly_mean_c:
        filled.notes.append(
            ("place.monthly_mean_c", [round(float(t), 1) for t in climate.means], "computed", note)
        )
    if told.altitude_m is not None and (own or spot is None):
        reason = (
            "your own months hold for the place where they were measured"
            if own
            else "without a town or coordinates there are no temperatures to correct"
        )
        filled.notes.append(("correction for height", 0, "computed", f"none: {reason}"))
    if climate is None:
        _say_what_is_missing(filled)
    return climate if climate is None else _checked(climate)


def _typed_months(told: Place) -> bool:
    """Whether temperatures of months are typed; SituationError where one of the two months is missing."""
    given = [key for key in ("warmest_month_c", "coldest_month_c") if getattr(told, key) is not None]
    if len(given) == 1:
        other = "coldest_month_c" if given == ["warmest_month_c"] else "warmest_month_c"
        raise SituationError(
            f"place.{given[0]} stands without place.{other}",
            where="situation",
            instead="Write both, or all twelve in place.monthly_mean_c",
        )
    return bool(told.monthly_mean_c or given)


def _town(filled: Filled, own: bool) -> places.Place | None:
    """The town that is meant; SituationError, which lists what it may be, where there is none or there are several.

    With months of the person's own (`own`) the town is not needed, and a name that is not clear is passed over.
    """
    told, tables = filled.situation.place, filled.library.tables
    name, region = told.name or "", told.region
    hint = {"gb": "GB", "us": "US"}.get(filled.country, told.country or "").replace("-", " ") or None
    if region is None and told.country in AREAS_OF_COUNTRIES:
        region = told.country.replace("-", " ")
    found = tables.find_places(name, hint, region)
    by_region = bool(region and found and not found[0].near)
    if not by_region and region:
        found = [place for place in tables.find_places(name, hint) if not place.near] or found
    best = [
        place
        for place in found
        if not place.near and told.hemisphere in (None, "south" if place.latitude < 0 else "north")
    ]
    several = (
        len(best) > 1 and best[0].population < SURELY_MEANT * best[1].population and not (hint and by_region)
    )
    if best and not several:
        return best[0]
    if own:
        filled.notes.append(
            (
                "place.latitude",
                "not known",
                "assumed",
                f"{name!r} was not found as one town; your own months stand for the place",
            )
        )
        return None
    if several:
        raise SituationError(
            f"place.name: several towns are called {name!r}",
            where="situation",
            instead=f"Add place.country or place.region, or write latitude and longitude. They are: {'; '.join(place.label for place in best[:6])}",
        )
    near = "; ".join(place.label for place in found[:4])
    if tables.is_area(name):
        raise SituationError(
            f"place.name: {name!r} is a country or region, and its climate differs from place to place",
            where="situation",
            instead=f"Write the nearest town, such as: {near}; or latitude and longitude",
        )
    hints = [word for word in (hint, region, told.hemisphere and f"the {told.hemisphere}") if word]
    raise SituationError(
        f"place.name: there is no town {name!r} in the table"
        + (" in that country, region or half of the earth" if hints else ""),
        where="situation",
        instead=f"Did you mean: {near}? Or write a bigger town nearby, or latitude and longitude"
        if near
        else "Write a bigger town nearby, or latitude and longitude",
    )


def _by_typed_months(told: Place, table: cl.Climate | None) -> tuple[cl.Climate, str]:
    """The climate by the person's own months, with what else the table knows of the place, and how it was made."""
    latitude = told.latitude if told.latitude is not None else (table.latitude if table else None)
    if told.monthly_mean_c:
        return cl.climate_from_means(
            told.monthly_mean_c, table.rain if table else (), latitude, told.longitude, told.hemisphere
        ), ""
    warmest, coldest = told.warmest_month_c, told.coldest_month_c
    assert warmest is not None
    assert coldest is not None
    if table is not None:
        return cl.climate_stretched(
            table, warmest, coldest
        ), "the table's year drawn to your warmest and coldest month"
    hemisphere = told.hemisphere or (None if latitude is None else "south" if latitude < 0 else "north")
    if hemisphere is None:
        raise SituationError(
            "place.warmest_month_c and place.coldest_month_c do not say when it is warm",
            where="situation",
            instead='Add place.hemisphere = "north" or "south", or a town, or latitude and longitude',
        )
    return cl.climate_from_warmest_coldest(
        warmest, coldest, hemisphere, latitude
    ), "an even year between your warmest and coldest month; twelve means would do better"


def _at_height(
    climate: cl.Climate, altitude_m: float, table_m: float, numbers: cl.ClimateNumbers
) -> tuple[cl.Climate, str]:
    """The climate at the field's height, and by how much it was moved from the height that the table stands for."""
    higher = altitude_m - table_m
    moved = cl.raised(climate, higher, numbers)
    side = "above" if higher >= 0 else "below"
    return (
        moved,
        f"moved by {moved.means[0] - climate.means[0]:+.1f} C, since {altitude_m:.0f} m lies {abs(higher):.0f} m {side} the {table_m:.0f} m that the table stands for",
    )


def _say_what_is_missing(filled: Filled) -> None:
    """A note where the place is told in part, but not so that a climate follows."""
    told = filled.situation.place
    need = "add a town, or latitude and longitude, or the hemisphere with the means of the warmest and the coldest month"
    if told.first_frost or told.last_frost:
        filled.notes.append(
            (
                "climate",
                "not known",
                "assumed",
                f"frost days alone say nothing of how warm summer or how cold winter is: {need}",
            )
        )
    elif told.country or told.region or told.hemisphere:
        filled.notes.append(
            (
                "climate",
                "not known",
                "assumed",
                f"a country, state or half of the earth holds several climates: {need}",
            )
        )


def _by_weather(filled: Filled, climate: cl.Climate | None) -> tuple[cl.Climate | None, daily.Record | None]:
    """The climate by daily weather, where it has years enough; what the person typed stays above it."""
    told, weather = filled.situation.place, filled.weather
    if weather is None:
        return climate, None
    record = filled.library.record(weather)
    span = f"{weather.first.year}-{weather.last.year}"
    if record is None:
        least = filled.library.constants.weather.years_least
        note = f"{span}: fewer than {least:g} whole years, so the climate stays that of the table and the odds are estimated; only its last days are used"
        filled.notes.append(("weather", weather.label, "computed", note))
        return climate, None
    years = f"{record.years} years of daily weather, {span}"
    if told.monthly_mean_c:
        filled.notes.append(
            (
                "weather",
                weather.label,
                "computed",
                f"{years}: used for frost and for the odds; your own monthly means stand above it",
            )
        )
        return climate, record
    filled.notes = [row for row in filled.notes if row[0] != "place.monthly_mean_c"]
    filled.notes.append(
        (
            "weather",
            weather.label,
            "computed",
            f"{years}: its means, rain, frost and spread stand in place of the table's",
        )
    )
    filled.notes.append(("place.monthly_mean_c", [round(t, 1) for t in record.means], "computed", years))
    rain = told.monthly_rain_mm or record.rain or (climate.rain if climate is not None else ())
    latitude = climate.latitude if climate is not None else told.latitude
    longitude = climate.longitude if climate is not None else told.longitude
    hemisphere = told.hemisphere or (climate.hemisphere if climate is not None else None)
    made = cl.climate_from_means(record.means, rain, latitude, longitude, hemisphere)
    return dataclasses.replace(made, source="daily-weather"), record


def _now(filled: Filled) -> Now:
    """What was seen, completed by the weather file's last day; a soil reading brought to the planting depth.

    What the person typed wins over the file. The notes say what was completed.
    """
    now, changed = filled.situation.now, dict[str, float]()
    for back in (0, 1):
        read = (
            filled.weather.on(filled.today - dt.timedelta(days=back)) if filled.weather is not None else None
        )
        if read is not None:
            for name, value in (
                ("rain_24h_mm", read.rain),
                ("day_temp_c", read.high),
                ("night_temp_c", read.low),
            ):
                if value is not None and getattr(now, name) is None and name not in changed:
                    changed[name] = round(value, 1)
                    filled.notes.append(
                        (
                            f"now.{name}",
                            changed[name],
                            "computed",
                            f"daily weather of {read.date.isoformat()}",
                        )
                    )
    numbers = filled.library.constants.soil
    if (
        filled.site is not None
        and now.soil_temp_c is not None
        and now.soil_depth_mm is not None
        and now.soil_depth_mm != 1000 * numbers.depth_m
    ):
        day = dates.day_of_year(filled.today)
        changed["soil_temp_c"] = round(
            soil.at_planting_depth(filled.site.year, day, now.soil_temp_c, now.soil_depth_mm / 1000, numbers),
            1,
        )
        note = f"your reading at {now.soil_depth_mm:g} mm brought to {1000 * numbers.depth_m:g} mm, where seed lies"
        filled.notes.append(("soil temperature", changed["soil_temp_c"], "computed", note))
    return now.model_copy(update=changed) if changed else now


def _checked(climate: cl.Climate) -> cl.Climate:
    if not all(math.isfinite(t) for t in climate.means):
        raise SituationError(
            "the climate table has no numbers for this place",
            where="situation",
            instead="Write place.monthly_mean_c",
        )
    return climate


def _areas(filled: Filled) -> None:
    """Area of each zone: told, or its share of the field, or the field itself where it is the only one and named so."""
    s = filled.situation
    field_area = s.field.area_m2
    if field_area is None and s.field.length_m and s.field.width_m:
        field_area = s.field.length_m * s.field.width_m
        filled.notes.append(("field.area_m2", round(field_area, 1), "computed", "length times width"))
    if field_area is None:
        field_area = _usual_area(filled)
    for zone in s.zone:
        area = zone.area_m2
        if area is None and field_area is not None and zone.share_percent is not None:
            area = field_area * zone.share_percent / 100
            filled.notes.append(
                (f"zone.{coded(zone.name)}.area_m2", round(area, 1), "computed", "its share of the field")
            )
        elif area is None and (named := _named_area(filled, zone)) is not None:
            area = named
            filled.notes.append(
                (
                    f"zone.{coded(zone.name)}.area_m2",
                    round(area, 1),
                    "assumed",
                    "by the rule book, from the part's name; measure yours",
                )
            )
        elif area is None and field_area is not None and len(s.zone) == 1 and coded(zone.name) in WHOLE_NAMES:
            area = field_area
            if s.field.area_m2 is not None:
                filled.notes.append(
                    (f"zone.{coded(zone.name)}.area_m2", round(area, 1), "computed", "the whole field")
                )
        if area is not None:
            filled.areas[coded(zone.name)] = round(area, 1)


def _named_area(filled: Filled, zone: Zone) -> float | None:
    """The area that a zone's own name tells by the rules of its game; two of them where the name is a plural."""
    name, number = coded(zone.name), filled.library.number
    for words, value in _NAMED_PARTS.items():
        if any(word in name for word in words):
            one = number(value)
            return None if one is None else one * (2 if name.endswith("s") else 1)
    for words, field_ in _NAMED_FIELDS.items():
        if any(word in name for word in words):
            sides = [
                number(f"field-{side}-{end}", field_)
                for side in ("length", "width")
                for end in ("low", "high")
            ]
            known = [side for side in sides if side is not None]
            return (known[0] + known[1]) / 2 * (known[2] + known[3]) / 2 if len(known) == 4 else None
    return None


def _usual_area(filled: Filled) -> float | None:
    """The usual area of a field for the first sport that is named, assumed where nothing is told."""
    knowledge = filled.library.knowledge
    for use in filled.situation.use or []:
        for code, sport in knowledge.fields.items():
            if use.sport not in {
                code,
                coded(sport.name),
                coded(sport.sport),
                *(coded(word) for word in sport.also),
            }:
                continue
            sides = [
                knowledge.value(f"field-{side}-{end}", code)
                for side in ("length", "width")
                for end in ("low", "high")
                if f"field-{side}-{end}" in knowledge.values
            ]
            known = [side for side in sides if side is not None]
            if len(known) == 4:
                area = (known[0] + known[1]) / 2 * (known[2] + known[3]) / 2
                filled.notes.append(
                    ("field.area_m2", round(area), "assumed", f"middle of the published sizes: {sport.name}")
                )
                return area
    return None


def fill(situation: Situation, library: Library, weather: daily.DailyWeather | None = None) -> Filled:
    """The situation with today's place, climate and areas; SituationError where the place has two readings.

    `weather` is what the file that `place.weather_file` names holds; the caller reads it, nothing here does.
    """
    today = situation.dates.today
    if today is None:
        raise SituationError(
            "dates.today is missing",
            where="situation",
            instead="Write the day that the advice is for, as 2026-05-20",
        )
    if situation.place.weather_file is not None and weather is None:
        raise SituationError(
            f"place.weather_file ({situation.place.weather_file}) was not read", where="situation",
            instead="Use `decide advise FILE`, which reads it; a program reads it with read_weather and gives it as weather=; else take the key out",
        )  # fmt: skip
    filled = Filled(situation, library, today, weather=weather, now=situation.now)
    climate, record = _by_weather(filled, _place(filled))
    told = situation.place
    if climate is not None:
        first, last = _day_of(told.first_frost), _day_of(told.last_frost)
        filled.season = season = library.season(climate, first, last, record, weather)
        filled.latitude = climate.latitude
        filled.hemisphere = climate.hemisphere
        note = f"or {season.climate.neighbour}, which is as near" if season.climate.neighbour else ""
        filled.notes.append(("climate", season.climate.code, "computed", note))
        frost = season.site.frost
        for name, day, typed in (
            ("place.first_frost", frost.first, first),
            ("place.last_frost", frost.last, last),
        ):
            if day is not None and typed is None:
                month, date = dates.month_and_day(day)
                doubt = (
                    f"median; the estimate is off by {frost.doubt_days:.0f} days on average, and years differ"
                )
                if record is not None:
                    doubt = f"median of {record.years} years of daily weather; years differ by {frost.year_days:.0f} days"
                filled.notes.append((name, f"{month:02d}-{date:02d}", "computed", doubt))
    else:
        filled.hemisphere = told.hemisphere or ""
    filled.now = _now(filled)
    _areas(filled)
    for zone in situation.zone:
        if zone.keep_off is None:
            filled.notes.append(
                (
                    f"zone.{coded(zone.name)}.keep_off",
                    False,
                    "assumed",
                    "work is allowed unless somebody says to keep off",
                )
            )
    if situation.dates.play_by_firm is None and situation.dates.play_by is not None:
        filled.notes.append(
            ("dates.play_by_firm", False, "assumed", "a date can move until somebody says that it cannot")
        )
    return filled


def zone_of(filled: Filled, code: str) -> Zone:
    """The zone of that code."""
    return filled.zones[code]


def is_whole_field(zone: Zone) -> bool:
    """Whether the zone stands for the field where none was named."""
    return coded(zone.name) == coded(WHOLE_FIELD)
