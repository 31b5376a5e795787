"""Days with rain from a month's rain and warmth."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from decide.measure.wetting import WetDayNumbers, wet_share

NUMBERS = WetDayNumbers(cold_mm=3.7, warm_mm=7.7, warm_c=20)


def test_a_month_without_rain_has_no_wet_day() -> None:
    assert wet_share(0, 30, 15, NUMBERS) == 0


def test_by_hand() -> None:
    # 60 mm in 30 days at 10 C: a wet day brings 5.7 mm; 1 - exp(-2 / 5.7) = 0.296.
    assert wet_share(60, 30, 10, NUMBERS) == pytest.approx(0.296, abs=0.001)


@given(st.floats(0, 1500), st.integers(28, 31), st.floats(-30, 40))
def test_never_more_days_than_the_month_has_and_more_rain_is_never_fewer(
    rain: float, days: int, mean: float
) -> None:
    share = wet_share(rain, days, mean, NUMBERS)
    assert 0 <= share <= 1
    assert wet_share(rain + 10, days, mean, NUMBERS) >= share


def test_a_month_that_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="write rain of 0 or more"):
        wet_share(-1, 30, 10, NUMBERS)
