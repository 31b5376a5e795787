"""Reading what was sprayed, and when."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from decide.parse.dates import read_date
from decide.parse.matching import SMALL, by_number, listed, matching
from decide.parse.plain import fold, words
from decide.parse.results import AnswerChoice, AskBack, NotUnderstood, Reading, Result, Setting, Understood


def read_sprays(text: str, setting: Setting, choices: Sequence[AnswerChoice] = (), _unit: str = "") -> Result:
    """Sprays as tables of class and date, as far as they were said; [] for nothing sprayed."""
    said = fold(text).strip(" .!")
    if said in (
        "no",
        "none",
        "nothing",
        "never",
        "nope",
        "not that i know",
        "nothing at all",
        "no sprays",
        "no spray",
        "nothing sprayed",
    ):
        return Understood([])
    if said in ("yes", "y", "yep", "yeah", "something", "we did", "there was"):
        return Understood([{}])
    numbered = by_number(text, choices)
    if numbered is not None:
        return Understood([{"class": numbered.value}])
    past = Setting(setting.today, setting.hemisphere, setting.country, setting.units, past=True)
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
