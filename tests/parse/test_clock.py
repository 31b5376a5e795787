"""Hours and turns of the day: how long is one thing, how often another."""

from __future__ import annotations

import pytest

from decide.parse.clock import hours_in_turns, times_in_turns
from decide.parse.loose import loosely
from decide.parse.results import Understood
from tests.parse.settings import NORTH


@pytest.mark.parametrize(
    ("said", "hours", "times"),
    [
        ("an hour before school and one after", 2.0, 2.0),
        ("two hours before breakfast and an hour after tea", 3.0, 2.0),
        ("half an hour before work, an hour after", 1.5, 2.0),
        ("once before work and twice after", None, 3.0),
        ("once before lunch plus once after", None, 2.0),
        # At three and at two, and not five times.
        ("three in the morning, two in the afternoon", None, 2.0),
        ("two hours before lunch", None, None),
        ("an hour before school and a mower", None, None),
        ("evenings", None, None),
    ],
)
def test_turns_of_a_day(said: str, hours: float | None, times: float | None) -> None:
    assert hours_in_turns(said) == hours
    assert times_in_turns(said) == times


@pytest.mark.parametrize("unit", ["m", "litre", "count", "day"])
def test_turns_are_read_only_where_times_or_hours_are_asked(unit: str) -> None:
    assert loosely("an hour before school and one after", unit, NORTH) is None
    assert loosely("once before work and twice after", unit, NORTH) is None


def test_how_long_is_not_how_often() -> None:
    said = "an hour in the morning and half an hour in the evening"
    long, often = loosely(said, "hour", NORTH), loosely(said, "count/day", NORTH)
    assert isinstance(long, Understood)
    assert isinstance(often, Understood)
    assert (long.value, often.value) == (1.5, 2)
