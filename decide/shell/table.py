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
    """Writes an answer in place, in the layout of the situation file."""
    key = question.key
    if question.part is not None:
        row, name = question.part
        for number, part in enumerate(rows_of(answers, key, question.zone)):
            if number == row or row < 0:
                part[name] = value
    elif key == "zone":
        _put_zones(answers, value)
    elif key.startswith("zone."):
        _put_of_zone(answers, question.zone, key.removeprefix("zone."), value)
    elif key == "offer" and isinstance(value, list):
        answers[key] = _kept_rows(answers.get(key), "what", value)
    elif key == "place.name" and isinstance(value, dict):
        kept = {name: inner for name, inner in (answers.get("place") or {}).items() if name not in _OF_PLACE}
        answers["place"] = {**kept, **value}
    else:
        _put_plain(answers, key, value)


def _put_plain(answers: Answers, key: str, value: Any) -> None:
    set_key(answers, key, value.amount if isinstance(value, Sum) else value)
    if isinstance(value, Sum) and value.currency is not None:
        set_key(answers, key.rpartition(".")[0] + ".currency", value.currency)
    lone = zones(answers)
    if key == "field.area_m2" and len(lone) == 1 and lone[0].get("name") == WHOLE_FIELD:
        lone[0]["area_m2"] = value


def _kept_rows(before: Any, key: str, values: list[Any]) -> list[dict[str, Any]]:
    """A row for each value: the one that told more of it before, else a new one."""
    held = before if isinstance(before, list) else []
    rows = {row.get(key): row for row in held if isinstance(row, dict)}
    return [rows.get(value, {key: value}) for value in values]


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


def _put_zones(answers: Answers, value: Any) -> None:
    names = [WHOLE_FIELD] if value == DONT_KNOW or not isinstance(value, list) else value
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
