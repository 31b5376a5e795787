"""Estimates soil temperature from air normals, and small soil measures: density, pores."""

import dataclasses
import math

from decide.measure import climate as cl
from decide.measure import dates


@dataclasses.dataclass(frozen=True)
class SoilNumbers:
    """Damping depth of the yearly wave (m), depth that matters (m) and doubt of the estimate (K)."""

    damping_m: float
    depth_m: float
    doubt_c: float


@dataclasses.dataclass(frozen=True)
class SoilEstimate:
    """Soil temperature at a depth and its doubt, C."""

    celsius: float
    doubt: float


def damping_depth(diffusivity: float, period_s: float) -> float:
    """Depth, m, at which a temperature wave keeps 37 % of its size.

    d = sqrt(2 D / w), D in m2/s, w = 2 pi / period: solution of heat flow in uniform soil (soil physics
    textbook, 1982). Raises ValueError where a number is not positive.
    """
    if diffusivity <= 0 or period_s <= 0:
        raise ValueError("diffusivity and period must be above 0")
    return math.sqrt(diffusivity * period_s / math.pi)


def share_at(depth_m: float, damping_m: float) -> float:
    """Share of the surface wave left at a depth: exp(-z/d)."""
    return math.exp(-depth_m / damping_m)


def lag_at(depth_m: float, damping_m: float, period: float) -> float:
    """Lag of the wave at a depth, in the unit of the period: z/d divided by w."""
    return depth_m / damping_m * period / (2 * math.pi)


def soil_normal(year: cl.Year, day: int, numbers: SoilNumbers) -> SoilEstimate:
    """Normal of the daily mean soil temperature at the planting depth for a day of the year.

    The yearly wave of the air, damped and late by depth; bare dark soil runs warmer in spring, shade and
    mulch colder: that is the doubt.
    """
    return SoilEstimate(_normal_at(year, day, numbers.depth_m, numbers.damping_m), numbers.doubt_c)


def _normal_at(year: cl.Year, day: int, depth_m: float, damping_m: float) -> float:
    """Normal of the daily mean soil temperature at a depth, C: the yearly wave of the air, damped and
    late.
    """
    share = share_at(depth_m, damping_m)
    lag = lag_at(depth_m, damping_m, dates.YEAR)
    mean = float(year.normals.mean())
    whole = math.floor(lag)
    late = lag - whole
    air = (1 - late) * year.normal(day - whole) + late * year.normal(day - whole - 1)
    return mean + share * (air - mean)


def at_planting_depth(
    year: cl.Year, day: int, reading_c: float, depth_m: float, numbers: SoilNumbers
) -> float:
    """What a daily mean read at another depth comes to at the planting depth, C.

    How far the reading lies from the normal of its own depth is added to the normal of the planting depth;
    both normals are the damped and late yearly wave (heat flow in uniform soil, soil physics textbook, 1982).
    The swing of the day is left out: it asks for the hour of the reading.
    """
    apart = reading_c - _normal_at(year, day, depth_m, numbers.damping_m)
    return _normal_at(year, day, numbers.depth_m, numbers.damping_m) + apart


def first_day_at(year: cl.Year, celsius: float, numbers: SoilNumbers) -> int | None:
    """First day after the coldest on which the soil normal reaches a temperature; None where it never
    does.
    """
    for ahead in range(dates.YEAR):
        day = dates.wrap(year.coldest + ahead)
        if soil_normal(year, day, numbers).celsius >= celsius:
            return day
    return None


def bulk_density(dry_mass_g: float, core_cm3: float) -> float:
    """Bulk density, g/cm3: oven-dry mass over the volume of the core."""
    if core_cm3 <= 0:
        raise ValueError("the volume of the core must be above 0")
    return dry_mass_g / core_cm3


def porosity(bulk: float, particle: float) -> float:
    """Share of the soil that is pores: 1 - bulk density / particle density (both g/cm3)."""
    return 1 - bulk / particle
