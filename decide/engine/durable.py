"""Forward chaining with the C rules engine of durable-rules, fenced so that none of its traps can be
reached.
"""

from __future__ import annotations

import importlib
import json
import math
import threading
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from itertools import product
from typing import Any, Final

from decide.engine.base import RuleBase
from decide.engine.language import PLACES, Condition, Fact, FactType, Firing, Judged, Rule, Subject
from decide.model.errors import EngineError

# A fact that satisfies more than 64 tests below one node makes the engine drop firings.
NAME: Final = "durable-rules"
MOST_RULES: Final = 60
# The engine drops facts of 255 or more properties; three are our own (sid, id, n).
MOST_PROPERTIES: Final = 200
MOST_SUBJECTS: Final = 2_000
MOST_ALTERNATIVES: Final = 240
LARGEST: Final = 1e9
LONGEST: Final = 200
# How many firings of one rule the engine hands over at once.
_AT_ONCE: Final = 1_000

_ORDER: Final[Mapping[str, str]] = {"<": "$lt", "<=": "$lte", ">": "$gt", ">=": "$gte"}
_REVERSE: Final[Mapping[str, str]] = {"<": "$gte", "<=": "$gt", ">": "$lte", ">=": "$lt"}
_CATCH_ALL: Final = "all"
_ONE: Final = 10**PLACES


def _load() -> Any:
    try:
        return importlib.import_module("durable_rules_engine")
    except ImportError:
        raise EngineError(
            "the rules engine durable-rules is not installed here",
            instead="Install it with pip install '.[engine]', or use the plain engine",
        ) from None


def available() -> bool:
    """Whether the engine can be imported here; a finished install does not prove it."""
    try:
        _load()
    except EngineError:
        return False
    return True


@dataclass(frozen=True, slots=True)
class _Property:
    """What one property of an engine fact holds: a fact, or the entry of `table` that the fact `name` points
    at.
    """

    name: str
    table: tuple[tuple[str, float], ...] | None = None


@dataclass(frozen=True, slots=True)
class _Test:
    """One test of the engine: `left` against a level, a scaled number or a property; no term asks for
    existence.
    """

    left: _Property
    op: str
    term: str | int | _Property | None = None


@dataclass(frozen=True, slots=True)
class _Line:
    """One engine rule: all `tests` hold. `part` says what of rule number `rule` it settles.

    Parts: "when"; the number of an exception; "not", where the tests refute the rule.
    """

    rule: int
    part: str | int
    tests: tuple[_Test, ...]


def _scaled(number: float) -> int:
    return round(number * _ONE)


def _exists(left: _Property) -> _Test:
    return _Test(left, "$ex")


def _ordering(condition: Condition, op: str) -> tuple[_Test, ...]:
    left = _Property(condition.fact)
    if condition.index:
        bound = _Property(condition.index, tuple(sorted(condition.table.items())))
        return (_exists(bound), _exists(left), _Test(left, op, bound))
    assert condition.number is not None
    return (_exists(left), _Test(left, op, _scaled(condition.number)))


def _levels(condition: Condition) -> tuple[str, ...]:
    return condition.levels or (_encoded_truth(True),)


def _encoded_truth(value: bool) -> str:
    return "true" if value else "false"


def _ways(condition: Condition) -> list[tuple[_Test, ...]]:
    """The groups of tests of which one must hold for `condition` to be true."""
    left = _Property(condition.fact)
    if condition.op in _ORDER:
        return [_ordering(condition, _ORDER[condition.op])]
    if condition.op == "is not":
        return [(_exists(left), *(_Test(left, "$neq", level) for level in _levels(condition)))]
    return [(_Test(left, "$eq", level),) for level in _levels(condition)]


def _ways_not(condition: Condition) -> list[tuple[_Test, ...]]:
    """The groups of tests of which one must hold for `condition` to be false (and not merely unknown)."""
    left = _Property(condition.fact)
    if condition.op in _REVERSE:
        ways = [_ordering(condition, _REVERSE[condition.op])]
        if condition.table:
            # Beyond every limit of the family it is false whatever the key is.
            limit = (min if condition.op in (">", ">=") else max)(condition.table.values())
            ways.append((_exists(left), _Test(left, _REVERSE[condition.op], _scaled(limit))))
        return ways
    if condition.op == "is not":
        return [(_Test(left, "$eq", level),) for level in _levels(condition)]
    return [(_exists(left), *(_Test(left, "$neq", level) for level in _levels(condition)))]


