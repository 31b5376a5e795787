"""Reading amounts: shares, hours, counts, flows, lengths, areas and sums of money."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from decide.model.units import convert
from decide.parse import numbers
from decide.parse.choices import LONGEST_NAME, SMALL, matching, singular
from decide.parse.numbers import NumberTrouble, Quantity, Token, tidy
from decide.parse.plain import fold, spaced, words
from decide.parse.results import (
    Answer,
    AskBack,
    Choice,
    Elsewhere,
    Money,
    NotUnderstood,
    Reading,
    Result,
    Setting,
    Share,
)

HOURS_IN_A_WEEK: Final = 168
WEEKS_IN_A_YEAR: Final = 52
_DECIMAL_COMMA: Final = spaced(
    "de fr it es pt nl be at dk se no fi pl cz sk hu ro bg hr si gr tr ru ua ar br cl co za id vn rs lt lv ee"
)
_IMPERIAL: Final = frozenset({"gb", "ie", "au", "nz", "za", "ca", "in"})
_DOLLARS: Final = {"us": "USD", "ca": "CAD", "au": "AUD", "nz": "NZD", "sg": "SGD"}
_MONEY_WORDS: Final = {
    "$": "$", "dollar": "$", "dollars": "$", "bucks": "$", "buck": "$", "£": "GBP", "quid": "GBP", "€": "EUR", "euro": "EUR",
    "euros": "EUR", "eur": "EUR", "gbp": "GBP", "usd": "USD", "aud": "AUD", "nzd": "NZD", "cad": "CAD", "zar": "ZAR",
    "rand": "ZAR", "rands": "ZAR", "chf": "CHF", "francs": "CHF", "sek": "SEK", "nok": "NOK", "dkk": "DKK", "pln": "PLN",
    "inr": "INR", "rupees": "INR", "jpy": "JPY", "yen": "JPY", "sgd": "SGD", "hkd": "HKD",
}  # fmt: skip
SAY_CURRENCY: Final = {"GBP": "£", "EUR": "€", "USD": "$", "$": "$"}


def _comma(setting: Setting) -> bool:
    return (setting.country or "").lower() in _DECIMAL_COMMA


def _gallon(setting: Setting) -> float | None:
    return numbers.IMPERIAL_GALLON if (setting.country or "").lower() in _IMPERIAL else None


def _whole(row: list[Token], setting: Setting) -> tuple[Quantity, Quantity | None]:
    """The one quantity, or the range, that is the whole answer; NumberTrouble where something is left over."""
    found = numbers.span(row, decimal_comma=_comma(setting))
    if found is None:
        raise NumberTrouble('I do not see a number in that. Write one, such as 20; or "don\'t know".')
    low, high, place = found
    rest = " ".join(token.text for token in row[place:])
    if rest:
        raise NumberTrouble(
            f"I read a number, but not {rest[:LONGEST_NAME]!r} after it. Write the number and its unit only."
        )
    return low, high


def said_amount(amount: float, unit: str = "") -> str:
    text = f"{tidy(amount):,}"
    return f"{text} {unit}".strip()


SAY_UNIT: Final = {
    "m2": "m²", "ft2": "square feet", "yd2": "square yards", "m": "metres", "ft": "feet", "yd": "yards", "mm": "mm",
    "in": "inches", "l/min": "litres a minute", "gal/min": "gallons a minute", "percent": "%", "h/week": "hours a week",
    "hour": "hours", "day": "days", "acre": "acres", "ha": "hectares", "cm": "cm",
}  # fmt: skip


def _one_of(values: Sequence[float], unit: str, *, most: float | None = None, least: float = 0.0) -> Result:
    """One value as an Answer, several as readings; values out of range are refused or drop out."""
    kept = [value for value in values if value >= least and (most is None or value <= most)]
    if not kept:
        word = SAY_UNIT.get(unit, unit)
        bound = (
            f"at most {said_amount(most, word)}"
            if most is not None and any(v > most for v in values)
            else f"at least {said_amount(least, word)}"
        )
        return NotUnderstood(
            f'{said_amount(values[0], word)} cannot be. It is {bound}. Say it again, or "don\'t know".'
        )
    if len(kept) == 1:
        return Answer(tidy(kept[0]))
    return AskBack(
        "Which number is meant?",
        tuple(Reading(said_amount(value, SAY_UNIT.get(unit, unit)), tidy(value)) for value in kept[:4]),
    )


def read_number(text: str, setting: Setting, choices: Sequence[Choice] = (), unit: str = "") -> Result:
    """A number in the question's unit; words, ranges and other units of the same kind are read too."""
    named = _named_choice(text, setting, choices)
    if named is not None:
        return named
    if unit == "percent":
        return read_percent(text, setting)
    if unit == "h/week":
        return hours_a_week(text, setting)
    if unit == "l/min":
        return _flow(text, setting)
    if unit == "count/day":
        return _times(text, setting)
    if unit in ("count", ""):
        return _count(text, setting)
    if unit in ("mm", "m", "cm", "ft", "in"):
        return read_length(text, setting, choices, unit)
    row = numbers.tokens(re.sub(r"\bph\b", " ", fold(text)) if unit == "pH" else text)
    low, high = _whole(row, setting)
    values: list[float] = []
    for one in (low, high):
        if one is not None:
            values += one.values if not one.unit else numbers.in_unit(one, unit)
    return _one_of(values, unit, most=14 if unit == "pH" else None)


