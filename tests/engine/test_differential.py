"""The two engines agree on random rule bases and on the real one, and a fault put into either is seen."""

from __future__ import annotations

import operator
from functools import partial

import pytest
from random_bases import base_of, differences, subjects_of

from decide.engine import durable, plain
from decide.engine.language import LAYERS, Subject
from decide.knowledge.compile import compile_rules
from tests.shared import knowledge

pytestmark = pytest.mark.skipif(not durable.available(), reason="durable-rules is not installed here")


def sweep(seeds):
    """Differences over random rule bases, by seed and layer; what was derived of the site reaches the zones."""
    for seed in seeds:
        base = base_of(seed)
        one = partial(plain.judge, base)
        with durable.Durable(base) as engine:
            for layer in ("site", "zone"):
                subjects = subjects_of(base, layer, seed)
                yield from (
                    (seed, layer, each) for each in differences(base, layer, subjects, one, engine.judge)
                )
            sites, zones = subjects_of(base, "site", seed), subjects_of(base, "zone", seed)
            told = [
                Subject(z.name, {n: v for n, v in z.facts.items() if not base.facts[n].concluded})
                for z in zones
            ]
            chained = []
            for judge in (one, engine.judge):
                derived = judge("site", sites).derived[sites[0].name]
                firings = judge("zone", [Subject(z.name, {**z.facts, **derived}) for z in told]).firings
                chained.append([(f.rule, f.subject) for f in firings])
            if chained[0] != chained[1]:
                yield seed, "zone", "above its own site"


def seen(seeds):
    """Whether any difference shows."""
    return next(sweep(seeds), None) is not None


@pytest.mark.slow
def test_a_sample_of_random_rule_bases():
    assert list(sweep(range(400))) == []


@pytest.mark.slow
def test_twenty_thousand_random_rule_bases():
    assert list(sweep(range(1_000, 21_000))) == []


def test_the_sample_holds_what_it_should():
    """Firings, unknown rules, lifted rules, tracked facts of each truth, and strata: none is rare."""
    count = dict.fromkeys(
        ("fired", "could", "open", "lifted", "true", "false", "unknown", "strata", "indexed"), 0
    )
    for seed in range(100):
        base = base_of(seed)
        count["strata"] += len(base.strata["zone"]) > 1
        count["indexed"] += sum(bool(c.index) for r in base.rules for c in r.conditions)
        for layer in ("site", "zone"):
            subjects = subjects_of(base, layer, seed)
            judged = plain.judge(base, layer, subjects)
            count["fired"] += len(judged.firings)
            count["could"] += len(judged.could)
            count["open"] += sum(bool(firing.open) for firing in judged.firings)
            for subject in subjects:
                held = {**subject.facts, **judged.derived[subject.name]}
                count["lifted"] += sum(
                    plain.conjunction(r.when, held) is True and plain.standing(r, held).fires is False
                    for stratum in base.strata[layer]
                    for r in stratum
                )
                for name in base.tracked:
                    if base.facts[name].scope == layer:
                        truth = judged.derived[subject.name].get(name)
                        count["true" if truth else "false" if truth is False else "unknown"] += 1
    assert all(number >= 10 for number in count.values()), count


def _break(monkeypatch, module, name, **change):
    monkeypatch.setattr(module, name, {**getattr(module, name), **change})


PLAIN_FAULTS = {
    "< becomes <=": {"<": operator.le},
    "<= becomes <": {"<=": operator.lt},
    "> becomes >=": {">": operator.ge},
    ">= becomes >": {">=": operator.gt},
    "< becomes >": {"<": operator.gt},
}


@pytest.mark.parametrize("change", PLAIN_FAULTS.values(), ids=PLAIN_FAULTS)
def test_a_wrong_ordering_in_the_plain_engine_is_seen(monkeypatch, change):
    _break(monkeypatch, plain, "_ORDER", **change)
    assert seen(range(400))


def _unknown_is_false(condition, facts, truth=plain.truth):
    return truth(condition, facts) is True


