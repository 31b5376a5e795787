"""Several questions in one breath: each is told what the answer says of it, and nothing is taken for it that was not said."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from decide.knowledge.load import knowledge_folder
from decide.parse.hear import hear
from decide.parse.question import SEVERAL, Question
from decide.parse.results import Setting
from decide.parse.several import is_of_several, read_several
from decide.parse.speech import Speech
from decide.shell.library import tools_of

TODAY = dt.date(2026, 5, 20)
HERE = Setting(TODAY, "north", "gb", "metric")


@pytest.fixture(scope="module")
def speech() -> Speech:
    return tools_of(knowledge_folder(), TODAY).speech


def asked(
    speech: Speech, *keys: str, no: dict[str, Any] | None = None, zones: tuple[str, ...] = ()
) -> Question:
    found = [speech.question(key) for key in keys]
    asks = tuple(
        Question(**{**vars(each), "zone": zone, "no": (no or {}).get(each.key)})
        for each in found
        if each is not None
        for zone in (zones if each.key.startswith("zone.") else (None,))
    )
    return Question("", "several", "?", "?", SEVERAL, asks=asks)


def told(speech: Speech, text: str, question: Question) -> dict[Any, Any]:
    heard = hear(
        text, HERE, speech, answers={"zone": [{"name": "goalmouths"}, {"name": "middle"}]}, question=question
    )
    return {one.key if one.zone is None else (one.key, one.zone): one.value for one in heard.told}


DANGER = ("site.dangers", "site.goals_anchored", "site.in_use_now")
GROUND = ("site.school", "site.public", "site.grazed", "site.near_water_m", "site.services_marked")
NONE = {
    "site.school": False,
    "site.public": False,
    "site.grazed": False,
    "site.near_water_m": 300,
    "site.services_marked": False,
}


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("no, yes, no", {"site.dangers": ["none"], "site.goals_anchored": True, "site.in_use_now": False}),
        ("no", {"site.dangers": ["none"]}),
        ("broken glass, and the goals are loose", {"site.dangers": ["glass"], "site.goals_anchored": False}),
        ("glass; goals are anchored; kids still play on it", {"site.dangers": ["glass"], "site.goals_anchored": True, "site.in_use_now": True}),
        ("goals anchored, nobody plays", {"site.goals_anchored": True, "site.in_use_now": False}),
        ("some of the goals are anchored", {"site.goals_anchored": False}),
    ],
)  # fmt: skip
def test_danger_is_heard_piece_by_piece(speech: Speech, text: str, wanted: dict[str, Any]) -> None:
    found = told(speech, text, asked(speech, *DANGER, no={"site.dangers": ["none"]}))
    assert {
        key: sorted(value) if isinstance(value, list) else value for key, value in found.items()
    } == wanted


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("none of these", NONE),
        ("it's a school, dog walkers use it", {"site.school": True, "site.public": True}),
        ("not a school, no animals, the pipes are not marked", {"site.school": False, "site.grazed": False, "site.services_marked": False}),
        ("there are pipes", {}),
    ],
)  # fmt: skip
def test_the_ground_is_heard_piece_by_piece(speech: Speech, text: str, wanted: dict[str, Any]) -> None:
    assert told(speech, text, asked(speech, *GROUND, no=NONE)) == wanted


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("80 %, 30 %", (80, 30)),
        ("goalmouths 80 %, middle 30 %", (80, 30)),
        ("middle a third, the rest 80 %", (80, 33)),
        ("half everywhere", (50, 50)),
        ("the same everywhere, half", (50, 50)),
        ("goalmouths 80 %", (80, None)),
    ],
)  # fmt: skip
def test_a_question_about_each_part_is_told_of_the_part_that_is_meant(
    speech: Speech, text: str, wanted: tuple[float, float]
) -> None:
    found = told(speech, text, asked(speech, "zone.bare_percent", zones=("goalmouths", "middle")))
    assert tuple(
        None if found.get(("zone.bare_percent", zone)) is None else round(found[("zone.bare_percent", zone)])
        for zone in ("goalmouths", "middle")
    ) == wanted  # fmt: skip


def test_not_knowing_is_said_of_all_of_it(speech: Speech) -> None:
    question = asked(speech, *DANGER)
    assert hear("don't know", HERE, speech, answers={}, question=question).unknown == tuple(
        (key, None) for key in DANGER
    )


def test_what_says_nothing_of_it_gets_one_short_line(speech: Speech) -> None:
    heard = hear("purple", HERE, speech, answers={}, question=asked(speech, *DANGER))
    assert not heard.told
    assert heard.miss


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("goalmouths 80 % bare, solid; the middle a third, thin", [("goalmouths", 80, "solid"), ("middle", 33, "scattered")]),
        ("goalmouths, middle", [("goalmouths", None, None), ("middle", None, None)]),
        ("the whole field, half", [("whole field", 50, None)]),
        ("wings thin, wet corner 60 %", [("wings", None, "scattered"), ("wet corner", 60, None)]),
    ],
)  # fmt: skip
def test_parts_are_named_with_what_is_said_of_each(
    speech: Speech, text: str, wanted: list[tuple[str, float | None, str | None]]
) -> None:
    question = asked(speech, "zone", "zone.bare_percent", "zone.bare_pattern", zones=("",))
    asks = tuple(Question(**{**vars(each), "zone": None}) for each in question.asks)
    heard = hear(text, HERE, speech, answers={}, question=Question("", "where", "?", "?", SEVERAL, asks=asks))
    found = {(one.key, one.zone): one.value for one in heard.told}
    assert found.pop(("zone", None)) == [name for name, _, _ in wanted]
    assert {
        key: round(value) if key[0] == "zone.bare_percent" else value for key, value in found.items()
    } == {
        (key, name): value
        for name, bare, pattern in wanted
        for key, value in (("zone.bare_percent", bare), ("zone.bare_pattern", pattern))
        if value is not None
    }


def test_a_number_is_taken_by_the_question_whose_words_stand_beside_it(speech: Speech) -> None:
    plants = asked(speech, "zone.grass", "zone.weeds_percent", "history.herbicides", zones=("goalmouths",))
    found = told(speech, "ryegrass, a tenth weeds, nothing sprayed", plants)
    assert round(found["zone.weeds_percent", "goalmouths"]) == 10
    assert found["history.herbicides"] == []
    hands = asked(speech, "means.helpers", "means.work_hours_per_week")
    assert told(speech, "four of us, ten hours", hands) == {
        "means.helpers": 4,
        "means.work_hours_per_week": 10,
    }
    assert told(speech, "ten hours", hands) == {"means.work_hours_per_week": 10}
    water = asked(speech, "means.water", "means.wettings_weekday")
    assert told(speech, "a hose, once a day", water) == {
        "means.water": "hand hose",
        "means.wettings_weekday": 1,
    }
    reach = asked(speech, "means.hose_reach_m", "means.flow_l_min")
    assert told(speech, "40 m, 10 litres in 40 seconds", reach) == {
        "means.hose_reach_m": 40,
        "means.flow_l_min": 15,
    }
    wet = asked(speech, "field.water_stands_hours", "zone.sun_hours", zones=("goalmouths",))
    assert told(speech, "gone the same day, sun all day", wet) == {
        "field.water_stands_hours": 6,
        ("zone.sun_hours", "goalmouths"): 10,
    }


def test_a_plain_no_is_no_amount(speech: Speech) -> None:
    bare = asked(speech, "zone.bare_percent", "zone.bare_pattern", zones=("goalmouths",))
    found = told(speech, "no, none of that, goals are anchored, nobody plays", bare)
    assert not [key for key in found if isinstance(key, tuple)]
    danger = asked(speech, *DANGER, no={"site.dangers": ["none"]})
    assert told(speech, "none, all goals are anchored, nobody plays", danger) == {
        "site.dangers": ["none"],
        "site.goals_anchored": True,
        "site.in_use_now": False,
    }


LOOSE = ("site.goals_anchored", "site.in_use_now")
SHUT = ("dates.can_close", "zone.in_play")


@pytest.mark.parametrize(
    ("keys", "text", "wanted"),
    [
        # A plain no to goals and play is said of the goals; who plays is asked again.
        (LOOSE, "no", {"site.goals_anchored": False}),
        (LOOSE, "none of that", {"site.goals_anchored": False}),
        (LOOSE, "goalposts are concreted in, and the young lads are on it this week",
         {"site.goals_anchored": True, "site.in_use_now": True}),
        # What cannot be shut is not shut, and few are not nobody.
        (LOOSE, "cant shut it, its the only pitch", {}),
        (LOOSE, "not many play on it", {}),
        # Yes to another matter is no lock.
        (SHUT, "yes the lads play on it", {}),
        (SHUT, "yes", {}),
        (SHUT, "cant shut it", {"dates.can_close": "no"}),
    ],
)  # fmt: skip
def test_a_hasty_yes_or_no_is_not_stretched(
    speech: Speech, keys: tuple[str, ...], text: str, wanted: dict[Any, Any]
) -> None:
    question = asked(speech, *keys, zones=("goalmouths",))
    assert told(speech, text, question) == wanted


def test_a_miss_gives_the_example_of_the_question(speech: Speech) -> None:
    question = asked(speech, *SHUT, zones=("goalmouths",))
    question = Question(**{**vars(question), "help": "Look. Say: signs only, and play can stop."})
    heard = hear("hm what", HERE, speech, answers={"zone": [{"name": "goalmouths"}]}, question=question)
    assert heard.miss == "I did not get that. For example: signs only, and play can stop."


@pytest.mark.parametrize("zones", [("goalmouths",), ("goalmouths", "middle")])
def test_a_bare_number_picks_no_choice_that_is_not_numbered(speech: Speech, zones: tuple[str, ...]) -> None:
    """Of two questions asked in one breath none shows numbers: "1" is no first choice, and no one percent."""
    question = asked(speech, "zone.bare_percent", "zone.bare_pattern", zones=zones)
    assert told(speech, "1", question) == {}
    assert told(speech, "40 %", question) == {("zone.bare_percent", zone): 40 for zone in zones}


def test_a_bare_small_number_is_asked_back_as_a_share(speech: Speech) -> None:
    question = speech.question("zone.bare_percent")
    assert question is not None
    heard = hear("3", HERE, speech, answers={"zone": [{"name": "goalmouths"}]}, question=question)
    assert not heard.told
    assert [reading.value[0].value for doubt in heard.doubts for reading in doubt.readings] == [3, 30]


GOALS, MIDDLE = ("zone.bare_percent", "goalmouths"), ("zone.bare_percent", "middle")


@pytest.mark.parametrize(
    ("text", "wanted", "other", "bare"),
    [
        ("goalmouths 80, car park end 40, middle 25", {GOALS: 80, MIDDLE: 25}, "car park end", 40),
        ("middle 10 and the far touchline 60", {MIDDLE: 10}, "far touchline", 60),
        ("goalmouths 90, near the gate 30", {GOALS: 90}, "near the gate", 30),
        ("river end a third, middle half", {MIDDLE: 50}, "river end", 33.333),
        # Other words for a part that was told, and words for no part at all.
        ("80 in the goals, the rest 10", {GOALS: 80, MIDDLE: 10}, "", 0),
        ("middle 20, and about half in the goalmouths", {MIDDLE: 20, GOALS: 50}, "", 0),
    ],
)
def test_a_part_that_was_not_told_is_asked_back(
    speech: Speech, text: str, wanted: dict[Any, Any], other: str, bare: float
) -> None:
    zones = ("goalmouths", "middle")
    answers = {"zone": [{"name": name} for name in zones]}
    line = hear(text, HERE, speech, answers=answers, question=asked(speech, "zone.bare_percent", zones=zones))
    assert {(one.key, one.zone): one.value for one in line.told} == wanted
    assert [reading.say for doubt in line.doubts for reading in doubt.readings] == ([other] if other else [])
    for doubt in line.doubts:
        new = {(one.key, one.zone): one.value for one in doubt.readings[0].value}
        assert new == {("zone", None): [*zones, other], ("zone.bare_percent", other): bare}


PARTS = ("goalmouths", "middle", "wings")
BARE = "zone.bare_percent"


@pytest.mark.parametrize(
    ("text", "key", "values"),
    [
        ("50", BARE, [50, 50, 50]),
        ("5 %", BARE, [5, 5, 5]),
        # A small number is of a hundred beside one that is none of ten.
        ("80, 40, 5", BARE, [80, 40, 5]),
        ("80 goalmouths, 5 middle", BARE, [80, 5, None]),
        ("5", "zone.sun_hours", [5, 5, 5]),
        ("all 5 hours", "zone.sun_hours", [5, 5, 5]),
        ("5", "zone.thatch_mm", [5, 5, 5]),
        ("5, 10, 15", "zone.thatch_mm", [5, 10, 15]),
        # Of two amounts for three parts none is known to be whose; small ones may be of ten.
        ("80, 40", BARE, [None, None, None]),
        ("5, 4, 3", BARE, [None, None, None]),
        ("0, 5, 0", BARE, [None, None, None]),
    ],
)
def test_bare_amounts_are_those_of_the_parts_that_were_asked_of(
    speech: Speech, text: str, key: str, values: list[float | None]
) -> None:
    question = asked(speech, key, zones=PARTS)
    found = told(speech, text, question)
    assert [found.get((key, part)) for part in PARTS] == values


@pytest.mark.parametrize("keys", [(BARE,), (BARE, "zone.bare_pattern")])
def test_a_small_number_for_all_parts_is_asked_back_once(speech: Speech, keys: tuple[str, ...]) -> None:
    heard = hear("5", HERE, speech, answers={}, question=asked(speech, *keys, zones=PARTS))
    assert not heard.told
    assert not heard.miss
    (doubt,) = heard.doubts
    assert [[(one.zone, one.value) for one in reading.value] for reading in doubt.readings] == [
        [(part, value) for part in PARTS] for value in (5, 50)
    ]


@pytest.mark.parametrize(
    ("text", "is_it"),
    [
        ("the goals are anchored, nobody plays on it", True),
        ("no school, dogs are walked there and sheep graze it", True),
        ("the goals are anchored", False),
        ("no, yes, no", False),
        ("not sure, no", False),
        ("the goals are anchored, the goals are anchored", False),
    ],
)
def test_a_line_of_several_has_pieces_of_several_words(speech: Speech, text: str, is_it: bool) -> None:
    assert is_of_several(text, speech) is is_it


def test_what_is_of_several_questions_is_never_taken_for_one(speech: Speech) -> None:
    """What people say in the sets: no line that tells two pieces of several words is passed over."""
    for row in Path(__file__).with_name("answers_said.jsonl").open(encoding="utf-8"):
        text = json.loads(row)["text"]
        for keys in (DANGER, GROUND):
            found = read_several(text, replace(HERE, talk=speech.talk), speech, asked(speech, *keys))
            pieces = {one.words for one in found.told if len(one.words.split()) > 1}
            assert len(pieces) < 2 or is_of_several(text, speech), text