def _named_choice(text: str, setting: Setting, choices: Sequence[Choice]) -> Result | None:
    """A choice offered beside a number, by its words only."""
    if not choices or any(letter.isdigit() for letter in text):
        return None
    found = matching(text, choices, setting)
    if len(found) == 1:
        return Answer(found[0].value)
    return None


_SHARE_TOPIC: Final = spaced(
    "bare gone worn dirt soil mud muddy weed weeds weedy lost missing dead empty field pitch zone ground here there it"
)
_SHARE_LIVING: Final = spaced("grass green alive living left covered cover good fine remaining still")
_ALL: Final = frozenset(
    {"all", "everything", "whole", "completely", "entirely", "fully", "totally", "wholly"}
)
_NOTHING: Final = frozenset({"none", "nothing", "zero", "no", "not"})


def read_percent(text: str, setting: Setting) -> Result:
    """A share from 0 to 100: 80 %, half, a third, 3 in 4, all of it, none."""
    said = fold(text).strip(" .!;,").replace("per cent", "percent")
    row = words(said)
    living = any(word in _SHARE_LIVING for word in row)
    core = " ".join(
        word
        for word in re.sub(r"[?]", "", said).split()
        if word.strip(".,;") not in (_SHARE_TOPIC | _SHARE_LIVING)
    )
    core_words = [word for word in words(core) if word not in SMALL]
    values: list[float]
    if (
        core_words
        and all(word in _ALL or word in ("almost", "nearly", "pretty", "much", "lot") for word in core_words)
        and set(core_words) & _ALL
    ):
        values = [100.0]
    elif (
        core_words
        and core_words[0] in _NOTHING
        and all(word in (*_NOTHING, "at", "all", "any") for word in core_words)
    ):
        values = [0.0]
    elif core_words and core_words[0] in (
        "most",
        "mostly",
        "few",
        "bit",
        "little",
        "many",
        "lots",
        "several",
    ):
        raise NumberTrouble('About how much of it? Say half, a third, 3 in 4, or 80 %; or "don\'t know".')
    else:
        values = _shares(core, setting)
    values = [value for value in values if 0 <= value <= 100] or values
    if any(value > 100 for value in values):
        return NotUnderstood('A share is at most 100 %. Say half, a third, or 80 %; or "don\'t know".')
    if living and values != [50.0]:
        pairs = [(value, 100 - value) for value in values]
        return AskBack(
            "Is that the share asked for, or the share of good grass?",
            tuple(
                reading
                for value, other in pairs[:1]
                for reading in (
                    Reading(f"{said_amount(value)} % of what was asked", tidy(value)),
                    Reading(
                        f"{said_amount(value)} % good grass, so {said_amount(other)} % of what was asked",
                        tidy(other),
                    ),
                )
            ),
        )
    return _one_of(values, "percent", most=100)


