"""Pairs of situations that differ in one answer, a limit between them: the short form of both sides of it."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any, Final

from pydantic import BaseModel, ConfigDict, Field

from decide.model.errors import KnowledgeError

# The value of an answer that is not told.
UNTOLD: Final = "untold"
_SIDES: Final = "ab"


class Pair(BaseModel):
    """Two situations made of that of the file: what both hold beside it (`with`), the key in which they
    differ, its value in each, and what is signed of each, and why. Keys are written as "field.slope_percent";
    those of a list, as "zone.bare_percent", are of its first part.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    signed: str = Field(min_length=20)
    sources: list[str] = Field(min_length=1)
    also: dict[str, Any] = Field(default_factory=dict, alias="with")
    key: str
    values: list[Any] = Field(min_length=2, max_length=2)
    expect: list[dict[str, Any]] = Field(min_length=2, max_length=2)

    def sides(
        self, situation: Mapping[str, Any], where: str
    ) -> list[tuple[str, dict[str, Any], dict[str, Any]]]:
        """A letter, the situation as it is written and what is signed, for either side."""
        if self.values[0] == self.values[1] or self.expect[0] == self.expect[1]:
            raise KnowledgeError(
                f"a pair on {self.key} holds one thing twice",
                where=where,
                instead="Write two values, and what differs of what is signed",
            )
        found: list[tuple[str, dict[str, Any], dict[str, Any]]] = []
        for side, value, expect in zip(_SIDES, self.values, self.expect, strict=True):
            told = copy.deepcopy(dict(situation))
            for key, held in {**self.also, self.key: value}.items():
                put(told, key, held, where)
            found.append((side, told, expect))
        return found


def put(situation: dict[str, Any], key: str, held: Any, where: str) -> None:
    """Put an answer into a situation as it is written, or take it out where it is untold; KnowledgeError says
    which key is none of a situation.
    """
    *tables, last = key.split(".")
    at: Any = situation
    for name in tables:
        at = at.setdefault(name, {})
        if isinstance(at, list):
            at = at[0] if at else {}
        if not isinstance(at, dict):
            raise KnowledgeError(
                f"{key!r} is no key of a situation",
                where=where,
                instead='Write it as "zone.bare_percent"',
            )
    if held == UNTOLD:
        at.pop(last, None)
    else:
        at[last] = copy.deepcopy(held)
