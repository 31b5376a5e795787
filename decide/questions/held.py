"""What rules said of options, held so that only what a change touches is judged again."""

from __future__ import annotations

import dataclasses
from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from decide.decision.diagnosis import Diagnosis
from decide.decision.rank import (
    Reading,
    Weighed,
    readings,
)
from decide.engine.base import RuleBase
from decide.engine.columns import judge as plain_judge
from decide.engine.language import CouldFire, Fact, Firing, Rule, Subject

Facts = dict[str, Fact]
# How a rule stands to an option: whether it fired, and the exceptions that are open, else the facts that it
# waits for.
Stands = tuple[bool, tuple[str, ...]]


# ---------- what is kept of a consultation ----------
# What is sure of an option: the criteria that it is weak in, whether it is ruled out, and whether by more
# than the date.
Firm = tuple[frozenset[str], bool, bool]


@dataclass
class JudgedRow:
    """An option as it was judged, its measures, and what its rules concluded; `fitted` says whether somebody
    had looked by then at when it can start.
    """

    w: Weighed
    own: Facts
    derived: Mapping[str, Fact]
    fitted: bool = False

    @property
    def zone(self) -> str:
        """The code of its zone."""
        return self.w.draft.zone

    @cached_property
    def against(self) -> list[Rule]:
        """The rules against it of which no exception is open."""
        return [rule for rule, firing in self.w.firings if rule.adverse and not firing.open]


@dataclass(frozen=True)
class Touched:
    """The rules of a layer that are to be judged again: as a rule base, by name, what they conclude, and what
    they read.
    """

    base: RuleBase
    ids: frozenset[str]
    targets: frozenset[str]
    reads: tuple[str, ...]

    @cached_property
    def of_options(self) -> tuple[str, ...]:
        """What they read of options alone."""
        return tuple(name for name in self.reads if name.startswith("option."))

    def read(self, before: Mapping[str, Fact], *facts: Mapping[str, Fact]) -> Facts:
        """The facts that these rules read: what was concluded `before` and stands, then the last that knows
        it of the others.
        """
        found: Facts = {}
        for name in self.reads:
            held = None if name in self.targets else before.get(name)
            for each in reversed(facts):
                if held is not None:
                    break
                held = each.get(name)
            if held is not None:
                found[name] = held
        return found

    def merged(
        self, before: Weighed | Reading, again: Reading | None
    ) -> tuple[list[tuple[Rule, Firing]], list[tuple[Rule, CouldFire]]]:
        """The rules of an option: those that were judged again, and the others as they stood. Nothing that is
        made of them asks for their order.
        """
        if again is None:
            return before.firings, before.could
        ids = self.ids
        return [row for row in before.firings if row[0].id not in ids] + again.firings, [
            row for row in before.could if row[0].id not in ids
        ] + again.could


