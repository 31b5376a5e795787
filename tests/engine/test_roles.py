"""The layer of roles comes after the verdicts: what part an option may take in a programme, the same in both engines."""

from __future__ import annotations

import random
from functools import partial

import pytest
from random_bases import bounds_of, differences, fact_of
from small import FACTS, NUMBERS, QUIET, base, caution, concludes, fired, subject

from decide.engine import durable, plain
from decide.engine.language import LAYERS, ROLE, VERDICTS, Conclusion, Fact, FactType, Rule, Subject, Unless
from decide.engine.written import parse_condition
from decide.knowledge.compile import compile_rules
from tests.shared import knowledge

NEEDS_DURABLE = pytest.mark.skipif(not durable.available(), reason="durable-rules is not installed here")
ENGINES = [
    pytest.param(plain.judge, id="plain"),
    pytest.param(durable.judge, id="durable", marks=NEEDS_DURABLE),
]
ROLES = {
    **FACTS,
    "option.verdict": FactType("option.verdict", "measured", "level", levels=VERDICTS["option"]),
    "option.role-answer": FactType("option.role-answer", "derived", "true"),
    "option.role-stopgap": FactType("option.role-stopgap", "diagnosis", "true"),
    "option.role-first": FactType("option.role-first", "derived", "true"),
    "option.handy": FactType("option.handy", "derived", "true"),
}


def role(id: str, fact: str, *when: str, unless: tuple[str, ...] = ()) -> Rule:
    exceptions = (
        (Unless("not-so", tuple(parse_condition(text, ROLES, NUMBERS) for text in unless), QUIET),)
        if unless
        else ()
    )
    return Rule(
        id,
        "option",
        tuple(parse_condition(text, ROLES, NUMBERS) for text in when),
        Conclusion("conclude", fact),
        QUIET,
        ("own-rule",),
        exceptions,
    )


RULES = (
    role("if-sound", "option.role-answer", "option.verdict in {advised, sound}"),
    role(
        "if-soon",
        "option.role-stopgap",
        "option.weeks < value:time[option.grass]",
        unless=("zone.bare > value:much-bare",),
    ),
    role("both", "option.role-first", "option.role-answer is true", "option.role-stopgap is true"),
    role("handy", "option.handy", "option.weeks > 0"),
)


def test_roles_have_a_layer_of_their_own_after_the_verdict():
    made = base(*RULES, facts=ROLES)
    assert (
        LAYERS.index("option")
        < LAYERS.index("option-verdict")
        < LAYERS.index("option-role")
        < LAYERS.index("step")
    )
    assert [[each.id for each in stratum] for stratum in made.strata["option-role"] if stratum] == [
        ["if-sound", "if-soon"],
        ["both"],
    ]
    assert [each.id for stratum in made.strata["option"] for each in stratum] == ["handy"]


@pytest.mark.parametrize("judge", ENGINES)
@pytest.mark.parametrize(
    ("facts", "roles"),
    [
        (
            {"option__verdict": "sound", "option__weeks": 2.0, "option__grass": "rye"},
            {"answer", "stopgap", "first"},
        ),
        ({"option__verdict": "risky", "option__weeks": 2.0, "option__grass": "rye"}, {"stopgap"}),
        ({"option__verdict": "advised", "option__weeks": 3.0, "option__grass": "rye"}, {"answer"}),
        (
            {"option__verdict": "advised", "option__weeks": 3.0, "option__grass": "blue"},
            {"answer", "stopgap", "first"},
        ),
        (
            {"option__verdict": "advised", "option__weeks": 2.0, "option__grass": "rye", "zone__bare": 60.0},
            {"answer"},
        ),
        ({"option__verdict": "late", "option__grass": "rye"}, set()),
        ({}, set()),
    ],
)
def test_roles_follow_from_the_verdict_and_the_facts(judge, facts, roles):
    derived = judge(base(*RULES, facts=ROLES), "option-role", [subject(**facts)]).derived["it"]
    assert {name.removeprefix(ROLE) for name, holds in derived.items() if holds} == roles


@pytest.mark.parametrize("judge", ENGINES)
def test_a_role_rule_neither_fires_in_the_layer_of_options_nor_is_it_held_back_by_one(judge):
    made = base(*RULES, facts=ROLES)
    one = subject(option__verdict="sound", option__weeks=1.0)
    assert fired(judge(made, "option", [one])) == [("handy", "it")]
    assert fired(judge(made, "option-role", [one])) == [("if-sound", "it")]
    assert (
        fired(
            judge(
                base(
                    caution("care", "zone", "zone.bare > 0"), concludes("worn", "zone.worn", "zone.bare > 0")
                ),
                "option-role",
                [one],
            )
        )
        == []
    )


def _likely(dice: random.Random, kind: FactType, named: list[str], bounds: tuple[float, ...]) -> Fact:
    """A value that some rule asks for, more often than not."""
    return (
        dice.choice(named)
        if named and dice.random() < 0.85
        else True
        if kind.type == "true" and dice.random() < 0.5
        else fact_of(dice, kind, bounds)
    )


@NEEDS_DURABLE
def test_both_engines_give_the_real_options_the_same_roles():
    """On facts as they come after the verdict: levels that rules ask for, numbers near every limit, and some unknown."""
    real = compile_rules(knowledge())
    conditions = [
        condition
        for stratum in real.strata["option-role"]
        for each in stratum
        for condition in each.conditions
    ]
    given = {each.then.target for stratum in real.strata["option-role"] for each in stratum}
    assert given >= {ROLE + name for name in ("answer", "resort", "stopgap", "lasting")}
    reads = sorted({name for condition in conditions for name in condition.facts if name not in given})
    named = {
        name: sorted(
            {
                level
                for condition in conditions
                if condition.fact == name and condition.op != "is not"
                for level in condition.levels
            }
        )
        for name in reads
    }
    bounds, dice = bounds_of(real), random.Random(7)
    seen: dict[str, set[bool | None]] = {name: set() for name in given}
    with durable.Durable(real) as engine:
        for turn in range(80):
            subjects = [
                Subject(
                    f"{turn}-{n}",
                    {
                        name: _likely(dice, real.facts[name], named[name], bounds.get(name, ()))
                        for name in reads
                        if dice.random() < 0.95
                    },
                )
                for n in range(20)
            ]
            assert (
                differences(real, "option-role", subjects, partial(plain.judge, real), engine.judge) == []
            ), turn
            for derived in plain.judge(real, "option-role", subjects).derived.values():
                for name in given:
                    seen[name].add(derived.get(name))
    assert dict.fromkeys(given, True) == {name: True in truths for name, truths in seen.items()}
    assert {False, None} <= set().union(*seen.values())
