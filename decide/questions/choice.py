"""What a zone is told first, and which cautions come with it: what trials compare."""

from __future__ import annotations

from decide.decision.diagnosis import Layer
from decide.decision.programme import Chosen
from decide.decision.rank import (
    Weighed,
)

Choice = tuple[tuple[str, str] | None, ...]


def choice_of(chosen: Chosen) -> Choice:
    """What a zone is told first, as codes with their verdicts: the stopgap, the option, the least bad."""
    return tuple(
        None if w is None else (w.draft.code, w.verdict)
        for w in (chosen.stopgap, chosen.option, chosen.least_bad)
    )


def ways_of(chosen: Chosen) -> tuple[tuple[str, str, str] | None, ...]:
    """What is done first in a zone, whenever it begins and however sound it is: remedy, method and plant."""
    return tuple(
        None if w is None else (w.draft.remedy, w.draft.method or "", w.draft.plant or "")
        for w in (chosen.stopgap, chosen.option, chosen.least_bad)
    )


def own_cautions(w: Weighed) -> set[str]:
    return {rule.then.target for rule, _ in w.firings if rule.then.act == "caution"}


def cautions_of(layer: Layer) -> set[str]:
    return {
        rule.then.target for rows in layer.fired.values() for rule, _ in rows if rule.then.act == "caution"
    }
