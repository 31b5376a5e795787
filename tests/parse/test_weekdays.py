"""Weekdays by their names, and as they are counted in a month."""

from __future__ import annotations

import calendar
import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decide.parse.dates import read_date
from decide.parse.months import say_day
from decide.parse.results import NotUnderstood, Understood
from decide.parse.weekdays import NAMES, Counted, coming_saturday, counted_in_month, nth, number_of
from tests.parse.settings import NORTH, TODAY


@pytest.mark.parametrize(
    ("said", "day"),
    [
        ("the second saturday in may", "2027-05-08"),
        ("first monday of september", "2026-09-07"),
        ("4th thurs in nov", "2026-11-26"),
        ("the last weds of january", "2027-01-27"),
        ("third weekend of june", "2026-06-20"),
        ("the fifth saturday of august", "2026-08-29"),
        ("second sunday of next month", "2026-06-14"),
        ("the last friday of this month", "2026-05-29"),
        ("first tuesday of march 2028", "2028-03-07"),
    ],
)
def test_a_weekday_is_counted_in_its_month(said: str, day: str) -> None:
    assert counted_in_month(said, TODAY) == Counted(dt.date.fromisoformat(day))
    found = read_date(said, NORTH)
    assert isinstance(found, Understood)
    assert found.value == day


@pytest.mark.parametrize("said", ["the fifth monday of february 2026", "5th sunday of june 2026"])
def test_a_month_that_has_not_so_many_is_asked_back(said: str) -> None:
    assert counted_in_month(said, TODAY) == Counted(None)
    assert isinstance(read_date(said, NORTH), NotUnderstood)


@pytest.mark.parametrize(
    "said", ["second helping of grass", "first week of may", "the last of june", "mondays"]
)
def test_other_words_count_no_weekday(said: str) -> None:
    assert counted_in_month(said, TODAY) is None


def test_the_past_counts_back() -> None:
    assert counted_in_month("second saturday in may", TODAY, past=True) == Counted(dt.date(2026, 5, 9))
    assert counted_in_month("first sunday in june", TODAY, past=True) == Counted(dt.date(2025, 6, 1))


@pytest.mark.parametrize(
    ("word", "number"), [("tues", 1), ("weds", 2), ("sat", 5), ("sunday", 6), ("su", None)]
)
def test_names_and_their_beginnings(word: str, number: int | None) -> None:
    assert number_of(word) == number


@settings(max_examples=50, deadline=None)
@given(st.dates(min_value=dt.date(2020, 1, 1), max_value=dt.date(2040, 12, 31)))
def test_a_day_is_found_by_its_count(day: dt.date) -> None:
    count = (day.day - 1) // 7 + 1
    assert nth(day.year, day.month, day.weekday(), count) == day
    names = ("first", "second", "third", "fourth", "fifth")
    said = f"the {names[count - 1]} {NAMES[day.weekday()]} of {calendar.month_name[day.month]}".lower()
    assert counted_in_month(said, day) == Counted(day), say_day(day)
    last = nth(day.year, day.month, day.weekday(), -1)
    assert last is not None
    assert last.day > calendar.monthrange(day.year, day.month)[1] - 7
    assert coming_saturday(day).weekday() == 5
