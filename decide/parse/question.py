"""A question as the talk asks it, with the answers that it offers."""

from __future__ import annotations

from dataclasses import dataclass, replace

from decide.parse.results import AnswerChoice


@dataclass(frozen=True)
class Question:
    """A question as the talk asks it; `more` are choices that are understood but not listed; `zone` is its
    part of the field.

    `part` is set for what the talk asks about one row of a list: the row's number and the key in that row.
    """

    key: str
    id: str
    ask: str
    why: str
    kind: str
    choices: tuple[AnswerChoice, ...] = ()
    more: tuple[AnswerChoice, ...] = ()
    unit: str = ""
    help: str = ""
    always: bool = False
    details: bool = False
    zone: str | None = None
    part: tuple[int, str] | None = None

    def at(self, zone: str | None) -> Question:
        """The same question about one zone."""
        return replace(self, zone=zone)
