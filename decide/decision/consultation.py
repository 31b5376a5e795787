"""One situation on its way to advice: the options weighed, put in order, and what is chosen of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

from decide.decision.diagnosis import Diagnosis
from decide.decision.programme import Chosen, choose
from decide.decision.rank import (
    Weighed,
    criteria_order,
    sort_key,
)
from decide.decision.rulebook import Rulebook
from decide.decision.second import check_ground, check_options, check_steps, shown
from decide.decision.steps import JudgedStep, judge_steps
from decide.facts.draft import Draft
from decide.facts.filled import Filled
from decide.facts.progress import (
    opening_proposal,
    young_turf,
)
from decide.model import advice as out
from decide.model.units import System
from decide.model.work import Proposal


class Consultation(Diagnosis):
    """One situation on its way to advice. Every stage is kept, so that explanations can look at it."""

    # How many options both engines judged and judged alike; none where there is one engine.
    checked: int = 0

    def __init__(self, book: Rulebook, filled: Filled, system: System, without: frozenset[str]) -> None:
        super().__init__(book, filled, system, without)
        self.drafts: list[Draft] = self.options()
        self.weighed: dict[str, Weighed] = self.weigh(self.drafts)
        self.order = criteria_order(self.knowledge, filled.situation.wishes.first or [])
        self.rank()
        # Kept by whoever makes it first.
        self.made: out.Advice | None = None

    def rank(self) -> None:
        """Put the options in order and choose from them."""
        self.ranked: list[Weighed] = sorted(self.weighed.values(), key=lambda w: sort_key(w, self.order))
        self.chosen: dict[str, Chosen] = {
            code: choose(
                [w for w in self.ranked if w.draft.zone == code],
                self.knowledge.shapes.values(),
                self.book.holds,
            )
            for code in self.zones
        }

    def check(self) -> None:
        """Put the choice before the second engine, where there is one; EngineError where they differ."""
        if self.book.judge.checks:
            told = shown(self.chosen.values(), self.ranked)
            check_ground(self)
            check_options(self, told)
            self.checked = len(told)

    @cached_property
    def steps(self) -> list[JudgedStep]:
        """What somebody means to do, judged; asked for once the starts of the options fit."""
        return self._judged(self.filled.situation.proposal)

    @cached_property
    def opening_steps(self) -> Mapping[str, JudgedStep]:
        """Opening each zone with young turf today, judged by the rules of that step with what the record
        holds.
        """
        young = {code: found for code in self.zones if (found := young_turf(self.filled, code)) is not None}
        return {
            step.zone: step
            for step in self._judged(
                [opening_proposal(self.filled, code, found) for code, found in young.items()]
            )
        }

    def _judged(self, proposals: Sequence[Proposal]) -> list[JudgedStep]:
        steps = judge_steps(self, proposals)
        if self.book.judge.checks:
            check_steps(self, steps)
        return steps
