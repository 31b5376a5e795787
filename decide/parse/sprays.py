"""Reading what was sprayed, and when."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from decide.parse.answer_rows import about, all_rows
from decide.parse.dates import read_date
from decide.parse.dates_told import dates_told
from decide.parse.matching import SMALL, by_number, listed, matching
from decide.parse.plain import fold, words
from decide.parse.results import AnswerChoice, AskBack, NotUnderstood, Reading, Result, Setting, Understood
from decide.parse.vocabulary import rows, said_plainly


def read_sprays(text: str, setting: Setting, choices: Sequence[AnswerChoice] = (), _unit: str = "") -> Result:
    """Sprays as tables of class and date, as far as they were said; [] for nothing sprayed."""
    said, talk = said_plainly(text), rows(setting, "sprays")
    if said in talk.get("none", ()):
        return Understood([])
    if said in talk.get("yes", ()):
        return Understood([{}])
    strict = _strictly(text, setting, choices)
    told = _told(text, setting, choices)
    plain = isinstance(strict, NotUnderstood) or (
        isinstance(strict, Understood) and strict.value[0].get("class") in (None, "unknown")
    )
    if told is not None and plain:
        return told
    if isinstance(strict, Understood) and isinstance(told, Understood) and "date" not in strict.value[0]:
        day = told.value[0].get("date")
        return strict if day is None else Understood([{**strict.value[0], "date": day}], told.note)
    return strict


def _told(text: str, setting: Setting, choices: Sequence[AnswerChoice]) -> Result | None:
    """A spray in a sentence: its class by the words for what it is for, and its day; None where neither is
    found.
    """
    spray: dict[str, Any] = {}
    named = list(all_rows(about(setting, "sprayed").get("classes", ()), text, setting))
    kinds = list(dict.fromkeys(row["is"] for row in named))
    if len(kinds) > 1:
        shown = {choice.value: choice.shown for choice in choices}
        return AskBack(
            "Which kind is meant?",
            tuple(Reading(shown.get(kind, kind), [{"class": kind}]) for kind in kinds[:4]),
        )
    if kinds:
        spray["class"] = kinds[0]
    note = ""
    days = [found for _, _, found in dates_told(text, replace(setting, past=True))]
    if len(days) == 1:
        if isinstance(days[0], AskBack):
            readings = tuple(Reading(one.say, [{**spray, "date": one.value}]) for one in days[0].readings)
            return AskBack(days[0].text, readings) if spray else None
        spray["date"], note = days[0].value, re.sub(r":.*", ".", days[0].note)
    return Understood([spray], note) if kinds else None


def _strictly(text: str, setting: Setting, choices: Sequence[AnswerChoice]) -> Result:
    """A spray whose kind, and its day after it, are all of the line."""
    said = fold(text).strip(" .!")
    numbered = by_number(text, choices)
    if numbered is not None:
        return Understood([{"class": numbered.value}])
    past = replace(setting, past=True)
    spray: dict[str, Any] = {}
    rest = said
    note = ""
    when = re.search(
        r"(?:^|\s|,)((?:in|on|last|early|late|mid|about|around|end of"
        r"|[0-9a-z]+ (?:days?|weeks?|months?) ago|yesterday|today)\b.*|[0-9]{4}-[0-9]{2}-[0-9]{2})$",
        said,
    )
    if when:
        date = read_date(re.sub(r"^(?:in|on)\s+", "", when[1]), past)
        if isinstance(date, AskBack):
            head = said[: when.start()].strip(" ,")
            found = matching(head, choices, setting) if head else []
            klass = {"class": found[0].value} if len(found) == 1 else {}
            return AskBack(
                date.text, tuple(Reading(r.say, [{**klass, "date": r.value}]) for r in date.readings)
            )
        if isinstance(date, Understood):
            spray["date"], note = date.value, re.sub(r":.*", ".", date.note)
            rest = said[: when.start()].strip(" ,")
    if rest:
        found = matching(rest, choices, setting)
        if len(found) == 1:
            spray["class"] = found[0].value
        elif 2 <= len(found) <= 4:
            return AskBack(
                "Which kind is meant?", tuple(Reading(c.shown, [{**spray, "class": c.value}]) for c in found)
            )
        elif not spray or set(words(rest)) - SMALL - {"yes", "sprayed", "we", "something"}:
            return NotUnderstood(
                "I do not know that kind of spray. Answer no, or say what it was for: "
                f'{listed(choices)}; or "don\'t know".'
            )
    return Understood([spray], note)