def _shares(core: str, setting: Setting) -> list[float]:
    match = re.fullmatch(
        r"(?:about |around |roughly )?([a-z0-9.]+) (?:in|out of(?: every)?|of(?: every)?) ([a-z0-9]+)(?: parts)?",
        core,
    )
    if match:
        above, below = (
            numbers.figure(numbers.tokens(match[1]), 0),
            numbers.figure(numbers.tokens(match[2]), 0),
        )
        if above and below and below[0][0] > 0 and above[0][0] <= below[0][0]:
            return [100 * above[0][0] / below[0][0]]
    row = [token for token in numbers.tokens(core) if token.text not in ("of", "the", "part", "parts")]
    low, high = _whole(row, setting)
    values: list[float] = []
    for one in (low, high):
        if one is None:
            continue
        if one.unit not in ("", "percent"):
            raise NumberTrouble('Say how much of it: half, a third, 3 in 4, or 80 %; or "don\'t know".')
        for value in one.values:
            digits = any(token.kind == "number" for token in row)
            slash = any(token.text == "/" for token in row)
            worded = not digits or slash
            if slash and value > 1:
                raise NumberTrouble(
                    'A share is at most the whole. Say half, a third, 3 in 4, or 80 %; or "don\'t know".'
                )
            if one.unit == "percent":
                values.append(value)
            elif value <= 1 and worded:
                values.append(100 * value)
            elif 0 < value < 1 and value.is_integer() is False:
                fraction_word = any(token.kind == "word" for token in row)
                values += [100 * value] if fraction_word else [100 * value, value]
            else:
                values.append(value)
    return values


def hours_a_week(text: str, setting: Setting) -> Result:
    said = fold(text)
    if re.fullmatch(r"(?:none|never|nothing|not at all|not used|nobody|no hours|zero)", said.strip(" .!")):
        return Answer(0)
    for word, factor in (
        ("week", 1.0),
        ("month", 12 / WEEKS_IN_A_YEAR),
        ("year", 1 / WEEKS_IN_A_YEAR),
        ("day", 0.0),
    ):
        match = re.fullmatch(
            rf"(.+?)\s*(?:a|per|each|every|/|in a)\s*{word}\b.*?(?:in all|altogether|or so)?", said
        )
        if match:
            values = _hours(match[1], setting)
            if word != "day":
                return _one_of([value * factor for value in values], "h/week", most=HOURS_IN_A_WEEK)
            return AskBack(
                "On how many days a week?",
                tuple(
                    Reading(
                        f"{days} days, {said_amount(values[0] * days)} hours a week", tidy(values[0] * days)
                    )
                    for days in (5, 7)
                ),
            )
    return _one_of(_hours(re.sub(r"\bweekly\b", "", said), setting), "h/week", most=HOURS_IN_A_WEEK)


def _hours(text: str, setting: Setting) -> list[float]:
    if re.search(r"\b(?:match|matches|game|games|training|trainings|sessions?)\b", text):
        raise NumberTrouble(
            "Count the hours, please: a match with its warm-up is about 2 hours, or say how long it is."
        )
    low, high = _whole(numbers.tokens(text), setting)
    values: list[float] = []
    for one in (low, high):
        if one is not None:
            values += one.values if not one.unit else numbers.in_unit(one, "hour")
    return values


def _times(text: str, setting: Setting) -> Result:
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
    fixed = {"once": 1, "twice": 2, "thrice": 3, "never": 0, "not at all": 0, "none": 0, "nobody": 0, "no": 0, "": 1,
             "morning and evening": 2, "mornings and evenings": 2, "no one": 0, "nothing": 0}  # fmt: skip
    if re.search(r"\bevery (?:other|second) day\b|\bevery two days\b", fold(text)):
        return Answer(0.5)
    if re.search(r"\bweek(?!day)|\bmonth|\bhour", fold(text)):
        return NotUnderstood(
            'How often on one weekday? Say once, twice, never, or every other day; or "don\'t know".'
        )
    if said in fixed:
        return Answer(fixed[said])
    parts = re.split(r" or | to |-", said)
    if len(parts) == 2 and all(part.strip() in fixed for part in parts):
        low, high = fixed[parts[0].strip()], fixed[parts[1].strip()]
        return AskBack("Which is nearer?", (Reading(str(low), low), Reading(str(high), high)))
    low_high = _whole(numbers.tokens(said), setting)
    return _one_of(
        [value for one in low_high if one is not None for value in one.values], "count/day", most=24
    )


