"""A value as its sources state it, made into the numbers in use."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import get_args

from decide.knowledge.schema import (
    MADE_FROM,
    Says,
    Source,
    Start,
    ValueRow,
)
from decide.knowledge.tables import Statement, Value
from decide.model.climates import CLIMATES
from decide.model.errors import DecideError, KnowledgeError, meant
from decide.model.units import convert, is_unit
from decide.model.work import HERBICIDE_CLASSES
from decide.model.written import MONTHS


def key_families(
    grasses: Iterable[str], mixtures: Iterable[str], methods: Iterable[str]
) -> dict[str, tuple[str, ...]]:
    """The keys that a family of values may have, by what it is by."""
    plants = (*grasses, *mixtures)
    return {
        "grass": plants,
        "method": tuple(methods),
        "grass-start": tuple(f"{plant}/{kind}" for plant in plants for kind in get_args(Start)),
        "climate": CLIMATES,
        "herbicide": HERBICIDE_CLASSES,
        "month": MONTHS,
        "soil": ("sand", "loam", "clay"),
        "made-from": MADE_FROM,
    }


def value_of(
    name: str,
    row: ValueRow,
    where: str,
    subject: str,
    sources: Mapping[str, Source],
    families: Mapping[str, tuple[str, ...]],
    stated: Sequence[str] | None = None,
) -> Value:
    """The value that a row states, in its unit; `stated` names the folder of each statement where a later one
    speaks.

    KnowledgeError where a unit, a key or a source is not known, or not exactly one statement is in use.
    """

    def wrong(text: str, instead: str = "") -> KnowledgeError:
        return KnowledgeError(f"value {name!r}: {text}", where=where, instead=instead)

    if not is_unit(row.unit):
        try:
            convert(1, row.unit, row.unit)
        except DecideError as error:
            raise wrong(error.wrong, error.instead) from None
    if not row.says:
        raise wrong("says nothing", "Write at least one row with its source")
    known = families.get(row.by, ())
    folders = {
        id(said): folder for said, folder in zip(row.says, stated or [""] * len(row.says), strict=True)
    }
    by_key: dict[str, list[Says]] = {}
    for said in row.says:
        if bool(said.key) != bool(row.by):
            raise wrong(
                "a row has a key but the value has no `by`" if said.key else "a row has no key",
                f"The value is by {row.by!r}" if row.by else "Write by = …",
            )
        if known and said.key not in known:
            raise wrong(f"{said.key!r} is not a {row.by}", meant(said.key, known))
        if said.source not in sources:
            raise wrong(f"there is no source {said.source!r}", meant(said.source, sources))
        if problem := _number_missing(said):
            raise wrong(*problem)
        by_key.setdefault(said.key, []).append(said)
    for key in row.no_data:
        if known and key not in known:
            raise wrong(f"no-data names {key!r}, which is not a {row.by}", meant(key, known))
        if key in by_key:
            raise wrong(f"{key!r} has a number and stands under no-data too", "Take it out of one of them")
    statements: list[Statement] = []
    used: dict[str, Statement] = {}
    # A row that borrows takes the number in use, and nobody borrows from a borrower.
    lenders = {
        key: said
        for key, rows in by_key.items()
        for said in rows
        if said.value is not None and (len(rows) == 1 or said.use)
    }
    for key, rows in by_key.items():
        chosen = rows if len(rows) == 1 else [said for said in rows if said.use]
        label = f" for {key!r}" if key else ""
        if len(chosen) != 1:
            raise wrong(
                f"{len(chosen)} of {len(rows)} rows{label} are in use", "Mark exactly one with use = true"
            )
        if len(rows) > 1 and not chosen[0].why and not folders[id(chosen[0])]:
            raise wrong(
                f"the row in use{label} does not say why it was chosen", 'Write why = "…" beside use = true'
            )
        for said in rows:
            lender = lenders.get(said.like) if said.like else None
            if said.like and lender is None:
                raise wrong(f"{said.key!r} is like {said.like!r}, which has no number of its own")
            giver = said if lender is None else lender
            number, unit = float(giver.value or 0) * said.times, giver.unit or row.unit
            try:
                amount = convert(number, unit, row.unit)
            except DecideError as error:
                raise wrong(f"a row{label} is in {unit!r}: {error.wrong}", error.instead) from None
            seen = [each.seen or sources[each.source].seen for each in (said, giver)]
            made = Statement(
                name, key, amount, number, unit, said.source, "memory" if "memory" in seen else seen[0],
                said is chosen[0], said.why, said.note, said.place, said.currency, said.year,
                folders[id(said)], said.like, said.sought,
            )  # fmt: skip
            statements.append(made)
            if made.used:
                used[key] = made
    return Value(name, row.meaning, row.unit, row.by, tuple(statements), used, row.no_data, subject, where)


def _number_missing(said: Says) -> tuple[str, str] | None:
    """What is wrong with the number of a row, and what to write instead."""
    label = f" for {said.key!r}" if said.key else ""
    if (said.value is None) != bool(said.like):
        return (
            f"the row{label} needs a number",
            "Write value = …, or like = the key that lends its own",
        )
    if said.like and said.source != "own-rule":
        return (
            f"{said.key!r} borrows its number, which is our own choice",
            'Write source = "own-rule"',
        )
    if said.value is not None and not math.isfinite(said.value):
        return "holds a number that is not finite", ""
    return None


def check_ranges(values: Mapping[str, Value]) -> None:
    """A range is two values; its low end is not above its high end."""
    for low, high in (("-low", "-high"), ("-early", "-late")):
        for name, value in values.items():
            other = values.get(name.removesuffix(low) + high) if name.endswith(low) else None
            if other is None or other.unit != value.unit:
                continue
            for key, statement in value.used.items():
                top = other.used.get(key)
                if top is not None and statement.amount > top.amount:
                    label = f" for {key!r}" if key else ""
                    raise KnowledgeError(
                        f"value {name!r}{label} ({statement.amount:g}) is above {other.name!r} "
                        f"({top.amount:g})",
                        where=value.where,
                        instead="Write the smaller number at the low end",
                    )
