"""Says back what was heard in a few lines of plain words, so that a wrong reading is seen."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from decide.model.units import convert
from decide.parse.heard import Told
from decide.parse.months import MONTH_CODES, say_day, say_months
from decide.parse.numbers import tidy
from decide.parse.results import FieldShare, Sum
from decide.parse.speech import Speech
from decide.parse.wording import SAY_CURRENCY, SAY_UNIT, say_amount

_US: Final = {"m": "ft", "m2": "ft2", "mm": "in", "l/min": "gal/min"}
_DATE: Final = re.compile(r"\d{4}-\d{2}-\d{2}")
_PART: Final = "part"
# A country without a name here is shown by its code, a region that has only a number not at all.
_CODE: Final = 2


def say_told(
    told: Sequence[Told], speech: Speech, *, units: str | None = None, here: str | None = None
) -> list[str]:
    """What was heard, one line a group and one a part, with the notes of the readings under it.

    `units` is "us" or "metric"; `here` names the part in hand, for what was told of a part without a name.
    """
    echo = _Echo(speech, units)
    lines: list[str] = []
    for group, title in echo.table["groups"].items():
        rows = [one for one in told if echo.group(one.key) == group]
        if group == _PART:
            lines += _parts(echo, rows, title, here)
            continue
        said = echo.all(rows)
        if said:
            lines.append(f"{title}: {echo.words['parted'].join(said)}")
    return lines + [f"({note})" for note in dict.fromkeys(one.note for one in told) if note]


def _parts(echo: _Echo, rows: Sequence[Told], title: str, here: str | None) -> list[str]:
    """A line for each part, those that were only named too."""
    names = list(dict.fromkeys(name for one in rows if one.key == "zone" for name in _names(one.value)))
    about = list(dict.fromkeys(one.zone for one in rows if one.key != "zone"))
    lines = []
    for zone in dict.fromkeys([*names, *about]):
        said = echo.all([one for one in rows if one.key != "zone" and one.zone == zone])
        name = zone or here or echo.words["whole"]
        lines.append(f"{title}: {echo.words['parted'].join([name, *said])}")
    return lines


def _names(value: Any) -> list[str]:
    rows = value if isinstance(value, (list, tuple)) else [value]
    return [str(row.get("name", "")) if isinstance(row, Mapping) else str(row) for row in rows]


class _Echo:
    """The words for keys and values."""

    def __init__(self, speech: Speech, units: str | None) -> None:
        self.table: Mapping[str, Any] = speech.table("echo")
        self.words: Mapping[str, str] = self.table["words"]
        self.speech = speech
        self.units = units

    def group(self, key: str) -> str:
        row = self.table["keys"].get(key)
        if row is not None:
            return str(row["group"])
        return _PART if key.startswith("zone.") else "more"

    def all(self, rows: Sequence[Told]) -> list[str]:
        """The words of some keys, in the order in which the table has them."""
        order = list(self.table["keys"])
        keys = {one.key for one in rows}
        ranked = sorted(rows, key=lambda one: order.index(one.key) if one.key in order else len(order))
        out = []
        for one in ranked:
            row = self.table["keys"].get(one.key, {})
            if row.get("beside") in keys or (one.key == "means.currency" and "means.budget" in keys):
                continue
            if one.key == "place.region" and str(one.value).isdecimal():
                continue
            said = self._key(one, row, rows)
            if one.key == "place.country" and said == one.value and len(said) == _CODE:
                said = said.upper()
            out.append(f"{self.words['changed']}{said}" if one.corrects else said)
        return list(dict.fromkeys(out))

    def _key(self, one: Told, row: Mapping[str, Any], rows: Iterable[Told]) -> str:
        value = one.value
        if isinstance(value, bool) and row.get("yes"):
            return str(row["yes" if value else "no"])
        if value == [] and row.get("none"):
            return str(row["none"])
        if value == 1 and not isinstance(value, bool) and row.get("one"):
            return str(row["one"])
        if one.key == "means.budget":
            code = next((other.value for other in rows if other.key == "means.currency"), None)
            value = value if isinstance(value, Sum) else Sum(value, code)
        said = self._amount(value, row["unit"]) if row.get("unit") else self._value(one.key, value)
        plain = one.key.partition(".")[2].replace("_", " ") or one.key
        return str(row.get("say") or f"{plain}: {{value}}").replace("{value}", said)

    def _amount(self, value: Any, unit: str) -> str:
        if isinstance(value, FieldShare):
            return f"{say_amount(round(value.percent))} %"
        if not isinstance(value, (int, float)) or isinstance(value, bool):
            return self._value("", value)
        if unit == "C":
            return f"{round(convert(value, 'C', 'F'))} °F" if self.units == "us" else f"{round(value)} °C"
        shown = _US.get(unit, unit) if self.units == "us" else unit
        number = convert(value, unit, shown) if shown != unit else value
        number = round(number) if number >= 10 else round(number, 1)
        return f"{say_amount(number)} {SAY_UNIT.get(shown, shown)}"

    def _value(self, key: str, value: Any) -> str:
        if isinstance(value, (list, tuple)):
            if value and all(isinstance(item, str) and item in MONTH_CODES for item in value):
                return say_months(list(value))
            said = list(dict.fromkeys(self._value(key, item) for item in value))
            together = "; " if key in ("use", "offer", "proposal") or key.startswith("history") else None
            if together is not None:
                return together.join(said)
            return self._joined(said) if said else self.words["nothing"]
        if isinstance(value, Sum):
            return self._sum(value)
        if isinstance(value, Mapping):
            return self._row(value)
        if isinstance(value, bool):
            return self.words["yes" if value else "no"]
        own = self.table["values"].get(f"{key}:{value}")
        choice = own or self._choice(key, value)
        if choice is not None:
            return str(choice)
        if isinstance(value, (int, float)):
            return say_amount(tidy(value))
        return self._text(str(value))

    def _joined(self, said: Sequence[str]) -> str:
        *most, last = said
        return self.words["list"].join(most) + self.words["and"] + last if most else last

    def _sum(self, value: Sum) -> str:
        sign = SAY_CURRENCY.get(value.currency or "", "")
        if sign or not value.currency:
            return f"{sign}{say_amount(value.amount)}"
        return f"{say_amount(value.amount)} {value.currency}"

    def _choice(self, key: str, value: Any) -> str | None:
        """The words by which the key's question shows a value."""
        question = self.speech.question(key)
        if question is None:
            return None
        choices = (*question.choices, *question.more)
        return next(
            (
                choice.shown
                for choice in choices
                if choice.value == value and type(choice.value) is type(value)
            ),
            None,
        )

    def _text(self, text: str) -> str:
        for names in (self.speech.grasses, self.speech.equipment, self.speech.methods):
            if text in names:
                return names[text][0]
        if _DATE.fullmatch(text):
            return say_day(dt.date.fromisoformat(text))
        named: Mapping[str, str] = self.table["values"]
        return named.get(text, text)

    def _row(self, row: Mapping[str, Any]) -> str:
        """A row of a list: a use, an offer, a spray, a grass with its share."""
        said: list[str] = []
        for name, value in row.items():
            if name in ("amount", "unit", "zone", "date", "from", "until", "what") or value is None:
                continue
            if name == "hours_per_week":
                said.append(f"{say_amount(tidy(value))} {SAY_UNIT['h/week']}")
            elif name in ("games_per_week", "people", "hours"):
                said.append(self.words[name.partition("_")[0]].format(value=say_amount(tidy(value))))
            elif name == "share_percent":
                said.append(f"{say_amount(tidy(value))} %")
            elif name == "sport":
                said.append(self._value("use", value))
            elif name == "class":
                said.append(self._value("history.herbicides", value))
            else:
                said.append(self._value("", value))
        what = row.get("what")
        if what is not None:
            said.insert(0, self._value("offer", what))
        if said and row.get("amount") is not None:
            amount = say_amount(tidy(row["amount"]))
            count = self.words["count"].format(amount=amount, unit=row.get("unit", ""), what=said[0])
            said[0] = " ".join(count.split())
        text = ", ".join(said)
        if row.get("zone"):
            text = self.words["where"].format(what=text, where=row["zone"]).strip()
        days = [self._text(str(row[name])) for name in ("date", "from", "until") if row.get(name)]
        if days:
            when = " - ".join(days)
            text = self.words["when"].format(what=text, when=when) if text else when
        return text
