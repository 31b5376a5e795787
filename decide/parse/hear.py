"""Hears one line of a talk: the answer to the question in hand, whatever else it tells, and what it asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from decide.parse.answers import read
from decide.parse.asks import read_asks
from decide.parse.heard import Doubt, Heard, Told
from decide.parse.message import read_message
from decide.parse.question import Question
from decide.parse.results import AskBack, Reading, Setting, Understood, Unknown
from decide.parse.several import read_several
from decide.parse.speech import Speech


def hear(
    text: str,
    setting: Setting,
    speech: Speech,
    *,
    answers: Mapping[str, Any],
    question: Question | None = None,
) -> Heard:
    """What a cleaned line says as a whole; `question` is the one in hand, `answers` what was told before."""
    setting = replace(setting, talk=speech.talk)
    asks = read_asks(text, setting, speech, answers=answers, question=question)
    more = read_message(text, setting, speech, answers=answers, question=question)
    if question is None or asks:
        return Heard(more.told, more.doubts, asks, more.unknown, more.clears, more.unread)
    if question.asks:
        return _several(text, setting, speech, question, more)
    result = read(
        question.kind, text, setting, choices=(*question.choices, *question.more), unit=question.unit
    )
    told = tuple(one for one in more.told if (one.key, one.zone) != (question.key, question.zone))
    if isinstance(result, Understood):
        told = (Told(question.key, result.value, text, question.zone, result.note), *told)
        return Heard(told, more.doubts, asks, more.unknown, more.clears)
    if isinstance(result, Unknown):
        return Heard(told, more.doubts, asks, ((question.key, question.zone), *more.unknown), more.clears)
    if isinstance(result, AskBack):
        readings = tuple(
            Reading(one.say, (Told(question.key, one.value, text, question.zone),)) for one in result.readings
        )
        back = Doubt(result.text, text, question.key, question.zone, readings)
        return Heard(told, (back, *more.doubts), asks, more.unknown, more.clears)
    return Heard(told, more.doubts, asks, more.unknown, more.clears, more.unread, "" if told else result.say)


def _several(text: str, setting: Setting, speech: Speech, question: Question, more: Heard) -> Heard:
    """The answer to several questions at once: what the message tells stands, its pieces tell the rest."""
    found = read_several(text, setting, speech, question, more.told)
    told, unknown = (*more.told, *found.told), (*found.unknown, *more.unknown)
    miss = "" if told or unknown or more.doubts else speech.table("several").get("pieces", {}).get("miss", "")
    return Heard(told, more.doubts, (), unknown, more.clears, () if found.told else more.unread, miss)
