"""The engine of the program: rules judged on many subjects at once, each fact a column and each condition a
pair of sets; rows are made only for what somebody reads.

A set of subjects is a whole number whose bit n stands for subject n. It says what the plain evaluator says,
in the same order; tests hold the two together.
"""

from __future__ import annotations

import copy
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from operator import or_
from typing import Any, overload

from decide.engine.base import RuleBase
from decide.engine.language import Condition, CouldFire, Fact, Firing, Judged, Rule, Subject

Column = Mapping[Fact, int]

# Of thousands of rows at once the making of each counts.
_firing = Firing._make
_could_fire = CouldFire._make


def members(group: int) -> Iterator[int]:
    """The numbers of the subjects in a set, in order."""
    bits = bin(group)[:1:-1]
    at = bits.find("1")
    while at >= 0:
        yield at
        at = bits.find("1", at + 1)


class Columns(Sequence[Subject]):
    """The facts of many subjects: of each fact its values, each with the set of those that hold it.

    `rows` are the same facts by subject, of which a column is read when a rule first asks for it. `shared`
    gives, by scope, sets of subjects that hold all facts of the scope in common.
    """

    def __init__(
        self,
        names: Sequence[str],
        rows: Sequence[Mapping[str, Fact]],
        shared: Mapping[str, Sequence[tuple[Mapping[str, Fact], int]]] | None = None,
    ) -> None:
        self.names, self.everyone = names, (1 << len(names)) - 1
        self._rows, self._shared = rows, shared or {}
        self._columns: dict[str, Column] = {}
        self._known: dict[str, int] = {}
        self._steps: dict[str, tuple[list[float], list[int]]] = {}
        self._answers: dict[str, tuple[int, int]] = {}
        # What was asked of these columns before some of them changed.
        self._before: Columns | None = None
        self._changed: set[str] = set()

    @classmethod
    def of(cls, subjects: Sequence[Subject]) -> Columns:
        """The columns of some subjects."""
        return (
            subjects
            if isinstance(subjects, Columns)
            else cls([subject.name for subject in subjects], [subject.facts for subject in subjects])
        )

    # ---------- as subjects ----------
    def __len__(self) -> int:
        return len(self.names)

    @overload
    def __getitem__(self, at: int) -> Subject: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[Subject]: ...
    def __getitem__(self, at: int | slice) -> Subject | Sequence[Subject]:
        if isinstance(at, slice):
            return [self[n] for n in range(*at.indices(len(self)))]
        return Subject(self.names[at], self._facts(range(len(self))[at]))

    def _facts(self, n: int) -> Mapping[str, Fact]:
        if self._before is None:
            return self._rows[n]
        found = dict(self._before._facts(n))
        for fact in self._changed:
            found.pop(fact, None)
            found.update((fact, value) for value, holders in self.column(fact).items() if holders >> n & 1)
        return found

    # ---------- changes ----------
    def copy(self) -> Columns:
        """The same columns; what is changed in the copy leaves these as they are, and what was asked of them
        is not asked again.
        """
        made = Columns(self.names, self._rows)
        made._before = self
        return made

    def unasked(self) -> Columns:
        """The same columns of which nothing was asked: where conditions of the same words have other
        numbers.
        """
        made = copy.copy(self)
        made._columns, made._known, made._answers = {**self._columns}, {**self._known}, {}
        made._changed, made._steps = {*self._changed}, {**self._steps}
        made._before = None if self._before is None else self._before.unasked()
        return made

    def is_over(self, judged: Columns) -> bool:
        """Whether these are the columns of which others are the judged ones, with some put over them."""
        return self._before is not None and self._before is judged._before

    @property
    def changed(self) -> frozenset[str]:
        """The facts of which other columns were put over what these are a copy of."""
        return frozenset(self._changed)

    def over(self, columns: Mapping[str, Column]) -> Columns:
        """A copy with other columns in place of those of the same facts."""
        made = self.copy()
        for fact, column in columns.items():
            made._put(fact, column)
        return made

    def under(self, facts: Sequence[tuple[Mapping[str, Fact], int]]) -> Columns:
        """A copy in which the subjects of each set hold its facts where they held none."""
        made = self.copy()
        for name in dict.fromkeys(name for held, _ in facts for name in held):
            missing, column = self.lacking(name), dict(self.column(name))
            for held, group in facts:
                if (value := held.get(name)) is not None and group & missing:
                    column[value] = column.get(value, 0) | group & missing
            made._put(name, column)
        return made

    def conclude(self, fact: str, true: int, false: int) -> None:
        """Settle a derived fact; where it is in neither set it stays as it was. Nothing has asked about it
        before.
        """
        settled = true | false
        column = {value: holders & ~settled for value, holders in self.column(fact).items()}
        column[True] = column.get(True, 0) | true
        column[False] = column.get(False, 0) | false
        self._put(fact, {value: holders for value, holders in column.items() if holders})

    def _put(self, fact: str, column: Column) -> None:
        if column != self.column(fact):
            self._columns[fact] = column
            self._known.pop(fact, None)
            self._changed.add(fact)

    # ---------- columns ----------
    def column(self, fact: str) -> Column:
        """Each value of a fact with the subjects that hold it."""
        found = self._columns.get(fact)
        if found is None:
            found = self._read(fact) if self._before is None else self._before.column(fact)
            self._columns[fact] = found
        return found

    def _read(self, fact: str) -> Column:
        shared = self._shared.get(fact.partition(".")[0])
        if shared is not None:
            found: dict[Fact, int] = {}
            for facts, group in shared:
                if (held := facts.get(fact)) is not None:
                    found[held] = found.get(held, 0) | group
            return found
        values = [held(fact) for held in self._held]
        first = values[0] if values else None
        if values.count(first) == len(values):
            return {} if first is None else {first: self.everyone}
        column: dict[Fact, int] = {}
        for value, bit in zip(values, self._bits, strict=True):
            if value is not None:
                column[value] = column.get(value, 0) | bit
        return column

    @cached_property
    def _held(self) -> list[Callable[[str], Fact | None]]:
        return [facts.get for facts in self._rows]

    @cached_property
    def _bits(self) -> list[int]:
        return [1 << n for n in range(len(self.names))]

    def known(self, fact: str) -> int:
        """The subjects of which a fact is known."""
        found = self._known.get(fact)
        if found is None:
            found = 0
            for holders in self.column(fact).values():
                found |= holders
            self._known[fact] = found
        return found

    def lacking(self, fact: str) -> int:
        """The subjects of which a fact is unknown."""
        return self.everyone & ~self.known(fact)

    def _compared(self, fact: str, op: str, bound: float) -> int:
        """The subjects whose number stands so to a bound."""
        if self._before is not None and fact not in self._changed:
            return self._before._compared(fact, op, bound)
        if fact not in self._steps:
            column: Mapping[Any, int] = self.column(fact)
            values = sorted(column)
            # Of each value those that hold a lesser one: all numbers under a bound are one look-up.
            self._steps[fact] = values, [0, *accumulate((column[value] for value in values), or_)]
        values, under = self._steps[fact]
        if op in ("<", ">="):
            less = under[bisect_left(values, bound)]
            return less if op == "<" else under[-1] & ~less
        less = under[bisect_right(values, bound)]
        return less if op == "<=" else under[-1] & ~less

    # ---------- conditions ----------
    def ask(self, condition: Condition) -> tuple[int, int]:
        """The subjects of which a condition is true, and those of which it is unknown."""
        found = self._answers.get(condition.text)
        if found is None:
            if self._before is not None and self._changed.isdisjoint(condition.facts):
                found = self._before.ask(condition)
            elif condition.op in ("<", "<=", ">", ">="):
                found = self._ordered(condition)
            else:
                found = self._levels(condition), self.lacking(condition.fact)
            self._answers[condition.text] = found
        return found

    def _levels(self, condition: Condition) -> int:
        column, true = self.column(condition.fact), 0
        for level in condition.levels or (True,):
            true |= column.get(level, 0)
        return self.known(condition.fact) & ~true if condition.op == "is not" else true

    def _ordered(self, condition: Condition) -> tuple[int, int]:
        fact, op, missing = condition.fact, condition.op, self.lacking(condition.fact)
        if not condition.index:
            if condition.number is None:
                return 0, self.everyone
            return self._compared(fact, op, condition.number), missing
        true = settled = 0
        for key, holders in self.column(condition.index).items():
            bound = condition.table.get(key) if isinstance(key, str) else None
            if bound is not None:
                true |= holders & self._compared(fact, op, bound)
                settled |= holders
        # Where no limit that is known lets it hold it is false, whatever the key turns out to be.
        possible = self.known(fact)
        if condition.table:
            limits = condition.table.values()
            possible = self._compared(fact, op, max(limits) if op in ("<", "<=") else min(limits))
        return true, missing | (possible & ~settled)

    def ask_all(self, conditions: Sequence[Condition]) -> tuple[int, int]:
        """The subjects of which all conditions are true, and those of which none is false but one is
        unknown.
        """
        true = possible = self.everyone
        answers = self._answers
        for condition in conditions:
            holds, unknown = answers.get(condition.text) or self.ask(condition)
            true &= holds
            possible &= holds | unknown
            if not possible:
                break
        return true, possible & ~true

    def unknown(self, conditions: Sequence[Condition], group: int) -> list[tuple[int, tuple[str, ...]]]:
        """The group in parts, each with the facts whose absence leaves one of the conditions unknown."""
        parts: list[tuple[int, tuple[str, ...]]] = [(group, ())]
        for condition in conditions:
            open_ = self.ask(condition)[1] & group
            for fact in condition.facts if open_ else ():
                missing = open_ & self.lacking(fact)
                parts = [
                    part
                    for held, names in parts
                    for part in (
                        (held & missing, names if fact in names else (*names, fact)),
                        (held & ~missing, names),
                    )
                    if part[0]
                ]
        return parts

    def waiting(self, conditions: Sequence[Condition], group: int, shut: Callable[[str], bool]) -> int:
        """Of some subjects for which conditions are unknown those that lack facts, none of them `shut`."""
        lacks = never = 0
        for condition in conditions:
            unknown = self.ask(condition)[1] & group
            if unknown:
                for fact in condition.facts:
                    missing = unknown & self.lacking(fact)
                    lacks |= missing
                    if missing and shut(fact):
                        never |= missing
        return lacks & ~never


