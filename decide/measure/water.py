"""Works out sun, evapotranspiration, what turf needs in water and what a hose can give."""

import dataclasses
import math
from collections.abc import Mapping, Sequence

from decide.measure import climate as cl
from decide.measure import dates

SOLAR_CONSTANT = 0.0820  # MJ/m2/min
_QUARTERS = 4
EVAPORATION = 0.408  # mm of water for each MJ/m2


@dataclasses.dataclass(frozen=True)
class WaterNumbers:
    """Day range of air temperature by climate (K), turf coefficients by season, share of water that arrives.

    `turf_coefficient` is that of the year, `turf_coefficient_months` those of the months, January of the
    northern half first. Of a month's rain `rain_lost_share` is lost for each 100 mm of it; beyond
    `rain_bend_mm` only `rain_beyond_share` of more rain counts.
    """

    day_range: Mapping[str, float]
    day_range_usual: float
    turf_coefficient: Mapping[str, float]
    turf_coefficient_months: Mapping[str, tuple[float, ...]]
    rain_lost_share: float
    rain_bend_mm: float
    rain_beyond_share: float
    efficiency: float
    doubt_share: float


def sun_distance(day: int) -> float:
    """Inverse relative distance from earth to sun (FAO Irrigation and Drainage Paper 56, equation 23)."""
    return 1 + 0.033 * math.cos(2 * math.pi * day / 365)


def declination(day: int) -> float:
    """Declination of the sun, rad (FAO paper 56, equation 24)."""
    return 0.409 * math.sin(2 * math.pi * day / 365 - 1.39)


def sunset_angle(latitude: float, day: int) -> float:
    """Sunset hour angle, rad; 0 in polar night, pi in polar day (FAO paper 56, equation 25, clipped)."""
    cosine = -math.tan(math.radians(latitude)) * math.tan(declination(day))
    return math.acos(min(1.0, max(-1.0, cosine)))


def sun_above_air(latitude: float, day: int) -> float:
    """Extraterrestrial radiation, MJ/m2/day (FAO paper 56, equation 21)."""
    angle, phi, tilt = sunset_angle(latitude, day), math.radians(latitude), declination(day)
    part = angle * math.sin(phi) * math.sin(tilt) + math.cos(phi) * math.cos(tilt) * math.sin(angle)
    return max(0.0, 24 * 60 / math.pi * SOLAR_CONSTANT * sun_distance(day) * part)


def daylight_hours(latitude: float, day: int) -> float:
    """Hours from sunrise to sunset of the middle of the sun, without refraction (FAO paper 56,
    equation 34).
    """
    return 24 / math.pi * sunset_angle(latitude, day)


def evaporation_of(radiation: float) -> float:
    """Radiation, MJ/m2/day, as mm of water a day."""
    return EVAPORATION * radiation


def evapotranspiration(mean_c: float, range_k: float, radiation: float) -> float:
    """Reference evapotranspiration, mm/day: Hargreaves' equation (FAO paper 56, equation 52).

    0.0023 (T + 17.8) sqrt(Tmax - Tmin) x 0.408 Ra, Ra in MJ/m2/day; 0 where it would be negative.
    """
    return max(0.0, 0.0023 * (mean_c + 17.8) * math.sqrt(max(0.0, range_k)) * evaporation_of(radiation))


def turf_need(reference_mm: float, season: str, numbers: WaterNumbers) -> float:
    """Water that grass uses, mm, from reference evapotranspiration and the coefficient of its season over the
    year.
    """
    return reference_mm * numbers.turf_coefficient[season]


def standing_need(
    reference_mm: float, season: str, month: int, hemisphere: str, numbers: WaterNumbers
) -> float:
    """Water that turf that stands uses, mm, by the coefficient of its season in a month (1..12); in the
    southern half of the earth the months are half a year on.
    """
    shift = dates.YEAR_MONTHS // 2 if hemisphere == "south" else 0
    return reference_mm * numbers.turf_coefficient_months[season][(month - 1 + shift) % dates.YEAR_MONTHS]


def effective_rain(rain_mm: float, numbers: WaterNumbers) -> float:
    """Of a month's rain (mm) what roots can use, mm: the rest runs off, drains or dries.

    Soil Conservation Service of the United States, as the Food and Agriculture Organization uses it: with the
    numbers in use P (125 - 0.2 P) / 125, from 250 mm on 125 + 0.1 P.
    """
    bent = min(rain_mm, numbers.rain_bend_mm)
    return bent * (1 - numbers.rain_lost_share * bent / 100) + numbers.rain_beyond_share * (rain_mm - bent)


