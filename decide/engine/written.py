"""Conditions and texts as they are written, read into the terms of the language."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from decide.engine.language import Condition, FactType, Op, Template, rounded
from decide.model.errors import DecideError, KnowledgeError, meant
from decide.model.units import convert, is_unit


@dataclass(frozen=True, slots=True)
class Numbers:
    """The numbers in use: the unit of each value, and its number or its table by key."""

    units: Mapping[str, str]
    single: Mapping[str, float]
    tables: Mapping[str, Mapping[str, float]]


def _value_term(
    name: str, index: str, fact: FactType, facts: Mapping[str, FactType], numbers: Numbers
) -> tuple[float | None, dict[str, float]]:
    if name not in numbers.units:
        raise KnowledgeError(f"there is no value {name!r}", instead=meant(name, numbers.units))
    unit = numbers.units[name]

    def into(amount: float) -> float:
        return rounded(convert(amount, unit, fact.unit))

    if index:
        if name not in numbers.tables:
            raise KnowledgeError(
                f"value {name!r} is a single number", instead=f"Write value:{name} without [{index}]"
            )
        if index not in facts:
            raise KnowledgeError(f"there is no fact {index!r}", instead=meant(index, facts))
        kind = facts[index]
        if kind.type != "level":
            raise KnowledgeError(f"{index} cannot index a value: it is not a level")
        table = numbers.tables[name]
        strange = [key for key in table if kind.levels and key not in kind.levels]
        if strange:
            raise KnowledgeError(
                f"value {name!r} has key {strange[0]!r}, which {index} never is",
                instead=meant(strange[0], kind.levels),
            )
        return None, {key: into(amount) for key, amount in table.items()}
    if name not in numbers.single:
        raise KnowledgeError(
            f"value {name!r} is a family",
            instead=f"Write value:{name}[fact] with the fact that holds its key",
        )
    return into(numbers.single[name]), {}


def parse_condition(text: str, facts: Mapping[str, FactType], numbers: Numbers) -> Condition:
    """The condition that `text` writes; KnowledgeError where it fits not grammar, facts or values."""
    match = _CONDITION.match(text)
    if not match:
        raise KnowledgeError(
            f"{text!r} is not a condition",
            instead="Write: fact is level, fact in {a, b}, or fact < number unit",
        )
    name, op, term = match[1], match[2], match[3]
    if name not in facts:
        raise KnowledgeError(f"there is no fact {name!r}", instead=meant(name, facts))
    fact = facts[name]
    try:
        return _typed(text, fact, op, term, facts, numbers)  # type: ignore[arg-type]  # one of its pattern's
    except KnowledgeError as error:
        raise KnowledgeError(f"in {text!r}: {error.wrong}", instead=error.instead) from None
    except DecideError as error:
        raise KnowledgeError(f"in {text!r}: {error.wrong}", instead=error.instead) from None


def _typed(
    text: str, fact: FactType, op: Op, term: str, facts: Mapping[str, FactType], numbers: Numbers
) -> Condition:
    if op in ("is", "is not", "in"):
        return _of_levels(text, fact, op, term)
    if fact.type != "number":
        raise KnowledgeError(f"{fact.name} is not a number", instead="Compare it with is, is not or in")
    named = _VALUE.match(term)
    if named:
        value, index = named[1], named[2] or ""
        number, table = _value_term(value, index, fact, facts, numbers)
        return Condition(fact.name, op, text, number=number, value=value, index=index, table=table)
    return Condition(fact.name, op, text, number=_plain_number(term, fact))


def _of_levels(text: str, fact: FactType, op: Op, term: str) -> Condition:
    if fact.type == "number":
        raise KnowledgeError(f"{fact.name} is a number", instead="Compare it with <, <=, > or >=")
    levels: tuple[str, ...] = (term,)
    if op == "in":
        if not (term.startswith("{") and term.endswith("}")):
            raise KnowledgeError("the levels of `in` stand in braces", instead="Write: fact in {a, b}")
        levels = tuple(word.strip() for word in term[1:-1].split(","))
    if fact.type == "true":
        if op == "in" or levels != ("true",):
            raise KnowledgeError(f"{fact.name} is true or not", instead=f"Write: {fact.name} is true")
        return Condition(fact.name, op, text)
    for level in levels:
        if not re.fullmatch(r"[a-z0-9][a-z0-9\-]*", level):
            raise KnowledgeError(
                f"{level!r} is not a level", instead="Levels are lower-case words joined by hyphens"
            )
        if fact.levels and level not in fact.levels:
            raise KnowledgeError(f"{fact.name} is never {level!r}", instead=meant(level, fact.levels))
    if len(set(levels)) != len(levels):
        raise KnowledgeError("a level stands twice")
    return Condition(fact.name, op, text, levels=levels)


def _plain_number(term: str, fact: FactType) -> float:
    plain = _NUMBER.match(term)
    if not plain:
        raise KnowledgeError(
            f"{term!r} is neither a number with its unit nor a value",
            instead="Write: fact < 3 weeks, or fact < value:NAME",
        )
    amount, unit = float(plain[1]), plain[2] or ""
    if not unit and amount != 0:
        raise KnowledgeError("a number needs its unit", instead=f"Write: {plain[1]} {fact.unit}")
    if unit:
        if not is_unit(unit):
            raise KnowledgeError(f"{unit!r} is not a unit", instead=f"Write: {plain[1]} {fact.unit}")
        amount = convert(amount, unit, fact.unit)
    return rounded(amount)


def parse_template(
    text: str, facts: Mapping[str, FactType], numbers: Numbers, reads: Sequence[str]
) -> Template:
    """The template that `text` writes; its holes may name facts of the scopes `reads`, and values."""
    parts: list[str | tuple[str, str, str]] = []
    last = 0
    for hole in _HOLE.finditer(text):
        parts.append(text[last : hole.start()])
        last = hole.end()
        inner = hole[1]
        named = _VALUE.match(inner)
        if named:
            name, index = named[1], named[2] or ""
            if name not in numbers.units:
                raise KnowledgeError(
                    f"the text names value {name!r}, which there is not", instead=meant(name, numbers.units)
                )
            if bool(index) != (name in numbers.tables):
                raise KnowledgeError(
                    f"the text names value {name!r} {'with' if index else 'without'} a key",
                    instead="Families need [fact], single values do not",
                )
            literal = index in numbers.tables.get(name, {})
            parts.append(("value", name, f"={index}" if literal else index))
            inner = "" if literal else index
        else:
            parts.append(("fact", inner, ""))
        if inner:
            if inner not in facts:
                raise KnowledgeError(
                    f"the text names fact {inner!r}, which there is not", instead=meant(inner, facts)
                )
            if facts[inner].scope not in reads:
                raise KnowledgeError(
                    f"the text names {inner}, which this rule cannot read",
                    instead="It may read: " + ", ".join(reads),
                )
    parts.append(text[last:])
    if "{" in "".join(p for p in parts if isinstance(p, str)) or "}" in "".join(
        p for p in parts if isinstance(p, str)
    ):
        raise KnowledgeError("the text has a brace that opens or closes nothing")
    return Template(text, tuple(part for part in parts if part))


_CONDITION = re.compile(r"^\s*([a-z][a-z0-9.\-]*)\s+(is not|is|in|<=|>=|<|>)\s+(.+?)\s*$")


_NUMBER = re.compile(r"^(-?\d+(?:\.\d+)?)(?:\s+(\S+))?$")


_VALUE = re.compile(r"^value:([a-z0-9][a-z0-9\-]*)(?:\[([a-z][a-z0-9.\-]*)\])?$")


_HOLE = re.compile(r"\{([^{}]*)\}")
