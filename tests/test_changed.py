"""What an edit of the knowledge moves, and by which rule; tiny edits in a copy of the knowledge."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable

import pytest

from decide.assemble import decision_of
from decide.cases import Case, consult_case
from decide.changed import (
    Given,
    Reach,
    changed_lines,
    compare_knowledge,
    compare_situations,
    difference_lines,
    edits,
    fired_differently,
    moves,
    outcome,
)
from decide.consult import Adviser
from decide.read import Knowledge, knowledge_folder, read_knowledge
from tests.shared import case_of

pytestmark = pytest.mark.slow

CODES = ("ie-gaelic-field", "na-hartford-school-april", "plan-georgia-recover", "uk-october-stopgap")


@pytest.fixture(scope="module")
def cases() -> list[Case]:
    return [case_of(code) for code in CODES]


Edit = Callable[[str, str, str], Knowledge]


@pytest.fixture(scope="module")
def edited(tmp_path_factory: pytest.TempPathFactory) -> Edit:
    """The knowledge with one text in one file put in place of another."""

    def edit(file: str, old: str, new: str) -> Knowledge:
        copy = tmp_path_factory.mktemp("edit") / "knowledge"
        shutil.copytree(knowledge_folder(), copy, ignore=shutil.ignore_patterns("climate", "cases"))
        (copy / "climate").symlink_to(knowledge_folder() / "climate")
        text = (copy / file).read_text(encoding="utf-8")
        assert text.count(old) == 1
        (copy / file).write_text(text.replace(old, new), encoding="utf-8")
        return read_knowledge(copy)

    return edit


@pytest.fixture(scope="module")
def stricter(edited: Edit) -> Adviser:
    """Spreading grass is left to recover from nine tenths of living cover on, in place of four."""
    old = '{ key = "spreading", value = 40, source = "common-practice", use = true'
    return Adviser(edited("values/condition.toml", old, old.replace("40", "90")), "plain")


def given(cases: list[Case]) -> list[Given]:
    return [Given(case.code, case.situation) for case in cases]


def test_the_same_knowledge_moves_nothing(adviser: Adviser, cases: list[Case]) -> None:
    result = compare_knowledge(adviser, adviser, given(cases))
    assert result.edits == ()
    assert result.cases == ()
    assert result.looked_at == len(cases)
    assert "Nothing moved" in "\n".join(changed_lines(result))


def test_decisions_are_those_of_the_advice(adviser: Adviser, cases: list[Case]) -> None:
    for case in cases:
        c = consult_case(adviser, case)
        advice = c.advice
        assert [decision_of(c, zone) for zone in c.zones] == [answer.decision for answer in advice.programme]
        assert outcome(c).decision == advice.decision
        assert outcome(c).verdicts == {option.code: option.verdict for option in advice.options}
        assert outcome(c).cautions <= {caution.code for caution in advice.cautions}


def test_a_number_that_rules_read(adviser: Adviser, cases: list[Case], stricter: Adviser) -> None:
    """The field in Georgia has 70 percent living bermudagrass, which spreads: asked for 90, it is not left to recover."""
    result = compare_knowledge(adviser, stricter, given(cases))
    assert [(edit.table, edit.name, edit.how, edit.detail) for edit in result.edits] == [("value", "recover-cover", "edited", "spreading: 40 percent → 90 percent")]
    moved = {row.case: row for row in result.cases}
    georgia = moved["plan-georgia-recover"]
    assert ("decision", "the field", "recover") in {(move.what, move.about, move.before) for move in georgia.moves}
    assert "recover-by-itself" in georgia.rules
    assert georgia.values == ("recover-cover",)
    text = "\n".join(changed_lines(result))
    assert "rule recover-by-itself" in text
    assert "value recover-cover" in text


@pytest.mark.slow
def test_the_short_way_misses_nothing(adviser: Adviser, cases: list[Case], stricter: Adviser) -> None:
    """Every case that is passed over comes out the same when it is judged in full under both."""
    reach = Reach(adviser.knowledge, stricter.knowledge, edits(adviser.knowledge, stricter.knowledge))
    passed = 0
    for case in cases:
        before = consult_case(adviser, case)
        if not reach.touches(before):
            passed += 1
            after = consult_case(stricter, case)
            assert moves(outcome(before), outcome(after)) == ()
            assert fired_differently(before, after) == frozenset()
    assert 0 < passed < len(cases)


@pytest.mark.slow
def test_a_rule_taken_out(adviser: Adviser, cases: list[Case], edited: Edit) -> None:
    """Without the rule of worn goals the Gaelic field has that cause no longer; the rule is named."""
    file = next(path for path in (knowledge_folder() / "rules").glob("*.toml") if 'id = "goalmouth-by-shape"' in path.read_text(encoding="utf-8"))
    text = file.read_text(encoding="utf-8")
    start = text.rindex("[[rule]]", 0, text.index('id = "goalmouth-by-shape"'))
    end = text.find("[[rule]]", start + 8)
    new = edited(f"rules/{file.name}", text[start : end if end > 0 else len(text)], "")
    result = compare_knowledge(adviser, Adviser(new, "plain"), given([case for case in cases if case.code in ("ie-gaelic-field", "plan-georgia-recover")]))
    assert [(edit.table, edit.name, edit.how) for edit in result.edits] == [("rule", "goalmouth-by-shape", "removed")]
    assert [(row.case, row.rules) for row in result.cases] == [("ie-gaelic-field", ("goalmouth-by-shape",))]
    assert "cause goalmouth is gone" in "\n".join(changed_lines(result))


def test_other_words_move_nothing(adviser: Adviser, cases: list[Case], edited: Edit) -> None:
    new = edited("rules/diagnosis.toml", "Take a photo from one spot every two weeks: no gain", "Photograph one spot every two weeks: no gain")
    result = compare_knowledge(adviser, Adviser(new, "plain"), given(cases))
    assert [(edit.name, edit.detail) for edit in result.edits] == [("recover-by-itself", "because")]
    assert result.cases == ()


@pytest.mark.slow
def test_a_missing_verdict_rule_is_said(adviser: Adviser, cases: list[Case], edited: Edit) -> None:
    file = next(path for path in (knowledge_folder() / "rules").glob("*.toml") if 'id = "option-advised"' in path.read_text(encoding="utf-8"))
    text = file.read_text(encoding="utf-8")
    start = text.rindex("[[rule]]", 0, text.index('id = "option-advised"'))
    end = text.find("[[rule]]", start + 8)
    new = edited(f"rules/{file.name}", text[start : end if end > 0 else len(text)], "")
    result = compare_knowledge(adviser, Adviser(new, "plain"), given(cases[:1]))
    assert [name for name, _ in result.failed] == [cases[0].code]
    assert "no verdict rule holds" in "\n".join(changed_lines(result))


def test_json_is_the_same_result(adviser: Adviser, cases: list[Case], stricter: Adviser) -> None:
    result = compare_knowledge(adviser, stricter, given(cases[2:3]))
    read = json.loads(result.as_json())
    assert read["schema"] == "changed/1"
    assert read["looked_at"] == 1
    assert [row["case"] for row in read["cases"]] == [row.case for row in result.cases]


def test_two_situations(adviser: Adviser, cases: list[Case]) -> None:
    one = consult_case(adviser, cases[0])
    assert compare_situations(one, one).told == ()
    assert "the same" in "\n".join(difference_lines(compare_situations(one, one)))
    two = consult_case(adviser, cases[1])
    found = compare_situations(one, two)
    assert found.rules
    assert {move.about for move in found.told} >= {"place.name", "dates.today"}
    assert json.loads(found.as_json())["schema"] == "changed-situations/1"
