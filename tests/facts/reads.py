"""What a measurement really reads: situation, values and facts wrapped so that each read is written down."""

from __future__ import annotations

import dataclasses
import functools
import types
from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import BaseModel

from decide.cases.signed import Case
from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.facts import new_grass, offered, option, sign, site, start, step, zone
from decide.facts.declare import Declarations, Declared
from decide.facts.declared import table_values
from decide.facts.draft import Draft
from decide.facts.filled import Filled

Reads = set[tuple[str, str]]
# Rows of the situation that are read as a whole.
ROWS = ("offer", "proposal", "seen")
# Parts of them that have a key of their own.
PARTS = ("offer.grown_on",)
SHARE = "growth-share"
COMPLETED = ("season", "country", "region", "hemisphere", "latitude", "areas", "assumed_areas", "today")


class Table:
    """A table of the situation that writes down which of its keys are read."""

    def __init__(self, held: Any, path: str, reads: Reads) -> None:
        self._held, self._path, self._reads = held, path, reads

    def __getattr__(self, name: str) -> Any:
        value = getattr(self._held, name)
        if not self._path:
            if isinstance(value, BaseModel):
                return Table(value, name, self._reads)
            if name == "zone":
                self._reads.add(("key", "zone.name"))
                return self._rows
            if name == "offer":
                self._reads.add(("key", "offer"))
                return None if value is None else [Table(row, "offer", self._reads) for row in value]
            self._reads.add(("key", name))
            return value
        key = f"{self._path}.{name}"
        self._reads.add(("key", self._path if self._path in ROWS and key not in PARTS else key))
        return value

    @functools.cached_property
    def _rows(self) -> list[Table]:
        return [Table(row, "zone", self._reads) for row in self._held.zone]


class Numbers:
    """The library, which writes down the values that are asked for."""

    def __init__(self, library: Any, reads: Reads) -> None:
        self._library, self._reads = library, reads

    def number(self, name: str, key: str = "") -> Any:
        self._reads.add(("value", name))
        return self._library.number(name, key)

    def statement(self, name: str, key: str = "") -> Any:
        self._reads.add(("value", name))
        return self._library.statement(name, key)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._library, name)


class Whole:
    """A filled situation that writes down what is read of it; its methods run on it itself, so that theirs are too."""

    def __init__(self, filled: Filled, reads: Reads) -> None:
        self._filled, self._reads = filled, reads
        self.situation = Table(filled.situation, "", reads)
        self.library, self.now = Numbers(filled.library, reads), Table(filled.now, "now", reads)
        self.measured: dict[Any, Any] = {}
        self.prices: dict[Any, Any] = {}

    def __getattr__(self, name: str) -> Any:
        if name in COMPLETED:
            self._reads.add(("key", name))
            return getattr(self._filled, name)
        own = getattr(Filled, name)
        if isinstance(own, property):
            return own.fget(self)  # type: ignore[misc]
        if isinstance(own, functools.cached_property):
            return own.func(self)
        return types.MethodType(own, self)


class Known(dict[str, Any]):
    """Facts that write down which of them are read, by the name with which they are declared."""

    def __init__(self, held: Mapping[str, Any], reads: Reads, declared: Declarations) -> None:
        super().__init__(held)
        self._reads, self._declared = reads, declared

    def _read(self, name: str) -> None:
        whole = name if name in self._declared.by_name else name.rpartition(".")[0]
        self._reads.add(("fact", whole if whole in self._declared.by_name else name))

    def get(self, name: str, other: Any = None) -> Any:
        self._read(name)
        return super().get(name, other)

    def __getitem__(self, name: str) -> Any:
        self._read(name)
        return super().__getitem__(name)

    def __contains__(self, name: object) -> bool:
        self._read(str(name))
        return super().__contains__(name)


