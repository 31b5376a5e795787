"""The rules of a layer, held so that only those that a change touches are judged again."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from decide.engine.base import RuleBase
from decide.engine.language import Fact, Rule

Facts = dict[str, Fact]


@dataclass(frozen=True)
class Touched:
    """The rules of a layer that are to be judged again: as a rule base, by name, what they conclude, and what
    they read.
    """

    base: RuleBase
    ids: frozenset[str]
    targets: frozenset[str]
    reads: tuple[str, ...]

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


def differing(one: Mapping[str, Fact], two: Mapping[str, Fact]) -> frozenset[str]:
    """The facts that are others, or known on one side only."""
    return frozenset(name for name, _ in one.items() ^ two.items())
