"""What one consultation asks of an engine, kept to be asked of others; and the same with more rules or more subjects."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any, NamedTuple

from decide.consult import Adviser
from decide.engine.base import RuleBase
from decide.engine.language import Condition, Judged, Rule, Subject
from decide.model.situation import Situation


class Call(NamedTuple):
    """One layer with the subjects that it is asked about."""

    layer: str
    subjects: tuple[Subject, ...]


def calls_of(adviser: Adviser, situation: Situation) -> tuple[Call, ...]:
    """Every call of the judge in one consultation, in order, the facts as they stood then."""
    kept: list[Call] = []
    judge = adviser.judge.judge

    def keeping(layer: str, subjects: Sequence[Subject], *more: Any, **named: Any) -> Judged:
        subjects = tuple(Subject(each.name, dict(each.facts)) for each in subjects)
        if subjects:
            kept.append(Call(layer, subjects))
        return judge(layer, subjects, *more, **named)

    vars(adviser.judge)["judge"] = keeping
    try:
        adviser.consult(situation)
    finally:
        del vars(adviser.judge)["judge"]
    return tuple(kept)


def _own(name: str, copy: int) -> str:
    return f"{name}~{copy}" if name and copy else name


def _condition(each: Condition, copy: int) -> Condition:
    return dataclasses.replace(
        each, fact=_own(each.fact, copy), index=_own(each.index, copy), text=_own(each.text, copy)
    )


def _rule(rule: Rule, copy: int, concluded: frozenset[str]) -> Rule:
    then = rule.then
    if then.target in concluded:
        then = dataclasses.replace(then, target=_own(then.target, copy))
    return dataclasses.replace(
        rule,
        id=_own(rule.id, copy),
        when=tuple(_condition(each, copy) for each in rule.when),
        then=then,
        unless=tuple(
            dataclasses.replace(each, when=tuple(_condition(c, copy) for c in each.when))
            for each in rule.unless
        ),
    )


def more_rules(base: RuleBase, times: int) -> RuleBase:
    """The rule base so many times over, each copy with rules, conditions and facts of its own: nothing is asked for two copies at once."""
    copies = range(times)
    concluded = frozenset(name for name, kind in base.facts.items() if kind.concluded)
    return RuleBase(
        facts={
            _own(name, n): dataclasses.replace(kind, name=_own(name, n))
            for n in copies
            for name, kind in base.facts.items()
        },
        rules=tuple(_rule(rule, n, concluded) for n in copies for rule in base.rules),
        strata={
            layer: tuple(tuple(_rule(rule, n, concluded) for n in copies for rule in row) for row in rows)
            for layer, rows in base.strata.items()
        },
        tracked=frozenset(_own(name, n) for n in copies for name in base.tracked),
    )


def with_more_facts(calls: Sequence[Call], times: int) -> tuple[Call, ...]:
    """The same subjects with the facts that each copy of `more_rules` reads."""
    return tuple(
        Call(
            layer,
            tuple(
                Subject(
                    each.name,
                    {_own(name, n): value for n in range(times) for name, value in each.facts.items()},
                )
                for each in subjects
            ),
        )
        for layer, subjects in calls
    )


def more_subjects(calls: Sequence[Call], times: int) -> tuple[Call, ...]:
    """Every layer about options with so many times its subjects, under names of their own."""
    return tuple(
        Call(
            layer,
            tuple(Subject(_own(each.name, n), each.facts) for n in range(times) for each in subjects)
            if layer.startswith("option")
            else subjects,
        )
        for layer, subjects in calls
    )
