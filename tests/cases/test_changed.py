"""What an edit of the knowledge moves, and by which rule; tiny edits in a copy of the knowledge."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import replace

import pytest

from decide.answer.assemble import advice_of
from decide.answer.zone_answer import decision_of
from decide.cases.bank import consult_case
from decide.cases.changed import Given, changed_lines, compare_knowledge, compare_situations, difference_lines
from decide.cases.edits import Reach, edits
from decide.cases.outcome import fired_differently, firings, moves, outcome
from decide.cases.signed import Case
from decide.consult import Adviser
from decide.explain.reasons import usual_firings
from decide.knowledge.load import knowledge_folder, read_knowledge
from decide.knowledge.tables import Knowledge
from decide.questions.sensitivity import with_plain_engine
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
        shutil.copytree(knowledge_folder() / "climate", copy / "climate")
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
        advice = advice_of(c)
        assert [decision_of(c, zone) for zone in c.zones] == [answer.decision for answer in advice.programme]
        assert outcome(c).decision == advice.decision
        assert outcome(c).verdicts == {option.code: option.verdict for option in advice.options}
        assert outcome(c).cautions <= {caution.code for caution in advice.cautions}


def test_a_number_that_rules_read(adviser: Adviser, cases: list[Case], stricter: Adviser) -> None:
    """The field in Georgia has 70 percent living bermudagrass, which spreads: asked for 90, the rule that lets it recover fires no more."""
    result = compare_knowledge(adviser, stricter, given(cases))
    assert [(edit.table, edit.name, edit.how, edit.detail) for edit in result.edits] == [
        ("value", "recover-cover", "edited", "spreading: 40 percent → 90 percent")
    ]
    moved = {row.case: row for row in result.cases}
    georgia = moved["plan-georgia-recover"]
    assert georgia.moves
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
    """Without the one rule that calls for new grass in the Gaelic field's goals, that field moves and the rule is named; Georgia, where it fires nowhere, does not."""
    here, there = (
        consult_case(adviser, case_of(code)) for code in ("ie-gaelic-field", "plan-georgia-recover")
    )
    (rule,) = (
        rule.id
        for rule, _ in here.zone_layer.fired["goalmouths"]
        if rule.then.target == "zone.remedy-establish"
    )
    assert rule not in {fired for fired, _, _ in firings(there)}
    file = next(
        path
        for path in (knowledge_folder() / "rules").glob("*.toml")
        if f'id = "{rule}"' in path.read_text(encoding="utf-8")
    )
    text = file.read_text(encoding="utf-8")
    start = text.rindex("[[rule]]", 0, text.index(f'id = "{rule}"'))
    end = text.find("[[rule]]", start + 8)
    new = edited(f"rules/{file.name}", text[start : end if end > 0 else len(text)], "")
    result = compare_knowledge(
        adviser,
        Adviser(new, "plain"),
        given([case for case in cases if case.code in ("ie-gaelic-field", "plan-georgia-recover")]),
    )
    assert [(edit.table, edit.name, edit.how) for edit in result.edits] == [("rule", rule, "removed")]
    assert [(row.case, row.rules) for row in result.cases] == [("ie-gaelic-field", (rule,))]
    assert f"by rule {rule}" in "\n".join(changed_lines(result))


def without(knowledge: Knowledge, *rules: str) -> Knowledge:
    return replace(knowledge, rules=tuple(row for row in knowledge.rules if row.id not in rules))


def test_a_rule_that_only_the_usual_reading_fires_is_reached(adviser: Adviser) -> None:
    """What nobody told is read as usual in the order, so a rule that fires by that alone moves cases too."""
    c = consult_case(with_plain_engine(adviser), case_of("sparse-it-bologna-thin-untold"))
    rule, code = next((rule, w.draft.code) for w in c.ranked for rule, _ in usual_firings(c, w))
    new = without(adviser.knowledge, rule.bend_of or rule.id)
    assert Reach(adviser.knowledge, new, edits(adviser.knowledge, new)).touches(c)
    assert (rule.id, f"{code} as usual") in {(fired, subject) for fired, subject, _ in firings(c)}


