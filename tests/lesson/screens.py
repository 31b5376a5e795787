"""The screens of a lesson as a class sees them; `python -m tests.lesson.screens` makes the expected ones anew."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

from decide.consult import Adviser
from decide.knowledge.load import read_knowledge
from decide.lesson.lines import story_lines, wrapped
from decide.lesson.story import Story, story
from decide.model.reading import read_situation
from decide.shell.lesson_loop import Walk, walk

from .conftest import SPARSE

FOLDER = Path(__file__).parents[1] / "screens"
# Enter, a wrong guess and a right one, the rules behind it, one of them.
HEARD = ("guess", "", "", "", "a", "b", "open", "4.1", "quit")


def walked(told: Story, width: int) -> str:
    sink = io.StringIO()
    walk(Walk(told), io.StringIO("".join(f"{line}\n" for line in HEARD)), sink, width)
    return sink.getvalue()


def screens(told: Story) -> Iterator[tuple[str, str]]:
    """Names and texts."""
    yield "lesson-80.txt", "\n".join(wrapped(story_lines(told), 80)) + "\n"
    yield "lesson-walk-40.txt", walked(told, 40)


if __name__ == "__main__":
    adviser = Adviser(read_knowledge(...), "plain")
    for name, text in screens(story(adviser.consult(read_situation(SPARSE)))):
        (FOLDER / name).write_text(text, encoding="utf-8")
