"""Water: laws of sun and evapotranspiration, needs and capacity."""

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from decide.measure import climate as cl
from decide.measure import water
from decide.model.climates import CLIMATES

LATITUDE, DAY = st.floats(-90, 90), st.integers(1, 365)


@given(LATITUDE, DAY)
def test_sun_anywhere(latitude: float, day: int) -> None:
    assert 0 <= water.sun_above_air(latitude, day) < 50
    assert 0 <= water.daylight_hours(latitude, day) <= 24 + 1e-9


@given(st.floats(-66, 66), DAY)
def test_day_here_is_night_there(latitude: float, day: int) -> None:
    assert water.daylight_hours(latitude, day) + water.daylight_hours(-latitude, day) == pytest.approx(24)


@given(st.floats(-20, 40), st.floats(0, 25), st.floats(0, 45), st.floats(0, 10))
def test_warmer_wider_sunnier_takes_more(mean: float, day_range: float, sun: float, more: float) -> None:
    here = water.evapotranspiration(mean, day_range, sun)
    assert here >= 0
    assert water.evapotranspiration(mean + more, day_range, sun) >= here - 1e-9
    assert water.evapotranspiration(mean, day_range + more, sun) >= here - 1e-9 or mean < -17.8
    assert water.evapotranspiration(mean, day_range, sun + more) >= here - 1e-9 or mean < -17.8


def demand(numbers, climate: cl.Climate, code: str = "") -> water.Demand:
    return water.Demand(cl.Year(climate, numbers.climate), code, numbers.water)


def test_where_no_range_is_known_the_class_has_one(numbers) -> None:
    plain = cl.climate_from_means([15.0] * 12, latitude=45)
    for code in (*CLIMATES, ""):
        usual = numbers.water.day_range.get(code, numbers.water.day_range_usual)
        assert 5 < usual < 16
        assert [demand(numbers, plain, code).day_range(day) for day in (1, 200)] == pytest.approx([usual] * 2)


def test_the_range_of_a_month_is_that_of_the_table(numbers) -> None:
    wide = tuple(8.0 + n for n in range(12))
    here = demand(
        numbers, dataclasses.replace(cl.climate_from_means([15.0] * 12, latitude=45), day_range=wide)
    )
    of_june = [here.day_range(day) for day in range(152, 182)]
    assert sum(of_june) / 30 == pytest.approx(13)
    # By hand: 0.0023 x (15 + 17.8) x sqrt(13) x 0.408 x 41.84 MJ/m2 above the air in mid-June at 45 N.
    assert here.reference(166) == pytest.approx(4.64, abs=0.03)


def test_the_factor_of_a_place_multiplies_its_water_need(numbers) -> None:
    plain = cl.climate_from_means([15.0] * 12, latitude=45)
    more = dataclasses.replace(plain, water_factor=1.2)
    plain_need, need = demand(numbers, plain).need(166, "cool"), demand(numbers, more).need(166, "cool")
    assert plain_need is not None
    assert need == pytest.approx(1.2 * plain_need)


def test_without_a_latitude_no_need_is_known(numbers) -> None:
    here = demand(numbers, cl.climate_from_warmest_coldest(20, 2, "north"))
    assert here.reference(166) is None
    assert here.need(166, "cool") is None
    assert here.standing_need(166, "cool") is None


@pytest.mark.parametrize(("latitude", "hemisphere"), [(45.0, "north"), (-45.0, "south")])
def test_turf_that_stands_uses_by_the_coefficient_of_the_month_on_that_half(
    numbers, latitude, hemisphere
) -> None:
    here = demand(numbers, cl.climate_from_warmest_coldest(20, 2, hemisphere, latitude))
    for season, day, month in (("cool", 166, 6), ("warm", 15, 1), ("cool", 366, 1)):
        used = water.standing_need(here.reference(day), season, month, hemisphere, numbers.water)
        assert here.standing_need(day, season) == pytest.approx(used)


def test_what_rain_leaves_short() -> None:
    """By hand: 7 x (need - rain)."""
    assert [water.short_mm_a_week(4, rain) for rain in (3, 4)] == [7, 0]
    assert water.short_mm_a_week(1, 3) == -14


@given(st.floats(0, 1500), st.floats(0, 100))
def test_more_rain_is_never_of_less_use(numbers, rain: float, more: float) -> None:
    n = numbers.water
    assert 0 <= water.effective_rain(rain, n) <= rain
    assert water.effective_rain(rain + more, n) >= water.effective_rain(rain, n) - 1e-9


def test_rain_of_a_day_is_a_share_of_what_its_month_brings(numbers) -> None:
    # By hand: 100 mm in a month of 31 days, 84 of them of use.
    here = demand(numbers, cl.climate_from_means([15.0] * 12, [100.0] * 12, 45))
    assert here.rain(15) == pytest.approx(84 / 31)
    assert demand(numbers, cl.climate_from_means([15.0] * 12, (), 45)).rain(15) is None


def test_the_south_has_the_coefficients_of_half_a_year_on(numbers) -> None:
    n = numbers.water
    for season, south, north in (("cool", 1, 7), ("warm", 12, 6)):
        here = water.standing_need(5, season, south, "south", n)
        assert here == water.standing_need(5, season, north, "north", n)


def test_hose_by_hand() -> None:
    """20 litres a minute for an hour is 1,200 litres: 3 mm on 400 m2."""
    assert water.litres_a_day(20, 1) == 1200
    assert water.hours_for(water.litres(400, 3), 20) == pytest.approx(1)
    assert water.hours_for(100, 0) is None
    assert water.visits_short(3, 1) == 2


@given(st.floats(0.1, 1e5), st.floats(0, 100), st.floats(0.05, 1))
def test_no_less_is_sent_than_arrives(area: float, depth: float, efficiency: float) -> None:
    assert water.litres_to_send(area, depth, efficiency) >= water.litres(area, depth)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: water.litres_to_send(1, 1, 0), "share"),
        (lambda: water.litres_to_send(1, 1, 1.2), "share"),
        (lambda: water.run_minutes(5, 0), "rate"),
        (lambda: water.can_rate(5, 0), "minutes"),
        (lambda: water.sprinkler_rate(5, 0), "area"),
        (lambda: water.evenness([1, 2, 3]), "four cans"),
        (lambda: water.evenness([0, 0, 0, 0]), "four cans"),
    ],
)
def test_wrong_numbers_are_named(call, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        call()


def test_cans_are_even_however_little_is_in_them() -> None:
    assert water.evenness([0.2] * 4) == pytest.approx(1)
    assert water.evenness([0.1, 0.2, 0.2, 0.3]) == pytest.approx(0.5)


def test_no_share_of_water_washes_out_more_salt_than_it_brings() -> None:
    assert water.leaching_share(0, 3) == 0
    assert water.leaching_share(4, 10) == pytest.approx(4 / 46)
    assert water.leaching_share(8, 3) is None
    assert water.leaching_share(20, 3) is None
