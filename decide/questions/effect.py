"""What changed answers do to the first choices of a finished consultation."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Effect:
    """What changed answers do: give a zone another first choice or another verdict on it, or add a
    caution.

    `ways` is in how many zones something else would be done, `others` in how many the same would be done at
    another time or with another verdict.
    """

    choice: bool = False
    caution: bool = False
    ways: int = 0
    others: int = 0


NOTHING: Final = Effect()
