"""The lesson: how an advice follows, rule by rule, for a class that wants to check every step of it."""

from __future__ import annotations

from decide.lesson.breaking import Broken, break_rule
from decide.lesson.compare import Parting, compare
from decide.lesson.exercises import Exercise, exercises, sheet
from decide.lesson.graph import dot, lesson_page
from decide.lesson.guess import Guess, guess
from decide.lesson.steps import Lesson, Read, Step, lesson

__all__ = [
    "Broken", "Exercise", "Guess", "Lesson", "Parting", "Read", "Step", "break_rule", "compare", "dot", "exercises", "guess", "lesson",
    "lesson_page", "sheet",
]  # fmt: skip
