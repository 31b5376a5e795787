"""Random facts, rules and subjects that stay inside the rule language, from a seed."""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping, Sequence

from decide.engine.base import RuleBase, build
from decide.engine.language import (
    READS,
    Conclusion,
    Condition,
    Fact,
    FactType,
    Judged,
    Rule,
    Subject,
    Template,
    Unless,
    rounded,
)
from decide.engine.written import Numbers, parse_condition
from decide.model.errors import KnowledgeError

WORDS = ("a", "ab", "abc", "b", "true", "0", "1", "10", "warm", "warm-season", "fits", "no")
QUIET = Template("", ())


def facts_of(dice: random.Random) -> dict[str, FactType]:
    """Told and derived facts of one scope and of those that it may read."""
    facts: dict[str, FactType] = {}
    for scope in ("site", "zone"):
        for number in range(dice.randint(1, 3)):
            name = f"{scope}.n{number}"
            facts[name] = FactType(name, "measured", "number", unit="day")
        for number in range(dice.randint(1, 3)):
            name = f"{scope}.l{number}"
            levels = tuple(dice.sample(WORDS, dice.randint(2, 6)))
            facts[name] = FactType(name, "measured", "level", levels=levels)
        for number in range(dice.randint(0, 2)):
            name = f"{scope}.t{number}"
            facts[name] = FactType(name, "told", "true")
        for number in range(dice.randint(1, 4)):
            name = f"{scope}.d{number}"
            facts[name] = FactType(name, dice.choice(("derived", "diagnosis")), "true")
    return facts


def _amount(dice: random.Random) -> float:
    return dice.choice(
        (0.0, 1.0, -1.0, 0.1, 0.3, 2.675, round(dice.uniform(-3, 3), 3), float(dice.randint(-3, 3)))
    )


def numbers_of(dice: random.Random, facts: Mapping[str, FactType]) -> tuple[Numbers, dict[str, str]]:
    """Single values and families; the second mapping gives each family the fact that may index it."""
    units: dict[str, str] = {}
    single: dict[str, float] = {}
    tables: dict[str, dict[str, float]] = {}
    index: dict[str, str] = {}
    for number in range(3):
        units[f"s{number}"] = "day"
        single[f"s{number}"] = _amount(dice)
    for name, kind in facts.items():
        if kind.type == "level":
            family = f"f{len(tables)}"
            keys = [level for level in kind.levels if dice.random() < 0.8]
            if keys:
                units[family] = dice.choice(("day", "week"))
                tables[family] = {key: _amount(dice) for key in keys}
                index[family] = name
    return Numbers(units, single, tables), index


def _condition(
    dice: random.Random,
    names: Sequence[str],
    facts: Mapping[str, FactType],
    numbers: Numbers,
    index: Mapping[str, str],
    negate: bool,
) -> Condition:
    concluded = [name for name in names if facts[name].concluded]
    if negate and concluded and dice.random() < 0.5:
        return parse_condition(f"{dice.choice(concluded)} is not true", facts, numbers)
    name = dice.choice(names)
    kind = facts[name]
    if kind.type == "true":
        negated = dice.random() < 0.5 and (negate or not kind.concluded)
        return parse_condition(f"{name} {'is not' if negated else 'is'} true", facts, numbers)
    if kind.type == "level":
        op = dice.choice(("is", "is not", "in"))
        if op == "in":
            some = dice.sample(kind.levels, dice.randint(1, min(3, len(kind.levels))))
            return parse_condition(f"{name} in {{{', '.join(some)}}}", facts, numbers)
        return parse_condition(f"{name} {op} {dice.choice(kind.levels)}", facts, numbers)
    op = dice.choice(("<", "<=", ">", ">="))
    readable = [family for family, fact in index.items() if fact in names]
    term = dice.random()
    if term < 0.3 and readable:
        family = dice.choice(readable)
        return parse_condition(f"{name} {op} value:{family}[{index[family]}]", facts, numbers)
    if term < 0.6:
        return parse_condition(f"{name} {op} value:{dice.choice(list(numbers.single))}", facts, numbers)
    return parse_condition(f"{name} {op} {_amount(dice)} day", facts, numbers)


def _group(dice: random.Random, most: int, *args: object) -> tuple[Condition, ...]:
    made = [_condition(dice, *args) for _ in range(dice.randint(1, most))]  # type: ignore[arg-type]
    return tuple({condition.text: condition for condition in made}.values())


