"""What would it take: the least that the person can change to make an option sound, found by running it and
proved by running less.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.explain.changes import (
    Change,
    Changes,
    change_of,
    key_words,
)
from decide.explain.dials import Dial, dials
from decide.explain.found import find
from decide.explain.reasons import Level, Reason, Teller
from decide.explain.search import MOST_DRAFTS, Goal, Run, Search
from decide.explain.why import against, title, verdict_words, zone_code, zone_name
from decide.explain.why_not import matching, why_not
from decide.facts.draft import Draft
from decide.model.words import capital

MOST_WAYS: Final = 4
# All smaller steps of a number are run where there are no more than this; else the next smaller one and a
# halving search.
MOST_STEPS_RUN: Final = 110


@dataclass(frozen=True)
class Way:
    """One least way: the answers to change, the option that becomes sound by it, its verdict, and how the
    proof was made.

    `smaller_run` is how many lesser changes (a part of it, or smaller steps) were run and did not do;
    `all_smaller` says whether that was every one of them.
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

    `kind` is already, found, none, fixed (against the best such option stands a rule that rests on nothing
    that the person can move, or the ground does not call for it), not-proposed or not-found. `ways` all need
    the same number of answers, the least. `fixed` are the reasons that rest on nothing that the person can
    move. `complete` says whether all singles and pairs that could do were run.
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


def would_take(
    consultation: Consultation, words: str, zone: str | None = None, goal: Goal = "sound", level: Level = 1
) -> WouldTake:
    """The least change of what the person can change that makes what the words name at least `goal`, proved
    by running it.

    The fewest answers come first, then the least steps of each: the same with one answer less, or with a
    smaller declared step of any, was run and does not do. Only answers marked as changeable in the knowledge
    are changed; the date wanted only where it is not firm. Single changes are run, then pairs. DecideError
    where there is no such zone.
    """
    c, found = consultation, find(consultation, words)
    if found.nothing:
        return WouldTake(why_not(c, words, level=level).text, "not-found", goal=goal)
    zones = [zone_code(c, zone)] if zone is not None else list(found.zones or c.zones)
    results = []
    for code in zones:
        results.append(_result(Search(c, found, code, goal, level)))
        if results[-1].kind in ("already", "found") and zone is None and not found.zones:
            break
    order = {"already": 0, "found": 1, "none": 2, "fixed": 3, "not-proposed": 4, "not-found": 5}
    return min(results, key=lambda result: order[result.kind])


# ---------- the answer ----------
def _result(s: Search) -> WouldTake:
    """The least ways, with their proof, in words."""
    c = s.c
    rows = _options(s)
    name = capital(zone_name(c, s.zone))
    if not rows:
        told = why_not(c, " ".join(_asked(s)), s.zone, s.level)
        return WouldTake(
            told.text,
            "not-proposed" if told.kind == "not-proposed" else "not-found",
            s.zone,
            goal=s.goal,
        )
    s.drafts = [w.draft for w in rows]
    s.facts = {w.draft.code: dict(w.facts) for w in rows}
    now = s.run({})
    assert now is not None
    best = rows[0]
    if now.met is not None:
        text = c.knowledge.text(
            "take-nothing",
            zone=name,
            option=capital(title(c, now.met.draft)),
            verdict=s.c.knowledge.language.verdict(now.met.verdict),
        )
        return WouldTake(text, "already", s.zone, now.met.draft.code, s.goal, now.met.verdict, runs=s.count)
    turns = dials(c, s.runs.answers, s.zone)
    ways = _singles(s, turns) or _pairs(s, turns, now)
    if ways:
        return _told(s, name, best, ways)
    return _in_vain(s, name, best, turns)


def _asked(s: Search) -> Iterable[str]:
    yield from (*s.found.methods, *s.found.plants, *s.found.remedies, *s.found.variants)


def _options(s: Search) -> list[Weighed]:
    """The options that are meant, the best first."""
    c, found = s.c, s.found
    if found.remedies and not (found.methods or found.plants):
        rows = [
            w
            for w in c.ranked
            if w.draft.zone == s.zone
            and w.draft.remedy in found.remedies
            and (w.draft.start is None or s.starts_then(w.draft))
        ]
        made = [Draft(s.zone, remedy) for remedy in found.remedies if remedy != "establish"]
        rows = rows or list(c.weigh(made).values())
    else:
        rows = matching(c, found, [s.zone])[1]
    open_ = [w for w in rows if w.draft.open and w.facts.get("option.climate-fit") != "no"]
    return (open_ or rows)[:MOST_DRAFTS]


