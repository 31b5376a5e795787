"""A situation with what is computed and assumed beside it, and the times that local pages print for its
place.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final

from decide.facts.library import Library, Season
from decide.knowledge.schema import RegionalWindow
from decide.knowledge.wording import Said
from decide.measure import classes, dates, growth, water, window, windows
from decide.measure import weather as daily
from decide.model.situation import WHOLE_FIELD, Now, Situation, Zone
from decide.model.written import coded

FEET_COUNTRIES: Final = ("us", "lr", "mm")


@dataclass
class Filled:
    """A situation with what is computed and assumed beside it.

    `notes` lists (key, value, how, note) of all values that are not told. `site` is None where the place, and
    with it every date, is not known.
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
    # Zones whose area is only the usual one of their sport or of their name.
    assumed_areas: set[str] = field(default_factory=set)
    notes: list[tuple[str, Any, str, str]] = field(default_factory=list)
    weather: daily.DailyWeather | None = None
    now: Now = field(default_factory=Now)
    # Kept by whoever tries many answers on one situation: measured facts of starts, by all that they rest on.
    measured: dict[tuple[Any, ...], dict[Any, Any]] = field(default_factory=dict)
    # What options cost, by all of them that a price hangs on.
    prices: dict[tuple[str, ...], Any] = field(default_factory=dict)

    @property
    def site(self) -> growth.Site | None:
        """The place with its normals, frost days and daily heat."""
        return None if self.season is None else self.season.site

    @property
    def climate(self) -> classes.ClimateClass | None:
        """The climate class of the place."""
        return None if self.season is None else self.season.climate

    def text(self, code: str, /, **words: Said) -> str:
        """A sentence of the knowledge with its holes filled."""
        return self.library.knowledge.text(code, **words)

    def with_age(self, how: str, year: str) -> str:
        """How a price is known, with a word on its age where the last of its years lies long back."""
        old = self.library.number("price-old-years")
        age = self.today.year - int(year.rsplit("-", 1)[-1])
        return how if old is None or age < old else self.text("facts-price-old", how=how, n=age)

    def note(self, key: str, value: Any, how: str, text: str = "") -> None:
        """Note a value that was not told, and how it was found."""
        self.notes.append((key, value, how, text))

    def held(self, key: str) -> Any:
        """What a key of the situation holds, or what completes it (season, country, today, now …)."""
        table, _, name = key.rpartition(".")
        if table in ("", "now"):
            return getattr(self.now if table else self, name)
        return getattr(getattr(self.situation, table), name)

    @cached_property
    def zones(self) -> Mapping[str, Zone]:
        """The zones by code."""
        return {coded(zone.name): zone for zone in self.situation.zone}

    @property
    def us(self) -> bool:
        """Whether the place speaks in feet and pounds."""
        return self.country in FEET_COUNTRIES

    def regional(self, key: str, variant: str = "plain") -> tuple[RegionalWindow, ...]:
        """The times of a grass and start that local pages print here; pregerminated seed is as plain."""
        wanted = variant if variant == "winter-overseed" else "plain"
        plant, start = growth.split_key(key)
        knowledge = self.library.knowledge
        grass = knowledge.mixtures[plant].stands_as if plant in knowledge.mixtures else plant
        return tuple(
            row
            for row in self._local
            if grass in row.grasses and start in row.starts and row.variant == wanted
        )

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

    def published(self, key: str, day: int, variant: str = "plain") -> str:
        """Where a day of the year lies against the printed times of its half of the year: inside, before,
        after or none.

        Spring is the half from the coldest to the hottest day. Outside all of them the nearest edge decides.
        """
        if self.site is None:
            return "none"
        year = self.site.year
        half = "spring" if dates.in_span(day, year.coldest, dates.wrap(year.hottest - 1)) else "autumn"
        spans = [
            (day_of(row.opens) or 0, day_of(row.closes) or 0)
            for row in self.regional(key, variant)
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
        """Water that turf of a season uses on a usual day of the year, mm; None where the place is
        not known.
        """
        return None if self.season is None else self.season.water.need(day, season)

    def rain_short(self, day: int, season: str) -> float | None:
        """Water that turf lacks a week about a day of the year, beyond usual rain, mm; negative where rain is
        more.
        """
        if self.season is None:
            return None
        need, rain = self.need_mm_a_day(day, season), self.season.water.rain(day)
        return None if need is None or rain is None else water.short_mm_a_week(need, rain)


def _holds_here(
    row: RegionalWindow, country: str, region: str, latitude: float | None, longitude: float | None
) -> bool:
    """Whether a printed time holds at a place: in its regions, as far as they are known, and near enough to
    its centre.
    """
    known = bool(country or region)
    if row.regions and known and not {country, region} & set(row.regions):
        return False
    if not row.centre:
        return known
    if latitude is None or longitude is None or row.radius_km is None:
        return False
    return windows.km_apart(latitude, longitude, row.centre[0], row.centre[1]) <= row.radius_km


def day_of(text: str | None) -> int | None:
    """The day of the year of a month and day, as 10-31."""
    if text is None:
        return None
    month, day = (int(part) for part in text.split("-"))
    return dates.day_of_year(dt.date(2001, month, day))


def zone_of(filled: Filled, code: str) -> Zone:
    """The zone of that code."""
    return filled.zones[code]


def soil_of(filled: Filled, zone: Zone) -> str | None:
    """The soil that was told of a zone: its own, else the field's."""
    return filled.situation.field.soil if zone.soil is None else zone.soil


def soil_class(filled: Filled, told: str | None) -> str | None:
    """What a soil counts as where only sand, loam and clay are told apart."""
    row = filled.library.knowledge.soils.get(told or "")
    return told if row is None else row.counts_as


def ground_class(filled: Filled, drainage: str | None) -> str | None:
    """The class of ground for hours of use: that of what the field was built of, else its drainage."""
    built = filled.library.knowledge.rootzones.get(coded(filled.situation.field.rootzone or ""))
    return drainage if built is None else built.ground


def is_whole_field(zone: Zone) -> bool:
    """Whether the zone stands for the field where none was named."""
    return coded(zone.name) == coded(WHOLE_FIELD)
