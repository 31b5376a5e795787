"""Turns a place into twelve monthly normals, 365 daily normals and frost dates."""

import dataclasses
import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from decide.measure import dates

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


@dataclasses.dataclass(frozen=True)
class ClimateNumbers:
    """The numbers of the climate rules; degrees C unless said otherwise."""

    place_reach_km: float
    namesake_ratio: float
    lapse_c_per_100_m: float
    town_lapse_c_per_100_m: float
    town_height_least_m: float
    town_height_whole_m: float
    table_miss_c: float
    height_miss_c: float
    spread_start: float
    spread_share: float
    frost_start: float
    frost_per_degree: float
    tropics_latitude: float
    frost_tropics: float
    killing_frost_below: float
    frost_some_years_band: float
    frost_doubt_mean_days: float
    frost_doubt_wide_days: float
    frost_year_spread_days: float
    latitude_when_unknown: float


@dataclasses.dataclass(frozen=True)
class Climate:
    """Monthly normals of one spot: mean air temperature (C) and rain (mm), January first.

    `source` is place, grid, coast, typed-months, typed-two-months or class; `rain` is empty where it is not
    known. `latitude` is None where only a hemisphere was told. `miss_c` is how far (C) the normals may be off
    to either side at one place in ten: 0 where they were measured there. `day_range` is the mean daily range
    of temperature by month (K), empty where it is not known; `water_factor` what water need by Hargreaves'
    equation is to be multiplied by there.
    """

    means: tuple[float, ...]
    rain: tuple[float, ...]
    latitude: float | None
    longitude: float | None
    hemisphere: str
    source: str
    note: str = ""
    miss_c: float = 0.0
    day_range: tuple[float, ...] = ()
    water_factor: float = 1.0

    @property
    def warmest(self) -> float:
        """Mean of the warmest month, C."""
        return max(self.means)

    @property
    def coldest(self) -> float:
        """Mean of the coldest month, C."""
        return min(self.means)


@dataclasses.dataclass(frozen=True)
class Frost:
    """Median frost days of the year. `kind`: usual, some-years, rare or always; days are None where they do
    not exist.

    `doubt_days` is the mean miss of the estimate, `wide_days` what one estimate in five exceeds, `year_days`
    the standard deviation between years. Typed days carry no doubt of the estimate (0).
    """

    kind: str
    first: int | None
    last: int | None
    killing: int | None
    doubt_days: float
    wide_days: float
    year_days: float


def climate_from_means(
    means: Sequence[float],
    rain: Sequence[float] = (),
    latitude: float | None = None,
    longitude: float | None = None,
    hemisphere: str | None = None,
) -> Climate:
    """Climate from twelve typed monthly means (C) and, if known, twelve rain totals (mm), January first.

    Raises ValueError where a list does not hold twelve finite numbers.
    """
    for name, numbers in (("monthly means", means), ("monthly rain", rain)):
        if (numbers or name == "monthly means") and (
            len(numbers) != dates.YEAR_MONTHS or not all(map(math.isfinite, numbers))
        ):
            raise ValueError(f"{name}: {len(numbers)} numbers given; write twelve, January first")
    if hemisphere is None:
        half = sum(means[i] for i in (3, 4, 5, 6, 7, 8)) - sum(means[i] for i in (0, 1, 2, 9, 10, 11))
        south = latitude < 0 if latitude is not None else half < 0
        hemisphere = "south" if south else "north"
    return Climate(
        tuple(map(float, means)), tuple(map(float, rain)), latitude, longitude, hemisphere, "typed-months"
    )


