"""Turf classes: borders, what is near, dry summers, and how a grass fits."""

import itertools
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


# Months near a corner of borders, and by how much they pass it, each in one way alone.
CORNERS = (
    (15, 9, 1.0), (10.5, 10, 0.6), (23, 8.5, 0.8), (22, 9.5, 0.6), (20.5, 8, 0.3), (22, 7.5, 0.5),
)  # fmt: skip
WAYS = [(a, b) for a in (-1, 0, 1) for b in (-1, 0, 1) if (a, b) != (0, 0)]


def _of_months(warmest: float, coldest: float, numbers) -> classes.ClimateClass:
    """The class by the warmest and coldest month, where no rain is known."""
    climate = cl.climate_from_means(_even(warmest, coldest).means, (), latitude=40)
    return classes.climate_class(climate, numbers.classes)


@pytest.mark.parametrize(("hotter", "colder"), WAYS)
def test_near_is_what_either_month_or_both_make_of_it_each_way(numbers, hotter: int, colder: int) -> None:
    """What a place is with one of its months or both a little warmer or colder is never farther from it than that."""
    found = 0
    grid = itertools.product(range(16, 29), range(-6, 12, 3), (0.3, 0.7))
    for warmest, coldest, by in (*grid, *CORNERS):
        near = _of_months(warmest, coldest, numbers)
        code = _of_months(warmest + hotter * by, coldest + colder * by, numbers).code
        found += code != near.code
        assert near.apart.get(code, math.inf) <= by, (warmest, coldest, code)
    assert found


@pytest.mark.parametrize(("rain", "own", "other", "by"), [
    # At 28 and 12 C the limit of dryness is 10 x (2 x 20 + 14) = 540 mm a year; a K stands for 15 % of the rain.
    (46, "warm-humid", "warm-arid", 0.2),  # 552 mm: 2.2 % more than the limit is 0.14 K
    (48, "warm-humid", "warm-arid", 0.5),  # 576 mm: 6.3 %, 0.42 K
    (42, "warm-arid", "warm-humid", 0.5),  # 504 mm lack 7.1 % of themselves, 0.48 K
    (44, "warm-arid", "warm-humid", 0.2),  # 528 mm lack 2.3 %, 0.15 K
])  # fmt: skip
def test_rain_by_its_own_doubt_makes_another_class_near_each_way(
    numbers, rain: float, own, other, by: float
) -> None:
    near = classes.climate_class(_even(28, 12, rain), numbers.classes)
    assert (near.code, near.apart[other]) == (own, by)


def test_what_is_farther_than_the_stretch_is_not_near(numbers) -> None:
    stretch = numbers.classes.stretch_c
    apart = [
        _of_months(*months, numbers).apart.values() for months in itertools.product(range(16, 29), (-3, 3, 9))
    ]
    assert max(map(max, apart)) <= stretch
    # Too cold is what stays under 10 C in its warmest month.
    assert _of_months(10 + stretch - 0.1, -20, numbers).apart["too-cold"] == pytest.approx(stretch)
    assert "too-cold" not in _of_months(10 + stretch, -20, numbers).apart


def test_no_class_is_nearer_than_the_months_that_make_it(numbers) -> None:
    for warmest, coldest in itertools.product(range(16, 29, 2), range(-6, 12, 3)):
        for code, by in _of_months(warmest, coldest, numbers).apart.items():
            made = {_of_months(warmest + a * by, coldest + b * by, numbers).code for a, b in [(0, 0), *WAYS]}
            assert code in made, (warmest, coldest, code, by)


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


# ---------- Köppen ----------
# Months of the north, and a wetness in which nothing is dry.
WET = [100.0] * 12


def _year(hot: float, cold: float, mild: int = 0, rest: float | None = None) -> list[float]:
    """Twelve months: the coldest in January, the warmest in July, `mild` more of just 10 C, else as cold as January."""
    others = [10.0] * mild + [cold if rest is None else rest] * (10 - mild)
    return [cold, *others[:5], hot, *others[5:]]


