"""Reads the facts that one phrase tells, from a table of phrases."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from decide.parse.message_parts import Parts
from decide.parse.message_text import Clause, Message, negated, pattern

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
    hedges = pattern(*message.table("hedging")["words"])
    past = pattern(*message.table("past")["words"])
    telling = list(message.telling())
    for row in table.values():
        for clause, value in _values(message, row, telling, hedges, past):
            if row.get("alone"):
                later.append((clause, row))
            elif row["key"] in _BOTH and any(part.clause.start == clause.start for part in parts.named):
                local.append((clause, row["key"], value))
            else:
                _tell(message, parts, clause, row, value)
    _of_parts(message, parts, local)
    for clause, row in later:
        if message.value(row["key"]) is None:
            _tell(message, parts, clause, row, row["value"])


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
    message: Message,
    row: Mapping[str, Any],
    telling: Sequence[Clause],
    hedges: re.Pattern[str],
    past: re.Pattern[str],
) -> Iterator[tuple[Clause, Any]]:
    """The clauses in which a row's phrases stand, with the value that each tells."""
    if message.setting.country not in row.get("countries", [message.setting.country]):
        return
    said, basic = pattern(*row["say"]), message.speech.table("message")
    for clause in telling:
        text = clause.text.strip(" .!?,")
        match = said.fullmatch(text) if row.get("whole") else said.search(clause.text)
        if match is None or (row.get("unless") and pattern(*row["unless"]).search(clause.text)):
            continue
        sentence = message.sentences[clause.sentence][1]
        if row.get("beside") and not pattern(*row["beside"]).search(sentence):
            continue
        if not row.get("whole") and message.taken(clause, match.start(), match.end()):
            continue
        if row["key"] in _ASKED and past.search(sentence):
            continue
        if negated(clause, match.start(), basic, match.end() if row["key"] in _KINDS else None):
            if "denied" in row:
                yield clause, row["denied"]
            continue
        if row.get("sure", True) and hedges.search(clause.text) is not None:
            if "hedged" in row:
                yield clause, row["hedged"]
            elif row["key"].startswith("means.") or row["key"].startswith("site."):
                continue
            else:
                yield clause, row["value"]
            continue
        yield clause, row["value"]


def _tell(message: Message, parts: Parts, clause: Clause, row: Mapping[str, Any], value: Any) -> None:
    key = row["key"]
    if not key.startswith("zone."):
        if row.get("list"):
            message.add(key, [value], clause)
        else:
            message.tell(key, value, clause, note=row.get("note", ""))
        return
    for zone in parts.at(clause, key):
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