def test_a_rule_stands_for_the_stretch_before_its_limit_too(adviser: Adviser) -> None:
    bent = next(rule for rule in adviser.base.rules if rule.bend_of)
    new = without(adviser.knowledge, bent.bend_of)
    reach = Reach(adviser.knowledge, new, edits(adviser.knowledge, new))
    assert set(reach.rules) == {
        rule.id for rule in adviser.base.rules if bent.bend_of in (rule.id, rule.bend_of)
    }


def test_what_is_usual_which_questions_there_are_and_the_order_may_move_anything(adviser: Adviser) -> None:
    k = adviser.knowledge
    name, row = next((name, row) for name, row in k.usual.items() if row.is_ is True or row.is_ is False)
    for new, edit in (
        (
            replace(k, usual={**k.usual, name: row.model_copy(update={"is_": not row.is_})}),
            ("usual", name, "edited"),
        ),
        (replace(k, questions=k.questions[1:]), ("question", k.questions[0].key, "removed")),
        (replace(k, before_wishes=k.before_wishes + 1), ("weighing", "order", "edited")),
    ):
        found = edits(k, new)
        assert [(one.table, one.name, one.how) for one in found] == [edit]
        assert Reach(k, new, found).anything
    asked = k.questions[0].model_copy(update={"why": "It matters."})
    found = edits(k, replace(k, questions=(asked, *k.questions[1:])))
    assert [(one.table, one.how) for one in found] == [("question", "edited")]
    assert Reach(k, replace(k, questions=(asked, *k.questions[1:])), found).edits == []


def test_a_rule_of_the_programme_moves_what_comes_after(adviser: Adviser) -> None:
    """Without the rule that lets grass follow the mending, nothing is named to come after it; by that rule alone."""
    plain, case = with_plain_engine(adviser), case_of("sparse-ca-abbotsford-wet-end")
    before = consult_case(plain, case)
    (chosen,) = before.chosen.values()
    assert chosen.after is not None
    rules = {rule.id for rule in adviser.base.rules if rule.then.target == "option.role-after-mending"}
    after = consult_case(plain, case, frozenset(rules))
    moved = [move for move in moves(outcome(before), outcome(after)) if move.what == "choice"]
    assert [f"after it {chosen.after.draft.code}" in move.before for move in moved] == [True]
    assert rules <= fired_differently(before, after)
    new = without(adviser.knowledge, *rules)
    assert Reach(adviser.knowledge, new, edits(adviser.knowledge, new)).touches(before)


def test_the_fate_of_the_date_is_an_outcome(adviser: Adviser) -> None:
    c = consult_case(with_plain_engine(adviser), case_of("sparse-ca-abbotsford-wet-end"))
    fate = advice_of(c).fate
    assert (fate is None) == (not outcome(c).fates)
    if fate is not None:
        assert {c.zones[zone].name: level for zone, level in outcome(c).fates.items()} == fate.zones


def test_other_words_move_nothing(adviser: Adviser, cases: list[Case], edited: Edit) -> None:
    new = edited(
        "rules/diagnosis.toml",
        "Take a photo from one spot every two weeks: no gain",
        "Photograph one spot every two weeks: no gain",
    )
    result = compare_knowledge(adviser, Adviser(new, "plain"), given(cases))
    assert [(edit.name, edit.detail) for edit in result.edits] == [("recover-by-itself", "because")]
    assert result.cases == ()


@pytest.mark.slow
def test_a_missing_verdict_rule_is_said(adviser: Adviser, cases: list[Case], edited: Edit) -> None:
    file = next(
        path
        for path in (knowledge_folder() / "rules").glob("*.toml")
        if 'id = "option-advised"' in path.read_text(encoding="utf-8")
    )
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
