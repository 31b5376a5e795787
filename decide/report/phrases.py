"""Days, amounts, money and sentences in words."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from typing import Final

from decide.model import advice as model
from decide.model.advice import Advice
from decide.model.units import System
from decide.model.wording import MONTH_NAMES, day, listed, number
from decide.model.words import capital, first_sentence

MONEY: Final = {
    "USD": "US dollars", "GBP": "pounds sterling", "EUR": "euros", "AUD": "Australian dollars", "CAD": "Canadian dollars",
    "NZD": "New Zealand dollars", "CHF": "Swiss francs", "ZAR": "South African rand", "JPY": "Japanese yen", "SEK": "Swedish kronor", "NOK": "Norwegian kroner",
    "DKK": "Danish kroner", "SGD": "Singapore dollars", "INR": "Indian rupees", "BRL": "Brazilian reais", "KES": "Kenyan shillings", "MXN": "Mexican pesos",
}  # fmt: skip


FEET_COUNTRIES: Final = ("us", "usa", "united-states", "lr", "mm")


# ---------- words ----------
def odds_said(row: model.OddsRow) -> str:
    """In how many years it is ready by the date wanted, and what else the years do to it."""
    years = row.years or 10
    ready, least, most, killed = (
        round(share * years) for share in (row.ready, row.ready_least, row.ready_most, row.killed)
    )
    span = f" ({least} to {most} with a slow or a quick stand)" if least != most else ""
    what = f"{'matches' if row.use == 'full play' else 'light use'} by {day_of(row.by)}"
    if row.years is None:
        share = "nearly every year" if ready == years else f"about {ready} years in 10"
        parts = [f"ready for {what} in {share}{span}, estimated from averages, not from daily weather"]
        if killed:
            parts.append(f"cold kills it in about {killed} of the 10")
    else:
        parts = [f"ready for {what} in {ready} of {years} years of daily weather{span}"]
        if killed:
            parts.append(f"cold kills it in {killed}")
        if row.washed_out and round(row.washed_out * years):
            parts.append(f"a heavy rain washes the bed out in {round(row.washed_out * years)}")
    return "; ".join(parts) + "."


def system_of(advice: Advice) -> System:
    rows = {row.key: str(row.value).lower() for row in advice.situation}
    country = rows.get("place.country", "") or rows.get("place.region", "")
    return (
        "us"
        if country.replace(" ", "-").split("-")[0] in FEET_COUNTRIES
        or country.replace(" ", "-").startswith("united-states")
        else "metric"
    )


def date_of(text: str) -> dt.date | None:
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        return None


def day_of(text: str) -> str:
    date = date_of(text)
    return text if date is None else day(date)


def days_of(texts: Sequence[str]) -> str:
    """Days in their order, each year once: "5 Oct and 28 Nov 2026, 23 Feb 2027"."""
    by_year: dict[str, list[str]] = {}
    for text in sorted(set(texts)):
        date = date_of(text)
        by_year.setdefault(str(date.year) if date else "", []).append(
            f"{date.day} {day(date).split()[1][:3]}" if date else text
        )
    return ", ".join(f"{listed(days)} {year}".strip() for year, days in by_year.items())


def between(days: model.DayRange | None) -> str:
    """A range of days in words; a single figure is never given as if it were sure."""
    if days is None or (days.early is None and days.late is None):
        return "no date can be given."
    if days.early is None:
        return f"by {day_of(days.late or '')} at the latest; how early is not known."
    if days.late is None:
        return f"not before {day_of(days.early)}; how late is not known."
    first, last = date_of(days.early), date_of(days.late)
    if first is None or last is None:
        return f"between {days.early} and {days.late}."
    if first == last:
        return f"about {day(last)}."
    start = day(first)
    if first.year == last.year:
        start = str(first.day) if first.month == last.month else start.rsplit(" ", 1)[0]
    return f"between {start} and {day(last)}."


def day_span(first: str, last: str) -> str:
    """One day, or one day to another, what they share said once."""
    start, end = date_of(first), date_of(last)
    if start is None or end is None or start == end:
        return day_of(first)
    said = day(start)
    if start.year == end.year:
        said = str(start.day) if start.month == end.month else said.rsplit(" ", 1)[0]
    return f"{said} to {day(end)}"


def estimate(amount: float) -> str:
    """An estimate, no finer than it is known: two significant figures."""
    return number(float(f"{amount:.2g}")) if abs(amount) >= 1 else number(round(amount, 1))


def span_of(low: str, high: str) -> str:
    return f"about {low}" if low == high else f"{low} to {high}"


def visits_said(a_day: float) -> str:
    """How often somebody must come to water: less than once a day is said as once in so many days."""
    if a_day <= 0:
        return ""
    every = round(1 / a_day)
    if every > 1:
        return f", one visit every {every} days"
    visits = number(round(a_day, 1))
    return f", in {visits} {plural('visit', visits)} a day"


def plural(word: str, count: str) -> str:
    return word if count == "1" else f"{word}s"


def opening_sentence(text: str) -> str:
    return sentence(first_sentence(text))


def price(low: float | None, high: float | None, currency: str) -> str:
    """A sum of money as a range, or that it is not known."""
    if low is None or high is None:
        return "not known"
    ends = [number(round(end)) if end >= 10 else number(end) for end in (low, high)]
    return f"{span_of(*ends)} {MONEY.get(currency, currency) or 'in your money'}"


def sentence(text: str) -> str:
    """`text` as a sentence: it ends with a stop."""
    text = text.strip()
    return text if not text or text[-1] in ".!?:" else f"{text}."


def key_in_words(key: str) -> str:
    """A key of the situation in words: "zone.middle.area_m2" → "Zone middle: area m2"."""
    return capital(" ".join(key.replace("_", " ").split(".")))


def value_in_words(key: str, value: object) -> str:
    """A value that was worked out, without codes: a day of the year by its month, a region in capitals, a level in words."""
    said = value_said(value)
    if re.fullmatch(r"[01]\d-[0-3]\d", said):
        return f"{int(said[3:])} {MONTH_NAMES[int(said[:2]) - 1]}"
    if key.endswith(("region", "country")):
        return said.upper()
    return (
        said.replace("-", " ")
        if isinstance(value, str) and re.fullmatch(r"[a-z]+(?:-[a-z]+)+", said)
        else said
    )


def value_said(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return number(value)
    if isinstance(value, list | tuple):
        return ", ".join(value_said(item) for item in value)
    return str(value)
