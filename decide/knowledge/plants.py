"""Which grasses, mixtures and methods there are, as the measures name them."""

from __future__ import annotations

from types import MappingProxyType

from decide.knowledge.tables import Knowledge
from decide.measure.numbers import GrowthConstants, Names, constants


def names_of(knowledge: Knowledge) -> Names:
    """The planted grasses of each season, what leads a mixture, whose numbers stand in, and the methods."""
    grasses = knowledge.planted
    return Names(
        tuple(code for code, row in grasses.items() if row.season_type == "cool"),
        tuple(code for code, row in grasses.items() if row.season_type == "warm"),
        MappingProxyType({code: row.stands_as for code, row in knowledge.mixtures.items()}),
        MappingProxyType({code: row.like for code, row in grasses.items() if row.like}),
        tuple(knowledge.methods),
    )


def constants_of(knowledge: Knowledge) -> GrowthConstants:
    """The numbers of the measures; ValueError where one that they cannot do without has no data."""
    return constants(knowledge.value, names_of(knowledge))
