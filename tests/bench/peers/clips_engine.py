"""The rule base translated to CLIPS, run through clipspy: a template and a set of rules for each stratum."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Mapping, Sequence
from importlib.util import find_spec
from pathlib import Path
from typing import Any, Literal, NamedTuple

from decide.engine.base import RuleBase
from decide.engine.language import Condition, Fact, Rule, Subject
from tests.bench.peers.generated import ORDER, givers_of, loosest

Given = Literal["text", "fields"]
Part = Literal["when", "perhaps"]
_TRUTH = {True: "TRUE", False: "FALSE"}


def available() -> bool:
    """Whether clipspy is installed here."""
    return find_spec("clips") is not None


def _quoted(word: str) -> str:
    escaped = word.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


class Read(NamedTuple):
    """What a slot holds: a fact, or the entry of a table that the fact points at."""

    fact: str
    table: tuple[tuple[str, float], ...] | None = None


class Test(NamedTuple):
    """One test of a slot: as a constraint where it is the only one of its slot, and as an expression where it stands with others."""

    slot: str
    alone: str
    expression: str


class _Slots:
    """The slots of one template in the making."""

    def __init__(self) -> None:
        self.reads: dict[Read, str] = {}

    def of(self, fact: str, table: Mapping[str, float] | None = None) -> str:
        read = Read(fact, None if table is None else tuple(sorted(table.items())))
        return self.reads.setdefault(read, f"s{len(self.reads)}")

    @property
    def tables(self) -> set[str]:
        return {slot for read, slot in self.reads.items() if read.table is not None}

    def holds(self, condition: Condition) -> list[Test]:
        """The tests that all hold where a condition is true."""
        slot, op = self.of(condition.fact), condition.op
        if op in ORDER and condition.index:
            bound = self.of(condition.index, condition.table)
            text = f"(and (neq ?{slot} nil) (neq ?{bound} nil) ({op} ?{slot} ?{bound}))"
            return [
                Test(bound, "~nil", f"(neq ?{bound} nil)"),
                Test(slot, f"~nil&:({op} ?{slot} ?{bound})", text),
            ]
        if op in ORDER:
            compared = f"({op} ?{slot} {condition.number!r})"
            return [Test(slot, f"~nil&:{compared}", f"(and (neq ?{slot} nil) {compared})")]
        words = [_quoted(level) for level in condition.levels] or ["TRUE"]
        if op == "is not":
            return [
                Test(slot, "~nil" + "".join(f"&~{w}" for w in words), f"(neq ?{slot} nil {' '.join(words)})")
            ]
        return [Test(slot, "|".join(words), f"(or {' '.join(f'(eq ?{slot} {w})' for w in words)} FALSE)")]

    def perhaps(self, condition: Condition) -> list[Test]:
        """The tests that all hold where a condition is true or unknown."""
        *bounds, held = self.holds(condition)
        slot, inner = held.slot, held.expression
        if condition.index:
            keyless = f"({condition.op} ?{slot} {loosest(condition)!r})" if condition.table else "TRUE"
            bound = bounds[0].slot
            inner = f"(if (eq ?{bound} nil) then {keyless} else ({condition.op} ?{slot} ?{bound}))"
        text = f"(or (eq ?{slot} nil) {inner})"
        return [*(Test(each.slot, "", "TRUE") for each in bounds), Test(slot, f":{text}", text)]


class _Stratum(NamedTuple):
    template: str
    reads: Sequence[tuple[Read, str]]
    kinds: Sequence[tuple[int, Part]]
    rules: Sequence[Rule]
    givers: Mapping[str, Sequence[int]]


class Clips:
    """The rule base in one CLIPS environment; `given` says how facts go in: as a text, or field by field through the C interface.

    What could fire is told where `could` is set, by a second CLIPS rule for each rule; otherwise only what is needed to know that a
    derived fact is false.
    """

    def __init__(self, base: RuleBase, given: Given = "fields", could: bool = False) -> None:
        import clips

        self.base, self.given, self.could = base, given, could
        self._clips = clips
        self._environment = clips.Environment()
        self._layers: dict[str, list[_Stratum]] = {}
        self._folder = tempfile.TemporaryDirectory()
        self._out = Path(self._folder.name) / "out"

    def close(self) -> None:
        self._folder.cleanup()

    def _constraint(self, slot: str, tests: Sequence[Test]) -> str:
        asked = [each for each in tests if each.alone]
        if not asked:
            return f"({slot} ?{slot})"
        if len(asked) == 1:
            return f"({slot} ?{slot}&{asked[0].alone})"
        return f"({slot} ?{slot}&{'&'.join(f':{each.expression}' for each in asked)})"

    def _rule(
        self, name: str, template: str, slots: _Slots, tests: Sequence[Test], rule: Rule, number: int
    ) -> str:
        by_slot: dict[str, list[Test]] = {}
        for test in tests:
            by_slot.setdefault(test.slot, []).append(test)
        lifts = []
        for exception in rule.unless:
            found = [test for each in exception.when for test in slots.holds(each)]
            for test in found:
                by_slot.setdefault(test.slot, [])
            lifts.append(f"(test (not (and {' '.join(test.expression for test in found)} TRUE)))")
        # A limit must be bound before it is compared with.
        order = sorted(by_slot, key=lambda slot: (slot not in slots.tables, int(slot[1:])))
        pattern = " ".join(self._constraint(slot, by_slot[slot]) for slot in order)
        return f'(defrule {name} ({template} (id ?i) {pattern}) {" ".join(lifts)} => (printout out {number} " " ?i crlf))'

    def _stratum(self, template: str, rules: Sequence[Rule]) -> _Stratum:
        slots, kinds, texts = _Slots(), list[tuple[int, Part]](), list[str]()
        for number, rule in enumerate(rules):
            parts: dict[Part, list[Test]] = {"when": [t for each in rule.when for t in slots.holds(each)]}
            if self.could or (rule.then.act == "conclude" and rule.then.target in self.base.tracked):
                parts["perhaps"] = [t for each in rule.when for t in slots.perhaps(each)]
            for part, tests in parts.items():
                texts.append(
                    self._rule(f"r-{template}-{len(kinds)}", template, slots, tests, rule, len(kinds))
                )
                kinds.append((number, part))
        fields = " ".join(f"(slot {slot} (default nil))" for slot in slots.reads.values())
        for text in (f"(deftemplate {template} (slot id) {fields})", *texts):
            self._environment.build(text)
        place = {rule.id: number for number, rule in enumerate(rules)}
        givers = {target: [place[rule.id] for rule in some] for target, some in givers_of(rules).items()}
        return _Stratum(template, [*slots.reads.items()], kinds, rules, givers)

    def layer(self, layer: str) -> list[_Stratum]:
        """The built strata of a layer."""
        if layer not in self._layers:
            self._layers[layer] = [
                self._stratum(f"{layer}-{depth}", rules)
                for depth, rules in enumerate(self.base.strata[layer])
                if rules
            ]
        return self._layers[layer]

    def fires(self, layer: str, subjects: Sequence[Subject]) -> list[tuple[str, str]]:
        """The rules that fire, each with its subject, in the order of strata, subjects and rules."""
        return self.both(layer, subjects)[0]

    def both(
        self, layer: str, subjects: Sequence[Subject]
    ) -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
        """What fires, and what could fire (empty where it is not asked for), each rule with its subject."""
        fired: list[tuple[str, str]] = []
        could: list[tuple[str, str]] = []
        settled: list[dict[str, Fact]] = [{} for _ in subjects]
        for stratum in self.layer(layer):
            self._put(stratum, subjects, settled)
            met = self._met(stratum, len(subjects))
            self._environment.reset()
            for number, subject in enumerate(subjects):
                whole, perhaps = sorted(met["when"][number]), met["perhaps"][number]
                fired += [(stratum.rules[each].id, subject.name) for each in whole]
                if self.could:
                    left = sorted(perhaps.difference(whole))
                    could += [(stratum.rules[each].id, subject.name) for each in left]
                for target, givers in stratum.givers.items():
                    if not met["when"][number].isdisjoint(givers):
                        settled[number][target] = True
                    elif (self.could or target in self.base.tracked) and perhaps.isdisjoint(givers):
                        settled[number][target] = False
        return fired, could

    def _met(self, stratum: _Stratum, count: int) -> dict[Part, list[set[int]]]:
        """Runs the rules, and reads what they wrote: for each subject the rules that matched."""
        environment = self._environment
        environment.eval(f'(open "{self._out}" out "w")')
        environment.run()
        environment.eval("(close out)")
        met: dict[Part, list[set[int]]] = {
            "when": [set() for _ in range(count)],
            "perhaps": [set() for _ in range(count)],
        }
        with self._out.open(encoding="ascii") as lines:
            for line in lines:
                kind, subject = line.split()
                number, part = stratum.kinds[int(kind)]
                met[part][int(subject)].add(number)
        return met

    def _held(
        self, stratum: _Stratum, facts: Mapping[str, Fact], settled: Mapping[str, Fact]
    ) -> Iterator[tuple[str, Fact]]:
        for read, slot in stratum.reads:
            value = settled.get(read.fact)
            if value is None:
                value = facts.get(read.fact)
            if value is not None and read.table is not None:
                value = dict(read.table).get(value) if isinstance(value, str) else None
            if value is not None:
                yield slot, value

    def _put(
        self, stratum: _Stratum, subjects: Sequence[Subject], settled: Sequence[Mapping[str, Fact]]
    ) -> None:
        rows = (
            self._held(stratum, subject.facts, more) for subject, more in zip(subjects, settled, strict=True)
        )
        (self._put_text if self.given == "text" else self._put_fields)(stratum.template, rows)

    def _put_text(self, template: str, rows: Iterator[Iterator[tuple[str, Fact]]]) -> None:
        def written(value: Fact) -> str:
            if isinstance(value, bool):
                return _TRUTH[value]
            return _quoted(value) if isinstance(value, str) else repr(float(value))

        self._environment.load_facts(
            "".join(
                f"({template} (id {number}){''.join(f'({slot} {written(value)})' for slot, value in row)})"
                for number, row in enumerate(rows)
            )
        )

    def _put_fields(self, template: str, rows: Iterator[Iterator[tuple[str, Fact]]]) -> None:
        """Each distinct value is made once a call: the quickest way in that clipspy has, below its public names."""
        from clips import common, values
        from clips._clips import ffi, lib

        own = self._environment._env
        symbol = self._clips.Symbol
        builder = common.environment_builder(own, "fact")
        made: dict[tuple[type, Fact], Any] = {}
        names: dict[str, bytes] = {}
        for number, row in enumerate(rows):
            lib.FBSetDeftemplate(builder, template.encode())
            lib.FBPutSlot(builder, b"id", values.clips_value(own, number))
            for slot, value in row:
                key = (type(value), value)
                if key not in made:
                    given = (
                        symbol(_TRUTH[value])
                        if isinstance(value, bool)
                        else value
                        if isinstance(value, str)
                        else float(value)
                    )
                    made[key] = values.clips_value(own, given)
                lib.FBPutSlot(builder, names.setdefault(slot, slot.encode()), made[key])
            if lib.FBAssert(builder) == ffi.NULL:
                raise RuntimeError("CLIPS did not take a fact")
