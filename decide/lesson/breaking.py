"""Break a rule: switch one off and see which cases come out otherwise."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Final

from decide.cases.bank import Case, consult_case
from decide.cases.changed import CaseChange
from decide.cases.outcome import fired_differently, firings, moves, outcome
from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Diagnosis, diagnose
from decide.decision.rulebook import Rulebook
from decide.engine.language import Rule
from decide.engine.plain import conjunction
from decide.explain.reasons import source_words
from decide.knowledge.tables import Knowledge
from decide.model.errors import DecideError, meant
from decide.questions.sensitivity import with_plain_engine

_MOST_SHOWN: Final = 6


@dataclass(frozen=True)
class Broken:
    """A rule that was switched off: the cases in which it fires or could fire, and those of them that come
    out otherwise.
    """

    rule: str
    because: str
    sources: tuple[str, ...]
    looked_at: int
    fires: tuple[str, ...]
    changes: tuple[CaseChange, ...]
    knowledge: Knowledge = field(repr=False, compare=False)


def break_rule(book: Rulebook, cases: Iterable[Case], rule: str) -> Broken:
    """Switch a rule off and list the cases that change. DecideError where there is no such rule (with the
    nearest), and for a verdict rule: exactly one of these holds of each option, so none can be missed.

    A case is judged again only where the rule fires, or could fire and that matters, and judged at all only
    where what is known of its site and zones lets it fire.
    """
    if rule not in book.rules:
        raise DecideError(f"there is no rule {rule!r}", where="lesson", instead=meant(rule, book.rules))
    if book.rules[rule].then.act == "verdict":
        raise DecideError(
            f"{rule} gives the verdict, and each option needs one",
            where="lesson",
            instead="Switch off a rule that the verdict rests on",
        )
    broken, plain = book.rules[rule], with_plain_engine(book)
    # The stretch before its limit falls with a rule.
    family = {one.id: one for one in book.base.rules if rule in (one.id, one.bend_of)}
    open_too = any(open_matters(book, one) for one in family.values())
    fires: list[str] = []
    changes: list[CaseChange] = []
    looked = 0
    for case in cases:
        looked += 1
        if not any(may_fire(plain, case, one, open_too) for one in family.values()):
            continue
        before = consult_case(plain, case)
        if not _touched(before, family.keys(), open_too):
            continue
        fires.append(case.code)
        after = consult_case(plain, case, frozenset(family))
        moved = moves(outcome(before), outcome(after))
        if moved:
            changes.append(
                CaseChange(
                    case.code,
                    moved,
                    (rule,),
                    (),
                    tuple(sorted(fired_differently(before, after) - family.keys())),
                )
            )
    sources = tuple(source_words(book.knowledge, key) for key in broken.sources)
    return Broken(rule, broken.because.text, sources, looked, tuple(fires), tuple(changes), book.knowledge)


def may_fire(book: Rulebook, case: Case, rule: Rule, open_too: bool = True) -> bool:
    """Whether a rule can fire in a case, by what is known before any option is worked out; False is
    certain.
    """
    if rule.then.act == "verdict":
        return True
    if rule.about == "step":
        return bool(case.situation.proposal)
    if rule.about == "sign" and not case.situation.seen:
        return False
    half = diagnose(book, case.situation)
    if rule.about == "option":
        drafts = {(draft.zone, draft.remedy, draft.method) for draft in half.options()}
        own = (
            {
                **half.site,
                **half.zone_facts[zone],
                "option.remedy": remedy,
                **({"option.method": method} if method else {}),
            }
            for zone, remedy, method in drafts
        )
        return bool(case.situation.proposal) or any(
            conjunction(rule.when, facts) is not False for facts in own
        )
    return rule.id in _halfway(half, open_too)


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
    if any(fired in rules for fired, _, _ in firings(c)):
        return True
    could = [found for w in c.weighed.values() for found, _ in w.could] + [
        found for step in c.steps for found, _ in step.could
    ]
    could += [found for step in c.steps if step.option is not None for found, _ in step.option.could]
    return open_too and (not _halfway(c, True).isdisjoint(rules) or any(found.id in rules for found in could))


# ---------- text ----------
def broken_lines(broken: Broken) -> Iterator[str]:
    """What breaking a rule does, in lines."""
    k, changed = broken.knowledge, len(broken.changes)
    yield k.text("lesson-without-rule", rule=broken.rule)
    yield f"  {k.text('lesson-rule-says', because=broken.because)}"
    yield from (f"  {k.text('lesson-source', source=source)}" for source in broken.sources)
    bears = k.text("lesson-bears-on", fires=len(broken.fires), cases=broken.looked_at, n=changed)
    yield f"{bears}{':' if changed else '.'}"
    for change in broken.changes:
        yield f"  {change.case}"
        main = [move for move in change.moves if move.what != "verdict"]
        verdicts = [move for move in change.moves if move.what == "verdict"]
        yield from (f"    {move}" for move in main)
        yield from (f"    {move}" for move in verdicts[: max(0, _MOST_SHOWN - len(main))])
        left = len(verdicts) - max(0, _MOST_SHOWN - len(main))
        if left > 0:
            yield f"    {k.text('lesson-and-more-verdicts', n=left)}"
