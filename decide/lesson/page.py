"""A story as one HTML page that stands alone: a tree that opens from each step to its rules, facts and
sources; no script.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from html import escape
from itertools import groupby
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from decide.lesson.lines import kept_back, read_line, rows_of, unless_lines
from decide.lesson.story import Story
from decide.model.words import printable


def lesson_page(told: Story, *, guessing: bool = False) -> str:
    """The story as a page. With `guessing` each decision is kept back until it is opened: a wrong choice
    opens to its hint.
    """
    k = told.knowledge
    return (
        _environment()
        .get_template("lesson.html.jinja")
        .render(
            told=told,
            title=k.text("story-head-at", place=told.place, n=told.count)
            if told.place
            else k.text("story-head", n=told.count),
            say=k.text,
            kept={scene.number for scene in told.scenes if guessing and kept_back(scene)},
            read=lambda read: read_line(told, read),
            unless=lambda step: unless_lines(k, step),
        )
    )


@cache
def _environment() -> Environment:
    made = Environment(
        loader=PackageLoader("decide.lesson"),
        autoescape=True,
        finalize=_shown,
        undefined=StrictUndefined,
        keep_trailing_newline=True,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["runs"], made.filters["about"] = _runs, rows_of
    return made


def _runs(lines: Sequence[str]) -> list[tuple[bool, list[str]]]:
    """Lines in runs: items of a list without their dash, and plain lines."""
    return [
        (dashed, [line.removeprefix("- ") for line in run])
        for dashed, run in groupby(lines, lambda line: line.startswith("- "))
    ]


def _shown(value: Any) -> Markup:
    """Any words as words only: nothing in them is a tag, and no sign is hidden."""
    return value if isinstance(value, Markup) else Markup(escape(printable(str(value))))
