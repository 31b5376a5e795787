"""The engine of the program says what the plain evaluator says: the same rows in the same order, by random rule bases
and by the real one.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_bases import base_of, subjects_of
from small import WORN, base, caution, fired, subject

from decide.engine import columns, plain
from decide.engine.columns import Columns, members
from decide.engine.language import LAYERS, Judged, Subject
from decide.knowledge.compile import compile_rules
from tests.shared import knowledge, sampled

SEEDS = st.integers(0, 1 << 30)


def all_of(judged: Judged) -> object:
    """All that was judged, in order."""
    return (
        judged.firings,
        judged.could,
        [(name, list(facts.items())) for name, facts in judged.derived.items()],
    )


@settings(max_examples=150, deadline=None)
@given(SEEDS, st.sampled_from(["site", "zone"]), st.sets(st.integers(0, 13), max_size=3))
def test_random_rule_bases(seed, layer, off):
    made, without = base_of(seed), frozenset(f"r{n}" for n in off)
    subjects = subjects_of(made, layer, seed, most=9)
    assert all_of(columns.judge(made, layer, subjects, without)) == all_of(
        plain.judge(made, layer, subjects, without)
    )


@pytest.mark.slow
def test_ten_thousand_random_rule_bases():
    for seed in range(10_000):
        made = base_of(seed)
        for layer in ("site", "zone"):
            subjects = subjects_of(made, layer, seed, most=9)
            assert all_of(columns.judge(made, layer, subjects)) == all_of(plain.judge(made, layer, subjects))


@pytest.fixture(scope="module")
def real():
    return compile_rules(knowledge())


@pytest.mark.parametrize("seed", sampled(range(320), 20))
def test_the_real_rules_on_random_facts(real, seed):
    layer = LAYERS[seed % len(LAYERS)]
    subjects = subjects_of(real, layer, seed, most=12)
    without = (
        frozenset(rule.id for n, rule in enumerate(real.rules) if n % 3 == 0)
        if seed % 5 == 0
        else frozenset()
    )
    assert all_of(columns.judge(real, layer, subjects, without)) == all_of(
        plain.judge(real, layer, subjects, without)
    )


@settings(max_examples=60, deadline=None)
@given(SEEDS)
def test_a_copy_that_holds_more_is_judged_as_its_own_subjects(seed):
    """What was asked before is asked again only where a fact is another."""
    made = base_of(seed)
    subjects = subjects_of(made, "zone", seed, most=9)
    told = columns.judge(made, "zone", subjects)
    usual = subjects_of(made, "zone", seed + 1, most=1)[0].facts
    some = sum(1 << n for n in range(len(subjects)) if n % 3)
    after = [
        Subject(each.name, {**(usual if n % 3 else {}), **each.facts, **told.derived[each.name]})
        for n, each in enumerate(subjects)
    ]
    read = told.columns.under([(usual, some)])
    assert [dict(each.facts) for each in read] == [dict(each.facts) for each in after]
    assert all_of(columns.judge(made, "zone", read)) == all_of(plain.judge(made, "zone", after))
    fact, kind = next((name, kind) for name, kind in made.facts.items() if kind.type == "number")
    other = told.columns.over({fact: {1.5: told.columns.everyone}})
    changed = [Subject(each.name, {**each.facts, **told.derived[each.name], fact: 1.5}) for each in subjects]
    assert all_of(columns.judge(made, "zone", other)) == all_of(plain.judge(made, "zone", changed))
    assert all_of(columns.judge(made, "zone", subjects)) == all_of(told), kind


def judged_again(seed):
    """Some subjects judged, and judged again with one column or two put over theirs: from what was judged before, and
    from nothing.
    """
    made = base_of(seed)
    subjects = subjects_of(made, "zone", seed, most=9)
    told = Columns.of(subjects)
    before = columns.judge(made, "zone", told)
    other = subjects_of(made, "zone", seed + 1, most=1)[0].facts
    put = dict(list(other.items())[: 1 + seed % 2])
    over = told.over({fact: {value: told.everyone} for fact, value in put.items()})
    changed = [Subject(each.name, {**each.facts, **put}) for each in subjects]
    return columns.judge(made, "zone", over, before=before), plain.judge(made, "zone", changed), before


@settings(max_examples=150, deadline=None)
@given(SEEDS)
def test_what_reads_none_of_what_differs_stands_as_it_stood(seed):
    again, whole, _ = judged_again(seed)
    assert all_of(again) == all_of(whole)


@pytest.mark.slow
def test_five_thousand_judged_again():
    kept = anew = 0
    for seed in range(5_000):
        again, whole, before = judged_again(seed)
        assert all_of(again) == all_of(whole)
        stood = {id(ruled) for ruled in before.rules}
        same = sum(id(ruled) in stood for ruled in again.rules)
        kept, anew = kept + same, anew + len([*again.rules]) - same
    assert kept > 1000
    assert anew > 1000


def test_other_numbers_in_the_same_words_are_asked_anew():
    told = Columns.of([subject("a", zone__bare=40.0), subject("b", zone__bare=20.0)])
    low, high = (base(caution("bare", "zone", f"zone.bare > {number} percent")) for number in (10, 30))
    condition = high.rules[0].when[0]
    same_words = replace(condition, text=low.rules[0].when[0].text)
    assert told.ask(low.rules[0].when[0]) == (0b11, 0)
    assert told.unasked().ask(same_words) == (0b01, 0)
    assert told.ask(low.rules[0].when[0]) == (0b11, 0)


@given(st.integers(0, 1 << 80))
def test_members_are_the_bits(group):
    assert sum(1 << n for n in members(group)) == group
    assert sorted(members(group)) == list(members(group))


def test_rows_are_made_when_they_are_read():
    judged = columns.judge(base(*WORN), "zone", [subject(zone__bare=40.0), subject("other")])
    assert "firings" not in vars(judged)
    assert fired(judged) == [("bare-worn", "it")]
    assert "firings" in vars(judged)
    assert "could" not in vars(judged)


def test_no_subjects_are_nothing():
    assert all_of(columns.judge(base(*WORN), "zone", [])) == ((), (), [])


def test_facts_that_subjects_share_are_read_once():
    made = base(caution("cold", "zone", "site.cold < 0", "zone.bare > 0"))
    rows = [{"site.cold": -1.0}, {"site.cold": -1.0, "zone.bare": 2.0}]
    shared = {"site": [({"site.cold": -1.0}, 0b11)]}
    told = Columns(["a", "b"], rows, shared)
    assert fired(columns.judge(made, "zone", told)) == [("cold", "b")]
    assert dict(told.column("site.cold")) == {-1.0: 0b11}
    assert dict(told.column("site.water")) == {}


def test_subjects_of_columns_can_be_taken_apart():
    told = Columns.of([subject("a"), subject("b", zone__bare=1.0), subject("c")])
    assert Columns.of(told) is told
    assert [each.name for each in told[1:]] == ["b", "c"]
    assert told[-1].name == "c"
