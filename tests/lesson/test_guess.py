"""Guess first: decisions with one true choice among others, a hint after a wrong one, the answer never given before."""

from __future__ import annotations

import pytest

from decide.decision.consultation import Consultation
from decide.lesson.guess import drawn
from decide.lesson.lines import guess_lines, scene_lines, sheet_lines
from decide.lesson.story import Scene, Story, story

pytestmark = pytest.mark.slow
Told = tuple[Consultation, Story]


def guessed(told: Story) -> list[Scene]:
    return [scene for scene in told.first if scene.guess is not None]


def test_decisions_are_guessed(each: Told) -> None:
    """The cause, the remedy, the choice, the loser and the date: not what a rule concludes of a fact."""
    _, told = each
    kinds = {scene.kind for scene in guessed(told)}
    assert kinds <= {"cause", "needs", "choice", "loser", "date", "idea"}
    assert {"cause", "choice", "loser", "date"} <= kinds


def test_one_true_choice_among_others(each: Told) -> None:
    _, told = each
    for scene in guessed(told):
        asked = scene.guess
        assert asked is not None
        assert 2 <= len(asked.choices) <= 4
        assert len(set(asked.choices)) == len(asked.choices)
        right = asked.choices[asked.answer].lower()
        said = "\n".join((*scene_lines(told, scene), *(step.concludes for step in scene.steps))).lower()
        assert right in said, (scene.kind, right)


def test_nothing_gives_the_answer_away_before(each: Told) -> None:
    """Where the true one is named in an earlier step, the others are named beside it."""
    _, told = each
    for scene in guessed(told):
        asked = scene.guess
        assert asked is not None
        before = "\n".join(
            line for one in told.first[: scene.number - 1] for line in (one.asks, *scene_lines(told, one))
        ).lower()
        question = f"{scene.asks} {asked.asks}".lower()
        right = asked.choices[asked.answer].lower()
        assert right not in question
        if scene.kind in ("choice", "cause", "date", "needs") and right in before:
            assert all(choice.lower() in before for choice in asked.choices), (scene.kind, right)
        assert scene.so.lower() not in before


def test_the_hint_does_not_name_the_answer(each: Told) -> None:
    _, told = each
    for scene in guessed(told):
        asked = scene.guess
        assert asked is not None
        assert asked.hint
        assert asked.choices[asked.answer].lower() not in asked.hint.lower(), scene.kind


def test_the_sheet_keeps_answers_for_the_end(each: Told) -> None:
    _, told = each
    asked, _, answers = "\n".join(sheet_lines(told)).partition("\nAnswers\n")
    for scene in guessed(told):
        assert scene.guess is not None
        assert "\n".join(guess_lines(scene)) in asked
        assert scene.so not in asked
        assert scene.so in answers


def test_seed_gives_the_same_and_another_another(field: Consultation) -> None:
    one, again, other = story(field, seed=5), story(field, seed=5), story(field, seed=6)
    assert [scene.guess for scene in one.first] == [scene.guess for scene in again.first]
    assert [scene.guess for scene in one.first] != [scene.guess for scene in other.first]


def test_answers_by_letter_and_number() -> None:
    asked = drawn(0, "Which?", "this", ["that", "the other"], "Look.")
    assert asked is not None
    assert asked.said("abcd"[asked.answer]) is True
    assert asked.said(f" {'ABCD'[asked.answer]}) ") is True
    assert asked.said(str(asked.answer + 1)) is True
    assert asked.said("abcd"[(asked.answer + 1) % len(asked.choices)]) is False
    for word in ("z", "", "d", "4"):
        assert asked.said(word) is None


def test_where_there_is_no_other_answer_nothing_is_asked() -> None:
    assert drawn(0, "Which?", "this", ["this"], "Look.") is None