@dataclass(frozen=True, slots=True)
class Ruled:
    """How a rule stands to all subjects: for which it fires, for which it could, and for which the truth of
    each exception is unknown.
    """

    rule: Rule
    true: int
    unknown: int
    open: tuple[tuple[str, int], ...] = ()

    def exceptions(self, n: int) -> tuple[str, ...]:
        """The exceptions whose truth is unknown for a subject."""
        return tuple(name for name, group in self.open if group >> n & 1) if self.open else ()


class Found(Judged):
    """What was judged of a layer, as sets: `strata` holds the rules that fire or could fire. The rows are
    made when they are read.
    """

    def __init__(
        self,
        columns: Columns,
        strata: Sequence[Sequence[Ruled]],
        concluded: Mapping[str, tuple[int, int]],
    ) -> None:
        self.__dict__.update(columns=columns, strata=strata, concluded=concluded)

    columns: Columns
    strata: Sequence[Sequence[Ruled]]
    # Each derived fact with the subjects of which it is true and of which it is false.
    concluded: Mapping[str, tuple[int, int]]

    @property
    def rules(self) -> Iterator[Ruled]:
        """The rules that fire or could fire, stratum by stratum."""
        return (ruled for stratum in self.strata for ruled in stratum)

    @cached_property
    def by_rule(self) -> Sequence[Mapping[str, Ruled]]:
        """The rules that fire or could fire by name, for each stratum."""
        return [{ruled.rule.id: ruled for ruled in stratum} for stratum in self.strata]

    def fired_on(self, n: int) -> list[tuple[Rule, Firing]]:
        """The rules that fire on one subject."""
        name = self.columns.names[n]
        return [
            (ruled.rule, Firing(ruled.rule.id, name, ruled.exceptions(n)))
            for ruled in self.rules
            if ruled.true >> n & 1
        ]

    def could_on(self, n: int) -> list[tuple[Rule, CouldFire]]:
        """The rules that could fire on one subject."""
        name, unknown = self.columns.names[n], self.columns.unknown
        return [
            (ruled.rule, CouldFire(ruled.rule.id, name, unknown(ruled.rule.when, 1 << n)[0][1]))
            for ruled in self.rules
            if ruled.unknown >> n & 1
        ]

    @cached_property
    def firings(self) -> tuple[Firing, ...]:
        names, found = self.columns.names, list[Firing]()
        for stratum in self.strata:
            rows: list[list[Firing]] = [[] for _ in names]
            for ruled in stratum:
                rule, exceptions = ruled.rule.id, ruled.exceptions if ruled.open else None
                for n in members(ruled.true):
                    rows[n].append(_firing((rule, names[n], exceptions(n) if exceptions else ())))
            found += (row for each in rows for row in each)
        return tuple(found)

    @cached_property
    def could(self) -> tuple[CouldFire, ...]:
        names, found = self.columns.names, list[CouldFire]()
        for stratum in self.strata:
            rows: list[list[CouldFire]] = [[] for _ in names]
            for ruled in stratum:
                rule = ruled.rule.id
                for part, facts in self.columns.unknown(ruled.rule.when, ruled.unknown):
                    for n in members(part):
                        rows[n].append(_could_fire((rule, names[n], facts)))
            found += (row for each in rows for row in each)
        return tuple(found)

    @cached_property
    def derived(self) -> Mapping[str, Mapping[str, bool]]:
        names = self.columns.names
        found: dict[str, dict[str, bool]] = {name: {} for name in names}
        for target, (true, false) in self.concluded.items():
            for n in members(true | false):
                found[names[n]][target] = bool(true >> n & 1)
        return found


