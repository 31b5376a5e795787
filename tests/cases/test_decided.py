"""Which cases decide a rule: the short way finds what switching the rule off in a whole consultation finds."""

from __future__ import annotations

import pytest

from decide.cases.bank import consult_case, unmet
from decide.cases.decided import deciders, deciding, judging_rules
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
