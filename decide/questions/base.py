"""A finished consultation that trials are compared with, and all of it that can be kept where some answers
differ.
"""

from __future__ import annotations

import copy
import dataclasses
from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import Final

from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Diagnosis
from decide.decision.rank import (
    TIME,
    Reading,
    Weighed,
    bound,
    criteria_order,
    role_facts,
    verdict_facts,
)
from decide.engine.columns import judge as plain_judge
from decide.engine.language import CRITERIA, ROLE, CouldFire, Fact, Firing, Rule, Subject
from decide.facts.draft import Draft
from decide.plan.feasible import fitted
from decide.questions.choice import Choice, cautions_of, choice_of, own_cautions, ways_of
from decide.questions.held import Facts, Firm, JudgedRow, Said, Touched, differing, otherwise, put_by_rule

_GRADING: Final = ("mark", "rule-out")


class Base:
    """A consultation that trials are compared with, and all of it that can be kept where only some answers
    differ.

    A rule that reads none of the facts that differ stands as it stood. So of each option only the other rules
    are judged again; the order, the programme and the starts that fit are then made anew, as in a whole
    consultation.
    """

    def __init__(self, consultation: Consultation) -> None:
        self.c = consultation
        self._again: dict[frozenset[str], Touched] = {}
        self._at_best: dict[tuple[Firm, frozenset[str]], tuple[Facts, frozenset[str]]] = {}

    @cached_property
    def first(self) -> dict[str, Choice]:
        """The first choice of each zone with its verdict."""
        return {zone: choice_of(chosen) for zone, chosen in self.c.chosen.items()}

    @cached_property
    def ways(self) -> dict[str, tuple[tuple[str, str, str] | None, ...]]:
        """What is done first in each zone."""
        return {zone: ways_of(chosen) for zone, chosen in self.c.chosen.items()}

    @cached_property
    def cautions(self) -> set[str]:
        """The cautions of site and zones, and of the first choices."""
        found = cautions_of(self.c.site_layer) | cautions_of(self.c.zone_layer)
        return found.union(*(own_cautions(w) for chosen in self.c.chosen.values() for w in chosen.named))

    # ---------- the options before their starts were fitted ----------
    @cached_property
    def _listed(self) -> dict[str, Draft]:
        return {draft.code: draft for draft in self.c.options()}

    @cached_property
    def rows(self) -> dict[str, JudgedRow]:
        c, found = self.c, dict[str, JudgedRow]()
        early = copy.copy(c)
        early.measures = copy.copy(c.measures)
        early.measures.start_short = {}
        unfitted = early.weigh(
            [draft for code, draft in self._listed.items() if "option.start-short" in c.weighed[code].facts]
        )
        for code in self._listed:
            w = unfitted.get(code) or c.weighed[code]
            own = {name: value for name, value in w.facts.items() if name.startswith("option.")}
            derived = {name: own.pop(name) for name in [*own] if name in self._concluded}
            found[code] = JudgedRow(w, own, derived)
        return found

    @cached_property
    def told(self) -> dict[str, dict[str, Firing | CouldFire]]:
        """How each rule stands to the options, by what was told."""
        found: dict[str, dict[str, Firing | CouldFire]] = {}
        for code, row in self.rows.items():
            put_by_rule(found, code, row.w)
        return found

    @cached_property
    def usual(self) -> Said:
        """The rules in the usual reading of what was not told."""
        c = self.c
        facts = {
            code: {**c.usual_facts[row.w.draft.zone], **c.site, **c.zone_facts[row.w.draft.zone], **row.own}
            for code, row in self.rows.items()
        }
        return Said(c, c.book.base, facts)

    @cached_property
    def grading(self) -> dict[str, Reading]:
        """The rules of each option in the usual reading that grade it or rule it out."""
        return {
            code: Reading(
                [row for row in each.firings if row[0].then.act in _GRADING],
                [row for row in each.could if row[0].then.act in _GRADING],
            )
            for code, each in self.usual.readings.items()
        }

    @cached_property
    def pending(self) -> dict[str, set[str]]:
        """The unknown facts on which a rule about an option hangs in either reading, with these options."""
        found: dict[str, set[str]] = {}
        for by_rule in (self.told, self.usual.by_rule):
            for rule, standing in by_rule.items():
                unless = self.c.book.rules[rule].unless
                for code, each in standing.items():
                    if isinstance(each, CouldFire):
                        names: Iterable[str] = each.unknown
                    else:
                        names = (
                            name
                            for exception in unless
                            if exception.name in each.open
                            for condition in exception.when
                            for name in condition.facts
                        )
                    for name in names:
                        found.setdefault(name, set()).add(code)
        return found

    # ---------- rules that read what differs ----------
    @cached_property
    def _readers(self) -> dict[str, list[Rule]]:
        """The rules about options by the facts that they read."""
        found: dict[str, list[Rule]] = {}
        for stratum in self.c.book.base.strata["option"]:
            for rule in stratum:
                for name in dict.fromkeys(name for condition in rule.conditions for name in condition.facts):
                    found.setdefault(name, []).append(rule)
        return found

    def touched(self, names: frozenset[str]) -> Touched:
        """The rules about options that read one of some facts, or a conclusion that hangs on them."""
        if names not in self._again:
            base = self.c.book.base
            givers = {
                name: [
                    r
                    for stratum in base.strata["option"]
                    for r in stratum
                    if r.then.act == "conclude" and r.then.target == name
                ]
                for name in self._concluded
            }
            ids: set[str] = set()
            targets: set[str] = set()
            todo = list(names)
            while todo:
                for rule in self._readers.get(todo.pop(), ()):
                    ids.add(rule.id)
                    if rule.then.act == "conclude" and rule.then.target not in targets:
                        # What is concluded is settled by all rules that can give it.
                        targets.add(rule.then.target)
                        ids |= {each.id for each in givers[rule.then.target]}
                        todo.append(rule.then.target)
            strata = tuple(
                tuple(rule for rule in stratum if rule.id in ids) for stratum in base.strata["option"]
            )
            self._again[names] = Touched(
                dataclasses.replace(base, strata={**base.strata, "option": strata}),
                frozenset(ids),
                frozenset(targets),
            )
        return self._again[names]

    @cached_property
    def _concluded(self) -> frozenset[str]:
        return frozenset(
            rule.then.target
            for stratum in self.c.book.base.strata["option"]
            for rule in stratum
            if rule.then.act == "conclude"
        )

    def at_best(self, firm: Firm, essential: frozenset[str]) -> tuple[Facts, frozenset[str]]:
        """What the rules of verdict and programme read of an option for as far as it is sure, and the
        verdicts that it can still get.
        """
        if (firm, essential) not in self._at_best:
            marked, ruled_out, more = firm
            bests = {criterion: "weak" if criterion in marked else "strong" for criterion in CRITERIA}
            w = Weighed(Draft("", ""), {}, grades=bests, bests=bests)
            ends = {**verdict_facts(w, essential), **role_facts(w, essential)}
            sure: Facts = {name: value for name, value in ends.items() if value in ("weak", "free")}
            sure |= {"option.rule-out": "fired"} if ruled_out else {}
            sure |= {"option.ruled-out-by": "more"} if more else {}
            judged, rules = (
                plain_judge(self.c.book.base, "option-verdict", [Subject("one", sure)]),
                self.c.book.rules,
            )
            named = [*(each.rule for each in judged.firings), *(each.rule for each in judged.could)]
            self._at_best[firm, essential] = sure, frozenset(rules[rule].then.target for rule in named)
        return self._at_best[firm, essential]

    # ---------- again ----------
    def again(self, half: Diagnosis, measured: bool, relisted: bool) -> Consultation:
        """The whole consultation of another diagnosis of the same zones.

        `measured` says that measures of options may be others too, `relisted` that the list of options may be
        another.
        """
        listed = (
            {d.code: d for d in half.options()}
            if relisted or half.remedies() != self.c.remedies()
            else self._listed
        )
        kept = _Kept(
            self, half, {code: d for code, d in listed.items() if self._listed.get(code) == d}, measured
        )
        new = half.weigh([d for code, d in listed.items() if code not in kept.drafts])
        other = self._programme(half, listed, {**kept.judged(without_part=False), **new})
        if any(other.chosen[listed[code].zone].option is None for code in kept.passed_over):
            # The least bad may be one that has no part.
            other = self._programme(half, listed, {**kept.judged(without_part=True), **new})
        return other

    def _programme(
        self, half: Diagnosis, listed: Mapping[str, Draft], weighed: Mapping[str, Weighed]
    ) -> Consultation:
        """A consultation from its first half on: the order, the programme, and the starts that fit."""
        other: Consultation = object.__new__(type(self.c))
        other.__dict__.update(half.__dict__)
        other.measures = copy.copy(half.measures)
        other.measures.start_short = {}
        other.drafts, other.steps = list(listed.values()), []
        other.weighed = {code: weighed[code] for code in listed}
        other.order = criteria_order(half.knowledge, half.filled.situation.wishes.first or [])
        other.rank()
        fitted(other)
        return other