class Layered:
    """The rules of one layer, and which of them facts touch; `others` are not the rules by which was judged,
    and so touched whatever differs.
    """

    def __init__(self, base: RuleBase, layer: str, others: frozenset[str] = frozenset()) -> None:
        self.base, self.layer, self.others = base, layer, others
        self._touched: dict[frozenset[str], Touched] = {}

    @cached_property
    def concluded(self) -> frozenset[str]:
        """What rules of the layer conclude."""
        return frozenset(self._givers)

    @cached_property
    def reads(self) -> frozenset[str]:
        """The facts that the rules of the layer read."""
        return frozenset(self._readers)

    @cached_property
    def places(self) -> Mapping[str, int]:
        """The place of each rule in the order of judging."""
        return {rule.id: place for place, rule in enumerate(self._rules)}

    @property
    def _rules(self) -> Iterator[Rule]:
        return (rule for stratum in self.base.strata[self.layer] for rule in stratum)

    @cached_property
    def _readers(self) -> Mapping[str, list[Rule]]:
        found: dict[str, list[Rule]] = {}
        for rule in self._rules:
            for name in dict.fromkeys(name for condition in rule.conditions for name in condition.facts):
                found.setdefault(name, []).append(rule)
        return found

    @cached_property
    def _givers(self) -> Mapping[str, list[Rule]]:
        found: dict[str, list[Rule]] = {}
        for rule in self._rules:
            if rule.then.act == "conclude":
                found.setdefault(rule.then.target, []).append(rule)
        return found

    def touched(self, names: frozenset[str]) -> Touched:
        """The rules that read one of some facts, or a conclusion that hangs on them."""
        if names not in self._touched:
            ids: set[str] = set()
            targets: set[str] = set()
            todo = list(names)
            rules: Sequence[Rule] = [rule for rule in self._rules if rule.id in self.others]
            while rules or todo:
                for rule in rules or self._readers.get(todo.pop(), ()):
                    ids.add(rule.id)
                    if rule.then.act == "conclude" and rule.then.target not in targets:
                        # What is concluded is settled by all rules that can give it.
                        targets.add(rule.then.target)
                        ids |= {each.id for each in self._givers[rule.then.target]}
                        todo.append(rule.then.target)
                rules = ()
            rules = [rule for rule in self._rules if rule.id in ids]
            strata = tuple(
                tuple(rule for rule in stratum if rule.id in ids) for stratum in self.base.strata[self.layer]
            )
            self._touched[names] = Touched(
                dataclasses.replace(self.base, strata={**self.base.strata, self.layer: strata}),
                frozenset(ids),
                frozenset(targets),
                tuple(dict.fromkeys(n for rule in rules for each in rule.conditions for n in each.facts)),
            )
        return self._touched[names]


class Said:
    """What rules say of some options in one reading: in order by option, and by rule.

    `alike` gives for each option one that these rules read alike, of which the `facts` are; without it each
    has its own.
    """

    def __init__(
        self,
        half: Diagnosis,
        base: RuleBase,
        facts: Mapping[str, Facts],
        alike: Mapping[str, str] | None = None,
    ) -> None:
        judged = plain_judge(base, "option", [Subject(code, held) for code, held in facts.items()])
        self.derived: Mapping[str, Mapping[str, bool]] = judged.derived
        self.readings: Mapping[str, Reading] = readings(judged, half.book.rules, facts)
        if alike is not None:
            self.derived = {code: judged.derived[one] for code, one in alike.items()}
            self.readings = {code: self.readings[one] for code, one in alike.items()}

    @cached_property
    def by_rule(self) -> dict[str, dict[str, Stands]]:
        """How each rule stands to the options for which it fired or could fire."""
        found: dict[str, dict[str, Stands]] = {}
        for code, reading in self.readings.items():
            put_by_rule(found, code, reading)
        return found


def put_by_rule(found: dict[str, dict[str, Stands]], code: str, reading: Weighed | Reading) -> None:
    """Put in how each rule stands to one option."""
    for rule, firing in reading.firings:
        found.setdefault(rule.id, {})[code] = True, firing.open
    for rule, could in reading.could:
        found.setdefault(rule.id, {})[code] = False, could.unknown


def differing(one: Mapping[str, Fact], two: Mapping[str, Fact]) -> frozenset[str]:
    """The facts that are others, or known on one side only."""
    return frozenset(name for name, _ in one.items() ^ two.items())


def otherwise(
    before: Mapping[str, Mapping[str, Stands]],
    found: Said,
    touched: Touched,
    codes: Container[str],
) -> set[str]:
    """The options among `codes` to which a rule that was judged again stands otherwise than before."""
    moved: set[str] = set()
    for rule in touched.ids:
        one, two = before.get(rule, {}), found.by_rule.get(rule, {})
        moved |= {
            code for code in one.keys() | two.keys() if code in codes and one.get(code) != two.get(code)
        }
    return moved


def fitted_code(code: str, short: float) -> str:
    """The code of an option whose start was found to come so many days too soon."""
    return f"{code} + {short:g}"
