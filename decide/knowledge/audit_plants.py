"""Grasses and mixtures can be chosen and asked for: some start has figures until play, and each name means
one of them alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from decide.knowledge.logic import Found
from decide.knowledge.schema import Grass, Mixture
from decide.knowledge.tables import Knowledge
from decide.model.errors import KnowledgeError
from decide.model.written import coded

# The stages without which a grass is never ready, and what they are called.
_STAGES: Final[Mapping[str, str]] = {"light-use": "light use", "full-play": "full play"}


def check_ready(k: Knowledge) -> Found:
    """Every grass that is planted has a start with figures for both stages, or says that there are none."""
    for code, grass in k.grasses.items():
        if not grass.made_by:
            continue
        # Thick sod is measured by the figures of thin sod.
        starts = sorted({k.methods[name].start.replace("thick-", "") for name in grass.made_by})
        bare = {start: list(_bare(k, f"{code}/{start}")) for start in starts}
        if not all(bare.values()):
            continue
        # The start that lacks least is the nearest to being of use.
        start = min(starts, key=lambda name: len(bare[name]))
        names = [f"weeks-{stage}-{end}" for stage in bare[start] for end in ("early", "late")]
        yield KnowledgeError(
            f"grass {code}: no figure for {' or '.join(_STAGES[stage] for stage in bare[start])} from "
            f"{start}: it will never be chosen",
            where=k.where.get(("grasses", code), ""),
            instead=f"Write {', '.join(names[:-1])} and {names[-1]} with the key '{code}/{start}', "
            "or put it under no-data",
        )


def _bare(k: Knowledge, key: str) -> Iterator[str]:
    """The stages for which a grass and start has no figure, and nobody says that there is none."""
    for stage in _STAGES:
        values = [k.values.get(f"heat-{stage}-middle"), k.values.get(f"weeks-{stage}-early")]
        there = [value for value in values if value is not None]
        if there and not any(key in value.used or key in value.no_data for value in there):
            yield stage


def check_names(k: Knowledge) -> Found:
    """No name of a grass or mixture is a name of another too."""
    plants: Iterator[tuple[str, str, Grass | Mixture]] = (
        (table, code, row)
        for table, rows in (("grasses", k.grasses), ("mixtures", k.mixtures))
        for code, row in rows.items()
    )
    for table, code, row in plants:
        for name in (row.name, *row.also):
            if (meant := k.plants[coded(name)]) != code:
                yield KnowledgeError(
                    f"{code}: {name!r} already means {meant}",
                    where=k.where.get((table, code), ""),
                    instead="Take another name",
                )
