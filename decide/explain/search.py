"""A search for changed answers that do: what was run on some options, and what stood against each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal

from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Diagnosis
from decide.decision.rank import VERDICT_ORDER, Weighed, sort_key
from decide.engine.language import ADVERSE
from decide.explain.changes import Changes, plain_key
from decide.explain.found import Found
from decide.explain.reasons import Level
from decide.explain.runs import Runs, facts_of, weigh_fitted
from decide.facts.draft import Draft
from decide.parse.otherwise_reader import HOURS_OF_USE

Goal = Literal["sound", "advised"]


# At most so many ways to do what is asked are tried in each run, the best-ranked first.
MOST_DRAFTS: Final = 8


MOST_RUNS: Final = 1500


# Changes of these move the days on which an option can start.
_MOVES_STARTS: Final = ("dates.no_play", "zone.in_play", HOURS_OF_USE)


# ---------- the search ----------
@dataclass(frozen=True)
class Run:
    """What one run gave: for each way the rules that stand against it, and the facts that moved; the best
    that meets the goal.
    """

    blockers: Mapping[str, frozenset[str]]
    moved: frozenset[str]
    met: Weighed | None


class Search:
    """One search: the ways that are meant, what can be changed, and what was run."""

    def __init__(self, c: Consultation, found: Found, zone: str, goal: Goal, level: Level) -> None:
        self.c, self.found, self.zone, self.goal, self.level = c, found, zone, goal, level
        self.runs = Runs(c)
        self.least = VERDICT_ORDER.index(goal)
        self.done: dict[str, Run | None] = {}
        self.count = 0
        self.complete = True
        self.facts: dict[str, dict[str, Any]] = {}
        self.rests: dict[str, frozenset[str]] = {}
        self.drafts: list[Draft] = []

    # ---------- runs ----------
    def run(self, changes: Changes) -> Run | None:
        """The ways judged under some changes; None where the answers contradict each other, or where enough
        was run.
        """
        key = repr(sorted(changes.items(), key=lambda row: row[0]))
        if key not in self.done:
            if self.count >= MOST_RUNS:
                self.complete = False
                return None
            self.count += 1
            half = self.runs.half(changes)
            self.done[key] = None if half is None else self.judged(half, changes)
        return self.done[key]

    def judged(self, half: Diagnosis, changes: Changes) -> Run:
        remedies = half.remedies().get(self.zone, [])
        drafts = self.drafts
        if any(plain_key(key) in _MOVES_STARTS for key in changes) and not self.found.remedies:
            here = {draft.code for draft in drafts}
            same = {(draft.method, draft.plant, draft.variant) for draft in drafts}
            more = [
                d
                for d in half.options()
                if d.zone == self.zone
                and (d.method, d.plant, d.variant) in same
                and self.starts_then(d)
                and d.code not in here
            ]
            drafts = [*drafts, *more[:MOST_DRAFTS]]
        ways = list(weigh_fitted(self.c, half, drafts, self.goal).values())
        for_now = facts_of(half, self.zone)
        before = facts_of(self.c, self.zone)
        moved = {name for name in for_now.keys() | before.keys() if for_now.get(name) != before.get(name)}
        for w in ways:
            own = self.facts.get(w.draft.code, {})
            moved |= (
                {name for name in w.facts.keys() | own.keys() if w.facts.get(name) != own.get(name)}
                if own
                else set()
            )
        met = [w for w in ways if w.draft.remedy in remedies and VERDICT_ORDER.index(w.verdict) <= self.least]
        met.sort(key=lambda w: sort_key(w, self.c.order))
        blockers = {w.draft.code: self.blockers(half, w, remedies) for w in ways}
        return Run(blockers, frozenset(moved), met[0] if met else None)

    def starts_then(self, draft: Draft) -> bool:
        if self.found.start is not None:
            return draft.start == self.found.start
        return not self.found.months or (draft.start is not None and draft.start.month in self.found.months)

    def blockers(self, half: Diagnosis, w: Weighed, remedies: Sequence[str]) -> frozenset[str]:
        """The rules that hold an option under the goal: those against it that are fired or could, and what
        the ground is not given.
        """
        against = [*(rule for rule, _ in w.firings), *w.open, *(w.remote if self.goal == "advised" else [])]
        names = {
            rule.id
            for rule in against
            if self.holds_down(half, rule.then.act, rule.then.grade, rule.then.target)
        }
        if self.goal == "advised" or w.ruled_out != "fired":
            names |= {rule.id for rule, _ in w.could if rule.then.act == "rule-out"}
        if self.goal == "advised":
            names |= {
                f"grade:{criterion}"
                for criterion in half.essential
                if w.grades[criterion] not in ("fair", "strong")
            }
        if w.draft.remedy not in remedies:
            names.add(f"remedy:{w.draft.remedy}")
        return frozenset(names)

    def holds_down(self, half: Diagnosis, act: str, grade: str, target: str) -> bool:
        return act == "rule-out" or (
            act == "mark"
            and grade in ADVERSE
            and (target in half.essential or target == "risk" or self.goal == "advised")
        )

    def rests_on(self, rule: str) -> frozenset[str]:
        """The facts that a rule reads, and those behind the facts that rules conclude."""
        if rule not in self.rests:
            self.rests[rule] = self.behind(rule)
        return self.rests[rule]

    def behind(self, rule: str) -> frozenset[str]:
        base = self.c.book.base
        if rule.startswith("remedy:"):
            todo = [f"zone.{rule.replace('remedy:', 'remedy-')}"]
        elif rule.startswith("grade:"):
            todo = [
                name
                for each in base.rules
                if each.then.target == rule.removeprefix("grade:")
                for condition in each.conditions
                for name in condition.facts
            ]
        else:
            todo = [name for condition in self.c.book.rules[rule].conditions for name in condition.facts]
        found: set[str] = set()
        while todo:
            name = todo.pop()
            if name not in found:
                found.add(name)
                todo += [
                    inner
                    for each in base.rules
                    if each.then.act == "conclude" and each.then.target == name
                    for c in each.conditions
                    for inner in c.facts
                ]
        return frozenset(found)
