"""What the audit proves holds: against every assignment by the plain evaluator, against a solver, and the bank."""

from __future__ import annotations

import functools
import itertools
import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

import pytest

from decide.cases.bank import read_cases
from decide.consult import Adviser
from decide.engine.base import build
from decide.engine.language import Conclusion, Condition, Fact, FactType, Rule, Subject, Template, Unless
from decide.engine.plain import conjunction, judge, truth
from decide.knowledge import proof
from decide.knowledge.audit_proof import Proofs
from decide.knowledge.audit_space import check_pairs, columns, orders, space_of
from decide.knowledge.cells import ONE, Column, Order, Space
from decide.knowledge.compile import compile_rules
from decide.knowledge.load import read_knowledge
from decide.knowledge.proof import core, model, possible
from decide.knowledge.tables import Knowledge
from decide.plan.feasible import consult
from tests.shared import CASE_FOLDER

SAID = Template("It is so.", ("It is so.",))
FACTS = {
    "zone.number": FactType("zone.number", "measured", "number", unit="mm", low=0.0, high=10.0),
    "zone.other": FactType("zone.other", "measured", "number", unit="mm"),
    "zone.level": FactType("zone.level", "measured", "level", levels=("a", "b", "c")),
    "zone.group": FactType("zone.group", "measured", "level", levels=("x", "y")),
    "zone.told": FactType("zone.told", "measured", "true"),
    "zone.one": FactType("zone.one", "diagnosis", "true"),
    "zone.two": FactType("zone.two", "diagnosis", "true"),
}
VALUES: Mapping[str, Sequence[Fact | None]] = {
    "zone.number": (None, 0.0, 1.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0),
    "zone.other": (None, -50.0, 0.0, 1.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0, 99.0),
    "zone.level": (None, "a", "b", "c"),
    "zone.group": (None, "x", "y"),
    "zone.told": (None, True, False),
}
# Of levels a, b and c the first two are of group x.
COLUMN = Column("zone.group", "zone.level", {"a": "x", "b": "x", "c": "y"})
ORDER = Order(("zone.number", "zone.other"))


@functools.cache
def knowledge() -> Knowledge:
    return read_knowledge()


def a_condition(rng: random.Random, derived: Sequence[str], lifts: bool = False) -> Condition:
    name = rng.choice([*VALUES, *derived, *derived])
    if FACTS[name].type == "number":
        op: Any = rng.choice(["<", "<=", ">", ">="])
        if rng.random() < 0.4:
            table = {key: float(rng.choice([0, 3, 5, 7])) for key in "abc" if rng.random() < 0.7} or {
                "a": 3.0
            }
            text = f"{name} {op} table {sorted(table.items())}"
            return Condition(name, op, text, value="table", index="zone.level", table=table)
        number = float(rng.choice([0, 3, 5, 10]))
        return Condition(name, op, f"{name} {op} {number}", number=number, value="number")
    if FACTS[name].type == "true":
        op = rng.choice(["is", "is", "is not"]) if lifts or name not in derived else "is"
        return Condition(name, op, f"{name} {op} true")
    levels = tuple(rng.sample(FACTS[name].levels, rng.choice([1, 1, 2])))
    op = "in" if len(levels) > 1 else rng.choice(["is", "is not"])
    return Condition(name, op, f"{name} {op} {levels}", levels=levels)


def a_base(seed: int) -> list[Rule]:
    """A few random rules; those that conclude read only what comes before."""
    rng = random.Random(seed)
    rules: list[Rule] = []
    for n, then in enumerate(["one", "one", "two", "", "", ""]):
        derived = {"one": [], "two": ["zone.one"], "": ["zone.one", "zone.two"]}[then]
        when = tuple(
            {c.text: c for c in (a_condition(rng, derived) for _ in range(rng.choice([1, 2, 3])))}.values()
        )
        unless = tuple(
            Unless(f"e{m}", (a_condition(rng, derived, lifts=True),), SAID)
            for m in range(rng.choice([0, 0, 1, 2]))
        )
        act = Conclusion("conclude", f"zone.{then}") if then else Conclusion("caution", f"c{n}")
        rules.append(Rule(f"r{n}", "zone", when, act, SAID, ("page",), unless))
    return rules


def everything() -> Iterator[dict[str, Fact]]:
    """Every assignment of the values that lie between the limits of the random rules, within the relations."""
    for held in itertools.product(*VALUES.values()):
        facts = {name: value for name, value in zip(VALUES, held, strict=True) if value is not None}
        level, group = facts.get("zone.level"), facts.get("zone.group")
        number, other = facts.get("zone.number"), facts.get("zone.other")
        if group != (None if level is None else COLUMN.rows[str(level)]):
            continue
        if number is None or other is None or float(number) <= float(other):
            yield facts


