"""What was told is written into the answers: lists are joined with what was told before, parts that are not
there yet are added.
"""

from __future__ import annotations

from typing import Any, Final

from decide.parse.heard import Told
from decide.parse.plain import fold
from decide.parse.question import Question
from decide.parse.results import DONT_KNOW
from decide.shell import table
from decide.shell.tools import Answers

# What a lone whole field is called when parts of it are named too, and what says that there is none.
REST: Final = "rest of the field"
_NONE: Final = "none"
# Told first: other keys hang on them.
_FIRST: Final = ("place.name", "zone")


def in_order(told: tuple[Told, ...]) -> list[Told]:
    """What was told in the order of writing: the town before what lies around it, parts before their
    keys.
    """
    return sorted(told, key=lambda one: one.key not in _FIRST)


def zone_named(answers: Answers, name: str | None) -> str | None:
    """The name by which a part stands in the answers; the name as it is told where none stands there."""
    if name is None:
        return None
    called = _called(name)
    names = [str(zone.get("name")) for zone in table.zones(answers)]
    same = [one for one in names if _called(one) == called]
    # "The touchline" is the far touchline where no other is told.
    longer = [one for one in names if _called(one).endswith(called) and f" {fold(name)}" in f" {fold(one)}"]
    return (same or (longer if len(longer) == 1 else []) or [name])[0]


def _called(name: str) -> str:
    return fold(name).removeprefix("the ").removeprefix("our ").removesuffix("s").replace(" ", "")


def tell(answers: Answers, told: Told, question: Question | None) -> None:
    """Writes one thing that was told; what answers `question`, or takes an answer back, replaces what was
    there.
    """
    answering = question is not None and told.key == question.key
    if answering and question is not None and question.part is not None:
        _tell_part(answers, question, told.value)
        return
    whole = told.corrects or (answering and question is not None and question.part is None)
    zone = zone_named(answers, told.zone)
    if told.key == "zone":
        _tell_zones(answers, told.value, whole)
    elif told.key in table.ROWS and isinstance(told.value, list):
        _tell_rows(answers, told, zone, whole)
    elif told.key.startswith("zone."):
        if zone is not None and table.zone_of(answers, zone) is None:
            _tell_zones(answers, [zone], False)
        table.write(answers, told.key, zone, _joined(_held(answers, told.key, zone), told.value, whole))
    else:
        table.write(answers, told.key, None, _joined(table.at(answers, told.key), told.value, whole))


def _held(answers: Answers, key: str, zone: str | None) -> Any:
    row = table.zone_of(answers, zone)
    return None if row is None else row.get(key.removeprefix("zone."))


def _joined(before: Any, value: Any, whole: bool) -> Any:
    """A list with what was told before in front; any other value as it is."""
    if whole or not isinstance(value, list) or not isinstance(before, list) or not before:
        return value
    together = [*before, *(one for one in value if one not in before)]
    return [one for one in together if one != _NONE] or together[:1]


def _tell_zones(answers: Answers, value: Any, whole: bool) -> None:
    names = value if isinstance(value, list) else [value]
    names = [zone_named(answers, str(one.get("name") if isinstance(one, dict) else one)) for one in names]
    rows = table.zones(answers)
    if whole or not rows or value == DONT_KNOW:
        table.write(answers, "zone", None, value if value == DONT_KNOW else names)
        return
    new = [name for name in names if table.zone_of(answers, name) is None]
    if new and len(rows) == 1 and rows[0].get("name") == table.WHOLE_FIELD:
        if len(rows[0]) == 1:
            rows = []
        else:
            rows[0]["name"] = REST
    answers["zone"] = [*rows, *({"name": name} for name in new)]


def _tell_rows(answers: Answers, told: Told, zone: str | None, whole: bool) -> None:
    """Rows of a list: each goes over the row about the same thing, or stands beside the others."""
    if told.key.startswith("zone.") and zone is not None and table.zone_of(answers, zone) is None:
        _tell_zones(answers, [zone], False)
    name = table.ROWS[told.key]
    values = [one if isinstance(one, dict) or not name else {name: one} for one in told.value]
    before = table.rows_of(answers, told.key, zone)
    named = [row for row in values if isinstance(row, dict) and (not name or name in row)]
    if not before or not values or (whole and len(named) == len(values)):
        table.write(answers, told.key, zone, values)
        return
    rows = [dict(row) for row in before]
    for value in values:
        same = [row for row in rows if _same_thing(row, value, name, told.corrects)]
        for row in same:
            row.update(value)
        if not same:
            rows.append(value)
    table.write(answers, told.key, zone, rows)


def _same_thing(row: dict[str, Any], told: dict[str, Any], name: str, corrects: bool) -> bool:
    """Whether a row is about what was told: the same sport; without a name, nothing in it that differs."""
    if name and name in told and name in row:
        return bool(row[name] == told[name])
    if name and name not in told:
        return True
    return corrects or all(row.get(key, value) == value for key, value in told.items())


def _tell_part(answers: Answers, question: Question, value: Any) -> None:
    """The answer to what was asked about one row of a list: a plain value, or all that was told of it."""
    assert question.part is not None
    if not isinstance(value, list) or not value or not isinstance(value[0], dict):
        table.put(answers, question, value)
        return
    at, _ = question.part
    rows = table.rows_of(answers, question.key, question.zone)
    for number, row in enumerate(rows):
        if number == at or at < 0:
            row.update({key: one for key, one in value[0].items() if key != table.ROWS.get(question.key)})


def forget(answers: Answers, key: str, zone: str | None) -> None:
    """Takes an answer out, so that it is open again."""
    if not key.startswith("zone."):
        table.set_key(answers, key, table.DROP)
        return
    named = zone_named(answers, zone)
    for row in table.zones(answers):
        if named is None or row.get("name") == named:
            row.pop(key.removeprefix("zone."), None)
