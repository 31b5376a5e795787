"""What was heard is said back in few plain lines."""

from __future__ import annotations

from typing import Any

from decide.parse.echo import say_told
from decide.parse.heard import Told
from tests.said.score import speech


def told(key: str, value: Any, zone: str | None = None, note: str = "", corrects: bool = False) -> Told:
    return Told(key, value, "", zone, note, corrects)


def test_lines_stand_by_group_and_parts_have_a_line_each() -> None:
    said = say_told(
        [
            told("means.helpers", 6),
            told("zone", ["goalmouths", "middle"]),
            told("zone.bare_percent", 50, "goalmouths", "I took 'half' as 50 %."),
            told("zone.bare_pattern", "solid", "goalmouths"),
            told("place.name", "York"),
            told("place.country", "gb"),
            told("dates.play_by", "2026-08-15"),
            told("means.budget", 2000),
            told("means.currency", "GBP"),
        ],
        speech(),
    )
    assert said == [
        "Place: York; United Kingdom",
        "Part: goalmouths; 50 % bare; solid bare patches",
        "Part: middle",
        "Dates: wanted by 15 August 2026",
        "Means: 6 people; £2,000",
        "(I took 'half' as 50 %.)",
    ]


def test_yes_and_no_are_said_in_their_meaning() -> None:
    assert say_told([told("site.goals_anchored", False)], speech()) == ["Danger: every goal is anchored: no"]
    assert say_told([told("site.in_use_now", True)], speech()) == ["Danger: somebody plays on it now"]
    assert say_told([told("history.herbicides", [])], speech()) == ["Before now: nothing sprayed"]
    assert say_told([told("dates.play_by_firm", False, corrects=True)], speech()) == [
        "Dates: changed: the date can move"
    ]


def test_amounts_are_said_in_the_units_of_the_person() -> None:
    one = [told("means.flow_l_min", 34.07), told("field.area_m2", 7140)]
    assert say_told(one, speech()) == ["Field: 7,140 m²", "Means: 34 litres a minute"]
    assert say_told(one, speech(), units="us") == ["Field: 76,854 square feet", "Means: 9 gallons a minute"]


def test_a_part_without_a_name_is_the_one_in_hand() -> None:
    assert say_told([told("zone.bare_percent", 30)], speech(), here="wings") == ["Part: wings; 30 % bare"]
    assert say_told([told("zone.bare_percent", 30)], speech()) == ["Part: whole field; 30 % bare"]


def test_rows_of_lists_are_said_whole() -> None:
    assert say_told(
        [
            told("use", [{"sport": "rugby-union", "hours_per_week": 6, "months": ["sep", "oct", "nov"]}]),
            told("history.sod_laid", [{"date": "2025-10-01", "zone": "north goal"}]),
            told("offer", [{"what": "sod", "amount": 3, "unit": "roll"}]),
        ],
        speech(),
    ) == [
        "Field: rugby, 6 hours a week, September to November",
        "Means: to be had: 3 roll of sod",
        "Before now: sod laid: in north goal, 1 October 2025",
    ]


def test_a_key_without_words_of_its_own_is_said_all_the_same() -> None:
    assert say_told([told("means.some_key", 3)], speech()) == ["Also: some key: 3"]


def test_every_key_that_can_be_asked_has_words_of_its_own() -> None:
    words = speech().table("echo")["keys"]
    assert [one.key for one in speech().questions if not one.asks and one.key not in words] == []


def test_days_hands_and_hours_of_water_are_said_in_words() -> None:
    assert say_told(
        [
            told("limits.water_days", ["mon", "thu"]),
            told("means.work_days", [{"date": "2026-06-06", "people": 20}]),
            told("means.equipment_broken", ["mower"]),
            told("means.water_litres_day", 1000),
        ],
        speech(),
    ) == [
        "Means: 1,000 litres of water a day; many hands: 20 people, 6 June 2026; broken: mower; water only on: "
        "Monday and Thursday"
    ]
