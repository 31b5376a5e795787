"""What would it take: the least that the person can change to make an option sound, found by running it and proved by running less."""

from __future__ import annotations

import datetime as dt
import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal

from decide.decision.consultation import Consultation, Diagnosis
from decide.decision.rank import VERDICT_ORDER, Weighed, sort_key
from decide.engine.language import ADVERSE, FactType
from decide.explain.found import Found, find
from decide.explain.reasons import Level, Reason, Teller
from decide.explain.trials import (
    HOURS_OF_USE,
    KEYS,
    Change,
    Changes,
    Runs,
    change_of,
    facts_of,
    plain_key,
    told_type,
    value_of,
    weigh_fitted,
)
from decide.explain.why import against, title, verdict_words, zone_code, zone_name
from decide.explain.why_not import matching, why_not
from decide.facts.draft import Draft
from decide.knowledge.schema import Question
from decide.knowledge.speaker import VERDICT_NAMES
from decide.model.wording import listed
from decide.model.words import capital
from decide.model.written import DONT_KNOW, coded

Goal = Literal["sound", "advised"]
# At most so many ways to do what is asked are tried in each run, the best-ranked first.
MOST_DRAFTS: Final = 8
MOST_RUNS: Final = 1500
MOST_WAYS: Final = 4
# All smaller steps of a number are run where there are no more than this; else the next smaller one and a halving search.
MOST_STEPS_RUN: Final = 110
# Changes of these move the days on which an option can start.
_MOVES_STARTS: Final = ("dates.no_play", "zone.in_play", HOURS_OF_USE)
# The told key behind a measured fact that is marked as changeable.
BEHIND: Final[Mapping[str, str]] = {
    "site.days-to-play-by": "dates.play_by",
    "site.hours-peak": HOURS_OF_USE,
    "option.free-days": "dates.no_play",
}


@dataclass(frozen=True)
class Way:
    """One least way: the answers to change, the option that becomes sound by it, its verdict, and how the proof was made.

    `smaller_run` is how many lesser changes (a part of it, or smaller steps) were run and did not do; `all_smaller` says
    whether that was every one of them.
    """

    changes: tuple[Change, ...]
    option: str
    title: str
    verdict: str
    smaller_run: int
    all_smaller: bool

    @property
    def as_changes(self) -> dict[str, Any]:
        """The changes as `what_if` takes them."""
        return {change.key: change.after for change in self.changes}


@dataclass(frozen=True)
class WouldTake:
    """What it would take to make an option at least `goal`.

    `kind` is already, found, none, fixed (against the best such option stands a rule that rests on nothing that the
    person can move, or the ground does not call for it), not-proposed or not-found. `ways` all need the same number of
    answers, the least. `fixed` are the reasons that rest on nothing that the person can move. `complete` says whether all singles and pairs that could do were run.
    """

    text: str
    kind: str
    zone: str = ""
    option: str = ""
    goal: Goal = "sound"
    verdict: str = ""
    ways: tuple[Way, ...] = ()
    fixed: tuple[Reason, ...] = ()
    runs: int = 0
    complete: bool = True


@dataclass(frozen=True)
class _Dial:
    """An answer that can be changed: its other values; those of `rows` stand in steps away from what is now, the least first."""

    key: str
    rows: tuple[tuple[Any, ...], ...]

    @property
    def probes(self) -> list[tuple[int, int]]:
        """Places in the rows that are run first: each level; of steps the 1st, 2nd, 4th, 8th … and the last."""
        found: list[tuple[int, int]] = []
        for number, row in enumerate(self.rows):
            places = {2**power - 1 for power in range(len(row).bit_length()) if 2**power <= len(row)} | {
                len(row) - 1
            }
            found += [(number, place) for place in sorted(places)]
        return found


