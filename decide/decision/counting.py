"""Which criteria count here, or could once answers come, and on which answers a verdict rests by them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from decide.decision.rank import Weighed, waits
from decide.engine.language import ADVERSE, CRITERIA, CouldFire, Fact, Rule

ESSENTIAL: Final = "site.essential-"


@dataclass(frozen=True)
class Counting:
    """The criteria that the site's rules call essential, and those that an answer could make so, each with
    the rules that would.
    """

    essential: frozenset[str]
    could: Mapping[str, tuple[Rule, ...]]

    @property
    def perhaps(self) -> frozenset[str]:
        """The criteria that an answer could make essential."""
        return frozenset(self.could)

    def rests_on(self, w: Weighed) -> list[Rule]:
        """The rules on whose answers a verdict rests, the gravest first: what could still speak against the
        option in what counts, and what would make a criterion count in which it is bad.
        """
        counts = {"risk", "money", *self.essential, *self.could}
        against = [rule for rule in w.rests_on if rule.then.act == "rule-out" or rule.then.target in counts]
        bad = [rules for criterion, rules in self.could.items() if w.bests[criterion] in ADVERSE]
        return [*against, *(rule for rules in bad for rule in rules)]


def counting(
    site: Mapping[str, Fact], open_: Iterable[tuple[Rule, CouldFire]], closed: Callable[[str], bool]
) -> Counting:
    """What counts by the facts of a site, and by the rules about it that could still fire."""
    essential = frozenset(each for each in CRITERIA if site.get(f"{ESSENTIAL}{each}") is True)
    could: dict[str, tuple[Rule, ...]] = {}
    for rule, found in open_:
        criterion = rule.then.target.removeprefix(ESSENTIAL)
        if criterion in CRITERIA and criterion not in essential and waits(found, closed):
            could[criterion] = (*could.get(criterion, ()), rule)
    return Counting(essential, could)
