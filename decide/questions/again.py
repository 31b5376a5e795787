"""A diagnosis of a situation of which only some answers differ from one that was judged: what reads none of
them is taken over.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from typing import Any, Final

from decide.decision.consultation import Consultation
from decide.decision.diagnosis import SITE, Diagnosis, Layer
from decide.decision.options import LISTED
from decide.decision.rulebook import Rulebook, check_names
from decide.engine.columns import judge as plain_judge
from decide.engine.language import Fact, FactType, Subject
from decide.facts.again import moving_of
from decide.facts.declare import Declarations, Facts, Moving, touches
from decide.facts.declared import DECLARED
from decide.facts.filled import Filled
from decide.facts.sign import PROGRESS
from decide.facts.site import SITE as SITE_SHEET
from decide.facts.site import site_facts_again
from decide.facts.zone import zone_facts_again
from decide.measure.weather import DailyWeather
from decide.model.situation import Situation, Zone
from decide.model.written import coded
from decide.questions.held import Layered, differing

_ALL: Final = Declarations(*DECLARED.sheets, LISTED)
# Answers that the list of options and their starts hang on.
LIST_KEYS: Final = _ALL.moves(["options"])
# Answers that measures of options read; all others bear on options only through facts of site and zone.
OPTION_KEYS: Final = LIST_KEYS | _ALL.moves(name for name in _ALL.by_name if name.startswith("option."))
_LIST: Final = "options"
_PARTS: Final = "zone"


class Grounds:
    """What is kept of the diagnosis of a consultation: measured facts of site and zones, and what the rules
    said of them.
    """

    def __init__(self, c: Consultation) -> None:
        self.c = c
        self.layers = {layer: Layered(c.book.base, layer) for layer in ("site", "zone")}
        self.names = tuple(c.book.base.facts)
        self._moves: dict[frozenset[str], Moves] = {}
        self._moving: dict[frozenset[str], Moving] = {}

    def with_layers(self, layers: Mapping[str, Layered]) -> Grounds:
        """The same with other rules of site and zones."""
        found = copy.copy(self)
        found.layers = dict(layers)
        return found

    def moves(self, keys: frozenset[str]) -> Moves:
        """What answers to some keys move."""
        if keys not in self._moves:
            self._moves[keys] = Moves(self, keys)
        return self._moves[keys]

    def moved_by(self, keys: frozenset[str], facts: frozenset[str]) -> frozenset[str]:
        """The measurements that answers to some keys move, or that are made of some facts."""
        return _ALL.moving(keys, facts | {name.rpartition(".")[0] for name in facts})

    def of_options(self, names: frozenset[str]) -> Moving:
        """What moves of options where some measurements do."""
        if names not in self._moving:
            self._moving[names] = moving_of(names, self.names)
        return self._moving[names]

    @cached_property
    def site(self) -> Facts:
        """The measured facts of the site."""
        derived = self.c.site_layer.derived.get(SITE, {})
        return {name: held for name, held in self.c.site.items() if name not in derived}

    @cached_property
    def zones(self) -> Mapping[str, Facts]:
        """The measured facts of each zone, but for those of what was begun there."""
        begun = PROGRESS.given(self.names)
        return {
            code: {
                name: held
                for name, held in facts.items()
                if name not in begun and name not in self.c.zone_layer.derived.get(code, {})
            }
            for code, facts in self.c.zone_facts.items()
        }

    @cached_property
    def whole(self) -> Mapping[str, Facts]:
        """All facts of the site, and of each zone with its site."""
        c = self.c
        return {SITE: c.site, **{code: {**c.site, **facts} for code, facts in c.zone_facts.items()}}

    @cached_property
    def read(self) -> Mapping[tuple[str, str], tuple[Facts, Mapping[str, bool]]]:
        """What was asked of site and zones in the usual reading, and what was concluded."""
        return _Asked(self.c).asked


class _Asked(Diagnosis):
    """A finished diagnosis that writes down what is asked in its usual reading."""

    def __init__(self, c: Consultation) -> None:
        self.__dict__.update(c.__dict__)
        self.__dict__.pop("usual_facts", None)
        self.asked: dict[tuple[str, str], tuple[Facts, Mapping[str, bool]]] = {}
        assert self.usual_facts is not None

    def _read(self, layer: str, subjects: Mapping[str, Facts]) -> Mapping[str, Mapping[str, bool]]:
        found = super()._read(layer, subjects)
        self.asked.update({(layer, name): (dict(facts), found[name]) for name, facts in subjects.items()})
        return found


class Moves:
    """What answers to some keys move: declared measurements, what is told, and the facts of site and zones
    that both give.
    """

    def __init__(self, grounds: Grounds, keys: frozenset[str]) -> None:
        self.keys = keys
        self.names = _ALL.moving(keys)
        types = grounds.c.book.base.facts
        told = [
            kind
            for kind in types.values()
            if kind.told and (kind.told in self.names or any(touches((kind.told,), key) for key in keys))
        ]
        self.told: Mapping[str, tuple[FactType, ...]] = {
            scope: tuple(kind for kind in told if kind.scope == scope) for scope in ("site", "zone")
        }
        again = {kind.name for kind in told}
        self.facts = frozenset(
            name
            for name in types
            if name in again or name in self.names or name.rpartition(".")[0] in self.names
        )

    def touch(self, keys: Iterable[str]) -> bool:
        """Whether one of some keys, or tables of keys, is among those that differ."""
        return any(touches(keys, key) for key in self.keys)

    @property
    def relists(self) -> bool:
        """Whether the list of options may be another."""
        return _LIST in self.names

    def kept(self, facts: Mapping[str, Fact]) -> Facts:
        """The facts that stand."""
        return {name: held for name, held in facts.items() if name not in self.facts}


class Again(Diagnosis):
    """The diagnosis of a situation that has the zones of another and differs from it in some keys alone."""

    def __init__(self, grounds: Grounds, book: Rulebook, filled: Filled, moves: Moves) -> None:
        self._grounds, self._moves = grounds, moves
        super().__init__(book, filled, grounds.c.system, frozenset())
        mine = SITE_SHEET.given(grounds.names)
        self.measures.measured_site = {name: held for name, held in self.site.items() if name in mine}

    def measured_site(self) -> Facts:
        moves = self._moves
        return site_facts_again(self.filled, moves.told["site"], moves.kept(self._grounds.site), moves.names)

    def measured_zone(self, zone: Zone) -> Facts:
        moves, kept = self._moves, self._moves.kept(self._grounds.zones[coded(zone.name)])
        return zone_facts_again(self.filled, zone, self.types, moves.told["zone"], kept, moves.names)

    def judge(self, layer: str, subjects: Sequence[Subject]) -> Layer:
        if layer not in self._grounds.layers:
            return super().judge(layer, subjects)
        before = self._grounds.c.site_layer if layer == "site" else self._grounds.c.zone_layer
        found = Layer()
        for subject in subjects:
            self._judge(self._grounds.layers[layer], before, subject, found)
        return found

    def _judge(self, layer: Layered, before: Layer, subject: Subject, found: Layer) -> None:
        """Put in what the rules of a layer say of one subject."""
        name = subject.name
        fired, could, derived = (
            before.fired.get(name, []), before.could.get(name, []), before.derived.get(name, {}),
        )  # fmt: skip
        moved = differing(self._grounds.whole[name], subject.facts) - derived.keys()
        touched = layer.touched(layer.reads & moved)
        if touched.ids:
            judged = plain_judge(
                touched.base, layer.layer, [Subject(name, touched.read(derived, subject.facts))]
            )
            rules, places = self.book.rules, layer.places
            fired = [row for row in fired if row[0].id not in touched.ids]
            fired += [(rules[each.rule], each) for each in judged.firings]
            could = [row for row in could if row[0].id not in touched.ids]
            could += [(rules[each.rule], each) for each in judged.could]
            fired.sort(key=lambda row: places[row[0].id])
            could.sort(key=lambda row: places[row[0].id])
            derived = {
                **{each: held for each, held in derived.items() if each not in touched.targets},
                **judged.derived[name],
            }
        if fired:
            found.fired[name] = fired
        if could:
            found.could[name] = could
        found.derived[name] = derived

    def _read(self, layer: str, subjects: Mapping[str, Facts]) -> Mapping[str, Mapping[str, bool]]:
        return {name: self._read_again(layer, name, facts) for name, facts in subjects.items()}

    def _read_again(self, layer: str, name: str, facts: Facts) -> Mapping[str, bool]:
        held = self._grounds.layers[layer]
        before, derived = self._grounds.read[layer, name]
        touched = held.touched(held.reads & differing(before, facts))
        if not touched.ids:
            return derived
        judged = plain_judge(touched.base, layer, [Subject(name, touched.read(derived, facts))])
        return {
            **{each: found for each, found in derived.items() if each not in touched.targets},
            **judged.derived[name],
        }


def changed_keys(one: Situation, two: Situation) -> frozenset[str]:
    """The keys in which two situations with the same parts differ, each with its table; the whole table
    where it is a list.
    """
    found: set[str] = set()
    for table in Situation.model_fields:
        mine, theirs = getattr(one, table), getattr(two, table)
        if mine == theirs:
            continue
        pairs: Iterable[tuple[Any, Any]] = ((mine, theirs),)
        if table == _PARTS:
            pairs = zip(mine, theirs, strict=True)
        elif not hasattr(type(mine), "model_fields"):
            found.add(table)
            continue
        for a, b in pairs:
            found |= {f"{table}.{key}" for key in type(a).model_fields if getattr(a, key) != getattr(b, key)}
    return frozenset(found)


def values_at(situation: Situation, keys: Iterable[str]) -> list[tuple[str, list[Any]]]:
    """What a situation holds at some keys, of a key of zones in each."""
    found: list[tuple[str, list[Any]]] = []
    for key in sorted(keys):
        table, _, inner = key.partition(".")
        held = getattr(situation, table)
        rows = held if inner and isinstance(held, list) else [held]
        found.append((key, [getattr(each, inner) for each in rows] if inner else rows))
    return found


def diagnosed_again(
    grounds: Grounds, book: Rulebook, situation: Situation, weather: DailyWeather | None, moves: Moves
) -> Again:
    """The diagnosis of a situation with some answers changed; SituationError where it cannot be read."""
    filled = book.fill(situation, weather)
    check_names(filled)
    return Again(grounds, book, filled, moves)