def climate_from_warmest_coldest(
    warmest_c: float, coldest_c: float, hemisphere: str, latitude: float | None = None
) -> Climate:
    """Climate of a cosine year from the means of the warmest and the coldest month (C).

    T(d) = (Tw + Tc)/2 + (Tw - Tc)/2 cos(2 pi (d - dw)/365), dw the middle of July (north) or January (south).
    Daily normals made this way miss the table's by 1.3 C on average. Raises ValueError where the warmest is
    colder.
    """
    if warmest_c < coldest_c:
        raise ValueError(
            f"warmest month {warmest_c} C is colder than the coldest, {coldest_c} C: change them over"
        )
    peak = dates.middle_of_month(1 if hemisphere == "south" else 7)
    day = np.arange(1, dates.YEAR + 1)
    year = (warmest_c + coldest_c) / 2 + (warmest_c - coldest_c) / 2 * np.cos(
        2 * np.pi * (day - peak) / dates.YEAR
    )
    ends = np.cumsum(dates.MONTH_LENGTHS)
    means = tuple(float(part.mean()) for part in np.split(year, ends[:-1]))
    return Climate(means, (), latitude, None, hemisphere, "typed-two-months")


def climate_stretched(climate: Climate, warmest_c: float, coldest_c: float) -> Climate:
    """The year of a climate drawn so that its warmest and coldest months have the given means (C).

    The shape of the year stays; where it has none (all months alike), a cosine year is taken. Raises
    ValueError where the warmest is colder.
    """
    plain = climate_from_warmest_coldest(warmest_c, coldest_c, climate.hemisphere, climate.latitude)
    span = climate.warmest - climate.coldest
    if span <= 0:
        means = plain.means
    else:
        means = tuple(
            coldest_c + (m - climate.coldest) / span * (warmest_c - coldest_c) for m in climate.means
        )
    return dataclasses.replace(climate, means=means, source="typed-two-months", note="", miss_c=0.0)


def raised(climate: Climate, metres_higher: float, numbers: ClimateNumbers) -> Climate:
    """The climate of ground that lies higher (or, negative, lower) than the place the normals belong to."""
    change = -numbers.lapse_c_per_100_m * metres_higher / 100
    note = f"{climate.note}; {metres_higher:+.0f} m".lstrip("; ")
    return dataclasses.replace(climate, means=tuple(m + change for m in climate.means), note=note)


def height_counts(metres_higher: float, numbers: ClimateNumbers) -> float:
    """Share (0..1) of a difference of height that counts: none of a small one, which the table's own miss
    hides, all of a large one, and between them the more the larger it is.
    """
    beyond = abs(metres_higher) - numbers.town_height_least_m
    return min(1.0, max(0.0, beyond / (numbers.town_height_whole_m - numbers.town_height_least_m)))


def at_town(climate: Climate, metres_higher: float, numbers: ClimateNumbers) -> Climate:
    """The climate of a town that lies higher (or, negative, lower) than the ground of its cell.

    The change with height is that of towns, not of free air. What was moved may be off by more.
    """
    counts = height_counts(metres_higher, numbers)
    change = -numbers.town_lapse_c_per_100_m * counts * metres_higher / 100
    return dataclasses.replace(
        climate,
        means=tuple(m + change for m in climate.means),
        miss_c=math.hypot(climate.miss_c, counts * numbers.height_miss_c),
    )


def daily_normals(means: Sequence[float]) -> Floats:
    """365 daily normals whose month means are exactly the given twelve.

    A periodic cubic spline through the running total at the ends of the months; its day-to-day differences
    are the normals (area-matching splines).
    """
    month = np.asarray(means, dtype=np.float64)
    length = np.asarray(dates.MONTH_LENGTHS, dtype=np.float64)
    ends = np.concatenate([[0], np.cumsum(dates.MONTH_LENGTHS)])
    mean = float((length * month).sum() / dates.YEAR)
    total = np.concatenate([[0.0], np.cumsum(length * (month - mean))])
    total[-1] = 0.0
    matrix, right = np.zeros((12, 12)), np.zeros(12)
    for i in range(12):
        before, after = length[i - 1], length[i]
        matrix[i, i - 1] += before
        matrix[i, i] += 2 * (before + after)
        matrix[i, (i + 1) % 12] += after
        fall = (total[i] - (total[i - 1] if i else total[11])) / before
        right[i] = 6 * ((total[i + 1] - total[i]) / after - fall)
    bend = np.linalg.solve(matrix, right)
    curve = np.zeros(dates.YEAR + 1)
    for i in range(12):
        day = np.arange(ends[i], ends[i + 1] + 1)
        to_end, from_start = ends[i + 1] - day, day - ends[i]
        b0, b1 = bend[i], bend[(i + 1) % 12]
        curve[day] = (
            b0 * to_end**3 / (6 * length[i])
            + b1 * from_start**3 / (6 * length[i])
            + (total[i] / length[i] - b0 * length[i] / 6) * to_end
            + (total[i + 1] / length[i] - b1 * length[i] / 6) * from_start
        )
    return np.asarray(mean + np.diff(curve), dtype=np.float64)