def base_of(seed: int) -> RuleBase:
    """A random rule base; the same seed gives the same one."""
    dice = random.Random(seed)
    facts = facts_of(dice)
    numbers, index = numbers_of(dice, facts)
    rules: list[Rule] = []
    base = build((), facts)
    for number in range(dice.randint(1, 14)):
        about = dice.choice(("site", "zone", "zone"))
        scopes = ("site",) if about == "site" else ("site", "zone")
        names = [name for name, kind in facts.items() if kind.scope in scopes]
        if dice.random() < 0.6:
            target = dice.choice(
                [name for name, kind in facts.items() if kind.concluded and kind.scope == about]
            )
            then = Conclusion("conclude", target)
        else:
            then = Conclusion(dice.choice(("caution", "need")), f"code-{dice.randint(0, 3)}")
        unless: tuple[Unless, ...] = ()
        if then.act != "conclude" or facts[then.target].kind == "diagnosis":
            unless = tuple(
                Unless(f"u{each}", _group(dice, 2, names, facts, numbers, index, True), QUIET)
                for each in range(dice.choice((0, 0, 1, 2)))
            )
        rule = Rule(
            f"r{number}",
            about,
            _group(dice, 4, names, facts, numbers, index, False),
            then,
            QUIET,
            ("own-rule",),
            unless,
        )
        try:
            base = build([*rules, rule], facts)
        except KnowledgeError:
            continue
        rules.append(rule)
    return base


def bounds_of(base: RuleBase) -> dict[str, tuple[float, ...]]:
    """The numbers with which rules compare each fact."""
    bounds: dict[str, list[float]] = {}
    for rule in base.rules:
        for condition in rule.conditions:
            found = [condition.number] if condition.number is not None else list(condition.table.values())
            bounds.setdefault(condition.fact, []).extend(found)
    return {name: tuple(dict.fromkeys(found)) for name, found in bounds.items()}


def fact_of(dice: random.Random, kind: FactType, near: Sequence[float]) -> Fact:
    """A random value of a fact: on a bound that some rule has, a thousandth beside it, or anywhere in its range."""
    if kind.type == "true":
        return dice.random() < 0.5
    if kind.type == "level":
        return dice.choice(kind.levels or WORDS)
    if near and dice.random() < 0.8:
        return rounded(dice.choice(near) + dice.choice((0.0, 0.0, 0.001, -0.001)))
    if kind.low is not None and kind.high is not None:
        return rounded(dice.uniform(kind.low, kind.high))
    return _amount(dice)


def subjects_of(base: RuleBase, layer: str, seed: int, most: int = 4) -> list[Subject]:
    """Random subjects of `layer`: every fact that its rules may read and do not conclude, some absent."""
    dice = random.Random(f"{seed} {layer}")
    scope = layer.removesuffix("-verdict").removesuffix("-role")
    bounds = bounds_of(base)
    absent = dice.choice((0.0, 0.1, 0.3))
    return [
        Subject(
            f"{layer}-{place}",
            {
                name: fact_of(dice, kind, bounds.get(name, ()))
                for name, kind in base.facts.items()
                if kind.scope in READS[scope]
                and not (kind.concluded and kind.scope == scope)
                and dice.random() >= absent
            },
        )
        for place in range(dice.randint(1, most))
    ]


Judge = Callable[[str, Sequence[Subject]], Judged]


def differences(
    base: RuleBase, layer: str, subjects: Sequence[Subject], one: Judge, other: Judge
) -> list[str]:
    """What two engines say differently of `subjects`: firings in their order, and the truth of derived facts.

    That a derived fact is false must agree only where some rule asks for it.
    """
    first, second = one(layer, subjects), other(layer, subjects)
    found: list[str] = []
    fired = [[(each.rule, each.subject) for each in judged.firings] for judged in (first, second)]
    if fired[0] != fired[1]:
        found.append(f"firings {sorted(set(fired[0]) ^ set(fired[1])) or 'order'}")
    for subject in subjects:
        kept = [
            {
                name: truth
                for name, truth in judged.derived[subject.name].items()
                if truth or name in base.tracked
            }
            for judged in (first, second)
        ]
        if kept[0] != kept[1]:
            found.append(f"{subject.name} {sorted(set(kept[0].items()) ^ set(kept[1].items()))}")
    return found
