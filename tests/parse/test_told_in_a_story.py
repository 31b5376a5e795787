"""Answers that come with a story: what takes a bold answer back, and counts that the story tells. Expectations were
written by hand before the first run.
"""

from __future__ import annotations

from typing import Any

import pytest

from decide.knowledge.load import knowledge_folder
from decide.parse.dates import read_date
from decide.parse.hear import hear
from decide.parse.heard import Heard
from decide.parse.places import read_place
from decide.parse.results import AskBack, Setting, Understood
from decide.parse.speech import Speech
from decide.shell.library import tools_of
from tests.parse.settings import NORTH, PAST, TALK, TODAY

PARTS: dict[str, Any] = {"zone": [{"name": "goalmouths"}]}


@pytest.fixture(scope="module")
def speech() -> Speech:
    return tools_of(knowledge_folder(), TODAY).speech


def heard(speech: Speech, name: str, text: str, country: str = "gb") -> Heard:
    question = speech.question(name)
    assert question is not None, name
    setting = Setting(TODAY, hemisphere="north", country=country, units="metric")
    return hear(
        text,
        setting,
        speech,
        answers=PARTS,
        question=question.at("goalmouths") if question.key.startswith("zone.") else question,
    )


# A part that is not so decides: the cautious answer is taken.
CAUTIOUS = [
    ("goals-anchored", "Two stand in concrete. The small ones every child can drag about.", False),
    ("goals-anchored", "all bolted down, the training one tips if you lean on it", False),
    ("in-use-now", "Nobody, it is shut. Just the dads and the little ones kicking about, a few kids.", True),
]
# A bold answer that is bounded, of the past or of hearsay is asked back, and nothing is told.
BACK = [
    ("services", "yes, my grandfather laid them so I know where they are more or less"),
    ("services", "yes the town hall has it all in its computer"),
    ("can-close", "There is a gate. The key hangs in the bakery and all the village knows it."),
    ("can-close", "Yes for four weeks, then the holiday camp comes"),
    ("owner", "Council said yes to the work, hasn't said anything about closing"),
    ("ground-now", "hard as iron this morning, by noon it's soup"),
    ("budget", "five, if I can sell it to the wife, otherwise three"),
    ("budget", "zero. well, forty quid and a crate of beer"),
    ("how-bare", "100 percent better than last year"),
    ("how-bare", "the lot, bar a green ring round the outside"),
    ("dangers", "There was glass. The scouts picked it up on Saturday."),
    ("helpers", "on a good Saturday eight, usually three"),
]
# A plain answer stays one, whatever is told beside it.
BOLD = [
    ("goals-anchored", "yes, every one, I leaned on them this morning", True),
    ("can-close", "locked, only the caretaker has a key", "locked"),
    ("services", "Called it in, flags are all over the place", True),
    ("owner", "they do not mind, they said yes", True),
    ("public", "members only", False),
]
COUNTED = [
    ("how-bare", "I walked the ten steps twice. Seven the first time, six the second.", 65),
    ("how-bare", "in twenty steps, eleven bare", 55),
    ("how-bare", "a quarter still has grass", 75),
    ("visits", "me before work, the caretaker at noon, nobody at night", 2),
    ("flooded-days", "it came up on the Thursday night and was off again by Sunday dinner", 3),
    ("tank-litres", "the thousand litre cube, two times on workdays", 2000),
    ("hose-reach", "25 m, two of them", 50),
    ("field-size", "68 wide, 105 long, in metres", 7140),
    ("budget", "1.500 euros", 1500),
    ("helpers", "me and the missus, plus three if it is dry", 2),
]
DAYS = [
    ("Whit Monday next year", "2027-05-17"),
    ("six weeks from this Saturday", "2026-07-04"),
    ("a week on Saturday", "2026-05-30"),
    ("Saturday fortnight", "2026-06-06"),
    ("the weekend after Easter", "2027-04-03"),
    ("the first weekend after 10 August", "2026-08-15"),
    ("last weekend in August", "2026-08-29"),
    ("ten days before 1 September", "2026-08-22"),
    ("end of next month", "2026-06-30"),
]


@pytest.mark.parametrize(("name", "text", "means"), CAUTIOUS + BOLD)
def test_the_whole_line_decides(speech: Speech, name: str, text: str, means: Any) -> None:
    found = heard(speech, name, text)
    key = speech.question(name).key  # type: ignore[union-attr]
    assert [one.value for one in found.told if one.key == key] == [means]


@pytest.mark.parametrize(("name", "text"), BACK)
def test_a_bold_answer_that_is_taken_back_is_asked(speech: Speech, name: str, text: str) -> None:
    found = heard(speech, name, text)
    key = speech.question(name).key  # type: ignore[union-attr]
    assert found.doubts
    assert not [one for one in found.told if one.key == key]


@pytest.mark.parametrize(("name", "text", "means"), COUNTED)
def test_what_a_story_counts(speech: Speech, name: str, text: str, means: float) -> None:
    found = heard(speech, name, text)
    assert means in [one.value for one in found.told], found


@pytest.mark.parametrize(("said", "day"), DAYS)
def test_days_told_by_others(said: str, day: str) -> None:
    found = read_date(said, NORTH)
    assert isinstance(found, Understood)
    assert found.value == day


def test_easter_of_the_east_and_of_the_past() -> None:
    greek = read_date("Easter Monday", Setting(TODAY, "north", "gr", "metric", talk=TALK))
    assert isinstance(greek, Understood)
    assert greek.value == "2027-05-03"
    past = read_date("the week after Easter", PAST)
    assert isinstance(past, Understood)
    assert past.value == "2026-04-06"


def test_a_town_between_two() -> None:
    def find(name: str) -> list[dict[str, Any]]:
        land = {"leeds": ["gb"], "york": ["us", "gb"]}.get(name.casefold(), [])
        return [{"name": name, "country": each, "say": f"{name}, {each}"} for each in land]

    nowhere = Setting(TODAY, find_place=find, talk=TALK)
    near = read_place("half way between Leeds and York, a bit nearer York", nowhere)
    assert isinstance(near, Understood)
    assert near.value == {"name": "York", "country": "gb"}
    assert isinstance(read_place("between Leeds and York", nowhere), AskBack)