ALL = [Subject(str(n), facts) for n, facts in enumerate(everything())]


def fired(rules: Sequence[Rule]) -> dict[str, set[str]]:
    """For each rule the subjects on which the plain evaluator fires it."""
    found: dict[str, set[str]] = {rule.id: set() for rule in rules}
    for firing in judge(build(rules, FACTS), "zone", ALL).firings:
        found[firing.rule].add(firing.subject)
    return found


@pytest.mark.parametrize(
    "seed", [*range(25), *(pytest.param(n, marks=pytest.mark.slow) for n in range(25, 400))]
)
def test_what_can_be_is_what_the_evaluator_finds(seed):
    """One rule, each pair both ways, and each condition against the rest of its rule."""
    rules = a_base(seed)
    space, true = Space(rules, FACTS, [COLUMN], [ORDER]), fired(rules)
    for rule in rules:
        assert possible(space, [space.fires(rule)]) == bool(true[rule.id]), rule
        for other in rules:
            beside = possible(space, [space.fires(rule), space.silent(other)])
            assert beside == bool(true[rule.id] - true[other.id]), (rule, other)


@pytest.mark.parametrize("seed", range(25))
def test_an_example_is_one_and_a_core_is_smallest(seed):
    rules = a_base(seed)
    space = Space(rules, FACTS, [COLUMN], [ORDER])
    for rule in rules:
        found = model(space, [space.fires(rule)])
        if found is not None:
            one = judge(build(rules, FACTS), "zone", [Subject("example", found)])
            assert rule.id in {firing.rule for firing in one.firings}, (rule, found)
            continue
        parts = [space.says(c) for c in rule.when]
        if possible(space, parts):
            continue
        kept = core(space, (), parts)
        assert not possible(space, [parts[n] for n in kept])
        for gone in kept:
            assert possible(space, [parts[n] for n in kept if n != gone])


def clusters(many: int, deep: int) -> tuple[list[Rule], dict[str, FactType]]:
    """A rule with exceptions of two conditions each, no two of which share a fact, and beside them one that three levels for
    two places exclude: the product of the first is too much for a search that meets the last one for each of their ways.
    """
    facts = {
        **{
            f"zone.{n}{half}": FactType(f"zone.{n}{half}", "measured", "true")
            for n in range(many)
            for half in "ab"
        },
        **{
            f"zone.at{n}": FactType(f"zone.at{n}", "measured", "level", levels=tuple("xyzuvw"[:deep]))
            for n in range(deep + 1)
        },
    }

    def true(name: str) -> Condition:
        return Condition(name, "is", f"{name} is true")

    def at(n: int, level: str) -> Condition:
        return Condition(f"zone.at{n}", "is", f"zone.at{n} is {level}", levels=(level,))

    free = [Unless(f"free{n}", (true(f"zone.{n}a"), true(f"zone.{n}b")), SAID) for n in range(many)]
    crowded = [
        Unless(f"both-{n}-{m}-{level}", (at(n, level), at(m, level)), SAID)
        for n, m in itertools.combinations(range(deep + 1), 2)
        for level in "xyzuvw"[:deep]
    ]
    known = tuple(
        Condition(f"zone.at{n}", "in", f"zone.at{n} in all", levels=tuple("xyzuvw"[:deep]))
        for n in range(deep + 1)
    )
    crowd = Rule("crowd", "zone", known, Conclusion("caution", "c"), SAID, ("page",), (*crowded, *free))
    return [crowd], facts


@pytest.mark.parametrize(("many", "deep"), [(30, 3), (60, 4)])
def test_what_shares_no_fact_is_proved_apart(many, deep):
    (rule,), facts = clusters(many, deep)
    space = Space([rule], facts)
    assert not possible(space, [space.fires(rule)])
    fewer = replace(rule, when=rule.when[1:])
    assert possible(Space([fewer], facts), [Space([fewer], facts).fires(fewer)])


def test_what_is_too_much_is_told_of_its_rule_and_of_no_other(monkeypatch):
    monkeypatch.setattr(proof, "MOST_TRIES", 20)
    (rule,), facts = clusters(1, 5)
    never = Rule(
        "never",
        "zone",
        (rule.when[0], replace(rule.when[0], op="is not", text="zone.at0 is none")),
        rule.then,
        SAID,
        ("page",),
        where="r.toml:1",
    )
    proofs = Proofs([rule, never], Space([rule, never], facts))
    found = [str(each) for each in (*proofs.never_fires(), *proofs.exceptions(), *proofs.conflicts())]
    assert {each for each in found if "crowd" in each} == {
        "audit.toml: crowd: what it can do is not proved: more than 20 choices, too many to try all. "
        "Derive a fact of its own from some of the conditions"
    }
    assert [each for each in found if "crowd" not in each] == [
        "r.toml:1: rule 'never' can never fire: its conditions exclude one another "
        "(zone.at0 is none). Change or take out one of them"
    ]


