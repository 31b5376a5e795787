"""Measured facts, each a function declared with all that it reads, and measured in the order in which they
can be.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from graphlib import TopologicalSorter
from operator import attrgetter
from typing import Any, Generic, Protocol, TypeVar

from decide.engine.language import Fact, rounded
from decide.model.written import coded

Facts = dict[str, Fact]


class Subject(Protocol):
    """What facts are measured of; `facts` holds those that are measured already."""

    @property
    def facts(self) -> Facts: ...


S = TypeVar("S", bound=Subject)
Made = TypeVar("Made", bound=Callable[..., Any])


def as_fact(value: Any) -> Fact | None:
    """A value of the situation as rules see it; None where it is unknown."""
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, (int, float)):
        return rounded(float(value))
    if isinstance(value, str):
        return coded(value)
    return None


def put(facts: Facts, name: str, value: Any) -> None:
    """Add a fact unless it is unknown."""
    fact = as_fact(value)
    if fact is not None:
        facts[name] = fact


@dataclass(frozen=True)
class Declared:
    """One measurement: the facts that it gives, as they are declared in the knowledge, and all that it reads.

    `keys` are keys of the situation whose answers bring it, or what completes them (season, areas, today …);
    those of `also` only move it. `facts` are other facts, or quantities; `values` are values of the
    knowledge. A quantity is what several facts are made of, and no fact itself. `of` names all that a
    measurement reads of its subject itself, and its facts follow from: subjects that are alike in it are
    measured once; where it is empty, each is.
    """

    names: tuple[str, ...]
    measure: Callable[..., Any]
    keys: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    facts: tuple[str, ...] = ()
    values: tuple[str, ...] = ()
    quantity: bool = False
    of: tuple[str, ...] = ()

    def put(self, subject: Subject) -> None:
        """Measure, and add what is known. A mapping holds the members of one fact, a tuple one value for each
        name.
        """
        self._write(self.measure(subject), subject.facts)

    def put_all(self, groups: Iterable[tuple[Subject, Sequence[Facts]]]) -> None:
        """Measure the first of each group, and add what is known to the facts of all."""
        for first, alike in groups:
            found: Facts = {}
            self._write(self.measure(first), found)
            if found:
                for facts in alike:
                    facts.update(found)

    def _write(self, found: Any, facts: Facts) -> None:
        if found is None:
            return
        if isinstance(found, Mapping):
            for member, value in found.items():
                put(facts, f"{self.names[0]}.{member}", value)
        elif isinstance(found, tuple):
            for name, value in zip(self.names, found, strict=True):
                put(facts, name, value)
        else:
            put(facts, self.names[0], found)


class Sheet(Generic[S]):
    """The declared facts of one kind of subject."""

    def __init__(self) -> None:
        self.rows: list[Declared] = []

    def fact(
        self, *names: str, keys: Iterable[str] = (), also: Iterable[str] = (), facts: Iterable[str] = (),
        values: Iterable[str] = (), of: Iterable[str] = (),
    ) -> Callable[[Callable[[S], Any]], Callable[[S], Any]]:  # fmt: skip
        """Declare what measures one fact, or several that are one measurement."""

        def declared(measure: Callable[[S], Any]) -> Callable[[S], Any]:
            row = Declared(
                names, measure, tuple(keys), tuple(also), tuple(facts), tuple(values), of=tuple(of)
            )
            self.rows.append(row)
            return measure

        return declared

    def quantity(
        self, *names: str, keys: Iterable[str] = (), also: Iterable[str] = (), facts: Iterable[str] = (),
        values: Iterable[str] = (),
    ) -> Callable[[Made], Made]:  # fmt: skip
        """Declare what other facts are made of."""

        def declared(measure: Made) -> Made:
            row = Declared(
                names, measure, tuple(keys), tuple(also), tuple(facts), tuple(values), quantity=True
            )
            self.rows.append(row)
            return measure

        return declared

    @cached_property
    def order(self) -> tuple[Declared, ...]:
        """The facts, each after those that it reads."""
        givers = {name: row for row in self.rows for name in row.names if not row.quantity}
        sorter = TopologicalSorter[Declared]()
        for row in self.rows:
            if not row.quantity:
                sorter.add(row, *(givers[name] for name in row.facts if name in givers))
        return tuple(sorter.static_order())

    def measure(self, subject: S) -> None:
        """Add to the subject's facts all that can be measured of it."""
        for row in self.order:
            row.put(subject)

    def measure_all(self, subjects: Sequence[S]) -> None:
        """Add to the facts of many subjects all that can be measured of them, what is alike only once."""
        measure_rows(self.order, subjects)

    def measure_again(self, subject: S, moving: Container[str]) -> None:
        """Add to the subject's facts those that are among some; it holds the others already."""
        for row in self.order:
            if row.names[0] in moving:
                row.put(subject)

    def given(self, names: Iterable[str]) -> frozenset[str]:
        """Of some names those that are facts of this sheet."""
        mine = {name for row in self.order for name in row.names}
        return frozenset(name for name in names if name in mine or name.rpartition(".")[0] in mine)


