"""What an advice says of the season: weeks of warmth and growth, frost, windows of the leading options."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from decide.model.row import Row


class SeasonWeek(Row):
    """Seven days of a normal year."""

    first: str = Field(description="first of its days, ISO")
    mean_c: float = Field(description="mean of the daily normals")
    growth_cool: float = Field(
        description="growth of cool-season grass, as a share of its full growth, 0 to 1"
    )
    growth_warm: float = Field(
        description="growth of warm-season grass, as a share of its full growth, 0 to 1"
    )
    rain_mm: float | None = Field(description="rain of a normal year; None where it is not known")
    need_mm: float | None = Field(
        default=None, description="water that standing turf uses; None where it is not known"
    )


class FrostDays(Row):
    """When the first or last frost falls: in about two years of three from `early` to `late`. `median` never
    stands alone.
    """

    early: str
    median: str
    late: str


class SeasonWindow(Row):
    """One time of the year in which a grass may be established, as one date to another, both counted."""

    grass: str = Field(description="code of the grass or mixture")
    start: str = Field(description="seed, sod, thick-sod, sprigs or plugs")
    name: str = Field(description="grass and start in words")
    quality: Literal["good", "fair", "dormant"]
    opens: str
    closes: str
    why_opens: str = Field(description="code")
    why_closes: str = Field(description="code")


class NoWindow(Row):
    """A grass and start that has no window at this place, and why."""

    grass: str
    start: str
    name: str
    why: str = Field(description="code")


class Leading(Row):
    """An option that the season shows, and what it is to the choice of its zone."""

    option: str = Field(description="code of the option")
    zone: str
    role: Literal["stopgap", "chosen", "least-bad", "runner-up"]
    name: str = Field(description="grass and method in words, without a date")


class Season(Row):
    """A year of the place from this month on (longer where a date lies later): warmth, growth, frost,
    windows, leading options.
    """

    today: str
    first_day: str = Field(description="first day of the month of today, ISO")
    last_day: str = Field(description="last day shown, ISO")
    weeks: list[SeasonWeek]
    frost_kind: Literal["usual", "some-years", "rare", "always"]
    first_frost: FrostDays | None = Field(
        description="the next one whose median lies on or after the first day; it comes again each year"
    )
    last_frost: FrostDays | None = Field(description="as the first frost")
    windows: list[SeasonWindow]
    no_window: list[NoWindow] = Field(default_factory=list)
    deadline: str | None = Field(description="day by which play is wanted")
    leading: list[Leading]
