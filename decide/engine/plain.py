"""The plain evaluator: three-valued, says what could fire and why a rule did not, and is the oracle of the
other engines.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from decide.engine.base import RuleBase
from decide.engine.language import Condition, CouldFire, Fact, Firing, Judged, Rule, Subject

Truth = bool | None

_ORDER: Final[Mapping[str, Callable[[float, float], bool]]] = {
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
}


def truth(condition: Condition, facts: Mapping[str, Fact]) -> Truth:
    """Whether `condition` holds of `facts`; None where a fact that it reads is unknown."""
    held = facts.get(condition.fact)
    if held is None:
        return None
    op = condition.op
    if op in _ORDER:
        bound = condition.number
        if condition.index:
            key = facts.get(condition.index)
            bound = condition.table.get(key) if isinstance(key, str) else None
            if (
                bound is None
                and condition.table
                and not any(
                    _ORDER[op](held, limit)
                    for limit in condition.table.values()
                    if isinstance(held, (int, float))
                )
            ):
                # Whatever the key turns out to be, no limit that is known lets it hold.
                return False
        if bound is None:
            return None
        assert isinstance(held, (int, float))
        return _ORDER[op](held, bound)
    if not condition.levels:
        return (held is True) == (op == "is")
    return (held in condition.levels) == (op != "is not")


def conjunction(conditions: Sequence[Condition], facts: Mapping[str, Fact]) -> Truth:
    """Whether all `conditions` hold: False as soon as one does not, else None where one is unknown."""
    result: Truth = True
    for condition in conditions:
        one = truth(condition, facts)
        if one is False:
            return False
        if one is None:
            result = None
    return result


def unknown_facts(conditions: Sequence[Condition], facts: Mapping[str, Fact]) -> tuple[str, ...]:
    """The facts whose absence leaves one of `conditions` unknown, in their order."""
    names: list[str] = []
    for condition in conditions:
        if truth(condition, facts) is None:
            names += [name for name in condition.facts if name not in facts and name not in names]
    return tuple(names)


@dataclass(frozen=True, slots=True)
class Standing:
    """How one rule stands to one subject: each condition and each exception with its truth."""

    rule: Rule
    fires: Truth
    when: tuple[tuple[Condition, Truth], ...]
    unless: tuple[tuple[str, Truth], ...]


def standing(rule: Rule, facts: Mapping[str, Fact]) -> Standing:
    """How `rule` stands to a subject that holds `facts`, condition by condition."""
    when = tuple((condition, truth(condition, facts)) for condition in rule.when)
    unless = tuple((exception.name, conjunction(exception.when, facts)) for exception in rule.unless)
    whole = conjunction(rule.when, facts)
    if any(lifted is True for _, lifted in unless):
        whole = False
    return Standing(rule, whole, when, unless)


class _Together:
    """Many subjects asked at once; bit n of a set stands for subject n.

    Most facts are alike for many subjects, so a condition is asked once for each value that occurs, not once
    for each subject.
    """

    def __init__(self, subjects: Sequence[Subject]) -> None:
        self.facts = [subject.facts for subject in subjects]
        self.everyone = (1 << len(subjects)) - 1
        self._columns: dict[str, dict[Fact, int]] = {}
        self._answers: dict[str, tuple[int, int]] = {}

    def column(self, fact: str) -> Mapping[Fact, int]:
        """Each value of a fact with the subjects that hold it."""
        if fact not in self._columns:
            column: dict[Fact, int] = {}
            bit = 1
            for facts in self.facts:
                held = facts.get(fact)
                if held is not None:
                    column[held] = column.get(held, 0) | bit
                bit <<= 1
            self._columns[fact] = column
        return self._columns[fact]

    def conclude(self, fact: str, true: int, false: int) -> None:
        """Settle a derived fact; where it is in neither set it stays as it was. Nothing has asked about it
        before.
        """
        settled = true | false
        column = {value: holders & ~settled for value, holders in self.column(fact).items()}
        column[True] = column.get(True, 0) | true
        column[False] = column.get(False, 0) | false
        self._columns[fact] = {value: holders for value, holders in column.items() if holders}

    def lacking(self, fact: str) -> int:
        """The subjects of which a fact is unknown."""
        known = 0
        for holders in self.column(fact).values():
            known |= holders
        return self.everyone & ~known

    def ask(self, condition: Condition) -> tuple[int, int]:
        """The subjects of which a condition is true, and those of which it is unknown."""
        if condition.text not in self._answers:
            cases: list[tuple[int, dict[str, Fact]]] = [(self.everyone, {})]
            for fact in condition.facts:
                missing, values = self.lacking(fact), self.column(fact).items()
                cases = [
                    case
                    for group, facts in cases
                    for case in (
                        (group & missing, facts),
                        *((group & held, {**facts, fact: value}) for value, held in values),
                    )
                    if case[0]
                ]
            true = unknown = 0
            for group, facts in cases:
                answer = truth(condition, facts)
                true |= group if answer is True else 0
                unknown |= group if answer is None else 0
            self._answers[condition.text] = true, unknown
        return self._answers[condition.text]

    def ask_all(self, conditions: Sequence[Condition]) -> tuple[int, int]:
        """The subjects of which all conditions are true, and those of which none is false but one is
        unknown.
        """
        true = possible = self.everyone
        for condition in conditions:
            holds, unknown = self.ask(condition)
            true &= holds
            possible &= holds | unknown
            if not possible:
                break
        return true, possible & ~true

    def unknown(self, conditions: Sequence[Condition], group: int) -> list[tuple[int, tuple[str, ...]]]:
        """The group in parts, each with the facts whose absence leaves one of the conditions unknown."""
        parts: list[tuple[int, tuple[str, ...]]] = [(group, ())]
        for condition in conditions:
            _, open_ = self.ask(condition)
            for fact in condition.facts if open_ & group else ():
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


def _members(group: int) -> Iterator[int]:
    """The numbers of the subjects in a set, in order."""
    while group:
        lowest = group & -group
        yield lowest.bit_length() - 1
        group ^= lowest


def judge(
    base: RuleBase, layer: str, subjects: Sequence[Subject], without: frozenset[str] = frozenset()
) -> Judged:
    """Run the rules of `layer` on `subjects`, stratum by stratum, those in `without` switched off."""
    firings: list[Firing] = []
    could: list[CouldFire] = []
    derived: dict[str, dict[str, bool]] = {subject.name: {} for subject in subjects}
    names = [subject.name for subject in subjects]
    asked = _Together(subjects)
    for stratum in base.strata[layer]:
        fired: list[list[Firing]] = [[] for _ in subjects]
        maybe: list[list[CouldFire]] = [[] for _ in subjects]
        given: dict[str, tuple[int, int]] = {
            rule.then.target: (0, 0) for rule in stratum if rule.then.act == "conclude"
        }
        for rule in stratum:
            if rule.id in without:
                continue
            true, unknown = asked.ask_all(rule.when)
            if not true | unknown:
                continue
            open_: list[tuple[str, int]] = []
            for exception in rule.unless:
                lifts, may_lift = asked.ask_all(exception.when)
                true, unknown = true & ~lifts, unknown & ~lifts
                open_.append((exception.name, may_lift))
            for n in _members(true):
                fired[n].append(
                    Firing(rule.id, names[n], tuple(name for name, group in open_ if group >> n & 1))
                )
            for part, facts in asked.unknown(rule.when, unknown):
                for n in _members(part):
                    maybe[n].append(CouldFire(rule.id, names[n], facts))
            if rule.then.act == "conclude":
                sure, perhaps = given[rule.then.target]
                given[rule.then.target] = sure | true, perhaps | unknown
        for target, (sure, perhaps) in given.items():
            false = asked.everyone & ~(sure | perhaps)
            asked.conclude(target, sure, false)
            for n in _members(sure | false):
                derived[names[n]][target] = bool(sure >> n & 1)
        firings += (firing for row in fired for firing in row)
        could += (each for row in maybe for each in row)
    return Judged(tuple(firings), derived, tuple(could))
