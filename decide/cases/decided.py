"""Which cases decide a rule: what is signed of them is not met once it is off or another."""

from __future__ import annotations

import copy
import dataclasses
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Final

from decide.cases.bank import consult_case, plain_words, unmet, unmet_in_advice, unmet_in_outcome
from decide.cases.regraded import Options, ruled_of
from decide.cases.signed import Case
from decide.cases.steps_signed import step_signed
from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Diagnosis
from decide.decision.rank import UNKNOWN, Weighed, role_facts, verdict_facts
from decide.decision.rulebook import Rulebook
from decide.decision.steps import JudgedStep, judged_on
from decide.engine.columns import Columns
from decide.engine.judge import Judge
from decide.engine.language import ROLE, Conclusion, Fact, Rule
from decide.facts.sign import sign_facts
from decide.plan.feasible import fitted
from decide.questions.base import Base
from decide.questions.trial import judged_again

_GROUND: Final = ("site", "sign", "zone")


def families(rules: Iterable[Rule]) -> dict[str, list[str]]:
    """Each rule as written with those of its stretch, which fall with it."""
    found: dict[str, list[str]] = {}
    for rule in rules:
        found.setdefault(rule.bend_of or rule.id, []).append(rule.id)
    return found


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
    looked = Looked(book, case)
    if looked.met:
        together = families(book.base.rules)
        for rule in rules:
            if looked.notices(Edited(without=frozenset(together[rule]))):
                yield rule


@dataclass(frozen=True)
class Edited:
    """Rules that are otherwise: some that stand in place of those of the same id, some switched off."""

    rules: Mapping[str, Rule] = field(default_factory=dict)
    without: frozenset[str] = frozenset()

    @property
    def ids(self) -> frozenset[str]:
        return self.without | self.rules.keys()

    def book(self, book: Rulebook) -> Rulebook:
        """A book with these rules, judged by the plain engine alone."""
        if not self.rules:
            return book
        put = self.rules
        other = copy.copy(book)
        other.base = dataclasses.replace(
            book.base,
            rules=tuple(put.get(rule.id, rule) for rule in book.base.rules),
            strata={
                layer: tuple(tuple(put.get(rule.id, rule) for rule in stratum) for stratum in strata)
                for layer, strata in book.base.strata.items()
            },
        )
        other.rules = {**book.rules, **put}
        other.judge = Judge(other.base, "plain")
        return other