def test_a_condition_without_limit_for_its_key_decides_what_could_fire():
    """In two values the first condition follows from the table; in three it keeps the rule from being open."""
    limit = Condition(
        "zone.number", "<", "zone.number < table[level]", value="t", index="zone.level", table={"a": 3.0}
    )
    only = Condition("zone.level", "is", "zone.level is a", levels=("a",))
    rule = Rule("r", "zone", (only, limit), Conclusion("caution", "c"), SAID, ("page",))
    space = Space([rule], FACTS)
    assert not possible(space, [space.says(limit), space.says(only, "not-true")])
    open_ = model(space, [space.says(limit, "not-false"), space.says(only, "false")])
    assert open_ is not None
    assert truth(limit, open_) is None
    assert conjunction([only, limit], open_) is False
    assert [*Proofs([rule], space).conditions()] == []


def test_the_two_that_looked_implied_are_not():
    base = compile_rules(knowledge())
    proofs = Proofs(base.rules, space_of(knowledge(), base.rules, base.facts))
    named = {found.of.partition(" ")[0] for found in proofs.conditions()}
    assert not named & {"sod-not-thick-enough", "too-little-heat-before-frost"}


def test_a_grass_by_a_method_that_nothing_speaks_for_is_told():
    base = compile_rules(knowledge())
    rules = [r for r in base.rules if not (r.about == "option" and r.then.grade in ("fair", "strong"))]
    proofs = Proofs(rules, space_of(knowledge(), rules, base.facts))
    found = [*check_pairs(knowledge(), proofs)]
    assert str(found[0]).endswith(
        f"no rule that reads its grass or method can speak for {found[0].of.replace(' ', ' by ')}."
        " Write a rule about its grass or its method"
    )
    assert {each.of.partition(" ")[0] for each in found} == {
        *knowledge().planted,
        *knowledge().mixtures,
    }


def related(facts: Mapping[str, Fact], types: Mapping[str, FactType]) -> Iterator[str]:
    """In what the facts of one subject break what the audit takes for granted."""
    for column in columns(knowledge()):
        leader, held = facts.get(column.by), facts.get(column.fact)
        if leader in column.rows and held != column.rows[str(leader)]:
            yield f"{column.fact} is {held} where {column.by} is {leader}"
        if leader is None and held is not None:
            yield f"{column.fact} is known and {column.by} is not"
    for order in orders(knowledge()):
        known = [float(facts[name]) for name in order.facts if name in facts]
        if known != sorted(known):
            yield f"{order.facts} are {known}"
    for name, value in facts.items():
        kind = types.get(name)
        if kind is not None and kind.type == "number" and not isinstance(value, (str, bool)):
            if (kind.low is not None and value < kind.low) or (kind.high is not None and value > kind.high):
                yield f"{name} is {value}, outside {kind.low} to {kind.high}"
        elif kind is not None and kind.levels and kind.type == "level" and value not in kind.levels:
            yield f"{name} is {value!r}, none of its levels"


@pytest.mark.slow
def test_bank_keeps_what_the_audit_takes_for_granted():
    """Columns, orders, ranges and levels hold of every option, zone and site of a case."""
    check_bank(5, 10_000)


@pytest.mark.slow
def test_the_whole_bank_keeps_it():
    check_bank(0, 1)


def check_bank(start: int, step: int) -> None:
    adviser = Adviser(knowledge(), "plain")
    types = compile_rules(knowledge()).facts
    seen = 0
    for case in list(read_cases(CASE_FOLDER))[start::step]:
        c = consult(adviser, case.situation)
        for facts in subjects(c):
            seen += 1
            assert [*related(facts, types)] == [], case.code
    assert seen > 20


def subjects(c: Any) -> Iterator[Mapping[str, Fact]]:
    for weighed in c.weighed.values():
        yield {**c.site, **weighed.facts}


