"""Numbers and quantities as people say them: 3/4 acre, about 2 grand, 100 x 60 yd, half, 10 litres in 40
seconds.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
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
    "about around roughly approx approximately circa ca maybe perhaps think i i'd it it's its is are was "
    "the say probably nearly almost just only so or we we've we'll have got there there's there'll total "
    "altogether some guess reckon would be well oh um er hmm ok okay at most least up over under less more "
    "than like call odd please my our that's that ish near close"
)
UNITS: Final = {
    "m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m", "cm": "cm", "centimetre": "cm",
    "centimetres": "cm", "centimeter": "cm", "centimeters": "cm", "mm": "mm", "millimetre": "mm",
    "millimetres": "mm", "millimeter": "mm", "millimeters": "mm", "mil": "mm", "km": "km", "kilometre": "km",
    "kilometres": "km", "kilometer": "km", "kilometers": "km",
    "mile": "mile", "miles": "mile", "ft": "ft", "foot": "ft", "feet": "ft",
    "'": "ft", "in": "in", "inch": "in", "inches": "in", '"': "in", "yd": "yd", "yds": "yd", "yard": "yd",
    "yards": "yd", "m2": "m2", "m3": "m3", "sqm": "m2", "ha": "ha", "hectare": "ha", "hectares": "ha",
    "acre": "acre", "acres": "acre",
    "ac": "acre", "ft2": "ft2", "sqft": "ft2", "yd2": "yd2", "sqyd": "yd2", "sqyds": "yd2",
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
    folded = re.sub(r"\bcubic (?:metres?|meters?|m)\b", "m3", folded)
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


_Figure = tuple[tuple[float, ...], int]


def figure(row: Sequence[Token], at: int, *, decimal_comma: bool = False) -> _Figure | None:
    """The number that starts at token `at`, as its readings and the place after it; None where there
    is none.
    """
    if at >= len(row) or row[at].kind not in ("number", "word"):
        return None
    words = _Words(row)
    return words.digits(at, decimal_comma) if row[at].kind == "number" else words.spoken(at)


class _Words:
    """The tokens of an answer, read as numbers in figures or in words."""

    def __init__(self, row: Sequence[Token]) -> None:
        self.row = row

    def word(self, place: int) -> str:
        return self.row[place].text if 0 <= place < len(self.row) else ""

    def is_number(self, place: int) -> bool:
        return place < len(self.row) and self.row[place].kind == "number"

    def part(self, place: int) -> int | None:
        """3 for a third, 4 for quarters."""
        name = self.word(place)
        return _PARTS.get(name) or _PARTS.get(name.removesuffix("s"))

    def digits(self, at: int, decimal_comma: bool) -> _Figure:
        """A number in figures, with a fraction or the words that multiply it."""
        values = literal(self.row[at].text, decimal_comma=decimal_comma)
        place = at + 1
        if self.word(place) == "/" and self.is_number(place + 1):
            return self.tail((values[0] / self._below(place + 1),), place + 2)
        if self.is_number(place) and self.word(place + 1) == "/" and self.is_number(place + 2):
            above = literal(self.word(place))[0]
            return self.tail((values[0] + above / self._below(place + 2),), place + 3)
        part = self.part(place)
        if part:
            return self.tail((values[0] / part,), place + 1)
        if self.word(place) == "hundred":
            values, place = tuple(v * 100 for v in values), place + 1
        return self.tail(values, place)

    def _below(self, place: int) -> float:
        below = literal(self.word(place))[0]
        if below == 0:
            raise NumberTrouble("Nothing can be divided by 0.")
        return below

    def spoken(self, at: int) -> _Figure | None:
        """A number in words."""
        name, part = self.word(at), self.part(at)
        if name == "half":
            if self.word(at + 1) in ("a", "an") and self.word(at + 2) in ("dozen", "million"):
                return (0.5 * _TIMES[self.word(at + 2)],), at + 3
            return (0.5,), at + 1
        if part and name not in ("second", "seconds"):
            return (1 / part,), at + 1
        if name in ("a", "an"):
            return self._after_article(at + 1)
        if name == "couple":
            return self._couple(at)
        part = self.part(at + 1)
        if name in _ONES and part:
            return self.tail((_ONES[name] / part,), at + 2)
        return self.spelled(at, 0.0) if name in _ONES or name in _TENS else None

    def _after_article(self, at: int) -> _Figure | None:
        """What "a" counts: a third, a couple, a hundred, a dozen, an acre."""
        name, part = self.word(at), self.part(at)
        if part:
            return self.tail((1 / part,), at + 1)
        if name == "couple":
            return self._couple(at)
        if name == "hundred":
            return self.spelled(at, 1.0)
        if name in _TIMES:
            return self.tail((1.0,), at)
        return ((1.0,), at) if name in UNITS or name in ("square", "sq") else None

    def _couple(self, at: int) -> _Figure:
        place = at + (2 if self.word(at + 1) == "of" else 1)
        return self.tail((200.0,), place + 1) if self.word(place) == "hundred" else self.tail((2.0,), place)

    def tail(self, values: tuple[float, ...], place: int) -> _Figure:
        """A number with what follows it: and a half, and two thirds, thousand."""
        if self.word(place) == "and":
            more, after = self._and_part(place + 1)
            values, place = tuple(v + more for v in values), after if more else place
        if self.word(place) in _TIMES:
            values, place = tuple(v * _TIMES[self.word(place)] for v in values), place + 1
        return values, place

    def _and_part(self, place: int) -> tuple[float, int]:
        """The part after an "and", 0 where there is none, and the place after it."""
        name, part = self.word(place), self.part(place + 1)
        if name in ("a", "one") and part:
            return 1 / part, place + 2
        if name == "half":
            return 0.5, place + 1
        if name in _ONES and part:
            return _ONES[name] / part, place + 2
        return 0.0, place

    def spelled(self, at: int, start: float) -> _Figure:
        """A number of several words: one hundred and twenty-five thousand."""
        total, current, place, small = 0.0, start, at, True
        while place < len(self.row):
            name = self.word(place)
            if name in _TENS and small:
                units, place = self._units_of_tens(place + 1)
                current, small = current + _TENS[name] + units, False
            elif name in _ONES and small:
                current, place, small = current + _ONES[name], place + 1, False
            elif name == "hundred" and current < 100:
                current, place, small = (current or 1) * 100, place + 1, True
            elif name == "thousand" and not total:
                total, current, place, small = (current or 1) * 1000, 0.0, place + 1, True
            elif name == "and" and current >= 100 and self._counts_on(place + 1):
                place += 1
            else:
                break
        return self.tail((total + current,), place)

    def _units_of_tens(self, place: int) -> tuple[float, int]:
        """The one to nine after a twenty, and the place after it."""
        if self.word(place) == "-" and self.word(place + 1) in _ONES:
            place += 1
        units = _ONES.get(self.word(place), 0)
        return (units, place + 1) if 0 < units < 10 else (0, place)

    def _counts_on(self, place: int) -> bool:
        """Whether a number goes on after an "and", rather than a part of one."""
        return self.word(place) in (*_ONES, *_TENS) and self.word(place + 1).removesuffix("s") not in _PARTS


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
