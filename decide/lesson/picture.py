"""The picture of a lesson: each step a box that links to its words, lines in the way of the reasoning."""

from __future__ import annotations

from collections.abc import Collection
from html import escape
from typing import Final

from decide.knowledge.tables import Knowledge
from decide.lesson.steps import Lesson, Section, Step, section_name
from decide.model.words import printable

_WIDE, _HIGH, _ACROSS, _DOWN, _IN_ROW, _LETTERS = 190, 44, 206, 74, 4, 27
_HEAD: Final = 26


def _places(lesson: Lesson) -> tuple[dict[int, tuple[int, int]], list[tuple[str, int]], int]:
    """Where each step stands (left, top), the heads of the parts with their tops, and the height of all."""
    places: dict[int, tuple[int, int]] = {}
    heads: list[tuple[str, int]] = []
    top = 4
    layer: tuple[Section, int] | None = None
    column = 0
    for step in lesson.steps:
        if layer is None or layer[0] != step.section:
            top += _DOWN if layer is not None else 0
            heads.append((section_name(lesson.knowledge, step.section), top + 16))
            top, column = top + _HEAD, 0
        elif layer != (step.section, step.stratum) or column == _IN_ROW:
            top, column = top + _DOWN, 0
        places[step.number] = 4 + column * _ACROSS, top
        layer, column = (step.section, step.stratum), column + 1
    return places, heads, top + _DOWN


def _cut(text: str) -> tuple[str, str]:
    """Two lines for a box, cut where they are too long."""
    first, rest = "", printable(text)
    while rest and len(first) + len(rest.partition(" ")[0]) < _LETTERS:
        word, _, rest = rest.partition(" ")
        first = f"{first} {word}".strip()
    if not first:
        first, rest = rest[:_LETTERS], rest[_LETTERS:]
    if len(rest) <= _LETTERS:
        return first, rest
    kept = rest[: _LETTERS - 1]
    return first, (kept.rpartition(" ")[0] or kept).rstrip() + "…"


def svg(lesson: Lesson, hidden: Collection[int]) -> str:
    """The picture as SVG; steps that are `hidden` show what they are about, and not what they say."""
    k = lesson.knowledge
    places, heads, height = _places(lesson)
    width = 4 + _IN_ROW * _ACROSS
    out = [
        f'<svg viewBox="0 0 {width} {height}" width="{width}" height="{height}" role="group" '
        'aria-labelledby="picture-title picture-what" xmlns="http://www.w3.org/2000/svg">',
        f'<title id="picture-title">{_says(k.text("lesson-picture-title"))}</title>',
        f'<desc id="picture-what">{_says(k.text("lesson-picture-what"))}</desc>',
    ]
    for step in lesson.steps:
        for before in dict.fromkeys(number for read in step.facts for number in read.steps):
            out.append(_line(places[before], places[step.number]))
    out += [f'<text class="part" x="4" y="{top}">{_says(name)}</text>' for name, top in heads]
    out += [_box(k, step, places[step.number], step.number in hidden) for step in lesson.steps]
    return "\n".join([*out, "</svg>"])


def _line(start: tuple[int, int], end: tuple[int, int]) -> str:
    """A line from under one box to above another."""
    x1, y1, x2, y2 = start[0] + _WIDE // 2, start[1] + _HIGH, end[0] + _WIDE // 2, end[1]
    return f'<path class="line" d="M{x1} {y1} C{x1} {y1 + 22} {x2} {y2 - 22} {x2} {y2}"/>'


def _box(k: Knowledge, step: Step, place: tuple[int, int], hidden: bool) -> str:
    """A step as a box that links to its words."""
    left, top = place
    shown = step.about if hidden else step.concludes
    first, second = _cut(f"{step.number} {shown}")
    # A mark that something is cut is no part of the name.
    cut = '<tspan aria-hidden="true">…</tspan>' if second.endswith("…") else ""
    below = _says(second.removesuffix("…")) + cut
    # The name begins with what is seen, so that a voice command finds the box.
    said = (
        k.text("lesson-picture-box", n=step.number, shown=shown)
        if hidden
        else k.text("lesson-picture-box-on", n=step.number, shown=shown, about=step.about)
    )
    return (
        f'<a id="node-{step.number}" href="#step-{step.number}" aria-label="{_says(said)}">'
        f'<rect class="{step.section}" x="{left}" y="{top}" width="{_WIDE}" height="{_HIGH}" rx="5"/>'
        f'<text x="{left + 7}" y="{top + 18}">{_says(first)}</text> '
        f'<text x="{left + 7}" y="{top + 34}">{below}</text></a>'
    )


def _says(text: str) -> str:
    return escape(printable(text))
