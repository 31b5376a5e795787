"""What if some answers were others: the situation is judged again, and what moves is said with the rules by
which the two part.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from decide.answer.assemble import advice_of
from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Diagnosis
from decide.decision.rank import Weighed, sort_key
from decide.engine.language import CRITERIA, Firing, Rule
from decide.explain.changes import Change, Changes, change_of
from decide.explain.reasons import Level, Reason, Teller
from decide.explain.runs import Runs, facts_of, weigh_one
from decide.explain.why import in_order, title, zone_name
from decide.knowledge.tables import Knowledge
from decide.model.advice import Advice
from decide.model.errors import DecideError
from decide.model.words import capital
from decide.model.written import DONT_KNOW

MOST_PARTED: Final = 3


@dataclass(frozen=True)
class Stand:
    """How a zone stands: its decision (empty where it was not made), the option told first or the least bad,
    its verdict, late date, stopgap.
    """

    decision: str
    option: str
    title: str
    verdict: str
    ready: dt.date | None
    stopgap: str = ""
    stopgap_title: str = ""


@dataclass(frozen=True)
class Parted:
    """A rule by which before and after part, on an option or (`option` empty) on the zone or site.

    `fires` is now or no longer where it fires on one side only; now open or no longer open where its verdict
    rests on one side only on a rule that fires on neither.
    """

    rule: str
    fires: str
    option: str
    grade: str
    criterion: str
    reason: Reason


@dataclass(frozen=True)
class ZoneMove:
    """One zone before and after; `parted` are the rules by which the two part, the gravest first."""

    zone: str
    name: str
    before: Stand
    after: Stand
    parted: tuple[Parted, ...]
    order: str = ""

    @property
    def moved(self) -> bool:
        """Whether another option, another verdict, another stopgap or another decision came of it."""
        one, two = self.before, self.after
        return (one.option, one.verdict, one.stopgap, one.decision) != (
            two.option,
            two.verdict,
            two.stopgap,
            two.decision,
        )


@dataclass(frozen=True)
class WhatIf:
    """What other answers would change; the data are the same at every level of the text."""

    text: str
    changes: tuple[Change, ...]
    zones: tuple[ZoneMove, ...]
    decision_before: str
    decision_after: str
    cautions_added: tuple[str, ...]
    cautions_removed: tuple[str, ...]

    @property
    def moved(self) -> bool:
        """Whether any zone's choice, any decision or any caution moved."""
        return (
            any(zone.moved for zone in self.zones)
            or bool(self.cautions_added or self.cautions_removed)
            or self.decision_before != self.decision_after
        )


def what_if(consultation: Consultation, changes: Changes, level: Level = 1) -> WhatIf:
    """The situation judged again with some answers changed, and what moves.

    `changes` maps keys of the situation file to new values: `means.water`, `dates.play_by`,
    `zone.goalmouths.bare_percent` (or `zone.bare_percent` for all zones), `use.hours_per_week` to cut the
    hours of every use, None to take an answer back. Level 2 adds the conditions of the rules by which the two
    part, level 3 their names and sources. DecideError for a key that there is not; SituationError where the
    answers contradict each other.
    """
    c = consultation
    runs = Runs(c)
    said = tuple(
        change_of(c, runs.answers, key, None if value == DONT_KNOW else value)
        for key, value in changes.items()
    )
    if not said:
        raise DecideError(
            "nothing is changed",
            where="what if",
            instead="Say what would be otherwise, such as: what if we had a hose?",
        )
    other = runs.whole({change.key: change.after for change in said})
    return compared(c, other, said, level)


