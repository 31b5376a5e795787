"""Grades, verdict facts, order and programme: each option is judged on named criteria, and the order can be re-derived by hand."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from decide.engine.language import CRITERIA, GRADES, CouldFire, Fact, Firing, Rule
from decide.options import Draft
from decide.read import Knowledge

RANK: Final = {grade: place for place, grade in enumerate(GRADES)}
VERDICT_ORDER: Final = ("advised", "sound", "risky", "not-advised", "ruled-out")
LIKE_TO_LIKE: Final = "the grass that stands there"
USABLE: Final = ("advised", "sound", "risky")


@dataclass
class Weighed:
    """An option with everything that was found about it."""

    draft: Draft
    facts: Mapping[str, Fact]
    firings: list[tuple[Rule, Firing]] = field(default_factory=list)
    could: list[tuple[Rule, CouldFire]] = field(default_factory=list)
    grades: dict[str, str] = field(default_factory=dict)
    verdict: str = ""
    verdict_rule: str = ""
    ready: dt.date | None = None
    cost: float | None = None

    @property
    def ruled_out(self) -> str:
        """none, could-fire or fired."""
        if any(rule.then.act == "rule-out" for rule, _ in self.firings):
            return "fired"
        return "could-fire" if any(rule.then.act == "rule-out" for rule, _ in self.could) else "none"

    def follows(self, stopgap: Weighed) -> bool:
        """Whether it starts after a stopgap and has the ground to itself until it bears light use, for as far as is known."""
        short = self.facts.get("option.free-short-light")
        starts = self.draft.start is not None and stopgap.draft.start is not None and self.draft.start > stopgap.draft.start
        return starts and not (isinstance(short, float) and short > 0)

    @property
    def only_late(self) -> bool:
        """Whether nothing but the date wanted rules it out."""
        return all(rule.then.target == "ready-in-time" for rule, _ in self.firings if rule.then.act == "rule-out")


def worst(grades: Sequence[str]) -> str:
    """The worst of some grades, in the order weak < unknown < fair < strong; unknown where there is none."""
    return min(grades, key=RANK.__getitem__, default="unknown")


def grades_of(firings: Sequence[tuple[Rule, Firing]]) -> dict[str, str]:
    """The worst mark of each criterion; a rule-out grades its criterion weak; no mark is unknown."""
    marks: dict[str, list[str]] = {criterion: [] for criterion in CRITERIA}
    for rule, _ in firings:
        if rule.then.act == "mark":
            marks[rule.then.target].append(rule.then.grade)
        elif rule.then.act == "rule-out":
            marks[rule.then.target].append("weak")
    return {criterion: worst(given) if given else "unknown" for criterion, given in marks.items()}


def verdict_facts(weighed: Weighed, essential: frozenset[str]) -> dict[str, Fact]:
    """What the verdict rules of options read: whether it is ruled out, and the worst grades."""
    grades = weighed.grades
    others = [grade for criterion, grade in grades.items() if criterion not in essential and criterion != "risk"]
    return {
        "option.rule-out": weighed.ruled_out,
        "option.worst-essential": worst([grades[criterion] for criterion in CRITERIA if criterion in essential]) if essential else "fair",
        "option.risk-grade": grades["risk"],
        "option.worst-other": worst(others),
    }


def criteria_order(knowledge: Knowledge, wishes: Sequence[str]) -> tuple[str, ...]:
    """The criteria in the order of the wishes, then in the stated order."""
    front = [knowledge.wishes[wish] for wish in wishes if wish in knowledge.wishes]
    return tuple(dict.fromkeys([*front, *knowledge.order]))


def goes_first(weighed: Weighed) -> bool:
    """Whether a rule puts it before options that are judged alike."""
    return weighed.facts.get("option.goes-first") is True


def sort_key(weighed: Weighed, order: Sequence[str]) -> tuple[object, ...]:
    """Where an option stands: verdict, grades in order, what goes first by rule, the earlier date, the lower cost, the code."""
    return (
        VERDICT_ORDER.index(weighed.verdict),
        tuple(-RANK[weighed.grades[criterion]] for criterion in order),
        not goes_first(weighed),
        weighed.ready or dt.date.max,
        weighed.cost if weighed.cost is not None else float("inf"),
        weighed.draft.code,
    )


def first_difference(better: Weighed, other: Weighed, order: Sequence[str]) -> str:
    """The first place in the order where two options differ: "verdict", a criterion, LIKE_TO_LIKE, "date", "cost" or "code"."""
    if better.verdict != other.verdict:
        return "verdict"
    for criterion in order:
        if better.grades[criterion] != other.grades[criterion]:
            return criterion
    if goes_first(better) != goes_first(other):
        return LIKE_TO_LIKE
    if better.ready != other.ready:
        return "date"
    return "cost" if better.cost != other.cost else "code"


@dataclass(frozen=True)
class Chosen:
    """What is chosen for one zone: an option, a stopgap before it, or the least bad where nothing is sound."""

    option: Weighed | None
    stopgap: Weighed | None = None
    least_bad: Weighed | None = None
    runner_up: Weighed | None = None

    @property
    def named(self) -> list[Weighed]:
        """What the programme names, in the order of doing."""
        return [w for w in (self.stopgap, self.option, self.least_bad) if w is not None]


def choose(ranked: Sequence[Weighed]) -> Chosen:
    """The programme of one zone from its options in order.

    The best option; or, where the best is in time but does not last and another lasts but is not in time, the first as
    a stopgap and the other after it, when the ground is free; or nothing sound, with the least bad named.
    """
    if not ranked:
        return Chosen(None)
    usable = [w for w in ranked if w.verdict in USABLE]
    if not usable:
        return Chosen(None, least_bad=ranked[0])
    best = usable[0]
    if best.draft.remedy == "establish" and best.grades["lasts"] == "weak":
        lasting = [
            w for w in ranked
            if w.draft.remedy == "establish" and w.grades["lasts"] in ("fair", "strong") and w.grades["fits-place"] != "weak"
            and w.only_late and w.grades["risk"] != "weak"
        ]  # fmt: skip
        both = [w for w in lasting if w.verdict in USABLE and w.grades["ready-in-time"] in ("fair", "strong")]
        if both:
            best = both[0]
        else:
            later = [w for w in lasting if w.follows(best) and w.grades["can-be-done"] != "weak"]
            if later:
                return Chosen(later[0], stopgap=best)
    rest = [w for w in usable if w is not best and (w.draft.remedy, w.draft.method, w.draft.plant) != (best.draft.remedy, best.draft.method, best.draft.plant)]
    return Chosen(best, runner_up=rest[0] if rest else None)
