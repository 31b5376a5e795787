"""The steps of a lesson: in the engine's order, each on facts that exist before it, each with its rule and sources."""

from __future__ import annotations

import dataclasses

import pytest

from decide.answer.assemble import advice_of
from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.decision.rank import role_facts, verdict_facts
from decide.engine import plain
from decide.engine.language import GRADES, Subject
from decide.explain.why import placed
from decide.lesson.make import lesson, options_shown
from decide.lesson.steps import Lesson, Step
from decide.model.errors import DecideError
from decide.questions.sensitivity import with_plain_engine
from tests.shared import case_of

ORDER = ("site", "sign", "zone", "option", "verdict", "part", "choice", "fate", "idea", "judgement")
# Programmes of every shape.
PROGRAMMES = (
    "uk-october-stopgap", "sparse-gb-cardiff-december", "sparse-ca-abbotsford-wet-end", "sparse-us-boise-soft-date", "sparse-us-fairbanks-firm-date", "sparse-us-san-jose-too-many-hours",
)  # fmt: skip


def test_parts_come_in_order(whole: Lesson) -> None:
    parts = [step.section for step in whole.steps if step.section not in ("idea", "judgement")]
    assert parts == sorted(parts, key=ORDER.index)
    assert {"site", "zone", "option", "verdict", "part", "choice", "fate", "idea", "judgement"} == {
        step.section for step in whole.steps
    }
    assert [step.number for step in whole.steps] == list(range(1, len(whole.steps) + 1))


def test_each_layer_is_in_the_order_of_the_engine(field: Consultation, whole: Lesson) -> None:
    """The engine itself is run on the same subjects; its firings, as they come, are the steps."""
    subjects = {
        "site": [Subject("site", field.site)],
        "zone": [Subject(code, {**field.site, **facts}) for code, facts in field.zone_facts.items()],
    }
    for layer, rows in subjects.items():
        fired = plain.judge(field.book.base, layer, rows).firings
        assert [(step.rule, step.subject) for step in whole.steps if step.section == layer] == [
            (one.rule, one.subject) for one in fired
        ]


def test_options_are_stepped_through_with_what_is_taken_as_usual(field: Consultation, whole: Lesson) -> None:
    """The engine is run twice: on what is known, and on that with what is usual; of the second run only new marks are steps, and say so."""
    shown = options_shown(field)
    known = {
        (one.rule, one.subject)
        for one in plain.judge(
            field.book.base, "option", [Subject(code, w.facts) for code, (w, _) in shown.items()]
        ).firings
    }
    with_usual = [
        Subject(code, {**field.usual_facts[w.draft.zone], **w.facts}) for code, (w, _) in shown.items()
    ]
    usual = {
        (one.rule, one.subject) for one in plain.judge(field.book.base, "option", with_usual).firings
    } - known
    marks = {
        (rule, subject) for rule, subject in usual if field.book.rules[rule].then.act in ("mark", "rule-out")
    }
    steps = [(step.rule, step.subject) for step in whole.steps if step.section == "option"]
    assert set(steps) == known | marks
    assert len(steps) == len(set(steps))
    for step in (step for step in whole.steps if step.section == "option"):
        assert any(read.how == "usual" for read in step.facts) <= ((step.rule, step.subject) in marks)


def test_the_marks_of_a_lesson_give_the_grades(field: Consultation, whole: Lesson) -> None:
    """The best end of each criterion is the worst of the marks that are stepped through and that no open exception leaves in doubt."""
    for code, (w, _) in options_shown(field).items():
        for criterion in field.order:
            marks = [
                step
                for step in whole.steps
                if step.section == "option"
                and step.subject == code
                and step.target == criterion
                and step.act == "mark"
            ]
            if marks and not any(holds is None for step in marks for _, holds in step.unless):
                assert w.bests[criterion] == min((step.grade for step in marks), key=GRADES.index), (
                    code,
                    criterion,
                )


def test_facts_of_a_step_exist_before_it(whole: Lesson) -> None:
    concluded: dict[str, set[int]] = {}
    derived = 0
    for step in whole.steps:
        for read in step.facts:
            assert all(number < step.number for number in read.steps)
            if (
                read.name.startswith(("site.", "zone.", "option.", "step."))
                and read.steps
                and step.act != "verdict"
                and step.section not in ("part", "fate")
            ):
                derived += 1
                assert set(read.steps) <= concluded[read.name]
        if step.act == "conclude":
            concluded.setdefault(step.target, set()).add(step.number)
    assert derived > 0


def test_a_step_shows_every_fact_that_its_rule_asks_for(field: Consultation, whole: Lesson) -> None:
    for step in whole.steps:
        if step.rule:
            wanted = {name for condition in field.book.rules[step.rule].when for name in condition.facts}
            assert wanted == {read.name for read in step.facts}, step.rule


def test_derived_facts_are_of_the_same_subject(whole: Lesson) -> None:
    for step in whole.steps:
        for read in step.facts:
            if read.name.startswith("zone."):
                assert all(
                    whole.step(number).zone in (step.zone, "") or whole.step(number).subject == step.zone
                    for number in read.steps
                )


def test_how_facts_are_known_by_hand(whole: Lesson) -> None:
    """Told: the shape and the dangers. Worked out: the half of the earth, from the town. Assumed: that the date can move. From a step: a cause."""
    known = {(read.name, read.how) for step in whole.steps for read in step.facts}
    assert {
        ("zone.bare-shape", "told"),
        ("site.dangers.holes", "told"),
        ("site.hemisphere", "computed"),
        ("site.play-by-firm", "assumed"),
    } <= known
    assert any(
        read.how == "derived" and read.name == "zone.cause-goalmouth" and read.steps
        for step in whole.steps
        for read in step.facts
    )


