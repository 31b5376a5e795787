"""Answers and questions in words, as they are shown back."""

from __future__ import annotations

import datetime as dt
from typing import Any, Final

from decide.parse.months import say_day
from decide.parse.question import Question
from decide.parse.results import DONT_KNOW
from decide.parse.wording import say_value
from decide.shell.table import WHOLE_FIELD, get, zones
from decide.shell.tools import Answers

_SHOWN: Final = ("sport", "hours_per_week", "months", "players", "class", "date")


_HIDDEN: Final = ("latitude", "longitude", "hemisphere")


def answered(answers: Answers, questions: tuple[Question, ...]) -> list[Question]:
    """The questions that have an answer ("don't know" counts), zone questions once for each zone."""
    out: list[Question] = []
    for question in questions:
        if question.key.startswith("zone."):
            out += [
                question.at(zone["name"])
                for zone in zones(answers)
                if get(answers, question.at(zone["name"])) is not None
            ]
        elif get(answers, question) is not None:
            out.append(question)
    return out


def count(answers: Answers, questions: tuple[Question, ...]) -> int:
    """How many answers there are."""
    return len(answered(answers, questions))


def shown(question: Question, value: Any) -> str:
    """An answer in the words of its question."""
    if value == DONT_KNOW:
        return DONT_KNOW
    words = {_hashable(choice.value): choice.shown for choice in (*question.choices, *question.more)}
    if not isinstance(value, list):
        return _one(question, words, value)
    if question.kind == "months":
        return say_value(value)
    if question.key == "zone":
        return ", ".join(str(zone.get("name", "")) if isinstance(zone, dict) else str(zone) for zone in value)
    parts = [_one(question, words, item) for item in value]
    return ("; " if any("," in part for part in parts) else ", ").join(parts) or "none"


def _one(question: Question, words: dict[Any, str], item: Any) -> str:
    """One value, or one row of a list."""
    if question.kind == "date" and isinstance(item, str):
        return _date_words(item)
    if question.kind == "yesno":
        return say_value(item)
    if question.kind == "place" and isinstance(item, dict):
        return str(item["name"]) if "name" in item else say_value(item)
    if isinstance(item, dict):
        keys = [key for key in _SHOWN if key in item]
        keys += [key for key in item if key not in (*_SHOWN, *_HIDDEN)]
        return ", ".join(_inner(words, key, item[key]) for key in keys)
    found = words.get(_hashable(item))
    return found if found is not None else say_value(item, question.unit)


def _inner(words: dict[Any, str], key: str, value: Any) -> str:
    if key == "date" and isinstance(value, str):
        return _date_words(value)
    if key == "hours_per_week":
        return say_value(value, "h/week")
    found = words.get(_hashable(value))
    return found if found is not None else say_value(value)


def _date_words(value: str) -> str:
    try:
        return say_day(dt.date.fromisoformat(value))
    except ValueError:
        return value


def _hashable(value: Any) -> Any:
    return (
        tuple(map(_hashable, value))
        if isinstance(value, list)
        else (type(value).__name__, value)
        if isinstance(value, bool)
        else value
        if isinstance(value, (str, int, float))
        else None
    )


def label(question: Question) -> str:
    """The question with the zone that it is about."""
    if question.zone is not None and question.zone != WHOLE_FIELD:
        return f"{question.zone}: {question.ask}"
    return question.ask
