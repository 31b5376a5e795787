"""What one scene of a story says, before it is numbered."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from decide.lesson.guess import Guess


@dataclass(frozen=True)
class Told:
    """A scene: its question, what is said, what follows, what else it opens to, what may be guessed first."""

    asks: str
    tells: Sequence[str]
    so: str
    more: Sequence[str] = ()
    guess: Guess | None = None
