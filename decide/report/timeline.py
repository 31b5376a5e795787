"""A year with its warmth, growth, frost, windows and dates of use, ready to be drawn or said."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from decide.model.units import System
from decide.report.words import language

Quality = Literal["good", "fair", "dormant"]
Use = Literal["light use", "full play"]
FrostKind = Literal["usual", "some-years", "rare", "always"]
# Which frost, and its early and late day in about two years of three.
Frost = tuple[Literal["first", "last"], dt.date, dt.date]


@dataclass(frozen=True)
class Days:
    """An early and a late day; None where none is known."""

    early: dt.date | None
    late: dt.date | None


@dataclass(frozen=True)
class Seven:
    """Seven days of a normal year in the reader's units: the mean, growth as a share of full growth.

    Rain and the water that turf uses are None where they are not known.
    """

    first: dt.date
    mean: float
    cool: float
    warm: float
    rain: float | None = None
    need: float | None = None


@dataclass(frozen=True)
class Stretch:
    """A time of the year in which something may be begun, both ends counted, and why, in words."""

    quality: Quality
    opens: dt.date
    closes: dt.date
    why: tuple[str, ...]


@dataclass(frozen=True)
class Row:
    """Grasses and starts with the same stretches, or why there are none."""

    label: str
    stretches: tuple[Stretch, ...]
    why_none: str = ""


@dataclass(frozen=True)
class Bar:
    """One leading option with its dates; parts of the field with the same option and dates share one."""

    label: str
    start: dt.date | None
    uses: tuple[tuple[Use, Days], ...]
    dies_by: dt.date | None
    dies_between: Days | None = None


@dataclass(frozen=True)
class Timeline:
    """The days of the axis and what stands on them.

    `cold` are spans of days with frost, both ends counted: true where frost is usual, false where it may
    come.
    """

    place: str
    system: System
    today: dt.date
    first: dt.date
    last: dt.date
    weeks: tuple[Seven, ...]
    frost_kind: FrostKind
    frosts: tuple[Frost, ...]
    cold: tuple[tuple[dt.date, dt.date, bool], ...]
    rows: tuple[Row, ...]
    bars: tuple[Bar, ...]
    deadline: dt.date | None

    @property
    def days(self) -> int:
        """How many days the axis has."""
        return (self.last - self.first).days + 1

    @property
    def degree(self) -> str:
        """The sign of the reader's degrees."""
        return language().unit("F" if self.system == "us" else "C")

    @property
    def depth(self) -> str:
        """The unit of the reader's rain."""
        return language().unit("in" if self.system == "us" else "mm")

    def water(self, depth: float) -> str:
        """Rain or need of a week in figures: tenths of an inch, or whole millimetres."""
        return f"{depth:.1f}" if self.system == "us" else whole(depth)

    def months(self) -> Iterator[dt.date]:
        """The first day of each month of the axis."""
        date = self.first
        while date <= self.last:
            yield date
            date = (date + dt.timedelta(days=31)).replace(day=1)


def whole(amount: float) -> str:
    """A whole number; half goes up on both sides of nothing, and there is no minus nothing."""
    return str(int((amount + 0.5) // 1))
