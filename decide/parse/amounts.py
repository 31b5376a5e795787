"""Reading a number in the unit of its question: counts, lengths, acidity, and by their units shares, hours
and flows.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from decide.model.units import convert
from decide.parse import numbers
from decide.parse.numbers import tidy
from decide.parse.people import read_people
from decide.parse.plain import fold
from decide.parse.quantities import gallon_in, named_choice, one_of, whole
from decide.parse.rates import read_flow, read_hours, read_times
from decide.parse.results import (
    AnswerChoice,
    AskBack,
    Reading,
    Result,
    Setting,
    Understood,
)
from decide.parse.shares import read_percent
from decide.parse.wording import SAY_UNIT, say_amount


def read_number(text: str, setting: Setting, choices: Sequence[AnswerChoice] = (), unit: str = "") -> Result:
    """A number in the question's unit; words, ranges and other units of the same kind are read too."""
    named = named_choice(text, setting, choices)
    if named is not None:
        return named
    if unit == "percent":
        return read_percent(text, setting)
    if unit == "h/week":
        return read_hours(text, setting)
    if unit == "l/min":
        return read_flow(text, setting)
    if unit == "count/day":
        return read_times(text, setting)
    if unit in ("count", ""):
        return read_people(text, setting)
    if unit in ("mm", "m", "cm", "ft", "in"):
        return read_length(text, setting, choices, unit)
    row = numbers.tokens(re.sub(r"\bph\b", " ", fold(text)) if unit == "pH" else text)
    low, high = whole(row, setting)
    values: list[float] = []
    for one in (low, high):
        if one is not None:
            values += one.values if not one.unit else numbers.in_unit(one, unit, gallon_in(setting))
    return one_of(values, unit, most=14 if unit == "pH" else None, ends=high is not None)


def read_length(text: str, setting: Setting, choices: Sequence[AnswerChoice] = (), unit: str = "m") -> Result:
    """A length in the question's unit (m or mm); a number without a unit is asked back where the units are
    not known.
    """
    named = named_choice(text, setting, choices)
    if named is not None:
        return named
    base = unit or "m"
    if fold(text).strip(" .!") in ("none", "no", "nothing", "zero", "0"):
        return Understood(0)
    row = [
        token
        for token in numbers.tokens(text)
        if token.text not in ("long", "deep", "thick", "away", "wide", "high", "off", "far")
    ]
    low, high = whole(row, setting)
    values: list[float] = []
    for one in (low, high):
        if one is None:
            continue
        if one.unit:
            values += numbers.in_unit(one, base)
            continue
        other = "in" if base in ("mm", "cm", "in") else "ft"
        if setting.units == "metric":
            values += one.values
        elif setting.units == "us":
            values += [convert(value, other, base) for value in one.values]
        else:
            return AskBack(
                "Which unit is meant?",
                tuple(
                    Reading(
                        say_amount(one.values[0], SAY_UNIT.get(name, name)),
                        tidy(convert(one.values[0], name, base)),
                    )
                    for name in (base, other)
                ),
            )
    return one_of(values, base, ends=high is not None)
