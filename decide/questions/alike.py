"""Choices of one question that nothing tells apart: put in each other's place, every rule and row stays what
it is, and no code names them. Then whoever answers is asked for nothing.
"""

from __future__ import annotations

import dataclasses
from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Mapping
from itertools import combinations
from typing import Any, Final

from pydantic import BaseModel

from decide.engine.base import RuleBase
from decide.engine.language import Condition, FactType, Rule
from decide.engine.plain import truth
from decide.facts.declare import touches
from decide.facts.declared import DECLARED
from decide.knowledge.audit_code import Code
from decide.knowledge.audit_texts import answers_for, conditionals, rows_of
from decide.knowledge.compile import all_numbers
from decide.knowledge.finding import Finding, Findings
from decide.knowledge.logic import conditions_of
from decide.knowledge.schema import Question
from decide.knowledge.tables import Knowledge, Value
from decide.model.written import coded

_Answer = str | bool | int | float
# What is no reading of an answer: how it is asked and understood, and what the audit itself is told.
_NOT_READ: Final = frozenset((
    "questions", "together", "texts", "where", "overrides", "sources", "standing", "reviews", "headings",
    "labels", "local_words", "words", "edges", "values", "facts", "columns", "rising", "apart", "marked",
))  # fmt: skip
# What people call a row, and where it is from.
_CALLED: Final = frozenset(("name", "also", "sources", "note", "because", "offered_as"))


def alike(k: Knowledge, base: RuleBase, code: Code) -> Findings:
    """Choices of a question that nothing tells apart, the first that another is like with it."""
    told = _Told(k, base, code)
    for question in k.questions:
        named = question.id or question.key
        # What is understood and not listed is not asked for; each part of a field is judged by itself.
        values = [
            choice.value
            for choice in question.choices
            if not isinstance(choice.value, list) and not choice.name and question.kind != "zones"
        ]
        if not answers_for(k, "question", named):
            continue
        same: dict[_Answer, list[_Answer]] = {}
        for one, other in combinations(values, 2):
            if not any(other in held for held in same.values()) and not told.apart(question, one, other):
                same.setdefault(one, []).append(other)
        for one, others in same.items():
            said = [repr(each) for each in (one, *others)]
            yield Finding(
                "choices-alike",
                f"{question.key} {one}",
                f"nothing tells {', '.join(said[:-1])} and {said[-1]} of {question.key} apart",
                proof="in each other's place they leave every rule and row as it is, and no code names them",
                where=k.where.get(("question", named), ""),
                instead="Make one choice of them, or write what tells them apart",
            )


class _Told:
    """What tells answers apart: rules, conditions of rows, rows, numbers that are counted with, code."""

    def __init__(self, k: Knowledge, base: RuleBase, code: Code) -> None:
        self.k, self.base, self.code = k, base, code
        numbers = all_numbers(k)
        self._rows = [
            condition
            for _, _, row in rows_of(k)
            for part in conditionals(row)
            for conditions in conditions_of(part, base.facts, numbers) or ()
            for condition in conditions
        ]
        self._conditions = [*(c for rule in base.rules for c in rule.conditions), *self._rows]
        self._tables = [*_tables(k)]
        self._counted = {key for row in DECLARED.rows for key in (*row.keys, *row.also)}

    def apart(self, question: Question, one: _Answer, other: _Answer) -> bool:
        """Whether something tells two answers of a question apart."""
        facts = [fact for fact in self.base.facts.values() if fact.told == question.key]
        if isinstance(one, (bool, int, float)) or isinstance(other, (bool, int, float)):
            return self._by_number(question, facts, one, other)
        moved = DECLARED.moving([question.key])
        names = {fact.name for fact in facts} | {
            name for name in self.base.facts if name in moved or name.rpartition(".")[0] in moved
        }
        words = {one, other, coded(one), coded(other)}
        return (
            self._by_rules(names, coded(one), coded(other))
            or self._by_rows(question, one, other)
            or self.code.tells(question.key.rpartition(".")[2], words)
        )

    def _by_number(self, question: Question, facts: Iterable[FactType], one: _Answer, other: _Answer) -> bool:
        """Whether two numbers, or yes and no, are counted with, lie on two sides of a limit, or are said."""
        if isinstance(one, bool):
            if question.key.rpartition(".")[2] in self.code.judged:
                return True
        elif touches(self._counted, question.key):
            return True
        for fact in facts:
            held = [{fact.name: _as_fact(value)} for value in (one, other)]
            mine = [c for c in self._conditions if c.fact == fact.name and not c.index]
            if any(truth(c, held[0]) != truth(c, held[1]) for c in mine):
                return True
            for rule in self.base.rules:
                limits = [c for c in rule.when if c.fact == fact.name and not c.index]
                if fact.name in rule.because.facts and all(truth(c, held[0]) for c in limits):
                    return True
        return False

    def _by_rules(self, names: set[str], one: str, other: str) -> bool:
        turned = {one: other, other: one}
        mine = [rule for rule in self.base.rules if any(names & {*c.facts} for c in rule.conditions)]
        before, after = (Counter(_rule(rule, names, each) for rule in mine) for each in ({}, turned))
        rows = (c for c in self._rows if names & {*c.facts})
        return before != after or any(_condition(c, names, {}) != _condition(c, names, turned) for c in rows)

    def _by_rows(self, question: Question, one: str, other: str) -> bool:
        """Whether a table that knows two choices of the question is another with the two in each other's
        place.
        """
        known = {
            word for choice in question.choices for word in (str(choice.value), coded(str(choice.value)))
        }
        turned = {one: other, other: one, coded(one): coded(other), coded(other): coded(one)}
        for rows in (*self._tables, *self._read_with(question.key)):
            if len(known & rows.words) < 2:  # noqa: PLR2004 – one word alone may mean anything
                continue
            mine = [row for row, words in rows.rows if not words.isdisjoint(turned)]
            if Counter(_frozen(row, {}) for row in mine) != Counter(_frozen(row, turned) for row in mine):
                return True
        return False

    def _read_with(self, key: str) -> Iterator[_Rows]:
        """The numbers that measurements of an answer read."""
        moved = DECLARED.moving([key])
        names = {
            value
            for row in DECLARED.rows
            if not moved.isdisjoint(row.names) or touches((*row.keys, *row.also), key)
            for value in row.values
        }
        for name in sorted(names & self.k.values.keys()):
            yield _rows({name: self.k.values[name]})


