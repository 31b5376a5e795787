"""What a page of the report is made of before it is drawn: sections, headings, lines, tables, the year.

A block knows nothing of the advice, and a drawing knows nothing but blocks.
Words are only ever words, never markup.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final, Literal

from decide.report.timeline import Timeline
from decide.report.words import say

Style = Literal["", "strong", "good", "warn", "bad", "soft", "tick", "heard"]
Shape = Literal["small"]

TO_DO: Final = "☐"
DONE: Final = "☑"


@dataclass(frozen=True)
class Span:
    """Some words in one style, and the keys of the sources behind the words before it.

    "soft" is said by the way, "tick" is a box to tick, "heard" is for ears alone where eyes have a sign.
    """

    text: str
    style: Style = ""
    cites: tuple[str, ...] = ()


Paragraph = tuple[Span, ...]
Cell = tuple[Paragraph, ...]


@dataclass(frozen=True)
class Heading:
    """The heading of a page (level 0), of a section (1) or of a part of it (2)."""

    text: str
    level: int = 2


@dataclass(frozen=True)
class Line:
    """A paragraph, `depth` steps to the right; it belongs to the last line before it that is less deep.

    `mark` is what a list puts before it: "-", "!", "1.", a box to tick, "=" and a verdict, or nothing. `more`
    are columns added to the steps, so that a line stands under the words of a numbered one. `anchor` is the
    key of the source that the line is about.
    """

    spans: Paragraph
    depth: int = 0
    mark: str = ""
    more: int = 0
    anchor: str = ""


@dataclass(frozen=True)
class Table:
    """A table; on a narrow page a list with a line for each cell. The first cell names its row.

    `caption` is left out where the heading above says the same. `kind` says what is in it, for widths of
    columns. The last `blank` columns are to be written in by hand.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    caption: str = ""
    kind: str = ""
    blank: int = 0


@dataclass(frozen=True)
class Group:
    """Blocks that a printed page sets apart as small print."""

    shape: Shape
    blocks: tuple[Heading | Line | Table, ...]


Block = Heading | Line | Table | Group | Timeline


@dataclass(frozen=True)
class Section:
    """A named part of a page; `code` stays the same in every language."""

    code: str
    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Page:
    """A whole page: title, opening lines and sections."""

    title: str
    opening: tuple[Line, ...]
    sections: tuple[Section, ...]

    def in_order(self) -> Iterator[Block]:
        """The blocks one after another, each section under its heading."""
        yield Heading(self.title, 0)
        yield from self.opening
        for section in self.sections:
            yield Heading(section.title, 1)
            yield from section.blocks


def line(*words: Span | str, depth: int = 0, mark: str = "", more: int = 0, anchor: str = "") -> Line:
    """A line of words; a text alone has no style."""
    return Line(spans(words), depth, mark, more, anchor)


def labelled(label: str, text: str, depth: int = 1) -> Line:
    """A line that begins with the name of what it says."""
    return line(Span(f"{label}: ", "strong"), text, depth=depth)


def headed(label: str, *words: Span | str, style: Style = "strong", mark: str = "") -> Line:
    """A line of words behind the name of what they say, in a style of its own."""
    return line(Span(f"{label}: ", style), *words, mark=mark)


def spans(words: Iterable[Span | str]) -> Paragraph:
    """Words as spans."""
    return tuple(Span(word) if isinstance(word, str) else word for word in words)


def cell(*words: Span | str) -> Cell:
    """A cell of one paragraph."""
    return (spans(words),)


def paragraphs(texts: Iterable[str], cites: Iterable[str] = ()) -> Cell:
    """A cell with a paragraph for each text that is one, and with the sources behind them.

    A dash where there is none.
    """
    said = [(Span(text),) for text in texts if text] or [(Span("–"),)]
    return (*said, (cited(cites),)) if tuple(cites) else tuple(said)


def cited(keys: Iterable[str]) -> Span:
    """The keys of the sources behind the words before it."""
    return Span("", "", tuple(keys))


def tick(done: bool) -> Paragraph:
    """A box to tick, or one that is ticked, before the words of a cell."""
    return (
        (Span(DONE, "tick"), Span(f"{say('done')}: ", "heard")) if done else (Span(TO_DO, "tick"), Span(" "))
    )