@pytest.mark.parametrize(
    ("means", "code"),
    [
        # The table of the paper: E below 10 C in the warmest month, T above 0 and F at 0 and below.
        (_year(9.9, -20), "ET"), (_year(0.1, -20), "ET"), (_year(0, -20), "EF"), (_year(10, -20), "Dfc"),
        # A from 18 C in the coldest month, C above 0, D at 0 and below.
        (_year(25, 18), "Af"), (_year(25, 17.9), "Cfa"), (_year(25, 0.1), "Cfa"), (_year(25, 0), "Dfa"),
        # a from 22 C, b with four months from 10 C, d below -38 C.
        (_year(22, -5), "Dfa"), (_year(21.9, -5, mild=3), "Dfb"), (_year(21.9, -5, mild=2), "Dfc"),
        (_year(15, -38), "Dfc"), (_year(15, -38.1), "Dfd"), (_year(21.9, 5, mild=2), "Cfc"),
    ],
)  # fmt: skip
def test_koppen_by_the_months(means: list[float], code: str) -> None:
    assert classes.koppen(means, WET, "north") == code


@pytest.mark.parametrize(
    ("means", "rain", "code"),
    [
        # Even rain: the limit of dryness is ten times 2 x 15 + 14, 440 mm; half of it divides steppe and desert.
        ([15.0] * 12, [37.0] * 12, "Cfb"), ([15.0] * 12, [36.0] * 12, "BSk"),
        ([15.0] * 12, [18.5] * 12, "BSk"), ([15.0] * 12, [18.0] * 12, "BWk"),
        ([18.0] * 12, [30.0] * 12, "BSh"), ([17.9] * 12, [30.0] * 12, "BSk"),
        # 70 % of it in summer: 2 x 15 + 28 is 580 mm; in winter 2 x 15, 300 mm. A little less than 70 %: 440 mm.
        ([15.0] * 12, [28.0] * 3 + [67.0] * 6 + [28.0] * 3, "BSk"), ([15.0] * 12, [31.0] * 3 + [67.0] * 6 + [31.0] * 3, "Cfb"),
        ([15.0] * 12, [38.0] * 3 + [15.0] * 6 + [38.0] * 3, "Cfb"), ([15.0] * 12, [38.0] * 3 + [17.0] * 6 + [38.0] * 3, "BSk"),
        # Tropical: forest from 60 mm in the driest month, monsoon from 100 mm less a 25th of the year's rain.
        ([25.0] * 12, [60.0] + [200.0] * 11, "Af"), ([25.0] * 12, [59.0] + [200.0] * 11, "Am"),
        ([25.0] * 12, [12.0] + [200.0] * 11, "Am"), ([25.0] * 12, [11.0] + [200.0] * 11, "Aw"),
        # Dry summer: its driest month under 40 mm and under a third of the wettest of winter.
        ([15.0] * 12, [121.0] * 3 + [60.0, 60, 60, 39, 60, 60] + [121.0] * 3, "Csb"),
        ([15.0] * 12, [121.0] * 3 + [60.0, 60, 60, 40, 60, 60] + [121.0] * 3, "Cfb"),
        ([15.0] * 12, [118.0] * 3 + [60.0, 60, 60, 39.5, 60, 60] + [118.0] * 3, "Cfb"),
        # Dry winter: its driest month under a tenth of the wettest of summer.
        ([15.0] * 12, [11.0, 60, 60] + [121.0] * 6 + [60.0] * 3, "Cwb"),
        ([15.0] * 12, [12.5, 60, 60] + [121.0] * 6 + [60.0] * 3, "Cfb"),
    ],
)  # fmt: skip
def test_koppen_by_the_rain(means: list[float], rain: list[float], code: str) -> None:
    """Summer are April to September; in the south the same half a year on."""
    assert classes.koppen(means, rain, "north") == code
    assert classes.koppen(means, [*rain[6:], *rain[:6]], "south") == code


def test_the_need_of_summer_is_none_where_it_is_five_degrees_of_frost() -> None:
    """Oudin counts from -5 C up: 0.408 Ra (T + 5) / 100."""
    for means, needed in (([-5.0] * 12, False), ([-4.0] * 12, True)):
        climate = cl.climate_from_means(means, [10.0] * 12, latitude=60)
        assert (classes.summer_rain(climate) is not None) is needed
