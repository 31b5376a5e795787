"""A language as sentences need it: texts with their holes filled, and days, numbers, lists, amounts and
verdicts in its words.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache
from typing import Final, Literal

from babel import Locale
from babel.dates import format_date
from babel.lists import format_list
from babel.numbers import format_decimal

from decide.knowledge.texts import HOLE, LOCALE, LanguageRow, TextRow, locale_of
from decide.model.errors import DecideError, meant
from decide.model.files import data_folder
from decide.model.toml_file import toml_file
from decide.model.units import US_UNITS, System, convert

_HAIR: Final = 1e-6
_NO_DECIMALS_FROM: Final = 100
_ONE_DECIMAL_FROM: Final = 10

_LEAP_YEAR: Final = 2000
# The file of the words that every room needs, the report too, which may speak without a knowledge.
SHARED: Final = "texts/shared.toml"
Size = Literal["full", "short"]
# What fills a hole.
Said = str | float | dt.date | Sequence[str]
# How the Unicode locale data write a month within a day, and what of a pattern is the join between two days.
_MONTHS: Final[Mapping[Size, str]] = {"full": "MMMM", "short": "MMM"}
_JOIN: Final = " –-~～\u2009\u202f"
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
# Numbers are kept as their sources print them; who measures in metres reads none in feet.
_OF_US: Final = {"in": "mm", "ft": "m", "ft2": "m2", "lb": "kg", "lb/1000ft2": "g/m2", "F": "C"}
_FIGURE: Final = r"\d[\d.,\u00a0\u202f]*"
# Units that sentences write in both systems, the metric one before the other.
_METRIC: Final = ("mm", "cm", "m2", "m", "g/m2", "kg", "litre", "l")
_AND: Final = ("in", "ft2", "ft", "yd", "lb/1000ft2", "lb", "gal")


@dataclass(frozen=True)
class Language:
    """The texts of a language, and its customs by a locale ("en_GB"); with `month_letters` months are cut to
    so many letters where room is short, otherwise they are as the locale has them.
    """

    locale: str
    texts: Mapping[str, TextRow]
    month_letters: int = 0

    @property
    def _customs(self) -> Locale:
        return locale_of(self.locale)

    # ---------- sentences ----------
    def say(self, code: str, words: Mapping[str, Said]) -> str:
        """The text `code` with its holes filled; numbers, days and lists are worded. DecideError where there
        is no such text, or a hole is left.
        """
        if code not in self.texts:
            raise DecideError(f"there is no text {code!r}", where="texts", instead=meant(code, self.texts))
        row = self.texts[code]
        text = row.text
        if not text:
            amount = words.get(row.by)
            if not isinstance(amount, (int, float)):
                raise DecideError(f"text {code!r} has forms by {row.by!r}, which is no number", where="texts")
            text = self._form(row, amount)

        def filled(hole: re.Match[str]) -> str:
            if hole[1] not in words:
                raise DecideError(f"text {code!r} has a hole {hole[1]!r} that nothing fills", where="texts")
            held = words[hole[1]]
            if isinstance(held, str):
                return held
            if isinstance(held, dt.date):
                return self.day(held)
            return self.number(held) if isinstance(held, (int, float)) else self.listed(held)

        return HOLE.sub(filled, text)

    def _form(self, row: TextRow, amount: float) -> str:
        """The text of a row for a number."""
        return row.text or getattr(row, self._customs.plural_form(abs(amount))) or row.other

    def named(self, kind: str, code: str) -> str:
        """The words of a code of a kind ("level", "step", "tool" …); one that has none stands for itself."""
        row = self.texts.get(f"{kind}-{code}")
        return code.replace("-", " ") if row is None else row.text

    def key(self, key: str) -> str:
        """What a key of the situation is about, where a folder says it; "" where none does."""
        row = self.texts.get(f"key-{key}")
        return "" if row is None else row.text

    def verdict(self, code: str) -> str:
        """A verdict within a sentence."""
        return self.say(f"verdict-{code}", {})

    def criterion(self, code: str) -> str:
        """A criterion within a sentence."""
        return self.say(f"criterion-{code}", {})

    def grade(self, code: str) -> str:
        """A grade within a sentence."""
        return self.say(f"grade-{code}", {})

    def listed(self, words: Sequence[str], last: str = "and") -> str:
        """Words in a row: "a, b and c"; with "or", "a, b or c"."""
        return format_list(list(words), style="or" if last == "or" else "standard", locale=self._customs)

    # ---------- days ----------
    def day(self, date: dt.date) -> str:
        """A date that can be read one way only: "20 May 2026"."""
        return format_date(date, "long", locale=self._customs)

    def month(self, date: dt.date) -> str:
        """The month of a day with its year."""
        return self._by(date, "yMMMM")

    def month_name(self, number: int) -> str:
        """A month by its number, from 1."""
        return str(self._customs.months["stand-alone"]["wide"][number])

    def day_of_year(self, date: dt.date, size: Size = "full") -> str:
        """A day without its year: "20 May"."""
        return self._by(date, f"{_MONTHS[size]}d")

    def day_by_code(self, code: str) -> str:
        """A day of the year by its month and number: "15 August" for 08-15."""
        month, _, day = code.partition("-")
        return self.day_of_year(dt.date(_LEAP_YEAR, int(month), int(day)))

    def short_day(self, date: dt.date) -> str:
        """A day with its year in few letters."""
        return self._by(date, "yMMMd")

    def start_of(self, first: dt.date, last: dt.date, size: Size = "full") -> str:
        """The first of two days without what it shares with the last, where the language leaves it out."""
        if first.year != last.year:
            return self.day(first) if size == "full" else self.short_day(first)
        if first.month != last.month:
            return self.day_of_year(first, size)
        within = dict(self._customs.interval_formats.get("MMMd", {})).get("d")
        pattern = within[0].strip(_JOIN) if within else "d"
        return self._patterned(first, pattern.replace("MMM", _MONTHS[size]))

    def _by(self, date: dt.date, skeleton: str) -> str:
        return self._patterned(date, str(self._customs.datetime_skeletons[skeleton].pattern))

    def _patterned(self, date: dt.date, pattern: str) -> str:
        if self.month_letters and re.search(r"(?<!M)MMM(?!M)", pattern):
            name = self._customs.months["format"]["wide"][date.month][: self.month_letters]
            pattern = pattern.replace("MMM", f"'{name}'")
        return format_date(date, pattern, locale=self._customs)

    # ---------- amounts ----------
    def number(self, amount: float) -> str:
        """A number for people: thousands marked, no more than three significant figures below 100."""
        return _digits(str(_as_shown(amount)), self.locale)

    def show(self, amount: float, unit: str, system: System = "metric") -> str:
        """`amount` in `unit`, worded in the user's system of units."""
        if unit == "bu":
            unit, amount = "litre", convert(amount, "bu", "litre")
        if system == "us" and unit in US_UNITS:
            target = US_UNITS[unit]
            # Depths of rain are read by the week in both systems.
            amount = convert(amount, "mm", "in") if unit == "mm/week" else convert(amount, unit, target)
            unit = target
        elif system == "metric" and unit in _OF_US:
            amount, unit = convert(amount, unit, _OF_US[unit]), _OF_US[unit]
        if unit in _COARSE:
            amount = float(f"{amount:.2g}")
        if unit in _STEPS and amount != int(amount):
            step = next(step for end, step in _STEPS[unit] if abs(amount) < end)
            amount = round(round(amount / step) * step, 6)
        # More than one decimal of a degree is what another scale made of a whole one.
        if unit == "C" and abs(amount - round(amount, 1)) > _HAIR:
            amount = round(amount)
        return self.with_unit(self.number(amount), amount, unit)

    def exactly(self, amount: float, unit: str, system: System = "metric", low: float | None = None) -> str:
        """As `show`, without its rounding to what an estimate bears: for arithmetic that is written out. With
        `low`, a range.
        """
        target = US_UNITS.get(unit, unit) if system == "us" else unit
        top = convert(amount, unit, target)
        high = self.number(top)
        least = high if low is None else self.number(convert(low, unit, target))
        return self.with_unit(high if least == high else self.range(least, high), top, target)

    def range(self, low: str, high: str) -> str:
        """Two figures, of which the truth lies between."""
        return self.say("range", {"low": low, "high": high})

    def ranged(self, text: str) -> str:
        """A text whose ranges tell the unit once: "3 weeks to 5 weeks" → "3 to 5 weeks"."""

        def one(match: re.Match[str]) -> str:
            low, unit, high = match.groups()
            return f"{low} {unit}" if low == high else f"{self.range(low, high)} {unit}"

        return self._ranges.sub(one, text)

    def one_system(self, text: str, system: System) -> str:
        """A text in which lengths and the like stand in both systems, "25 mm (1 in)", in that of the
        reader.
        """
        return self._both.sub(r"\2" if system == "us" else r"\1", text)

    @property
    def _to(self) -> str:
        """What stands between the two ends of a range, as a pattern."""
        return re.escape(re.split(r"\{low\}|\{high\}", self.texts["range"].text)[1])

    @cached_property
    def _ranges(self) -> re.Pattern[str]:
        units = {self.unit(code.removeprefix("unit-")) for code in self.texts if code.startswith("unit-")}
        long = "|".join(re.escape(unit) for unit in sorted(units, key=len, reverse=True) if " " in unit)
        return re.compile(
            rf"(?<![\w.,])({_FIGURE}) ((?:{long})|[^\d\s]\S*(?: a \w+)?){self._to}({_FIGURE}) \2(?!\S*\w)"
        )

    @cached_property
    def _both(self) -> re.Pattern[str]:
        first, second = (
            "|".join(re.escape(word) for unit in units for word in (self.unit(unit), unit))
            for units in (_METRIC, _AND)
        )
        figures = rf"{_FIGURE}(?:{self._to}{_FIGURE})?"
        return re.compile(rf"({figures} (?:{first})) \(({figures} (?:{second}))\)")

    def unit(self, unit: str) -> str:
        """A unit as it stands after a number of things."""
        return self.with_unit("", 2, unit).strip()

    def with_unit(self, said: str, amount: float, unit: str) -> str:
        """A figure that is worded already, with its unit."""
        row = self.texts.get(f"unit-{unit}")
        if row is None:
            return f"{said} {unit}"
        return self._form(row, _as_shown(amount)).replace("{n}", said)


def _as_shown(amount: float) -> float:
    """No more than three significant figures below 100."""
    size = abs(amount)
    return round(
        amount,
        0 if size >= _NO_DECIMALS_FROM or amount == int(amount) else 1 if size >= _ONE_DECIMAL_FROM else 2,
    )


# An advice says the same few hundred numbers over and over, and each takes the library long. The key is text
# because nothing and minus nothing are the same number.
@lru_cache(maxsize=4096)
def _digits(written: str, locale: str) -> str:
    return format_decimal(written, "#,##0.##", locale=locale_of(locale))


# For what stands in one language whatever the folders say: mistakes, and what people type.
ENGLISH: Final = Language(LOCALE, {})


def language_of(row: LanguageRow, texts: Mapping[str, TextRow]) -> Language:
    """The language of a folder."""
    return Language(row.locale, texts, row.month_letters)


@cache
def own_language() -> Language:
    """The language that travels with the package, with the words that every room shares and no sentences."""
    folder = data_folder()
    _, data = toml_file(folder / SHARED)
    _, told = toml_file(folder / "texts" / "language.toml")
    texts = {code: TextRow.model_validate(row) for code, row in data.items()}
    return language_of(LanguageRow.model_validate(told["language"]), texts)
