"""The one quantity, or the range of two, that is a whole answer, and whether it can be."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from decide.parse import numbers
from decide.parse.matching import LONGEST_NAME, matching
from decide.parse.numbers import NumberTrouble, Quantity, Token, tidy
from decide.parse.plain import spaced
from decide.parse.results import (
    AnswerChoice,
    AskBack,
    NotUnderstood,
    Reading,
    Result,
    Setting,
    Understood,
)
from decide.parse.wording import SAY_UNIT, say_amount

_DECIMAL_COMMA: Final = spaced(
    "de fr it es pt nl be at dk se no fi pl cz sk hu ro bg hr si gr tr ru ua ar br cl co za id vn rs lt lv ee"
)


_IMPERIAL: Final = frozenset({"gb", "ie", "au", "nz", "za", "ca", "in"})


def decimal_comma_in(setting: Setting) -> bool:
    return (setting.country or "").lower() in _DECIMAL_COMMA


def gallon_in(setting: Setting) -> float | None:
    return numbers.IMPERIAL_GALLON if (setting.country or "").lower() in _IMPERIAL else None


def whole(row: list[Token], setting: Setting) -> tuple[Quantity, Quantity | None]:
    """The one quantity, or the range, that is the whole answer; NumberTrouble where something is left
    over.
    """
    found = numbers.span(row, decimal_comma=decimal_comma_in(setting))
    if found is None:
        raise NumberTrouble('I do not see a number in that. Write one, such as 20; or "don\'t know".')
    low, high, place = found
    rest = " ".join(token.text for token in row[place:])
    if rest:
        raise NumberTrouble(
            f"I read a number, but not {rest[:LONGEST_NAME]!r} after it. Write the number and its unit only."
        )
    return low, high


def one_of(
    values: Sequence[float], unit: str, *, most: float | None = None, least: float = 0.0, ends: bool = False
) -> Result:
    """One value as the answer, several as readings; values out of range are refused or drop out."""
    kept = [value for value in values if value >= least and (most is None or value <= most)]
    if not kept:
        word = SAY_UNIT.get(unit, unit)
        bound = (
            f"at most {say_amount(most, word)}"
            if most is not None and any(v > most for v in values)
            else f"at least {say_amount(least, word)}"
        )
        return NotUnderstood(
            f'{say_amount(values[0], word)} cannot be. It is {bound}. Say it again, or "don\'t know".'
        )
    if len(kept) == 1:
        return Understood(tidy(kept[0]))
    return AskBack(
        "Which number is meant?",
        tuple(Reading(say_amount(value, SAY_UNIT.get(unit, unit)), tidy(value)) for value in kept[:4]),
        ends=ends,
    )


def named_choice(text: str, setting: Setting, choices: Sequence[AnswerChoice]) -> Result | None:
    """A choice offered beside a number, by its words only."""
    if not choices or any(letter.isdigit() for letter in text):
        return None
    found = matching(text, choices, setting)
    if len(found) == 1:
        return Understood(found[0].value)
    return None
