"""Numbers, days, lists and amounts in the words of a language, whose customs come from Babel."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Sequence
from functools import lru_cache
from typing import Final

from babel import Locale
from babel.dates import format_date
from babel.lists import format_list
from babel.numbers import format_decimal

from decide.model.units import US_UNITS, System, convert

_HAIR: Final = 1e-6
_NO_DECIMALS_FROM: Final = 100
_ONE_DECIMAL_FROM: Final = 10

LOCALE: Final = Locale.parse("en_GB")
MONTH_NAMES: Final[tuple[str, ...]] = tuple(LOCALE.months["format"]["wide"].values())
# Each unit by its plural forms; a unit that is not here is its own word.
_ONE, _OTHER = range(2)
_WORDS: Final = {
    "percent": ("%", "%"),
    "C": ("°C", "°C"),
    "F": ("°F", "°F"),
    "count": ("", ""),
    "count/day": ("", ""),
    "litre": ("litres", "litres"),
    "l/day": ("litres a day", "litres a day"),
    "gal/day": ("gallons a day", "gallons a day"),
    "gal": ("gallons", "gallons"),
    "K-day": ("degree-days (C)", "degree-days (C)"),
    "F-day": ("degree-days (F)", "degree-days (F)"),
    "h/week": ("hour a week", "hours a week"),
    "h/year": ("hour a year", "hours a year"),
    "day": ("day", "days"),
    "week": ("week", "weeks"),
    "month": ("month", "months"),
    "hour": ("hour", "hours"),
    "m2": ("m²", "m²"),
    "ft2": ("ft²", "ft²"),
    "m3": ("m³", "m³"),
    "yd3": ("yd³", "yd³"),
    "ft3": ("ft³", "ft³"),
    "bu/1000ft2": ("official bushels per 1,000 ft²", "official bushels per 1,000 ft²"),
    "g/m2": ("g/m²", "g/m²"),
    "lb/1000ft2": ("lb per 1,000 ft²", "lb per 1,000 ft²"),
    "litre/m2": ("litres per m²", "litres per m²"),
    "gal/1000ft2": ("gallons per 1,000 ft²", "gallons per 1,000 ft²"),
    "pH": ("pH", "pH"),
    "ratio": ("", ""),
    "mm/week": ("mm a week", "mm a week"),
    "in/week": ("in a week", "in a week"),
    "mm/day": ("mm a day", "mm a day"),
    "in/day": ("in a day", "in a day"),
    "money": ("", ""),
    "gmax": ("Gmax", "Gmax"),
    "N-m": ("N m", "N m"),
    "l/min": ("litres a minute", "litres a minute"),
    "gal/min": ("gallons a minute", "gallons a minute"),
    "count/m2": ("per m²", "per m²"),
    "count/ft2": ("per ft²", "per ft²"),
    "money/m2": ("per m²", "per m²"),
    "money/ft2": ("per ft²", "per ft²"),
    "t": ("t", "t"),
    "short-ton": ("ton (2,000 lb)", "tons (2,000 lb)"),
    "money/t": ("a t", "a t"),
    "money/short-ton": ("a ton", "a ton"),
    "money/kg": ("a kg", "a kg"),
    "money/lb": ("a lb", "a lb"),
}
# Numbers are kept as their sources print them; who measures in metres reads none in feet.
_METRIC: Final = {"in": "mm", "ft": "m", "ft2": "m2", "lb": "kg", "lb/1000ft2": "g/m2", "F": "C"}
_DUAL: Final = re.compile(
    r"(\d[\d.,]*(?: to \d[\d.,]*)? (?:mm|cm|m²|m|g/m²|kg|litres|l)) "
    r"\((\d[\d.,]*(?: to \d[\d.,]*)? (?:in|ft²|ft|yd|lb per 1,000 ft²|lb|gal))\)"
)
_RANGE: Final = re.compile(
    r"(?<![\w.,])(\d[\d.,]*) ([^\d\s]\S*(?: per 1,000 ft²| per m²| a \w+)?) to (\d[\d.,]*) \2(?!\S*\w)"
)
# Units in which a figure of two digits is as fine as it is known.
_COARSE: Final = ("gal/1000ft2", "lb/1000ft2", "ft", "lb", "litre", "l/day", "gal", "gal/day")
# Steps in which people tell a length, each up to an end: 25 mm and 65 mm, 0.35 in and 4 in.
_STEPS: Final = {
    "mm": ((3, 0.1), (10, 0.5), (40, 1), (100, 5), (math.inf, 10)),
    "in": ((0.2, 0.01), (1, 0.05), (3, 0.1), (12, 0.5), (math.inf, 1)),
    "F": ((math.inf, 1),),
    "g/m2": ((3, 0.1), (10, 0.5), (100, 1), (math.inf, 10)),
    "ft": ((3, 0.1), (20, 0.5), (math.inf, 1)),
    "m2": ((10, 0.1), (math.inf, 1)),
}


def day(date: dt.date) -> str:
    """A date that can be read one way only: "20 May 2026"."""
    return format_date(date, "d MMMM yyyy", locale=LOCALE)


def listed(words: Sequence[str], last: str = "and") -> str:
    """Words in a row: "a, b and c"; with "or", "a, b or c"."""
    return format_list(list(words), style="or" if last == "or" else "standard", locale=LOCALE)


def _as_shown(amount: float) -> float:
    """No more than three significant figures below 100."""
    size = abs(amount)
    return round(
        amount,
        0 if size >= _NO_DECIMALS_FROM or amount == int(amount) else 1 if size >= _ONE_DECIMAL_FROM else 2,
    )


def number(amount: float) -> str:
    """A number for people: thousands marked, no more than three significant figures below 100."""
    return _digits(str(_as_shown(amount)))


# An advice says the same few hundred numbers over and over, and each takes the library long. The key is text
# because nothing and minus nothing are the same number.
@lru_cache(maxsize=4096)
def _digits(written: str) -> str:
    return format_decimal(written, "#,##0.##", locale=LOCALE)


def _with_unit(said: str, amount: float, unit: str) -> str:
    if unit == "pH":
        return f"{unit} {said}"
    forms = _WORDS.get(unit, (unit, unit))
    word = forms[_ONE if LOCALE.plural_form(abs(_as_shown(amount))) == "one" else _OTHER]
    return f"{said}{word}" if word == "%" else f"{said} {word}".rstrip()


def show(amount: float, unit: str, system: System = "metric") -> str:
    """`amount` in `unit`, worded in the user's system of units."""
    if unit == "bu":
        unit, amount = "litre", convert(amount, "bu", "litre")
    if system == "us" and unit in US_UNITS:
        target = US_UNITS[unit]
        # Depths of rain are read by the week in both systems.
        amount = convert(amount, "mm", "in") if unit == "mm/week" else convert(amount, unit, target)
        unit = target
    elif system == "metric" and unit in _METRIC:
        amount, unit = convert(amount, unit, _METRIC[unit]), _METRIC[unit]
    if unit in _COARSE:
        amount = float(f"{amount:.2g}")
    if unit in _STEPS and amount != int(amount):
        step = next(step for end, step in _STEPS[unit] if abs(amount) < end)
        amount = round(round(amount / step) * step, 6)
    # More than one decimal of a degree is what another scale made of a whole one.
    if unit == "C" and abs(amount - round(amount, 1)) > _HAIR:
        amount = round(amount)
    return _with_unit(number(amount), amount, unit)


def one_system(text: str, system: System) -> str:
    """A text in which lengths and the like stand in both systems, "25 mm (1 in)", in that of the reader."""
    return _DUAL.sub(r"\2" if system == "us" else r"\1", text)


def ranged(text: str) -> str:
    """A text whose ranges tell the unit once: "3 weeks to 5 weeks" → "3 to 5 weeks"."""

    def one(match: re.Match[str]) -> str:
        low, unit, high = match.groups()
        return f"{low} {unit}" if low == high else f"{low} to {high} {unit}"

    return _RANGE.sub(one, text)


def exactly(amount: float, unit: str, system: System = "metric", low: float | None = None) -> str:
    """As `show`, without its rounding to what an estimate bears: for arithmetic that is written out. With
    `low`, a range.
    """
    target = US_UNITS.get(unit, unit) if system == "us" else unit
    top = convert(amount, unit, target)
    high = number(top)
    least = high if low is None else number(convert(low, unit, target))
    return _with_unit(high if least == high else f"{least} to {high}", top, target)
