"""The rule base as generated Python, with two truth values or three: what rules cost when nothing is left of the engine."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from decide.engine.base import RuleBase
from decide.engine.language import Condition, CouldFire, Fact, Firing, Judged, Rule, Subject

Layout = Literal["rule", "stratum"]
ORDER = ("<", "<=", ">", ">=")


def loosest(condition: Condition) -> float:
    """The limit of a family beyond which no limit of it lets the condition hold, whatever the key is."""
    return (max if condition.op in ("<", "<=") else min)(condition.table.values())


@dataclass
class Source:
    """The source of one stratum in the making: the facts that it reads, its tables, its distinct conditions."""

    facts: dict[str, str] = field(default_factory=dict)
    tables: dict[tuple[tuple[str, float], ...], str] = field(default_factory=dict)
    conditions: dict[str, tuple[str, Condition]] = field(default_factory=dict)

    def fact(self, name: str) -> str:
        return self.facts.setdefault(name, f"f{len(self.facts)}")

    def bound(self, condition: Condition) -> str:
        key = tuple(sorted(condition.table.items()))
        return f"{self.tables.setdefault(key, f'T{len(self.tables)}')}.get({self.fact(condition.index)})"

    def condition(self, condition: Condition) -> str:
        """The name of the truth of a condition, worked out once a subject."""
        return self.conditions.setdefault(condition.text, (f"c{len(self.conditions)}", condition))[0]

    def known(self, condition: Condition) -> str:
        """Whether a condition holds of a fact that is known; not for limits that a key picks."""
        name, op, levels = self.fact(condition.fact), condition.op, condition.levels
        if op in ORDER:
            return f"{name} {op} {condition.number!r}"
        if not levels:
            return f"{name} is {'not ' if op == 'is not' else ''}True"
        if len(levels) == 1:
            return f"{name} {'!=' if op == 'is not' else '=='} {levels[0]!r}"
        return f"{name} {'not in' if op == 'is not' else 'in'} {levels!r}"

    def true(self, condition: Condition) -> str:
        """Whether a condition is true."""
        name = self.fact(condition.fact)
        if condition.index:
            return f"({name} is not None and (b := {self.bound(condition)}) is not None and {name} {condition.op} b)"
        if condition.op in ("is", "in"):
            return f"({self.known(condition)})"
        return f"({name} is not None and {self.known(condition)})"

    def _keyless(self, condition: Condition) -> str:
        if not condition.table:
            return "True"
        return f"{self.fact(condition.fact)} {condition.op} {loosest(condition)!r}"

    def possible(self, condition: Condition) -> str:
        """Whether a condition is true or unknown."""
        name = self.fact(condition.fact)
        if condition.index:
            return f"({name} is None or ({name} {condition.op} b if (b := {self.bound(condition)}) is not None else {self._keyless(condition)}))"
        return f"({name} is None or {self.known(condition)})"

    def truth(self, condition: Condition) -> str:
        """The truth of a condition: True, False, or None where it is unknown."""
        name = self.fact(condition.fact)
        if condition.index:
            return f"None if {name} is None else {name} {condition.op} b if (b := {self.bound(condition)}) is not None else None if {self._keyless(condition)} else False"
        return f"None if {name} is None else {self.known(condition)}"

    def compiled(self, lines: Iterable[str], title: str) -> dict[str, Any]:
        made: dict[str, Any] = {name: dict(key) for key, name in self.tables.items()}
        exec(compile("\n".join(lines), f"<{title}>", "exec"), made)
        return made


def givers_of(rules: Sequence[Rule]) -> dict[str, list[Rule]]:
    """The rules of a stratum that conclude each fact."""
    found: dict[str, list[Rule]] = {}
    for rule in rules:
        if rule.then.act == "conclude":
            found.setdefault(rule.then.target, []).append(rule)
    return found


def _all(parts: Iterable[str]) -> str:
    return " and ".join(parts)


class Generated:
    """Two truth values: which rules fire, and no more. One function for each rule, or one for each stratum.

    That a derived fact is false is worked out where a rule of the base asks for it.
    """

    def __init__(self, base: RuleBase, layout: Layout) -> None:
        self.base, self.layout = base, layout
        self._layers: dict[str, list[tuple[dict[str, Any], list[str]]]] = {}

    def _lifted(self, source: Source, rule: Rule) -> str:
        return "".join(f" and not ({_all(map(source.true, each.when))})" for each in rule.unless)

    def _stratum(self, title: str, rules: Sequence[Rule]) -> tuple[dict[str, Any], list[str]]:
        source = Source()
        whole = {rule.id: _all(map(source.true, rule.when)) + self._lifted(source, rule) for rule in rules}
        settle: list[str] = []
        for target, givers in givers_of(rules).items():
            settle.append(
                f" if {' or '.join(f'({whole[rule.id]})' for rule in givers)}: d[{target!r}] = True"
            )
            if target in self.base.tracked:
                perhaps = " or ".join(
                    f"({_all(map(source.possible, rule.when))}{self._lifted(source, rule)})"
                    for rule in givers
                )
                settle.append(f" elif not ({perhaps}): d[{target!r}] = False")
        read = f" {', '.join(source.facts.values())}, = F"
        lines = ["def settle(F):", read, " d = {}", *settle, " return d"]
        if self.layout == "stratum":
            lines += ["def run(F, name, out):", read]
            lines += [f" if {whole[rule.id]}: out(({rule.id!r}, name))" for rule in rules]
        else:
            place = {name: f"F[{n}]" for n, name in enumerate(source.facts.values())}
            for n, rule in enumerate(rules):
                own = Source(tables=source.tables)
                text = _all(map(own.true, rule.when)) + self._lifted(own, rule)
                # A rule of its own takes up the facts that it reads and no others.
                taken = "; ".join(
                    f"{local} = {place[source.facts[name]]}" for name, local in own.facts.items()
                )
                lines += [f"def r{n}(F):", f" {taken}", f" return {text}"]
            lines.append(f"RULES = [{', '.join(f'({rule.id!r}, r{n})' for n, rule in enumerate(rules))}]")
        made = source.compiled(lines, title)
        made["gives"] = bool(settle)
        return made, list(source.facts)

    def layer(self, layer: str) -> list[tuple[dict[str, Any], list[str]]]:
        """The compiled strata of a layer, each with the facts that it reads."""
        if layer not in self._layers:
            self._layers[layer] = [
                self._stratum(f"{layer} {depth}", rules)
                for depth, rules in enumerate(self.base.strata[layer])
                if rules
            ]
        return self._layers[layer]

    def fires(self, layer: str, subjects: Sequence[Subject]) -> list[tuple[str, str]]:
        """The rules that fire, each with its subject, in the order of strata, subjects and rules."""
        found: list[tuple[str, str]] = []
        add = found.append
        held: list[Mapping[str, Fact]] = [subject.facts for subject in subjects]
        names = [subject.name for subject in subjects]
        for made, reads in self.layer(layer):
            rows = [[*map(facts.get, reads)] for facts in held]
            if self.layout == "rule":
                rules = made["RULES"]
                for row, name in zip(rows, names, strict=True):
                    for id, rule in rules:
                        if rule(row):
                            add((id, name))
            else:
                run = made["run"]
                for row, name in zip(rows, names, strict=True):
                    run(row, name, add)
            if made["gives"]:
                settle = made["settle"]
                held = [{**facts, **settle(row)} for facts, row in zip(held, rows, strict=True)]
        return found


Add = Callable[[tuple[str, str, tuple[str, ...]]], None]


class GeneratedThree:
    """Three truth values, one function a stratum: what fires with its open exceptions, what could fire and on which unknown facts."""

    def __init__(self, base: RuleBase) -> None:
        self.base = base
        self._layers: dict[str, list[Callable[[Mapping[str, Fact], str, Add, Add], dict[str, bool]]]] = {}

    def _unknown(self, source: Source, rule: Rule) -> str:
        parts = []
        for each in rule.when:
            names = [f"*(({name!r},) if {source.fact(name)} is None else ())" for name in each.facts]
            inner = f"({', '.join(names)},)" if each.index else repr((each.fact,))
            parts.append(f"*({inner} if {source.condition(each)} is None else ())")
        names = [name for each in rule.when for name in each.facts]
        text = f"({', '.join(parts)},)"
        return text if len(set(names)) == len(names) else f"tuple(dict.fromkeys({text}))"

    def _rule(self, source: Source, rule: Rule, targets: Mapping[str, int]) -> list[str]:
        when = [source.condition(each) for each in rule.when]
        lines = [f" if {_all(f'{each} is not False' for each in when)}:"]
        lifted = [
            f"not ({_all(source.condition(each) for each in exception.when)})" for exception in rule.unless
        ]
        lines.append(f"  if {_all(lifted) or 'True'}:")
        open_ = [
            f"*(({exception.name!r},) if {_all(f'{source.condition(each)} is not False' for each in exception.when)} else ())"
            for exception in rule.unless
        ]
        place = targets[rule.then.target] if rule.then.act == "conclude" else None
        lines += [
            f"   if {_all(when)}:",
            f"    fired(({rule.id!r}, name, ({', '.join(open_)}{',' if open_ else ''})))",
            *([f"    s{place} = True"] if place is not None else []),
            "   else:",
            f"    could(({rule.id!r}, name, {self._unknown(source, rule)}))",
            *([f"    p{place} = True"] if place is not None else []),
        ]
        return lines

    def _stratum(self, title: str, rules: Sequence[Rule]) -> Callable[..., dict[str, bool]]:
        source = Source()
        targets = {target: n for n, target in enumerate(givers_of(rules))}
        body = [line for rule in rules for line in self._rule(source, rule, targets)]
        truths = [f" {name} = {source.truth(condition)}" for name, condition in source.conditions.values()]
        lines = [
            "def run(facts, name, fired, could):",
            " get = facts.get",
            *(f" {local} = get({name!r})" for name, local in source.facts.items()),
            *truths,
            *(f" s{n} = p{n} = False" for n in targets.values()),
            *body,
            " d = {}",
        ]
        for target, n in targets.items():
            lines += [f" if s{n}: d[{target!r}] = True", f" elif not p{n}: d[{target!r}] = False"]
        lines.append(" return d")
        made: Callable[..., dict[str, bool]] = source.compiled(lines, title)["run"]
        return made

    def layer(self, layer: str) -> list[Callable[..., dict[str, bool]]]:
        """The compiled strata of a layer."""
        if layer not in self._layers:
            self._layers[layer] = [
                self._stratum(f"{layer} {depth}, three values", rules)
                for depth, rules in enumerate(self.base.strata[layer])
                if rules
            ]
        return self._layers[layer]

    def rows(
        self, layer: str, subjects: Sequence[Subject]
    ) -> tuple[
        list[tuple[str, str, tuple[str, ...]]],
        dict[str, dict[str, bool]],
        list[tuple[str, str, tuple[str, ...]]],
    ]:
        """Firings, derived facts and what could fire, as bare tuples: the quickest that Python can hand over."""
        fired: list[tuple[str, str, tuple[str, ...]]] = []
        could: list[tuple[str, str, tuple[str, ...]]] = []
        derived: dict[str, dict[str, bool]] = {subject.name: {} for subject in subjects}
        held: list[Mapping[str, Fact]] = [subject.facts for subject in subjects]
        names = [subject.name for subject in subjects]
        for run in self.layer(layer):
            for n, name in enumerate(names):
                settled = run(held[n], name, fired.append, could.append)
                if settled:
                    held[n] = {**held[n], **settled}
                    derived[name].update(settled)
        return fired, derived, could

    def judge(self, layer: str, subjects: Sequence[Subject]) -> Judged:
        """The same as the engines of the program say it."""
        fired, derived, could = self.rows(layer, subjects)
        return Judged(tuple(Firing(*row) for row in fired), derived, tuple(CouldFire(*row) for row in could))