def _singles(s: Search, turns: Sequence[Dial]) -> list[Way]:
    ways: list[Way] = []
    for dial in turns:
        for number, row in enumerate(dial.rows):
            hit = next(
                (place for n, place in dial.probes if n == number and _meets(s, {dial.key: row[place]})),
                None,
            )
            if hit is not None:
                at, run, every = _least(s, row, hit, lambda value, key=dial.key: {key: value})
                ways.append(_way(s, {dial.key: row[at]}, run + 1, every))
    return _shortest(ways)


def _meets(s: Search, changes: Changes) -> bool:
    run = s.run(changes)
    return run is not None and run.met is not None


def _least(s: Search, row: Sequence[Any], hit: int, put: Any) -> tuple[int, int, bool]:
    """The first place in a row of steps that does, no later than `hit`; how many lesser steps were run, and
    whether all were.
    """
    if hit <= MOST_STEPS_RUN:
        for place in range(hit):
            if _meets(s, put(row[place])):
                return place, place, True
        return hit, hit, True
    low, high, ran = -1, hit, 0
    while high - low > 1:
        middle = (low + high) // 2
        ran += 1
        if _meets(s, put(row[middle])):
            high = middle
        else:
            low = middle
    return high, ran, high == 0


def _pairs(s: Search, turns: Sequence[Dial], now: Run) -> list[Way]:
    """Pairs of changes that could do: each rule against a way falls by one of them, or both touch what it
    rests on.
    """
    ways: list[Way] = []
    runs = {
        (dial.key, n, place): s.run({dial.key: dial.rows[n][place]})
        for dial in turns
        for n, place in dial.probes
    }
    for one, two in itertools.combinations(turns, 2):
        for (a, i), (b, j) in itertools.product(one.probes, two.probes):
            first, second = runs[one.key, a, i], runs[two.key, b, j]
            if not (first and second and _could_do(s, now, first, second)):
                continue
            changes = {one.key: one.rows[a][i], two.key: two.rows[b][j]}
            if _meets(s, changes):
                ways.append(_lessened(s, one, two, (a, i), (b, j)))
                break
    return _shortest(ways)


def _could_do(s: Search, now: Run, first: Run, second: Run) -> bool:
    """Whether for some way every rule against it falls by one of two changes alone, or rests on facts that
    both move.
    """
    both = first.moved & second.moved
    for code, rules in now.blockers.items():
        left = rules & first.blockers.get(code, rules) & second.blockers.get(code, rules)
        if all(both & s.rests_on(rule) for rule in left):
            return True
    for run, other in ((first, second), (second, first)):
        new = run.blockers.keys() - now.blockers.keys()
        if any(all(other.moved & s.rests_on(rule) for rule in run.blockers[code]) for code in new):
            return True
    return False


def _lessened(s: Search, one: Dial, two: Dial, at: tuple[int, int], by: tuple[int, int]) -> Way:
    """A pair with the least steps of each answer while the other stays."""
    row, other = one.rows[at[0]], two.rows[by[0]]
    i, ran, every = _least(s, row, at[1], lambda value: {one.key: value, two.key: other[by[1]]})
    j, ran_too, every_too = _least(s, other, by[1], lambda value: {one.key: row[i], two.key: value})
    i, ran_last, every_last = _least(s, row, i, lambda value: {one.key: value, two.key: other[j]})
    # the parts of the pair were run as single changes, or are run now
    for key, value in ((one.key, row[i]), (two.key, other[j])):
        assert not _meets(s, {key: value})
    return _way(
        s,
        {one.key: row[i], two.key: other[j]},
        ran + ran_too + ran_last + 3,
        every and every_too and every_last,
    )


def _way(s: Search, changes: Changes, smaller: int, every: bool) -> Way:
    run = s.run(changes)
    assert run is not None
    assert run.met is not None
    said = tuple(change_of(s.c, s.runs.answers, key, value) for key, value in changes.items())
    return Way(said, run.met.draft.code, title(s.c, run.met.draft), run.met.verdict, smaller, every)


def _shortest(ways: list[Way]) -> list[Way]:
    kept: dict[tuple[str, ...], Way] = {}
    for way in ways:
        kept.setdefault(tuple(change.key for change in way.changes), way)
    return list(kept.values())


