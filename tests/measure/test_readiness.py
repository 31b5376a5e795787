"""Readiness waits for a day on which the grass grows."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from decide.measure.readiness import _growing_from

OPENS, OPENS_COLD = 100, 110  # the days on which growth begins, usually and in a cold year


def site(grows: bool = True) -> Any:
    def wait(season: str, day: int, shift: float = 0.0) -> int | None:
        return max(0, (OPENS_COLD if shift < 0 else OPENS) - day) if grows else None

    return SimpleNamespace(wait_for_growth=wait, year_shift=2.0)


@pytest.mark.parametrize(
    ("start", "days", "found"),
    [
        # In winter each waits for the first growth, the late one for that of a cold year: day 110 is the 61st from day 50.
        (50, [10, 20, 30], [51, 51, 61]),
        # Where all lie in the season of growth nothing waits, in a cold year neither.
        (120, [10, 20, 30], [10, 20, 30]),
        # The late one alone lies in it.
        (90, [5, 8, 30], [11, 11, 30]),
        # Nothing is ready before its first day.
        (120, [0, 0, 3], [1, 1, 3]),
        (50, [None, 20, None], [None, 51, None]),
    ],
)  # fmt: skip
def test_days_are_put_off_to_the_first_growth(
    start: int, days: list[int | None], found: list[int | None]
) -> None:
    assert _growing_from(site(), "cool", start, days) == found


def test_where_grass_never_grows_it_is_never_ready() -> None:
    assert _growing_from(site(grows=False), "warm", 50, [10, 20, 30]) == [None, None, None]
