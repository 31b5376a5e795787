"""A rule base: rules checked, and sorted into strata so that what is concluded is settled before it
is read.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

from decide.engine.language import (
    ADVERSE,
    CRITERIA,
    LAYERS,
    MOST_CONDITIONS,
    READS,
    SOFT,
    VERDICTS,
    Condition,
    FactType,
    Rule,
)
from decide.model.errors import KnowledgeError, meant


@dataclass(frozen=True, slots=True)
class RuleBase:
    """All rules, sorted into layers and strata, with the facts that they read.

    `strata[layer]` is a tuple of strata, each a tuple of rules; a stratum reads only derived facts of the
    strata and layers below it. `tracked` are the derived facts whose falsity some exception asks for.
    """

    facts: Mapping[str, FactType]
    rules: tuple[Rule, ...]
    strata: Mapping[str, tuple[tuple[Rule, ...], ...]]
    tracked: frozenset[str]

    def rule(self, id: str) -> Rule:
        return next(rule for rule in self.rules if rule.id == id)


def _wrong(rule: Rule, text: str, instead: str = "") -> KnowledgeError:
    return KnowledgeError(f"rule {rule.id!r}: {text}", where=rule.where, instead=instead)


def check_rule(rule: Rule, facts: Mapping[str, FactType]) -> None:
    """Raise KnowledgeError where a well-formed rule breaks a law of the language."""
    for group in (rule.when, *(exception.when for exception in rule.unless)):
        _check_group(rule, group, facts)
    act = rule.then.act
    if act == "conclude":
        _check_conclusion(rule, facts)
    elif act == "verdict":
        _check_verdict(rule)
    elif act in ("rule-out", "mark"):
        _check_grade(rule)
    if (
        rule.sound_if is not None
        and not rule.adverse
        and not (rule.then.act == "mark" and rule.then.grade == "doubtful")
    ):
        raise _wrong(
            rule,
            "says when it is sound, but speaks against nothing",
            "Only rule-outs and marks below fair have `sound-if`",
        )
    _check_exceptions(rule, facts)


def _check_group(rule: Rule, group: Sequence[Condition], facts: Mapping[str, FactType]) -> None:
    if not group:
        raise _wrong(rule, "has no condition", 'Write when = ["fact is level"]')
    if len(group) > MOST_CONDITIONS:
        raise _wrong(
            rule,
            f"has {len(group)} conditions",
            f"At most {MOST_CONDITIONS}; derive a fact from some of them",
        )
    seen = [condition.text for condition in group]
    if len(set(seen)) != len(seen):
        raise _wrong(rule, "states a condition twice")
    reads = READS[rule.about]
    for condition in group:
        for name in condition.facts:
            if facts[name].scope not in reads:
                raise _wrong(
                    rule, f"reads {name}, but a rule about {rule.about} reads only {', '.join(reads)}"
                )
        if facts[condition.fact].concluded and condition.op == "is not" and group is rule.when:
            raise _wrong(
                rule,
                f"negates the derived fact {condition.fact} in `when`",
                "Derived facts are negated only inside `unless`",
            )


def _check_conclusion(rule: Rule, facts: Mapping[str, FactType]) -> None:
    name = rule.then.target
    if name not in facts or not facts[name].concluded:
        known = [each for each, kind in facts.items() if kind.concluded]
        raise _wrong(rule, f"concludes {name!r}, which is not a derived fact", meant(name, known))
    if facts[name].scope != rule.about:
        raise _wrong(rule, f"is about {rule.about} but concludes {name}")


def _check_grade(rule: Rule) -> None:
    then = rule.then
    if then.target not in CRITERIA:
        raise _wrong(rule, f"{then.target!r} is not a criterion", meant(then.target, CRITERIA))
    if then.act == "mark" and then.grade not in (*ADVERSE, *SOFT):
        raise _wrong(rule, f"{then.grade!r} is not a grade", f"Write one of: {', '.join((*ADVERSE, *SOFT))}")
    if rule.about not in VERDICTS:
        raise _wrong(rule, f"grades a {rule.about}", "Only options and steps are graded")


def _check_verdict(rule: Rule) -> None:
    if rule.about not in VERDICTS:
        raise _wrong(rule, f"gives a verdict on a {rule.about}", "Only options and steps get a verdict")
    known, verdict = VERDICTS[rule.about], rule.then.target
    if verdict not in known:
        raise _wrong(rule, f"{verdict!r} is not a verdict on a {rule.about}", meant(verdict, known))


def _check_exceptions(rule: Rule, facts: Mapping[str, FactType]) -> None:
    then = rule.then
    lifts = (
        then.act in ("rule-out", "caution", "need")
        or (then.act == "mark" and then.grade in (*ADVERSE, "doubtful"))
        or (then.act == "conclude" and facts[then.target].kind == "diagnosis")
    )
    if rule.unless and not lifts:
        raise _wrong(
            rule,
            "has an exception that could make advice bolder",
            "`unless` stands only on rule-outs, weak marks, cautions, needs and diagnoses; "
            "write a rule of its own",
        )
    names = [exception.name for exception in rule.unless]
    if len(set(names)) != len(names):
        raise _wrong(rule, "has two exceptions of one name")


def _heights(givers: Mapping[str, Sequence[Rule]], facts: Mapping[str, FactType]) -> Mapping[str, int]:
    """How many layers of conclusions lie under each concluded fact; KnowledgeError on a circle."""
    below = {
        name: {
            used
            for rule in givers.get(name, ())
            for condition in rule.conditions
            for used in condition.facts
            if facts[used].concluded and facts[used].scope == kind.scope
        }
        for name, kind in facts.items()
        if kind.concluded
    }
    height: dict[str, int] = {}
    try:
        for name in TopologicalSorter(below).static_order():
            height[name] = 1 + max((height[used] for used in below[name]), default=-1)
    except CycleError as error:
        circle = " → ".join(reversed(error.args[1]))
        raise KnowledgeError(
            f"a derived fact rests on itself: {circle}", where=givers[error.args[1][0]][0].where
        ) from None
    return height


def _check_twins(rules: Sequence[Rule]) -> None:
    """Raise KnowledgeError where an id stands twice, or two rules say the same."""
    ids: dict[str, str] = {}
    bodies: dict[object, str] = {}
    for rule in rules:
        if rule.id in ids:
            raise KnowledgeError(
                f"rule {rule.id!r} stands twice", where=rule.where, instead=f"The other is at {ids[rule.id]}"
            )
        ids[rule.id] = rule.where
        body = (
            rule.about,
            frozenset(c.text for c in rule.when),
            rule.then,
            frozenset((u.name, frozenset(c.text for c in u.when)) for u in rule.unless),
        )
        if body in bodies:
            raise KnowledgeError(
                f"rules {bodies[body]!r} and {rule.id!r} are twins", where=rule.where, instead="Keep one"
            )
        bodies[body] = rule.id


def _strata(
    rules: Sequence[Rule], facts: Mapping[str, FactType], height: Mapping[str, int]
) -> dict[str, list[list[Rule]]]:
    """The rules of each layer by how much must be concluded before them."""
    strata: dict[str, list[list[Rule]]] = {layer: [] for layer in LAYERS}
    for rule in rules:
        used = {name for condition in rule.conditions for name in condition.facts}
        below = [height[name] for name in used if facts[name].concluded and facts[name].scope == rule.about]
        level = 1 + max(below, default=-1)
        if rule.then.act == "conclude":
            level = max(level, height[rule.then.target])
        rows = strata[rule.layer]
        rows += [[] for _ in range(level + 1 - len(rows))]
        rows[level].append(rule)
    return strata


def _tracked(
    rules: Sequence[Rule], facts: Mapping[str, FactType], givers: Mapping[str, Sequence[Rule]]
) -> frozenset[str]:
    """The concluded facts whose falsity some exception asks for, and those that they rest on."""
    found: set[str] = set()
    conditions = [condition for rule in rules for each in rule.unless for condition in each.when]
    todo = [c.fact for c in conditions if c.op == "is not" and facts[c.fact].concluded]
    while todo:
        name = todo.pop()
        if name not in found:
            found.add(name)
            todo += [c.fact for r in givers.get(name, []) for c in r.conditions if facts[c.fact].concluded]
    return frozenset(found)


def build(rules: Sequence[Rule], facts: Mapping[str, FactType]) -> RuleBase:
    """Check every rule and sort the rules into strata; KnowledgeError on twins and circles."""
    for rule in rules:
        check_rule(rule, facts)
    _check_twins(rules)
    givers: dict[str, list[Rule]] = {}
    for rule in rules:
        if rule.then.act == "conclude":
            givers.setdefault(rule.then.target, []).append(rule)
    strata = _strata(rules, facts, _heights(givers, facts))
    return RuleBase(
        facts=dict(facts),
        rules=tuple(rules),
        strata={layer: tuple(tuple(row) for row in rows) for layer, rows in strata.items()},
        tracked=_tracked(rules, facts, givers),
    )
