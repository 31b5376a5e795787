"""Reading how often and how fast: hours a week, times a day, litres a minute."""

from __future__ import annotations

import re
from typing import Final

from decide.parse import numbers
from decide.parse.clock import days_named
from decide.parse.numbers import NumberTrouble, Quantity, tidy
from decide.parse.plain import fold
from decide.parse.quantities import decimal_comma_in, gallon_in, one_of, whole
from decide.parse.results import (
    AskBack,
    NotUnderstood,
    Reading,
    Result,
    Setting,
    Understood,
)
from decide.parse.vocabulary import rows
from decide.parse.wording import say_amount

HOURS_IN_A_WEEK: Final = 168


WEEKS_IN_A_YEAR: Final = 52


def read_hours(text: str, setting: Setting) -> Result:
    said = fold(text)
    if re.fullmatch(r"(?:none|never|nothing|not at all|not used|nobody|no hours|zero)", said.strip(" .!")):
        return Understood(0)
    for word, factor in (
        ("week", 1.0),
        ("month", 12 / WEEKS_IN_A_YEAR),
        ("year", 1 / WEEKS_IN_A_YEAR),
        ("(?:day|night|evening|morning|afternoon)", 0.0),
    ):
        match = re.fullmatch(
            rf"(.+?)\s*(?:a|per|each|every|/|in a)\s*{word}\b.*?(?:in all|altogether|or so)?", said
        )
        if match:
            values = _hours(match[1], setting)
            if factor:
                return one_of(
                    [value * factor for value in values], "h/week", most=HOURS_IN_A_WEEK, ends=len(values) > 1
                )
            named = days_named(said)
            if named:
                return one_of(
                    [value * named for value in values], "h/week", most=HOURS_IN_A_WEEK, ends=len(values) > 1
                )
            return AskBack(
                "On how many days a week?",
                tuple(
                    Reading(
                        f"{days} days, {say_amount(values[0] * days)} hours a week", tidy(values[0] * days)
                    )
                    for days in (5, 7)
                ),
            )
    values = _hours(re.sub(r"\bweekly\b", "", said), setting)
    return one_of(values, "h/week", most=HOURS_IN_A_WEEK, ends=len(values) > 1)


def _hours(text: str, setting: Setting) -> list[float]:
    if re.search(r"\b(?:match|matches|game|games|training|trainings|sessions?)\b", text):
        raise NumberTrouble(
            "Count the hours, please: a match with its warm-up is about 2 hours, or say how long it is."
        )
    low, high = whole(numbers.tokens(text), setting)
    values: list[float] = []
    for one in (low, high):
        if one is not None:
            values += one.values if not one.unit else numbers.in_unit(one, "hour")
    return values


def read_times(text: str, setting: Setting) -> Result:
    said = re.sub(
        r"\b(?:we|i|can|could|water|somebody|someone|on|each|every|a|per|weekdays?|the)\b(?! other)",
        " ",
        fold(text).strip(" .!"),
    )
    said = " ".join(
        re.sub(r"\b(?:days?|daily)\b(?<!other day)", " ", said)
        .replace("times", " ")
        .replace("time", " ")
        .split()
    ).strip(" /")
    fixed = {
        "once": 1, "twice": 2, "thrice": 3, "never": 0, "not at all": 0, "none": 0, "nobody": 0, "no": 0,
        "": 1, "morning and evening": 2, "mornings and evenings": 2, "no one": 0, "nothing": 0,
    }  # fmt: skip
    if re.search(r"\bevery (?:other|second) day\b|\bevery two days\b", fold(text)):
        return Understood(0.5)
    if re.search(r"\bweek(?!day)|\bmonth|\bhour", fold(text)):
        return NotUnderstood(
            'How often on one weekday? Say once, twice, never, or every other day; or "don\'t know".'
        )
    if said in fixed:
        return Understood(fixed[said])
    parts = re.split(r" or | to |-", said)
    if len(parts) == 2 and all(part.strip() in fixed for part in parts):
        low, high = fixed[parts[0].strip()], fixed[parts[1].strip()]
        return AskBack("Which is nearer?", (Reading(str(low), low), Reading(str(high), high)))
    low_high = whole(numbers.tokens(said), setting)
    return one_of(
        [value for one in low_high if one is not None for value in one.values],
        "count/day",
        most=24,
        ends=low_high[1] is not None,
    )


def read_flow(text: str, setting: Setting) -> Result:
    plain = rows(setting, "flow").get("passed-over", "(?!)")
    row = [token for token in numbers.tokens(text) if not re.fullmatch(plain, token.text)]
    gallon = gallon_in(setting)
    volume: tuple[float, ...] = ()
    minutes: float | None = None
    at = 0
    while at < len(row):
        found = numbers.quantity(row, at, decimal_comma=decimal_comma_in(setting))
        if found is None:
            if row[at].text in ("in", "a", "an", "per", "with", "and", "/", "-") or row[at].kind == "stop":
                at += 1
                continue
            raise NumberTrouble(
                'Say how long a bucket takes, such as 10 litres in 40 seconds; or "don\'t know".'
            )
        amount, at = found
        if amount.unit == "in" and at < len(row):
            amount = Quantity(amount.values)
        if amount.unit in ("l/min", "gal/min", "l/h"):
            return one_of(
                numbers.in_unit(amount, "l/min", gallon if amount.unit == "gal/min" else None), "l/min"
            )
        if amount.unit in ("litre", "gal", "m3"):
            volume = numbers.in_unit(amount, "litre", gallon)
        elif amount.unit in ("s", "min", "hour"):
            minutes = (minutes or 0) + amount.values[0] * {"s": 1 / 60, "min": 1.0, "hour": 60.0}[amount.unit]
        elif not amount.unit and len(row) == at:
            if setting.units == "metric":
                return one_of(amount.values, "l/min")
            gallons = numbers.in_unit(Quantity(amount.values, "gal"), "litre", gallon)
            if setting.units == "us":
                return one_of(gallons, "l/min")
            return AskBack(
                "Litres or gallons a minute?",
                (
                    Reading(f"{say_amount(amount.values[0])} litres a minute", tidy(amount.values[0])),
                    Reading(f"{say_amount(amount.values[0])} gallons a minute", tidy(gallons[0])),
                ),
            )
        else:
            raise NumberTrouble(
                'Say how long a bucket takes, such as 10 litres in 40 seconds; or "don\'t know".'
            )
    if volume and minutes:
        return one_of([value / minutes for value in volume], "l/min")
    raise NumberTrouble(
        "I need the bucket's size and the time it takes, such as 10 litres in 40 seconds; or \"don't know\"."
    )