def _conjunctions(rule: Rule, conditions: Sequence[Condition]) -> Iterator[tuple[_Test, ...]]:
    ways = [_ways(condition) for condition in conditions]
    count = math.prod(len(way) for way in ways)
    if count > MOST_ALTERNATIVES:
        raise EngineError(
            f"rule {rule.id!r} splits into {count} rules without `in`, more than {MOST_ALTERNATIVES}",
            where=rule.where,
            instead="Derive a fact from one of its `in` conditions",
        )
    for way in product(*ways):
        yield tuple(test for group in way for test in group)


def _lines(number: int, rule: Rule, refute: bool) -> Iterator[_Line]:
    for tests in _conjunctions(rule, rule.when):
        yield _Line(number, "when", tests)
    for place, exception in enumerate(rule.unless):
        for tests in _conjunctions(rule, exception.when):
            yield _Line(number, place, tests)
    if refute:
        for condition in rule.when:
            for tests in _ways_not(condition):
                yield _Line(number, "not", tests)


def _definition(tests: Sequence[_Test], names: Mapping[_Property, str]) -> dict[str, Any]:
    def one(test: _Test) -> dict[str, Any]:
        left = names[test.left]
        if test.term is None:
            return {test.op: {left: 1}}
        term = {"$m": names[test.term]} if isinstance(test.term, _Property) else test.term
        return {left: term} if test.op == "$eq" else {test.op: {left: term}}

    terms = [one(test) for test in tests]
    return {"all": [{"m": terms[0] if len(terms) == 1 else {"$and": terms}}], "cap": _AT_ONCE}


def _properties(tests: Sequence[_Test]) -> Iterator[_Property]:
    for test in tests:
        yield test.left
        if isinstance(test.term, _Property):
            yield test.term


class _Ruleset:
    """One ruleset inside the C engine, and the dispatcher that runs it on a batch of subjects."""

    def __init__(self, engine: Any, name: str, lines: Sequence[_Line]) -> None:
        names: dict[_Property, str] = {}
        for line in lines:
            for each in _properties(line.tests):
                names.setdefault(each, f"p{len(names)}")
        if len(lines) > MOST_RULES or len(names) > MOST_PROPERTIES:
            raise EngineError(
                f"a ruleset of {len(lines)} rules and {len(names)} properties is beyond the engine",
                instead=f"At most {MOST_RULES} rules and {MOST_PROPERTIES} properties",
            )
        rules = {_CATCH_ALL: {"all": [{"m": {"$ex": {"n": 1}}}], "cap": _AT_ONCE}}
        rules |= {f"r{place}": _definition(line.tests, names) for place, line in enumerate(lines)}
        self._engine = engine
        self._lines = tuple(lines)
        plain = [each for each in names if each.table is None]
        tables = [(each, each.table) for each in names if each.table is not None]
        self._plain = tuple(each.name for each in plain)
        self._tables: tuple[tuple[str, Mapping[str | int | None, int]], ...] = tuple(
            (each.name, {key: _scaled(number) for key, number in table}) for each, table in tables
        )
        self._names = tuple(names[each] for each in (*plain, *(each for each, _ in tables)))
        self._sessions = 0
        self._busy = False
        self._handle: int | None = engine.create_ruleset(name, json.dumps(rules))

    @property
    def facts(self) -> Iterator[str]:
        """The facts that the rules read, keys of values among them."""
        yield from self._plain
        yield from (fact for fact, _ in self._tables)

    def close(self) -> None:
        handle, self._handle = self._handle, None
        if handle is not None:
            self._engine.delete_ruleset(handle)

    def run(self, subjects: Sequence[Mapping[str, str | int]]) -> list[tuple[_Line, int]]:
        """Each line that matched, with the place of the subject that it matched; `subjects` hold encoded
        facts.
        """
        if self._handle is None:
            raise EngineError("this engine has been closed", instead="Make a new one")
        if self._busy:
            raise EngineError("a ruleset was started while it runs", instead="One consultation at a time")
        if not subjects:
            return []
        self._busy = True
        self._sessions += 1
        session = str(self._sessions)
        # Subjects that these rules cannot tell apart are one fact to the engine.
        alike: dict[tuple[str | int | None, ...], list[int]] = {}
        for place, facts in enumerate(subjects):
            alike.setdefault(self._seen(facts), []).append(place)
        batch = [
            {"sid": session, "id": f"f{n}", "n": n, **self._properties(seen)} for n, seen in enumerate(alike)
        ]
        places = [*alike.values()]
        try:
            found = self._dispatch(self._handle, batch)
            return [(line, place) for line, n in found for place in places[n]]
        except self._engine.error as error:
            raise EngineError(f"the rules engine stopped ({error})") from None
        finally:
            # After a refused fact there may be no session to delete.
            with suppress(self._engine.error):
                self._engine.delete_state(self._handle, session)
            self._busy = False

    def _seen(self, facts: Mapping[str, str | int]) -> tuple[str | int | None, ...]:
        """What each property holds; None where it is unknown."""
        held = facts.get
        return (*map(held, self._plain), *(table.get(held(fact)) for fact, table in self._tables))

    def _properties(self, seen: tuple[str | int | None, ...]) -> dict[str, str | int]:
        return {name: held for name, held in zip(self._names, seen, strict=True) if held is not None}

    def _dispatch(self, handle: int, batch: Sequence[Mapping[str, str | int]]) -> list[tuple[_Line, int]]:
        engine = self._engine
        result, state = engine.assert_facts(handle, json.dumps(batch))
        if result != 0:
            raise EngineError(f"the rules engine did not take every fact (code {result})")
        found: list[tuple[_Line, int]] = []
        budget = len(batch) * (len(self._lines) + 1)
        counted = 0
        started = engine.start_action_for_state(handle, state)
        message = started[1] if started else None
        while message:
            for name, matches in json.loads(message).items():
                for match in matches if isinstance(matches, list) else [matches]:
                    budget -= 1
                    place = match.get("m", match)["n"]
                    if name == _CATCH_ALL:
                        counted += 1
                    else:
                        found.append((self._lines[int(name[1:])], place))
            if budget < 0:
                raise EngineError("the rules engine fired more rules than there can be")
            message = engine.complete_and_start_action(handle, state)
        if counted != len(batch):
            raise EngineError(f"the rules engine saw {counted} of {len(batch)} facts")
        return found


