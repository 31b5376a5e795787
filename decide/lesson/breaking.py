"""Break a rule: switch one off and see which cases, or what of one field, come out otherwise."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final, get_args

from decide.answer.assemble import local_words
from decide.cases.bank import consult_case
from decide.cases.changed import CaseChange
from decide.cases.outcome import Move, firings, moves, outcome
from decide.cases.signed import Case
from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Diagnosis, diagnose
from decide.decision.rulebook import Rulebook
from decide.engine.language import MOST_CONDITIONS, Fact, Rule
from decide.engine.plain import truth
from decide.explain.what_if import stand_of, stand_words
from decide.explain.why import zone_name
from decide.facts.draft import lead_grass
from decide.knowledge.schema_care import Remedy
from decide.knowledge.speaker import Speaker
from decide.knowledge.tables import Knowledge
from decide.lesson.rules_said import rule_lines
from decide.model.errors import DecideError, meant
from decide.model.words import capital
from decide.questions.sensitivity import with_plain_engine

_CODE: Final = re.compile(r"[\w-]+/(?:" + "|".join(get_args(Remedy)) + r")(?:/[\w-]+)*")
_DAY: Final = re.compile(r"\d{4}-\d\d-\d\d")
# Nearer than a rule with every condition but one.
SURE: Final = MOST_CONDITIONS + 2
_LOT: Final = 16
_PATIENCE: Final = 2


@dataclass(frozen=True)
class Broken:
    """A rule that was switched off: how many of the cases were looked at and how many of these judged, those
    in which it fires or could fire, and those of them that come out otherwise.
    """

    rule: str
    cases: int
    looked_at: int
    judged: int
    fires: tuple[str, ...]
    changes: tuple[CaseChange, ...]
    book: Rulebook = field(repr=False, compare=False)


def break_rule(book: Rulebook, cases: Iterable[Case], rule: str) -> Broken:
    """Switch a rule off and list the cases that change, as `breaking` finds them, once all are looked at."""
    *_, last = breaking(book, list(cases), rule)
    return replace(
        last,
        changes=tuple(sorted(last.changes, key=lambda change: change.case)),
        fires=tuple(sorted(last.fires)),
    )


def breaking(
    book: Rulebook, cases: Sequence[Case], rule: str, enough: int | None = None, most: int | None = None
) -> Iterator[Broken]:
    """Switch a rule off and tell, after each case, what is found so far.

    It goes lot by lot through the whole bank, in each lot those first that the rule touches most surely. A
    case is not judged at all where the rule cannot fire, by what is known before any option is worked out;
    and judged again only where it fires, or could fire and that matters. It ends before the last case once in
    `enough` cases more than verdicts moved, or once `most` were judged: twice as many where nothing
    moved yet. DecideError where there is no such rule (with the nearest), and for a verdict rule: exactly one
    of these holds of each option, so none can be missed.
    """
    family = _family(book, rule)
    plain = with_plain_engine(book)
    open_too = any(open_matters(book, one) for one in family.values())
    found = Broken(rule, len(cases), 0, 0, (), (), book)
    yield found
    for lot in _lots(cases):
        near = [max(how_near(plain, case, one, open_too) for one in family.values()) for case in lot]
        for place in sorted(range(len(lot)), key=lambda at: (-near[at], at)):
            found = replace(found, looked_at=found.looked_at + 1)
            if near[place]:
                found = _judged(plain, lot[place], found, family, open_too)
            yield found
            telling = sum(any(move.what != "verdict" for move in change.moves) for change in found.changes)
            if telling == enough or (most and found.judged >= most * (1 if found.changes else _PATIENCE)):
                return


def _lots(cases: Sequence[Case]) -> Iterator[Sequence[Case]]:
    """The cases in lots, each from the whole of the bank, whose neighbours are alike."""
    lots = -(-len(cases) // _LOT)
    yield from (cases[start::lots] for start in range(lots))


def _family(book: Rulebook, rule: str) -> dict[str, Rule]:
    """A rule with the stretch before its limit, which falls with it."""
    if rule not in book.rules:
        raise DecideError(f"there is no rule {rule!r}", where="lesson", instead=meant(rule, book.rules))
    if book.rules[rule].then.act == "verdict":
        raise DecideError(
            f"{rule} gives the verdict, and each option needs one",
            where="lesson",
            instead="Switch off a rule that the verdict rests on",
        )
    return {one.id: one for one in book.base.rules if rule in (one.id, one.bend_of)}


def _judged(plain: Rulebook, case: Case, found: Broken, family: Mapping[str, Rule], open_too: bool) -> Broken:
    """What is found, with one case more."""
    found = replace(found, judged=found.judged + 1)
    before = consult_case(plain, case)
    if not _touched(before, family.keys(), open_too):
        return found
    moved = moves(outcome(before), outcome(consult_case(plain, case, frozenset(family))))
    change = [CaseChange(case.code, moved, (found.rule,))] if moved else []
    return replace(found, fires=(*found.fires, case.code), changes=(*found.changes, *change))


def how_near(book: Rulebook, case: Case, rule: Rule, open_too: bool = True) -> int:
    """How near a rule is to firing in a case, by what is known before any option is worked out: 0 where it
    certainly cannot, SURE where it certainly does, and between them more where more of its conditions hold.
    """
    if rule.then.act == "verdict":
        return SURE
    if rule.about == "step":
        return 1 if case.situation.proposal else 0
    if rule.about == "sign" and not case.situation.seen:
        return 0
    half = diagnose(book, case.situation)
    if rule.about == "option":
        near = max((_nearness(rule, facts) for facts in _drafted(book, half)), default=0)
        return max(near, 1) if case.situation.proposal else near
    layers = (half.site_layer, half.sign_layer, half.zone_layer)
    if any(one.id == rule.id for layer in layers for rows in layer.fired.values() for one, _ in rows):
        return SURE
    return int(open_too and rule.id in _halfway(half, True))


def _drafted(book: Rulebook, half: Diagnosis) -> Iterator[Mapping[str, Fact]]:
    """What is known of each kind of option of a diagnosis before it is measured."""
    seen: set[tuple[str, ...]] = set()
    for d in half.options():
        kind = (d.zone, d.remedy, d.method, d.plant, d.variant)
        if kind in seen:
            continue
        seen.add(kind)
        own: dict[str, Fact] = {"option.remedy": d.remedy}
        if d.method:
            own |= {"option.method": d.method, "option.grass": d.plant, "option.variant": d.variant}
            own["option.lead-grass"] = lead_grass(book.knowledge, d.plant)
        yield {**half.site, **half.zone_facts[d.zone], **own}


def _nearness(rule: Rule, facts: Mapping[str, Fact]) -> int:
    """How many conditions of a rule hold, and one; 0 where one fails, SURE where all hold."""
    held = [truth(one, facts) for one in rule.when]
    if False in held:
        return 0
    return SURE if all(held) else 1 + sum(one is True for one in held)


def may_fire(book: Rulebook, case: Case, rule: Rule, open_too: bool = True) -> bool:
    """Whether a rule can fire in a case, by what is known before any option is worked out; False is
    certain.
    """
    return how_near(book, case, rule, open_too) > 0


def open_matters(book: Rulebook, rule: Rule) -> bool:
    """Whether it matters that a rule could fire where it does not: what could grade an option or rule it
    out is read at both ends, and new grass that could be needed is looked into; so does what these rest
    on.
    """
    read: set[str] = set()
    rules = list(book.base.rules)
    found: set[str] = set()
    while True:
        more = [
            one
            for one in rules
            if one.id not in found
            and (
                one.then.act in ("rule-out", "mark")
                or one.then.target in read
                or one.then.target == "zone.remedy-establish"
            )
        ]
        if not more:
            return rule.id in found
        found |= {one.id for one in more}
        read |= {name for one in more for condition in one.conditions for name in condition.facts}


def _halfway(half: Diagnosis, open_too: bool) -> set[str]:
    """The rules about site, signs and zones that fired or, where that is asked for, could fire."""
    layers = (half.site_layer, half.sign_layer, half.zone_layer)
    found = {rule.id for layer in layers for rows in layer.fired.values() for rule, _ in rows}
    return (
        found | {rule.id for layer in layers for maybe in layer.could.values() for rule, _ in maybe}
        if open_too
        else found
    )


def _touched(c: Consultation, rules: Collection[str], open_too: bool) -> bool:
    """Whether one of some rules fires in a consultation or, where that is asked for, could fire."""
    plainly = (rule.id for w in c.weighed.values() for rule, _ in w.firings)
    if any(fired in rules for fired in plainly) or any(fired in rules for fired, _, _ in firings(c)):
        return True
    could = [found for w in c.weighed.values() for found, _ in w.could] + [
        found for step in c.steps for found, _ in step.could
    ]
    could += [found for step in c.steps if step.option is not None for found, _ in step.option.could]
    return open_too and (not _halfway(c, True).isdisjoint(rules) or any(found.id in rules for found in could))


# ---------- text ----------
def rule_head(book: Rulebook, rule: str) -> Iterator[str]:
    """The rule that is switched off, in words."""
    yield book.knowledge.text("lesson-without-rule", rule=rule)
    yield from (f"  {line}" for line in rule_lines(book, book.rules[rule]))


def said(k: Knowledge, move: Move) -> str:
    """What moved, with the ways in words."""
    return _CODE.sub(lambda match: _way(k, match[0]), str(move))


def _way(k: Knowledge, code: str) -> str:
    """The code of an option in words, with its day; the part of the field is said beside it."""
    _, remedy, *rest = code.split("/")
    start = dt.date.fromisoformat(rest.pop()) if rest and _DAY.fullmatch(rest[-1]) else None
    method, plant, variant = (*rest, *("", "", "plain")[len(rest) :])
    way = Speaker(k).way(remedy, plant, method, variant)
    return way if start is None else f"{way} from {k.language.day(start)}"


def change_lines(k: Knowledge, change: CaseChange) -> Iterator[str]:
    """How one case comes out otherwise; verdicts are counted, and one is shown."""
    main = [move for move in change.moves if move.what != "verdict"]
    verdicts = [move for move in change.moves if move.what == "verdict"]
    yield f"- {change.case}"
    yield from (f"    {said(k, move)}" for move in main)
    if verdicts:
        yield f"    {k.text('lesson-break-verdicts', n=len(verdicts), one=said(k, verdicts[0]))}"


def end_line(broken: Broken) -> str:
    """How many cases were looked at, and on how many the rule bears."""
    k, left = broken.book.knowledge, broken.cases - broken.looked_at
    said = k.text(
        "lesson-bears-on",
        looked=broken.looked_at,
        cases=broken.cases,
        judged=broken.judged,
        fires=len(broken.fires),
        n=len(broken.changes),
    )
    return f"{said} {k.text('lesson-break-all')}" if left else said


def broken_lines(broken: Broken) -> Iterator[str]:
    """What breaking a rule does, in lines."""
    yield from rule_head(broken.book, broken.rule)
    for change in broken.changes:
        yield from change_lines(broken.book.knowledge, change)
    yield end_line(broken)


def broken_here(c: Consultation, other: Consultation, rule: str) -> Iterator[str]:
    """What breaking a rule does to one field: `other` is its consultation without the rule."""
    k, here = c.knowledge, local_words(c)
    yield from rule_head(c.book, rule)
    family = _family(c.book, rule)
    fired = sum(name in family for name, _, _ in firings(c))
    yield k.text("lesson-break-fires", n=fired) if fired else k.text("lesson-break-idle")
    moved = moves(outcome(c), outcome(other))
    for zone in c.zones:
        before, after = stand_of(c, zone, decided=False), stand_of(other, zone, decided=False)
        same = (before.option, before.verdict, before.stopgap) == (after.option, after.verdict, after.stopgap)
        text = k.text("lesson-break-same" if same else "lesson-break-moves", zone=capital(zone_name(c, zone)),
            before=stand_words(k, before), after=stand_words(k, after))  # fmt: skip
        yield f"- {here(text)}"
    rest = [move for move in moved if move.what not in ("choice", "decision", "verdict")]
    yield from (f"- {capital(said(k, move))}." for move in rest)
    verdicts = [move for move in moved if move.what == "verdict"]
    if verdicts:
        yield f"- {k.text('lesson-break-verdicts', n=len(verdicts), one=said(k, verdicts[0]))}"


def without(book: Rulebook, rule: str) -> frozenset[str]:
    """The rules that are switched off with a rule: itself and the stretch before its limit."""
    return frozenset(_family(book, rule))
