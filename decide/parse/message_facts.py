"""Reads the facts that one phrase tells, from a table of phrases."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from decide.parse.message_parts import Parts
from decide.parse.message_text import Clause, Message, negated, pattern


def read_facts(message: Message, parts: Parts) -> None:
    """Every fact that a phrase of the table tells; those that stand alone give way to what else was told."""
    table = message.speech.table("message_facts")
    later: list[tuple[Clause, Mapping[str, Any]]] = []
    for row in table.values():
        for clause, value in _values(message, row):
            if row.get("alone"):
                later.append((clause, row))
            else:
                _tell(message, parts, clause, row, value)
    for clause, row in later:
        if message.value(row["key"]) is None:
            _tell(message, parts, clause, row, row["value"])


def _values(message: Message, row: Mapping[str, Any]) -> Iterator[tuple[Clause, Any]]:
    """The clauses in which a row's phrases stand, with the value that each tells."""
    said, basic = pattern(*row["say"]), message.speech.table("message")
    hedges = pattern(*message.table("hedging")["words"])
    for clause in message.telling():
        text = clause.text.strip(" .!?,")
        match = said.fullmatch(text) if row.get("whole") else said.search(clause.text)
        if match is None or (row.get("unless") and pattern(*row["unless"]).search(clause.text)):
            continue
        if not row.get("whole") and message.taken(clause, match.start(), match.end()):
            continue
        if negated(clause, match.start(), basic):
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
