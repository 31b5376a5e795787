"""Asks in the words of a country: a question with its choices as they are called where the field is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

from decide.model.here import said_here
from decide.model.toml_file import toml_file
from decide.parse.question import Question
from decide.parse.results import AnswerChoice

FILE: Final = "local_words.toml"


def read_local(folders: Sequence[Path]) -> dict[str, Mapping[str, Any]]:
    """The rows of words by country in some folders of knowledge, the last folder heard last."""
    found: dict[str, Mapping[str, Any]] = {}
    for folder in folders:
        path = folder / FILE
        if path.exists():
            found |= toml_file(path)[1]
    return found


def in_country_words(
    question: Question, country: str | None, local: Mapping[str, Mapping[str, Any]]
) -> Question:
    """The question with what it shows in the words of a country (a code such as "gb"); the words that it
    understands stay beside them, and a part keeps the name that the person gave it.
    """
    words = {
        word: said
        for row in local.values()
        if country in row.get("countries", ())
        for word, said in row.get("say", {}).items()
    }
    if not words:
        return question
    here = said_here(words, [question.zone or ""])
    return replace(
        question,
        ask=here(question.ask),
        why=here(question.why),
        help=here(question.help),
        choices=tuple(_choice(choice, here(choice.shown)) for choice in question.choices),
    )


def _choice(choice: AnswerChoice, shown: str) -> AnswerChoice:
    return choice if shown == choice.shown else AnswerChoice(choice.value, (shown, *choice.say))
