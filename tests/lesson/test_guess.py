"""Guess first: one true choice among near ones that are not true here, the same for the same seed."""

from __future__ import annotations

import pytest

from decide.decision.consultation import Consultation
from decide.engine.language import GRADES
from decide.lesson.guess import guess
from decide.lesson.steps import Lesson
from decide.model.errors import DecideError


def test_one_true_choice_among_others(field: Consultation, whole: Lesson) -> None:
    for step in whole.steps:
        asked = guess(field, whole, step.number, 1)
        assert asked.choices[asked.answer] == step.concludes
        assert 2 <= len(asked.choices) <= 4
        assert len(set(asked.choices)) == len(asked.choices)
        here = {
            one.concludes
            for one in whole.steps
            if one.subject == step.subject and one.section == step.section
        }
        assert here & set(asked.choices) == {step.concludes}


def test_most_steps_have_four_choices(field: Consultation, whole: Lesson) -> None:
    assert (
        sum(len(guess(field, whole, step.number).choices) == 4 for step in whole.steps)
        > len(whole.steps) * 0.9
    )


def test_marks_are_guessed_among_marks(field: Consultation, whole: Lesson) -> None:
    step = next(step for step in whole.steps if step.section == "option" and step.act == "mark")
    words = (*GRADES, "Ruled out")
    assert all(any(word in choice for word in words) for choice in guess(field, whole, step.number).choices)


def test_the_fate_of_the_date_is_guessed_among_fates(field: Consultation, whole: Lesson) -> None:
    step = next(step for step in whole.steps if step.section == "fate")
    choices = guess(field, whole, step.number).choices
    assert set(choices) == {
        "By 12 September 2026: yes, in a slow year too",
        "By 12 September 2026: likely, but not in a slow year",
        "By 12 September 2026: for training yes, for matches not",
        "By 12 September 2026: no",
    }


@pytest.mark.slow
def test_seed_gives_the_same_and_another_another(field: Consultation, whole: Lesson) -> None:
    one = [guess(field, whole, step.number, 5) for step in whole.steps]
    assert one == [guess(field, whole, step.number, 5) for step in whole.steps]
    assert one != [guess(field, whole, step.number, 6) for step in whole.steps]


def test_conclusion_is_kept_back(field: Consultation, whole: Lesson) -> None:
    step = next(step for step in whole.steps if step.act == "mark")
    lines = "\n".join(guess(field, whole, step.number).lines())
    assert step.because not in lines
    assert step.rule not in lines
    assert all(read.text in lines for read in step.facts)


def test_answers_by_letter_and_number(field: Consultation, whole: Lesson) -> None:
    asked = guess(field, whole, 1)
    assert asked.said("abcd"[asked.answer]) is True
    assert asked.said(f" {'ABCD'[asked.answer]}) ") is True
    assert asked.said(str(asked.answer + 1)) is True
    assert asked.said("abcd"[(asked.answer + 1) % len(asked.choices)]) is False
    assert asked.said("z") is None
    assert asked.said("") is None


def test_no_such_step(field: Consultation, whole: Lesson) -> None:
    with pytest.raises(DecideError):
        guess(field, whole, 0)
