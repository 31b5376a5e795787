"""What is said of all options of a consultation at once, as sets, so that another judgement of the same
options can be held against it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from decide.decision.diagnosis import Diagnosis
from decide.decision.grades import Ends, Graded, grades
from decide.decision.rank import Weighed
from decide.engine.columns import Column, Columns, Found, members
from decide.engine.columns import judge as plain_judge
from decide.engine.language import ROLE, Fact
from decide.questions.held import Facts


@dataclass
class JudgedRow:
    """An option as it was judged, and its measures; `fitted` says whether somebody had looked by then at when
    it can start.
    """

    w: Weighed
    own: Facts
    fitted: bool = False

    @property
    def zone(self) -> str:
        """The code of its zone."""
        return self.w.draft.zone


class Sets:
    """What is said of options in both readings, with grades, verdicts and roles: all as sets of options.

    Where the columns are those `before` with some others, rules that read none of these stand as they stood.
    """

    def __init__(
        self,
        half: Diagnosis,
        told: Columns,
        usual: Columns,
        without: frozenset[str],
        before: Sets | None = None,
    ) -> None:
        base = half.book.base
        self.told: Found = plain_judge(base, "option", told, without, None if before is None else before.told)
        self.usual: Found = plain_judge(
            base, "option", usual, without, None if before is None else before.usual
        )
        self.ends: Ends = grades(self.told, self.usual, half.is_closed, half.book.quiet)
        columns = self.told.columns
        judged = columns.over(self.ends.verdict_columns(half.essential))
        # Of each verdict rule the options of which it is the first that fires.
        self.first: dict[str, int] = {}
        left = columns.everyone
        for ruled in plain_judge(base, "option-verdict", judged, without).rules:
            if ruled.true & left:
                self.first[ruled.rule.id] = ruled.true & left
                left &= ~ruled.true
        verdicts: dict[Fact, int] = {}
        for rule, group in self.first.items():
            verdict = half.book.rules[rule].then.target
            verdicts[verdict] = verdicts.get(verdict, 0) | group
        self.verdicts: Column = verdicts
        ended = columns.over({"option.verdict": verdicts, **self.ends.role_columns(half.essential)})
        concluded = plain_judge(base, "option-role", ended, without).concluded
        self.roles: dict[str, int] = {name.removeprefix(ROLE): true for name, (true, _) in concluded.items()}

    @cached_property
    def fired(self) -> Mapping[str, int]:
        """Of each rule the options of which it is true."""
        return {ruled.rule.id: ruled.true for ruled in self.told.rules}

    def graded_otherwise(self, other: Sets) -> int:
        """The options whose grades, verdict or roles are others."""
        found = _differing(self.first, other.first) | _differing(self.roles, other.roles)
        for one, two in ((self.ends.worst, other.ends.worst), (self.ends.best, other.ends.best)):
            for criterion, grades_ in one.items():
                found |= _differing(grades_, two[criterion])
        return found

    def ruled_otherwise(self, other: Sets) -> int:
        """The options of which other rules are true, or of which other facts are concluded."""
        found = _differing(self.fired, other.fired)
        for name in self.told.concluded:
            found |= self.concluded_otherwise(other, name)
        return found

    def concluded_otherwise(self, other: Sets, name: str) -> int:
        """The options of which a derived fact is concluded otherwise."""
        (true, false), (yes, no) = self.told.concluded[name], other.told.concluded[name]
        return (true ^ yes) | (false ^ no)

    def derived(self, n: int) -> Facts:
        """What rules concluded of one option."""
        return {
            name: bool(true >> n & 1)
            for name, (true, false) in self.told.concluded.items()
            if (true | false) >> n & 1
        }


def grades_of(graded: Graded, group: int) -> dict[int, dict[str, str]]:
    """The grades of the options of a set, by their number."""
    found: dict[int, dict[str, str]] = {n: {} for n in members(group)}
    for criterion, held in graded.items():
        for grade, here in held.items():
            for n in members(here & group):
                found[n][criterion] = grade
    return found


def by_number(groups: Mapping[str, int], group: int) -> dict[int, list[str]]:
    """Of each option of a set the names of the groups that it is in."""
    found: dict[int, list[str]] = {n: [] for n in members(group)}
    for name, here in groups.items():
        for n in members(here & group):
            found[n].append(name)
    return found


def _differing(one: Mapping[str, int], two: Mapping[str, int]) -> int:
    found = 0
    for name in one.keys() | two.keys():
        found |= one.get(name, 0) ^ two.get(name, 0)
    return found


def fitted_code(code: str, short: float) -> str:
    """The code of an option whose start was found to come so many days too soon."""
    return f"{code} + {short:g}"
