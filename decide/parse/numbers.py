"""Numbers and quantities as people say them: 3/4 acre, about 2 grand, 100 x 60 yd, half, 10 litres in 40
seconds.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from decide.model.units import convert
from decide.parse.plain import fold, spaced

IMPERIAL_GALLON: Final = 4.54609  # litres, by definition
_DIGITS: Final = 12
_TOKEN: Final = re.compile(
    r"""(?P<number>[0-9]{1,3}(?:[ ][0-9]{3})+(?![0-9])|[0-9]+(?:[.,][0-9]+|'[0-9]{3}(?![0-9]))*|\.[0-9]+)"""
    r"""|(?P<word>(?:m2|m3|ft2|yd2|in2|l/min|l/h|gal/min|[a-z]+(?:'[a-z]+)?))|(?P<sign>[%€$£/x~&'"+-])|(?P<other>\S)"""
)
_ONES: Final = {
    "zero": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8,
    "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15,
    "sixteen": 16, "seventeen": 17, "eighteen": 18, "nineteen": 19,
}  # fmt: skip
_TENS: Final = {
    "twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60, "seventy": 70,
    "eighty": 80, "ninety": 90,
}  # fmt: skip
_TIMES: Final = {"k": 1e3, "grand": 1e3, "thousand": 1e3, "thousands": 1e3, "million": 1e6, "dozen": 12.0}
_PARTS: Final = {
    "half": 2, "halves": 2, "third": 3, "quarter": 4, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7,
    "eighth": 8, "ninth": 9, "tenth": 10,
}  # fmt: skip
_FILLERS: Final = spaced(
    "about around roughly approx approximately circa ca maybe perhaps think i i'd it it's its is are was the say "
    "probably nearly almost just only so or we we've we'll have got there there's there'll total altogether some "
    "guess reckon would be well oh um er hmm ok okay at most least up over under less more than please my our "
    "that's that ish near close"
)
UNITS: Final = {
    "m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m", "cm": "cm", "centimetre": "cm",
    "centimetres": "cm", "centimeter": "cm", "centimeters": "cm", "mm": "mm", "millimetre": "mm",
    "millimetres": "mm", "millimeter": "mm", "millimeters": "mm", "mil": "mm", "km": "km", "kilometre": "km",
    "kilometres": "km", "kilometer": "km", "kilometers": "km", "ft": "ft", "foot": "ft", "feet": "ft",
    "'": "ft", "in": "in", "inch": "in", "inches": "in", '"': "in", "yd": "yd", "yds": "yd", "yard": "yd",
    "yards": "yd", "m2": "m2", "sqm": "m2", "ha": "ha", "hectare": "ha", "hectares": "ha", "acre": "acre",
    "acres": "acre", "ac": "acre", "ft2": "ft2", "sqft": "ft2", "yd2": "yd2", "sqyd": "yd2", "sqyds": "yd2",
    "litre": "litre", "litres": "litre", "liter": "litre", "liters": "litre", "l": "litre", "gallon": "gal",
    "gallons": "gal", "gal": "gal", "gals": "gal", "l/min": "l/min", "lpm": "l/min", "gpm": "gal/min",
    "gal/min": "gal/min", "l/h": "l/h", "kg": "kg", "kilo": "kg", "kilos": "kg", "kilogram": "kg",
    "kilograms": "kg", "g": "g", "gram": "g", "grams": "g", "lb": "lb", "lbs": "lb", "oz": "oz",
    "ounce": "oz", "ounces": "oz", "tonne": "t", "tonnes": "t", "h": "hour", "hr": "hour", "hrs": "hour",
    "hour": "hour", "hours": "hour", "min": "min", "mins": "min", "minute": "min", "minutes": "min", "s": "s",
    "sec": "s", "secs": "s", "second": "s", "seconds": "s", "day": "day", "days": "day", "week": "week",
    "weeks": "week", "fortnight": "fortnight", "fortnights": "fortnight", "month": "month", "months": "month",
    "year": "year", "years": "year", "yr": "year", "yrs": "year", "wk": "week", "wks": "week", "%": "percent",
    "percent": "percent",
}  # fmt: skip
_SQUARE: Final = {"m": "m2", "ft": "ft2", "yd": "yd2", "in": "in2"}


class NumberTrouble(Exception):  # noqa: N818 - it is said to the person, and is no fault of the program
    """A number that is not read; the text says what would do."""


@dataclass(frozen=True)
class Token:
    """One word, number or sign of an answer."""

    kind: str
    text: str


@dataclass(frozen=True)
class Quantity:
    """A number with its possible readings (the likeliest first), and its unit ("" where none was said)."""

    values: tuple[float, ...]
    unit: str = ""


def tokens(text: str, *, keep_fillers: bool = False) -> list[Token]:
    """The tokens of an answer without the small words; NumberTrouble where it holds a power or a strange
    sign.
    """
    folded = fold(text)
    if "**" in folded or "^" in folded or re.search(r"[0-9]e[+-]?[0-9]", folded):
        raise NumberTrouble("I read plain numbers only, such as 1500 or 3/4.")
    folded = (
        folded.replace("per cent", "percent").replace("sq.", "sq").replace("a.m.", "am").replace("p.m.", "pm")
    )
    folded = re.sub(r"(?<=[0-9a-z'\"])\s*[x*]\s*(?=[0-9])", " x ", folded)
    folded = re.sub(r"\blit(?:re|er)s?\s*(?:/|per|a)\s*min(?:ute|s)?\b", "l/min", folded)
    folded = re.sub(r"\bl\s*(?:/|per|a)\s*min(?:ute|s)?\b", "l/min", folded)
    folded = re.sub(r"\bgal(?:lon)?s?\s*(?:/|per|a)\s*min(?:ute|s)?\b", "gal/min", folded)
    folded = re.sub(r"\b(?:l|lit(?:re|er)s?)\s*(?:/|per|an)\s*h(?:ou)?r?\b", "l/h", folded)
    out: list[Token] = []
    for match in _TOKEN.finditer(folded):
        kind, piece = str(match.lastgroup), match.group()
        if kind == "other":
            if piece in ".,;:!?()":
                out.append(Token("stop", piece))
                continue
            raise NumberTrouble(f"I cannot read the sign {piece!r} in a number.")
        if kind == "sign" and piece == "~":
            continue
        if kind == "word" and piece in _FILLERS and not keep_fillers:
            continue
        out.append(Token(kind, piece))
    while out and out[-1].kind == "stop":
        out.pop()
    return out


def literal(text: str, *, decimal_comma: bool = False) -> tuple[float, ...]:
    """The readings of a number written in figures: "1.500" may be 1500 or 1.5."""
    if sum(letter.isdigit() for letter in text) > _DIGITS:
        raise NumberTrouble("That number is too long to be meant. Write it with at most 12 figures.")
    plain = text.replace(" ", "")
    if re.fullmatch(r"[0-9]{1,3}(?:'[0-9]{3})+(?:\.[0-9]+)?", plain):
        plain = plain.replace("'", "")
    marks = [letter for letter in plain if letter in ".,"]
    groups = re.split(r"[.,]", plain)
    if "'" in plain:
        raise NumberTrouble(f"I cannot read {text!r} as a number.")
    if not marks:
        return (float(plain),)
    thousands = (
        len(groups[0]) in (1, 2, 3) and groups[0] != "0" and all(len(group) == 3 for group in groups[1:])
    )
    if len(set(marks)) == 2:
        head, mark, tail = plain[: plain.rindex(marks[-1])], marks[-1], groups[-1]
        other = "," if mark == "." else "."
        if marks.count(mark) > 1 or not re.fullmatch(rf"[0-9]{{1,3}}(?:\{other}[0-9]{{3}})+", head):
            raise NumberTrouble(f"I cannot read {text!r} as a number.")
        return (float(head.replace(other, "") + "." + tail),)
    if len(marks) > 1:
        if not thousands:
            raise NumberTrouble(f"I cannot read {text!r} as a number.")
        return (float("".join(groups)),)
    whole, part = float("".join(groups)) if thousands else 0.0, float((groups[0] or "0") + "." + groups[1])
    if not thousands:
        return (part,)
    if marks[0] == "," and not decimal_comma:
        return (whole,)
    return (whole, part)


def figure(
    row: Sequence[Token], at: int, *, decimal_comma: bool = False
) -> tuple[tuple[float, ...], int] | None:
    """The number that starts at token `at`, as its readings and the place after it; None where there is
    none.
    """
    size = len(row)

    def word(place: int) -> str:
        return row[place].text if 0 <= place < size else ""

    def part_of(place: int) -> int | None:
        name = word(place)
        return _PARTS.get(name) or _PARTS.get(name.removesuffix("s"))

    def tail(values: tuple[float, ...], place: int) -> tuple[tuple[float, ...], int]:
        if word(place) == "and" and word(place + 1) in ("a", "one") and part_of(place + 2):
            values, place = tuple(v + 1 / (part_of(place + 2) or 1) for v in values), place + 3
        elif word(place) == "and" and word(place + 1) == "half":
            values, place = tuple(v + 0.5 for v in values), place + 2
        elif word(place) == "and" and word(place + 1) in _ONES and part_of(place + 2):
            values, place = (
                tuple(v + _ONES[word(place + 1)] / (part_of(place + 2) or 1) for v in values),
                place + 3,
            )
        if word(place) in _TIMES:
            values, place = tuple(v * _TIMES[word(place)] for v in values), place + 1
        return values, place

    if at >= size:
        return None
    first = row[at]
    if first.kind == "number":
        values = literal(first.text, decimal_comma=decimal_comma)
        place = at + 1
        if word(place) == "/" and place + 1 < size and row[place + 1].kind == "number":
            below = literal(row[place + 1].text)
            if below[0] == 0:
                raise NumberTrouble("Nothing can be divided by 0.")
            return tail((values[0] / below[0],), place + 2)
        if (
            place + 2 < size
            and row[place].kind == "number"
            and word(place + 1) == "/"
            and row[place + 2].kind == "number"
        ):
            below = literal(row[place + 2].text)
            if below[0] == 0:
                raise NumberTrouble("Nothing can be divided by 0.")
            return tail((values[0] + literal(row[place].text)[0] / below[0],), place + 3)
        if part_of(place):
            return tail((values[0] / (part_of(place) or 1),), place + 1)
        if word(place) == "hundred":
            values, place = tuple(v * 100 for v in values), place + 1
        return tail(values, place)
    if first.kind != "word":
        return None
    name = first.text
    if name == "half":
        place = at + 1
        if word(place) in ("a", "an") and word(place + 1) in ("dozen", "million"):
            return (0.5 * _TIMES[word(place + 1)],), place + 2
        return (0.5,), place
    if part_of(at) and name not in ("second", "seconds"):
        return (1 / (part_of(at) or 1),), at + 1
    if name in ("a", "an"):
        following = word(at + 1)
        if part_of(at + 1):
            return tail((1 / (part_of(at + 1) or 1),), at + 2)
        if following == "couple":
            return tail((2.0,), at + (3 if word(at + 2) == "of" else 2))
        if following == "hundred":
            return _spelled(row, at + 1, 1.0, tail)
        if following in _TIMES:
            return tail((1.0,), at + 1)
        if following in UNITS or following in ("square", "sq"):
            return (1.0,), at + 1
        return None
    if name == "couple":
        return tail((2.0,), at + (2 if word(at + 1) == "of" else 1))
    if name in _ONES or name in _TENS:
        if name in _ONES and part_of(at + 1):
            return tail((_ONES[name] / (part_of(at + 1) or 1),), at + 2)
        return _spelled(row, at, 0.0, tail)
    return None


_Figure = tuple[tuple[float, ...], int]


def _spelled(
    row: Sequence[Token], at: int, start: float, tail: Callable[[tuple[float, ...], int], _Figure]
) -> _Figure:
    total, current, place, small = 0.0, start, at, True
    size = len(row)
    while place < size:
        name = row[place].text
        if name in _TENS and small:
            current, place = current + _TENS[name], place + 1
            if place < size and row[place].text == "-" and place + 1 < size and row[place + 1].text in _ONES:
                place += 1
            if place < size and 0 < _ONES.get(row[place].text, 0) < 10:
                current, place = current + _ONES[row[place].text], place + 1
            small = False
        elif name in _ONES and small:
            current, place, small = current + _ONES[name], place + 1, False
        elif name == "hundred" and current < 100:
            current, place, small = (current or 1) * 100, place + 1, True
        elif name == "thousand" and not total:
            total, current, place, small = (current or 1) * 1000, 0.0, place + 1, True
        elif (
            name == "and" and place + 1 < size and row[place + 1].text in (*_ONES, *_TENS) and current >= 100
        ):
            following = row[place + 2].text if place + 2 < size else ""
            if following.removesuffix("s") in _PARTS:
                break
            place += 1
        else:
            break
    return tail((total + current,), place)


def unit_at(row: Sequence[Token], at: int) -> tuple[str, int]:
    """The unit that starts at token `at` ("" where none does) and the place after it."""
    size = len(row)
    place = at
    if place < size and row[place].text == "of":
        place += 1
    article = place < size and row[place].text in ("a", "an")
    if article and (place > at or (place + 1 < size and _starts_unit(row, place + 1))):
        place += 1
    if place >= size:
        return "", at
    name = row[place].text
    if name in ("square", "sq") and place + 1 < size:
        length = UNITS.get(row[place + 1].text, "")
        if length in _SQUARE:
            return _SQUARE[length], place + 2
        return "", at
    unit = UNITS.get(name, "")
    if unit in _SQUARE and place + 1 < size and row[place + 1].text in ("square", "squared"):
        return _SQUARE[unit], place + 2
    return (unit, place + 1) if unit else ("", at)


def _starts_unit(row: Sequence[Token], place: int) -> bool:
    return row[place].text in UNITS or row[place].text in ("square", "sq")


def quantity(
    row: Sequence[Token], at: int = 0, *, decimal_comma: bool = False
) -> tuple[Quantity, int] | None:
    """The quantity that starts at token `at` ("1 1/2 acres", "half an acre") and the place after it."""
    found = figure(row, at, decimal_comma=decimal_comma)
    if found is None:
        return None
    values, place = found
    unit, place = unit_at(row, place)
    size = len(row)
    if unit and place + 2 < size + 1 and place < size and row[place].text == "and":
        more = figure(row, place + 1)
        if more is not None and more[1] == size and more[0][0] < 1:
            return Quantity(tuple(v + more[0][0] for v in values), unit), size
    if unit == "ft" and place < size and row[place].kind == "number":
        inches = figure(row, place)
        if inches is not None:
            inch, after = unit_at(row, inches[1])
            if inch in ("in", ""):
                return Quantity(
                    tuple(v + inches[0][0] / 12 for v in values), "ft"
                ), after if inch else inches[1]
    if unit == "hour" and place < size and row[place].kind == "number":
        minutes = figure(row, place)
        if minutes is not None:
            name, after = unit_at(row, minutes[1])
            if name in ("min", ""):
                return Quantity(
                    tuple(v + minutes[0][0] / 60 for v in values), "hour"
                ), after if name else minutes[1]
    return Quantity(values, unit), place


def span(
    row: Sequence[Token], *, decimal_comma: bool = False
) -> tuple[Quantity, Quantity | None, int] | None:
    """A quantity or a range of two ("20 to 30 %", "between 5 and 6 weeks") at the start of the tokens."""
    at = 1 if row and row[0].text in ("between", "from") else 0
    first = quantity(row, at, decimal_comma=decimal_comma)
    if first is None:
        return None
    low, place = first
    joins = ("-", "to", "and") if at else ("-", "to")
    if place < len(row) and row[place].text in joins:
        second = quantity(row, place + 1, decimal_comma=decimal_comma)
        if second is not None:
            high, place = second
            unit = low.unit or high.unit
            if len(low.values) == 1 and len(high.values) == 1:
                return Quantity(low.values, unit), Quantity(high.values, high.unit or unit), place
            raise NumberTrouble("Write one number without dots or commas, such as 1500.")
    return low, None, place


def in_unit(amount: Quantity, unit: str, gallon: float | None = None) -> tuple[float, ...]:
    """The readings of `amount` in `unit`; NumberTrouble where it measures something else."""
    if amount.unit in ("gal", "gal/min") and gallon is not None:
        factor = gallon
        return tuple(v * factor for v in amount.values)
    try:
        return tuple(convert(v, amount.unit, unit) for v in amount.values)
    except Exception as error:
        raise NumberTrouble(f"{amount.unit} does not fit here.") from error


def tidy(amount: float) -> float | int:
    """`amount` without the dust of unit conversion: whole where it is whole, else at most three decimals."""
    rounded = round(amount, 3)
    return int(rounded) if rounded == int(rounded) else rounded
