"""Where and when people speak in these tests, what they choose from, and what a reading gives."""

from __future__ import annotations

import datetime as dt

from decide.model.files import data_folder
from decide.parse.results import (
    AnswerChoice,
    AskBack,
    Setting,
    Understood,
)
from decide.parse.speech import read_talk

TODAY = dt.date(2026, 5, 20)  # a Wednesday


TALK = read_talk([data_folder()])


NOWHERE = Setting(TODAY, talk=TALK)


NORTH = Setting(TODAY, hemisphere="north", country="gb", units="metric", talk=TALK)


SOUTH = Setting(TODAY, hemisphere="south", country="au", units="metric", talk=TALK)


METRIC = Setting(TODAY, units="metric", talk=TALK)


US = Setting(TODAY, hemisphere="north", country="us", units="us", talk=TALK)


PAST = Setting(TODAY, hemisphere="north", past=True, talk=TALK)


WATER = (
    AnswerChoice("none", ("nothing", "no water", "no hose", "rain only")),
    AnswerChoice("hand hose", ("a hose by hand", "a hose", "hand hose", "hosepipe")),
    AnswerChoice("travelling sprinkler", ("a travelling sprinkler", "a rain gun", "sprinkler on wheels")),
    AnswerChoice(
        "in-ground sprinklers", ("in-ground sprinklers", "pop-up sprinklers", "sprinklers in the ground")
    ),
)


SPORTS = (
    AnswerChoice("football", ("football (soccer)", "soccer", "football", "association football")),
    AnswerChoice("american-football", ("American football", "football", "gridiron")),
    AnswerChoice("rugby-union", ("rugby", "rugby union")),
    AnswerChoice("australian-football", ("Australian football", "football", "footy")),
    AnswerChoice("gaelic-games", ("Gaelic games", "hurling", "Gaelic football", "football")),
)


DANGERS = (
    AnswerChoice("loose goals", ("loose goals", "goals not anchored")),
    AnswerChoice("glass", ("glass", "broken glass")),
    AnswerChoice("holes", ("holes", "ruts")),
    AnswerChoice("needles", ("needles", "syringes")),
    AnswerChoice("flood water", ("flood water", "flood")),
    AnswerChoice("none", ("none of these",)),
)


SPRAYS = (
    AnswerChoice(
        "auxin-phenoxy",
        ("weed killer for lawns", "dandelion killer", "broadleaf weed killer", "weed and feed"),
    ),
    AnswerChoice("nonselective-systemic", ("something that kills all plants", "total weed killer")),
    AnswerChoice("unknown", ("something that stops seeds coming up", "crabgrass preventer")),
)


def values(result: object) -> object:
    """The value of an answer, the list of readings of an ask-back, or the class of anything else."""
    if isinstance(result, Understood):
        return result.value
    if isinstance(result, AskBack):
        return [reading.value for reading in result.readings]
    return type(result)