def spread(climate: Climate, numbers: ClimateNumbers) -> float:
    """Standard deviation of single days about the normal, C: a + b x (warmest - coldest month mean)."""
    return numbers.spread_start + numbers.spread_share * (climate.warmest - climate.coldest)


class Year:
    """The 365 daily normals of a climate, with the days on which they cross a level."""

    def __init__(self, climate: Climate, numbers: ClimateNumbers) -> None:
        self.climate = climate
        self.normals = daily_normals(climate.means)
        self.normals.setflags(write=False)
        self.spread = spread(climate, numbers)
        self.hottest = int(np.argmax(self.normals)) + 1
        self.coldest = int(np.argmin(self.normals)) + 1
        self.peak = float(self.normals.max())
        self.low = float(self.normals.min())

    def normal(self, day: int) -> float:
        """Daily normal, C, of a day of the year."""
        return float(self.normals[dates.wrap(day) - 1])

    def mean(self, start: int, days: int) -> float:
        """Mean of the normals of `days` days from a start day, that day counted, C."""
        return float(self.normals[(start - 1 + np.arange(max(1, days))) % dates.YEAR].mean())

    def falls_below(self, level: float) -> int | None:
        """First day after the hottest whose normal is below a level; None where the normals do not
        cross it.
        """
        if not self.low < level <= self.peak:
            return None
        order = (self.hottest - 1 + np.arange(dates.YEAR)) % dates.YEAR
        return int(order[int(np.argmax(self.normals[order] < level))]) + 1

    def rises_to(self, level: float) -> int | None:
        """First day after the coldest whose normal reaches a level; None where the normals do not
        cross it.
        """
        if not self.low < level <= self.peak:
            return None
        order = (self.coldest - 1 + np.arange(dates.YEAR)) % dates.YEAR
        return int(order[int(np.argmax(self.normals[order] >= level))]) + 1


def frost_level(latitude: float | None, numbers: ClimateNumbers) -> float:
    """Daily normal, C, at which the median first and last frost fall: a - b x |latitude|, one level in the
    tropics.
    """
    degrees = abs(numbers.latitude_when_unknown if latitude is None else latitude)
    if degrees < numbers.tropics_latitude:
        return numbers.frost_tropics
    return numbers.frost_start - numbers.frost_per_degree * degrees


def frost(
    year: Year, numbers: ClimateNumbers, typed_first: int | None = None, typed_last: int | None = None
) -> Frost:
    """Median first, last and killing frost.

    A typed day shifts the crossing: the normal of that day becomes the frost level of its season, and the
    killing frost moves with it.
    """
    level = frost_level(year.climate.latitude, numbers)
    autumn = level if typed_first is None else year.normal(typed_first)
    typed = typed_first is not None or typed_last is not None
    if level > year.peak and not typed:
        kind = "always"
    elif typed or year.low < level - numbers.frost_some_years_band:
        kind = "usual"
    else:
        kind = "some-years" if year.low < level + numbers.frost_some_years_band else "rare"
    return Frost(
        kind,
        typed_first if typed_first is not None else year.falls_below(level),
        typed_last if typed_last is not None else year.rises_to(level),
        year.falls_below(autumn - numbers.killing_frost_below),
        0.0 if typed else numbers.frost_doubt_mean_days,
        0.0 if typed else numbers.frost_doubt_wide_days,
        numbers.frost_year_spread_days,
    )