def _count(text: str, setting: Setting) -> Result:
    said = fold(text).strip(" .!")
    if said in ("nobody", "no one", "none", "nothing", "no", "zero", "not one", "nobody at all"):
        return Answer(0)
    if said in ("just me", "me", "only me", "myself", "me alone", "i do it alone", "alone"):
        return Answer(1)
    said = re.sub(
        r"\b(?:of us|people|persons?|volunteers?|helpers?|hands|parents|others?|in all|times|time)\b",
        " ",
        said,
    )
    low, high = _whole(numbers.tokens(said), setting)
    if low.unit:
        raise NumberTrouble('Write a plain number, such as 3; or "don\'t know".')
    values = [value for one in (low, high) if one is not None for value in one.values]
    if len(values) == 1 and values[0] != int(values[0]):
        return NotUnderstood('Write a whole number, such as 3; or "don\'t know".')
    return _one_of(values, "count")


def _flow(text: str, setting: Setting) -> Result:
    row = [
        token
        for token in numbers.tokens(text)
        if token.text
        not in ("bucket", "takes", "fills", "filled", "full", "can", "watering", "for", "the", "to", "fill")
    ]
    gallon = _gallon(setting)
    volume: tuple[float, ...] = ()
    minutes: float | None = None
    at = 0
    while at < len(row):
        found = numbers.quantity(row, at, decimal_comma=_comma(setting))
        if found is None:
            if row[at].text in ("in", "a", "an", "per", "with", "/", "-") or row[at].kind == "stop":
                at += 1
                continue
            raise NumberTrouble(
                'Say how long a bucket takes, such as 10 litres in 40 seconds; or "don\'t know".'
            )
        amount, at = found
        if amount.unit == "in" and at < len(row):
            amount = Quantity(amount.values)
        if amount.unit in ("l/min", "gal/min", "l/h"):
            return _one_of(
                numbers.in_unit(amount, "l/min", gallon if amount.unit == "gal/min" else None), "l/min"
            )
        if amount.unit in ("litre", "gal"):
            volume = numbers.in_unit(amount, "litre", gallon)
        elif amount.unit in ("s", "min", "hour"):
            minutes = (minutes or 0) + amount.values[0] * {"s": 1 / 60, "min": 1.0, "hour": 60.0}[amount.unit]
        elif not amount.unit and len(row) == at:
            if setting.units == "metric":
                return _one_of(amount.values, "l/min")
            gallons = numbers.in_unit(Quantity(amount.values, "gal"), "litre", gallon)
            if setting.units == "us":
                return _one_of(gallons, "l/min")
            return AskBack(
                "Litres or gallons a minute?",
                (
                    Reading(f"{said_amount(amount.values[0])} litres a minute", tidy(amount.values[0])),
                    Reading(f"{said_amount(amount.values[0])} gallons a minute", tidy(gallons[0])),
                ),
            )
        else:
            raise NumberTrouble(
                'Say how long a bucket takes, such as 10 litres in 40 seconds; or "don\'t know".'
            )
    if volume and minutes:
        return _one_of([value / minutes for value in volume], "l/min")
    raise NumberTrouble(
        "I need the bucket's size and the time it takes, such as 10 litres in 40 seconds; or \"don't know\"."
    )


def read_length(text: str, setting: Setting, choices: Sequence[Choice] = (), unit: str = "m") -> Result:
    """A length in the question's unit (m or mm); a number without a unit is asked back where the units are not known."""
    named = _named_choice(text, setting, choices)
    if named is not None:
        return named
    base = unit or "m"
    if fold(text).strip(" .!") in ("none", "no", "nothing", "zero", "0"):
        return Answer(0)
    row = [
        token
        for token in numbers.tokens(text)
        if token.text not in ("long", "deep", "thick", "away", "wide", "high", "off", "far")
    ]
    low, high = _whole(row, setting)
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
                        said_amount(one.values[0], SAY_UNIT.get(name, name)),
                        tidy(convert(one.values[0], name, base)),
                    )
                    for name in (base, other)
                ),
            )
    return _one_of(values, base)