def _unknown_is_true(condition, facts, truth=plain.truth):
    return truth(condition, facts) is not False


def _negation_forgotten(condition, facts, truth=plain.truth):
    held = truth(condition, facts)
    return held if held is None or condition.op != "is not" else not held


@pytest.mark.parametrize("fault", [_unknown_is_false, _unknown_is_true, _negation_forgotten])
def test_a_wrong_truth_in_the_plain_engine_is_seen(monkeypatch, fault):
    monkeypatch.setattr(plain, "truth", fault)
    assert seen(range(400))


@pytest.mark.slow
@pytest.mark.parametrize(
    "change", [{"<": "$lte"}, {"<=": "$lt"}, {">": "$gte"}, {">=": "$gt"}, {"<": "$gt"}], ids=str
)
@pytest.mark.parametrize("name", ["_ORDER", "_REVERSE"])
def test_a_wrong_ordering_in_the_compiled_rules_is_seen(monkeypatch, name, change):
    if name == "_REVERSE":
        change = {{"<": ">=", "<=": ">", ">": "<=", ">=": "<"}[op]: term for op, term in change.items()}
    _break(monkeypatch, durable, name, **change)
    assert seen(range(400))


def _guards_forgotten(condition, op, ordering=durable._ordering):
    return ordering(condition, op)[-1:]


def _first_level_only(condition, ways=durable._ways):
    return ways(condition)[:1]


def _not_is_forgotten(condition, ways=durable._ways):
    if condition.op != "is not":
        return ways(condition)
    return [
        tuple(durable._Test(test.left, "$eq", test.term) for test in ways(condition)[0] if test.op == "$neq")
    ]


def _nothing_refutes(condition):
    return []


def _exceptions_forgotten(number, rule, refute, lines=durable._lines):
    return (line for line in lines(number, rule, refute) if not isinstance(line.part, int))


def _last_condition_forgotten(rule, conditions, conjunctions=durable._conjunctions):
    return conjunctions(rule, conditions[:-1] or conditions)


COMPILE_FAULTS = {
    "_ordering": _guards_forgotten,
    "_ways": _first_level_only,
    "_ways ": _not_is_forgotten,
    "_ways_not": _nothing_refutes,
    "_lines": _exceptions_forgotten,
    "_conjunctions": _last_condition_forgotten,
}


@pytest.mark.parametrize(
    ("name", "fault"), COMPILE_FAULTS.items(), ids=[fault.__name__ for fault in COMPILE_FAULTS.values()]
)
def test_a_fault_in_compiling_is_seen(monkeypatch, name, fault):
    monkeypatch.setattr(durable, name.strip(), fault)
    assert seen(range(400))


@pytest.fixture(scope="module")
def real():
    base = compile_rules(knowledge())
    with durable.Durable(base) as engine:
        yield base, engine


def _sweep_real(real, seeds):
    base, engine = real
    found = []
    for seed in seeds:
        layer = LAYERS[seed % len(LAYERS)]
        subjects = subjects_of(base, layer, seed, most=8)
        found += [
            (seed, layer, each)
            for each in differences(base, layer, subjects, partial(plain.judge, base), engine.judge)
        ]
    return found


@pytest.mark.slow
def test_the_real_rules_on_a_sample_of_random_facts(real):
    assert _sweep_real(real, range(102)) == []


@pytest.mark.slow
def test_the_real_rules_on_five_thousand_random_situations(real):
    assert _sweep_real(real, range(1_000, 6_004)) == []


@pytest.mark.slow
def test_the_real_rules_with_rules_switched_off(real):
    base, engine = real
    for seed in range(12):
        layer = LAYERS[seed % len(LAYERS)]
        without = frozenset(rule.id for place, rule in enumerate(base.rules) if (place + seed) % 3 == 0)
        one = partial(plain.judge, base, without=without)
        assert (
            differences(
                base, layer, subjects_of(base, layer, seed), one, partial(engine.judge, without=without)
            )
            == []
        )