class Demand:
    """What the air of a place takes from turf on a usual day of the year; all from monthly normals."""

    def __init__(self, year: cl.Year, climate_code: str, numbers: WaterNumbers) -> None:
        self._year, self._numbers = year, numbers
        usual = numbers.day_range.get(climate_code, numbers.day_range_usual)
        self._ranges = cl.daily_normals(year.climate.day_range or [usual] * dates.YEAR_MONTHS)
        # Tasks, waterings and weeks ask for the same days of the year.
        self._references: dict[int, float] = {}

    def day_range(self, day: int) -> float:
        """Usual difference between the highest and the lowest temperature of a day of the year, K."""
        return float(self._ranges[dates.wrap(day) - 1])

    def reference(self, day: int) -> float | None:
        """Reference evapotranspiration of a day of the year, mm; None where the latitude is not known."""
        climate, day = self._year.climate, dates.wrap(day)
        if climate.latitude is None:
            return None
        if day not in self._references:
            sun = sun_above_air(climate.latitude, day)
            self._references[day] = climate.water_factor * evapotranspiration(
                self._year.normal(day), self.day_range(day), sun
            )
        return self._references[day]

    def need(self, day: int, season: str) -> float | None:
        """Water that grass of a season uses on a day of the year, mm; None where latitude is not known."""
        reference = self.reference(day)
        return None if reference is None else turf_need(reference, season, self._numbers)

    def standing_need(self, day: int, season: str) -> float | None:
        """Water that turf that stands uses, by the coefficient of the month: that of covered, mown turf."""
        reference, hemisphere = self.reference(day), self._year.climate.hemisphere
        month = dates.month_of(dates.wrap(day))
        return (
            None if reference is None else standing_need(reference, season, month, hemisphere, self._numbers)
        )

    def rain(self, day: int) -> float | None:
        """Usual rain of the month of a day that roots can use, mm a day; None where rain is not known."""
        month, totals = dates.month_of(dates.wrap(day)) - 1, self._year.climate.rain
        return effective_rain(totals[month], self._numbers) / dates.MONTH_LENGTHS[month] if totals else None


def short_mm_a_week(need_mm_day: float, rain_mm_day: float) -> float:
    """Water the rain leaves short in a week, mm; negative where rain is more than enough."""
    return 7 * (need_mm_day - rain_mm_day)


def leaching_share(water_ds_m: float, soil_ds_m: float) -> float | None:
    """Share of the water given that must pass below the roots to hold the soil's salt: ECw / (5 ECe - ECw).

    ECw is the salt of the water and ECe that of the soil's saturated extract, dS/m
    (FAO irrigation and drainage paper 29). None where no amount of such water holds it.
    """
    left = 5 * soil_ds_m - water_ds_m
    share = water_ds_m / left if left > 0 else math.inf
    return share if share < 1 else None


def litres(area_m2: float, depth_mm: float) -> float:
    """Litres for a depth of water on an area: 1 mm on 1 m2 is 1 litre."""
    return area_m2 * depth_mm


def litres_to_send(area_m2: float, depth_mm: float, efficiency: float) -> float:
    """Litres to send so that a depth arrives, with the share that arrives (0..1]."""
    if not 0 < efficiency <= 1:
        raise ValueError(f"share of water that arrives {efficiency}: write a number above 0, up to 1")
    return litres(area_m2, depth_mm) / efficiency


def litres_a_day(flow_l_min: float, hours_a_day: float) -> float:
    """Litres that a flow gives in so many hours a day."""
    return flow_l_min * 60 * hours_a_day


def hours_for(litres_needed: float, flow_l_min: float) -> float | None:
    """Hours a flow takes to give so many litres; None where nothing flows."""
    return None if flow_l_min <= 0 else litres_needed / (60 * flow_l_min)


def visits_short(visits_needed: float, visits_made: float) -> float:
    """Visits a day that are lacking; negative where more can be made than are needed."""
    return visits_needed - visits_made


def run_minutes(depth_mm: float, rate_mm_h: float) -> float:
    """Minutes a sprinkler of a measured rate runs for a depth."""
    if rate_mm_h <= 0:
        raise ValueError("the rate of the sprinkler must be above 0")
    return 60 * depth_mm / rate_mm_h


def can_rate(mean_mm: float, minutes: float) -> float:
    """Rate of a sprinkler, mm/h, from the mean depth in catch cans after so many minutes."""
    if minutes <= 0:
        raise ValueError("the minutes must be above 0")
    return 60 * mean_mm / minutes


def sprinkler_rate(flow_l_min: float, area_m2: float) -> float:
    """Rate, mm/h, of a flow spread over an area."""
    if area_m2 <= 0:
        raise ValueError("the area must be above 0")
    return 60 * flow_l_min / area_m2


def evenness(cans_mm: Sequence[float]) -> float:
    """Distribution uniformity of the low quarter: mean of the lowest quarter of the cans over the mean of
    all.
    """
    if len(cans_mm) < _QUARTERS or sum(cans_mm) <= 0:
        raise ValueError("at least four cans with water are needed")
    low = sorted(cans_mm)[: len(cans_mm) // _QUARTERS]
    return (sum(low) / len(low)) / (sum(cans_mm) / len(cans_mm))
