"""Spans of the clock, against what a person counts on a dial."""

from __future__ import annotations

import pytest

from decide.measure.clock import longest_gap, open_minutes


@pytest.mark.parametrize(
    ("spans", "minutes"),
    [
        ([("18:00", "10:00")], 16 * 60),
        ([("06:00", "10:00"), ("18:00", "22:00")], 8 * 60),
        ([("06:00", "10:00"), ("09:00", "11:00")], 5 * 60),
        ([("23:30", "00:30")], 60),
        ([("00:00", "24:00")], 24 * 60),
        ([], 0),
    ],
)
def test_minutes_are_counted_once_and_past_midnight(spans: list[tuple[str, str]], minutes: int) -> None:
    assert open_minutes(spans) == minutes


@pytest.mark.parametrize(
    ("spans", "hours"),
    [
        ([("18:00", "10:00")], 8),
        ([("06:00", "11:00"), ("16:00", "22:00")], 5),
        ([("20:00", "06:00")], 10),
        ([("00:00", "24:00")], 0),
        ([("12:00", "12:30")], 5.5),
    ],
)
def test_the_longest_dry_time_between_eight_and_six(spans: list[tuple[str, str]], hours: float) -> None:
    assert longest_gap(spans, 8, 18) == hours
