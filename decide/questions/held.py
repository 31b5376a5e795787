"""What rules said of options, held so that only what a change touches is judged again."""

from __future__ import annotations

from collections.abc import Container, Mapping
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


# ---------- what is kept of a consultation ----------
# What is sure of an option: the criteria that it is weak in, whether it is ruled out, and whether by more
# than the date.
Firm = tuple[frozenset[str], bool, bool]


@dataclass
class JudgedRow:
    """An option as it was judged before anybody looked at when it can start: its measures, and what its rules
    concluded.
    """

    w: Weighed
    own: Facts
    derived: Mapping[str, Fact]

    @cached_property
    def against(self) -> list[Rule]:
        """The rules against it of which no exception is open."""
        return [rule for rule, firing in self.w.firings if rule.adverse and not firing.open]


@dataclass(frozen=True)
class Touched:
    """The rules about options that are to be judged again: as a rule base, by name, and what they
    conclude.
    """

    base: RuleBase
    ids: frozenset[str]
    targets: frozenset[str]

    def before(self, *facts: Mapping[str, Fact]) -> Facts:
        """All facts together but for what is concluded anew."""
        found: Facts = {}
        for each in facts:
            found.update(each)
        for name in self.targets:
            found.pop(name, None)
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


class Said:
    """What rules say of some options in one reading: in order by option, and by rule."""

    def __init__(self, half: Diagnosis, base: RuleBase, facts: Mapping[str, Facts]) -> None:
        judged = plain_judge(base, "option", [Subject(code, held) for code, held in facts.items()])
        self.derived = judged.derived
        self.readings = readings(judged, half.book.rules, facts)

    @cached_property
    def by_rule(self) -> dict[str, dict[str, Firing | CouldFire]]:
        """How each rule stands to the options for which it fired or could fire."""
        found: dict[str, dict[str, Firing | CouldFire]] = {}
        for code, reading in self.readings.items():
            put_by_rule(found, code, reading)
        return found


def put_by_rule(
    found: dict[str, dict[str, Firing | CouldFire]], code: str, reading: Weighed | Reading
) -> None:
    """Put in how each rule stands to one option."""
    for rule, firing in reading.firings:
        found.setdefault(rule.id, {})[code] = firing
    for rule, could in reading.could:
        found.setdefault(rule.id, {})[code] = could


def differing(one: Mapping[str, Fact], two: Mapping[str, Fact]) -> frozenset[str]:
    """The facts that are others, or known on one side only."""
    return frozenset(name for name, _ in one.items() ^ two.items())


def otherwise(
    before: Mapping[str, Mapping[str, Firing | CouldFire]],
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
