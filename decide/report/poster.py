"""The sheet that is hung up, before it is drawn: few words, big dates, and how many words it has."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final, Literal

from decide.model.field_plan import FieldPlan
from decide.report.blocks import Line, Page, Paragraph, Section
from decide.report.timeline import Days, Frost, FrostKind, Row

# A sheet on a wall holds no more words than this; the pages behind it say the rest.
MOST_WORDS: Final = 350


@dataclass(frozen=True)
class BigDate:
    """A date that is read from afar: what is then, in which year, from which day and to which.

    `kind` is the column in which it stands: start, training or matches, or wanted.
    """

    kind: Literal["start", "training", "matches", "wanted"]
    label: str
    year: str
    first: str
    last: str = ""


@dataclass(frozen=True)
class Lane:
    """A job on the drawn line: when it is prepared, begun and tended, and when what may be used."""

    letter: str
    label: str
    prepare: dt.date | None
    start: dt.date | None
    light: Days | None
    full: Days | None
    dies_by: dt.date | None


@dataclass(frozen=True)
class WorkLine:
    """From now to matches: the days of the axis, windows and frost, a lane for each job, the date wanted.

    `cold` are spans of days with frost, both ends counted; true where frost is usual.
    """

    today: dt.date
    last: dt.date
    rows: tuple[Row, ...]
    frost_kind: FrostKind | None
    frosts: tuple[Frost, ...]
    cold: tuple[tuple[dt.date, dt.date, bool], ...]
    lanes: tuple[Lane, ...]
    wanted: dt.date | None

    @property
    def days(self) -> int:
        """How many days the axis has."""
        return (self.last - self.today).days + 1


@dataclass(frozen=True)
class Way:
    """One thing that is done in the parts of a job: what it is called, its verdict, its big dates."""

    what: Paragraph
    note: Paragraph
    dates: tuple[BigDate, ...]


@dataclass(frozen=True)
class Job:
    """Parts of the field in which the same is done at about the same time, under one letter."""

    letter: str
    zones: tuple[str, ...]
    ways: tuple[Way, ...]


@dataclass(frozen=True)
class Part:
    """A named part of the sheet; `code` says how it is laid out."""

    code: str
    title: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class MarkedPlan:
    """The plan of the field with the letters of the jobs on its parts; what has no place stands beside it."""

    plan: FieldPlan
    letters: tuple[tuple[str, str], ...]
    caption: str


@dataclass(frozen=True)
class Poster:
    """The whole sheet."""

    title: str
    under: str
    wanted: BigDate | None
    fate: Paragraph
    dangers: Part | None
    jobs: tuple[Job, ...]
    idle: tuple[Line, ...]
    line: WorkLine
    plan: MarkedPlan | None
    parts: tuple[Part, ...]
    people: tuple[str, ...] = ()
    ruler: Paragraph = field(default=())


@dataclass(frozen=True)
class Printed:
    """The pages to print: the sheet, the sections of the two pages behind it, and the whole page after them.

    The sections of the whole page are folded away, and are printed only where the page is `full`.
    """

    sheet: Poster
    behind: tuple[tuple[Section, ...], ...]
    rest: Page
    paper: str
    full: bool


def words_in(text: str) -> int:
    """How many words a reader meets in a text: runs with a letter or a figure in them."""
    return sum(bool(re.search(r"\w", each)) for each in text.split())


def words_of(lines: tuple[Line, ...]) -> int:
    """How many words stand in lines."""
    return sum(words_in("".join(span.text for span in line.spans)) for line in lines)


def texts_of(poster: Poster) -> Iterator[str]:
    """What stands on a sheet beside its pictures."""

    def said(paragraph: Paragraph) -> str:
        return "".join(span.text for span in paragraph)

    yield from (poster.title, poster.under, said(poster.fate), said(poster.ruler))
    for each in (poster.wanted, *(date for job in poster.jobs for way in job.ways for date in way.dates)):
        if each is not None:
            yield f"{each.label} {each.year} {each.first} {each.last}"
    for job in poster.jobs:
        yield f"{job.letter} {' '.join(job.zones)}"
        yield from (f"{said(way.what)} {said(way.note)}" for way in job.ways)
    yield from (said(line.spans) for line in poster.idle)
    for part in (*([poster.dangers] if poster.dangers else []), *poster.parts):
        yield part.title
        yield from (said(line.spans) for line in part.lines)
    yield from poster.people
    if poster.plan is not None:
        yield poster.plan.caption
