"""The rows that are read of the program's engine, which makes them only for what somebody reads."""

from __future__ import annotations

from collections.abc import Mapping

from decide.engine.columns import judge
from decide.engine.language import Judged

__all__ = ["every_row", "firings", "judge"]


def firings(judged: Judged) -> int:
    """Reads every firing, as an engine that knows two truth values tells them."""
    return len(tuple(judged.firings))


def every_row(judged: Judged) -> Judged:
    """Reads every firing, every derived fact and all that could fire."""
    derived: Mapping[str, Mapping[str, bool]] = {name: dict(told) for name, told in judged.derived.items()}
    return Judged(tuple(judged.firings), derived, tuple(judged.could))
