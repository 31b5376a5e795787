"""The told facts of a scope, as they stand in the situation."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from decide.engine.language import FactType
from decide.facts.declare import Facts, put
from decide.model.written import coded


def told_facts(types: Iterable[FactType], scope: str, tables: Mapping[str, Any]) -> Facts:
    """The told facts of one scope; a list gives one fact for each of its members, true or false."""
    facts: Facts = {}
    for kind in types:
        if kind.kind != "told" or kind.scope != scope:
            continue
        table, _, key = kind.told.rpartition(".")
        holder = tables.get(table)
        value = getattr(holder, key, None) if holder is not None else None
        if isinstance(value, list):
            member = kind.name.rpartition(".")[2]
            facts[kind.name] = member in {coded(str(item)) for item in value}
        else:
            put(facts, kind.name, value)
    return facts
