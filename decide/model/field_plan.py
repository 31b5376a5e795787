"""What an advice says of the outline of the field and of where its parts lie on it, for its plan."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from decide.model.row import Row


class Box(Row):
    """A rectangle on the field, in percent: of its length, then of its width."""

    along_from: float
    along_to: float
    across_from: float
    across_to: float


class PartDrawn(Row):
    """A part of the field and where it is drawn; no boxes where its name does not tell."""

    zone: str
    boxes: list[Box]


class FieldPlan(Row):
    """The outline of the field and where its parts lie on it."""

    sport: str = Field(description="kind of ground in words; empty where no sport was told")
    shape: Literal["rectangle", "oval"]
    length_m: float | None = Field(description="None where neither told nor known of the sport")
    width_m: float | None
    size: Literal["told", "usual", "unknown"] = Field(
        description="told, the middle of what the rules of the game allow, or not known"
    )
    goals: bool = Field(description="whether goals stand at both ends")
    parts: list[PartDrawn]
