"""The advice as one HTML page: a sheet to hang up, two pages behind it, and every detail folded away.

No script, no other file.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import count, groupby
from typing import Literal

from markupsafe import Markup

from decide.model.advice import Advice
from decide.model.units import System
from decide.report import pages
from decide.report.blocks import DONE, TO_DO, Block, Group, Heading, Line, Page, Paragraph, Table, tick
from decide.report.field_svg import badge, field_svg
from decide.report.poster import Printed, WorkLine
from decide.report.templating import environment
from decide.report.timeline import Timeline
from decide.report.timeline_svg import svg
from decide.report.words import say
from decide.report.work_line_svg import line_said, work_line


def render_html(advice: Advice, system: System | None = None, *, full: bool = False) -> str:
    """One HTML page that stands alone.

    It reads without style sheets, prints on A4 or Letter as the country does, and says all that the full text
    says; `full` prints all of that too. `system` is "metric" or "us"; left out, the country of the advice
    decides. A user's words are only ever words.
    """
    return draw(pages.printed(advice, system, full=full))


def draw(printed: Printed) -> str:
    """The pages to print as one HTML file."""
    template = environment().get_template("page.html.jinja")
    found = template.render(
        printed=printed,
        sheet=printed.sheet,
        page=printed.rest,
        anchors=_anchors(printed.rest),
        number=count(1).__next__,
        parts=_parts,
        badge=badge,
        field=field_svg,
        lines=_lines,
        drawn_line=_drawn_line,
    )
    return f"{found}\n"


@dataclass(frozen=True)
class _Node:
    """A line and the runs of lines that stand under it."""

    spans: Paragraph
    anchor: str
    under: tuple[_Run, ...]


@dataclass(frozen=True)
class _Run:
    """Lines one after another that are items of one list, or paragraphs where the element is ""."""

    element: Literal["ul", "ol", ""]
    ticked: bool
    nodes: tuple[_Node, ...]


@dataclass(frozen=True)
class _Part:
    """A block as the template draws it: lines together as runs, and a table with the heading above it."""

    kind: Literal["heading", "lines", "table", "group", "picture"]
    block: Heading | Table | Group | tuple[_Run, ...] | Markup
    caption: str = ""


@dataclass
class _Branch:
    """A line with the lines under it while these are gathered."""

    line: Line
    under: list[_Branch] = field(default_factory=list)


def _drawn_line(line: WorkLine) -> Markup:
    """The line of the sheet, once for paper and wide screens and once for a phone."""
    title, said = say("line-title"), line_said(line)
    found = Markup("")
    for narrow, shown in ((False, "wide-only"), (True, "narrow-only")):
        canvas, wide, high = work_line(line, narrow=narrow)
        found += canvas.svg(wide, high, title, said, shown)
    return found


def _lines(lines: Iterable[Line]) -> tuple[_Run, ...]:
    return _runs(_tree(lines))


def _anchors(page: Page) -> frozenset[str]:
    """The keys to which other lines can lead."""
    blocks = [block for section in page.sections for block in section.blocks]
    lines = [each for block in blocks for each in (block.blocks if isinstance(block, Group) else (block,))]
    return frozenset(each.anchor for each in lines if isinstance(each, Line) and each.anchor)


def _parts(blocks: Iterable[Block]) -> Iterable[_Part]:
    caption = say("figures")
    for together, run in groupby(blocks, key=lambda block: isinstance(block, Line)):
        if together:
            yield _Part("lines", _lines([block for block in run if isinstance(block, Line)]))
            continue
        for block in run:
            if isinstance(block, Heading):
                caption = block.text
                yield _Part("heading", block)
            elif isinstance(block, Table):
                yield _Part("table", block, caption)
            elif isinstance(block, Group):
                yield _Part("group", block)
            elif isinstance(block, Timeline):
                yield _Part("picture", svg(block) + svg(block, narrow=True))


def _tree(lines: Iterable[Line]) -> list[_Branch]:
    """Lines as a tree: each stands under the last line before it that is less deep."""
    top: list[_Branch] = []
    path: list[_Branch] = []
    for line in lines:
        branch = _Branch(line)
        while path and path[-1].line.depth >= line.depth:
            path.pop()
        (path[-1].under if path else top).append(branch)
        path.append(branch)
    return top


def _runs(branches: Sequence[_Branch]) -> tuple[_Run, ...]:
    """Marked lines as lists, others as paragraphs."""
    return tuple(
        _Run(element, ticked, tuple(_node(branch) for branch in run))
        for (element, ticked), run in groupby(branches, key=lambda branch: _list_of(branch.line.mark))
    )


def _node(branch: _Branch) -> _Node:
    line = branch.line
    box = tick(line.mark == DONE) if line.mark in (TO_DO, DONE) else ()
    return _Node((*box, *line.spans), line.anchor, _runs(branch.under))


def _list_of(mark: str) -> tuple[Literal["ul", "ol", ""], bool]:
    if not mark:
        return "", False
    return ("ol", False) if mark[0].isdigit() else ("ul", mark in (TO_DO, DONE))
