"""What a line names in passing is told for what it is, or named back: nothing is dropped without a word, and nothing taken for another thing.

All expectations were written by hand before the first run.
"""

from __future__ import annotations

from typing import Any

import pytest

from decide.knowledge.load import knowledge_folder
from decide.parse.hear import hear
from decide.parse.heard import Heard
from decide.parse.results import Setting
from decide.parse.speech import Speech
from decide.shell.library import tools_of
from tests.parse.settings import TODAY

UNTIL, BY, BUDGET = "means.budget_until", "dates.play_by", "means.budget"


@pytest.fixture(scope="module")
def speech() -> Speech:
    return tools_of(knowledge_folder(), TODAY).speech


def heard(speech: Speech, text: str, question: str | None = None, country: str = "gb") -> Heard:
    asked = speech.question(question) if question else None
    answers: dict[str, Any] = {"zone": [{"name": "goalmouths"}]} if question else {}
    return hear(
        text, Setting(TODAY, country=country, units="metric"), speech, answers=answers, question=asked
    )


def told(found: Heard, *keys: str) -> dict[str, Any]:
    return {one.key: one.value for one in found.told if one.key in keys}


MONEY: list[tuple[str, dict[str, Any]]] = [
    ("We have £1,200 left until the end of June.", {UNTIL: "2026-06-30", BUDGET: 1200}),
    ("The grant must be spent by 31 March.", {UNTIL: "2027-03-31"}),
    ("Our budget runs out in May.", {UNTIL: "2026-05-31"}),
    ("The council's money has to be gone by the end of February.", {UNTIL: "2027-02-28"}),
    ("We must use the £900 grant before 1 April or give it back.", {UNTIL: "2027-03-31", BUDGET: 900}),
    ("There's £3,500 in the kitty till 15 August.", {UNTIL: "2026-08-15", BUDGET: 3500}),
    ("The funds have to be committed by 30 June.", {UNTIL: "2026-06-30"}),
    ("We've got 2,000 pounds to spend by Christmas.", {UNTIL: "2026-12-25", BUDGET: 2000}),
    ("The money is only good until 1 October.", {UNTIL: "2026-10-01"}),
    ("The kitty closes on 30 June.", {UNTIL: "2026-06-30"}),
    # Days of other things: of play, or of when money comes.
    ("We want to play by 1 September and have £2,000.", {BY: "2026-09-01", BUDGET: 2000}),
    ("We have £800 to get it ready by 15 September.", {BY: "2026-09-15", BUDGET: 800}),
    ("We have £500 and until 12 September to get it playable.", {BY: "2026-09-12", BUDGET: 500}),
    ("We have 400 pounds till the season starts on 6 September.", {BY: "2026-09-06", BUDGET: 400}),
    ("The grant money arrives on 1 July.", {}),
    ("All money must be in by 1 July and the season starts 5 September.", {BY: "2026-09-05"}),
    ("Money is tight until Christmas.", {}),
    ("Seed is cheaper until 30 June and we have £300.", {BUDGET: 300}),
    ("We have £300 and the pitch is closed until 1 August.", {BUDGET: 300}),
]


@pytest.mark.parametrize(("text", "means"), MONEY)
def test_until_when_money_is_there_is_no_day_of_play(
    speech: Speech, text: str, means: dict[str, Any]
) -> None:
    line = heard(speech, f"We look after a football pitch in Leeds, England. {text}")
    assert told(line, UNTIL, BY, BUDGET) == means
    assert not [one for one in line.doubts if one.key == BY]


@pytest.mark.parametrize(
    ("question", "text", "means"),
    [
        ("play-by", "the grant must be spent by 31 March", {UNTIL: "2027-03-31"}),
        ("play-by", "we only have money till the end of June", {UNTIL: "2026-06-30"}),
        (
            "play-by",
            "first match 5 September, money has to be spent by 30 June",
            {BY: "2026-09-05", UNTIL: "2026-06-30"},
        ),
        ("budget", "£1,200 until the end of June", {BUDGET: 1200, UNTIL: "2026-06-30"}),
        ("budget", "1500, to be used up by 31 March", {BUDGET: 1500, UNTIL: "2027-03-31"}),
    ],
)
def test_an_answer_keeps_both_apart(speech: Speech, question: str, text: str, means: dict[str, Any]) -> None:
    line = heard(speech, text, question)
    assert told(line, UNTIL, BY, BUDGET) == means
    assert not line.doubts


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("It floods by the river and the goalmouths are bare.", ["goalmouths"]),
        ("The goalmouths are bare and it puddles near the road.", ["goalmouths"]),
        ("After storms it ponds next to the car park and the middle is worn out.", ["middle"]),
        # A part that goes by what it stands near is one.
        ("The end by the railway gets soggy.", ["end by the railway"]),
        ("The corner near the brook floods.", ["corner near the brook"]),
        ("It's bare by the dugouts.", ["by the dugouts"]),
    ],
)
def test_where_water_lies_is_no_part_by_itself(speech: Speech, text: str, parts: list[str]) -> None:
    line = heard(speech, f"We run a football pitch in Leeds, England. {text}")
    assert told(line, "zone") == {"zone": parts}


