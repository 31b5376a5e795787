"""What is wrong with the ground of a zone, and what lives in its turf."""

from __future__ import annotations

from pydantic import Field

from decide.model.row import Row


class CauseFound(Row):
    """A cause of bare ground in a zone."""

    code: str
    zone: str
    text: str
    sure: bool = Field(description="false where an exception to it is still unknown")
    look_at: str
    bare_again_unless: str
    rules: list[str]
    sources: list[str]


class Ailment(Row):
    """What lives in the turf of a zone, as it was told: how to be sure of it, why it is here, what to do,
    when to leave it, and what a treatment is worth.
    """

    code: str
    zone: str
    name: str
    tell: str
    why: str
    do: str
    leave: str = ""
    treat: str = Field(default="", description="what rules say of pesticides here, where they bar them")
    sources: list[str]
