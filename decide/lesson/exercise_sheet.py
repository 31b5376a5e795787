"""Exercises as a sheet in Markdown, for the class or, with answers, for the teacher."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from decide.knowledge.tables import Knowledge
from decide.lesson.exercise_questions import ExerciseQuestion
from decide.lesson.exercises import MOST_STEPS, Exercise
from decide.model.words import printable


def exercise_sheet(k: Knowledge, found: Sequence[Exercise], seed: int, *, answers: bool = False) -> str:
    """The exercises as Markdown; with `answers` each question is followed by its answer, its rules and its
    sources.
    """
    head = k.text("exercise-sheet-answers") if answers else k.text("exercise-sheet")
    first, second = MOST_STEPS
    levels = k.text("exercise-levels", sheet=str(seed), first=first, next=first + 1, second=second)
    lines = [f"# {head}", "", levels, ""]
    for number, one in enumerate(found, start=1):
        lines += [f"## {k.text('exercise-head', n=number, level=one.level)}", ""]
        lines += [*(f"- {plain(line)}" for line in one.given), ""]
        lines += [k.text("exercise-about", zone=plain(one.zone)), ""]
        for letter, row in zip("abcdef", one.questions, strict=False):
            lines += [f"**{letter})** {plain(row.question)}", ""]
            lines += _answer_lines(k, row) if answers else []
        if answers:
            signed = k.text(
                "exercise-signed", case=f"`{one.case}`", signed=plain(one.signed), steps=one.steps
            )
            lines += [signed, ""]
    return "\n".join(lines).rstrip() + "\n"


def _answer_lines(k: Knowledge, row: ExerciseQuestion) -> Iterator[str]:
    yield f"> {plain(row.answer)}"
    yield ">"
    if row.rules:
        yield f"> {k.text('lesson-rule', rule=', '.join(f'`{rule}`' for rule in row.rules))}"
        yield ">"
    # Two spaces end a line of Markdown.
    yield from (f"> {k.text('lesson-source', source=plain(source))}  " for source in row.sources)
    yield ""


def plain(text: str) -> str:
    """Words as Markdown that says just them."""
    safe = printable(text)
    for sign in "\\`*_[]<>#|~":
        safe = safe.replace(sign, f"\\{sign}")
    return safe
