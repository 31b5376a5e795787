"""Uses of a field and sprays as people tell them. All expectations were written by hand before the first run."""

from __future__ import annotations

import pytest

from decide.parse.answers import read
from decide.parse.results import (
    AskBack,
    NotUnderstood,
    Setting,
    Understood,
)
from tests.parse.settings import (
    NOWHERE,
    SPORTS,
    SPRAYS,
    TALK,
    TODAY,
    values,
)

ALL_YEAR = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]


def test_uses_in_one_line() -> None:
    said = "soccer, 12 hours a week, September to May, youth"
    months = ["jan", "feb", "mar", "apr", "may", "sep", "oct", "nov", "dec"]
    expected = {"sport": "football", "hours_per_week": 12, "months": months, "players": "youth"}
    assert values(read("uses", said, NOWHERE, choices=SPORTS)) == [expected]


def test_uses_by_parts_and_several() -> None:
    assert values(read("uses", "kids soccer", NOWHERE, choices=SPORTS)) == [
        {"sport": "football", "players": "youth"}
    ]
    assert values(read("uses", "soccer and rugby", NOWHERE, choices=SPORTS)) == [
        {"sport": "football"},
        {"sport": "rugby-union"},
    ]
    assert values(read("uses", "nobody", NOWHERE, choices=SPORTS)) == []


ALL_YEAR_LINES = (
    "soccer all year 15 hours a week adults", "soccer, year round, 15 hours, adults", "soccer 15 hours a week all the year adults",
    "adults soccer the whole year 15 hours a week", "soccer, every month, 15 hours a week, adults",
    "soccer 15 hours a week every month of the year adults", "soccer all year-round, 15 hours weekly, men",
    "soccer 15 h a week throughout the year, adults", "soccer all twelve months 15 hours a week adults", "soccer year-long 15 hours a week adults",
)  # fmt: skip


@pytest.mark.parametrize("said", ALL_YEAR_LINES)
def test_a_use_all_year_has_twelve_months(said: str) -> None:
    expected = {"sport": "football", "hours_per_week": 15, "months": ALL_YEAR, "players": "adult"}
    assert values(read("uses", said, NOWHERE, choices=SPORTS)) == [expected]


def test_months_are_found_wherever_they_stand_in_the_sentence() -> None:
    winter = ["apr", "may", "jun", "jul", "aug", "sep"]
    summer = ["jan", "feb", "mar", "oct", "nov", "dec"]
    for said in (
        "rugby 6 hours a week april to september adults",
        "rugby april to september 6 hours a week adults",
    ):
        assert values(read("uses", said, NOWHERE, choices=SPORTS)) == [
            {"sport": "rugby-union", "hours_per_week": 6, "months": winter, "players": "adult"}
        ]
    two = "rugby 6 hours a week april to september adults; soccer 8 hours a week october to march kids"
    assert values(read("uses", two, NOWHERE, choices=SPORTS)) == [
        {"sport": "rugby-union", "hours_per_week": 6, "months": winter, "players": "adult"},
        {"sport": "football", "hours_per_week": 8, "months": summer, "players": "youth"},
    ]
    halves = "rugby, 6 hours a week, september to november and february to april, youth"
    assert values(read("uses", halves, NOWHERE, choices=SPORTS)) == [
        {
            "sport": "rugby-union",
            "hours_per_week": 6,
            "months": ["feb", "mar", "apr", "sep", "oct", "nov"],
            "players": "youth",
        }
    ]
    but = "soccer all year but july and august 15 hours a week adults"
    assert values(read("uses", but, NOWHERE, choices=SPORTS)) == [
        {
            "sport": "football",
            "hours_per_week": 15,
            "months": [month for month in ALL_YEAR if month not in ("jul", "aug")],
            "players": "adult",
        }
    ]


def test_a_game_with_two_meanings_is_asked_back_and_the_rest_is_kept() -> None:
    result = read("uses", "football, year round, 6 hours", NOWHERE, choices=SPORTS)
    assert isinstance(result, AskBack)
    rest = {"months": ALL_YEAR, "hours_per_week": 6}
    assert [reading.value for reading in result.readings] == [
        [{"sport": sport, **rest}] for sport in ("football", "american-football")
    ]
    assert values(
        read("uses", "football, year round, 6 hours", Setting(TODAY, country="us", talk=TALK), choices=SPORTS)
    ) == [{"sport": "american-football", **rest}]


def test_sports_are_picked_by_their_numbers() -> None:
    first, second = SPORTS[0].value, SPORTS[1].value
    assert values(read("uses", "1 and 2", NOWHERE, choices=SPORTS)) == [{"sport": first}, {"sport": second}]
    assert values(read("uses", "2, 10 hours", NOWHERE, choices=SPORTS)) == [
        {"sport": second, "hours_per_week": 10}
    ]
    # One number alone may be the hours as well.
    result = read("uses", "2", NOWHERE, choices=SPORTS)
    assert isinstance(result, AskBack)
    assert [reading.value for reading in result.readings] == [[{"sport": second}], [{"hours_per_week": 2}]]
    assert values(read("uses", str(len(SPORTS) + 1), NOWHERE, choices=SPORTS)) is NotUnderstood


def test_a_spray_in_a_month_names_its_day_once() -> None:
    result = read("sprays", "weed and feed in april", NOWHERE, choices=SPRAYS)
    assert isinstance(result, Understood)
    assert result.value == [{"class": "auxin-phenoxy", "date": "2026-04-30"}]
    assert result.note == "I take the end of the month."


def test_sprays() -> None:
    assert values(read("sprays", "no", NOWHERE, choices=SPRAYS)) == []
    assert values(read("sprays", "yes", NOWHERE, choices=SPRAYS)) == [{}]
    said = "weed and feed two weeks ago"
    assert values(read("sprays", said, NOWHERE, choices=SPRAYS)) == [
        {"class": "auxin-phenoxy", "date": "2026-05-06"}
    ]
    assert values(read("sprays", "crabgrass preventer", NOWHERE, choices=SPRAYS)) == [{"class": "unknown"}]
    assert values(read("sprays", "purple rain", NOWHERE, choices=SPRAYS)) is NotUnderstood


@pytest.mark.parametrize(
    ("said", "months"),
    [("August.", ["aug"]), ("March, April and May", ["mar", "apr", "may"]), ("only July", ["jul"])],
)
def test_months_and_nothing_else_are_those_of_play(said: str, months: list[str]) -> None:
    assert values(read("uses", said, NOWHERE, choices=SPORTS)) == [{"months": months}]


@pytest.mark.parametrize("said", ["until April", "they play until the end of April", "12 hours, until April"])
def test_where_only_the_last_month_is_told_the_first_is_asked(said: str) -> None:
    result = read("uses", said, Setting(TODAY, talk=TALK), choices=SPORTS)
    assert isinstance(result, AskBack)
    assert "September to April" in [one.say for one in result.readings]
    assert all("apr" in row["months"] for one in result.readings for row in one.value)
