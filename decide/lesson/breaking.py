"""Break a rule: switch one off and see which cases come out otherwise."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from decide.cases import Case, consult_case
from decide.changed import CaseChange, Move, fired_differently, firings, moves, outcome
from decide.consult import Adviser, Consultation, Diagnosis
from decide.engine.language import Rule
from decide.engine.plain import conjunction
from decide.errors import DecideError, meant
from decide.explain.reasons import source_words
from decide.trials import with_plain_engine

_MOST_SHOWN: Final = 6


@dataclass(frozen=True)
class Broken:
    """A rule that was switched off: the cases in which it fires or could fire, and those of them that come out otherwise."""

    rule: str
    because: str
    sources: tuple[str, ...]
    looked_at: int
    fires: tuple[str, ...]
    changes: tuple[CaseChange, ...]


def break_rule(adviser: Adviser, cases: Iterable[Case], rule: str) -> Broken:
    """Switch a rule off and list the cases that change. DecideError, with the nearest, where there is no such rule.

    A case is judged again only where the rule fires or could fire, and judged at all only where what is known of its site
    and zones lets it fire.
    """
    if rule not in adviser.rules:
        raise DecideError(f"there is no rule {rule!r}", where="lesson", instead=meant(rule, adviser.rules))
    broken, plain = adviser.rules[rule], with_plain_engine(adviser)
    fires: list[str] = []
    changes: list[CaseChange] = []
    looked = 0
    for case in cases:
        looked += 1
        if not may_fire(plain, case, broken):
            continue
        before = consult_case(plain, case)
        if not _touched(before, rule):
            continue
        fires.append(case.code)
        after = consult_case(plain, case, frozenset({rule}))
        moved = moves(outcome(before), outcome(after))
        if moved:
            changes.append(CaseChange(case.code, moved, (rule,), (), tuple(sorted(fired_differently(before, after) - {rule}))))
    sources = tuple(source_words(adviser.knowledge, key) for key in broken.sources)
    return Broken(rule, broken.because.text, sources, looked, tuple(fires), tuple(changes))


def may_fire(adviser: Adviser, case: Case, rule: Rule) -> bool:
    """Whether a rule can fire in a case, by what is known before any option is worked out; False is certain."""
    if rule.about == "step":
        return bool(case.situation.proposal)
    if rule.about == "sign" and not case.situation.seen:
        return False
    half = adviser.diagnose(case.situation)
    if rule.about == "option" and rule.then.act != "verdict":
        drafts = {(draft.zone, draft.remedy, draft.method) for draft in half.options()}
        own = ({**half.site, **half.zone_facts[zone], "option.remedy": remedy, **({"option.method": method} if method else {})} for zone, remedy, method in drafts)
        return bool(case.situation.proposal) or any(conjunction(rule.when, facts) is not False for facts in own)
    return rule.then.act == "verdict" or any(rule.id == one for one in _halfway(half))


def _halfway(half: Diagnosis) -> Iterator[str]:
    """The rules about site, signs and zones that fired or could fire."""
    for layer in (half.site_layer, half.sign_layer, half.zone_layer):
        yield from (rule.id for rows in layer.fired.values() for rule, _ in rows)
        yield from (rule.id for maybe in layer.could.values() for rule, _ in maybe)


def _touched(c: Consultation, rule: str) -> bool:
    """Whether a rule fires or could fire in a consultation."""
    could = [found for w in c.weighed.values() for found, _ in w.could] + [found for step in c.steps for found, _ in step.could]
    could += [found for step in c.steps if step.option is not None for found, _ in step.option.could]
    return rule in _halfway(c) or any(rule == fired for fired, _, _ in firings(c)) or any(rule == found.id for found in could)


# ---------- text ----------
def broken_lines(broken: Broken) -> Iterator[str]:
    """What breaking a rule does, in lines."""
    yield f"Without the rule {broken.rule}:"
    yield f"  It says: {broken.because}"
    yield from (f"  Source: {source}" for source in broken.sources)
    yield f"It fires, or could fire, in {len(broken.fires)} of {broken.looked_at} cases. {len(broken.changes)} of them come out otherwise{':' if broken.changes else '.'}"
    for change in broken.changes:
        yield f"  {change.case}"
        main = [move for move in change.moves if move.what != "verdict"]
        verdicts = [move for move in change.moves if move.what == "verdict"]
        yield from (f"    {_said(move)}" for move in main)
        yield from (f"    {_said(move)}" for move in verdicts[: max(0, _MOST_SHOWN - len(main))])
        left = len(verdicts) - max(0, _MOST_SHOWN - len(main))
        if left > 0:
            yield f"    and {left} more verdicts"


def _said(move: Move) -> str:
    if move.what in ("cause", "caution", "need"):
        return f"{move.what} {move.before or move.after} {'is gone' if move.before else 'comes in'}"
    return str(move)