def _subjects(c: Consultation, reads: Reads, d: Declarations) -> Iterator[tuple[Any, Any]]:
    """Each kind of subject of a consultation with its sheet, made of what writes reads down; some options stand for all."""
    filled: Any = Whole(c.filled, reads)
    known = functools.partial(Known, reads=reads, declared=d)
    whole = known(c.site)
    yield site.SITE, lambda: site.Here(filled, whole)
    measures = option.Measures(c.filled)
    for code in c.zones:
        facts = known(c.zone_facts[code])
        row = next(
            t
            for t, z in zip(filled.situation.zone, c.filled.situation.zone, strict=True)
            if c.zones[code] is z
        )
        yield zone.ZONE, functools.partial(zone.Here, filled, row, c.types, facts)
        seen = [
            (s, c.sign_layer.derived.get(s.code, {})) for s in c.signs if s.zone == code and s.mended is None
        ]
        told: list[Any] = [(Table(s, "seen", reads), known(derived)) for s, derived in seen]
        yield sign.PROGRESS, functools.partial(sign.Progress, filled, code, told, measures, facts)
    for s in c.signs:
        seen_: Any = Table(s, "seen", reads)
        yield sign.SIGN, functools.partial(sign.Here, filled, seen_, measures)
    new = [draft for draft in c.drafts if draft.new_grass]
    kinds: dict[tuple[str, str, str], Draft] = {}
    for draft in new:
        kinds.setdefault((draft.remedy, draft.method, draft.variant), draft)
    for draft in kinds.values():
        held = c.weighed[draft.code].facts
        own = known({name: held[name] for name in held if name.startswith("option.")})
        yield start.PLANT, functools.partial(start.Plant, filled, draft.plant, draft.method, own)
        if draft.start is not None:
            season = str(held["option.season-type"])

            def begun(draft: Draft = draft, season: str = season, own: Any = own) -> Any:
                assert draft.start is not None
                share = start.growth_share(filled, draft.key, draft.start, draft.zone)
                return start.Start(filled, draft.key, draft.start, draft.variant, season, share, own)

            yield start.START, begun
        spied = option.Measures(c.filled)
        spied.filled = filled
        here = functools.partial(
            new_grass.Here, filled, draft, spied, whole, known(c.zone_facts[draft.zone]), own
        )
        yield new_grass.NEW, here
        if draft.remedy == "establish":
            yield new_grass.COMING, here
            yield offered.ON_OFFER, here
    for judged in c.steps:
        facts = known(judged.facts)
        row_: Any = Table(judged.proposal, "proposal", reads)
        draft_ = judged.option.draft if judged.option else None
        yield (
            step.STEP,
            functools.partial(
                step.Here, filled, row_, c.types, known(c.zone_facts[judged.zone]), draft_, facts, facts
            ),
        )


def reads_of(adviser: Adviser, case: Case, declared: Declarations) -> dict[tuple[str, ...], Reads]:
    """All that each measured fact reads on a case, by the names that its measurement gives."""
    c = adviser.consult(case.situation)
    reads: Reads = set()
    found: dict[tuple[str, ...], Reads] = {}
    for sheet, make in _subjects(c, reads, declared):
        for row in sheet.order:
            reads.clear()
            here = dataclasses.replace(make())
            if sheet is start.START:
                found.setdefault((SHARE,), set()).update(reads)
            reads.clear()
            row.measure(here)
            # It is measured before, with its start.
            reads |= {("fact", SHARE)} if SHARE in row.facts else set()
            reads -= {("value", name) for name in table_values(adviser.knowledge)}
            found.setdefault(row.names, set()).update(reads)
    return found


def leaves(declared: Declarations, row: Declared) -> Reads:
    """All that a measurement says it reads; of a quantity, all that this reads."""
    found = {("key", key) for key in (*row.keys, *row.also)} | {("value", value) for value in row.values}
    for name in row.facts:
        other = declared.by_name.get(name)
        found |= (
            leaves(declared, other)
            if other is not None and other.quantity and name != SHARE
            else {("fact", name)}
        )
    return found


def undeclared(declared: Declarations, row: Declared, reads: Reads) -> Reads:
    """What is read and not declared. The steps of a proposal, and rows of the record, are what a subject itself is."""
    return reads - leaves(declared, row)
