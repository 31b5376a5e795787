"""Which cases decide a rule: the short way finds what switching the rule off in a whole consultation finds."""

from __future__ import annotations

import dataclasses

import pytest

from decide.cases.bank import consult_case, unmet
from decide.cases.decided import Edited, Looked, deciders, deciding, judging_rules
from decide.cases.regraded import Options
from decide.cases.signed import Expected, VerdictExpected
from tests.shared import adviser, case_of

# A case of ideas, one of several parts with verdicts, and one of young turf.
CASES = ("step-soft-april", "na-maryland-other-sprays", "ongoing-ten-signs")


def _whole_way(code: str, rule: str) -> bool:
    family = frozenset(one.id for one in adviser().base.rules if rule in (one.id, one.bend_of))
    return bool(unmet(case_of(code), consult_case(adviser(), case_of(code), family)))


@pytest.mark.slow
@pytest.mark.parametrize("code", CASES)
def test_the_short_way_finds_what_the_whole_way_finds(code: str) -> None:
    every = judging_rules(adviser())
    found = set(deciding(adviser(), case_of(code), every))
    assert found, "a case that decides nothing shows nothing"
    tried = [*found, *every[::60]]
    assert {rule for rule in tried if _whole_way(code, rule)} == found


def test_a_rule_is_decided_by_the_case_that_is_signed_for_it() -> None:
    rules = ["spray-fumigant", "glass-on-the-ground"]
    found = deciders(adviser(), [case_of("na-maryland-other-sprays")], rules)
    assert found == {"spray-fumigant": ["na-maryland-other-sprays"], "glass-on-the-ground": []}


def test_what_somebody_means_to_do_is_weighed_again_where_the_ground_is_otherwise() -> None:
    """Its start is of no programme, so nobody looked at when it fits."""
    assert list(deciding(adviser(), case_of("step-soft-april"), ["overuse-by-shape"])) == []


def test_a_rule_that_is_otherwise_is_noticed_as_one_that_is_off() -> None:
    case, rules = case_of("step-soft-april"), adviser().rules
    looked, rule = Looked(adviser(), case), rules["work-soft-ground"]
    milder = dataclasses.replace(rule, then=dataclasses.replace(rule.then, grade="fair"))
    assert looked.notices(Edited({rule.id: milder}))
    assert looked.answer(Edited({rule.id: rule})) == (False, False)
    assert not looked.notices(Edited(without=frozenset({"glass-on-the-ground"})))


@pytest.mark.slow
@pytest.mark.parametrize("code", CASES[:2])
def test_options_graded_again_are_as_a_whole_consultation_has_them(code: str) -> None:
    """A mark that is another, graded again in place, against all judged anew."""
    book = adviser()
    rule = next(r for r in book.rules.values() if r.id == "water-in-ground")
    edited = Edited({rule.id: dataclasses.replace(rule, then=dataclasses.replace(rule.then, grade="weak"))})
    looked = Looked(book, case_of(code))
    other = looked.c.__class__.__new__(looked.c.__class__)
    other.__dict__.update(looked.c.__dict__)
    other.book = edited.book(book)
    Options(looked.c).again(other, edited.ids)
    whole = other.graded([w.draft for w in looked.c.weighed.values()], Options(looked.c).before)
    for name, w in whole.items():
        mine = other.weighed[name]
        assert (mine.grades, mine.bests, mine.verdict, mine.roles) == (w.grades, w.bests, w.verdict, w.roles)
        assert [r.id for r, _ in mine.firings] == [r.id for r, _ in w.firings]
        assert [r.id for r in mine.rests_on] == [r.id for r in w.rests_on]


def test_what_is_not_met_with_all_rules_decides_nothing() -> None:
    case = case_of("na-maryland-other-sprays")
    wrong = Expected.model_validate({"decision": "left alone", "proposals": ["ruled-out"]})
    assert list(deciding(adviser(), case.model_copy(update={"expect": wrong}), ["spray-fumigant"])) == []


def test_verdicts_and_stretches_are_not_asked_for() -> None:
    rules, asked = adviser().rules, judging_rules(adviser())
    assert {rules[rule].bend_of for rule in asked} == {""}
    assert "verdict" not in {rules[rule].then.act for rule in asked}
    assert len(asked) > len(rules) / 2


def test_a_verdict_that_no_option_can_have_is_said() -> None:
    case = case_of("na-maryland-other-sprays")
    row = VerdictExpected.model_validate({"option": {"plant": "tall-fescue"}, "verdict": ["late"]})
    signed = Expected(verdicts=[row])
    (wrong,) = unmet(case.model_copy(update={"expect": signed}), consult_case(adviser(), case))
    assert wrong.endswith("signed ['late']")


def test_how_sure_can_be_signed() -> None:
    case = case_of("na-maryland-other-sprays")
    signed = case.model_copy(update={"expect": Expected(sure=["firm"])})
    (wrong,) = unmet(signed, consult_case(adviser(), case))
    assert wrong.endswith("signed ['firm']")
