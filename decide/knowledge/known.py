"""What a situation names is what the knowledge has: grasses, mixtures, methods, machines, causes."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from functools import cache
from typing import Any

from decide.knowledge.tables import Knowledge
from decide.model.errors import SituationError, meant
from decide.model.situation import Situation
from decide.model.written import Of, Part


def check_known(knowledge: Knowledge, situation: Situation) -> None:
    """SituationError at the first name that no row of the knowledge has, or that does not fit the row that it
    names.
    """
    for key, word, of in _named("", situation):
        known: Collection[str] = getattr(knowledge, of.table)
        if word not in known:
            raise SituationError(
                f"{key}: {word!r} is not a {of.noun} here",
                where="situation",
                instead=meant(word, known)
                or "Known: " + ", ".join(knowledge.grasses if of.table == "plants" else known),
            )
    for number, row in enumerate(situation.ongoing, 1):
        if row.thickness_mm is not None and knowledge.methods[row.method].made_from != "sod":
            raise SituationError(
                f"ongoing[{number}]: thickness_mm is of sod, and the method is {row.method}",
                where="situation",
                instead="Take it out",
            )


def _named(path: str, held: Any) -> Iterator[tuple[str, str, Of]]:
    """Every name of a row of the knowledge within a part of the situation, with its key."""
    if isinstance(held, list):
        for number, each in enumerate(held, 1):
            yield from _named(f"{path}[{number}]", each)
    elif isinstance(held, Part):
        for key, of in _keys(type(held)):
            inner = getattr(held, key)
            name = f"{path}.{key}" if path else key
            if of is None:
                yield from _named(name, inner)
            elif isinstance(inner, list):
                yield from ((f"{name}[{number}]", word, of) for number, word in enumerate(inner, 1))
            elif inner is not None:
                yield name, inner, of


@cache
def _keys(part: type[Part]) -> tuple[tuple[str, Of | None], ...]:
    """The keys of a table, each with the table of the knowledge that it names."""
    return tuple((key, Of.mark(field)) for key, field in part.model_fields.items())
