"""A language: days, ranges, lists and amounts in its words."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from decide.knowledge.texts import TextRow
from decide.knowledge.wording import Language
from tests.shared import LANGUAGE

GERMAN = Language(
    "de",
    {
        "range": TextRow(text="{low} bis {high}"),
        "unit-week": TextRow(one="{n} Woche", other="{n} Wochen"),
        "unit-l/day": TextRow(text="{n} Liter am Tag"),
        "unit-litre": TextRow(text="{n} Liter"),
        "unit-gal": TextRow(text="{n} Gallonen"),
        "list": TextRow(text="{words}."),
    },
)


@pytest.mark.parametrize(
    ("amount", "metric", "us"),
    [
        (25.4, "25 mm", "1 in"),
        (50.8, "50 mm", "2 in"),
        (63.5, "65 mm", "2.5 in"),
        (25, "25 mm", "1 in"),
        (100, "100 mm", "4 in"),
        (62, "62 mm", "2.4 in"),
    ],
)
def test_lengths_are_told_as_people_tell_them(amount: float, metric: str, us: str) -> None:
    """What is printed or told in whole millimetres stays; what comes of another unit is rounded to a usual step."""
    assert (LANGUAGE.show(amount, "mm"), LANGUAGE.show(amount, "mm", "us")) == (metric, us)


@pytest.mark.parametrize(
    ("amount", "unit", "metric", "us"),
    [
        (0.25, "in", "6.5 mm", "0.25 in"), (4, "in", "100 mm", "4 in"), (15, "ft", "4.57 m", "15 ft"),
        (1, "lb/1000ft2", "5 g/m²", "1 lb per 1,000 ft²"), (50, "lb/1000ft2", "240 g/m²", "50 lb per 1,000 ft²"),
        (85, "F", "29 °C", "85 °F"), (6.4, "pH", "pH 6.4", "pH 6.4"),
    ],
)  # fmt: skip
def test_a_number_that_a_source_prints_in_feet_is_said_in_the_units_of_the_reader(amount, unit, metric, us):
    assert (LANGUAGE.show(amount, unit), LANGUAGE.show(amount, unit, "us")) == (metric, us)


DAY, NEAR, FAR, LATE = dt.date(2026, 9, 2), dt.date(2026, 9, 20), dt.date(2026, 10, 3), dt.date(2027, 1, 3)


@pytest.mark.parametrize(
    ("language", "said"),
    [
        (LANGUAGE, ["2 September 2026", "2", "2 September", "2 September 2026", "2 Sep", "2 Sep 2026", "September 2026"]),
        (GERMAN, ["2. September 2026", "2.", "2. September", "2. September 2026", "2. Sept.", "2. Sept. 2026", "September 2026"]),
        (Language("ja", {}), ["2026年9月2日", "9月2日", "9月2日", "2026年9月2日", "9月2日", "2026年9月2日", "2026年9月"]),
        (Language("en_US", {}), ["September 2, 2026", "September 2", "September 2", "September 2, 2026", "Sep 2", "Sep 2, 2026", "September 2026"]),
    ],
    ids=["en_GB", "de", "ja", "en_US"],
)  # fmt: skip
def test_days_are_written_as_the_language_writes_them(language: Language, said: list[str]) -> None:
    assert [
        language.day(DAY),
        *(language.start_of(DAY, last) for last in (NEAR, FAR, LATE)),
        language.day_of_year(DAY, "short"),
        language.short_day(DAY),
        language.month(DAY),
    ] == said  # fmt: skip


def test_months_are_cut_where_the_folder_says_so() -> None:
    assert LANGUAGE.short_day(dt.date(2026, 9, 1)) == "1 Sep 2026"
    assert Language("en_GB", {}).short_day(dt.date(2026, 9, 1)) == "1 Sept 2026"


def test_a_range_tells_its_unit_once_in_any_language() -> None:
    assert LANGUAGE.ranged("in 3 weeks to 5 weeks, 3 weeks to 3 weeks") == "in 3 to 5 weeks, 3 weeks"
    assert GERMAN.ranged("in 3 Wochen bis 5 Wochen") == "in 3 bis 5 Wochen"
    assert GERMAN.ranged("1.200 Liter am Tag bis 1.500 Liter am Tag") == "1.200 bis 1.500 Liter am Tag"
    assert GERMAN.ranged("3 weeks to 5 weeks") == "3 weeks to 5 weeks"
    assert GERMAN.exactly(5, "week", low=3) == "3 bis 5 Wochen"


def test_a_length_in_two_systems_is_left_in_the_one_of_the_reader() -> None:
    text = "20 bis 25 Liter (5 bis 7 Gallonen)"
    assert (GERMAN.one_system(text, "metric"), GERMAN.one_system(text, "us")) == (
        "20 bis 25 Liter",
        "5 bis 7 Gallonen",
    )
    assert LANGUAGE.one_system("cut at 25 mm (1 in)", "us") == "cut at 1 in"


def test_holes_take_days_numbers_and_lists() -> None:
    assert GERMAN.say("list", {"words": ["a", "b", "c"]}) == "a, b und c."
    assert GERMAN.say("list", {"words": DAY}) == "2. September 2026."
    assert GERMAN.say("list", {"words": 1234.5}) == "1.234."


@given(st.dates(dt.date(1900, 1, 1), dt.date(2200, 12, 31)), st.integers(0, 400))
def test_the_start_of_a_span_and_its_end_leave_no_doubt(first: dt.date, days: int) -> None:
    """Every start that is cut short stands whole once the end is read."""
    last = first + dt.timedelta(days)
    start, end = LANGUAGE.start_of(first, last).split(), LANGUAGE.day(last).split()
    assert [*start, *end[len(start) :]] == LANGUAGE.day(first).split()
