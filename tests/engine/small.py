"""A handful of facts, numbers and shorthands from which the engine tests build small rule bases."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from decide.engine.base import RuleBase, build
from decide.engine.language import Conclusion, Fact, FactType, Rule, Subject, Template, Unless
from decide.engine.written import Numbers, parse_condition

FACTS: Mapping[str, FactType] = {
    fact.name: fact
    for fact in (
        FactType("site.cold", "measured", "number", unit="C"),
        FactType("site.water", "told", "level", levels=("none", "can", "hand-hose")),
        FactType("site.place", "told", "level"),
        FactType("site.fenced", "told", "true"),
        FactType("site.dry", "derived", "true"),
        FactType("site.harsh", "derived", "true"),
        FactType("site.cause-frost", "diagnosis", "true"),
        FactType("zone.bare", "measured", "number", unit="percent"),
        FactType("zone.grass", "measured", "level", levels=("rye", "rye-old", "blue", "zoysia")),
        FactType("zone.sunny", "told", "true"),
        FactType("zone.worn", "derived", "true"),
        FactType("zone.cause-overuse", "diagnosis", "true"),
        FactType("option.weeks", "measured", "number", unit="week"),
        FactType("option.grass", "measured", "level", levels=("rye", "rye-old", "blue", "zoysia")),
        FactType("step.days", "measured", "number", unit="day"),
    )
}
NUMBERS = Numbers(
    units={"much-bare": "percent", "time": "day", "limit": "percent"},
    single={"much-bare": 40.0},
    tables={"time": {"rye": 21.0, "blue": 56.0}, "limit": {"rye": 30.0, "blue": 50.0}},
)
QUIET = Template("Because.", ("Because.",))


def rule(
    id: str,
    about: str,
    when: Sequence[str],
    then: Conclusion,
    unless: Mapping[str, Sequence[str]] | None = None,
    facts: Mapping[str, FactType] = FACTS,
) -> Rule:
    exceptions = tuple(
        Unless(name, tuple(parse_condition(c, facts, NUMBERS) for c in conditions), QUIET)
        for name, conditions in (unless or {}).items()
    )
    return Rule(
        id,
        about,
        tuple(parse_condition(c, facts, NUMBERS) for c in when),
        then,
        QUIET,
        ("own-rule",),
        exceptions,
    )  # type: ignore[arg-type]


def caution(id: str, about: str, *when: str, unless: Mapping[str, Sequence[str]] | None = None) -> Rule:
    return rule(id, about, when, Conclusion("caution", id), unless)


def concludes(id: str, fact: str, *when: str, unless: Mapping[str, Sequence[str]] | None = None) -> Rule:
    return rule(id, fact.partition(".")[0], when, Conclusion("conclude", fact), unless)


def base(*rules: Rule, facts: Mapping[str, FactType] = FACTS) -> RuleBase:
    return build(rules, facts)


def subject(name: str = "it", **facts: Fact) -> Subject:
    """`subject(zone__bare=3.0)` holds zone.bare = 3.0."""
    return Subject(name, {key.replace("__", ".").replace("_", "-"): value for key, value in facts.items()})


WORN = (
    concludes("bare-worn", "zone.worn", "zone.bare > 10 percent"),
    concludes("sun-worn", "zone.worn", "zone.sunny is true", "zone.grass is rye"),
)


def fired(judged: object) -> list[tuple[str, str]]:
    return [(each.rule, each.subject) for each in judged.firings]  # type: ignore[attr-defined]


def names(rules: Iterable[Rule]) -> list[str]:
    return [each.id for each in rules]
