"""Soil temperature: laws and errors."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from decide.measure import soil


@given(st.floats(0.001, 2), st.floats(0.01, 5))
def test_deeper_is_calmer_and_later(depth: float, damping: float) -> None:
    assert 0 <= soil.share_at(2 * depth, damping) <= soil.share_at(depth, damping) <= 1
    assert soil.lag_at(2 * depth, damping, 365) == pytest.approx(2 * soil.lag_at(depth, damping, 365))


@given(
    st.integers(1, 365), st.sampled_from([(40.42, -86.91), (53.96, -1.08), (-37.81, 144.96), (1.35, 103.82)])
)
def test_soil_keeps_near_the_air(numbers, site_at, day: int, place) -> None:
    year = site_at(*place).year
    got = soil.soil_normal(year, day, numbers.soil)
    assert abs(got.celsius - year.normal(day)) < 1
    assert got.doubt == 2


def test_first_warm_day(numbers, site_at) -> None:
    year = site_at(40.42, -86.91).year
    day = soil.first_day_at(year, 18, numbers.soil)
    assert day is not None
    assert (
        soil.soil_normal(year, day, numbers.soil).celsius
        >= 18
        > soil.soil_normal(year, day - 1, numbers.soil).celsius
    )
    assert soil.first_day_at(year, 40, numbers.soil) is None


@pytest.mark.parametrize(("diffusivity", "period"), [(0, 1), (1, 0), (-1, 5)])
def test_damping_needs_positive_numbers(diffusivity: float, period: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        soil.damping_depth(diffusivity, period)


def test_density_needs_a_core() -> None:
    with pytest.raises(ValueError, match="core"):
        soil.bulk_density(100, 0)
