"""Every case in the bank gets the decision that a specialist signed; every rule fires somewhere and every rule-out decides somewhere."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from decide.answer.assemble import advice_of
from decide.cases.bank import consult_case, fired_rules, read_case, read_file, unmet, wrong_cases
from decide.decision.consultation import Consultation
from decide.decision.rank import role_facts
from decide.engine.language import ROLE
from decide.engine.plain import standing
from decide.knowledge.audit_texts import check_stale_cases
from decide.knowledge.load import knowledge_folder, read_knowledge
from decide.model.errors import KnowledgeError
from tests.shared import BANK, adviser, case_codes, case_of, consulted, fired, knowledge, pair_files

CODES = case_codes()
# The fast run takes three of those that a specialist asks for first; .ci/run takes all of them.
FIRST = (
    "york-school-closed-summer", "ws-georgia-thin-hybrid-bermuda-may", "na-st-louis-bermuda-seed-july", "au-melbourne-oval-change",
    "na-kokomo-one-hose-weekday-job",
)  # fmt: skip
LEAST_CASES = 60


def _sampled() -> list[object]:
    return [pytest.param(code, marks=() if code in FIRST[:3] else BANK) for code in CODES]


def test_the_first_cases_are_there() -> None:
    assert set(FIRST) <= set(CODES)


@pytest.mark.parametrize("code", _sampled())
def test_signed(code: str) -> None:
    assert unmet(case_of(code), consulted(code)) == []


@pytest.mark.slow
@pytest.mark.parametrize("path", pair_files(), ids=lambda path: path.stem)
def test_both_sides_of_each_pair_are_met(path: Path) -> None:
    """Beside the limit and beyond it, as signed."""
    cases = read_file(path, path.name)
    assert len(cases) >= 2
    assert {case.code: found for case in cases if (found := unmet(case, consult_case(adviser(), case)))} == {}


@pytest.mark.slow
@pytest.mark.xdist_group("bank")
def test_bank_is_large_and_wide() -> None:
    assert len(CODES) >= LEAST_CASES
    places = [consulted(code).filled for code in CODES]
    assert {filled.hemisphere for filled in places} >= {"north", "south"}
    assert len({filled.climate.code for filled in places if filled.climate}) >= 6
    chosen = [
        w.draft.method for code in CODES for w in (c.option for c in consulted(code).chosen.values()) if w
    ]
    assert set(chosen) >= set(knowledge().methods)


@pytest.mark.slow
@pytest.mark.xdist_group("bank")
def test_every_rule_fires() -> None:
    """Every rule as written; the parts of its stretch need no case of their own."""
    found = set().union(*(fired(code) | _role_rules(consulted(code)) for code in CODES))
    rules = {rule.id for rule in adviser().rules.values() if not rule.bend_of}
    pairs = (case for path in pair_files() for case in read_file(path, path.name))
    while rules - found and (case := next(pairs, None)):
        found |= fired_rules(consult_case(adviser(), case))
    assert sorted(rules - found) == []


def _role_rules(c: Consultation) -> set[str]:
    """The rules that gave options a part in the programme."""
    rules = [rule for stratum in adviser().base.strata["option-role"] for rule in stratum]
    facts = [{**w.facts, **role_facts(w, c.essential)} for w in c.weighed.values()]
    return {rule.id for rule in rules if any(standing(rule, held).fires is True for held in facts)}


@pytest.mark.parametrize("code", FIRST[:2])
def test_roles_are_those_that_their_rules_give(code: str) -> None:
    c, rules = consulted(code), adviser().rules
    given = {rules[rule].then.target.removeprefix(ROLE) for rule in _role_rules(c)}
    assert given == set().union(*(w.roles for w in c.weighed.values()))


def _outcome(c: Consultation) -> tuple[object, ...]:
    options = tuple((w.draft.code, w.verdict) for w in c.ranked)
    steps = tuple((s.proposal.step, s.zone, s.verdict) for s in c.steps)
    advice = advice_of(c)
    return options, steps, advice.decision, tuple(x.code for x in advice.cautions)


def rule_outs() -> list[str]:
    """The rules that rule out, read from the tables alone: nothing is compiled while tests are only listed."""
    rows = (
        row
        for path in sorted((knowledge_folder() / "rules").glob("*.toml"))
        for row in tomllib.loads(path.read_text(encoding="utf-8"))["rule"]
    )
    return [row["id"] for row in rows if "rule-out" in row["then"]]


def _deciding(rule: str) -> Iterator[str]:
    return (code for code in CODES if rule in fired(code))


@pytest.mark.slow
@pytest.mark.xdist_group("bank")
@pytest.mark.parametrize("rule", rule_outs())
def test_rule_out_decides(rule: str) -> None:
    for code in _deciding(rule):
        if _outcome(consult_case(adviser(), case_of(code), frozenset({rule}))) != _outcome(consulted(code)):
            return
    pytest.fail(f"switching {rule} off changes no case")


def test_a_wrong_key_of_a_case_is_told_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / "bank.toml"
    path.write_text(
        'title = "t"\nsigned = "s"\nsources = []\n[situation.place]\nname = "Dayton"\n[expect]\n'
        '[[expect.verdicts]]\noption = { grass = "tall-fescue" }\nverdict = ["sound"]\n',
        encoding="utf-8",
    )
    with pytest.raises(KnowledgeError) as caught:
        read_case(path, "bank.toml")
    assert str(caught.value) == (
        "bank.toml:8: expect.verdicts[1].option: 'grass' is not a key here. Write 'plant'. "
        "Known: zone, remedy, method, plant, variant, from, until"
    )


@pytest.mark.slow
def test_cases_of_a_folder_laid_over_are_read_too(tmp_path: Path) -> None:
    (tmp_path / "cases").mkdir()
    file = tmp_path / "cases" / "bank.toml"
    text = (
        'title = "t"\nsigned = "s"\nsources = []\n[[situation.zone]]\nname = "a"\nbare_precent = 4\n[expect]\n'
        'causes = ["over-use"]\n[[expect.verdicts]]\noption = {}\nverdict = ["risk"]\n'
    )
    file.write_text(text, encoding="utf-8")
    laid = read_knowledge(..., tmp_path)
    assert [str(error) for error in wrong_cases(laid)] == [
        f"{file}, line 6: zone[1].bare_precent: 'bare_precent' is not a key here. Write 'bare_percent'?"
    ]
    file.write_text(text.replace("bare_precent = 4", 'cause = "over use"'), encoding="utf-8")
    assert [str(error) for error in wrong_cases(laid)] == [
        f"{file}: zone[1].cause: 'over-use' is not a cause here. Write 'overuse'?"
    ]
    assert [str(error) for error in check_stale_cases(laid)] == [
        f"{file}:8: expect.causes: 'over-use' is not a cause. Write 'overuse'?",
        f"{file}:11: expect.verdicts.verdict: 'risk' is not a verdict. Write 'risky'?",
    ]