def read_area(text: str, setting: Setting, _choices: Sequence[Choice] = (), _unit: str = "m2") -> Result:
    """An area in m²: 3/4 acre, 100 x 60 yd, a goalmouth; a share of the field comes back as Share."""
    said = fold(text).strip(" .!")
    named = _named_area(said, setting)
    if named is not None:
        return named
    row = [
        token for token in numbers.tokens(text) if token.text not in ("big", "large", "long", "wide", "area")
    ]
    row = [Token("sign", "x") if token.text in ("by", "times") else token for token in row]
    cross = [at for at, token in enumerate(row) if token.text == "x"]
    if len(cross) == 1:
        several = _several(row[: cross[0]], row[cross[0] + 1 :], setting)
        return several if several is not None else _sides(row[: cross[0]], row[cross[0] + 1 :], setting)
    of = [at for at, token in enumerate(row) if token.text == "of"]
    if len(of) == 1 and of[0] > 0:
        several = _several(row[: of[0]], row[of[0] + 1 :], setting)
        if several is not None:
            return several
    if cross:
        raise NumberTrouble("Write two sides only, such as 100 x 60 m.")
    if (
        any(token.text in ("percent", "%") for token in row)
        or re.search(r"\bof (?:the|it|our|this)\b", said)
        or (
            len(row) <= 2
            and row
            and row[0].kind == "word"
            and numbers.figure(row, 0) is not None
            and not numbers.unit_at(row, (numbers.figure(row, 0) or ((), 0))[1])[0]
            and (numbers.figure(row, 0) or ((9.0,), 0))[0][0] <= 1
        )
    ):
        share = read_percent(text, setting)
        if isinstance(share, Answer):
            return Answer(Share(float(share.value)))
        return share
    low, high = _whole(row, setting)
    if high is not None and low.unit != high.unit:
        raise NumberTrouble("Write one area, such as 3/4 acre or 7,140 m².")
    values: list[tuple[str, float]] = []
    for one in (low, high):
        if one is None:
            continue
        if one.unit:
            values += [
                (said_amount(v, SAY_UNIT.get(one.unit, one.unit)), convert_area(v, one.unit))
                for v in one.values
            ]
            continue
        for name in {"metric": ("m2",), "us": ("ft2",)}.get(setting.units or "", ("m2", "ft2")):
            values += [(said_amount(v, SAY_UNIT[name]), convert_area(v, name)) for v in one.values]
    if any(value <= 0 for _, value in values):
        return NotUnderstood("An area is more than 0. Write it as 7,140 m², 3/4 acre or 100 x 60 yd.")
    if len(values) == 1:
        return Answer(tidy(values[0][1]))
    return AskBack(
        "Which area is meant?", tuple(Reading(said_area, tidy(value)) for said_area, value in values[:4])
    )


def convert_area(amount: float, unit: str) -> float:
    """`amount` of an area unit in m²; NumberTrouble where the unit is none of area."""
    return numbers.in_unit(Quantity((amount,), unit), "m2")[0]


def _several(left: list[Token], right: list[Token], setting: Setting) -> Result | None:
    """So many places of one area, such as 2 x 60 m²; None where it is anything else."""
    if not left or not right or numbers.figure(left, 0) is None:
        return None
    try:
        (count, each), (low, high) = _whole(left, setting), _whole(right, setting)
        if (
            each is not None
            or high is not None
            or count.unit
            or not low.unit
            or len(count.values) > 1
            or len(low.values) > 1
        ):
            return None
        area = count.values[0] * convert_area(low.values[0], low.unit)
    except NumberTrouble:
        return None
    return Answer(tidy(area)) if area > 0 and count.values[0] == int(count.values[0]) else None


def _sides(left: list[Token], right: list[Token], setting: Setting) -> Result:
    a, _ = _whole(left, setting)
    b, _ = _whole(right, setting)
    unit_a, unit_b = a.unit or b.unit, b.unit or a.unit
    if len(a.values) > 1 or len(b.values) > 1:
        raise NumberTrouble("Write the two sides without dots or commas, such as 100 x 60 m.")
    if unit_a:
        area = (
            numbers.in_unit(Quantity(a.values, unit_a), "m")[0]
            * numbers.in_unit(Quantity(b.values, unit_b), "m")[0]
        )
        if area <= 0:
            return NotUnderstood("An area is more than 0. Write it as 7,140 m², 3/4 acre or 100 x 60 yd.")
        return Answer(tidy(area))
    product = a.values[0] * b.values[0]
    if product <= 0:
        return NotUnderstood("An area is more than 0. Write it as 7,140 m², 3/4 acre or 100 x 60 yd.")
    if setting.units == "metric":
        return Answer(tidy(product))
    pair = ("ft", "yd") if setting.units == "us" else ("m", "yd")
    return AskBack(
        "Which unit is meant?",
        tuple(
            Reading(
                f"{said_amount(a.values[0])} x {said_amount(b.values[0])} {SAY_UNIT[name]}",
                tidy(product * convert(1, name, "m") ** 2),
            )
            for name in pair
        ),
    )


