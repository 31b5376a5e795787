"""Finds the dates that stand in a sentence: "first game is Sat 5 September", "on the lines, in March"."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from typing import Final

from decide.parse.dates import read_date
from decide.parse.dates_counted import with_year
from decide.parse.feasts import names_of_feasts
from decide.parse.plain import fold
from decide.parse.results import AskBack, Setting, Understood
from decide.parse.weekdays import COUNT_WORD
from decide.parse.weekdays import WORD as WEEKDAY

_MONTH: Final = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?"
    r"|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\b"
)
_DAY: Final = r"\d{1,2}(?:st|nd|rd|th)?"
_YEAR: Final = r"(?:,? 20\d\d)?"
_PART: Final = (
    r"(?:(?:the )?(?:very )?(?:first of|1st of|early|mid|middle of|late|end of|start of|beginning of"
    r"|first half of|second half of)[ -]?(?:the )?)"
)
_COUNT: Final = r"(?:an?|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|a couple of|\d{1,2})"
_SHAPES: Final = re.compile(
    "|".join(
        (
            rf"\b(?:{_COUNT}|a few|some|several|the|a) (?:days?|weeks?|fortnights?) (?:before|after)"
            rf" (?:the )?(?:{_DAY}(?: of)? {_MONTH}|{_MONTH} {_DAY}){_YEAR}",
            r"(?<![\d-])\d{4}-\d{2}-\d{2}",
            rf"\b(?:the )?{COUNT_WORD} {WEEKDAY} (?:of|in) (?:{_MONTH}{_YEAR}|(?:next|this) month\b)",
            rf"\b(?:the )?{COUNT_WORD} week (?:(?:of|in) )?{_MONTH}{_YEAR}",
            r"\bthe weekend after next\b",
            rf"(?<![\d/.])(?:the )?{_DAY}(?: of)? {_MONTH}{_YEAR}",
            rf"\b{_MONTH}\.? (?:the )?{_DAY}\b(?!%|,\d| ?(?:hours|hrs|am|pm)){_YEAR}",
            r"(?<![\d/.])\d{1,2}/\d{1,2}(?:/\d{2,4})?(?![\d/])",
            rf"\b{_PART}{_MONTH}{_YEAR}",
            rf"\b(?:in|within) {_COUNT} (?:days?|weeks?|fortnights?|months?)(?:'? time)?",
            rf"\b{_COUNT} (?:days?|weeks?|fortnights?|months?) (?:ago|from now|time|back)",
            rf"\b(?:next |this |last )?{_MONTH}{_YEAR}",
            r"\bthe \d{1,2}(?:st|nd|rd|th)\b",
            r"\b(?:next|last) (?:week|month)\b|\btomorrow\b|\byesterday\b",
        )
    )
)


@cache
def _with_feasts(names: tuple[str, ...]) -> re.Pattern[str]:
    """The shapes of a date, with those that are counted from a feast or a weekday."""
    feast = rf"(?:{'|'.join(names)})" if names else "(?!)"
    dated = rf"{_DAY}(?: of)? {_MONTH}|{_MONTH} (?:the )?{_DAY}"
    day = rf"(?:the )?(?:{feast}|{dated}|(?:(?:this|next|coming) )?{WEEKDAY})"
    year = rf"(?: next year|{_YEAR})"
    first = (
        rf"\b{_COUNT} (?:days?|weeks?|fortnights?) (?:before|after|from|on) {day}{year}"
        rf"|\b(?:the )?(?:(?:very )?(?:first|next) )?(?:day|week|weekend|{WEEKDAY})"
        rf" (?:before|after|following) {day}{year}"
        rf"|\b(?:the )?{COUNT_WORD} weekend (?:of|in) (?:{_MONTH}{_YEAR}|(?:next|this) month\b)"
        rf"|\b(?:{dated}) next year\b"
        r"|\b(?:start|beginning|early|middle|mid|late|end)[- ](?:of |in )?(?:the )?(?:next |this )?month\b"
        rf"|\b(?:{feast})\b{year}|\b{WEEKDAY} fortnight\b"
    )
    return re.compile(f"{first}|{_SHAPES.pattern}")


def dates_told(text: str, setting: Setting) -> Iterator[tuple[str, str, AskBack | Understood]]:
    """Each date of a sentence: the words of its clause, its own words, and how it is read."""
    shapes = _with_feasts(names_of_feasts(setting))
    for clause in re.split(
        r"(?<!\d),|[;.](?=\s|$)|(?<=\d),(?= )|\b(?:and|but|then)\b", with_year(fold(text))
    ):
        for match in shapes.finditer(clause):
            words = re.sub(r"\b1st (?:of )?(?=[a-z])(?!week)", "first of ", match[0].strip(" ,"))
            result = read_date(words, setting)
            if isinstance(result, (Understood, AskBack)):
                yield clause.strip(), match[0].strip(), result
