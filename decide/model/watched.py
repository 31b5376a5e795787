"""What is watched on young turf: the checks of opening, and the signs of failure."""

from __future__ import annotations

from typing import Literal

from decide.model.row import Row


class OpeningCheck(Row):
    """A check that says whether the ground may be opened."""

    check: str
    how: str
    n: int | None
    unit: str
    pass_light: str
    pass_full: str
    instrument: bool
    sources: list[str]


class RescueSign(Row):
    """A sign of failure."""

    sign: str
    look_at: str
    do: str
    sources: list[str]


class CheckDone(Row):
    """An opening check that was recorded, against its marks."""

    zone: str
    check: str
    on: str
    found: str
    light: Literal["pass", "fail", "unknown"]
    full: Literal["pass", "fail", "unknown"]


class OpenNow(Row):
    """Whether a zone may be opened on today's record: "not yet, because ..."."""

    zone: str
    light: Literal["yes", "not yet", "unknown"]
    full: Literal["yes", "not yet", "unknown"]
    because: list[str]
    checks: list[CheckDone]


class SignSeen(Row):
    """A sign of failure that was seen, what it means for the programme, and what to do."""

    zone: str
    sign: str
    on: str
    look_at: str
    do: str
    season: Literal["can be saved", "may be saved", "lost", "not in danger"]
    because: str
    sources: list[str]