def compared(c: Consultation, other: Consultation, changes: tuple[Change, ...], level: Level = 1) -> WhatIf:
    """One consultation beside another, in which only some answers differ."""
    one, two = advice_of(c), advice_of(other)
    zones = tuple(_zone(c, other, code) for code in c.zones if code in other.zones)
    before, after = ({row.code for row in advice.cautions} for advice in (one, two))
    added, removed = sorted(after - before), sorted(before - after)
    head = [
        c.knowledge.text("if-one-answer") if len(changes) == 1 else c.knowledge.text("if-many-answers"),
        *(f"- {change.text}" for change in changes),
    ]
    lines: list[str] = []
    for move in zones:
        lines += _zone_lines(c, other, move, level)
    lines += _caution_lines(c.knowledge.text("if-cautions-new"), two, added)
    if level == 1 and removed:
        lines.append(c.knowledge.text("if-cautions-fewer", n=len(removed)))
    else:
        lines += _caution_lines(c.knowledge.text("if-cautions-gone"), one, removed)
    if one.decision != two.decision:
        lines.append(c.knowledge.text("if-field", new=two.decision, old=one.decision))
    moved = any(move.moved for move in zones) or bool(added or removed) or one.decision != two.decision
    text = "\n".join([*head, c.knowledge.text("if-then" if moved else "if-nothing-moves"), *lines])
    return WhatIf(text, changes, zones, one.decision, two.decision, tuple(added), tuple(removed))


def _caution_lines(head: str, advice: Advice, codes: Sequence[str]) -> list[str]:
    rows = [row for row in advice.cautions if row.code in codes]
    return [head, *(f"- {row.text}" for row in rows)] if rows else []


def stand_of(c: Consultation, zone: str, decided: bool = True) -> Stand:
    """How a zone stands in a consultation; without `decided` the whole advice is not made for the sake of its
    decision.
    """
    chosen = c.chosen[zone]
    first = chosen.option or chosen.least_bad
    decision = (
        next((answer.decision for answer in advice_of(c).programme if answer.zone == c.zones[zone].name), "")
        if decided
        else ""
    )
    if first is None:
        return Stand(
            decision,
            "",
            c.knowledge.text("if-left")
            if c.zone_facts[zone].get("zone.left-alone") is True
            else c.knowledge.text("if-nothing-to-do"),
            "",
            None,
        )
    gap = chosen.stopgap
    return Stand(
        decision, first.draft.code, title(c, first.draft), first.verdict, first.ready,
        "" if gap is None else gap.draft.code, "" if gap is None else title(c, gap.draft),
    )  # fmt: skip


def _zone(c: Consultation, other: Consultation, code: str) -> ZoneMove:
    before, after = stand_of(c, code), stand_of(other, code)
    move = ZoneMove(code, c.zones[code].name, before, after, ())
    if not move.moved:
        return move
    parted = [*_of_ground(c, other, code)]
    pair: list[Weighed] = []
    for option in dict.fromkeys((before.option, after.option)):
        w = c.weighed.get(option) or other.weighed.get(option)
        if w is not None:
            here = c.weighed.get(option) or weigh_one(c, w)
            there = other.weighed.get(option) or weigh_one(other, w)
            parted += _of_option(c, other, here, there)
            pair.append(there)
    order = ""
    if len(pair) == 2:
        order = in_order(other, *sorted(pair, key=lambda w: sort_key(w, other.order)))[1]
    return ZoneMove(code, c.zones[code].name, before, after, tuple(sorted(parted, key=_gravity)), order)


def _gravity(row: Parted) -> tuple[bool, int, str, str]:
    grave = {"ruled-out": 0, "": 1, "lost": 2, "poor": 2, "weak": 2, "doubtful": 3, "strong": 4, "fair": 5}
    return row.fires.endswith("open"), grave[row.grade], row.rule, row.option


def _of_ground(c: Consultation, other: Consultation, zone: str) -> Iterator[Parted]:
    """The rules of site and zone that conclude something on one side only."""
    for side, mine, theirs in (("no longer", c, other), ("now", other, c)):
        silent = {rule.id for rule, _ in _ground(theirs, zone)}
        for rule, firing in _ground(mine, zone):
            if (
                rule.id not in silent
                and rule.then.act == "conclude"
                and not rule.then.target.startswith("zone.cause-")
            ):
                yield Parted(
                    rule.id,
                    side,
                    "",
                    "",
                    rule.then.target,
                    Teller(mine).reason(rule, facts_of(mine, zone), firing.open),
                )


