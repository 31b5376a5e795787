"""Dates and months that people type, with what they mean. All expectations were written by hand before the first run."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decide.parse.answers import read
from decide.parse.results import (
    NotUnderstood,
    Setting,
)
from tests.parse.settings import (
    NORTH,
    NOWHERE,
    PAST,
    SOUTH,
    values,
)

ALL_YEAR = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]


DAYS = [
    ("2026-09-15", NOWHERE, "2026-09-15"),
    ("15 September", NOWHERE, "2026-09-15"),
    ("September 15th, 2027", NOWHERE, "2027-09-15"),
    ("the 3rd of March", NOWHERE, "2027-03-03"),
    ("15.9.2026", NOWHERE, "2026-09-15"),
    ("mid September", NOWHERE, "2026-09-15"),
    ("mid-Setpember", NOWHERE, "2026-09-15"),
    ("end of August", NOWHERE, "2026-08-31"),
    ("by the end of February", NOWHERE, "2027-02-28"),
    ("first week of September", NOWHERE, "2026-09-01"),
    ("the last week in August", NOWHERE, "2026-08-25"),
    ("second week of March", PAST, "2026-03-14"),
    ("third week of May", NOWHERE, "2026-05-20"),
    ("1st week of May 2027", NOWHERE, "2027-05-01"),
    ("fifth week of February", NOWHERE, NotUnderstood),
    ("early September", NOWHERE, "2026-09-05"),
    ("in five weeks", NOWHERE, "2026-06-24"),
    ("5 weeks from now", NOWHERE, "2026-06-24"),
    ("in a fortnight", NOWHERE, "2026-06-03"),
    ("in two months", NOWHERE, "2026-07-20"),
    ("in 5-6 weeks", NOWHERE, ["2026-06-24", "2026-07-01"]),
    ("12/6", NOWHERE, ["2026-06-12", "2026-12-06"]),
    ("12/6/26", NOWHERE, ["2026-06-12", "2026-12-06"]),
    ("25/12", NOWHERE, "2026-12-25"),
    ("12/25/2026", NOWHERE, "2026-12-25"),
    ("6/6", NOWHERE, "2026-06-06"),
    ("next spring", NORTH, "2027-03-01"),
    ("next spring", SOUTH, "2026-09-01"),
    ("next spring", NOWHERE, ["2027-03-01", "2026-09-01"]),
    ("September", NOWHERE, "2026-09-01"),
    ("next September", NOWHERE, ["2026-09-01", "2027-09-01"]),
    ("tomorrow", NOWHERE, "2026-05-21"),
    ("Saturday", NOWHERE, "2026-05-23"),
    ("next Saturday", NOWHERE, ["2026-05-23", "2026-05-30"]),
    ("Christmas", NOWHERE, "2026-12-25"),
    ("29 February", NOWHERE, "2028-02-29"),
    ("30 February", NOWHERE, NotUnderstood),
    ("31/31", NOWHERE, NotUnderstood),
    ("2999-01-01", NOWHERE, NotUnderstood),
    ("when the grass is green", NOWHERE, NotUnderstood),
    ("in a few weeks", NOWHERE, NotUnderstood),
    ("full sun", NOWHERE, NotUnderstood),
    ("two weeks ago", PAST, "2026-05-06"),
    ("last month", PAST, "2026-04-30"),
    ("in April", PAST, "2026-04-30"),
    ("October", PAST, "2025-10-31"),
]


@pytest.mark.parametrize(("said", "setting", "means"), DAYS)
def test_dates(said: str, setting: Setting, means: object) -> None:
    assert values(read("date", said, setting)) == means


@settings(max_examples=100, deadline=None)
@given(st.dates(min_value=dt.date(2020, 1, 1), max_value=dt.date(2035, 12, 31)))
def test_a_written_date_is_read_back(day: dt.date) -> None:
    name = f"{day.day} {day.strftime('%B')} {day.year}"
    assert values(read("date", name, NOWHERE)) == day.isoformat()
    assert values(read("date", day.isoformat(), NOWHERE)) == day.isoformat()


MONTHS = [
    ("September to May", NOWHERE, ["jan", "feb", "mar", "apr", "may", "sep", "oct", "nov", "dec"]),
    ("Sep-May", NOWHERE, ["jan", "feb", "mar", "apr", "may", "sep", "oct", "nov", "dec"]),
    (
        "all year but July",
        NOWHERE,
        ["jan", "feb", "mar", "apr", "may", "jun", "aug", "sep", "oct", "nov", "dec"],
    ),
    (
        "all year round except July and August",
        NOWHERE,
        ["jan", "feb", "mar", "apr", "may", "jun", "sep", "oct", "nov", "dec"],
    ),
    ("April, May and June", NOWHERE, ["apr", "may", "jun"]),
    ("from April until June", NOWHERE, ["apr", "may", "jun"]),
    ("summer", NORTH, ["jun", "jul", "aug"]),
    ("summer", SOUTH, ["jan", "feb", "dec"]),
    ("summer", NOWHERE, [["jun", "jul", "aug"], ["jan", "feb", "dec"]]),
    ("never", NOWHERE, []),
    ("when it rains", NOWHERE, NotUnderstood),
]


@pytest.mark.parametrize(("said", "setting", "means"), MONTHS)
def test_months(said: str, setting: Setting, means: object) -> None:
    assert values(read("months", said, setting)) == means


@pytest.mark.parametrize(
    "said",
    ["every month", "all the year", "the whole year", "year round", "all year long", "throughout the year"],
)
def test_the_whole_year_in_other_words(said: str) -> None:
    assert values(read("months", said, NOWHERE)) == ALL_YEAR
