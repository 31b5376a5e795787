"""Reads what a person answers to one question: a small grammar of its own, one function for each kind of
answer.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Sequence
from typing import Final

from decide.parse.amounts import read_length, read_number
from decide.parse.areas import read_area
from decide.parse.choices import read_choice, read_list, read_yes_no
from decide.parse.dates import read_date
from decide.parse.matching import SMALL, by_number, matching
from decide.parse.money import read_money
from decide.parse.months import read_months
from decide.parse.numbers import NumberTrouble
from decide.parse.places import read_place
from decide.parse.plain import LONGEST, clean, fold, too_long, words
from decide.parse.results import AnswerChoice, NotUnderstood, Reading, Result, Setting, Understood, Unknown
from decide.parse.sprays import read_sprays
from decide.parse.uses import read_uses
from decide.parse.vocabulary import pattern_of, phrases, said_plainly
from decide.parse.zones import read_zones


def is_unknown(text: str, setting: Setting) -> bool:
    """Whether the answer says in any usual way that the person does not know."""
    said = said_plainly(re.sub(r"[,;.!]", " ", text))
    return said in phrases(setting, "unknown") or pattern_of(setting, "unknown").fullmatch(said) is not None


def read(
    kind: str,
    line: str,
    setting: Setting,
    *,
    choices: Sequence[AnswerChoice] = (),
    unit: str = "",
) -> Result:
    """What `line` says as answer of a kind; never raises for any text."""
    if too_long(line):
        return NotUnderstood(f"That is longer than {LONGEST} letters. Say it in a few words.")
    text = clean(line)
    if not text:
        return NotUnderstood('I heard nothing. Write an answer, or "don\'t know".')
    if is_unknown(text, setting):
        return Unknown()
    try:
        return _READERS.get(kind, _free_text)(text, setting, choices, unit)
    except NumberTrouble as trouble:
        return NotUnderstood(str(trouble))


def _date(text: str, setting: Setting, _choices: Sequence[AnswerChoice], _unit: str) -> Result:
    return read_date(text, setting)


def _months(text: str, setting: Setting, _choices: Sequence[AnswerChoice], _unit: str) -> Result:
    return read_months(text, setting)


def _free_text(text: str, _setting: Setting, choices: Sequence[AnswerChoice], _unit: str) -> Result:
    numbered = by_number(text, choices) if choices else None
    return Understood(numbered.value if numbered is not None else text[:200])


_Reader = Callable[[str, Setting, Sequence[AnswerChoice], str], Result]
_READERS: Final[dict[str, _Reader]] = {
    "choice": read_choice, "number": read_number, "area": read_area, "length": read_length,
    "money": read_money, "date": _date, "months": _months, "place": read_place, "yesno": read_yes_no,
    "list": read_list, "text": _free_text, "zones": read_zones, "uses": read_uses, "sprays": read_sprays,
}  # fmt: skip
KINDS: Final = tuple(_READERS)


def pick(line: str, readings: Sequence[Reading]) -> Reading | None:
    """The reading that a person picks, by its number, its words or a near spelling; None where none is
    meant.
    """
    if too_long(line):
        return None
    text = clean(line)
    options = [AnswerChoice(at, (reading.say,)) for at, reading in enumerate(readings)]
    numbered = by_number(text, options)
    if numbered is not None:
        return readings[int(numbered.value)]
    said = fold(text)
    same = [reading for reading in readings if fold(reading.say) == said]
    if len(same) == 1:
        return same[0]
    row = set(words(text)) - SMALL
    inside = [reading for reading in readings if row and row <= set(words(reading.say))]
    if len(inside) == 1:
        return inside[0]
    found = matching(text, options, _NOWHERE)
    return readings[int(found[0].value)] if len(found) == 1 else None


_NOWHERE: Final = Setting(today=dt.date(2000, 1, 1))
