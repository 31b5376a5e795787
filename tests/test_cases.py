"""Every case in the bank gets the decision that a specialist signed; every rule fires somewhere and every rule-out decides somewhere."""

from __future__ import annotations

import functools
from collections.abc import Iterator

import pytest

from decide.cases import Case, consult_case, fired_rules, read_cases, unmet
from decide.consult import Adviser, Consultation
from decide.read import knowledge_folder, read_knowledge

CASES = list(read_cases(knowledge_folder() / "cases"))
# The fast run takes every twelfth case and those that a specialist asks for first; .ci/run takes all of them.
FIRST = (
    "york-school-closed-summer", "ws-georgia-thin-hybrid-bermuda-may", "na-st-louis-bermuda-seed-july", "au-melbourne-oval-change",
    "na-kokomo-one-hose-weekday-job",
)  # fmt: skip
LEAST_CASES = 60


@functools.cache
def adviser() -> Adviser:
    return Adviser(read_knowledge(), "plain")


@functools.cache
def consulted(code: str) -> Consultation:
    return consult_case(adviser(), next(case for case in CASES if case.code == code))


def _sampled() -> list[object]:
    fast = [case for n, case in enumerate(CASES) if case.code in FIRST or n % 12 == 0]
    return [pytest.param(case, id=case.code, marks=() if case in fast else pytest.mark.slow) for case in CASES]


def test_the_first_cases_are_there() -> None:
    assert set(FIRST) <= {case.code for case in CASES}


@pytest.mark.parametrize("case", _sampled())
def test_signed(case: Case) -> None:
    assert unmet(case, consulted(case.code)) == []


@pytest.mark.slow
def test_bank_is_large_and_wide() -> None:
    assert len(CASES) >= LEAST_CASES
    places = [consulted(case.code).filled for case in CASES]
    assert {filled.hemisphere for filled in places} >= {"north", "south"}
    assert len({filled.climate.code for filled in places if filled.climate}) >= 6
    chosen = [w.draft.method for case in CASES for w in (c.option for c in consulted(case.code).chosen.values()) if w]
    assert set(chosen) >= set(read_knowledge().methods)


@pytest.mark.slow
def test_every_rule_fires() -> None:
    fired = set().union(*(fired_rules(consulted(case.code)) for case in CASES))
    assert sorted(set(adviser().rules) - fired) == []


def _outcome(c: Consultation) -> tuple[object, ...]:
    options = tuple((w.draft.code, w.verdict) for w in c.ranked)
    steps = tuple((s.proposal.step, s.zone, s.verdict) for s in c.steps)
    advice = c.advice
    return options, steps, advice.decision, tuple(x.code for x in advice.cautions)


def _deciding(rule: str) -> Iterator[str]:
    return (case.code for case in CASES if rule in fired_rules(consulted(case.code)))


@pytest.mark.slow
@pytest.mark.parametrize("rule", [rule.id for rule in adviser().base.rules if rule.then.act == "rule-out"])
def test_rule_out_decides(rule: str) -> None:
    for code in _deciding(rule):
        case = next(case for case in CASES if case.code == code)
        if _outcome(consult_case(adviser(), case, frozenset({rule}))) != _outcome(consulted(code)):
            return
    pytest.fail(f"switching {rule} off changes no case")
