"""A lesson in lines of plain text."""

from __future__ import annotations

from collections.abc import Iterator

from decide.knowledge.tables import Knowledge
from decide.lesson.steps import Lesson, Step, how_known, section_name
from decide.model.words import capital


def titled(step: Step) -> str:
    """What a step is about, with the role of an option."""
    return f"{capital(step.about)}{f' ({step.role})' if step.role else ''}"


def unless_lines(k: Knowledge, step: Step) -> list[str]:
    """The exceptions of a step with their truth."""
    return [
        k.text("lesson-unless-open", name=name.replace("-", " "))
        if holds is None
        else k.text("lesson-unless-not-so", name=name.replace("-", " "))
        for name, holds in step.unless
    ]


def known_lines(k: Knowledge, step: Step) -> list[str]:
    """What is known at a step."""
    known = [f"    {read.text} ({how_known(k, read)})" for read in step.facts]
    return [
        k.text("lesson-step", n=step.number, about=titled(step)),
        *([f"  {k.text('lesson-known')}", *known] if known else []),
        *(f"    {line}" for line in unless_lines(k, step)),
    ]


def concluded_lines(k: Knowledge, step: Step) -> list[str]:
    """What a step says and why."""
    return [
        *([f"  {k.text('lesson-rule', rule=step.rule)}"] if step.rule else []),
        f"  {k.text('lesson-so', concludes=step.concludes)}",
        f"  {k.text('lesson-why', because=step.because)}",
    ]


def source_lines(k: Knowledge, step: Step) -> list[str]:
    """The sources of a step."""
    return [f"  {k.text('lesson-source', source=source)}" for source in step.sources] or [
        f"  {k.text('lesson-no-source')}"
    ]


def lesson_lines(lesson: Lesson) -> Iterator[str]:
    """Every step of a lesson, section by section."""
    k = lesson.knowledge
    many = len(lesson.steps)
    yield (
        k.text("lesson-head-at", place=lesson.place, n=many)
        if lesson.place
        else k.text("lesson-head", n=many)
    )
    section = ""
    for step in lesson.steps:
        if step.section != section:
            section = step.section
            yield ""
            yield section_name(k, step.section).upper()
        yield ""
        yield from known_lines(k, step)
        yield from concluded_lines(k, step)
        yield from source_lines(k, step)
