"""Exercises drawn from the case bank: a situation in plain words, and questions about its largest part
that has a choice.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from decide.cases.bank import consult_case
from decide.cases.signed import Case
from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.explain.why import zone_name
from decide.lesson.exercise_questions import ExerciseQuestion, questions
from decide.lesson.make import lesson
from decide.lesson.situation_said import situation_lines
from decide.model.errors import DecideError
from decide.questions.sensitivity import with_plain_engine

Difficulty = Literal[1, 2, 3]
# The most steps that a choice rests on in levels 1 and 2. Of 165 choices of the bank 53 rest on no more than
# the first, 53 on more than the second.
MOST_STEPS: Final[tuple[int, int]] = (13, 16)


@dataclass(frozen=True)
class Exercise:
    """A situation in plain words, the part of the field that is asked about, and its questions with answers.

    `steps` is how many steps the choice rests on, and gives the level.
    """

    case: str
    level: Difficulty
    steps: int
    zone: str
    given: tuple[str, ...]
    questions: tuple[ExerciseQuestion, ...]
    signed: str


def exercises(
    adviser: Adviser, cases: Sequence[Case], count: int, seed: int, level: Difficulty | None = None
) -> tuple[Exercise, ...]:
    """`count` exercises of a level (of any where none is asked for), the same for the same seed and bank.

    Cases are drawn in an order that the seed gives and judged until there are enough. DecideError where the
    bank holds fewer.
    """
    if count < 1:
        raise DecideError(f"{count} exercises cannot be made", where="lesson", instead="Ask for 1 or more")
    plain = with_plain_engine(adviser)
    drawn = sorted(cases, key=lambda case: case.code)
    random.Random(seed).shuffle(drawn)
    found: list[Exercise] = []
    for case in drawn:
        if len(found) == count:
            break
        one = exercise(consult_case(plain, case), case)
        if one is not None and level in (None, one.level):
            found.append(one)
    if len(found) < count:
        asked = f" of level {level}" if level is not None else ""
        raise DecideError(
            f"the bank holds only {len(found)} exercises{asked}",
            where="lesson",
            instead=f"Ask for at most {len(found)}",
        )
    return tuple(found)


def exercise(c: Consultation, case: Case) -> Exercise | None:
    """The exercise of a case; None where no part of it has a choice to be asked about."""
    whole = lesson(c)
    zone = max(
        (code for code, chosen in c.chosen.items() if chosen.named),
        key=lambda code: c.filled.areas.get(code) or 0,
        default=None,
    )
    if zone is None:
        return None
    choice = next(step for step in whole.steps if step.section == "choice" and step.subject == zone)
    size = len(whole.chain(choice.number))
    rows = tuple(questions(c, whole, zone))
    return Exercise(
        case.code, _level(size), size, zone_name(c, zone), tuple(situation_lines(c)), rows, case.signed
    )


def _level(size: int) -> Difficulty:
    return 1 if size <= MOST_STEPS[0] else 2 if size <= MOST_STEPS[1] else 3
