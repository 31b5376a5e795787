"""Daily weather of one station, and what its years tell of the place."""

import dataclasses
import datetime as dt
import functools
import hashlib
import math

import numpy as np
import numpy.typing as npt

from decide.measure import climate as cl
from decide.measure import dates

Floats = npt.NDArray[np.float64]


@dataclasses.dataclass(frozen=True, eq=False)
class DailyWeather:
    """Daily lows and highs (C) and rain (mm) of one station from `first` on, a day each; NaN where nothing
    was read.

    The arrays are of one length and cannot be changed. Two of the same numbers are equal, whatever their
    labels.
    """

    first: dt.date
    low: Floats
    high: Floats
    rain: Floats
    label: str = ""

    def __post_init__(self) -> None:
        lengths = {len(self.low), len(self.high), len(self.rain)}
        if len(lengths) != 1 or 0 in lengths or max(lengths) > MOST_DAYS:
            raise ValueError(
                f"low, high and rain have {sorted(lengths)} days: give each day once, from 1 to "
                f"{MOST_DAYS:,} days"
            )
        for name in ("low", "high", "rain"):
            kept = np.array(getattr(self, name), dtype=np.float64)
            kept.setflags(write=False)
            object.__setattr__(self, name, kept)
        with np.errstate(invalid="ignore"):
            if bool((self.high < self.low).any()):
                raise ValueError("a day's high is under its low: change them over")

    @functools.cached_property
    def digest(self) -> str:
        """The same for the same numbers: a key to keep things by."""
        parts = (
            self.first.isoformat().encode(),
            self.low.tobytes(),
            self.high.tobytes(),
            self.rain.tobytes(),
        )
        return hashlib.sha256(b"\0".join(parts)).hexdigest()

    def __eq__(self, other: object) -> bool:
        return isinstance(other, DailyWeather) and self.digest == other.digest

    def __hash__(self) -> int:
        return hash(self.digest)

    @property
    def last(self) -> dt.date:
        """The last day."""
        return self.first + dt.timedelta(days=len(self.low) - 1)

    @functools.cached_property
    def mean(self) -> Floats:
        """Daily mean, C: half the sum of low and high."""
        return np.asarray((self.low + self.high) / 2, dtype=np.float64)

    def on(self, day: dt.date) -> "Day | None":
        """What was read on a day; None outside the file."""
        at = (day - self.first).days
        if not 0 <= at < len(self.low):
            return None
        low, high, rain = (
            None if math.isnan(x) else float(x) for x in (self.low[at], self.high[at], self.rain[at])
        )
        return Day(day, low, high, rain)


@dataclasses.dataclass(frozen=True)
class Day:
    """One day's low and high (C) and rain (mm); None where it was not read."""

    date: dt.date
    low: float | None
    high: float | None
    rain: float | None


@dataclasses.dataclass(frozen=True)
class WeatherNumbers:
    """Numbers for reading the years of a file: years and days, degrees C."""

    years_least: float
    month_missing: float
    frost_c: float


@dataclasses.dataclass(frozen=True)
class Record:
    """What enough daily years say of a place: normals (C, mm), daily range by month and spread (K), median
    frost days of the year.

    `years` is the number of years behind the thinnest month. `rain` is empty where too little of it was read.
    A frost day is None where fewer than half the years have frost; `frost_share` says how many have.
    """

    years: int
    from_year: int
    until_year: int
    means: tuple[float, ...]
    rain: tuple[float, ...]
    day_range: tuple[float, ...]
    spread: float
    first_frost: int | None
    last_frost: int | None
    frost_year_days: float
    frost_share: float
    digest: str


def _months(
    values: Floats, year: npt.NDArray[np.int64], month: npt.NDArray[np.int64], missing_most: float
) -> list[list[float]]:
    """Means of the months by calendar month, of those that are whole but for a few missing days."""
    kept: list[list[float]] = [[] for _ in range(12)]
    known = ~np.isnan(values)
    for y in range(int(year[0]), int(year[-1]) + 1):
        of_year = year == y
        for m in range(1, 13):
            here = of_year & (month == m)
            read = here & known
            if here.any() and read.sum() >= dates.MONTH_LENGTHS[m - 1] - missing_most:
                kept[m - 1].append(float(values[read].mean()))
    return kept


