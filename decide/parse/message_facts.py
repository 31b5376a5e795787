"""Reads the facts that one phrase tells, from a table of phrases."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from decide.parse.message_text import Clause, Message, negated, pattern
from decide.parse.part_scopes import Parts

# What is told of the field, or of one part of it.
# Kinds of what grows that may be "clover-free".
_KINDS: Final = ("zone.weeds", "zone.grass")
_BOTH: Final = {
    "field.soil": "zone.soil",
    "field.drainage": "zone.drainage",
    "field.water_stands_hours": "zone.water_stands_hours",
}

# What was so and is mended is asked after.
_ASKED: Final = ("site.dangers", "site.goals_anchored")


def read_facts(message: Message, parts: Parts) -> None:
    """Every fact that a phrase of the table tells; those that stand alone give way to what else was told."""
    table = message.speech.table("message_facts")
    later: list[tuple[Clause, Mapping[str, Any]]] = []
    local: list[tuple[Clause, str, Any]] = []
    telling = list(message.telling())
    for row in table.values():
        for clause, value, place in _values(message, row, telling):
            if row.get("alone"):
                later.append((clause, row))
            elif row["key"] in _BOTH and any(part.clause.start == clause.start for part in parts.named):
                local.append((clause, row["key"], value))
            else:
                _tell(message, parts, clause, row, value, place)
    _of_parts(message, parts, local)
    for clause, row in later:
        if message.value(row["key"]) is None:
            _tell(message, parts, clause, row, row["value"], None)


def _of_parts(message: Message, parts: Parts, local: list[tuple[Clause, str, Any]]) -> None:
    """What was told of the ground of a part: it is the field's, where nothing else was told of the field."""
    for clause, key, value in local:
        whole = message.value(key)
        if whole is None and len({other for _, name, other in local if name == key}) == 1:
            message.tell(key, value, clause)
        elif whole != value:
            for zone in parts.at(clause, _BOTH[key]):
                message.tell(_BOTH[key], value, clause, zone=zone)


def _values(
    message: Message, row: Mapping[str, Any], telling: Sequence[Clause]
) -> Iterator[tuple[Clause, Any, int]]:
    """The clauses in which a row's phrases stand, with the value that each tells and the place of the words:
    of a part each place counts, of the field the first.
    """
    if message.setting.country not in row.get("countries", [message.setting.country]):
        return
    said = pattern(*row["say"])
    past = pattern(*message.table("past")["words"])
    for clause in telling:
        lead = len(clause.text) - len(clause.text.lstrip(" .!?,"))
        text = clause.text.strip(" .!?,")
        whole = said.fullmatch(text) if row.get("whole") else None
        matches = list(said.finditer(clause.text)) if not row.get("whole") else [whole] if whole else []
        if not matches or (row.get("unless") and pattern(*row["unless"]).search(clause.text)):
            continue
        sentence = message.sentences[clause.sentence][1]
        if row.get("beside") and not pattern(*row["beside"]).search(sentence):
            continue
        if row["key"] in _ASKED and past.search(sentence):
            continue
        for match in matches if row["key"].startswith("zone.") else matches[:1]:
            start = match.start() + (lead if whole else 0)
            if whole is None and message.taken(clause, match.start(), match.end()):
                continue
            value = _value(message, clause, match, row)
            if value is not None:
                yield clause, value, start


def _value(message: Message, clause: Clause, match: re.Match[str], row: Mapping[str, Any]) -> Any:
    """What some words of a clause tell of the key of a row; None where they are denied, or half sure."""
    basic = message.speech.table("message")
    if negated(clause, match.start(), basic, match.end() if row["key"] in _KINDS else None):
        return row.get("denied")
    if row.get("sure", True) and pattern(*message.table("hedging")["words"]).search(clause.text):
        sure = row["key"].startswith(("means.", "site."))
        return row.get("hedged", None if sure else row["value"])
    return row["value"]


def _tell(
    message: Message, parts: Parts, clause: Clause, row: Mapping[str, Any], value: Any, place: int | None
) -> None:
    key = row["key"]
    if not key.startswith("zone."):
        if row.get("list"):
            message.add(key, [value], clause)
        else:
            message.tell(key, value, clause, note=row.get("note", ""))
        return
    for zone in parts.at(clause, key, place):
        if row.get("list"):
            message.add(key, [value], clause, zone=zone)
        else:
            message.tell(key, value, clause, zone=zone, note=row.get("note", ""))


def found(message: Message, phrases: list[str]) -> Iterator[tuple[Clause, re.Match[str]]]:
    """Where phrases stand in the clauses that tell something and were not read otherwise."""
    for clause in message.telling():
        for match in pattern(*phrases).finditer(clause.text):
            if not message.taken(clause, match.start(), match.end()):
                yield clause, match