def would_take(
    consultation: Consultation, words: str, zone: str | None = None, goal: Goal = "sound", level: Level = 1
) -> WouldTake:
    """The least change of what the person can change that makes what the words name at least `goal`, proved by running it.

    The fewest answers come first, then the least steps of each: the same with one answer less, or with a smaller declared
    step of any, was run and does not do. Only answers marked as changeable in the knowledge are changed; the date wanted
    only where it is not firm. Single changes are run, then pairs. DecideError where there is no such zone.
    """
    c, found = consultation, find(consultation, words)
    if found.nothing:
        return WouldTake(why_not(c, words, level=level).text, "not-found", goal=goal)
    zones = [zone_code(c, zone)] if zone is not None else list(found.zones or c.zones)
    results = []
    for code in zones:
        results.append(_Search(c, found, code, goal, level).result())
        if results[-1].kind in ("already", "found") and zone is None and not found.zones:
            break
    order = {"already": 0, "found": 1, "none": 2, "fixed": 3, "not-proposed": 4, "not-found": 5}
    return min(results, key=lambda result: order[result.kind])


# ---------- what can be changed ----------
def dials(c: Consultation, answers: Mapping[str, Any], zone: str) -> list[_Dial]:
    """The answers that the person can change for a zone, with the values to run, by the marks of the knowledge."""
    found: list[_Dial] = []
    for question in c.knowledge.questions:
        if question.changeable:
            key = (
                f"zone.{zone}.{question.key.removeprefix('zone.')}"
                if question.key.startswith("zone.")
                else question.key
            )
            rows = _rows(question, value_of(answers, key), c.types, key)
            found.append(_Dial(key, rows))
    for name, key in BEHIND.items():
        row = c.knowledge.facts.get(name)
        if row is not None and row.changeable:
            found.append(_Dial(key, _measured_rows(c, answers, key, c.types[name])))
    return [_Dial(dial.key, tuple(row for row in dial.rows if row)) for dial in found if any(dial.rows)]


def _rows(
    question: Question, now: Any, types: Mapping[str, FactType], key: str
) -> tuple[tuple[Any, ...], ...]:
    if question.kind == "yesno":
        return tuple((value,) for value in (True, False) if value is not now)
    if question.kind == "list":
        return _more_of(question, now)
    if question.kind == "choice":
        return tuple((choice.value,) for choice in question.choices if choice.value not in (now, DONT_KNOW))
    kind = told_type(types, key)
    if kind is None or kind.low is None or kind.high is None or not kind.step:
        return ()
    at = float(now) if isinstance(now, (int, float)) else kind.low
    whole = question.key == "means.helpers"
    return tuple(
        tuple(int(each) if whole else each for each in row)
        for row in _steps(at, kind.low, kind.high, kind.step)
    )


def _steps(at: float, low: float, high: float, step: float) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """All values up and all values down from one, in steps, the ends included."""
    up = [at + step * n for n in range(1, int((high - at) / step) + 1)]
    down = [at - step * n for n in range(1, int((at - low) / step) + 1)]
    up += [high] if high > (up[-1] if up else at) else []
    down += [low] if low < (down[-1] if down else at) else []
    return tuple(up), tuple(down)


def _more_of(question: Question, now: Any) -> tuple[tuple[Any, ...], ...]:
    """One thing more than there is."""
    held = list(now) if isinstance(now, list) else []
    values = [choice.value for choice in question.choices if choice.value != "none"]
    if question.key == "offer":
        return tuple(
            ([*held, {"what": value}],)
            for value in values
            if not any(isinstance(each, Mapping) and each.get("what") == value for each in held)
        )
    plain = {coded(str(each)) for each in held}
    return tuple(([*held, value],) for value in values if coded(str(value)) not in plain)


