"""Reads a message in a person's own words for everything that it tells of the field."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from decide.parse.heard import Heard, Told
from decide.parse.message_amounts import read_amounts
from decide.parse.message_dates import read_dates
from decide.parse.message_facts import read_facts
from decide.parse.message_parts import read_parts
from decide.parse.message_places import read_where
from decide.parse.message_text import Message, message_of, pattern
from decide.parse.message_things import read_things
from decide.parse.message_use import read_use
from decide.parse.question import Question
from decide.parse.results import Setting
from decide.parse.speech import Speech


def read_message(
    text: str,
    setting: Setting,
    speech: Speech,
    *,
    answers: Mapping[str, Any],
    question: Question | None = None,
) -> Heard:
    """What a cleaned line tells, whatever was asked; what it asks is not read here.

    On a line that answers a question it is silent about the key that is asked, and where the line is too
    short to tell more than its answer.
    """
    if not speech.table("message") or (question is not None and _short(text, speech)):
        return Heard()
    message = message_of(text, setting, speech)
    message.setting = read_where(message)
    parts = read_parts(message)
    read_dates(message)
    read_amounts(message, parts)
    read_use(message)
    read_things(message, parts)
    read_facts(message, parts)
    told = [_corrected(one, answers) for one in message.told]
    if question is not None:
        told = [one for one in told if one.key != question.key]
    return Heard(tuple(told), tuple(message.doubts), (), tuple(message.unknown), (), tuple(_unread(message)))


def _short(text: str, speech: Speech) -> bool:
    least: int = speech.table("message")["answering"]["least-words"]
    return len(text.split()) < least


def _corrected(one: Told, answers: Mapping[str, Any]) -> Told:
    """The same, marked where it takes back another answer."""
    before = _before(one, answers)
    return replace(one, corrects=before is not None and before != one.value)


def _before(one: Told, answers: Mapping[str, Any]) -> Any:
    table, _, key = one.key.partition(".")
    if not key:
        return answers.get(table) if table != "zone" else None
    held = answers.get(table)
    if table == "zone":
        rows = held if isinstance(held, list) else []
        row = next((row for row in rows if row.get("name") == one.zone), {})
        return row.get(key)
    return held.get(key) if isinstance(held, Mapping) else None


def _unread(message: Message) -> list[str]:
    """The clauses of which nothing was made, but for greetings and the like."""
    filler = pattern(*message.table("filler")["phrases"])
    out = []
    for clause in message.clauses:
        said = clause.text.strip(" .,!?;:-")
        if clause.start not in message.used and said and not filler.fullmatch(said):
            out.append(message.words(clause))
    return out