def test_choice_rests_on_verdict_marks_and_diagnosis(whole: Lesson) -> None:
    choice = next(step for step in whole.steps if step.section == "choice" and step.zone == "goalmouths")
    behind = [whole.step(number) for number in whole.chain(choice.number)]
    assert {"verdict", "part", "option", "zone", "choice"} <= {step.section for step in behind}
    assert any(step.target == "zone.remedy-establish" for step in behind)
    assert behind[-1] == choice


def test_a_part_that_is_kept_off_is_left_alone(whole: Lesson) -> None:
    choice = next(step for step in whole.steps if step.section == "choice" and step.zone == "kept-square")
    assert "left alone" in choice.concludes


def test_every_rule_step_has_reason_and_source(whole: Lesson) -> None:
    for step in whole.steps:
        assert step.because
        assert step.concludes
        assert bool(step.rule) == bool(step.sources) == (step.section not in ("choice", "fate"))


# ---------- verdicts, parts, choice, date ----------
def judgements(c: Consultation, step: Step) -> dict[str, object]:
    """What is judged of the option of a step, by the functions that the engine's facts come from."""
    w = c.weighed[step.subject]
    return {**verdict_facts(w, c.essential, c.counting.perhaps), **role_facts(w, c.essential)}


def test_verdicts_and_parts_read_grades_at_both_ends_in_words(field: Consultation, whole: Lesson) -> None:
    for step in whole.steps:
        if step.section not in ("verdict", "part"):
            continue
        held = judgements(field, step)
        for read in step.facts:
            assert read.value == held.get(read.name, read.value)
            if read.name == "option.verdict":
                assert [whole.step(number).section for number in read.steps] == ["verdict"]
            # The names of levels that only rules know stand nowhere.
            assert not any(word in read.text for word in (": soft", ": open (bad", "else-essential"))


@pytest.mark.slow
def test_what_hangs_on_an_answer_is_said_at_both_ends(adviser: Adviser) -> None:
    """A grade that a missing answer leaves open is said as at worst and at best."""
    found = 0
    for code in ("sparse-it-bologna-thin-untold", "sparse-us-fairbanks-firm-date"):
        c = with_plain_engine(adviser).consult(case_of(code).situation)
        for w in [
            w for w in c.ranked if "open" in verdict_facts(w, c.essential, c.counting.perhaps).values()
        ][:2]:
            verdict = next(
                step
                for step in lesson(c, [w.draft.code]).steps
                if step.subject == w.draft.code and step.section == "verdict"
            )
            for read in (read for read in verdict.facts if read.value == "open"):
                found += 1
                ends = [
                    f"at worst {w.grades[one]}, at best {w.bests[one]}".replace("unknown", "not known")
                    for one in c.order
                    if w.grades[one] != w.bests[one]
                ]
                assert any(said in read.text for said in ends), read.text
    assert found


@pytest.mark.slow
@pytest.mark.parametrize("code", PROGRAMMES)
def test_the_choice_names_the_whole_programme_and_rests_on_its_parts(adviser: Adviser, code: str) -> None:
    c = with_plain_engine(adviser).consult(case_of(code).situation)
    told = lesson(c)
    for zone, chosen in c.chosen.items():
        choice = next(step for step in told.steps if step.section == "choice" and step.subject == zone)
        rows = placed(c, zone)
        assert [read.name for read in choice.facts if read.name.startswith("verdict of ")] == [
            f"verdict of {row.option}" for row in rows
        ]
        for row in rows:
            read = next(read for read in choice.facts if read.name == f"verdict of {row.option}")
            behind = [told.step(number) for number in read.steps]
            assert {step.subject for step in behind} == {row.option}
            assert [step.section for step in behind] == [
                "verdict",
                *(["part"] if row.reason is not None else []),
            ]
            if row.place != "next best":
                assert row.title.lower() in choice.concludes.lower()
        said = sum(w is not None for w in (chosen.stopgap, chosen.option, chosen.after, chosen.instead))
        if said > 1:
            assert all(
                row.reason is None or row.reason.text in choice.because
                for row in rows
                if row.place not in ("next best", "least bad")
            )


@pytest.mark.slow
@pytest.mark.parametrize("code", PROGRAMMES)
def test_the_fate_of_the_date_is_that_of_the_advice(adviser: Adviser, code: str) -> None:
    c = with_plain_engine(adviser).consult(case_of(code).situation)
    told = lesson(c)
    rows = [step for step in told.steps if step.section == "fate"]
    fate = advice_of(c).fate
    assert len(rows) == (fate is not None)
    for step in rows:
        assert fate is not None
        assert step.target == fate.level
        assert step.because == fate.text
        assert step.concludes.endswith(c.knowledge.text(f"lesson-fate-{fate.level}"))
        choice = [told.step(number) for read in step.facts for number in read.steps]
        assert [each.section for each in choice] == ["choice"]
        assert c.zones[choice[0].subject].name == fate.zone


def test_same_again_and_frozen(field: Consultation, whole: Lesson) -> None:
    assert lesson(field) == whole
    with pytest.raises(dataclasses.FrozenInstanceError):
        whole.steps[0].number = 7  # type: ignore[misc]


def test_options_can_be_asked_for(field: Consultation, whole: Lesson) -> None:
    more = lesson(field, ["thick sod"])
    added = {step.subject for step in more.steps} - {step.subject for step in whole.steps}
    assert len(added) == 1
    assert "thick-sod" in added.pop()
    with pytest.raises(DecideError):
        lesson(field, ["a carpet of moss"])


def test_no_such_step(whole: Lesson) -> None:
    for number in (0, -1, len(whole.steps) + 1):
        with pytest.raises(DecideError, match="number from 1"):
            whole.step(number)
