"""Which cases decide a rule: what is signed of them is not met once the rule is switched off."""

from __future__ import annotations

import copy
import dataclasses
from collections.abc import Collection, Iterable, Iterator, Mapping
from functools import cached_property

from decide.cases.bank import Case, consult_case, plain_words, unmet, unmet_in_advice, unmet_in_outcome
from decide.cases.outcome import usual_readings
from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Diagnosis
from decide.decision.rank import UNKNOWN, Reading, Weighed, bound, role_facts, verdict_facts
from decide.decision.rulebook import Rulebook
from decide.engine.columns import judge
from decide.engine.language import ROLE, Rule, Subject
from decide.plan.feasible import fitted
from decide.questions.base import Base
from decide.questions.trial import judged_again


def judging_rules(book: Rulebook) -> list[str]:
    """The rules that a case can decide: those as written, a stretch before a limit going with its rule.
    Verdicts are not among them: exactly one holds of each option, so none can be missed.
    """
    return [rule.id for rule in book.base.rules if not rule.bend_of and rule.then.act != "verdict"]


def deciders(
    book: Rulebook, cases: Iterable[Case], rules: Iterable[str] | None = None, every: bool = False
) -> dict[str, list[str]]:
    """For each rule the cases that decide it: the first alone, or `every` one. A case whose signed
    expectations are not met with all rules decides nothing. About a second a case once most rules are
    decided; `every` takes many times that.
    """
    found: dict[str, list[str]] = {rule: [] for rule in (judging_rules(book) if rules is None else rules)}
    for case in cases:
        open_rules = [rule for rule, codes in found.items() if every or not codes]
        for rule in deciding(book, case, open_rules):
            found[rule].append(case.code)
    return found


def undecided_lines(book: Rulebook, cases: Iterable[Case]) -> Iterator[str]:
    """A line for each rule that no case decides, as a warning: it could be wrong and no case would
    show it.
    """
    rules = book.rules
    for rule, codes in deciders(book, cases).items():
        if not codes:
            yield f"{rules[rule].where}: no case decides the rule {rule}; sign a case that fails without it"


def deciding(book: Rulebook, case: Case, rules: Iterable[str]) -> Iterator[str]:
    """Those of some rules that a case decides."""
    whole = _Whole(book, case)
    if not unmet(case, whole.c):
        yield from (rule for rule in rules if whole.decides(rule))


