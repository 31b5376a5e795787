"""Break a rule: what the short way finds is what switching the rule off everywhere finds."""

from __future__ import annotations

import pytest

from decide.cases.bank import consult_case, fired_rules
from decide.cases.outcome import moves, outcome
from decide.cases.signed import Case
from decide.consult import Adviser
from decide.lesson.breaking import break_rule, broken_lines, may_fire, open_matters
from decide.model.errors import DecideError

pytestmark = pytest.mark.slow

# A rule of the site, one of a zone, and two of options: one that marks, one that rules out.
RULES = ("essential-water-none", "goalmouth-by-shape", "climate-fits", "method-not-open")


@pytest.fixture(scope="module")
def three(few: list[Case]) -> list[Case]:
    return [
        case for case in few if case.code in ("ie-gaelic-field", "plan-georgia-recover", "step-cover-warm")
    ]


@pytest.mark.slow
@pytest.mark.parametrize("rule", RULES)
def test_finds_what_switching_off_everywhere_finds(rule: str, adviser: Adviser, three: list[Case]) -> None:
    changed = {}
    for case in three:
        moved = moves(
            outcome(consult_case(adviser, case)), outcome(consult_case(adviser, case, frozenset({rule})))
        )
        if moved:
            changed[case.code] = moved
    found = break_rule(adviser, three, rule)
    assert {change.case: change.moves for change in found.changes} == changed
    assert set(changed) <= set(found.fires)
    assert found.looked_at == len(three)


def test_without_the_one_rule_that_calls_for_it_no_new_grass_is_chosen(
    adviser: Adviser, few: list[Case]
) -> None:
    """The goals of the Gaelic field are bare; the one rule that calls for new grass there is switched off."""
    case = next(case for case in few if case.code == "ie-gaelic-field")
    here = consult_case(adviser, case)
    (rule,) = (
        rule.id
        for rule, _ in here.zone_layer.fired["goalmouths"]
        if rule.then.target == "zone.remedy-establish"
    )
    found = break_rule(adviser, [case], rule)
    assert found.fires == ("ie-gaelic-field",)
    (move,) = (
        move for move in found.changes[0].moves if move.what == "choice" and move.about == "goalmouths"
    )
    assert "/establish/" in move.before
    assert "/establish/" not in move.after
    said = "\n".join(broken_lines(found))
    assert "choice of goalmouths" in said
    assert "/establish/" not in said


def test_the_stretch_before_its_limit_falls_with_a_rule(adviser: Adviser, few: list[Case]) -> None:
    bent = next(rule for rule in adviser.base.rules if rule.bend_of)
    family = frozenset(rule.id for rule in adviser.base.rules if bent.bend_of in (rule.id, rule.bend_of))
    assert len(family) > 1
    for case in few[:2]:
        moved = moves(outcome(consult_case(adviser, case)), outcome(consult_case(adviser, case, family)))
        assert {change.moves for change in break_rule(adviser, [case], bent.bend_of).changes} == (
            {moved} if moved else set()
        )


@pytest.mark.slow
def test_what_may_not_fire_does_not_fire(adviser: Adviser, three: list[Case]) -> None:
    for case in three:
        fired = fired_rules(consult_case(adviser, case))
        skipped = [rule.id for rule in adviser.base.rules[::40] if not may_fire(adviser, case, rule)]
        assert skipped
        assert not fired & set(skipped)


def test_an_open_rule_matters_where_a_grade_or_a_rule_out_rests_on_it(adviser: Adviser) -> None:
    assert open_matters(adviser, adviser.rules["method-not-open"])
    assert open_matters(adviser, adviser.rules["climate-fits"])
    assert not any(
        open_matters(adviser, rule) for rule in adviser.base.rules if rule.then.act in ("caution", "need")
    )


def test_no_such_rule(adviser: Adviser) -> None:
    with pytest.raises(DecideError, match="climate-fits"):
        break_rule(adviser, [], "climate-fit")


def test_a_verdict_rule_cannot_be_missed(adviser: Adviser) -> None:
    with pytest.raises(DecideError, match="each option needs one"):
        break_rule(adviser, [], "option-advised")