class Looked:
    """The consultation of a case, and whether what is signed of it is still met where rules are otherwise."""

    def __init__(self, book: Rulebook, case: Case) -> None:
        self.book, self.case = book, case
        self.c = consult_case(book, case)

    @cached_property
    def met(self) -> bool:
        """Whether all that is signed is met by the rules as they are."""
        return not unmet(self.case, self.c)

    def notices(self, edited: Edited) -> bool:
        """Whether what is signed is not met where some rules are otherwise."""
        return self.answer(edited)[1]

    def answer(self, edited: Edited) -> tuple[bool, bool]:
        """Whether rules that are otherwise bear on the case, and whether they meet not all that is signed."""
        layers = {layer for layer in self.columns if self._stands_otherwise(layer, edited)}
        return bool(layers), bool(layers) and self._unmet(edited, layers)

    def _unmet(self, edited: Edited, layers: set[str]) -> bool:
        expect, concluded = self.case.expect, self._conclusions(edited)
        signed = {*expect.cautions, *expect.no_cautions, *expect.today, *expect.needs, *expect.no_needs}
        signed = signed.union(*(step_signed(text).codes for text in expect.proposals))
        quiet = all(then.act in ("caution", "need") and then.target not in signed for then in concluded)
        cautions = quiet and all(then.act == "caution" for then in concluded)
        if cautions and not (expect.says or expect.plan):
            return False
        other = self._under(edited, layers)
        if other is None:
            return False
        if next(unmet_in_outcome(expect, other), None) is not None:
            return True
        if _advised(other) == self._advised and not self._says(edited.ids):
            return False
        if quiet and not (expect.says or expect.plan):
            return False
        return next(unmet_in_advice(expect, other), None) is not None

    def _conclusions(self, edited: Edited) -> set[Conclusion]:
        return {self.book.rules[one].then for one in edited.ids} | {one.then for one in edited.rules.values()}

    # ---------- which layers it bears on ----------
    @cached_property
    def columns(self) -> Mapping[str, list[Columns]]:
        """By layer all that rules judged, as told and in the usual reading of what was not."""
        c = self.c
        steps = [*c.steps, *c.opening_steps.values()]
        signs = [
            {**c.site, **sign_facts(c.filled, sign, c.measures), **c.sign_layer.derived.get(sign.code, {})}
            for sign in c.signs
            if sign.mended is None
        ]
        zones = [{**c.site, **facts} for facts in c.zone_facts.values()]
        usual = [{**c.usual_facts[zone], **c.site, **facts} for zone, facts in c.zone_facts.items()]
        site_usual = [{name: facts[name] for name in facts if name.startswith("site.")} for facts in usual]
        meant = [step.option for step in steps if step.option is not None]
        as_usual = [{**c.usual_facts[w.draft.zone], **w.facts} for w in meant]
        return {
            "site": [_columns([c.site, *site_usual])],
            "sign": [_columns(signs)],
            "zone": [_columns([*zones, *usual])],
            "option": [self._options.told.columns, self._options.usual.columns],
            "option-verdict": [self._options.parts[0]],
            "option-role": [self._options.parts[1]],
            "step": [_columns([step.facts for step in steps])],
            "step-option": [_columns([*(self._ends(w) for w in meant), *as_usual])],
        }

    def _ends(self, w: Weighed) -> Mapping[str, Fact]:
        return {
            **w.facts,
            **verdict_facts(w, self.c.essential, self.c.counting.perhaps),
            **role_facts(w, self.c.essential),
        }

    @cached_property
    def _options(self) -> Options:
        return Options(self.c)

    def _stands_otherwise(self, layer: str, edited: Edited) -> bool:
        """Whether some rule of a layer that is otherwise says something else of anything that was judged."""
        of_steps = layer == "step-option"
        for id in edited.ids:
            rule, other = self.book.rules[id], edited.rules.get(id)
            if rule.layer.startswith("option") if of_steps else rule.layer == layer:
                for columns in self.columns[layer]:
                    if _standing(columns, rule) != _standing(columns, other):
                        return True
            elif layer == "step" and rule.layer == "step-verdict" and (self.c.steps or self.c.opening_steps):
                return True
        return False

    # ---------- judged again ----------
    def _under(self, edited: Edited, layers: set[str]) -> Consultation | None:
        """The consultation under other rules, made of the one that stands for as far as that stays; None
        where nothing is otherwise.
        """
        c, book = self.c, edited.book(self.book)
        other = self._copy(book, edited, layers)
        if layers & {*_GROUND}:
            half = Diagnosis(book, c.filled, c.system, edited.without)
            same = (half.site, half.zone_facts) == (c.site, c.zone_facts)
            if not same or half.remedies() != c.remedies() or half.usual_facts != c.usual_facts:
                # Where verdicts are signed every option is looked at, else those that can take a part.
                if self.case.expect.verdicts or not layers <= {*_GROUND}:
                    return consult_case(book, self.case, edited.without)
                return self._judged_again(half)
            if layers <= {*_GROUND} and all(
                getattr(half, f"{layer}_layer") == getattr(c, f"{layer}_layer") for layer in _GROUND
            ):
                return None
            for layer in _GROUND:
                setattr(other, f"{layer}_layer", getattr(half, f"{layer}_layer"))
        if layers & {"option", "option-verdict", "option-role"}:
            self._graded_again(other, edited)
        return other

    def _copy(self, book: Rulebook, edited: Edited, layers: set[str]) -> Consultation:
        other = copy.copy(self.c)
        other.book, other.without, other.made = book, edited.without, None
        if layers & {*_GROUND, "step-option"}:
            for name in ("steps", "opening_steps"):
                other.__dict__.pop(name, None)
        elif "step" in layers:
            zones, begun = list(self.c.opening_steps), self._begun
            other.steps = judged_on(other, begun[: len(self.c.steps)])
            opening = judged_on(other, begun[len(self.c.steps) :]) if zones else []
            other.opening_steps = dict(zip(zones, opening, strict=True))
        return other

    @cached_property
    def _begun(self) -> list[JudgedStep]:
        """What somebody means to do, and opening, before rules conclude anything of it."""
        types = self.c.types
        concluded = {name for name, kind in types.items() if kind.scope == "step" and kind.concluded}
        return [
            dataclasses.replace(
                step, facts={name: held for name, held in step.facts.items() if name not in concluded}
            )
            for step in (*self.c.steps, *self.c.opening_steps.values())
        ]

    @cached_property
    def _base(self) -> Base:
        return Base(self.c)

    def _judged_again(self, half: Diagnosis) -> Consultation:
        other = judged_again(self._base, half, None)
        other.made = None
        del other.steps
        return other

    def _graded_again(self, other: Consultation, edited: Edited) -> None:
        """Grades, verdicts, roles and the order made anew; of an option that comes forward its start is
        fitted.
        """
        acts = {then.act for then in self._conclusions(edited) if not then.target.startswith(ROLE)}
        if "conclude" in acts:
            other.weighed = other.graded([w.draft for w in self._options.rows], self._options.before)
            other.rank()
        else:
            self._options.again(other, edited.ids)
        if _told(other) != _told(self.c):
            other.measures = copy.copy(self.c.measures)
            other.measures.start_short = dict(self.c.measures.start_short)
            other.drafts = list(self.c.drafts)
            fitted(other)

    # ---------- what it comes to ----------
    @cached_property
    def _advised(self) -> object:
        return _advised(self.c)

    def _says(self, ids: frozenset[str]) -> bool:
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
            if rule.id in ids and text is not None
        ]
        return any(plain_words(word) in text for row in expect.says for word in row.any_of for text in texts)


def _columns(rows: Sequence[Mapping[str, Fact]]) -> Columns:
    return Columns([str(n) for n in range(len(rows))], rows)


def _standing(columns: Columns, rule: Rule | None) -> object:
    """What a rule says, and of which subjects; None where it says nothing."""
    ruled = None if rule is None else ruled_of(columns, rule)
    if ruled is None:
        return None
    group = ruled.true | ruled.unknown
    open_ = [(name, held & group) for name, held in ruled.open if held & group]
    return ruled.rule.then, ruled.true, ruled.unknown, open_


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