def measure_rows(rows: Iterable[Declared], subjects: Sequence[S]) -> None:
    """Add some measurements, in their order, to the facts of many subjects, what is alike only once."""
    groups: dict[tuple[str, ...], list[tuple[S, list[Facts]]]] = {}
    for row in rows:
        if not row.of:
            for subject in subjects:
                row.put(subject)
            continue
        if row.of not in groups:
            groups[row.of] = _alike(subjects, row.of)
        row.put_all(groups[row.of])


def _alike(subjects: Sequence[S], of: tuple[str, ...]) -> list[tuple[S, list[Facts]]]:
    """The subjects by some of their attributes: of each group the first, and the facts of all."""
    key = attrgetter(*of)
    groups: dict[Any, tuple[S, list[Facts]]] = {}
    for subject in subjects:
        group = groups.get(at := key(subject))
        if group is None:
            groups[at] = subject, [subject.facts]
        else:
            group[1].append(subject.facts)
    return list(groups.values())


@dataclass(frozen=True)
class Moving:
    """What some answers move of options: all names of the `facts`, whether such of a grass and method or of a
    grass and start are among them, and the other measurements that give them, in order.
    """

    facts: frozenset[str]
    of_plant: bool
    of_start: bool
    rows: tuple[Declared, ...]


class Declarations:
    """All declarations together, and what follows from them."""

    def __init__(self, *sheets: Sheet[Any]) -> None:
        self.sheets = sheets
        self.rows = tuple(row for sheet in sheets for row in sheet.rows)
        self.by_name: Mapping[str, Declared] = {name: row for row in self.rows for name in row.names}

    @cached_property
    def values(self) -> frozenset[str]:
        """The values that some measurement reads."""
        return frozenset(value for row in self.rows for value in row.values)

    def moves(self, names: Iterable[str]) -> frozenset[str]:
        """The keys whose answers move some facts, by whatever way; "place" stands for all keys of the
        place.
        """
        return self._keys(names, lambda row: (*row.keys, *row.also))

    def brings(self, name: str) -> frozenset[str]:
        """The keys whose answers can bring a fact that is unknown."""
        return self._keys([name], lambda row: row.keys)

    def _keys(self, names: Iterable[str], read: Callable[[Declared], tuple[str, ...]]) -> frozenset[str]:
        todo, seen, found = list(names), set[str](), set[str]()
        while todo:
            row = self.by_name.get(todo.pop())
            if row is not None and row.names[0] not in seen:
                seen.add(row.names[0])
                todo += [*row.facts, *read(row)]
                found |= {key for key in read(row) if "." in key or key not in self.by_name}
        return frozenset(found)

    @cached_property
    def _read_by(self) -> Mapping[str, tuple[Declared, ...]]:
        """The measurements that read a key, a table of keys or a fact."""
        found: dict[str, list[Declared]] = {}
        for row in self.rows:
            for name in {*row.keys, *row.also, *row.facts}:
                found.setdefault(name, []).append(row)
        return {name: tuple(rows) for name, rows in found.items()}

    def moving(self, keys: Iterable[str], facts: Iterable[str] = ()) -> frozenset[str]:
        """The facts and quantities that answers to some keys move, or that are made of some facts; the other
        way round it is `moves`.
        """
        todo, found = list(facts), set[str]()
        for key in keys:
            table, dot, _ = key.partition(".")
            inside = () if dot else (each for each in self._read_by if each.startswith(f"{key}."))
            todo += (key, table, *inside)
        seen = set(todo)
        while todo:
            for row in self._read_by.get(todo.pop(), ()):
                found.update(row.names)
                todo += (name for name in row.names if name not in seen)
                seen.update(row.names)
        return frozenset(found)

    def moved_by(self, key: str) -> frozenset[str]:
        """The facts that an answer moves."""
        names = (name for row in self.rows if not row.quantity for name in row.names)
        return frozenset(name for name in names if touches(self.moves([name]), key))


def touches(keys: Iterable[str], key: str) -> bool:
    """Whether a key of the situation is among some, or in a table among them, or a table with one of them."""
    table, dot, _ = key.partition(".")
    held = {each if dot else each.partition(".")[0] for each in keys}
    return not {key, table}.isdisjoint(held)
