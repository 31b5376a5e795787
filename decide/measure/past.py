"""The years of daily weather of a place, laid side by side for a replay."""

import dataclasses
from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from decide.measure import dates, growth
from decide.measure.climate import Floats
from decide.measure.weather import DailyWeather

# the day of a leap year that a year of 365 days has not: 29 February
_LEAP_DAY = 60
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]


@dataclasses.dataclass(frozen=True)
class OddsNumbers:
    """Numbers of the odds: years, days, shares; rain of a day that washes a bed out (mm) by method."""

    years_least: float
    gap_most: float
    growth_days: float
    shift_share: float
    frost_c: float
    washout_days: float
    washout_rain: Mapping[str, float]


class Past:
    """The days of a weather file on years of 365 days (29 February left out), with the heat of each day.

    Missing temperatures are taken as the normal of their day; years with too many of them are not replayed.
    """

    def __init__(self, weather: DailyWeather, site: growth.Site, numbers: OddsNumbers) -> None:
        self.site, self.numbers = site, numbers
        self.year0 = weather.first.year
        size = (weather.last.year - self.year0 + 1) * dates.YEAR
        low, mean, rain = (np.full(size, np.nan) for _ in range(3))
        at, kept = _places(weather, self.year0)
        low[at], mean[at], rain[at] = weather.low[kept], weather.mean[kept], weather.rain[kept]
        gone = np.isnan(mean)
        self._gone = np.concatenate([[0], np.cumsum(gone)])
        self.first, self.after = int(at[0]), int(at[-1]) + 1
        self.mean = np.where(gone, np.tile(site.year.normals, size // dates.YEAR), mean)
        self.low, self.rain = low, rain
        self._sums: dict[tuple[str, float], Floats] = {}
        self._growing: dict[str, tuple[Ints, Floats]] = {}

    def sums(self, kind: str, base: float = 0.0) -> Floats:
        """Running heat (K-day) of a kind, one longer than the days (0 first)."""
        key = (kind, base)
        if key not in self._sums:
            heat = growth.daily_heat(self.site.curves, kind, self.mean, 0.0, base)
            self._sums[key] = np.concatenate([[0.0], np.cumsum(heat)])
        return self._sums[key]

    def growing(self, season: str) -> tuple[Ints, Floats]:
        """For each day the latest growing day up to it (-1 without one), and how many growing days lie before
        each day, a cool one counted by its share of a full one.

        A day is a growing one where the heat of the days up to it, on average, lets the grass grow.
        """
        if season not in self._growing:
            sums, span = (
                self.sums(growth.WARM if season == "warm" else growth.COOL),
                round(self.numbers.growth_days),
            )
            before = np.maximum(np.arange(len(self.mean)) + 1 - span, 0)
            mean = (sums[1:] - sums[before]) / (np.arange(len(self.mean)) + 1 - before)
            grows = mean >= self.site.least(season)
            latest = np.maximum.accumulate(np.where(grows, np.arange(len(grows)), -1))
            share = np.where(grows, np.minimum(1.0, mean / self.site.full(season)), 0.0)
            self._growing[season] = latest, np.concatenate([[0.0], np.cumsum(share)])
        return self._growing[season]

    def starts(self, day: int, horizon: int) -> Ints:
        """Places of a day of the year in each year that was read well enough from it over a number of
        days.
        """
        at = np.arange(dates.wrap(day) - 1, len(self.mean), dates.YEAR)
        at = at[(at >= self.first) & (at + horizon <= self.after)]
        gone = self._gone[at + horizon] - self._gone[at]
        return np.asarray(at[gone <= self.numbers.gap_most * horizon], dtype=np.int64)


def _places(weather: DailyWeather, year0: int) -> tuple[Ints, Ints]:
    """Place of each day on years of 365 days, and its position in the file; 29 February has none."""
    at: list[int] = []
    kept: list[int] = []
    position = 0
    for year in range(year0, weather.last.year + 1):
        opens = dates.date_in_year(1, year)
        leap = (dates.date_in_year(1, year + 1) - opens).days == dates.YEAR + 1
        for day in range(1, dates.YEAR + 2 if leap else dates.YEAR + 1):
            position = (opens - weather.first).days + day - 1
            if 0 <= position < len(weather.low) and not (leap and day == _LEAP_DAY):
                of_year = day - 1 if leap and day > _LEAP_DAY else day
                at.append((year - year0) * dates.YEAR + of_year - 1)
                kept.append(position)
    return np.array(at, dtype=np.int64), np.array(kept, dtype=np.int64)
