"""What a page of the report is made of, before it is drawn: headings, lines, tables and the picture of the season."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from decide.model.advice import Advice
from decide.model.units import System

Style = Literal["", "strong", "good", "warn", "bad"]


# ---------- what is said, before it is laid out ----------
@dataclass(frozen=True)
class Span:
    """Some words in one style. Own words and a user's words are both only ever words, never markup."""

    text: str
    style: Style = ""


TAKE_CARE: Final = Span("Take care: ", "warn")


@dataclass(frozen=True)
class Heading:
    """The heading of a section (level 1) or of a part of it (level 2)."""

    text: str
    level: int = 1


@dataclass(frozen=True)
class Line:
    """A paragraph, `depth` steps of two columns to the right.

    `mark` is what a list puts before it: "-", "!", "1.", "=" and a verdict, or nothing. `more` are columns added to
    the steps, so that a line stands under the words of a numbered one.
    """

    spans: tuple[Span, ...]
    depth: int = 0
    mark: str = ""
    more: int = 0


@dataclass(frozen=True)
class Grid:
    """A table; on a narrow page a list with a line for each cell. The first cell names its row."""

    head: tuple[str, ...]
    rows: tuple[tuple[Span, ...], ...]


@dataclass(frozen=True)
class Picture:
    """The season, drawn as wide as the page; in line mode and in Markdown its sentences."""

    advice: Advice
    system: System


Block = Heading | Line | Grid | Picture