def record(weather: DailyWeather, numbers: WeatherNumbers) -> Record | None:
    """What the years of a file say of the place; None where a month has fewer whole years than are needed.

    Temperatures and rain are means over the years (rain scaled up for its few missing days), frost days
    medians over the years in which the season from one hottest day to the next was read, those without frost
    counted as the latest.
    """
    year, month, day = _calendar(weather)
    means = _months(weather.mean, year, month, numbers.month_missing)
    years = min(map(len, means))
    if years < numbers.years_least:
        return None
    monthly = tuple(float(np.mean(of)) for of in means)
    ranges = _months(weather.high - weather.low, year, month, numbers.month_missing)
    rains = _months(weather.rain, year, month, numbers.month_missing)
    rain: tuple[float, ...] = ()
    if min(map(len, rains)) >= numbers.years_least:
        rain = tuple(
            float(np.mean(of)) * length for of, length in zip(rains, dates.MONTH_LENGTHS, strict=True)
        )
    normals = cl.daily_normals(monthly)
    first, last, year_days, share = _frosts(weather, normals, numbers)
    return Record(
        years, int(year[0]), int(year[-1]), monthly, rain, tuple(float(np.mean(of)) for of in ranges),
        float(np.nanstd(weather.mean - normals[day - 1])), first, last, year_days, share, weather.digest,
    )  # fmt: skip


def frost_of(record: Record, frost: cl.Frost) -> cl.Frost:
    """The frost of a place with the days and the doubt of its own years in place of the estimate's.

    Frost in every year but a few is usual, in fewer than half of them of some years only, in none rare.
    """
    if record.first_frost is None or record.last_frost is None:
        kind = "some-years" if record.frost_share > 0 else "rare"
        return dataclasses.replace(
            frost, kind=kind, first=None, last=None, killing=None, doubt_days=0.0, wide_days=0.0
        )
    return dataclasses.replace(frost, doubt_days=0.0, wide_days=0.0, year_days=record.frost_year_days)


def _frosts(
    weather: DailyWeather, normals: Floats, numbers: WeatherNumbers
) -> tuple[int | None, int | None, float, float]:
    """Median first and last frost (days of the year), standard deviation between years (days), share of years
    with frost.
    """
    hottest = int(np.argmax(normals)) + 1
    firsts: list[float] = []
    lasts: list[float] = []
    for y in range(weather.first.year, weather.last.year + 1):
        opens, closes = dates.date_in_year(hottest, y), dates.date_in_year(hottest, y + 1)
        if opens < weather.first or closes > weather.last:
            continue
        lows = weather.low[(opens - weather.first).days : (closes - weather.first).days]
        if np.isnan(lows).sum() > 12 * numbers.month_missing:
            continue
        cold = [
            dates.days_ahead(hottest, dates.day_of_year(opens + dt.timedelta(days=int(n))))
            for n in np.flatnonzero(lows <= numbers.frost_c)
        ]
        firsts.append(float(cold[0]) if cold else math.inf)
        lasts.append(float(cold[-1]) if cold else -math.inf)
    real = [d for d in firsts if math.isfinite(d)]
    share = len(real) / len(firsts) if firsts else 0.0
    if not firsts or share < _HALF:
        return None, None, 0.0, share
    # the middle year itself, so that half the years are earlier and half later also where some have none
    first, last = sorted(firsts)[(len(firsts) - 1) // 2], sorted(lasts)[len(lasts) // 2]
    if not (math.isfinite(first) and math.isfinite(last)):
        return None, None, 0.0, share
    ends = [d for d in lasts if math.isfinite(d)]
    apart = float(np.sqrt((np.var(real) + np.var(ends)) / 2))
    return dates.wrap(hottest + round(first)), dates.wrap(hottest + round(last)), apart, share


MOST_DAYS = 80_000
_HALF = 0.5


# ---------- what the years say ----------
def _calendar(
    weather: DailyWeather,
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """Year, month and day of the year (29 February as 28) of each day."""
    days = [weather.first + dt.timedelta(days=n) for n in range(len(weather.low))]
    table = np.array([(day.year, day.month, dates.day_of_year(day)) for day in days], dtype=np.int64)
    return table[:, 0], table[:, 1], table[:, 2]
