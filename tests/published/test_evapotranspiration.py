"""Sun and reference evapotranspiration against printed examples and reference libraries."""

import datetime as dt
import math

import numpy as np
import pytest

from decide.measure import water
from tests.shared import reference

FAO = "Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, 1998"
EQ = f"{FAO}, equations 21 to 25 and 34; number from the open-source library pyet 1.5.0"


@pytest.mark.parametrize(
    ("key", "got", "expected", "tolerance", "source"),
    [
        ("fao.dr", water.sun_distance(246), 0.985, 0.0006, f"{FAO}, example 8"),
        ("fao.decl", water.declination(246), 0.120, 0.0006, f"{FAO}, example 8"),
        ("fao.ws", water.sunset_angle(-20, 246), 1.527, 0.0006, f"{FAO}, example 8"),
        ("fao.ra", water.sun_above_air(-20, 246), 32.2, 0.05, f"{FAO}, example 8"),
        ("fao.ra-mm", water.evaporation_of(32.2), 13.1, 0.05, f"{FAO}, example 8, from memory"),
        ("fao.daylight", water.daylight_hours(-20, 246), 11.7, 0.06, f"{FAO}, example 9"),
        (
            "fao.hs-lyon",
            water.evapotranspiration(20.7, 11.8, water.sun_above_air(45.72, 196)),
            5.0,
            0.06,
            f"{FAO}, example 20, from memory",
        ),
        ("ra.indianapolis", water.sun_above_air(39.77, 258), 30.0088, 0.01, EQ),
        ("ra.london", water.sun_above_air(51.50, 172), 41.7179, 0.01, EQ),
        ("ra.sydney", water.sun_above_air(-33.87, 15), 43.3312, 0.01, EQ),
        ("ra.phoenix", water.sun_above_air(33.45, 197), 40.6696, 0.01, EQ),
        ("ra.singapore", water.sun_above_air(1.35, 80), 37.8064, 0.01, EQ),
        ("ra.dunedin", water.sun_above_air(-45.87, 172), 9.2871, 0.01, EQ),
        ("daylight.london", water.daylight_hours(51.50, 172), 16.4025, 0.005, EQ),
        ("daylight.phoenix", water.daylight_hours(33.45, 197), 13.9898, 0.005, EQ),
        ("daylight.singapore", water.daylight_hours(1.35, 80), 11.9991, 0.005, EQ),
        ("daylight.dunedin", water.daylight_hours(-45.87, 172), 8.4614, 0.005, EQ),
        ("daylight.helsinki", water.daylight_hours(60.17, 355), 5.453, 0.005, EQ),
        (
            "hs.london",
            water.evapotranspiration(18.5, 10, water.sun_above_air(51.50, 196)),
            4.316,
            0.03,
            f"{FAO}, equation 52",
        ),
        (
            "hs.sydney",
            water.evapotranspiration(23.0, 7, water.sun_above_air(-33.87, 15)),
            4.389,
            0.03,
            f"{FAO}, equation 52",
        ),
        (
            "hs.phoenix",
            water.evapotranspiration(32.25, 15.5, water.sun_above_air(33.45, 166)),
            7.673,
            0.03,
            f"{FAO}, equation 52",
        ),
    ],
    ids=lambda x: x if isinstance(x, str) and "." in x and " " not in x else "",
)
def test_printed(key: str, got: float, expected: float, tolerance: float, source: str) -> None:
    assert got == pytest.approx(expected, abs=tolerance), source


@pytest.mark.slow
@pytest.mark.parametrize("latitude", [-55, -33.9, 0, 21, 45.7, 60.2])
@pytest.mark.parametrize("day", [15, 81, 172, 246, 355])
def test_radiation_as_two_reference_libraries(latitude: float, day: int) -> None:
    pd, pyet, calcs = reference("pandas"), reference("pyet"), reference("refet").calcs

    ours = water.sun_above_air(latitude, day)
    when = pd.DatetimeIndex([pd.Timestamp("2023-01-01") + pd.Timedelta(days=day - 1)])
    assert ours == pytest.approx(
        float(np.asarray(pyet.extraterrestrial_r(when, math.radians(latitude))).item()), rel=1e-5
    )
    theirs = calcs.ra_daily(lat=math.radians(latitude), doy=day, method="asce")
    assert ours == pytest.approx(float(np.asarray(theirs).item()), rel=1e-4)


@pytest.mark.parametrize(
    ("latitude", "longitude", "day"),
    [(51.50, -0.12, dt.date(2026, 6, 21)), (39.77, -86.16, dt.date(2026, 9, 15))],
)
def test_daylight_is_a_little_shorter_than_the_almanac(
    latitude: float, longitude: float, day: dt.date
) -> None:
    """The paper counts the middle of the sun without refraction: 0.1 to 0.3 hours shorter than sunrise to sunset."""
    sun, astral = reference("astral.sun"), reference("astral")
    start, end = sun.daylight(astral.Observer(latitude, longitude), day)
    almanac = (end - start).total_seconds() / 3600
    ours = water.daylight_hours(latitude, day.timetuple().tm_yday)
    assert 0.05 < almanac - ours < 0.35


@pytest.mark.parametrize(("length", "latitude", "day"), [(16.628, 51.50, 172), (12.447, 39.77, 258)])
def test_sunrise_to_sunset(length: float, latitude: float, day: int) -> None:
    """Lengths by the astronomical rule of 0.833 degrees below the horizon, from the open-source library astral 3.2."""
    assert length - 0.35 < water.daylight_hours(latitude, day) < length


# Turfgrass Crop Coefficients, University of California, after Meyer and others, 1985 (page opened): cool, warm, by month.
COEFFICIENTS = {
    "cool": (0.61, 0.64, 0.75, 1.04, 0.95, 0.88, 0.94, 0.86, 0.74, 0.75, 0.69, 0.60),
    "warm": (0.61, 0.54, 0.76, 0.72, 0.79, 0.68, 0.71, 0.71, 0.62, 0.54, 0.58, 0.55),
}


@pytest.mark.parametrize(("season", "average"), [("cool", 0.80), ("warm", 0.60)])
def test_turf_coefficients_of_california(numbers, season: str, average: float) -> None:
    assert numbers.water.turf_coefficient_months[season] == COEFFICIENTS[season]
    assert numbers.water.turf_coefficient[season] == average
    # The page's own averages; those of its months are 0.79 and 0.65.
    assert sum(COEFFICIENTS[season]) / 12 == pytest.approx(average, abs=0.055)


# Climate data for irrigation, Food and Agriculture Organization, station of Srinagar (excerpt seen): rain, effective rain, mm.
EFFECTIVE = (
    (52, 47.67), (72, 63.71), (122, 98.19), (89, 76.33), (70, 62.16), (39, 36.57), (56, 50.98), (67, 59.82), (30, 28.56), (51, 46.84), (27, 25.83),
)  # fmt: skip


@pytest.mark.parametrize(("rain", "effective"), EFFECTIVE)
def test_effective_rain_as_printed(numbers, rain: float, effective: float) -> None:
    assert water.effective_rain(rain, numbers.water) == pytest.approx(effective, abs=0.006)
