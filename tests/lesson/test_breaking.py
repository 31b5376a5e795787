"""Break a rule: what the short way finds is what switching the rule off everywhere finds."""

from __future__ import annotations

import pytest

from decide.cases import Case, consult_case, fired_rules
from decide.changed import moves, outcome
from decide.consult import Adviser
from decide.errors import DecideError
from decide.lesson.breaking import break_rule, broken_lines, may_fire, open_matters

pytestmark = pytest.mark.slow

# A rule of the site, one of a zone, and two of options: one that marks, one that rules out.
RULES = ("essential-water-none", "goalmouth-by-shape", "climate-fits", "method-not-open")


@pytest.fixture(scope="module")
def three(few: list[Case]) -> list[Case]:
    return [case for case in few if case.code in ("ie-gaelic-field", "plan-georgia-recover", "step-cover-warm")]


@pytest.mark.slow
@pytest.mark.parametrize("rule", RULES)
def test_finds_what_switching_off_everywhere_finds(rule: str, adviser: Adviser, three: list[Case]) -> None:
    changed = {}
    for case in three:
        moved = moves(outcome(consult_case(adviser, case)), outcome(consult_case(adviser, case, frozenset({rule}))))
        if moved:
            changed[case.code] = moved
    found = break_rule(adviser, three, rule)
    assert {change.case: change.moves for change in found.changes} == changed
    assert set(changed) <= set(found.fires)
    assert found.looked_at == len(three)


def test_worn_goal_is_no_longer_a_cause(adviser: Adviser, few: list[Case]) -> None:
    """The Gaelic field is worn before the goals; without the rule that says so nothing names that cause."""
    case = next(case for case in few if case.code == "ie-gaelic-field")
    found = break_rule(adviser, [case], "goalmouth-by-shape")
    assert found.fires == ("ie-gaelic-field",)
    assert ("cause", "goalmouth", "") in {(move.what, move.before, move.after) for move in found.changes[0].moves}
    assert "cause goalmouth is gone" in "\n".join(broken_lines(found))


@pytest.mark.slow
def test_what_may_not_fire_does_not_fire(adviser: Adviser, three: list[Case]) -> None:
    for case in three:
        fired = fired_rules(consult_case(adviser, case))
        skipped = [rule.id for rule in adviser.base.rules[::40] if not may_fire(adviser, case, rule)]
        assert skipped
        assert not fired & set(skipped)


def test_an_open_rule_matters_where_a_rule_out_rests_on_it(adviser: Adviser) -> None:
    assert open_matters(adviser, adviser.rules["method-not-open"])
    assert not open_matters(adviser, adviser.rules["goalmouth-by-shape"])


def test_no_such_rule(adviser: Adviser) -> None:
    with pytest.raises(DecideError, match="climate-fits"):
        break_rule(adviser, [], "climate-fit")


def test_a_verdict_rule_cannot_be_missed(adviser: Adviser) -> None:
    with pytest.raises(DecideError, match="each option needs one"):
        break_rule(adviser, [], "option-advised")
