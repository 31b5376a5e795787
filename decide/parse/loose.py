"""Finds the one quantity that a sentence tells beside other words: "white ones, 3 in"."""

from __future__ import annotations

import re
from typing import Final

from decide.model.units import dimension, is_unit
from decide.parse import numbers
from decide.parse.clock import days_named, hours_in_turns, read_span, times_in_turns, times_named
from decide.parse.counted import filled, turns_named
from decide.parse.mending import clauses
from decide.parse.numbers import NumberTrouble, Quantity
from decide.parse.plain import fold
from decide.parse.quantities import decimal_comma_in, one_of
from decide.parse.results import Result, Setting

_HOSES: Final = r"(?:reels?|lengths?|hoses?|rolls?|bits|pieces)"
_JOINED: Final = re.compile(
    r"\b(?P<count>two|three|four|five|six|[2-9])(?:(?: ?x ?| of | lots of | )(?P<one>\d+(?:\.\d+)? ?[a-z]+)"
    rf" {_HOSES}| {_HOSES}(?: of|,| at| x)? (?P<each>\d+(?:\.\d+)? ?[a-z]+))"
)
_OF_THEM: Final = (
    r"(?<!\d)(?P<one>\d+(?:\.\d+)? ?[a-z]+),? (?P<count>two|three|four|[2-4]) of (?:them|'?em|those|these)\b"
)
# "5 of us, about 3 hours each"; "5 hrs x 3".
_COUNT: Final = r"\d+(?:\.\d+)?|an?|one|two|three|four|five|six|seven|eight|nine|ten|a couple of|couple of"
_EACH: Final = re.compile(
    rf"\b(?P<people>{_COUNT}) (?:of us|[a-z]+)[ ,]+(?:[a-z]+ ){{0,3}}?"
    rf"(?P<hours>{_COUNT}) ?(?:hours?|hrs?|h)(?P<half> and a half)? (?:each|apiece|a head|per head)\b"
)
_OF_DAY: Final = "hour"


def lengths_joined(text: str) -> str:
    """A line with hoses told one by one put together: "75 ft, two of them" is two lengths of 75 ft."""
    return (
        re.sub(_OF_THEM, r"\g<count> x \g<one> lengths", fold(text))
        if re.search(_OF_THEM, fold(text))
        else text
    )


def loosely(text: str, unit: str, setting: Setting) -> Result | None:
    """The quantity of a sentence in the question's unit, where it tells just one; None where it tells none
    or several.
    """
    try:
        return _loosely(text, unit, setting)
    except NumberTrouble:
        # What the grammar did not read says better what would do.
        return None


def _loosely(text: str, unit: str, setting: Setting) -> Result | None:
    if unit == "count/day":
        times = times_in_turns(text) or times_named(text) or turns_named(text, setting)
        if times > 1 or times_named(text):
            return one_of([float(times)], unit)
    if unit == _OF_DAY:
        hours = hours_in_turns(text)
        if hours is None:
            hours = read_span(text)
        if hours is not None:
            return one_of([hours], unit, most=24)
    if unit == "h/week":
        hours, days = read_span(text), days_named(text)
        if hours is not None:
            return one_of([hours * max(days, 1)], unit, most=168)
        each = _EACH.search(fold(text))
        if each is not None:
            who, long = (numbers.figure(numbers.tokens(each[name]), 0) for name in ("people", "hours"))
            hours = 1.0 if each["hours"] in ("a", "an") else None if long is None else long[0][0]
            if who is not None and hours is not None:
                return one_of([who[0][0] * (hours + (0.5 if each["half"] else 0))], unit, most=168)
    if unit == "litre" and (litres := filled(text, setting)) is not None:
        return one_of([litres], unit)
    joined = _JOINED.search(fold(text))
    if joined is not None:
        row = numbers.tokens(joined["one"] or joined["each"])
        one, count = numbers.quantity(row), numbers.figure(numbers.tokens(joined["count"]), 0)
        values = _in(one[0], unit) if one is not None else ()
        if len(values) == 1 and count is not None:
            return one_of([values[0] * count[0][0]], unit)
    found = _found(text, unit, setting)
    return one_of(found, unit, ends=True) if found else None


def _found(text: str, unit: str, setting: Setting) -> list[float]:
    """The values of the only clause that has a quantity of the kind asked for, with its unit said."""
    out: list[list[float]] = []
    for clause in clauses(text):
        try:
            row = numbers.tokens(clause)
        except NumberTrouble:
            continue
        at = 0
        while at < len(row):
            span = numbers.span(row[at:], decimal_comma=decimal_comma_in(setting))
            if span is None:
                at += 1
                continue
            low, high, used = span
            ends = [one for one in (low, high) if one is not None]
            values = [value for one in ends if len(one.values) == 1 for value in _in(one, unit)]
            if values:
                out.append(values)
            at += max(used, 1)
    return out[0] if len(out) == 1 else []


def _in(one: Quantity, unit: str) -> tuple[float, ...]:
    if not is_unit(one.unit) or not is_unit(unit) or dimension(one.unit) != dimension(unit):
        return ()
    # "in" after a number is more often the small word than the inch, where metres are asked.
    return () if (one.unit, unit) == ("in", "m") else numbers.in_unit(one, unit)
