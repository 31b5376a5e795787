"""Days, amounts, money and values in words, in the order in which an advice is read."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from typing import Final

from decide.model.advice import Advice
from decide.model.row import DayRange, Hours
from decide.model.units import System
from decide.model.words import capital, first_sentence
from decide.report.words import language, say, word

# money from here on is told in whole units
_WHOLE_MONEY: Final = 10

FEET_COUNTRIES: Final = ("us", "usa", "united-states", "lr", "mm")


# ---------- what the advice knows ----------
def known(advice: Advice, key: str) -> str:
    """A value of the situation; "" where it is not known."""
    return next((str(row.value) for row in advice.situation if row.key == key), "")


def system_of(advice: Advice) -> System:
    """The system of units of the advice's own country."""
    rows = {row.key: str(row.value).lower() for row in advice.situation}
    country = (rows.get("place.country", "") or rows.get("place.region", "")).replace(" ", "-")
    in_feet = country.split("-")[0] in FEET_COUNTRIES or country.startswith("united-states")
    return "us" if in_feet else "metric"


# ---------- days ----------
def date_of(text: str) -> dt.date | None:
    """An ISO date; None where the text is none."""
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        return None


def day_of(text: str) -> str:
    """An ISO date in words; another text as it stands."""
    date = date_of(text)
    return text if date is None else language().day(date)


def month_of(date: dt.date) -> str:
    """The month of a day with its year."""
    return language().month(date)


def short_day(date: dt.date) -> str:
    """A day in few letters, without its year."""
    return language().day_of_year(date, "short")


def few_days(first: dt.date, last: dt.date) -> str:
    """Two days of about a year in the fewest letters: "3–18 May", "19 May–6 Jun"."""
    if first == last:
        return short_day(first)
    if (first.year, first.month) == (last.year, last.month):
        return f"{language().start_of(first, last, 'short')}–{short_day(last)}"
    return f"{short_day(first)}–{short_day(last)}"


def short_date(text: str) -> str:
    """An ISO date in few letters, with its year; another text as it stands."""
    date = date_of(text)
    return text if date is None else language().short_day(date)


def short_span(opens: dt.date, closes: dt.date) -> str:
    """Two days in few letters: "15 Mar to 11 Jun 2026"."""
    of = language()
    first = short_day(opens) if opens.year == closes.year else of.short_day(opens)
    return say("days-span", first=first, last=of.short_day(closes))


def short_days(early: dt.date | None, late: dt.date | None) -> str:
    """A range of days in few letters, where one end may be missing."""
    if early is not None and late is not None:
        one = say("days-about", day=language().short_day(early))
        return short_span(early, late) if early != late else one
    if late is not None:
        return say("days-by", day=language().short_day(late))
    return "" if early is None else say("days-from", day=language().short_day(early))


def days_of(texts: Sequence[str]) -> str:
    """Days in their order, each year once: "5 Oct and 28 Nov 2026, 23 Feb 2027"."""
    by_year: dict[str, list[str]] = {}
    for text in sorted(set(texts)):
        date = date_of(text)
        by_year.setdefault(str(date.year) if date else "", []).append(short_day(date) if date else text)
    return ", ".join(f"{language().listed(days)} {year}".strip() for year, days in by_year.items())


def between(days: DayRange | None) -> str:
    """A range of days in words; a single figure is never given as if it were sure."""
    early, late = (days.early, days.late) if days is not None else (None, None)
    return between_days(date_of(early or ""), date_of(late or ""))


def between_days(early: dt.date | None, late: dt.date | None) -> str:
    """As `between`, of dates."""
    if early is None:
        return say("days-none") if late is None else say("days-late", day=late)
    if late is None:
        return say("days-early", day=early)
    if early == late:
        return f"{say('days-about', day=late)}."
    return say("days-between", early=language().start_of(early, late), late=late)


def day_span(first: str, last: str) -> str:
    """One day, or one day to another, what they share said once."""
    start, end = date_of(first), date_of(last)
    if start is None or end is None or start == end:
        return day_of(first)
    return say("days-to", first=language().start_of(start, end), last=end)


# ---------- amounts and money ----------
def estimate(amount: float) -> str:
    """An estimate, no finer than it is known: two significant figures."""
    return (
        language().number(float(f"{amount:.2g}")) if abs(amount) >= 1 else language().number(round(amount, 1))
    )


def span_of(low: str, high: str) -> str:
    """Two figures as a range; one that stands alone is "about"."""
    return say("about", amount=low) if low == high else language().range(low, high)


def hours_of(hours: Hours) -> str:
    """Hours of work as a range."""
    return span_of(estimate(hours.low), estimate(hours.high))


def hours_words(hours: Hours) -> str:
    """Hours of work as a range, with their unit."""
    return say("hours", n=round(hours.high, 1), hours=hours_of(hours))


def price(low: float | None, high: float | None, currency: str) -> str:
    """A sum of money as a range, or that it is not known."""
    if low is None or high is None:
        return say("not-known")
    ends = [
        language().number(round(end)) if end >= _WHOLE_MONEY else language().number(end)
        for end in (low, high)
    ]
    return f"{span_of(*ends)} {money(currency) or say('your-money')}"


def money(currency: str) -> str:
    """A currency in words."""
    return word("currency", currency, currency)


# ---------- sentences and values ----------
def sentence(text: str) -> str:
    """`text` as a sentence: it ends with a stop."""
    text = text.strip()
    return text if not text or text[-1] in ".!?:" else f"{text}."


def opening_sentence(text: str) -> str:
    """The first sentence of a text."""
    return sentence(first_sentence(text))


def key_in_words(key: str) -> str:
    """A key of the situation in words: "zone.middle.area_m2" → "Zone middle: area m2"."""
    return capital(" ".join(key.replace("_", " ").split(".")))


def value_in_words(key: str, value: object) -> str:
    """A value without codes: a day of the year by its month, a region in capitals, a level in words."""
    said = value_said(value)
    if re.fullmatch(r"[01]\d-[0-3]\d", said):
        return language().day_by_code(said)
    if key.endswith(("region", "country")):
        return said.upper()
    return (
        language().named("level", said)
        if isinstance(value, str) and re.fullmatch(r"[a-z]+(?:-[a-z]+)+", said)
        else said
    )


def value_said(value: object) -> str:
    """A value as a reader takes it."""
    if isinstance(value, bool):
        return language().say("yes" if value else "no", {})
    if isinstance(value, float):
        return language().number(value)
    if isinstance(value, list | tuple):
        return ", ".join(value_said(item) for item in value)
    return str(value)
