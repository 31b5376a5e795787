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
from decide.engine.columns import Columns, Found, members
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
        self.base, self.is_closed = half.book.base, half.is_closed
        self.essential, self.perhaps = half.essential, half.counting.perhaps
        self.changed = told.changed | usual.changed
        self.told: Found = plain_judge(
            self.base, "option", told, without, None if before is None else before.told
        )
        self.usual: Found = plain_judge(
            self.base, "option", usual, without, None if before is None else before.usual
        )
        same = before is not None and self._hangs_as(before)
        self.ends: Ends = (
            before.ends
            if before is not None and same
            else grades(self.told, self.usual, half.is_closed, half.book.quiet)
        )
        # Of each verdict rule the options of which it is the first that fires, and the options of each role.
        self.first: Mapping[str, int]
        self.roles: Mapping[str, int]
        self.first, self.roles = (
            (before.first, before.roles)
            if before is not None
            and same
            and (self.essential, self.perhaps) == (before.essential, before.perhaps)
            and self.changed.isdisjoint(before.ending)
            else self._ended(half, without)
        )

    def _ended(self, half: Diagnosis, without: frozenset[str]) -> tuple[Mapping[str, int], Mapping[str, int]]:
        """What the rules of verdict and roles say."""
        columns, ends = self.told.columns, self.ends
        judged = columns.over(ends.verdict_columns(self.essential, self.perhaps))
        first: dict[str, int] = {}
        left = columns.everyone
        for ruled in plain_judge(self.base, "option-verdict", judged, without).rules:
            if ruled.true & left:
                first[ruled.rule.id] = ruled.true & left
                left &= ~ruled.true
        verdicts: dict[Fact, int] = {}
        for rule, group in first.items():
            verdict = half.book.rules[rule].then.target
            verdicts[verdict] = verdicts.get(verdict, 0) | group
        ended = columns.over({"option.verdict": verdicts, **ends.role_columns(self.essential)})
        concluded = plain_judge(self.base, "option-role", ended, without).concluded
        return first, {name.removeprefix(ROLE): true for name, (true, _) in concluded.items()}

    # ---------- held against another ----------
    def _hangs_as(self, before: Sets) -> bool:
        """Whether rules stand as `before` to every option, and hang on the same facts, which answers can
        bring as they could.
        """
        return (
            self.told.strata == before.told.strata
            and self.usual.strata == before.usual.strata
            and self.changed.isdisjoint(before.hanging)
            and all(self.is_closed(name) == shut for name, shut in before.hanging.items())
        )

    @cached_property
    def hanging(self) -> Mapping[str, bool]:
        """The facts of rules that could fire and of exceptions that could lift one, each with whether no
        answer can bring it.
        """
        names: set[str] = set()
        for ruled in (*self.told.rules, *self.usual.rules):
            names.update(name for each in ruled.rule.when if ruled.unknown for name in each.facts)
            if ruled.open:
                names |= ruled.rule.reads
        return {name: self.is_closed(name) for name in names}

    @cached_property
    def ending(self) -> frozenset[str]:
        """The facts that the rules of verdict and roles read."""
        strata = (*self.base.strata["option-verdict"], *self.base.strata["option-role"])
        return frozenset().union(*(rule.reads for stratum in strata for rule in stratum))

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
