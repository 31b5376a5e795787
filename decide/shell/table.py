"""The answers as one nested table in the layout of a situation file: read from it, written into it, made
ready for advice.
"""

from __future__ import annotations

import copy
import datetime as dt
from typing import Any, Final

from decide.parse.question import Question
from decide.parse.results import DONT_KNOW, FieldShare, Sum
from decide.shell.tools import Answers

WHOLE_FIELD: Final = "whole field"
DROP: Final = object()


def zones(answers: Answers) -> list[dict[str, Any]]:
    """The zones that were named, in order."""
    found = answers.get("zone")
    return [zone for zone in found if isinstance(zone, dict)] if isinstance(found, list) else []


def zone_of(answers: Answers, name: str | None) -> dict[str, Any] | None:
    """The zone of that name; the only one where no name is given."""
    rows = zones(answers)
    if name is None:
        return rows[0] if len(rows) == 1 else None
    return next((zone for zone in rows if zone.get("name") == name), None)


def get(answers: Answers, question: Question) -> Any:
    """The answer to a question, or None."""
    if question.part is not None:
        row, key = question.part
        rows = rows_of(answers, question.key, question.zone)
        return rows[row].get(key) if row < len(rows) else None
    if question.key.startswith("zone."):
        zone = zone_of(answers, question.zone)
        return None if zone is None else zone.get(question.key.removeprefix("zone."))
    found = at(answers, question.key)
    if found is None and question.kind == "place" and isinstance(at(answers, "place.latitude"), float):
        return answers["place"]
    return found


def at(answers: Answers, key: str) -> Any:
    """The value under a dotted key, or None."""
    found: Any = answers
    for part in key.split("."):
        if not isinstance(found, dict) or part not in found:
            return None
        found = found[part]
    return found


def rows_of(answers: Answers, key: str, zone: str | None) -> list[dict[str, Any]]:
    if key.startswith("zone."):
        place = zone_of(answers, zone)
        found = None if place is None else place.get(key.removeprefix("zone."))
    else:
        found = at(answers, key)
    return [row for row in found if isinstance(row, dict)] if isinstance(found, list) else []


def set_key(answers: Answers, key: str, value: Any) -> None:
    *tables, last = key.split(".")
    inner: dict[str, Any] = answers
    for name in tables:
        below = inner.get(name)
        if not isinstance(below, dict):
            below = inner[name] = {}
        inner = below
    if value is DROP:
        inner.pop(last, None)
    else:
        inner[last] = value


def put(answers: Answers, question: Question, value: Any) -> None:
    """Writes an answer in place, in the layout of the situation file; a list takes the place of the one
    before.
    """
    if question.part is None:
        write(answers, question.key, question.zone, value)
        return
    row, name = question.part
    for number, part in enumerate(rows_of(answers, question.key, question.zone)):
        if number == row or row < 0:
            part[name] = value


def write(answers: Answers, key: str, zone: str | None, value: Any) -> None:
    """Writes what a key holds, of a part of the field where the key is one of a part."""
    if key == "zone":
        _put_zones(answers, value)
    elif key.startswith("zone."):
        _put_of_zone(answers, zone, key.removeprefix("zone."), value)
    elif key in ROWS and isinstance(value, list):
        set_key(answers, key, _kept_rows(at(answers, key), ROWS[key], value))
    elif key == "place.name":
        held = answers.get("place")
        kept = {
            name: inner
            for name, inner in (held.items() if isinstance(held, dict) else ())
            if name not in _OF_PLACE
        }
        answers["place"] = {**kept, **(value if isinstance(value, dict) else {"name": value})}
    else:
        _put_plain(answers, key, value)


def _put_plain(answers: Answers, key: str, value: Any) -> None:
    set_key(answers, key, value.amount if isinstance(value, Sum) else value)
    if isinstance(value, Sum) and value.currency is not None:
        set_key(answers, key.rpartition(".")[0] + ".currency", value.currency)
    lone = zones(answers)
    if key == "field.area_m2" and len(lone) == 1 and lone[0].get("name") == WHOLE_FIELD:
        lone[0]["area_m2"] = value


def _kept_rows(before: Any, name: str, values: list[Any]) -> list[Any]:
    """The rows for some values, each with what was told of the same thing before; `name` is the key that
    says which thing a row is about, "" where none does.
    """
    held = [row for row in before if isinstance(row, dict)] if isinstance(before, list) else []
    known = {row.get(name): row for row in held} if name else {}
    rows = [value if isinstance(value, dict) or not name else {name: value} for value in values]
    return [{**known.get(row.get(name), {}), **row} if isinstance(row, dict) else row for row in rows]


def _put_of_zone(answers: Answers, named: str | None, key: str, value: Any) -> None:
    zone = zone_of(answers, named)
    if zone is None:
        zone = {"name": named or WHOLE_FIELD}
        answers.setdefault("zone", []).append(zone)
    if key == "area_m2":
        zone.pop("share_percent", None)
        if zone.get("name") == WHOLE_FIELD and len(zones(answers)) == 1 and not isinstance(value, FieldShare):
            set_key(answers, "field.area_m2", value)
    if isinstance(value, FieldShare):
        zone.pop(key, None)
        zone["share_percent"] = value.percent
    elif key == "grass" and isinstance(value, list):
        zone[key] = _kept_rows(zone.get(key), "grass", value)
    else:
        zone[key] = value


_OF_PLACE: Final = ("name", "country", "region", "latitude", "longitude", "hemisphere")
# Lists whose rows are tables, and the key that says what a row is about.
ROWS: Final = {
    "use": "sport", "offer": "what", "zone.grass": "grass", "history.herbicides": "", "history.sown": "",
    "history.sod_laid": "",
}  # fmt: skip


def _put_zones(answers: Answers, value: Any) -> None:
    told = [WHOLE_FIELD] if value == DONT_KNOW or not isinstance(value, list) else value
    names = [str(one.get("name", WHOLE_FIELD)) if isinstance(one, dict) else str(one) for one in told]
    before = {zone.get("name"): zone for zone in zones(answers)}
    rows = [before.get(name, {"name": name}) for name in names]
    lone = zones(answers)
    if len(rows) == 1 and len(lone) == 1 and rows[0] is not lone[0]:
        rows = [{**lone[0], "name": names[0]}]
    answers["zone"] = rows


def copied(answers: Answers) -> Answers:
    """A copy that shares nothing with `answers`."""
    return copy.deepcopy(answers)


def for_advice(answers: Answers, today: dt.date) -> Answers:
    """The answers as they are handed to the library: today's date filled in, rows without their key
    dropped.
    """
    out = copied(answers)
    dates = out.get("dates")
    if not isinstance(dates, dict):
        dates = out["dates"] = {}
    if dates.get("today") in (None, DONT_KNOW):
        dates["today"] = today.isoformat()
    sprays = rows_of(out, "history.herbicides", None)
    for spray in sprays:
        if spray.get("class") in (None, DONT_KNOW):
            spray["class"] = "unknown"
        if spray.get("date") in (None, DONT_KNOW):
            spray["date"] = today.isoformat()
    return out


def earlier(answers: Answers, question: Question) -> Any:
    """The answer that the last part before this one has to the same question, or None."""
    if question.zone is None or question.part is not None:
        return None
    names = [zone["name"] for zone in zones(answers)]
    before = names[: names.index(question.zone)] if question.zone in names else names
    told = (get(answers, question.at(name)) for name in reversed(before))
    return next((value for value in told if value is not None), None)