@pytest.mark.parametrize("text", ["It floods by the river.", "Water sits by the fence after rain."])
def test_where_water_lies_is_named_back(speech: Speech, text: str) -> None:
    line = heard(speech, f"We run a football pitch in Leeds, England. {text}")
    assert told(line, "zone") == {}
    assert line.unread == (text.rstrip("."),)


@pytest.mark.parametrize(
    ("question", "text", "left_out"),
    [
        (None, "we have a mower, a harrow and a thingummy.", ["a harrow and a thingummy"]),
        (None, "We've got a roller, a whatsit and a spreader.", ["a whatsit"]),
        (None, "The club owns a tractor, a doodad and two spreaders.", ["a doodad"]),
        (None, "I can hire a scarifier and a gizmo.", ["a gizmo"]),
        (None, "We have a mower, a bowser and a couple of sprinklers.", []),
        (None, "We have a mower, a spreader and two volunteers.", []),
        (None, "We have a mower and a tap.", []),
        (None, "We have a mower, a harrow and 500 pounds.", ["a harrow"]),
        (None, "We have a hose and a mower, a gizmo and £1,200 left until the end of June.", ["a gizmo"]),
        (None, "We own a roller, a mower and £500.", []),
        ("machines", "mower, harrow and a thingummy", ["harrow", "a thingummy"]),
        ("machines", "a ride-on, a bowser and a gubbins", ["a gubbins"]),
        ("machines", "a mower, 3 volunteers and a doodad", ["a doodad"]),
        ("machines", "a mower, sprinklers and a hose", []),
        ("machines", "a roller and a water tank", []),
        ("machines-hire", "a scarifier and a gizmo", ["a gizmo"]),
    ],
)
def test_a_machine_that_is_not_known_is_named_back(
    speech: Speech, question: str | None, text: str, left_out: list[str]
) -> None:
    line = heard(speech, text if question else f"A football pitch in Leeds, England. {text}", question)
    assert [one.key for one in line.told if one.key.startswith("means.equipment")]
    assert list(line.unread) == left_out


@pytest.mark.parametrize(
    ("country", "text", "parts"),
    [
        ("us", "sidelines", ["sidelines"]),
        ("us", "the side lines and the goals", ["sidelines", "goalmouths"]),
        ("us", "3", ["sidelines"]),
        ("us", "touchlines", ["touchlines"]),
        ("gb", "sidelines", ["touchlines"]),
        ("us", "middle", ["middle"]),
    ],
)
def test_a_part_goes_by_the_word_of_the_country(
    speech: Speech, country: str, text: str, parts: list[str]
) -> None:
    assert told(heard(speech, text, "where", country), "zone") == {"zone": parts}


@pytest.mark.parametrize(
    ("text", "parts", "unread"),
    [
        ("middle and 22 August", ["middle"], ["22 august"]),
        ("the 22 is bare", ["22"], []),
        ("both 22s", ["22s"], []),
    ],
)
def test_a_date_is_no_part(speech: Speech, text: str, parts: list[str], unread: list[str]) -> None:
    line = heard(speech, text, "where")
    assert told(line, "zone") == {"zone": parts}
    assert list(line.unread) == unread


@pytest.mark.parametrize(
    ("text", "grass"),
    [
        ("couch-free rye", [{"grass": "perennial-ryegrass"}]),
        ("free from couch, mostly rye", [{"grass": "perennial-ryegrass"}]),
        ("couch-free", None),
        ("it is free of couch", None),
        ("couch", [{"grass": "common-bermudagrass"}]),
    ],
)
def test_what_a_field_is_free_of_does_not_stand_there(speech: Speech, text: str, grass: Any) -> None:
    wanted = {} if grass is None else {"zone.grass": grass}
    asked = speech.question("grass")
    assert asked is not None
    line = hear(
        text,
        Setting(TODAY, country="au", units="metric"),
        speech,
        answers={"zone": [{"name": "goalmouths"}]},
        question=asked.at("goalmouths"),
    )
    assert told(line, "zone.grass") == wanted
    opening = heard(speech, f"Footy oval in Ballarat, Australia. The grass is {text}.", country="au")
    assert told(opening, "zone.grass") == wanted
    assert told(opening, "zone.weeds") == {}
