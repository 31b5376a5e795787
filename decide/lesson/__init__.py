"""The lesson: how an advice follows, rule by rule, for a class that wants to check every step of it."""

from __future__ import annotations

from decide.lesson.breaking import Broken, break_rule
from decide.lesson.compare import Parting, compare
from decide.lesson.dot import dot
from decide.lesson.exercise_sheet import exercise_sheet
from decide.lesson.exercises import Exercise, exercises
from decide.lesson.guess import Guess, guess
from decide.lesson.make import lesson
from decide.lesson.page import lesson_page
from decide.lesson.steps import Lesson, Read, Step

__all__ = [
    "Broken", "Exercise", "Guess", "Lesson", "Parting", "Read", "Step", "break_rule", "compare", "dot",
    "exercise_sheet", "exercises", "guess", "lesson", "lesson_page",
]  # fmt: skip
