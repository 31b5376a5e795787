"""How people speak of a field: the words of a knowledge, and the setting of the place of a consultation."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from decide.decision.diagnosis import Diagnosis
from decide.knowledge.tables import Knowledge
from decide.parse.question import Question
from decide.parse.results import AnswerChoice, Setting
from decide.parse.speech import Speech, read_talk


def speech_of(k: Knowledge) -> Speech:
    """The questions, names and vocabulary of a knowledge; whoever reads many lines keeps it."""
    return Speech(
        tuple(
            Question(
                row.key, row.id, row.ask, row.why, row.kind,
                tuple(AnswerChoice(choice.value, tuple(choice.say)) for choice in row.choices), unit=row.unit,
            )
            for row in k.questions
        ),
        {code: (row.name, *row.also) for code, row in k.grasses.items()},
        {code: (row.name, *row.also) for code, row in k.methods.items()},
        {code: (row.name, *row.also) for code, row in k.equipment.items()},
        {code: (code.replace("-", " "), *row.also) for code, row in k.words.items()},
        _talk((k.folder, *k.over)),
    )  # fmt: skip


@cache
def _talk(folders: tuple[Path, ...]) -> Mapping[str, Mapping[str, Any]]:
    return read_talk(folders)


def setting_of(c: Diagnosis, speech: Speech) -> Setting:
    """What the reading of a line may lean on, in the place and on the day of a consultation."""
    tables = c.book.library.tables
    return Setting(
        c.filled.today,
        hemisphere=c.filled.hemisphere or None,
        country=c.filled.country or None,
        units=c.system,
        talk=speech.talk,
        find_place=lambda name: [place.table() for place in tables.find_places(name, most=6)],
    )