def _as_fact(value: _Answer) -> bool | float | str:
    return value if isinstance(value, (bool, str)) else float(value)


@dataclasses.dataclass(frozen=True)
class _Rows:
    """A table as plain nested words and numbers, of each row its words, and those of all."""

    rows: tuple[tuple[Any, frozenset[str]], ...]
    words: frozenset[str]


def _tables(k: Knowledge) -> Iterator[_Rows]:
    for field in dataclasses.fields(k):
        held = getattr(k, field.name)
        if field.name not in _NOT_READ and isinstance(held, Mapping):
            yield _rows(held)


def _rows(held: Mapping[str, Any]) -> _Rows:
    plain = [_plain(row) for row in held.items()]
    rows = tuple((row, frozenset(_words(row))) for row in plain)
    return _Rows(rows, frozenset().union(*(words for _, words in rows)))


def _plain(held: Any) -> Any:
    """A row as tuples of words and numbers, without what it is called and what is said in sentences."""
    if isinstance(held, Value):
        return (held.name, held.by, tuple((key, row.amount) for key, row in held.used.items()))
    if isinstance(held, BaseModel):
        return tuple((name, _plain(value)) for name, value in held if name not in _CALLED)
    if isinstance(held, Mapping):
        return tuple((_plain(key), _plain(value)) for key, value in held.items())
    if isinstance(held, (list, tuple, frozenset)):
        return tuple(map(_plain, held))
    return held


def _words(held: Any) -> Iterator[str]:
    if isinstance(held, str):
        yield held
    elif isinstance(held, tuple):
        for each in held:
            yield from _words(each)


def _frozen(held: Any, turned: Mapping[str, str]) -> Hashable:
    """A row with some words in each other's place; the order of a list is no matter."""
    if isinstance(held, tuple):
        return frozenset(Counter(_frozen(each, turned) for each in held).items())
    plain: Hashable = turned.get(held, held) if isinstance(held, str) else held
    return plain


def _condition(c: Condition, names: set[str], turned: Mapping[str, str]) -> Hashable:
    """A condition with some words in each other's place where it reads some facts, as a level or a member."""
    head, dot, last = c.fact.rpartition(".")
    levels, keys = (turned if name in names else {} for name in (c.fact, c.index))
    return (
        f"{head}{dot}{levels.get(last, last)}",
        c.op if len(c.levels) <= 1 else "in",
        frozenset(levels.get(level, level) for level in c.levels),
        c.number,
        c.index,
        frozenset((keys.get(key, key), limit) for key, limit in c.table.items()),
    )


def _rule(rule: Rule, names: set[str], turned: Mapping[str, str]) -> Hashable:
    def each(conditions: Iterable[Condition]) -> Hashable:
        return frozenset(_condition(c, names, turned) for c in conditions)

    return (
        rule.about, each(rule.when), rule.then, rule.because.text, rule.sound_if and rule.sound_if.text,
        frozenset((each(e.when), e.because.text) for e in rule.unless),
    )  # fmt: skip
