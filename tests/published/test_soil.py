"""Heat in soil and soil measures against formulas printed elsewhere."""

import math

import pytest

from decide.measure import dates, soil

HEAT = "damped temperature wave in uniform soil, soil physics textbook of 1982 as printed by Oklahoma State University"
DEFINITION = "definition"
DAY, YEAR = 86400.0, 365 * 86400.0


@pytest.mark.parametrize(
    ("key", "got", "expected", "tolerance", "source"),
    [
        ("soil.damp", soil.damping_depth(0.5e-6, DAY), 0.1173, 0.0005, HEAT),
        ("soil.damp-year", soil.damping_depth(0.5e-6, YEAR), 2.24, 0.005, HEAT),
        ("soil.amplitude", 10 * soil.share_at(0.05, 0.12), 6.592, 0.005, HEAT),
        ("soil.lag", soil.lag_at(0.05, 0.12, 24), 1.592, 0.005, HEAT),
        ("soil.lag-year", soil.lag_at(0.05, 2.24, 365), 1.3, 0.02, HEAT),
        ("soil.density", soil.bulk_density(132.5, 100), 1.325, 0.0005, DEFINITION),
        ("soil.pores", soil.porosity(1.325, 2.65), 0.5, 0.0005, DEFINITION),
    ],
)
def test_printed(key: str, got: float, expected: float, tolerance: float, source: str) -> None:
    assert got == pytest.approx(expected, abs=tolerance), (key, source)


def test_yearly_wave_at_planting_depth(numbers, site_at) -> None:
    """At 5 cm the yearly wave keeps 98 % of its size and lags 1.3 days (same textbook)."""
    year = site_at(40.42, -86.91).year
    soils = [soil.soil_normal(year, d, numbers.soil).celsius for d in range(1, 366)]
    assert (max(soils) - min(soils)) / (year.peak - year.low) == pytest.approx(math.exp(-0.05 / 2.24), abs=0.002)
    assert 0 <= dates.days_apart(soils.index(max(soils)) + 1, year.hottest) <= 3
