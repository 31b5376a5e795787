"""Says amounts, months, places and whole answers back in words."""

from __future__ import annotations

from typing import Any, Final

from decide.parse.months import MONTH_CODES, say_months
from decide.parse.numbers import tidy
from decide.parse.results import FieldShare, Sum

SAY_CURRENCY: Final = {"GBP": "£", "EUR": "€", "USD": "$", "$": "$"}


def say_amount(amount: float, unit: str = "") -> str:
    text = f"{tidy(amount):,}"
    return f"{text} {unit}".strip()


SAY_UNIT: Final = {
    "m2": "m²", "ft2": "square feet", "yd2": "square yards", "m": "metres", "ft": "feet", "yd": "yards",
    "mm": "mm", "in": "inches", "l/min": "litres a minute", "gal/min": "gallons a minute", "percent": "%",
    "h/week": "hours a week", "hour": "hours", "day": "days", "acre": "acres", "ha": "hectares", "cm": "cm",
}  # fmt: skip


def say_value(value: Any, unit: str = "") -> str:
    """An answer in words, as it is shown back."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Sum):
        return f"{SAY_CURRENCY.get(value.currency or '', value.currency or '')}{say_amount(value.amount)}"
    if isinstance(value, FieldShare):
        return f"{say_amount(round(value.percent))} % of the field"
    if isinstance(value, (int, float)):
        if unit in ("percent", "m", "m2") and value >= 10:
            value = round(value)
        word = SAY_UNIT.get(unit, "")
        return f"{say_amount(value)} {word}".strip()
    if isinstance(value, list):
        if value and all(isinstance(item, str) for item in value) and set(value) <= set(MONTH_CODES):
            return say_months(value)
        return ", ".join(say_value(item) for item in value) or "none"
    if isinstance(value, dict):
        if "latitude" in value and "name" not in value:
            return say_spot(value["latitude"], value["longitude"])
        shown = {
            key: item for key, item in value.items() if key not in ("latitude", "longitude", "hemisphere")
        }
        return ", ".join(
            say_value(item, "h/week" if key == "hours_per_week" else "") for key, item in shown.items()
        )
    return str(value)


def say_spot(latitude: float, longitude: float) -> str:
    """Coordinates in words."""
    return (
        f"{abs(latitude):.2f} degrees {'south' if latitude < 0 else 'north'}, {abs(longitude):.2f} degrees "
        f"{'west' if longitude < 0 else 'east'}"
    )