class _Kept:
    """The options of a consultation as another diagnosis judges them."""

    def __init__(self, base: Base, half: Diagnosis, drafts: Mapping[str, Draft], measured: bool) -> None:
        self.base, self.half, self.drafts = base, half, drafts
        self.passed_over: set[str] = set()
        c, self.rows = base.c, base.rows
        self.ground = {zone: {**half.site, **half.zone_facts[zone]} for zone in half.zones}
        told = {zone: differing({**c.site, **c.zone_facts[zone]}, self.ground[zone]) for zone in half.zones}
        usual = {zone: differing(c.usual_facts[zone], half.usual_facts[zone]) for zone in half.zones}
        self.own = {
            code: half.measures.option(d, half.zone_facts[d.zone]) if measured else self.rows[code].own
            for code, d in drafts.items()
        }
        mine = {code: differing(self.rows[code].own, self.own[code]) for code in drafts} if measured else {}
        self.names = frozenset[str]().union(*told.values(), *mine.values())
        self.moving = {
            code: d for code, d in drafts.items() if told[d.zone] or usual[d.zone] or mine.get(code)
        }
        self.some, self.every = base.touched(self.names), base.touched(self.names.union(*usual.values()))
        self.fired, self.read = self._fired(), self._read()
        self.moved = otherwise(base.told, self.fired, self.some, self.moving) | otherwise(
            base.usual.by_rule, self.read, self.every, self.moving
        )
        self.moved |= {
            code
            for name, held in base.pending.items()
            if c.is_closed(name) != half.is_closed(name)
            for code in held
            if code in drafts
        }
        self.moved |= drafts.keys() if c.essential != half.essential else set()

    def _fired(self) -> Said:
        """The rules that are judged again, by what is told."""
        if not self.some.ids:
            return Said(self.half, self.some.base, {})
        facts = {
            code: self.some.before(self.ground[d.zone], self.own[code], self.rows[code].derived)
            for code, d in self.moving.items()
        }
        return Said(self.half, self.some.base, facts)

    def _read(self) -> Said:
        """The rules that are judged again, in the usual reading."""
        if not self.every.ids:
            return Said(self.half, self.every.base, {})
        usual, before = self.half.usual_facts, self.base.usual.derived
        facts = {
            code: self.every.before(usual[d.zone], self.ground[d.zone], self.own[code], before[code])
            for code, d in self.moving.items()
        }
        return Said(self.half, self.every.base, facts)

    def judged(self, without_part: bool) -> dict[str, Weighed]:
        """All options; those that can take no part in the programme are looked at only where that is asked
        for.
        """
        self.passed_over = set() if without_part else self._no_part()
        found = {code: self.rows[code].w for code in self.drafts}
        for code in self.moving.keys() | self.moved:
            zone, row = self.drafts[code].zone, self.rows[code]
            if code in self.passed_over:
                found[code] = dataclasses.replace(row.w, roles=frozenset())
                continue
            w = found[code] = dataclasses.replace(
                row.w,
                facts={
                    **self.ground[zone],
                    **self.own[code],
                    **self.some.before(row.derived),
                    **self.fired.derived.get(code, {}),
                },
            )
            w.ready, w.cost = self.half._ready(w), self.half.figure(w, "option.cost.high")
            if code in self.moved:
                reading = self.base.grading[code]
                if code in self.moving:
                    w.firings, w.could = self.some.merged(row.w, self.fired.readings.get(code))
                    reading = Reading(*self.every.merged(reading, self.read.readings.get(code)))
                bound(w, reading, self.half.is_closed, self.half.book.quiet)
        self._conclude({code: found[code] for code in self.drafts if code not in self.passed_over})
        return found

    def _conclude(self, found: Mapping[str, Weighed]) -> None:
        """Put in the verdicts and roles anew where a grade, or a fact that their rules read, is another."""
        half = self.half
        verdicts, roles = _reads(half, "option-verdict"), _reads(half, "option-role")
        moved = {code for code in self.moved if code in found}
        ended = {
            code: {**found[code].facts, **verdict_facts(found[code], half.essential)}
            for code in (found if self.names & verdicts else moved)
        }
        for code, (rule, _) in _each(half, "option-verdict", verdicts, ended).items():
            found[code].verdict, found[code].verdict_rule = half.book.rules[rule].then.target, rule
        parts = {
            code: {**found[code].facts, **role_facts(found[code], half.essential)}
            for code in (found if self.names & roles else moved)
        }
        for code, (_, derived) in _each(half, "option-role", roles, parts).items():
            found[code].roles = frozenset(name.removeprefix(ROLE) for name, holds in derived.items() if holds)

    # ---------- what can take no part ----------
    def _no_part(self) -> set[str]:
        """The options that can take no part in the programme, whatever else moves: by the rules against them
        that still stand.
        """
        half, reads = self.half, sorted(_reads(self.half, "option-role"))
        groups: dict[tuple[Firm, tuple[Fact | None, ...]], list[str]] = {}
        for code in self.moved:
            firm = [rule.then for rule in self.rows[code].against if rule.id not in self.some.ids]
            ruled_out = [then.target for then in firm if then.act == "rule-out"]
            sure = (
                frozenset(then.target for then in firm if then.act == "mark"),
                bool(ruled_out),
                any(target != TIME for target in ruled_out),
            )
            facts = {**self.ground[self.drafts[code].zone], **self.own[code]}
            groups.setdefault((sure, tuple(map(facts.get, reads))), []).append(code)
        subjects: list[Subject] = []
        for number, (sure, held) in enumerate(groups):
            ends, verdicts = self.base.at_best(sure, half.essential)
            known = {name: value for name, value in zip(reads, held, strict=True) if value is not None}
            subjects += [
                Subject(f"{number} {verdict}", {**known, **ends, "option.verdict": verdict})
                for verdict in verdicts
            ]
        judged = plain_judge(half.book.base, "option-role", subjects)
        targets = {rule.then.target for stratum in half.book.base.strata["option-role"] for rule in stratum}
        some = {
            name.partition(" ")[0]
            for name, derived in judged.derived.items()
            if any(derived.get(target) is not False for target in targets)
        }
        return {
            code for number, codes in enumerate(groups.values()) if str(number) not in some for code in codes
        }


def _reads(half: Diagnosis, layer: str) -> frozenset[str]:
    """The facts that the rules of a layer read."""
    return frozenset(
        name
        for stratum in half.book.base.strata[layer]
        for rule in stratum
        for condition in rule.conditions
        for name in condition.facts
    )


def _each(
    half: Diagnosis, layer: str, reads: frozenset[str], facts: Mapping[str, Mapping[str, Fact]]
) -> dict[str, tuple[str, Mapping[str, bool]]]:
    """The first rule of a layer that fires on each option, and what is concluded of it; options that its
    rules read alike are judged once.
    """
    alike: dict[tuple[Fact | None, ...], str] = {}
    stands_for = {code: alike.setdefault(tuple(map(held.get, reads)), code) for code, held in facts.items()}
    judged = plain_judge(half.book.base, layer, [Subject(code, facts[code]) for code in alike.values()])
    first = {firing.subject: firing.rule for firing in reversed(judged.firings)}
    return {code: (first.get(one, ""), judged.derived[one]) for code, one in stands_for.items()}