class _Whole:
    """The consultation of a case with all rules, and what each rule did in it."""

    def __init__(self, book: Rulebook, case: Case) -> None:
        self.book, self.case = book, case
        self.c = consult_case(book, case)

    @cached_property
    def usual(self) -> Mapping[str, Reading]:
        """The rules that fire and could fire on each option in the usual reading of what was not told."""
        return usual_readings(self.c)

    @cached_property
    def options_of(self) -> Mapping[str, set[str]]:
        """The options on which each rule fires or could fire, in either reading."""
        found: dict[str, set[str]] = {}
        for code, w in self.c.weighed.items():
            for reading in (w, self.usual[code]):
                for rule, _ in (*reading.firings, *reading.could):
                    found.setdefault(rule.id, set()).add(code)
        return found

    @cached_property
    def base(self) -> Base:
        return Base(self.c)

    @cached_property
    def held_of_ground(self) -> set[str]:
        """The rules about site, signs and zones that fire or could fire."""
        layers = (self.c.site_layer, self.c.sign_layer, self.c.zone_layer)
        fired = {rule.id for layer in layers for rows in layer.fired.values() for rule, _ in rows}
        return fired | {rule.id for layer in layers for rows in layer.could.values() for rule, _ in rows}

    @cached_property
    def held_of_steps(self) -> set[str]:
        """The rules about steps that fire or could fire on what somebody means to do, and on opening."""
        steps = (*self.c.steps, *self.c.opening_steps.values())
        return {rule.id for step in steps for rule, _ in (*step.firings, *step.could)}

    @cached_property
    def advised(self) -> object:
        return _advised(self.c)

    def decides(self, name: str) -> bool:
        """Whether what is signed is not met without a rule."""
        rule, expect = self.book.rules[name], self.case.expect
        # The stretch before its limit falls with a rule.
        family = frozenset(one.id for one in self.book.base.rules if name in (one.id, one.bend_of))
        without = self._without(rule, family)
        if without is None:
            return False
        if next(unmet_in_outcome(expect, without), None) is not None:
            return True
        if _advised(without) == self.advised and not self._says(family):
            return False
        signed = {*expect.cautions, *expect.today, *expect.needs}
        quiet = rule.then.act in ("caution", "need") and rule.then.target not in signed
        if quiet and not (expect.says or expect.plan):
            return False
        return next(unmet_in_advice(expect, without), None) is not None

    def _without(self, rule: Rule, family: frozenset[str]) -> Consultation | None:
        """The consultation without a rule and its stretch, made of the whole one for as far as that stays;
        None where nothing is otherwise.
        """
        if rule.layer in ("site", "sign", "zone"):
            return self._without_of_ground(family) if family & self.held_of_ground else None
        if rule.layer == "step":
            return self._copy(family) if family & self.held_of_steps else None
        if rule.layer == "option-role":
            return self._without_of_options(family, self.c.weighed)
        touched = set().union(*(self.options_of.get(one, ()) for one in family))
        if touched and rule.then.act == "conclude":
            return consult_case(self.book, self.case, family)
        return self._without_of_options(family, touched) if touched else self._without_of_steps(family)

    def _says(self, family: frozenset[str]) -> bool:
        """Whether words that are signed stand in what some rules themselves say."""
        c, expect = self.c, self.case.expect
        told = [w for chosen in c.chosen.values() for w in chosen.told]
        told += [step.option for step in c.steps if step.option is not None]
        rows = [(rule, w.facts) for w in told for rule, _ in w.firings]
        rows += [(rule, step.facts) for step in c.steps for rule, _ in step.firings]
        rows += [(rule, c.site) for found in c.site_layer.fired.values() for rule, _ in found]
        for zone, found in c.zone_layer.fired.items():
            rows += [(rule, {**c.site, **c.zone_facts[zone]}) for rule, _ in found]
        texts = [
            plain_words(c.say.fill(text, facts, c.types))
            for rule, facts in rows
            for text in (rule.because, rule.sound_if)
            if rule.id in family and text is not None
        ]
        return any(plain_words(word) in text for row in expect.says for word in row.any_of for text in texts)

    def _copy(self, family: frozenset[str]) -> Consultation:
        other = copy.copy(self.c)
        other.without, other.made = family, None
        for name in ("steps", "opening_steps"):
            other.__dict__.pop(name, None)
        return other

    def _without_of_ground(self, family: frozenset[str]) -> Consultation | None:
        c, half = self.c, Diagnosis(self.book, self.c.filled, self.c.system, family)
        layers = ("site_layer", "sign_layer", "zone_layer")
        if all(getattr(half, layer) == getattr(c, layer) for layer in layers):
            return None
        same = (half.site, half.zone_facts) == (c.site, c.zone_facts)
        if not same or half.remedies() != c.remedies() or half.usual_facts != c.usual_facts:
            return self._judged_again(half)
        other = self._copy(family)
        for layer in layers:
            setattr(other, layer, getattr(half, layer))
        return other

    def _judged_again(self, half: Diagnosis) -> Consultation:
        """The consultation from another diagnosis on. Where verdicts are signed every option is looked at,
        else those that can take a part.
        """
        if self.case.expect.verdicts:
            return consult_case(self.book, self.case, half.without)
        other = judged_again(self.base, half, None)
        other.made = None
        del other.steps
        return other

    def _without_of_steps(self, family: frozenset[str]) -> Consultation | None:
        """Where a rule about options bears on none of the list, it may bear on one that somebody
        means to do.
        """
        weighed = [step.option for step in self.c.steps if step.option is not None]
        held = {rule.id for w in weighed for rule, _ in (*w.firings, *w.could)}
        return self._copy(family) if family & held else None

    def _without_of_options(self, family: frozenset[str], touched: Collection[str]) -> Consultation:
        """Nothing but grades, verdicts and roles hangs on the marks of options, so only these are made anew;
        of an option that comes forward its start is fitted.
        """
        other = self._copy(family)
        changed = {code: self._graded(self.c.weighed[code], family) for code in touched}
        roles = any(self.book.rules[one].layer == "option-role" for one in family)
        moved = [w for code, w in changed.items() if roles or _ends(w) != _ends(self.c.weighed[code])]
        self._conclude(other, moved)
        other.weighed = {**self.c.weighed, **changed}
        other.rank()
        if _told(other) != _told(self.c):
            other.measures = copy.copy(self.c.measures)
            other.measures.start_short = dict(self.c.measures.start_short)
            other.drafts = list(self.c.drafts)
            fitted(other)
        return other

    def _graded(self, w: Weighed, family: frozenset[str]) -> Weighed:
        own, usual = _less(w, family), _less(self.usual[w.draft.code], family)
        new = dataclasses.replace(w, firings=own.firings, could=own.could)
        if any(self.book.rules[one].then.act in ("mark", "rule-out") for one in family):
            bound(new, usual, self.c.is_closed, self.book.quiet)
        return new

    def _conclude(self, c: Consultation, options: Collection[Weighed]) -> None:
        """Verdicts and roles of options, in place."""
        base, rules = self.book.base, self.book.rules
        ends = [Subject(w.draft.code, {**w.facts, **verdict_facts(w, c.essential)}) for w in options]
        verdicts = {firing.subject: firing.rule for firing in judge(base, "option-verdict", ends).firings}
        for w in options:
            w.verdict_rule = verdicts[w.draft.code]
            w.verdict = rules[w.verdict_rule].then.target
        parts = [Subject(w.draft.code, {**w.facts, **role_facts(w, c.essential)}) for w in options]
        derived = judge(base, "option-role", parts, c.without).derived
        for w in options:
            held = derived[w.draft.code].items()
            w.roles = frozenset(name.removeprefix(ROLE) for name, holds in held if holds)


def _less(reading: Weighed | Reading, family: frozenset[str]) -> Reading:
    return Reading(
        [row for row in reading.firings if row[0].id not in family],
        [row for row in reading.could if row[0].id not in family],
    )


def _ends(w: Weighed) -> object:
    return w.grades, w.bests, w.open, w.remote, w.doubts, w.ruled_out


def _told(c: Consultation) -> object:
    return {zone: [w.draft.code for w in chosen.told] for zone, chosen in c.chosen.items()}


def _advised(c: Consultation) -> object:
    """All that cautions, needs, the plan, how sure it is and what is told to do are made of."""
    layers = (c.site_layer, c.sign_layer, c.zone_layer)
    fired = [rows for layer in layers for rows in layer.fired.values()]
    fired += [w.firings for chosen in c.chosen.values() for w in chosen.named]
    for step in (*c.steps, *c.opening_steps.values()):
        fired += [step.firings, *([step.option.firings] if step.option is not None else [])]
    said = {rule.then for rows in fired for rule, _ in rows if rule.then.act in ("caution", "need")}
    told = [w for chosen in c.chosen.values() for w in chosen.told]
    unjudged = {(w.draft.code, name) for w in told for name, grade in w.grades.items() if grade == UNKNOWN}
    ends = [(w.verdict, w.ruled_out) for w in told]
    return said, _told(c), ends, unjudged, [step.verdict for step in c.steps]
