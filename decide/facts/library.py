"""Knowledge with what is made of it once and used by many consultations, and what a climate says of every
grass.
"""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

from decide.knowledge.plants import constants_of
from decide.knowledge.tables import Knowledge, Statement
from decide.measure import classes, dates, growth, odds, places, water, window, windows
from decide.measure import climate as cl
from decide.measure import readiness as ready
from decide.measure import weather as daily
from decide.measure.numbers import GrowthConstants
from decide.measure.past import Past
from decide.measure.window import Flags

READY_STAGES: Final = ("rooted", "light-use", "full-play", "full-fixtures")


SEASONS_KEPT: Final = 8


class Season:
    """What a place's climate says of every grass, whatever else is told: windows, readiness and odds, each
    worked out once.

    With daily years of weather (`record` says what they come to) the odds are replayed.
    """

    def __init__(
        self, site: growth.Site, climate: classes.ClimateClass, numbers: GrowthConstants,
        record: daily.Record | None = None, weather: daily.DailyWeather | None = None,
    ) -> None:  # fmt: skip
        self.site, self.climate = site, climate
        self._numbers = numbers
        self.water = water.Demand(site.year, climate.code, numbers.water)
        self._weather = weather if record is not None else None
        self._odds: dict[odds.Planting, odds.Odds | None] = {}
        self._windows: dict[tuple[str, str], window.Windows] = {}
        self._ready: dict[tuple[str, int, float, ready.Off], dict[str, ready.Readiness]] = {}
        self._up: dict[tuple[str, int, ready.Off], tuple[ready.Days, ready.Days]] = {}

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
        need = [self.water.need(day, "warm") for day in range(1, dates.YEAR + 1)]
        known = [each for each in need if each is not None]
        return windows.rain_fed_days(self.site, known, self._numbers.windows) if known else None

    def readiness(
        self, key: str, day: int, vigour: float = 1.0, off: ready.Off = ()
    ) -> Mapping[str, ready.Readiness]:
        """Readiness by stage of a grass and start on a day of the year, at a share of full growth, where
        nobody works in the spans `off`.
        """
        if (key, day, vigour, off) not in self._ready:
            plants = self._numbers.plants
            self._ready[key, day, vigour, off] = {
                stage: ready.readiness(self.site, plants, key, day, stage, vigour=vigour, off=off)
                for stage in READY_STAGES
            }
        return self._ready[key, day, vigour, off]

    def up(self, key: str, day: int, off: ready.Off = ()) -> tuple[ready.Days, ready.Days]:
        """Days to the first green and to the first cut of a grass and start on a day of the year, where
        nobody works in the spans `off`: early, middle, late.
        """
        if (key, day, off) not in self._up:
            plants = self._numbers.plants
            self._up[key, day, off] = (
                ready.first_green(self.site, plants, key, day),
                ready.first_cut(self.site, plants, key, day, off),
            )
        return self._up[key, day, off]

    @cached_property
    def past(self) -> Past | None:
        """The daily years of weather, made ready to be replayed; None where there are too few."""
        return None if self._weather is None else Past(self._weather, self.site, self._numbers.odds)

    def odds(self, planting: odds.Planting) -> odds.Odds | None:
        """The odds of a planting here; None where the growth model says nothing of it."""
        if planting not in self._odds:
            self._odds[planting] = odds.odds(
                self.site, self._numbers.plants, self._numbers.odds, planting, self.past
            )
        return self._odds[planting]


@dataclass(frozen=True)
class Placed:
    """What a told place comes to: its climate, what the years of its weather say, where it lies, and notes on
    how that was found.
    """

    climate: cl.Climate | None
    record: daily.Record | None
    country: str
    region: str
    label: str
    notes: tuple[tuple[str, Any, str, str], ...]


class Library:
    """Knowledge with all that is made of it once and used by many consultations: numbers, climate tables,
    seasons of places.
    """

    def __init__(self, knowledge: Knowledge) -> None:
        self.knowledge = knowledge
        self._seasons: dict[tuple[cl.Climate, int | None, int | None, daily.Record | None], Season] = {}
        self._records: dict[str, daily.Record | None] = {}
        # What is kept of the latest few is also thrown away; between the two nobody else may look.
        self._turn = threading.Lock()
        self.placed: dict[tuple[str, str | None], Placed] = {}

    def keep_placed(self, key: tuple[str, str | None], found: Placed) -> None:
        """Keep what a told place, with its daily weather, comes to; the latest few are kept."""
        with self._turn:
            if len(self.placed) >= SEASONS_KEPT:
                self.placed.pop(next(iter(self.placed)), None)
            self.placed[key] = found

    def record(self, weather: daily.DailyWeather) -> daily.Record | None:
        """What the years of daily weather say of their place, None where they are too few; the latest few are
        kept.
        """
        with self._turn:
            if weather.digest not in self._records:
                if len(self._records) >= SEASONS_KEPT:
                    del self._records[next(iter(self._records))]
                self._records[weather.digest] = daily.record(weather, self.constants.weather)
            return self._records[weather.digest]

    def season(
        self, climate: cl.Climate, first: int | None, last: int | None,
        record: daily.Record | None = None, weather: daily.DailyWeather | None = None,
    ) -> Season:  # fmt: skip
        """The season of a climate with the frost days that were told and the years of daily weather; the
        latest few are kept.
        """
        key = (climate, first, last, record)
        with self._turn:
            if key not in self._seasons:
                if len(self._seasons) >= SEASONS_KEPT:
                    del self._seasons[next(iter(self._seasons))]
                n = self.constants
                self._seasons[key] = Season(
                    n.site(climate, first, last, record),
                    classes.climate_class(climate, n.classes),
                    n,
                    record,
                    weather,
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

    def statement(self, name: str, key: str = "") -> Statement | None:
        """The statement in use, with its source, place, money and year; None where there is no data."""
        value = self.knowledge.values.get(name)
        return None if value is None else value.used.get(key)
