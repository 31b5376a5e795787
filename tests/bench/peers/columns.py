"""The columnar engine of the program, where this copy has one: an engine that makes rows only for what somebody reads."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from importlib import import_module
from importlib.util import find_spec

from decide.engine.base import RuleBase
from decide.engine.language import Judged, Subject

judge: Callable[[RuleBase, str, Sequence[Subject]], Judged] | None = (
    import_module("decide.engine.columns").judge if find_spec("decide.engine.columns") is not None else None
)


def firings(judged: Judged) -> int:
    """Reads every firing, as an engine that knows two truth values tells them."""
    return len(tuple(judged.firings))


def every_row(judged: Judged) -> Judged:
    """Reads every firing, every derived fact and all that could fire."""
    derived: Mapping[str, Mapping[str, bool]] = {name: dict(told) for name, told in judged.derived.items()}
    return Judged(tuple(judged.firings), derived, tuple(judged.could))
