"""The plain evaluator: three-valued, says what could fire and why a rule did not, and is the oracle of the other engine."""

from __future__ import annotations

import operator
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from decide.engine.language import Condition, CouldFire, Fact, Firing, Judged, Rule, RuleBase, Subject

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


def judge(base: RuleBase, layer: str, subjects: Sequence[Subject], without: frozenset[str] = frozenset()) -> Judged:
    """Run the rules of `layer` on `subjects`, stratum by stratum; rules named in `without` are switched off."""
    firings: list[Firing] = []
    could: list[CouldFire] = []
    held: dict[str, dict[str, Fact]] = {subject.name: dict(subject.facts) for subject in subjects}
    derived: dict[str, dict[str, bool]] = {subject.name: {} for subject in subjects}
    for stratum in base.strata[layer]:
        rules = [rule for rule in stratum if rule.id not in without]
        for subject in subjects:
            facts = held[subject.name]
            given: dict[str, Truth] = {rule.then.target: False for rule in stratum if rule.then.act == "conclude"}
            for rule in rules:
                whole = conjunction(rule.when, facts)
                if whole is False:
                    continue
                lifts = [(exception.name, conjunction(exception.when, facts)) for exception in rule.unless]
                if any(lifted is True for _, lifted in lifts):
                    continue
                if whole is None:
                    names = unknown_facts(rule.when, facts)
                    could.append(CouldFire(rule.id, subject.name, names))
                else:
                    firings.append(Firing(rule.id, subject.name, tuple(name for name, lifted in lifts if lifted is None)))
                if rule.then.act == "conclude":
                    target = rule.then.target
                    given[target] = True if whole or given[target] is True else None
            for target, value in given.items():
                if value is not None:
                    facts[target] = value
                    derived[subject.name][target] = value
    return Judged(tuple(firings), derived, tuple(could))
