"""An answer to the question in hand, heard as people give it. All expectations were written by hand before the first run."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from decide.knowledge.load import knowledge_folder
from decide.parse.hear import hear
from decide.parse.heard import Heard
from decide.parse.results import Setting
from decide.parse.speech import Speech
from decide.shell.library import tools_of
from tests.parse.settings import TODAY

ANSWERS: dict[str, Any] = {
    "zone": [{"name": "goalmouths"}, {"name": "middle", "bare_percent": 40}, {"name": "wings"}]
}


@pytest.fixture(scope="module")
def speech() -> Speech:
    return tools_of(knowledge_folder(), TODAY).speech


def heard(speech: Speech, name: str, text: str, country: str | None = None) -> Heard:
    question = speech.question(name)
    assert question is not None, name
    if question.key.startswith("zone."):
        question = question.at("goalmouths")
    setting = Setting(TODAY, hemisphere=None, country=country, units="metric")
    return hear(text, setting, speech, answers=ANSWERS, question=question)


def told(found: Heard) -> dict[tuple[str, str | None], Any]:
    return {(one.key, one.zone): one.value for one in found.told}


HERE = Setting(TODAY, "north", "gb", "metric")
GOALS = "site.goals_anchored"
TOLD = [
    # Half sure is no where somebody can be hurt; a double denial is yes.
    ("goals-anchored", "some", {(GOALS, None): False}),
    ("goals-anchored", "most of them", {(GOALS, None): False}),
    ("goals-anchored", "probably", {(GOALS, None): False}),
    ("goals-anchored", "I think so", {(GOALS, None): False}),
    ("goals-anchored", "no loose ones", {(GOALS, None): True}),
    ("services", "think so", {("site.services_marked", None): False}),
    # A later word takes the earlier one back.
    ("play-by", "1 sept, sorry, I mean 1 oct", {("dates.play_by", None): "2026-10-01"}),
    ("thatch", "a couple of inches, no, mm", {("zone.thatch_mm", "goalmouths"): 2}),
    ("where", "the wings, no wait, I mean the goals", {("zone", None): ["goalmouths"]}),
    # Each part by its name, all of them, or like another one.
    ("how-bare", "80 here. Middle 40.", {("zone.bare_percent", "goalmouths"): 80, ("zone.bare_percent", "middle"): 40}),
    ("how-bare", "60, same everywhere", {("zone.bare_percent", part): 60 for part in ("goalmouths", "middle", "wings")}),
    ("how-bare", "half as bad as the middle", {("zone.bare_percent", "goalmouths"): 20}),
    ("how-bare", "50/50", {("zone.bare_percent", "goalmouths"): 50}),
    # A week that is counted in its month begins play with its first day, and ends a spray with its last.
    ("play-by", "the first week of September", {("dates.play_by", None): "2026-09-01"}),
    ("sprayed", "we sprayed weed and feed the second week of March", {
        ("history.herbicides", None): [{"class": "auxin-phenoxy", "date": "2026-03-14"}]
    }),
    # The layout of the situation file: no sum, no share, no table of a place.
    ("budget", "£500", {("means.budget", None): 500, ("means.currency", None): "GBP"}),
    ("zone-size", "a tenth of the field", {("zone.share_percent", "goalmouths"): 10}),
    # A size of each is counted for both.
    ("zone-size", "15 by 10 metres each", {("zone.area_m2", "goalmouths"): 300}),
    ("zone-size", "150 m2 apiece", {("zone.area_m2", "goalmouths"): 300}),
    ("zone-size", "20 x 6 m", {("zone.area_m2", "goalmouths"): 120}),
    ("grass", "ryegrass", {("zone.grass", "goalmouths"): [{"grass": "perennial-ryegrass"}]}),
    ("offers", "only seed", {("offer", None): [{"what": "seed"}]}),
    # A denied thing is none of those that are there; what stands behind "or" is denied with it.
    ("dangers", "no needles or glass, just a few holes", {("site.dangers", None): ["holes"]}),
    ("machines", "rotary mower and a roller that is rusted solid", {("means.equipment_own", None): ["mower"]}),
    ("drainage", "good and wet", {("field.drainage", None): "poor"}),
    ("sun", "half eight til about 3", {("zone.sun_hours", "goalmouths"): 6.5}),
    ("helpers", "me, my son and two neighbours", {("means.helpers", None): 4}),
    ("helpers", "everyone bar four of the twenty", {("means.helpers", None): 16}),
    # What else is told in the same breath.
    ("near-water", "15 m, sheep drink from it", {("site.near_water_m", None): 15, ("site.grazed", None): True}),
    ("who-plays", "kids baseball apr-jul, 20ish hours, then travel soccer in the fall about 8", {
        ("use", None): [
            {"sport": "baseball", "hours_per_week": 20, "months": ["apr", "may", "jun", "jul"], "players": "youth"},
            {"sport": "football", "hours_per_week": 8, "months": ["sep", "oct", "nov"], "players": "youth"},
        ]
    }),
]  # fmt: skip


@pytest.mark.parametrize(("name", "said", "means"), TOLD)
def test_what_an_answer_tells(speech: Speech, name: str, said: str, means: dict[Any, Any]) -> None:
    assert told(heard(speech, name, said)) == means


FROM, UNTIL, SUM, CODE = (
    ("means.budget_from", None), ("means.budget_until", None), ("means.budget", None), ("means.currency", None),
)  # fmt: skip
POUNDS = {SUM: 500, CODE: "GBP"}
MONEY = [
    # None until a day is not none at all: how much there is then is still asked.
    ("No money until 1 July", {FROM: "2026-07-01"}),
    ("not before July", {FROM: "2026-07-01"}),
    ("none until the new financial year in April", {FROM: "2027-04-30"}),
    ("nothing until July, then £500", {FROM: "2026-07-01", **POUNDS}),
    ("£500 from 1 July", {FROM: "2026-07-01", **POUNDS}),
    ("£500, but only from 1 July", {FROM: "2026-07-01", **POUNDS}),
    # Some day of that month: it is sure to be there at its end.
    ("£500 in August", {FROM: "2026-08-31", **POUNDS}),
    ("£500 until the end of June", {UNTIL: "2026-06-30", **POUNDS}),
    # A condition on how it is spent is a day; any other is asked after.
    ("£500 only if it's spent by Easter", {UNTIL: "2027-03-28", **POUNDS}),
    ("only if it's spent by Easter", {UNTIL: "2027-03-28"}),
    ("500 quid provided the council agrees", {}),
    ("£500 if the grant comes through", {}),
    ("£500 now and £500 in September", {}),
    ("£500 from the council", POUNDS),
    ("nothing", {SUM: 0}),
]


@pytest.mark.parametrize(("said", "means"), MONEY)
def test_money_with_a_day_or_a_condition(speech: Speech, said: str, means: dict[Any, Any]) -> None:
    found = heard(speech, "budget", said, "gb")
    assert told(found) == means
    assert means or found.doubts


@pytest.mark.parametrize("said", ["£500 by 1 August", "about 500 quid by 1 August", "by 1 August"])
def test_money_by_a_day_is_asked_back(speech: Speech, said: str) -> None:
    """It must be spent by then, or it comes by then: the one is no money for the work of the other."""
    found = heard(speech, "budget", said, "gb")
    assert told(found).get(SUM) == (500 if "500" in said else None)
    (doubt,) = found.doubts
    values = [[(one.key, one.value) for one in reading.value] for reading in doubt.readings]
    assert values == [[("means.budget_until", "2026-08-01")], [("means.budget_from", "2026-08-01")]]


BACK = [
    ("near-water", "none"), ("dangers", "no glass"), ("budget", "60 pounds of seed"), ("machines", "everything but a mower"),
    ("owner", "no one's said no"), ("owner", "sure, the council loves us"), ("in-use-now", "technically closed"),
    ("how-bare", "not a blade missing, said no one ever"), ("grass", "rye I hope not"), ("play-by", "not in july"),
    ("play-by", "before the end of august would be too early"), ("can-close", "only if we hire fencing"),
    ("thatch", "half an inch would be an improvement"), ("wishes", "anything but cheap"), ("water", "if the lottery comes in, sprinklers"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "said"), BACK)
def test_what_may_mean_two_things_or_nothing_is_asked_back(speech: Speech, name: str, said: str) -> None:
    found = heard(speech, name, said)
    question = speech.question(name)
    assert question is not None
    assert question.key not in {one.key for one in found.told}
    assert found.doubts or found.miss


def test_none_of_a_distance_is_far_and_never_nought(speech: Speech) -> None:
    (doubt,) = heard(speech, "near-water", "none").doubts
    (far,) = doubt.readings[0].value
    assert (far.key, far.value) == ("site.near_water_m", 1000)
    assert doubt.readings[1].value == ()


def test_a_country_has_words_of_its_own(speech: Speech) -> None:
    assert told(heard(speech, "grass", "buffalo", "au")) == {
        ("zone.grass", "goalmouths"): [{"grass": "st-augustinegrass"}]
    }
    assert told(heard(speech, "grass", "buffalo", "us")) == {
        ("zone.grass", "goalmouths"): [{"grass": "buffalograss"}]
    }
    assert not heard(speech, "grass", "couch grass", "gb").told


def test_two_answers_in_one_line_are_both_left(speech: Speech) -> None:
    found = heard(speech, "can-close", "fenced on one side, signs on the other")
    assert not found.told
    assert len(found.doubts[0].readings) >= 2


def test_a_miss_is_one_short_line_with_an_example(speech: Speech) -> None:
    for question in speech.questions:
        if question.kind in ("text", "several", "zones", "place"):
            # A part, and a town where none can be looked up, may have any name.
            continue
        miss = heard(speech, question.id, "qwxzy vvv").miss
        assert miss, question.id
        assert "\n" not in miss
        assert len(miss) <= 120, (question.id, miss)
        assert "For example" in miss
        assert miss.count(";") <= 1, (question.id, miss)


def test_a_changed_answer_is_marked(speech: Speech) -> None:
    question = speech.question("how-bare")
    assert question is not None
    setting = Setting(TODAY, units="metric")
    found = hear("60", setting, speech, answers=ANSWERS, question=question.at("middle"))
    assert [one.corrects for one in found.told] == [True]
    assert [one.corrects for one in heard(speech, "how-bare", "60").told] == [False]


def test_what_nothing_was_made_of_is_kept(speech: Speech) -> None:
    assert heard(speech, "machines", "mower and a wheelbarrow").unread == ("a wheelbarrow",)


# ---------- the tables ----------
def lines(speech: Speech) -> Iterator[tuple[str, str, dict[str, Any]]]:
    for name, table in speech.table("answers_about").items():
        for kind in ("read", "names", "kinds", "classes"):
            for row in table.get(kind, ()):
                yield name, kind, row


def test_each_row_fits_its_question(speech: Speech) -> None:
    for name, kind, row in lines(speech):
        question = speech.question(name)
        assert question is not None, name
        re.compile(row["when"])
        re.compile(row.get("unless", ""))
        assert sum(key in row for key in ("is", "back", "unknown", "from")) >= 1, (name, row)
        values = [row["is"]] if "is" in row else list(row.get("or", ()))
        for value in values:
            if kind == "kinds":
                continue
            offered = [choice.value for choice in (*question.choices, *question.more)]
            each = value if isinstance(value, list) else [value]
            if question.kind == "yesno":
                assert isinstance(value, bool), (name, row)
            elif question.kind in ("choice", "list", "sprays"):
                assert all(one in offered for one in each), (name, row)


def test_the_reading_leans_on_nothing_but_its_input(speech: Speech) -> None:
    other = replace(speech)
    for name, said, _ in TOLD:
        assert heard(speech, name, said) == heard(other, name, said)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("we have a garden hose", {("means.water", None): "hand hose"}),
        ("the soil is clay", {("field.soil", None): "clay"}),
        ("no wait the goals are not all anchored", {("site.goals_anchored", None): False}),
        ("nothing was sprayed", {("history.herbicides", None): []}),
        # Words that happen to be a town move no field whose town is told.
        ("in holiday we can close", {}),
    ],
)
def test_a_statement_counts_whatever_is_asked(
    speech: Speech, text: str, wanted: dict[tuple[str, str | None], Any]
) -> None:
    place = {"name": "Wageningen", "country": "nl", "latitude": 51.97, "longitude": 5.67}
    setting = Setting(TODAY, country="nl", units="metric", find_place=_holiday)
    answers = {**ANSWERS, "place": place}
    for question in (None, speech.question("can-close")):
        found = hear(text, setting, speech, answers=answers, question=question)
        assert not [one for one in found.told if one.key.startswith("place.")]
        if question is None:
            assert told(found) == wanted


def _holiday(name: str) -> list[dict[str, Any]]:
    row = {"name": "Holiday", "country": "us", "region": "Florida", "latitude": 28.19, "longitude": -82.74}
    return [{**row, "say": "Holiday, Florida, United States", "near": False}] if name == "holiday" else []


@pytest.mark.parametrize(
    ("asked", "said", "key", "value"),
    [
        ("how-bare", "15 September", "dates.play_by", "2026-09-15"),
        ("budget", "it's clay", "field.soil", "clay"),
        ("how-bare", "goals are anchored", "site.goals_anchored", True),
        ("can-close", "$2000", "means.budget", 2000),
    ],
)
def test_a_line_that_plainly_answers_another_question_is_taken_for_that_one(
    speech: Speech, asked: str, said: str, key: str, value: object
) -> None:
    question = speech.question(asked)
    assert question is not None
    line = hear(said, HERE, speech, answers={"zone": [{"name": "goalmouths"}]}, question=question)
    assert [one.value for one in line.told if one.key == key] == [value]


def test_an_earlier_answer_is_not_overwritten_by_a_line_that_only_seems_to_be_of_it(speech: Speech) -> None:
    held = {"zone": [{"name": "goalmouths"}], "dates": {"play_by": "2026-08-01"}}
    line = hear("15 September", HERE, speech, answers=held, question=speech.question("how-bare"))
    assert (line.told, bool(line.miss)) == ((), True)


@pytest.mark.parametrize("said", ["no", "some", "yes", "hello", "in our village"])
def test_a_common_word_is_no_town(speech: Speech, said: str) -> None:
    question = speech.question("town")
    assert question is not None
    line = hear(said, HERE, speech, answers={}, question=question)
    assert (line.told, line.doubts) == ((), ())
    assert line.miss == "I did not get that. For example: York, UK."


@pytest.mark.parametrize(
    "said",
    [
        "some",
        "I think so",
        "should be",
        "they told me so",
        "last time I looked",
        "they will be",
        "as far as I know",
    ],
)
@pytest.mark.parametrize(
    ("asked", "value"), [("goals-anchored", False), ("services", False), ("in-use-now", True)]
)
def test_half_sure_of_safety_is_its_cautious_answer(
    speech: Speech, said: str, asked: str, value: bool
) -> None:
    question = speech.question(asked)
    assert question is not None
    [one] = hear(said, HERE, speech, answers={}, question=question).told
    assert (one.value, one.note.startswith("Half sure counts as")) == (value, True)


@pytest.mark.parametrize("text", ["the Daytown side is worst of all", "we went to Notown for it"])
def test_a_line_that_is_no_answer_is_read_once(speech: Speech, text: str) -> None:
    """It is taken for an answer, for a message beside one, and for a message of its own."""
    tried: list[str] = []

    def find(name: str) -> list[dict[str, Any]]:
        tried.append(name)
        return []

    setting = replace(HERE, find_place=find)
    question = speech.question("goals-anchored")
    hear(text, setting, speech, answers=ANSWERS, question=question)
    assert tried
    assert sorted(tried) == sorted(set(tried))


def test_a_long_line_of_words_that_ends_in_a_mark_is_read_in_no_time(speech: Speech) -> None:
    began = time.process_time()
    heard(speech, "grass", "not sure of the day but the weekend after the ploughing I think, end of sept")
    heard(speech, "grass", f"not {'sure of the day ' * 20}, but late")
    assert time.process_time() - began < 5


def test_a_size_that_is_no_number_tells_nothing(speech: Speech) -> None:
    line = hear(f"our pitch is {'9' * 400} x 50", Setting(TODAY), speech, answers={})
    assert not any(one.key.startswith("field.length") for one in (*line.told, *line.doubts))
