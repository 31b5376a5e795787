"""Exercise sheets: the same for the same seed, graded by the length of the chain, with answers that name rule and source."""

from __future__ import annotations

import pytest
from markdown_it import MarkdownIt

from decide.cases.bank import consult_case
from decide.cases.signed import Case
from decide.consult import Adviser
from decide.lesson.exercise_sheet import exercise_sheet
from decide.lesson.exercises import MOST_STEPS, exercise, exercises
from decide.lesson.make import lesson
from decide.model.errors import DecideError

from .reading import grade

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def made(adviser: Adviser, few: list[Case]) -> list[object]:
    return [exercise(consult_case(adviser, case), case) for case in few]


def test_same_seed_same_sheet(adviser: Adviser, few: list[Case]) -> None:
    one, two = (
        exercise_sheet(adviser.knowledge, exercises(adviser, few, 3, 4), 4, answers=True) for _ in range(2)
    )
    assert one == two
    assert one == exercise_sheet(adviser.knowledge, exercises(adviser, few[::-1], 3, 4), 4, answers=True), (
        "the order of the files plays no part"
    )


def test_another_seed_draws_others(adviser: Adviser, few: list[Case]) -> None:
    drawn = {tuple(one.case for one in exercises(adviser, few, 2, seed)) for seed in range(3)}
    assert len(drawn) > 1


def test_level_is_the_length_of_the_chain(adviser: Adviser, few: list[Case]) -> None:
    for case in few:
        c = consult_case(adviser, case)
        one = exercise(c, case)
        if one is None:
            continue
        whole = lesson(c)
        sizes = {len(whole.chain(step.number)) for step in whole.steps if step.section == "choice"}
        assert one.steps in sizes
        assert one.level == 1 + sum(one.steps > most for most in MOST_STEPS)


def test_a_level_can_be_asked_for(adviser: Adviser, few: list[Case]) -> None:
    levels = [one.level for one in exercises(adviser, few, 4, 0)]
    wanted = levels[0]
    assert [one.level for one in exercises(adviser, few, levels.count(wanted), 0, wanted)] == [
        wanted
    ] * levels.count(wanted)


def test_too_many_are_refused(adviser: Adviser, few: list[Case]) -> None:
    with pytest.raises(DecideError, match="Ask for at most"):
        exercises(adviser, few, 99, 0)
    with pytest.raises(DecideError, match="1 or more"):
        exercises(adviser, few, 0, 0)


def test_a_case_without_a_choice_is_no_exercise(adviser: Adviser, few: list[Case]) -> None:
    """The case of the cover asks about a step alone: nothing is bare there."""
    case = next(case for case in few if case.code == "step-cover-warm")
    assert exercise(consult_case(adviser, case), case) is None


def test_answers_name_rules_and_sources(adviser: Adviser, few: list[Case]) -> None:
    for one in exercises(adviser, few, 5, 1):
        assert len(one.questions) >= 2
        for row in one.questions:
            assert row.question.endswith(("?", "."))
            assert row.answer
            assert row.rules
            assert set(row.rules) <= set(adviser.rules)
            assert row.sources


def test_sheet_for_the_class_holds_no_answer(adviser: Adviser, few: list[Case]) -> None:
    found = exercises(adviser, few, 4, 2)
    asked, told = (
        exercise_sheet(adviser.knowledge, found, 2),
        exercise_sheet(adviser.knowledge, found, 2, answers=True),
    )
    for one in found:
        assert one.case not in asked
        assert one.case in told
        for row in one.questions:
            assert not [rule for rule in row.rules if rule in asked]
            assert all(rule in told for rule in row.rules)


def test_situation_says_the_main_things_and_gives_nothing_away(adviser: Adviser, few: list[Case]) -> None:
    case = next(case for case in few if case.code == "na-boston-shade")
    one = exercise(consult_case(adviser, case), case)
    assert one is not None
    text = "\n".join(one.given)
    assert "Boston" in text
    assert "Today is " in text
    assert case.title not in text
    assert case.signed not in text


def test_sheet_is_plain_markdown(adviser: Adviser, few: list[Case]) -> None:
    tokens = MarkdownIt().parse(
        exercise_sheet(adviser.knowledge, exercises(adviser, few, 3, 1), 1, answers=True)
    )
    heads = [tokens[place + 1].content for place, token in enumerate(tokens) if token.type == "heading_open"]
    assert heads[0] == "Exercises with answers"
    assert [head.partition(" (")[0] for head in heads[1:]] == ["Exercise 1", "Exercise 2", "Exercise 3"]
    assert not [token for token in tokens if token.type in ("html_block", "html_inline")]


def test_questions_read_easily(adviser: Adviser, few: list[Case]) -> None:
    questions = {
        row.question
        for one in exercises(adviser, few, 5, 1)
        for row in one.questions
        if not row.question.startswith("Somebody")
    }
    assert questions
    for question in questions:
        assert grade(question) <= 8, question
