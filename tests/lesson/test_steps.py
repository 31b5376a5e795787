"""The steps of a lesson: in the engine's order, each on facts that exist before it, each with its rule and sources."""

from __future__ import annotations

import dataclasses

import pytest

from decide.consult import Consultation
from decide.engine import plain
from decide.engine.language import Subject
from decide.errors import DecideError
from decide.lesson.steps import Lesson, lesson, lesson_lines, options_shown

ORDER = ("site", "sign", "zone", "option", "verdict", "choice", "idea", "judgement")


def test_parts_come_in_order(whole: Lesson) -> None:
    parts = [step.part for step in whole.steps if step.part not in ("idea", "judgement")]
    assert parts == sorted(parts, key=ORDER.index)
    assert {"site", "zone", "option", "verdict", "choice", "idea", "judgement"} == {step.part for step in whole.steps}
    assert [step.number for step in whole.steps] == list(range(1, len(whole.steps) + 1))


def test_each_layer_is_in_the_order_of_the_engine(field: Consultation, whole: Lesson) -> None:
    """The engine itself is run on the same subjects; its firings, as they come, are the steps."""
    subjects = {
        "site": [Subject("site", field.site)],
        "zone": [Subject(code, {**field.site, **facts}) for code, facts in field.zone_facts.items()],
        "option": [Subject(code, w.facts) for code, (w, _) in options_shown(field).items()],
    }
    for layer, rows in subjects.items():
        fired = plain.judge(field.adviser.base, layer, rows).firings
        assert [(step.rule, step.subject) for step in whole.steps if step.part == layer] == [(one.rule, one.subject) for one in fired]


def test_facts_of_a_step_exist_before_it(whole: Lesson) -> None:
    concluded: dict[str, set[int]] = {}
    derived = 0
    for step in whole.steps:
        for read in step.facts:
            assert all(number < step.number for number in read.steps)
            if read.name.startswith(("site.", "zone.", "option.", "step.")) and read.steps and step.act != "verdict":
                derived += 1
                assert set(read.steps) <= concluded[read.name]
        if step.act == "conclude":
            concluded.setdefault(step.target, set()).add(step.number)
    assert derived > 0


def test_a_step_shows_every_fact_that_its_rule_asks_for(field: Consultation, whole: Lesson) -> None:
    for step in whole.steps:
        if step.rule:
            wanted = {name for condition in field.adviser.rules[step.rule].when for name in condition.facts}
            assert wanted == {read.name for read in step.facts}, step.rule


def test_derived_facts_are_of_the_same_subject(whole: Lesson) -> None:
    for step in whole.steps:
        for read in step.facts:
            if read.name.startswith("zone."):
                assert all(whole.step(number).zone in (step.zone, "") or whole.step(number).subject == step.zone for number in read.steps)


def test_how_facts_are_known_by_hand(whole: Lesson) -> None:
    """Told: the shape and the dangers. Worked out: the half of the earth, from the town. Assumed: that the date can move. From a step: a cause."""
    known = {(read.name, read.how) for step in whole.steps for read in step.facts}
    assert {("zone.bare-shape", "told"), ("site.dangers.holes", "told"), ("site.hemisphere", "computed"), ("site.play-by-firm", "assumed")} <= known
    assert any(read.how == "derived" and read.name == "zone.cause-goalmouth" and read.steps for step in whole.steps for read in step.facts)


def test_choice_rests_on_verdict_marks_and_diagnosis(whole: Lesson) -> None:
    choice = next(step for step in whole.steps if step.part == "choice" and step.zone == "goalmouths")
    behind = [whole.step(number) for number in whole.chain(choice.number)]
    assert {"verdict", "option", "zone", "choice"} <= {step.part for step in behind}
    assert any(step.target == "zone.remedy-establish" for step in behind)
    assert behind[-1] == choice


def test_a_part_that_is_kept_off_is_left_alone(whole: Lesson) -> None:
    choice = next(step for step in whole.steps if step.part == "choice" and step.zone == "kept-square")
    assert "left alone" in choice.concludes


def test_every_rule_step_has_reason_and_source(whole: Lesson) -> None:
    for step in whole.steps:
        assert step.because
        assert step.concludes
        assert bool(step.rule) == bool(step.sources)


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


def test_text_holds_every_step(whole: Lesson) -> None:
    text = "\n".join(lesson_lines(whole))
    for step in whole.steps:
        assert f"Step {step.number}. " in text
        assert step.because in text