# ---------- in words ----------
def _told(s: Search, name: str, best: Weighed, ways: list[Way]) -> WouldTake:
    shown = ways if s.level > 1 else ways[:MOST_WAYS]
    lines = [
        s.c.knowledge.text(
            "take-now",
            zone=name,
            option=title(s.c, best.draft),
            verdict=s.c.knowledge.language.verdict(best.verdict),
        )
    ]
    head = (
        s.c.knowledge.text("take-one-change")
        if len(ways[0].changes) == 1
        else s.c.knowledge.text("take-two-changes")
    )
    lines.append(f"{head}{s.c.knowledge.text('take-any') if len(ways) > 1 else ''}:")
    for way in shown:
        lines.append(
            s.c.knowledge.text(
                "take-then",
                changes=[change.text for change in way.changes],
                option=way.title,
                verdict=s.c.knowledge.language.verdict(way.verdict),
            )
        )
        if s.level > 1:
            every = (
                s.c.knowledge.text("take-all-smaller")
                if way.all_smaller
                else s.c.knowledge.text("take-not-all-smaller")
            )
            lines.append(s.c.knowledge.text("take-proof", every=every, n=way.smaller_run))
        if s.level > 2:
            lines.append(
                f"    Keys: {', '.join(f'{change.key} = {change.after!r}' for change in way.changes)}. "
                f"Option: {way.option}."
            )
    if len(ways) > len(shown):
        lines.append(s.c.knowledge.text("take-more-ways", n=len(ways) - len(shown)))
    if s.level > 1:
        lines += _against(s, best)
    return WouldTake(
        "\n".join(lines),
        "found",
        s.zone,
        best.draft.code,
        s.goal,
        best.verdict,
        tuple(ways),
        (),
        s.count,
        s.complete,
    )


def _against(s: Search, best: Weighed) -> list[str]:
    tell = Teller(s.c)
    rows = [
        reason
        for reason in against(tell, best)
        if s.holds_down(s.c, reason.act, reason.grade.replace("ruled-out", "weak"), reason.target)
    ]
    return (
        [
            s.c.knowledge.text("take-against"),
            *(line for reason in rows for line in tell.lines(reason, s.level)),
        ]
        if rows
        else []
    )


def _in_vain(s: Search, name: str, best: Weighed, turns: Sequence[Dial]) -> WouldTake:
    """No single change and no pair does: the reasons that nothing moved, and what was tried."""
    now = s.done[repr([])]
    assert now is not None
    tell, code = Teller(s.c), best.draft.code
    fell: set[str] = set()
    touched: set[str] = set()
    for run in s.done.values():
        if run is not None and run is not now:
            fell |= now.blockers[code] - run.blockers.get(code, now.blockers[code])
            touched |= run.moved
    stuck = now.blockers[code] - fell
    beyond = {rule for rule in stuck if not s.rests_on(rule) & touched}
    rows = [reason for reason in against(tell, best) if reason.rule in stuck]
    fixed = tuple(reason for reason in rows if reason.rule in beyond)
    lines = [f"{name}: {title(s.c, best.draft)}. {verdict_words(s.c, best)}"]
    if any(rule.startswith("remedy:") for rule in stuck):
        lines = [
            s.c.knowledge.text("take-ground"),
            why_not(s.c, " ".join(_asked(s)), s.zone, s.level).text,
        ]
    elif fixed:
        lines.append(s.c.knowledge.text("take-fixed", goal=s.goal))
        lines += [line for reason in fixed for line in tell.lines(reason, s.level)]
    else:
        lines.append(s.c.knowledge.text("take-none", goal=s.goal))
        lines += (
            [
                s.c.knowledge.text("take-unmoved"),
                *(line for reason in rows for line in tell.lines(reason, s.level)),
            ]
            if rows
            else []
        )
    if s.level > 1:
        lines.append(
            s.c.knowledge.text(
                "take-tried",
                n=s.count,
                what=[key_words(s.c.knowledge, dial.key) for dial in turns],
            )
        )
    if not s.complete:
        lines.append(s.c.knowledge.text("take-not-every-pair"))
    kind = "fixed" if beyond or any(rule.startswith("remedy:") for rule in stuck) else "none"
    return WouldTake(
        "\n".join(lines),
        kind,
        s.zone,
        code,
        s.goal,
        best.verdict,
        (),
        fixed,
        s.count,
        s.complete,
    )


def every_pair(c: Consultation, words: str, goal: Goal = "sound") -> tuple[int, list[Way]]:
    """Every single change and every pair that could do, run though one may do: what the worst case costs.

    How many changed situations were run, and the pairs that do.
    """
    s = Search(c, find(c, words), next(iter(c.zones)), goal, 1)
    rows = _options(s)
    s.drafts = [w.draft for w in rows]
    s.facts = {w.draft.code: dict(w.facts) for w in rows}
    now = s.run({})
    turns = dials(c, s.runs.answers, s.zone)
    _singles(s, turns)
    return s.count, [] if now is None else _pairs(s, turns, now)
