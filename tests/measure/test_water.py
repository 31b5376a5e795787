"""Water: laws of sun and evapotranspiration, needs and capacity."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from decide.measure import water
from decide.measure.climate import CLIMATES

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


def test_numbers_in_use(numbers) -> None:
    """Day range 11 C by default, 8 in cool humid places, 14 in dry ones; turf 0.8 cool, 0.6 warm (from memory)."""
    assert [water.day_range(c, numbers.water) for c in ("cool-humid", "warm-arid", "transition", "")] == [
        8,
        14,
        11,
        11,
    ]
    assert all(water.day_range(c, numbers.water) > 0 for c in CLIMATES)
    assert [water.turf_need(5, s, numbers.water) for s in ("cool", "warm")] == pytest.approx([4.0, 3.0])


def test_summer_turf_in_indiana_takes_three_to_six_mm_a_day(numbers) -> None:
    """Turf in summer uses up to 6 to 8 mm a day in heat (Penn State layout page); a normal day less."""
    assert 3 < water.need_mm_a_day(23.8, 40.42, 196, "cool-humid", "cool", numbers.water) < 6


@pytest.mark.parametrize(
    ("need", "rain", "days", "short"), [(4, 90, 30, 7), (4, 120, 30, 0), (1, 90, 30, -14)]
)
def test_what_rain_leaves_short(need: float, rain: float, days: int, short: float) -> None:
    """By hand: 7 x (need - rain / days)."""
    assert water.rain_short_mm_a_week(need, rain, days) == pytest.approx(short)


def test_hose_by_hand() -> None:
    """20 litres a minute for an hour is 1,200 litres: 3 mm on 400 m2."""
    assert water.litres_a_day(20, 1) == 1200
    assert water.hours_for(water.litres(400, 3), 20) == pytest.approx(1)
    assert water.hours_for(100, 0) is None
    assert water.visits_short(3, 1) == 2


@given(st.floats(0.1, 1e5), st.floats(0, 100), st.floats(0.05, 1))
def test_no_less_is_sent_than_arrives(area: float, depth: float, efficiency: float) -> None:
    assert water.litres_to_send(area, depth, efficiency) >= water.litres(area, depth)


def test_night_is_colder_by_half_the_range(numbers) -> None:
    assert water.night_temperature(20, "cool-humid", numbers.water) == 16


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
