"""What some answers move of the facts, so that the others are not measured again."""

from __future__ import annotations

from collections.abc import Container, Iterable
from typing import Any

from decide.facts.declare import Moving, Sheet
from decide.facts.new_grass import COMING, NEW
from decide.facts.offered import ON_OFFER
from decide.facts.start import PLANT, START

# What the light and water of a place make of growth is no fact, and moves those of a start.
_OF_START = "growth-share"


def moving_of(names: Container[str], facts: Iterable[str]) -> Moving:
    """What moves of options where the measurements of some `names` move; `facts` are the names of all
    facts.
    """

    def some(sheet: Sheet[Any]) -> list[Any]:
        return [row for row in sheet.order if row.names[0] in names]

    plant, start, other = some(PLANT), some(START), [*some(NEW), *some(COMING), *some(ON_OFFER)]
    given = {name for row in (*plant, *start, *other) for name in row.names}
    return Moving(
        frozenset(name for name in facts if name in given or name.rpartition(".")[0] in given),
        bool(plant),
        bool(start) or _OF_START in names,
        tuple(other),
    )