@dataclass(frozen=True, slots=True)
class _Stratum:
    """Rules of one stratum, the rulesets that they became, and which of them conclude each fact."""

    rules: tuple[Rule, ...]
    rulesets: tuple[_Ruleset, ...]
    givers: Mapping[str, tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class _Met:
    """What the engine said of one subject: the numbers of rules that matched, that are lifted, that are
    refuted.
    """

    when: set[int]
    lifted: set[int]
    refuted: set[int]

    def note(self, line: _Line) -> None:
        if line.part == "when":
            self.when.add(line.rule)
            return
        self.refuted.add(line.rule)
        if line.part != "not":
            self.lifted.add(line.rule)


def _give_back(strata: Iterable[_Stratum]) -> None:
    for stratum in strata:
        for ruleset in stratum.rulesets:
            ruleset.close()


def encoded(name: str, value: Fact, kind: FactType) -> str | int:
    """A fact as the engine holds it: a level or truth as text, a number times 1,000 as an integer.

    EngineError where the value does not fit the fact's type, or is not a number that the engine can hold
    exactly.
    """
    if kind.type == "number" and isinstance(value, (int, float)) and not isinstance(value, bool):
        if not -LARGEST <= value <= LARGEST:
            raise EngineError(f"fact {name} holds {value}", instead=f"Numbers lie within ±{LARGEST:.0f}")
        whole = _scaled(value)
        if whole / _ONE != value:
            raise EngineError(
                f"fact {name} holds {value!r}", instead=f"Facts are rounded to {PLACES} decimals"
            )
        return whole
    if kind.type == "level" and isinstance(value, str):
        if len(value) > LONGEST:
            raise EngineError(
                f"fact {name} holds a text of {len(value)} letters", instead=f"At most {LONGEST}"
            )
        return value
    if kind.type == "true" and isinstance(value, bool):
        return _encoded_truth(value)
    raise EngineError(f"fact {name} holds {value!r}, which is no {kind.type}")


class Durable:
    """The rules of one knowledge, compiled into the C engine once and kept until `close`.

    Many threads may use it: one runs at a time, and `close` waits for it.
    """

    def __init__(self, base: RuleBase) -> None:
        self._base = base
        self._engine = _load()
        self._layers: dict[str, tuple[_Stratum, ...]] = {}
        self._read: dict[str, Mapping[str, FactType]] = {}
        # The same thread may come in again, so that a ruleset started while it runs is an error and no wait.
        self._turn = threading.RLock()

    def __enter__(self) -> Durable:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Give all rulesets back; the object compiles them anew if it is used again."""
        with self._turn:
            layers, self._layers = self._layers, {}
            for strata in layers.values():
                _give_back(strata)

    def _compiled(self, layer: str) -> tuple[_Stratum, ...]:
        if layer not in self._layers:
            made: list[_Stratum] = []
            try:
                for depth, rules in enumerate(self._base.strata[layer]):
                    givers: dict[str, list[int]] = {}
                    for number, rule in enumerate(rules):
                        if rule.then.act == "conclude":
                            givers.setdefault(rule.then.target, []).append(number)
                    settled = {target: tuple(numbers) for target, numbers in givers.items()}
                    made.append(_Stratum(rules, self._pack(f"{layer}-{depth}", rules), settled))
            except EngineError:
                # Half a layer would fire half of its rules, and nobody would know.
                _give_back(made)
                raise
            names = {name for stratum in made for each in stratum.rulesets for name in each.facts}
            self._read[layer] = {name: self._base.facts[name] for name in sorted(names)}
            self._layers[layer] = tuple(made)
        return self._layers[layer]

    def _pack(self, name: str, rules: Sequence[Rule]) -> tuple[_Ruleset, ...]:
        groups: list[list[_Line]] = []
        read: set[_Property] = set()
        for number, rule in enumerate(rules):
            for line in _lines(number, rule, rule.then.target in self._base.tracked):
                wanted = read | set(_properties(line.tests))
                if not groups or len(groups[-1]) == MOST_RULES or len(wanted) > MOST_PROPERTIES:
                    groups.append([])
                    wanted = set(_properties(line.tests))
                groups[-1].append(line)
                read = wanted
        return tuple(_Ruleset(self._engine, f"{name}-{place}", group) for place, group in enumerate(groups))

    def judge(self, layer: str, subjects: Sequence[Subject], without: frozenset[str] = frozenset()) -> Judged:
        """Run the rules of `layer` on `subjects`, stratum by stratum; rules named in `without` are switched
        off.

        Firings come in the order of strata, subjects and rules. EngineError where a fact cannot be given to
        the engine, or the engine does not answer for every fact.
        """
        if len(subjects) > MOST_SUBJECTS:
            raise EngineError(f"{len(subjects)} subjects at once", instead=f"At most {MOST_SUBJECTS}")
        if len({subject.name for subject in subjects}) != len(subjects):
            raise EngineError("two subjects have one name")
        with self._turn:
            return self._run(layer, subjects, without)

    def _run(self, layer: str, subjects: Sequence[Subject], without: frozenset[str]) -> Judged:
        strata = self._compiled(layer)
        read = self._read[layer]
        known: dict[tuple[str, type, Fact], str | int] = {}

        def held_of(name: str, value: Fact, kind: FactType) -> str | int:
            key = name, type(value), value
            if key not in known:
                known[key] = encoded(name, value, kind)
            return known[key]

        held = [
            {
                name: held_of(name, subject.facts[name], kind)
                for name, kind in read.items()
                if name in subject.facts
            }
            for subject in subjects
        ]
        firings: list[Firing] = []
        derived: dict[str, dict[str, bool]] = {subject.name: {} for subject in subjects}
        for stratum in strata:
            off = {number for number, rule in enumerate(stratum.rules) if rule.id in without}
            met = [_Met(set(), set(off), set(off)) for _ in subjects]
            for ruleset in stratum.rulesets:
                for line, place in ruleset.run(held):
                    met[place].note(line)
            for place, subject in enumerate(subjects):
                fires = met[place].when - met[place].lifted
                firings += [Firing(stratum.rules[number].id, subject.name) for number in sorted(fires)]
                for target, numbers in stratum.givers.items():
                    truth = bool(fires.intersection(numbers))
                    if truth or (target in self._base.tracked and met[place].refuted.issuperset(numbers)):
                        held[place][target] = _encoded_truth(truth)
                        derived[subject.name][target] = truth
        return Judged(tuple(firings), derived)


def judge(
    base: RuleBase, layer: str, subjects: Sequence[Subject], without: frozenset[str] = frozenset()
) -> Judged:
    """`Durable.judge` for one call: compile, run, give back."""
    with Durable(base) as engine:
        return engine.judge(layer, subjects, without)
