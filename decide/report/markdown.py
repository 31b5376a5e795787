"""The advice as Markdown for a committee: its minutes on one page, or all that the text says."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Final

from decide.model.advice import Advice
from decide.model.units import System
from decide.model.words import printable
from decide.report import pages
from decide.report.blocks import Block, Group, Heading, Line, Span, Table
from decide.report.telling import Depth
from decide.report.timeline import Timeline
from decide.report.timeline_said import sentences

_SPECIAL: Final = re.compile(r"([\\`*_{}\[\]<>#|~&$])")
_LEADING: Final = re.compile(r"^(?:([-+=])|(\d+)([.)])(?=\s|$))")


# One printed page.
MOST_WORDS: Final = 450


def render_markdown(advice: Advice, *, depth: Depth = "full", system: System | None = None) -> str:
    """The advice as Markdown (CommonMark with tables). A user's words are only ever words in it."""
    return draw(pages.notes(advice, depth, system).in_order())


def render_minutes(advice: Advice, system: System | None = None) -> str:
    """The minutes of a committee as Markdown, on one page: of what has no room there fewer words are said."""
    return draw(pages.minuted(advice, system, MOST_WORDS, lambda blocks: len(draw(blocks).split())))


def draw(blocks: Iterable[Block]) -> str:
    """Blocks as Markdown."""
    lines = "\n".join(_lines(_unfolded(blocks)))
    return re.sub(r"\n{3,}", "\n\n", lines).strip("\n") + "\n"


def _unfolded(blocks: Iterable[Block]) -> Iterator[Block]:
    for block in blocks:
        yield from block.blocks if isinstance(block, Group) else (block,)


def _inline(text: str) -> str:
    return _SPECIAL.sub(r"\\\1", printable(text))


def _escaped(text: str) -> str:
    """Words that begin a line, as Markdown shows them literally: a user's text is never markup."""
    return _LEADING.sub(lambda m: f"\\{m[1]}" if m[1] else f"{m[2]}\\{m[3]}", _inline(text).lstrip())


def _emphasised(spans: Iterable[Span]) -> str:
    said: list[str] = []
    for span in spans:
        part = _inline(span.text) if said else _escaped(span.text)
        core = part.strip()
        if span.style and core:
            before, after = part[: len(part) - len(part.lstrip())], part[len(part.rstrip()) :]
            part = f"{before}**{core}**{after}"
        if part:
            said.append(part)
    return "".join(said)


def _lines(blocks: Iterable[Block]) -> Iterator[str]:
    base: int | None = None
    for block in blocks:
        if isinstance(block, Line) and (block.mark or block.depth):
            base = block.depth if base is None else base
            yield f"{'  ' * max(0, block.depth - base)}- {_emphasised(block.spans)}"
            continue
        base = None
        yield ""
        if isinstance(block, Heading):
            yield f"{'#' * (block.level + 1)} {_escaped(block.text)}"
        elif isinstance(block, Line):
            yield _emphasised(block.spans)
        elif isinstance(block, Timeline):
            yield from (f"- {_escaped(said)}" for said in sentences(block))
        elif isinstance(block, Table):
            yield from _table(block)
        yield ""


def _table(table: Table) -> Iterator[str]:
    yield f"| {' | '.join(_escaped(head) for head in table.head)} |"
    yield f"|{' --- |' * len(table.head)}"
    for row in table.rows:
        cells = (" ".join(filter(None, map(_emphasised, paragraphs))) for paragraphs in row)
        yield f"| {' | '.join(cells)} |"