def _measured_rows(
    c: Consultation, answers: Mapping[str, Any], key: str, kind: FactType
) -> tuple[tuple[Any, ...], ...]:
    assert kind.low is not None
    assert kind.high is not None
    assert kind.step is not None
    today, dates = c.filled.today, c.filled.situation.dates
    if key == "dates.play_by":
        if dates.play_by is None or dates.play_by_firm is True:
            return ()
        rows = _steps((dates.play_by - today).days, kind.low, kind.high, kind.step)
        return tuple(
            tuple((today + dt.timedelta(days=round(each))).isoformat() for each in row) for row in rows
        )
    if key == HOURS_OF_USE:
        now = value_of(answers, key)
        return () if now is None else _steps(now, kind.low, kind.high, kind.step)[1:]
    most = 364 if dates.play_by is None else max(0, (dates.play_by - today).days)
    held = [{"from": span.start.isoformat(), "until": span.until.isoformat()} for span in dates.no_play or []]
    weeks = range(round(kind.step), min(most, 364) + 1, round(kind.step))
    return (
        tuple(
            [*held, {"from": today.isoformat(), "until": (today + dt.timedelta(days=days)).isoformat()}]
            for days in weeks
        ),
    )


# ---------- the search ----------
@dataclass(frozen=True)
class _Run:
    """What one run gave: for each way the rules that stand against it, and the facts that moved; the best that meets the goal."""

    blockers: Mapping[str, frozenset[str]]
    moved: frozenset[str]
    met: Weighed | None


