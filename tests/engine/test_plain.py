"""What the plain evaluator alone tells: three-valued truth, what could fire, and where each condition stands; each by hand."""

from __future__ import annotations

import pytest
from random_bases import base_of, subjects_of
from small import FACTS, NUMBERS, WORN, base, caution, concludes, fired, subject

from decide.engine.language import Subject
from decide.engine.plain import conjunction, judge, standing, truth, unknown_facts
from decide.engine.written import parse_condition


def holds(text, **facts):
    return truth(parse_condition(text, FACTS, NUMBERS), subject(**facts).facts)


@pytest.mark.parametrize(
    "text",
    [
        "site.cold < 0",
        "zone.grass is rye",
        "zone.grass is not rye",
        "zone.grass in {rye}",
        "zone.sunny is true",
        "zone.sunny is not true",
    ],
)
def test_absent_is_unknown_whatever_the_operator(text):
    assert holds(text) is None


def test_an_indexed_value_is_unknown_without_its_key_or_without_a_number_for_it():
    text = "option.weeks < value:time[option.grass]"
    assert holds(text, option__weeks=2.0, option__grass="rye") is True
    assert holds(text, option__weeks=3.0, option__grass="rye") is False
    assert holds(text, option__weeks=2.0) is None
    assert holds(text, option__grass="rye") is None
    assert holds(text, option__weeks=2.0, option__grass="zoysia") is None


def test_a_conjunction_is_false_before_it_is_unknown():
    conditions = [parse_condition(text, FACTS, NUMBERS) for text in ("zone.sunny is true", "zone.bare > 0")]
    assert conjunction(conditions, {}) is None
    assert conjunction(conditions, {"zone.bare": 0.0}) is False
    assert conjunction(conditions, {"zone.bare": 1.0}) is None
    assert conjunction(conditions, {"zone.bare": 1.0, "zone.sunny": True}) is True
    assert unknown_facts(conditions, {"zone.bare": 1.0}) == ("zone.sunny",)


def test_an_unknown_condition_could_fire_and_names_what_is_unknown():
    judged = judge(
        base(caution("bare", "zone", "zone.bare > 0", "zone.sunny is true")),
        "zone",
        [subject(zone__bare=1.0)],
    )
    assert judged.firings == ()
    assert [(each.rule, each.unknown) for each in judged.could] == [("bare", ("zone.sunny",))]


def test_a_false_condition_cannot_fire():
    judged = judge(
        base(caution("bare", "zone", "zone.bare > 0", "zone.sunny is true")),
        "zone",
        [subject(zone__bare=0.0)],
    )
    assert (judged.firings, judged.could) == ((), ())


@pytest.mark.parametrize(
    ("told", "fires", "open_"),
    [(True, [], None), (False, [("bare", "it")], ()), (None, [("bare", "it")], ("sun",))],
)
def test_only_a_true_exception_lifts(told, fires, open_):
    rules = base(caution("bare", "zone", "zone.bare > 0", unless={"sun": ["zone.sunny is true"]}))
    facts = {"zone__bare": 1.0} | ({} if told is None else {"zone__sunny": told})
    judged = judge(rules, "zone", [subject(**facts)])
    assert fired(judged) == fires
    assert [each.open for each in judged.firings] == ([] if open_ is None else [open_])
    assert judged.could == ()


def test_a_lifted_rule_could_not_fire_either():
    rules = base(caution("bare", "zone", "zone.bare > 0", unless={"sun": ["zone.sunny is true"]}))
    assert judge(rules, "zone", [subject(zone__sunny=True)]).could == ()


def test_a_lifted_diagnosis_is_false():
    rules = base(
        concludes("cause", "zone.cause-overuse", "zone.bare > 0", unless={"sun": ["zone.sunny is true"]})
    )
    assert judge(rules, "zone", [subject(zone__sunny=True)]).derived["it"] == {"zone.cause-overuse": False}
    assert judge(rules, "zone", [subject(zone__bare=1.0)]).derived["it"] == {"zone.cause-overuse": True}
    assert judge(rules, "zone", [subject()]).derived["it"] == {}


@pytest.mark.parametrize(
    ("facts", "fires"),
    [
        ({"zone__bare": 20.0}, True),
        ({"zone__bare": 5.0, "zone__sunny": False}, False),
        ({"zone__sunny": False}, True),
    ],
)
def test_a_negated_derived_fact_lifts_only_when_it_is_false(facts, fires):
    rules = base(
        *WORN, caution("care", "zone", "zone.sunny is not true", unless={"whole": ["zone.worn is not true"]})
    )
    judged = judge(rules, "zone", [subject(**{"zone__sunny": False} | facts)])
    assert (("care", "it") in fired(judged)) is fires


def test_a_rule_switched_off_neither_fires_nor_could():
    rules = base(*WORN, caution("worn", "zone", "zone.worn is true"))
    judged = judge(rules, "zone", [subject(zone__bare=20.0)], frozenset({"bare-worn"}))
    assert fired(judged) == []
    assert [each.rule for each in judged.could] == ["sun-worn", "worn"]


def test_firings_come_by_stratum_then_subject_then_rule():
    rules = base(
        caution("reads", "zone", "zone.worn is true"),
        caution("b", "zone", "zone.bare > 0"),
        caution("a", "zone", "zone.bare > 0"),
        WORN[0],
    )
    judged = judge(rules, "zone", [subject("two", zone__bare=20.0), subject("one", zone__bare=20.0)])
    below = [
        ("b", "two"),
        ("a", "two"),
        ("bare-worn", "two"),
        ("b", "one"),
        ("a", "one"),
        ("bare-worn", "one"),
    ]
    assert fired(judged) == [*below, ("reads", "two"), ("reads", "one")]


def test_standing_shows_each_condition():
    (rule,) = base(
        caution("bare", "zone", "zone.bare > 0", "zone.grass is rye", unless={"sun": ["zone.sunny is true"]})
    ).rules
    shown = standing(rule, {"zone.bare": 1.0, "zone.sunny": True})
    assert [held for _, held in shown.when] == [True, None]
    assert shown.unless == (("sun", True),)
    assert shown.fires is False


@pytest.mark.slow
def test_many_subjects_together_are_judged_as_each_alone_and_as_its_standing():
    seen = {"fired": 0, "could": 0}
    for seed in range(200):
        rules = base_of(seed)
        many = [
            Subject(f"{each.name}-{n}", each.facts)
            for n in range(3)
            for each in subjects_of(rules, "zone", seed + n)
        ]
        judged = judge(rules, "zone", many)
        for each in many:
            alone = judge(rules, "zone", [each])
            assert [f for f in judged.firings if f.subject == each.name] == list(alone.firings)
            assert [c for c in judged.could if c.subject == each.name] == list(alone.could)
            assert judged.derived[each.name] == alone.derived[each.name]
            for stratum in rules.strata["zone"]:
                for one in stratum:
                    held = {
                        name: fact
                        for name, fact in {**each.facts, **alone.derived[each.name]}.items()
                        if name != one.then.target
                    }
                    fires = standing(one, held).fires
                    assert (one.id in [f.rule for f in alone.firings]) is (fires is True)
                    assert (one.id in [c.rule for c in alone.could]) is (fires is None)
                    seen["fired"] += fires is True
                    seen["could"] += fires is None
    assert min(seen.values()) > 100, seen
