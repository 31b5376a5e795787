"""Choices, lists and yes or no in the words of people. All expectations were written by hand before the first run."""

from __future__ import annotations

import pytest

from decide.knowledge.tables import Knowledge
from decide.parse.answers import read
from decide.parse.results import (
    AnswerChoice,
    NotUnderstood,
    Setting,
)
from tests.parse.settings import (
    DANGERS,
    NORTH,
    NOWHERE,
    SOUTH,
    SPORTS,
    US,
    WATER,
    values,
)

CHOICES = [
    ("2", WATER, NOWHERE, "hand hose"),
    ("2.", WATER, NOWHERE, "hand hose"),
    ("the second one", WATER, NOWHERE, "hand hose"),
    ("we've got a hose", WATER, NOWHERE, "hand hose"),
    ("hosepipe", WATER, NOWHERE, "hand hose"),
    ("no hose", WATER, NOWHERE, "none"),
    ("popup sprinkers", WATER, NOWHERE, "in-ground sprinklers"),
    ("sprinklers", WATER, NOWHERE, ["travelling sprinkler", "in-ground sprinklers"]),
    ("no water but in-ground sprinklers", WATER, NOWHERE, ["none", "in-ground sprinklers"]),
    ("we don't have a hose", WATER, NOWHERE, NotUnderstood),
    ("7", WATER, NOWHERE, NotUnderstood),
    ("a helicopter", WATER, NOWHERE, NotUnderstood),
    ("soccer", SPORTS, NOWHERE, "football"),
    ("football", SPORTS, NOWHERE, ["football", "american-football"]),
    ("football", SPORTS, US, "american-football"),
    ("football", SPORTS, NORTH, "football"),
    ("football", SPORTS, SOUTH, ["australian-football", "football"]),
    ("rugby", SPORTS, NOWHERE, "rugby-union"),
]


@pytest.mark.parametrize(("said", "choices", "setting", "means"), CHOICES)
def test_choices(said: str, choices: tuple[AnswerChoice, ...], setting: Setting, means: object) -> None:
    assert values(read("choice", said, setting, choices=choices)) == means


LISTS = [
    ("glass and loose goals", ["glass", "loose goals"]),
    ("1, 3", ["loose goals", "holes"]),
    ("broken glas", ["glass"]),
    ("none", ["none"]),
    ("nothing", ["none"]),
    ("holes, holes and ruts", ["holes"]),
    ("glass but no needles", ["glass"]),
    ("dragons", NotUnderstood),
]


@pytest.mark.parametrize(("said", "means"), LISTS)
def test_lists(said: str, means: object) -> None:
    assert values(read("list", said, NOWHERE, choices=DANGERS)) == means


YES_NO = [
    ("yes", True), ("y", True), ("Yep, it is", True), ("of course", True), ("no", False), ("nope", False), ("not yet", False),
    ("we don't", False), ("yes and no", [True, False]), ("some", [True, False]), ("banana", NotUnderstood),
]  # fmt: skip


@pytest.mark.parametrize(("said", "means"), YES_NO)
def test_yes_and_no(said: str, means: object) -> None:
    assert values(read("yesno", said, NOWHERE)) == means


SIGNS = [
    ("zone.pests", "crows tear it up", ["birds"]),
    ("zone.pests", "little mounds of mud", ["worms"]),
    ("zone.pests", "worm casts and moles", ["worms", "moles"]),
    ("zone.pests", "badgers", ["digging animals"]),
    ("zone.pests", "skunks and grubs", ["digging animals", "grubs"]),
    ("zone.weeds", "moss everywhere", ["moss"]),
    ("zone.weeds", "annual meadow-grass and daisies", ["annual bluegrass", "broadleaf"]),
    ("zone.weeds", "crowsfoot", ["goosegrass"]),
    ("zone.disease_signs", "pink threads", ["red threads"]),
    ("zone.disease_signs", "rust", ["orange dust"]),
    ("zone.disease_signs", "toadstools", ["green rings"]),
    ("zone.disease_signs", "snow mold", ["matted patches"]),
    ("zone.disease_signs", "none of these", ["none"]),
]


@pytest.mark.parametrize(
    ("said", "means"),
    [("the water beads up", "stays"), ("hydrophobic", "stays"), ("it soaks in at once", "sinks")],
)
def test_the_drop_of_water_in_the_words_of_people(knowledge: Knowledge, said: str, means: str) -> None:
    question = next(row for row in knowledge.questions if row.key == "zone.water_drop")
    choices = tuple(AnswerChoice(choice.value, choice.say) for choice in question.choices)
    assert values(read("choice", said, NOWHERE, choices=choices)) == means


@pytest.mark.parametrize(("key", "said", "means"), SIGNS)
def test_signs_in_the_words_of_people(knowledge: Knowledge, key: str, said: str, means: list[str]) -> None:
    """The words by which people call what lives in the turf are found by the choices of its question."""
    question = next(row for row in knowledge.questions if row.key == key)
    choices = tuple(AnswerChoice(choice.value, choice.say) for choice in question.choices)
    assert sorted(values(read("list", said, NOWHERE, choices=choices))) == sorted(means)


@pytest.mark.parametrize(
    "said", ["the grass lifts like a carpet", "it lifts like carpet", "lifts like a carpet"]
)
def test_turf_that_lifts_is_found_among_the_shapes(knowledge: Knowledge, said: str) -> None:
    question = next(row for row in knowledge.questions if row.key == "zone.bare_shape")
    choices = tuple(AnswerChoice(choice.value, choice.say) for choice in question.choices)
    assert values(read("choice", said, NOWHERE, choices=choices)) == "lifts like carpet"