def _named_area(said: str, setting: Setting) -> Result | None:
    for name, area in setting.named_areas.items():
        key = [singular(word) for word in words(name)]
        row = [singular(word) for word in words(said)]
        row = [
            word
            for word in row
            if word not in ("about", "size", "of", "the", "like", "just", "whole", "roughly", "around")
        ]
        if len(row) < len(key) or row[-len(key) :] != key:
            continue
        lead = row[: -len(key)]
        count = 1.0
        if lead in ([], ["a"], ["an"], ["one"]):
            count = 1.0
        elif lead == ["both"]:
            count = 2.0
        else:
            found = numbers.figure(numbers.tokens(" ".join(lead)), 0)
            if found is None or found[1] != len(numbers.tokens(" ".join(lead))):
                continue
            count = found[0][0]
        if count > 0:
            return Answer(tidy(count * area), f"I take {said_amount(count * area)} m².")
    return None


def read_money(text: str, setting: Setting, choices: Sequence[Choice] = (), _unit: str = "") -> Result:
    """A sum: about 2 grand, 1.5k, £500; a range gives its lower end, since advice never leans on money not there."""
    said = fold(text).strip(" .!?")
    if said in (
        "nothing",
        "none",
        "no money",
        "zero",
        "nil",
        "0",
        "no",
        "no budget",
        "not a penny",
        "not a cent",
        "broke",
    ):
        return Answer(Money(0.0))
    if not any(letter.isdigit() for letter in said) and choices:
        found_choice = matching(text, choices, setting)
        if len(found_choice) == 1:
            value = found_choice[0].value
            return Answer(Money(float(value))) if isinstance(value, (int, float)) else Answer(value)
    if re.search(r"\b(?:few|several|some|many)\b(?! money)", said):
        raise NumberTrouble('Give a rough sum, such as 300 or 2 grand; or "don\'t know".')
    said = re.sub(r"\b(?:money|budget|cash|to spend|in the bank|of it|left)\b", " ", said)
    row = numbers.tokens(re.sub(r"(?<=[0-9])(?=k\b)", " ", said))
    currency: str | None = None
    pounds = False
    kept: list[Token] = []
    for token in row:
        name = _MONEY_WORDS.get(token.text)
        if name is not None:
            currency = currency or name
        elif token.text in ("pound", "pounds"):
            pounds = True
        elif token.kind == "stop" and token.text == ".":
            continue
        else:
            kept.append(token)
    found = numbers.span(kept, decimal_comma=_comma(setting))
    if found is None or found[2] != len(kept):
        raise NumberTrouble('Give a rough sum, such as 300, £500 or 2 grand; or "don\'t know".')
    low, high, _ = found
    if low.unit in ("kg", "g", "lb", "oz", "t"):
        return NotUnderstood("That is a weight. This asks for money, such as 500 or 2 grand.")
    if low.unit:
        raise NumberTrouble('Give a rough sum, such as 300, £500 or 2 grand; or "don\'t know".')
    country = (setting.country or "").lower()
    if currency == "$":
        currency = _DOLLARS.get(country, "USD")
    if pounds and currency is None:
        if country == "gb":
            currency = "GBP"
        else:
            weight = Elsewhere(
                "This asks how much money there is, not a weight. Give a rough sum, such as 500 or 2 grand."
            )
            return AskBack(
                "Is that money or weight?",
                (
                    Reading(f"£{said_amount(low.values[0])}, money", Money(low.values[0], "GBP")),
                    Reading(f"{said_amount(low.values[0])} lb, weight", weight),
                ),
            )
    if len(low.values) > 1:
        sign = SAY_CURRENCY.get(currency or "", "")
        return AskBack(
            "Which sum is meant?",
            tuple(Reading(f"{sign}{said_amount(v)}", Money(v, currency)) for v in low.values),
        )
    first = low.values[0]
    if high is not None:
        if first < 100 <= high.values[0] and high.values[0] >= 1000 and first * 1000 <= high.values[0]:
            first *= 1000
        note = f"I take the lower end, {said_amount(min(first, high.values[0]))}."
        return Answer(Money(min(first, high.values[0]), currency), note)
    return Answer(Money(first, currency))
