"""In which months it is played on, from a first message: never the day by which play is wanted."""

from __future__ import annotations

import pytest

from decide.parse.months import say_months
from tests.parse.said_in_message import heard, told

BEFORE = "Soccer pitch in York, UK, bare goalmouths."


@pytest.mark.parametrize(
    ("text", "months"),
    [
        ("We play from September until April.", "September to April"),
        ("The season runs from September till the end of April.", "September to April"),
        ("Used from August through to mid May.", "August to May"),
        ("Two teams use it between September and May.", "September to May"),
        ("Matches from early September to late April.", "September to April"),
        ("We play in spring and autumn.", "March, April, May, September, October and November"),
        ("We only play in winter.", "December to February"),
        ("Matches in autumn, training over the winter.", "September to February"),
        ("Adults, all year.", "all year"),
        ("Played September to April, closed from June to August.", "September to April"),
    ],
)
def test_the_months_of_play(text: str, months: str) -> None:
    found = told(f"{BEFORE} {text}")
    assert say_months(found["use"][0]["months"]) == months
    assert "dates.play_by" not in found


@pytest.mark.parametrize(
    "text",
    [
        "They play until April.", "They are on it until the end of April.", "Season ends in April.",
        "Matches on Saturdays until 25 April.", "It is used until mid April.", "Soccer until April.",
    ],
)  # fmt: skip
def test_of_a_season_without_its_begin_that_is_asked(text: str) -> None:
    line = heard(f"{BEFORE} {text}")
    assert not {one.key for one in (*line.told, *line.doubts)} & {"dates.play_by"}
    (doubt,) = line.doubts
    assert doubt.key == "use"
    said = [reading.say for reading in doubt.readings]
    assert "September to April" in said
    assert all(one.endswith("to April") for one in said)


@pytest.mark.parametrize(
    "text",
    [
        "It is shut from June to August.", "Rain from June to August.", "We want to play in winter.",
        "No matches until 25 April.", "Nobody plays until mid August.", "It is shut until September.",
    ],
)  # fmt: skip
def test_times_of_rest_and_of_wishes_are_no_months_of_play(text: str) -> None:
    line = heard(f"{BEFORE} {text}")
    assert "use" not in {one.key for one in line.doubts}
    assert [one.value for one in line.told if one.key == "use"] == [[{"sport": "football"}]]


@pytest.mark.parametrize("text", ["We have until the end of August.", "Training is off until 31 August."])
def test_a_day_until_which_there_is_time_is_wanted(text: str) -> None:
    assert told(f"{BEFORE} {text}")["dates.play_by"] == "2026-08-31"


def test_each_sport_has_its_own_months() -> None:
    found = told("Soccer and cricket in York, UK. Soccer September to April, cricket from May to August.")
    assert [say_months(use["months"]) for use in found["use"]] == ["September to April", "May to August"]