def judge(
    base: RuleBase,
    layer: str,
    subjects: Sequence[Subject],
    without: frozenset[str] = frozenset(),
    before: Found | None = None,
) -> Found:
    """Run the rules of `layer` on `subjects`, stratum by stratum, those in `without` switched off.

    Where `subjects` are the columns that were judged `before` with others put over some of them, rules that
    read none of these stand as they stood.
    """
    columns = Columns.of(subjects)
    asked = columns.copy()
    held = before if before is not None and columns.is_over(before.columns) else None
    moved = columns.changed
    strata: list[list[Ruled]] = []
    concluded: dict[str, tuple[int, int]] = {}
    for place, stratum in enumerate(base.strata[layer]):
        stood = {} if held is None else held.by_rule[place]
        found: list[Ruled] = []
        given: dict[str, tuple[int, int]] = {
            rule.then.target: (0, 0) for rule in stratum if rule.then.act == "conclude"
        }
        for rule in stratum:
            if rule.id in without:
                continue
            stands = held is not None and moved.isdisjoint(rule.reads)
            ruled = stood.get(rule.id) if stands else _ruled(asked, rule)
            if ruled is None:
                continue
            found.append(ruled)
            if rule.then.act == "conclude":
                sure, perhaps = given[rule.then.target]
                given[rule.then.target] = sure | ruled.true, perhaps | ruled.unknown
        for target, (sure, perhaps) in given.items():
            concluded[target] = sure, asked.everyone & ~(sure | perhaps)
            asked.conclude(target, *concluded[target])
            if held is not None and concluded[target] != held.concluded[target]:
                moved = moved | {target}
        strata.append(found)
    return Found(asked, strata, concluded)


def _ruled(asked: Columns, rule: Rule) -> Ruled | None:
    """How a rule stands to all subjects; None where it fires on none and could on none."""
    true, unknown = asked.ask_all(rule.when)
    open_: list[tuple[str, int]] = []
    for exception in rule.unless if true | unknown else ():
        lifts, may_lift = asked.ask_all(exception.when)
        true, unknown = true & ~lifts, unknown & ~lifts
        if may_lift:
            open_.append((exception.name, may_lift))
    return Ruled(rule, true, unknown, tuple(open_)) if true | unknown else None