def _ground(d: Diagnosis, zone: str) -> list[tuple[Rule, Firing]]:
    return [*d.site_layer.fired.get("site", []), *d.zone_layer.fired.get(zone, [])]


def _of_option(c: Consultation, other: Consultation, here: Weighed, there: Weighed) -> Iterator[Parted]:
    """The rules that grade an option, or rule it out, on one side only; then those that its verdict rests on,
    on one side only.
    """
    sides: tuple[tuple[str, Diagnosis, Weighed, Diagnosis, Weighed], ...] = (
        ("no longer", c, here, other, there),
        ("now", other, there, c, here),
    )
    for side, mine, w, theirs, its in sides:
        tell = Teller(mine)
        fired = {reason.rule for reason in Teller(theirs).reasons(its)}
        yield from (
            Parted(reason.rule, side, w.draft.code, reason.grade, reason.target, reason)
            for reason in tell.reasons(w)
            if reason.rule not in fired
        )
        rest = fired | {rule.id for rule in its.rests_on} | {reason.rule for reason in tell.reasons(w)}
        for rule in w.rests_on:
            wanted = tell.rests_on(w, rule)
            if rule.id not in rest and wanted:
                reason = replace(
                    tell.reason(rule, w.facts),
                    text=mine.knowledge.text(
                        "if-only",
                        verdict=c.knowledge.language.verdict(w.verdict),
                        wanted=list(wanted),
                    ),
                )
                yield Parted(rule.id, f"{side} open", w.draft.code, reason.grade, rule.then.target, reason)


# ---------- in words ----------
def stand_words(k: Knowledge, stand: Stand) -> str:
    """How a zone stands, in words."""
    if not stand.option:
        return stand.title
    until = k.text("if-slow-year", day=stand.ready) if stand.ready is not None else ""
    gap = k.text("if-until-then", stopgap=stand.stopgap_title) if stand.stopgap_title else ""
    return f"{stand.title} ({k.language.verdict(stand.verdict)}{until}{gap})"


def _zone_lines(c: Consultation, other: Consultation, move: ZoneMove, level: Level) -> list[str]:
    name = capital(zone_name(c, move.zone))
    if not move.moved:
        same = move.before.ready == move.after.ready
        tail = (
            ""
            if same or move.after.ready is None
            else c.knowledge.text("if-ready-slow", day=move.after.ready)
        )
        return [c.knowledge.text("if-stays", zone=name, option=move.after.title, tail=tail)]
    lines = [
        c.knowledge.text(
            "if-moves",
            zone=name,
            now=stand_words(c.knowledge, move.after),
            before=stand_words(c.knowledge, move.before),
        )
    ]
    shown = _telling(move)[: MOST_PARTED if level == 1 else None]
    for row in shown:
        of = move.after.title if row.option == move.after.option else move.before.title
        about = (
            f" ({c.knowledge.language.criterion(row.criterion)}, {c.knowledge.language.grade(row.grade)})"
            if row.criterion in CRITERIA
            else ""
        )
        on = (
            c.knowledge.text("if-of-option", option=of)
            if row.option and move.after.option != move.before.option and level > 1
            else ""
        )
        lines.append(f"    {c.knowledge.text(_SIDES[row.fires])}{on}{about}: {row.reason.text}")
        lines += Teller(other if row.fires == "now" else c).lines(row.reason, level)[1:] if level > 1 else []
    if move.order and not any(row.option for row in shown):
        lines.append(f"    {move.order}")
    return lines


_SIDES: Final = {
    "now": "if-side-new",
    "no longer": "if-side-gone",
    "now open": "if-side-open",
    "no longer open": "if-side-settled",
}


def _telling(move: ZoneMove) -> list[Parted]:
    """The rules that tell why, each once: those on what is chosen first where its own verdict moved, else
    all.
    """
    seen: set[tuple[str, str]] = set()
    out: list[Parted] = []
    for row in move.parted:
        if (row.rule, row.fires) not in seen:
            seen.add((row.rule, row.fires))
            out.append(row)
    return out
