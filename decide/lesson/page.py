"""A lesson as one HTML page that stands alone: the picture, which a keyboard can walk, then each step in
words; no script.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from html import escape
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from decide.lesson.guess import Guess
from decide.lesson.lines import titled, unless_lines
from decide.lesson.picture import svg
from decide.lesson.steps import Lesson, Read, how_known
from decide.model.words import printable


def lesson_page(lesson: Lesson, guesses: Sequence[Guess] = ()) -> str:
    """The picture, then each step with links back, on and to what it rests on.

    Tab goes from box to box and Enter to its step. With `guesses` each of those steps keeps its conclusion
    back until it is opened, in the picture too.
    """
    k = lesson.knowledge
    asked = {one.step.number: one for one in guesses}

    def known(read: Read) -> str:
        """How a fact is known, with links to the steps that gave it."""
        if not read.steps:
            return how_known(k, read)
        linked = ", ".join(f'<a href="#step-{number}">{number}</a>' for number in read.steps)
        said = k.text("lesson-from-steps", n=len(read.steps), steps="{}")
        return Markup(escape(said).replace("{}", linked))

    place = lesson.place
    return (
        _environment()
        .get_template("lesson.html.jinja")
        .render(
            steps=lesson.steps,
            today=lesson.today,
            title=k.text("lesson-page-title-at", place=place) if place else k.text("lesson-page-title"),
            asked=asked,
            picture=Markup(svg(lesson, asked)),
            say=k.text,
            known=known,
            titled=titled,
            unless=lambda step: unless_lines(k, step),
        )
    )


@cache
def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("decide.lesson"),
        autoescape=True,
        finalize=_shown,
        undefined=StrictUndefined,
        keep_trailing_newline=True,
    )


def _shown(value: Any) -> Markup:
    """Any words as words only: nothing in them is a tag, and no sign is hidden."""
    return value if isinstance(value, Markup) else Markup(escape(printable(str(value))))
