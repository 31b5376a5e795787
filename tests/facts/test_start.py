"""Months and seasons as rules read them, on both halves of the earth."""

from __future__ import annotations

import datetime as dt

import pytest

from decide.facts.start import northern_month, season_of_year

# Month by month of the north: the season by whole months, and the month half a year on.
YEAR = (
    ("jan", "winter", "jul"), ("feb", "winter", "aug"), ("mar", "spring", "sep"), ("apr", "spring", "oct"),
    ("may", "spring", "nov"), ("jun", "summer", "dec"), ("jul", "summer", "jan"), ("aug", "summer", "feb"),
    ("sep", "autumn", "mar"), ("oct", "autumn", "apr"), ("nov", "autumn", "may"), ("dec", "winter", "jun"),
)  # fmt: skip
OTHER = {"winter": "summer", "summer": "winter", "spring": "autumn", "autumn": "spring"}


@pytest.mark.parametrize("number", range(1, 13))
def test_the_south_has_the_months_and_seasons_of_half_a_year_on(number: int) -> None:
    month, season, there = YEAR[number - 1]
    for day in (dt.date(2026, number, 1), dt.date(2026, number, 28)):
        assert (northern_month(day, "north"), season_of_year(day, "north")) == (month, season)
        assert (northern_month(day, "south"), season_of_year(day, "south")) == (there, OTHER[season])


def test_where_the_half_is_not_known_neither_is() -> None:
    assert northern_month(dt.date(2026, 5, 1), "") is None
    assert season_of_year(dt.date(2026, 5, 1), "") is None