# ---------- against a solver ----------
class Solved:
    """The rules of a base put to a solver by the words of the language alone: a number is a whole number of
    thousandths, a level its place, each with whether it is known.
    """

    def __init__(self, rules: Sequence[Rule], facts: Mapping[str, FactType]) -> None:
        self.z3 = pytest.importorskip("z3")
        self.facts = facts
        self.givers: dict[str, list[Rule]] = {}
        for rule in rules:
            if rule.then.act == "conclude":
                self.givers.setdefault(rule.then.target, []).append(rule)
        self.words: dict[str, list[str]] = {}
        for rule in rules:
            for c in rule.conditions:
                for name, said in ((c.fact, c.levels), (c.index, tuple(c.table))):
                    if name and facts[name].type == "level":
                        held = self.words.setdefault(name, [*facts[name].levels] or ["another"])
                        held += [word for word in said if word not in held]
        self.side: dict[str, Any] = {}
        self.kept: dict[tuple[str, str], Any] = {}

    def var(self, name: str) -> tuple[Any, Any]:
        """Whether a fact is known, and its number."""
        z3, kind = self.z3, self.facts[name]
        number, known = z3.Int(name), z3.Bool(f"{name}?")
        if name not in self.side:
            if kind.type == "number":
                low = [number >= round(kind.low * ONE)] if kind.low is not None else []
                high = [number <= round(kind.high * ONE)] if kind.high is not None else []
                self.side[name] = z3.And(*low, *high)
            else:
                self.side[name] = z3.And(number >= 0, number < len(self.words.get(name, "tf")))
        return known, number

    def both(self, c: Condition) -> tuple[Any, Any]:
        """Whether a condition is true, and whether it is false."""
        key = (c.text, "both")
        if key not in self.kept:
            self.kept[key] = self._both(c)
        return self.kept[key]

    def _both(self, c: Condition) -> tuple[Any, Any]:
        z3 = self.z3
        if self.facts[c.fact].concluded:
            rules = self.givers.get(c.fact, [])
            true = z3.Or(*(self.fires(r) for r in rules))
            false = z3.And(*(self.dead(r) for r in rules))
            return (false, true) if c.op == "is not" else (true, false)
        known, number = self.var(c.fact)
        ops = {
            "<": lambda a, b: a < b,
            "<=": lambda a, b: a <= b,
            ">": lambda a, b: a > b,
            ">=": lambda a, b: a >= b,
        }
        if c.op in ops and c.index:
            there, place = self.var(c.index)
            rows = [
                (self.words[c.index].index(k), ops[c.op](number, round(v * ONE))) for k, v in c.table.items()
            ]
            hit = [z3.And(there, place == n) for n, _ in rows]
            true = z3.Or(*(z3.And(h, holds) for h, (_, holds) in zip(hit, rows, strict=True)))
            not_one = z3.And(*(z3.Not(holds) for _, holds in rows))
            false = z3.Or(
                *(z3.And(h, z3.Not(holds)) for h, (_, holds) in zip(hit, rows, strict=True)),
                z3.And(z3.Not(z3.Or(*hit)), not_one),
            )
            return z3.And(known, true), z3.And(known, false)
        if c.op in ops:
            holds = ops[c.op](number, round((c.number or 0.0) * ONE))
        else:
            words = self.words.get(c.fact, ["true", "false"])
            holds = z3.Or(*(number == words.index(word) for word in c.levels or ("true",)))
            holds = z3.Not(holds) if c.op == "is not" else holds
        return z3.And(known, holds), z3.And(known, z3.Not(holds))

    def fires(self, rule: Rule) -> Any:
        z3 = self.z3
        lifted = [z3.And(*(self.both(c)[0] for c in e.when)) for e in rule.unless]
        return z3.And(*(self.both(c)[0] for c in rule.when), *(z3.Not(each) for each in lifted))

    def dead(self, rule: Rule) -> Any:
        z3 = self.z3
        lifted = [z3.And(*(self.both(c)[0] for c in e.when)) for e in rule.unless]
        return z3.Or(*(self.both(c)[1] for c in rule.when), *lifted)

    def possible(self, *formulas: Any) -> bool:
        solver = self.z3.Solver()
        solver.add(*formulas, *self.side.values())
        return bool(solver.check() == self.z3.sat)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(8))
def test_a_solver_agrees_on_random_bases(seed):
    rules = a_base(1000 + seed)
    space, solved = Space(rules, FACTS), Solved(rules, FACTS)
    for rule in rules:
        assert possible(space, [space.fires(rule)]) == solved.possible(solved.fires(rule))
        for other in rules:
            beside = solved.possible(solved.fires(rule), solved.z3.Not(solved.fires(other)))
            assert possible(space, [space.fires(rule), space.silent(other)]) == beside


@pytest.mark.slow
def test_a_solver_agrees_on_every_rule_and_condition_of_the_real_base():
    base = compile_rules(knowledge())
    space, solved = Space(base.rules, base.facts), Solved(base.rules, base.facts)
    for rule in base.rules:
        assert possible(space, [space.fires(rule)]) == solved.possible(solved.fires(rule)), rule.id
        for c in rule.when:
            rest = [each for each in rule.when if each is not c]
            ours = possible(space, [*(space.says(each) for each in rest), space.says(c, "not-true")])
            theirs = solved.possible(
                *(solved.both(each)[0] for each in rest), solved.z3.Not(solved.both(c)[0])
            )
            assert ours == theirs, (rule.id, c.text)
