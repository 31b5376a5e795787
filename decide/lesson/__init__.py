"""The lesson: how an advice follows, told as a story that opens down to every rule, for a class to check."""

from __future__ import annotations

from decide.lesson.breaking import Broken, break_rule
from decide.lesson.compare import Parting, compare
from decide.lesson.dot import dot
from decide.lesson.exercise_sheet import exercise_sheet
from decide.lesson.exercises import Exercise, exercises
from decide.lesson.guess import Guess
from decide.lesson.make import lesson
from decide.lesson.steps import Lesson, Read, Step
from decide.lesson.story import Scene, Story, story

__all__ = [
    "Broken", "Exercise", "Guess", "Lesson", "Parting", "Read", "Scene", "Step", "Story", "break_rule",
    "compare", "dot", "exercise_sheet", "exercises", "lesson", "story",
]  # fmt: skip
