"""Grades of many options at once, at both ends, and what the rules of verdict and roles read of them: all as
sets of options.

It says of each option what `bound`, `verdict_facts` and `role_facts` say of one; tests hold them together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from decide.decision.rank import LEVELS, RULED_OUT, TIME, UNKNOWN, grade_of, is_hanging
from decide.engine.columns import Column, Found, Ruled, members
from decide.engine.language import ADVERSE, CRITERIA, GRADES, Fact

# For each criterion the options of each grade.
Graded = Mapping[str, Mapping[str, int]]
_GRADING: Final = ("mark", "rule-out")
_LEVEL_OF: Final = {grade: level for level, grades in LEVELS for grade in grades}


def _worst(sets: Iterable[Mapping[str, int]], everyone: int) -> dict[str, int]:
    """The options by the worst of their grades; unknown where there is none."""
    held, left, found = list(sets), everyone, dict[str, int]()
    for grade in GRADES:
        here = 0
        for each in held:
            here |= each.get(grade, 0)
        if here & left:
            found[grade] = here & left
            left &= ~here
    if left:
        found[UNKNOWN] = found.get(UNKNOWN, 0) | left
    return found


def _best(marks: Mapping[str, int], group: int) -> dict[str, int]:
    """The options of a group by the best of their grades, of which unknown is always one."""
    found: dict[str, int] = {}
    for grade in reversed(GRADES):
        here = group if grade == UNKNOWN else marks.get(grade, 0) & group
        if here:
            found[grade] = here
            group &= ~here
    return found


@dataclass(frozen=True)
class Ends:
    """Both ends of every criterion, and the options of which something bad hangs on an unusual reading: those
    that a rule could rule out or mark down, and those that it could make doubtful, by criterion.
    """

    everyone: int
    worst: Graded
    best: Graded
    remote: Mapping[str, int]
    doubts: Mapping[str, int]
    # Ruled out by the date alone, by more, and perhaps.
    by_date: int
    by_more: int
    perhaps: int

    def of(self, graded: Graded) -> list[dict[str, str]]:
        """The grades of each option."""
        columns: list[list[str]] = []
        for criterion in CRITERIA:
            column = [UNKNOWN] * self.everyone.bit_length()
            for grade, group in graded[criterion].items():
                if grade != UNKNOWN:
                    for n in members(group):
                        column[n] = grade
            columns.append(column)
        return [dict(zip(CRITERIA, row, strict=True)) for row in zip(*columns, strict=True)]

    def ends(self, criteria: Sequence[str]) -> Column:
        """How the two ends of some criteria stand together; good where there are none."""
        if not criteria:
            return {"good": self.everyone}
        worst = _worst((self.worst[criterion] for criterion in criteria), self.everyone)
        best = _worst((self.best[criterion] for criterion in criteria), self.everyone)
        weak = 0
        for grade in ADVERSE:
            weak |= best.get(grade, 0)
        found = {"weak": weak}
        for grade, group in worst.items():
            level = _LEVEL_OF.get(grade, "open")
            found[level] = found.get(level, 0) | group & ~weak
        return {level: group for level, group in found.items() if group}

    def _split(self, group: int, yes: str, no: str) -> Column:
        both = {yes: group, no: self.everyone & ~group}
        return {level: held for level, held in both.items() if held}

    @cached_property
    def _ruled_out(self) -> int:
        return self.by_date | self.by_more

    def verdict_columns(
        self, essential: frozenset[str], perhaps: frozenset[str] = frozenset()
    ) -> dict[str, Column]:
        """What the verdict rules of options read, as `verdict_facts` has it of one."""
        others = [
            criterion
            for criterion in CRITERIA
            if criterion not in essential and criterion not in ("risk", TIME)
        ]
        most = self.ends(
            [criterion for criterion in CRITERIA if criterion in essential and criterion != TIME]
        )
        time: Column = self.ends([TIME]) if TIME in essential else {"free": self.everyone}
        risk = self.ends(["risk"])
        hangs = self.ends(sorted(perhaps))
        open_ = most.get("open", 0) | time.get("open", 0) | risk.get("open", 0)
        open_ |= hangs.get("open", 0) | hangs.get("weak", 0)
        soft = most.get("soft", 0) | time.get("soft", 0)
        lesser = _worst((self.worst[criterion] for criterion in others), self.everyone)
        for grade in ADVERSE:
            soft |= lesser.get(grade, 0)
        silent = 0
        for criterion in {"risk", "money", *essential, *perhaps}:
            silent |= self.remote.get(criterion, 0)
        for criterion in essential | perhaps:
            silent |= self.doubts.get(criterion, 0)
        out = self._ruled_out
        ruled: dict[str, int] = {
            "fired": out,
            "could-fire": self.perhaps & ~out,
            "none": self.everyone & ~(out | self.perhaps),
        }
        return {
            "option.rule-out": {level: group for level, group in ruled.items() if group},
            "option.essential": most,
            "option.time": time,
            "option.risk-end": risk,
            "option.open": self._split(open_, "some", "none"),
            "option.soft": self._split(soft, "some", "none"),
            "option.silence": self._split(silent, "speaks", "none"),
        }

    def role_columns(self, essential: frozenset[str]) -> dict[str, Column]:
        """What the rules of roles read beside the verdict, as `role_facts` has it of one."""
        by = {
            "nothing": self.everyone & ~self._ruled_out,
            "the-date": self.by_date & ~self.by_more,
            "more": self.by_more,
        }
        return {
            "option.ruled-out-by": {level: group for level, group in by.items() if group},
            "option.in-time": self.ends([TIME]),
            "option.lasting": self.ends(["lasts"]),
            "option.else-essential": self.ends(
                [
                    criterion
                    for criterion in CRITERIA
                    if criterion in essential and criterion not in (TIME, "lasts", "stands-use")
                ]
            ),
            "option.stood": self.ends(["stands-use"] if "stands-use" in essential else []),
            "option.risk-end": self.ends(["risk"]),
            "option.place-end": self.ends(["fits-place"]),
        }


def _hanging(ruled: Ruled, shut: Callable[[str], bool]) -> int:
    """The options of which an answer could still show that an exception lifts a rule that fires."""
    hanging = 0
    for name, group in ruled.open:
        if is_hanging(ruled.rule, (name,), shut):
            hanging |= group
    return hanging & ruled.true


def _any(sets: Mapping[str, int]) -> int:
    found = 0
    for group in sets.values():
        found |= group
    return found


def _add(sets: dict[str, dict[str, int]], criterion: str, grade: str, group: int) -> None:
    held = sets[criterion]
    held[grade] = held.get(grade, 0) | group


def grades(told: Found, usual: Found, closed: Callable[[str], bool], quiet: frozenset[str]) -> Ends:
    """The grades of all options, from what rules say of what is told and of the usual reading of what is not;
    `closed` and `quiet` as `bound` takes them.
    """

    def silent(name: str) -> bool:
        return closed(name) or name in quiet

    everyone = told.columns.everyone
    sure: dict[str, dict[str, int]] = {criterion: {} for criterion in CRITERIA}
    maybe: dict[str, dict[str, int]] = {criterion: {} for criterion in CRITERIA}
    fired = {ruled.rule.id: ruled.true & ~_any(dict(ruled.open)) for ruled in told.rules}
    here: dict[str, int] = {}
    for ruled in usual.rules:
        rule = ruled.rule
        if rule.then.act not in _GRADING:
            continue
        if rule.then.act == "mark" and ruled.true:
            hanging = _hanging(ruled, silent)
            _add(sure, rule.then.target, rule.then.grade, ruled.true & ~hanging)
            _add(maybe, rule.then.target, rule.then.grade, hanging)
        waits = usual.columns.waiting(rule.when, ruled.unknown, silent) if ruled.unknown else 0
        _add(maybe, rule.then.target, grade_of(rule), waits)
        if rule.adverse:
            here[rule.id] = ruled.true & ~fired.get(rule.id, 0) | waits
    for criterion, group in _ruled_out(usual).items():
        # What rules out grades its criterion only where no mark says how bad it is.
        _add(sure, criterion, RULED_OUT, group & ~_any(sure[criterion]))
    worst, best = _both_ends(sure, maybe, everyone)
    out = _ruled_out(told)
    perhaps = _any(
        {ruled.rule.id: ruled.unknown for ruled in told.rules if ruled.rule.then.act == "rule-out"}
    )
    more = _any({criterion: group for criterion, group in out.items() if criterion != TIME})
    away = _away(told, here, {ruled.rule.id: ruled.true for ruled in usual.rules}, closed)
    return Ends(everyone, worst, best, *away, out.get(TIME, 0), more, perhaps)


def _both_ends(
    sure: Mapping[str, Mapping[str, int]], maybe: Mapping[str, Mapping[str, int]], everyone: int
) -> tuple[dict[str, dict[str, int]], dict[str, dict[str, int]]]:
    """The worst and the best end of each criterion, from the grades that are sure and those that may be."""
    worst: dict[str, dict[str, int]] = {}
    best: dict[str, dict[str, int]] = {}
    for criterion in CRITERIA:
        known = _any(sure[criterion])
        unmarked = {UNKNOWN: everyone & ~known}
        worst[criterion] = _worst([sure[criterion], maybe[criterion], unmarked], everyone)
        best[criterion] = _best(maybe[criterion], everyone & ~known)
        for grade, group in _worst([sure[criterion]], known).items():
            _add(best, criterion, grade, group)
    return worst, best


def _away(
    told: Found, here: Mapping[str, int], usually: Mapping[str, int], closed: Callable[[str], bool]
) -> tuple[dict[str, int], dict[str, int]]:
    """Which options a rule that stands open only in an unusual reading would speak against, and of which it
    would make a criterion doubtful.
    """
    remote: dict[str, int] = {}
    doubts: dict[str, int] = {}
    for ruled in told.rules:
        rule, then = ruled.rule, ruled.rule.then
        held = remote if rule.adverse else doubts
        if rule.adverse or (then.act == "mark" and then.grade == "doubtful"):
            away = ruled.unknown & ~here.get(rule.id, 0)
            waits = told.columns.waiting(rule.when, away, closed) if away else 0
            # What is usual lifts some rules that fire: what is not leaves them.
            lifted = _hanging(ruled, closed) & ~usually.get(rule.id, 0)
            held[then.target] = held.get(then.target, 0) | waits | lifted
    return remote, doubts


def _ruled_out(judged: Found) -> dict[str, int]:
    """The options that are ruled out, by criterion."""
    found: dict[str, int] = {}
    for ruled in judged.rules:
        if ruled.rule.then.act == "rule-out":
            found[ruled.rule.then.target] = found.get(ruled.rule.then.target, 0) | ruled.true
    return found


def first_rules(found: Found) -> list[str]:
    """Of each option the first rule that fires on it; "" where none does."""
    first, left = [""] * len(found.columns), found.columns.everyone
    for ruled in found.rules:
        for n in members(ruled.true & left):
            first[n] = ruled.rule.id
        left &= ~ruled.true
    return first


def column_of(levels: Sequence[str]) -> Column:
    """A column that holds one level for each option."""
    column: dict[Fact, int] = {}
    for n, level in enumerate(levels):
        column[level] = column.get(level, 0) | 1 << n
    return column
