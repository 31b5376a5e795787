"""Turf classes: borders, what is near, dry summers, and how a grass fits."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from decide.measure import classes
from decide.measure import climate as cl
from decide.model.climates import CLIMATES

MONTHS = st.lists(st.floats(-30, 35), min_size=12, max_size=12)
NAMES = {classes.named(code, summers) for code in CLIMATES for summers in ("dry", "rather-dry", "moist")}
COOL_ONLY = {code: "fits" if code == "cool-humid" else "no" for code in CLIMATES}


def _even(warmest: float, coldest: float, rain: float = 80) -> cl.Climate:
    """A climate that swings evenly between January and July, with the same rain in each month."""
    half = (warmest - coldest) / 2
    means = [warmest - half * (1 - math.cos(math.pi * (month - 6) / 6)) for month in range(12)]
    return cl.climate_from_means([*means[:6], warmest, *means[7:]], [rain] * 12, latitude=40)


@pytest.mark.slow
@given(MONTHS, MONTHS.map(lambda m: [abs(x) * 5 for x in m]))
def test_every_climate_has_a_class(numbers, means: list[float], rain: list[float]) -> None:
    got = classes.climate_class(cl.climate_from_means(means, rain, latitude=45), numbers.classes)
    assert got.code in CLIMATES
    assert got.name in NAMES
    assert got.neighbour is None or (got.neighbour in CLIMATES and got.neighbour != got.code)


@given(MONTHS)
def test_without_rain_nothing_is_called_dry(numbers, means: list[float]) -> None:
    got = classes.climate_class(cl.climate_from_means(means, (), latitude=45), numbers.classes)
    assert got.code not in ("cool-semi-arid", "warm-arid")
    assert (got.summers, got.summer_rain, got.warm_half, got.koppen) == (None, None, None, "")


@pytest.mark.parametrize(
    ("warmest", "coldest", "rain", "code"),
    [
        # By hand, with heat = 2 x warmest + coldest and sum = warmest + coldest.
        (9.9, -20, 80, "too-cold"), (17, 5, 80, "cool-humid"), (24.6, 0, 80, "cool-humid"),  # heat 49.2
        (24.7, 0, 80, "cool-transition"), (26.4, 0, 80, "cool-transition"),  # 49.4, 52.8
        (26.5, 0.1, 80, "transition"), (26.5, 3.1, 80, "warm-transition"),  # 53.1, 56.1
        (26.4, 6, 80, "warm-humid"), (26.3, 6, 80, "warm-transition"),  # sum 32.4, 32.3
        (19, 8, 80, "mild"), (16, 10, 80, "mild"), (18.9, 8, 80, "cool-humid"), (26, 18, 80, "tropical"),
        (24, 0, 10, "cool-semi-arid"), (27, 2, 10, "transition"), (27, 5, 10, "warm-arid"),  # 56; sum 32
        (32, 18, 10, "warm-arid"),
    ],
)  # fmt: skip
def test_borders(numbers, warmest: float, coldest: float, rain: float, code: str) -> None:
    assert classes.climate_class(_even(warmest, coldest, rain), numbers.classes).code == code


def test_what_is_near_and_how_far(numbers) -> None:
    """24.4 and 0 C have heat 48.8: half a degree below the border of 49.3, that is 0.2 K in both months."""
    got = classes.climate_class(_even(24.4, 0), numbers.classes)
    assert (got.code, got.neighbour) == ("cool-humid", "cool-transition")
    assert got.apart["cool-humid"] == 0
    assert got.apart["cool-transition"] == 0.2


def test_a_grass_fits_less_with_each_step_beyond(numbers) -> None:
    """Beyond the border by 0.3 K in both months, then by more than the stretch, with heat 49.3 + 3 x 1.3."""
    near = classes.climate_class(_even(25, 0), numbers.classes)
    assert near.fit(COOL_ONLY) == ("near", 0.3)
    assert classes.climate_class(_even(24, 0), numbers.classes).fit(COOL_ONLY) == ("fits", 0)
    assert classes.climate_class(_even(27, 0), numbers.classes).fit(COOL_ONLY) == ("no", None)


def test_summer_rain_of_one_place_by_hand() -> None:
    """July at 45.72 N: Ra 40.6 MJ (FAO paper 56, example 8 has Lyon), so Oudin's need at 21 C is 0.408 x 40.6
    x 26 / 100 = 4.31 mm a day; June and August, at the same 21 C, have 41.9 and 35.9, 4.44 and 3.81."""
    means = [1.0, 1, 1, 1, 1, 21, 21, 21, 1, 1, 1, 1]
    rain = [0.0, 0, 0, 0, 0, 30, 40, 30, 0, 0, 0, 0]
    climate = cl.climate_from_means(means, rain, latitude=45.72)
    assert classes.summer_rain(climate) == pytest.approx(100 / (4.44 * 30 + 4.31 * 31 + 3.81 * 31), rel=0.02)
    assert classes.warm_half(climate) == 1


@pytest.mark.parametrize(("summer_mm", "summers"), [(5, "dry"), (54, "rather-dry"), (90, "moist")])
def test_dry_summers(numbers, summer_mm: float, summers: str) -> None:
    """At 24 C about 430 mm are needed in three months (4.7 mm a day by Oudin), of which 35 and 40 % are 150 and 172; winter rain of 100 mm a month keeps the warm half low."""
    warm = cl.climate_from_warmest_coldest(24, 8, "north", 40)
    rain = [100.0, 100, 100, 30, 20, summer_mm, summer_mm, summer_mm, 20, 60, 100, 100]
    got = classes.climate_class(cl.climate_from_means(warm.means, rain, latitude=40), numbers.classes)
    assert got.summers == summers


def test_the_tropics_have_no_dry_summer(numbers) -> None:
    warm = cl.climate_from_warmest_coldest(28, 20, "north", 15)
    rain = [200.0, 200, 200, 100, 20, 5, 5, 5, 20, 100, 200, 200]
    got = classes.climate_class(cl.climate_from_means(warm.means, rain, latitude=15), numbers.classes)
    assert (got.code, got.summers, got.name) == ("tropical", "moist", "tropical")


def test_names_say_the_dry_summer_once() -> None:
    assert classes.named("warm-humid", "dry") == "warm-with-dry-summers"
    assert classes.named("mild", "rather-dry") == "mild-with-rather-dry-summers"
    assert classes.named("warm-arid", "dry") == "warm-and-dry"
    assert classes.named("cool-humid", "moist") == classes.named("cool-humid", None) == "cool-humid"
