"""What rules read of a place and its year."""

from __future__ import annotations

import datetime as dt
from types import SimpleNamespace
from typing import Any

import pytest

from decide.facts.site import _until_soil
from decide.measure import dates
from decide.measure.soil import soil_normal


def field(site: Any, numbers: Any, today: dt.date) -> Any:
    return SimpleNamespace(site=site, today=today, library=SimpleNamespace(constants=numbers))


@pytest.mark.parametrize(("limit", "way"), [(13.0, 1), (16.0, 1), (16.5, -1)])
@pytest.mark.parametrize("place", [(40.0, -83.0), (-38.0, 176.0)])
def test_in_the_week_that_is_told_the_soil_passes_the_limit(
    site_at, numbers, place, limit: float, way: int
) -> None:
    """From every day of a year: a week before it is on the one side, on the day on the other or at it."""
    site = site_at(*place)

    def beyond(day: dt.date) -> float:
        return way * (soil_normal(site.year, dates.day_of_year(day), numbers.soil).celsius - limit)

    for n in range(365):
        today = dt.date(2025, 1, 1) + dt.timedelta(days=n)
        weeks = _until_soil(field(site, numbers, today), limit, way)
        if weeks is None:
            # It passes today: next time it does is more than the fifty-two weeks ahead that are looked at.
            assert beyond(today - dt.timedelta(days=1)) < 0 <= beyond(today)
            continue
        assert (
            beyond(today + dt.timedelta(days=7 * weeks - 7))
            < 0
            <= beyond(today + dt.timedelta(days=7 * weeks))
        )


def test_a_limit_that_the_soil_never_passes_comes_in_no_week(site_at, numbers) -> None:
    here = field(site_at(40.0, -83.0), numbers, dt.date(2025, 5, 1))
    assert _until_soil(here, 60.0, 1) is None
    assert _until_soil(here, None, 1) is None
    assert _until_soil(field(None, numbers, here.today), 13.0, 1) is None
