"""The options of a consultation graded again where rules about them are otherwise: only what these rules
move is made anew.
"""

from __future__ import annotations

import copy
from collections.abc import Collection, Mapping
from functools import cached_property, partial

from decide.decision.consultation import Consultation
from decide.decision.grades import Ends, Graded, column_of, first_rules, grades
from decide.decision.programme import choose
from decide.decision.rank import UNKNOWN, sort_key
from decide.engine.base import RuleBase
from decide.engine.columns import Columns, Found, Ruled, judge
from decide.engine.language import CRITERIA, ROLE, Rule


class Options:
    """The options of a consultation as sets, with what rules say of them as told and in the usual reading."""

    def __init__(self, c: Consultation) -> None:
        self.c, self.rows = c, list(c.weighed.values())
        concluded = [name for name, kind in c.types.items() if kind.scope == "option" and kind.concluded]
        facts = [dict(w.facts) for w in self.rows]
        for held in facts:
            for name in concluded:
                held.pop(name, None)
        self.before = Columns([w.draft.code for w in self.rows], facts)
        zones: dict[str, int] = {}
        for n, w in enumerate(self.rows):
            zones[w.draft.zone] = zones.get(w.draft.zone, 0) | 1 << n
        usual = self.before.under([(c.usual_facts[zone], group) for zone, group in zones.items()])
        self.told, self.usual = (
            judge(c.book.base, "option", each, c.without) for each in (self.before, usual)
        )
        self.ends = grades(self.told, self.usual, c.is_closed, c.book.quiet)
        self._keys = {w.draft.code: sort_key(w, c.order) for w in self.rows}

    @cached_property
    def parts(self) -> tuple[Columns, Columns]:
        """What the rules of verdicts and those of roles read."""
        return self._parts(self.told, self.ends, [w.verdict for w in self.rows])

    def _parts(self, told: Found, ends: Ends, verdicts: list[str]) -> tuple[Columns, Columns]:
        c = self.c
        columns = {"option.verdict": column_of(verdicts), **ends.role_columns(c.essential)}
        return told.columns.over(ends.verdict_columns(c.essential, c.counting.perhaps)), told.columns.over(
            columns
        )

    def again(self, other: Consultation, edited: Collection[str]) -> None:
        """Put into a copy of the consultation, whose book holds other rules, the options as these grade them,
        their order and what is chosen of them.
        """
        c, base = self.c, other.book.base
        told, usual = (replaced(found, base, edited, other.without) for found in (self.told, self.usual))
        ends = grades(told, usual, c.is_closed, c.book.quiet)
        moved = _differing(self.ends, ends)
        verdict_rules, roles = [w.verdict_rule for w in self.rows], [w.roles for w in self.rows]
        if moved or any(other.book.rules[id].layer != "option" for id in edited):
            read, _ = self._parts(told, ends, [w.verdict for w in self.rows])
            verdict_rules = first_rules(judge(base, "option-verdict", read, other.without))
            verdicts = [other.book.rules[rule].then.target for rule in verdict_rules]
            _, read = self._parts(told, ends, verdicts)
            given = judge(base, "option-role", read, other.without).concluded
            roles = [
                frozenset(name.removeprefix(ROLE) for name, (true, _) in given.items() if true >> n & 1)
                for n in range(len(self.rows))
            ]
        touched = moved | _touched(self.told, told) | _touched(self.usual, usual)
        keys = dict(self._keys)
        other.weighed = dict(c.weighed)
        for n, old in enumerate(self.rows):
            anew = moved >> n & 1 or verdict_rules[n] != old.verdict_rule or roles[n] != old.roles
            if anew or touched >> n & 1:
                w = copy.copy(old)
                w.firings, w.could = partial(told.fired_on, n), partial(told.could_on, n)
                w.open, w.remote, w.doubts = other.open_of(w, usual, n)
                if anew:
                    w.grades, w.bests = _of(ends.worst, n), _of(ends.best, n)
                    w.verdict_rule, w.roles = verdict_rules[n], roles[n]
                    w.verdict = other.book.rules[w.verdict_rule].then.target
                    keys[w.draft.code] = sort_key(w, c.order)
                other.weighed[w.draft.code] = w
        other.ranked = sorted(other.weighed.values(), key=lambda w: keys[w.draft.code])
        shapes = c.knowledge.shapes.values()
        other.chosen = {
            code: choose([w for w in other.ranked if w.draft.zone == code], shapes, c.book.holds)
            for code in c.zones
        }


def replaced(found: Found, base: RuleBase, edited: Collection[str], without: Collection[str]) -> Found:
    """What was judged of options, with what rules that are otherwise and conclude nothing say."""
    columns = found.columns
    strata: list[list[Ruled]] = []
    for stratum, held in zip(base.strata["option"], found.strata, strict=True):
        ids = {rule.id for rule in stratum} & {*edited}
        if not ids:
            strata.append([*held])
            continue
        before = {ruled.rule.id: ruled for ruled in held}
        rows: list[Ruled] = []
        for rule in stratum:
            if rule.id not in ids:
                ruled = before.get(rule.id)
            else:
                ruled = None if rule.id in without else ruled_of(columns, rule)
            if ruled is not None:
                rows.append(ruled)
        strata.append(rows)
    return Found(columns, strata, found.concluded)


def ruled_of(columns: Columns, rule: Rule) -> Ruled | None:
    """How a rule stands to subjects, as the engine has it; None where it says nothing."""
    true, unknown = columns.ask_all(rule.when)
    open_: list[tuple[str, int]] = []
    for exception in rule.unless if true | unknown else ():
        lifts, may_lift = columns.ask_all(exception.when)
        true, unknown = true & ~lifts, unknown & ~lifts
        if may_lift:
            open_.append((exception.name, may_lift))
    return Ruled(rule, true, unknown, tuple(open_)) if true | unknown else None


def _touched(before: Found, after: Found) -> int:
    """The subjects on which a rule stands otherwise."""
    one, two = ({ruled.rule.id: ruled for ruled in found.rules} for found in (before, after))
    group = 0
    for id in one.keys() | two.keys():
        left, right = one.get(id), two.get(id)
        if left is not right:
            for ruled in (left, right):
                group |= ruled.true | ruled.unknown if ruled is not None else 0
    return group


def _differing(before: Ends, after: Ends) -> int:
    """The options of which some end differs."""
    pairs: list[tuple[Mapping[str, int], Mapping[str, int]]] = [
        (before.remote, after.remote), (before.doubts, after.doubts)
    ]  # fmt: skip
    for criterion in CRITERIA:
        pairs += [
            (one[criterion], two[criterion])
            for one, two in ((before.worst, after.worst), (before.best, after.best))
        ]
    group = (
        (before.by_date ^ after.by_date) | (before.by_more ^ after.by_more) | (before.perhaps ^ after.perhaps)
    )
    for left, right in pairs:
        for name in left.keys() | right.keys():
            group |= left.get(name, 0) ^ right.get(name, 0)
    return group


def _of(graded: Graded, n: int) -> dict[str, str]:
    """The grades of one option."""
    return {
        criterion: next((grade for grade, group in graded[criterion].items() if group >> n & 1), UNKNOWN)
        for criterion in CRITERIA
    }