class _Search:
    """One search: the ways that are meant, what can be changed, and what was run."""

    def __init__(self, c: Consultation, found: Found, zone: str, goal: Goal, level: Level) -> None:
        self.c, self.found, self.zone, self.goal, self.level = c, found, zone, goal, level
        self.runs = Runs(c)
        self.least = VERDICT_ORDER.index(goal)
        self._done: dict[str, _Run | None] = {}
        self._count = 0
        self.complete = True
        self._facts: dict[str, dict[str, Any]] = {}
        self._rests: dict[str, frozenset[str]] = {}
        self.drafts: list[Draft] = []

    # ---------- runs ----------
    def run(self, changes: Changes) -> _Run | None:
        """The ways judged under some changes; None where the answers contradict each other, or where enough was run."""
        key = repr(sorted(changes.items(), key=lambda row: row[0]))
        if key not in self._done:
            if self._count >= MOST_RUNS:
                self.complete = False
                return None
            self._count += 1
            half = self.runs.half(changes)
            self._done[key] = None if half is None else self._judged(half, changes)
        return self._done[key]

    def _judged(self, half: Diagnosis, changes: Changes) -> _Run:
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
                and self._starts_then(d)
                and d.code not in here
            ]
            drafts = [*drafts, *more[:MOST_DRAFTS]]
        ways = list(weigh_fitted(self.c, half, drafts, self.goal).values())
        for_now = facts_of(half, self.zone)
        before = facts_of(self.c, self.zone)
        moved = {name for name in for_now.keys() | before.keys() if for_now.get(name) != before.get(name)}
        for w in ways:
            own = self._facts.get(w.draft.code, {})
            moved |= (
                {name for name in w.facts.keys() | own.keys() if w.facts.get(name) != own.get(name)}
                if own
                else set()
            )
        met = [w for w in ways if w.draft.remedy in remedies and VERDICT_ORDER.index(w.verdict) <= self.least]
        met.sort(key=lambda w: sort_key(w, self.c.order))
        blockers = {w.draft.code: self._blockers(half, w, remedies) for w in ways}
        return _Run(blockers, frozenset(moved), met[0] if met else None)

    def _starts_then(self, draft: Draft) -> bool:
        if self.found.start is not None:
            return draft.start == self.found.start
        return not self.found.months or (draft.start is not None and draft.start.month in self.found.months)

    def _blockers(self, half: Diagnosis, w: Weighed, remedies: Sequence[str]) -> frozenset[str]:
        """The rules that hold an option under the goal: those against it that are fired or could, and what the ground is not given."""
        against = [*(rule for rule, _ in w.firings), *w.open, *(w.remote if self.goal == "advised" else [])]
        names = {
            rule.id
            for rule in against
            if self._holds_down(half, rule.then.act, rule.then.grade, rule.then.target)
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

    def _holds_down(self, half: Diagnosis, act: str, grade: str, target: str) -> bool:
        return act == "rule-out" or (
            act == "mark"
            and grade in ADVERSE
            and (target in half.essential or target == "risk" or self.goal == "advised")
        )

    # ---------- the answer ----------
    def result(self) -> WouldTake:
        """The least ways, with their proof, in words."""
        c = self.c
        rows = self._options()
        name = capital(zone_name(c, self.zone))
        if not rows:
            told = why_not(c, " ".join(self._asked()), self.zone, self.level)
            return WouldTake(
                told.text,
                "not-proposed" if told.kind == "not-proposed" else "not-found",
                self.zone,
                goal=self.goal,
            )
        self.drafts = [w.draft for w in rows]
        self._facts = {w.draft.code: dict(w.facts) for w in rows}
        now = self.run({})
        assert now is not None
        best = rows[0]
        if now.met is not None:
            text = f"{name}: nothing. {capital(title(c, now.met.draft))} is {VERDICT_NAMES[now.met.verdict]} as things are."
            return WouldTake(
                text, "already", self.zone, now.met.draft.code, self.goal, now.met.verdict, runs=self._count
            )
        turns = dials(c, self.runs.answers, self.zone)
        ways = self._singles(turns) or self._pairs(turns, now)
        if ways:
            return self._told(name, best, ways)
        return self._in_vain(name, best, turns)

    def _asked(self) -> Iterable[str]:
        yield from (*self.found.methods, *self.found.plants, *self.found.remedies, *self.found.variants)

    def _options(self) -> list[Weighed]:
        """The options that are meant, the best first."""
        c, found = self.c, self.found
        if found.remedies and not (found.methods or found.plants):
            rows = [
                w
                for w in c.ranked
                if w.draft.zone == self.zone
                and w.draft.remedy in found.remedies
                and (w.draft.start is None or self._starts_then(w.draft))
            ]
            made = [Draft(self.zone, remedy) for remedy in found.remedies if remedy != "establish"]
            rows = rows or list(c.weigh(made).values())
        else:
            rows = matching(c, found, [self.zone])[1]
        open_ = [w for w in rows if w.draft.open and w.facts.get("option.climate-fit") != "no"]
        return (open_ or rows)[:MOST_DRAFTS]

    def _singles(self, turns: Sequence[_Dial]) -> list[Way]:
        ways: list[Way] = []
        for dial in turns:
            for number, row in enumerate(dial.rows):
                hit = next(
                    (
                        place
                        for n, place in dial.probes
                        if n == number and self._meets({dial.key: row[place]})
                    ),
                    None,
                )
                if hit is not None:
                    at, run, every = self._least(row, hit, lambda value, key=dial.key: {key: value})
                    ways.append(self._way({dial.key: row[at]}, run + 1, every))
        return self._shortest(ways)

    def _meets(self, changes: Changes) -> bool:
        run = self.run(changes)
        return run is not None and run.met is not None

    def _least(self, row: Sequence[Any], hit: int, put: Any) -> tuple[int, int, bool]:
        """The first place in a row of steps that does, no later than `hit`; how many lesser steps were run, and whether all were."""
        if hit <= MOST_STEPS_RUN:
            for place in range(hit):
                if self._meets(put(row[place])):
                    return place, place, True
            return hit, hit, True
        low, high, ran = -1, hit, 0
        while high - low > 1:
            middle = (low + high) // 2
            ran += 1
            if self._meets(put(row[middle])):
                high = middle
            else:
                low = middle
        return high, ran, high == 0

    def _pairs(self, turns: Sequence[_Dial], now: _Run) -> list[Way]:
        """Pairs of changes that could do: each rule against a way falls by one of them, or both touch what it rests on."""
        ways: list[Way] = []
        runs = {
            (dial.key, n, place): self.run({dial.key: dial.rows[n][place]})
            for dial in turns
            for n, place in dial.probes
        }
        for one, two in itertools.combinations(turns, 2):
            for (a, i), (b, j) in itertools.product(one.probes, two.probes):
                first, second = runs[one.key, a, i], runs[two.key, b, j]
                if not (first and second and self._could_do(now, first, second)):
                    continue
                changes = {one.key: one.rows[a][i], two.key: two.rows[b][j]}
                if self._meets(changes):
                    ways.append(self._lessened(one, two, (a, i), (b, j)))
                    break
        return self._shortest(ways)

    def _could_do(self, now: _Run, first: _Run, second: _Run) -> bool:
        """Whether for some way every rule against it falls by one of two changes alone, or rests on facts that both move."""
        both = first.moved & second.moved
        for code, rules in now.blockers.items():
            left = rules & first.blockers.get(code, rules) & second.blockers.get(code, rules)
            if all(both & self._rests_on(rule) for rule in left):
                return True
        for run, other in ((first, second), (second, first)):
            new = run.blockers.keys() - now.blockers.keys()
            if any(all(other.moved & self._rests_on(rule) for rule in run.blockers[code]) for code in new):
                return True
        return False

    def _rests_on(self, rule: str) -> frozenset[str]:
        """The facts that a rule reads, and those behind the facts that rules conclude."""
        if rule not in self._rests:
            self._rests[rule] = self._behind(rule)
        return self._rests[rule]

    def _behind(self, rule: str) -> frozenset[str]:
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

    def _lessened(self, one: _Dial, two: _Dial, at: tuple[int, int], by: tuple[int, int]) -> Way:
        """A pair with the least steps of each answer while the other stays."""
        row, other = one.rows[at[0]], two.rows[by[0]]
        i, ran, every = self._least(row, at[1], lambda value: {one.key: value, two.key: other[by[1]]})
        j, ran_too, every_too = self._least(other, by[1], lambda value: {one.key: row[i], two.key: value})
        i, ran_last, every_last = self._least(row, i, lambda value: {one.key: value, two.key: other[j]})
        # the parts of the pair were run as single changes, or are run now
        for key, value in ((one.key, row[i]), (two.key, other[j])):
            assert not self._meets({key: value})
        return self._way(
            {one.key: row[i], two.key: other[j]},
            ran + ran_too + ran_last + 3,
            every and every_too and every_last,
        )

    def _way(self, changes: Changes, smaller: int, every: bool) -> Way:
        run = self.run(changes)
        assert run is not None
        assert run.met is not None
        said = tuple(change_of(self.c, self.runs.answers, key, value) for key, value in changes.items())
        return Way(said, run.met.draft.code, title(self.c, run.met.draft), run.met.verdict, smaller, every)

    def _shortest(self, ways: list[Way]) -> list[Way]:
        kept: dict[tuple[str, ...], Way] = {}
        for way in ways:
            kept.setdefault(tuple(change.key for change in way.changes), way)
        return list(kept.values())

    # ---------- in words ----------
    def _told(self, name: str, best: Weighed, ways: list[Way]) -> WouldTake:
        shown = ways if self.level > 1 else ways[:MOST_WAYS]
        lines = [f"{name}: {title(self.c, best.draft)} is {VERDICT_NAMES[best.verdict]} now."]
        head = "One change would do" if len(ways[0].changes) == 1 else "It takes two changes together"
        lines.append(f"{head}{'; any one of these' if len(ways) > 1 else ''}:")
        for way in shown:
            lines.append(
                f"- {listed([change.text for change in way.changes])}. Then {way.title} is {VERDICT_NAMES[way.verdict]}."
            )
            if self.level > 1:
                every = "all that there are" if way.all_smaller else "not all that there are"
                lines.append(
                    f"    Proof: it was judged again so, and with less ({every}, {way.smaller_run} in number), which did not do."
                )
            if self.level > 2:
                lines.append(
                    f"    Keys: {', '.join(f'{change.key} = {change.after!r}' for change in way.changes)}. Option: {way.option}."
                )
        if len(ways) > len(shown):
            lines.append(f"And {len(ways) - len(shown)} more ways.")
        if self.level > 1:
            lines += self._against(best)
        return WouldTake(
            "\n".join(lines),
            "found",
            self.zone,
            best.draft.code,
            self.goal,
            best.verdict,
            tuple(ways),
            (),
            self._count,
            self.complete,
        )

    def _against(self, best: Weighed) -> list[str]:
        tell = Teller(self.c)
        rows = [
            reason
            for reason in against(tell, best)
            if self._holds_down(self.c, reason.act, reason.grade.replace("ruled-out", "weak"), reason.target)
        ]
        return (
            [
                "What stands against it now:",
                *(line for reason in rows for line in tell.lines(reason, self.level)),
            ]
            if rows
            else []
        )

    def _in_vain(self, name: str, best: Weighed, turns: Sequence[_Dial]) -> WouldTake:
        """No single change and no pair does: the reasons that nothing moved, and what was tried."""
        now = self._done[repr([])]
        assert now is not None
        tell, code = Teller(self.c), best.draft.code
        fell: set[str] = set()
        touched: set[str] = set()
        for run in self._done.values():
            if run is not None and run is not now:
                fell |= now.blockers[code] - run.blockers.get(code, now.blockers[code])
                touched |= run.moved
        stuck = now.blockers[code] - fell
        beyond = {rule for rule in stuck if not self._rests_on(rule) & touched}
        rows = [reason for reason in against(tell, best) if reason.rule in stuck]
        fixed = tuple(reason for reason in rows if reason.rule in beyond)
        lines = [f"{name}: {title(self.c, best.draft)}. {verdict_words(self.c, best)}"]
        if any(rule.startswith("remedy:") for rule in stuck):
            lines = [
                "Nothing that you can change does it: what is known of the ground does not call for it.",
                why_not(self.c, " ".join(self._asked()), self.zone, self.level).text,
            ]
        elif fixed:
            lines.append(
                f"Nothing that you can change makes it {self.goal}. This stands against it whatever you change:"
            )
            lines += [line for reason in fixed for line in tell.lines(reason, self.level)]
        else:
            lines.append(f"No one answer and no two answers that you can change make it {self.goal}.")
            lines += (
                [
                    "No one of them moved this:",
                    *(line for reason in rows for line in tell.lines(reason, self.level)),
                ]
                if rows
                else []
            )
        if self.level > 1:
            lines.append(
                f"Tried in {self._count} runs: {listed([KEYS[plain_key(dial.key)].split(';')[0].split(':')[0] for dial in turns])}."
            )
        if not self.complete:
            lines.append("Not every pair was tried.")
        kind = "fixed" if beyond or any(rule.startswith("remedy:") for rule in stuck) else "none"
        return WouldTake(
            "\n".join(lines),
            kind,
            self.zone,
            code,
            self.goal,
            best.verdict,
            (),
            fixed,
            self._count,
            self.complete,
        )


class Search(_Search):
    """The whole search of one zone, pairs too though a single change does: what its worst case costs."""

    def __init__(self, c: Consultation, words: str, goal: Goal = "sound") -> None:
        super().__init__(c, find(c, words), next(iter(c.zones)), goal, 1)

    @property
    def count(self) -> int:
        """How many changed situations were run."""
        return self._count

    def pairs(self) -> list[Way]:
        """Run every single change and every pair that could do."""
        rows = self._options()
        self.drafts = [w.draft for w in rows]
        self._facts = {w.draft.code: dict(w.facts) for w in rows}
        now = self.run({})
        turns = dials(self.c, self.runs.answers, self.zone)
        self._singles(turns)
        return [] if now is None else self._pairs(turns, now)


def changeable_keys(c: Consultation) -> Iterator[str]:
    """The keys that what would it take may change, for any zone."""
    yield from (question.key for question in c.knowledge.questions if question.changeable)
    yield from (
        key
        for name, key in BEHIND.items()
        if name in c.knowledge.facts and c.knowledge.facts[name].changeable
    )
