"""A finished consultation that trials are compared with, and all of it that can be kept where some answers
differ.
"""

from __future__ import annotations

import copy
import dataclasses
import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from typing import Any, Final

from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Diagnosis
from decide.decision.programme import PLACES, Chosen, choose
from decide.decision.rank import (
    Reading,
    Weighed,
    criteria_order,
    role_facts,
    sort_key,
    verdict_facts,
)
from decide.engine.language import CRITERIA, CouldFire, Firing, Subject
from decide.engine.plain import judge as plain_judge
from decide.facts.draft import Draft
from decide.plan.feasible import fitted
from decide.plan.fit_reads import START_KEYS, START_QUANTITIES, start_facts
from decide.plan.starts import first_start
from decide.questions.again import Grounds, Moves
from decide.questions.choice import Choice, cautions_of, choice_of, own_cautions, ways_of
from decide.questions.held import Facts, Firm, JudgedRow, Layered, Said, fitted_code, put_by_rule
from decide.questions.kept import Kept

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
        self.grounds = Grounds(consultation)
        self.options = Layered(consultation.book.base, "option")
        self._at_best: dict[tuple[Firm, frozenset[str]], tuple[Facts, frozenset[str]]] = {}
        self._starts: dict[tuple[object, ...], dt.date] = {}
        self._sort_keys: dict[int, tuple[object, ...]] = {}

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

    # ---------- the options, before their starts were fitted and after ----------
    @cached_property
    def listed(self) -> dict[str, Draft]:
        """The options before their starts were fitted."""
        return {draft.code: draft for draft in self.c.options()}

    @cached_property
    def rows(self) -> dict[str, JudgedRow]:
        """The options as they were judged: by code before anybody looked at when they can start, by
        `fitted_code` where that was looked at.
        """
        c = self.c
        early = copy.copy(c)
        early.measures = copy.copy(c.measures)
        early.measures.start_short = {}
        put_off = {code: w for code, w in c.weighed.items() if _SHORT in w.facts}
        unfitted = early.weigh([draft for code, draft in self.listed.items() if code in put_off])
        found = {code: self._row(unfitted.get(code) or c.weighed[code]) for code in self.listed}
        for code, w in put_off.items():
            found[fitted_code(code, c.measures.start_short[code])] = self._row(w, fitted=True)
        return found

    def _row(self, w: Weighed, fitted: bool = False) -> JudgedRow:
        own = {name: value for name, value in w.facts.items() if name.startswith("option.")}
        derived = {name: own.pop(name) for name in [*own] if name in self.options.concluded}
        return JudgedRow(w, own, derived, fitted)

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
        ground = {zone: {**c.usual_facts[zone], **self.grounds.whole[zone]} for zone in c.zones}
        facts = {code: {**ground[row.w.draft.zone], **row.own} for code, row in self.rows.items()}
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

    # ---------- what the order and the programme read ----------
    @cached_property
    def ends(self) -> Mapping[str, frozenset[str]]:
        """The facts that the rules of verdict and of the programme read."""
        base = self.c.book.base
        return {layer: Layered(base, layer).reads for layer in ("option-verdict", "option-role")}

    @cached_property
    def placing(self) -> frozenset[str]:
        """The facts that the order and the shapes of a programme read, beside grades, verdicts and roles."""
        book = self.c.book
        rows = (
            row for shape in book.knowledge.shapes.values() for row in (shape.lead, shape.some, shape.none)
        )
        return _ORDER.union(
            name
            for row in rows
            if row is not None
            for text in (*row.when, *row.unless)
            for name in book.condition(text).facts
        )

    @cached_property
    def choosing(self) -> frozenset[str]:
        """The facts that a choice hangs on, beside grades."""
        return self.placing.union(self.start_facts, *self.ends.values())

    def sort_key(self, w: Weighed) -> tuple[object, ...]:
        """Where an option of the consultation stands in its own order."""
        if id(w) not in self._sort_keys:
            self._sort_keys[id(w)] = sort_key(w, self.c.order)
        return self._sort_keys[id(w)]

    @cached_property
    def own(self) -> frozenset[int]:
        """The options of the consultation, by identity."""
        return frozenset(id(row.w) for row in self.rows.values())

    @cached_property
    def start_facts(self) -> tuple[str, ...]:
        """The facts that the first start of an option hangs on."""
        return tuple(sorted(start_facts(self.c.book)))

    # ---------- again ----------
    def again(self, half: Diagnosis, moves: Moves | None) -> Consultation:
        """The whole consultation of another diagnosis of the same zones.

        `moves` says what the answers that differ move; without it all of the options is measured again.
        """
        listed = (
            {d.code: d for d in half.options()}
            if moves is None or moves.relists or half.remedies() != self.c.remedies()
            else self.listed
        )
        stand = {code: d for code, d in listed.items() if self.listed.get(code) == d}
        kept = Kept(self, half, stand, moves)
        if moves is not None and listed is self.listed and not kept.choice_moves:
            return self._same(half)
        fresh = [d for code, d in listed.items() if code not in kept.drafts]
        new = half.weigh(fresh) if fresh else {}
        other = _Tried(self, half, listed, kept, moves)
        other.start({**kept.judged(without_part=False), **new})
        if any(other.chosen[listed[code].zone].option is None for code in kept.passed_over):
            # The least bad may be one that has no part.
            other = _Tried(self, half, listed, kept, moves)
            other.start({**kept.judged(without_part=True), **new})
        return other

    def _same(self, half: Diagnosis) -> Consultation:
        """The consultation of a diagnosis that moves nothing of the options."""
        c = self.c
        other: Consultation = object.__new__(Consultation)
        other.__dict__.update(half.__dict__)
        other.measures = copy.copy(half.measures)
        other.measures.start_short = dict(c.measures.start_short)
        other.drafts, other.weighed, other.order, other.steps = [*c.drafts], dict(c.weighed), c.order, []
        other.ranked, other.chosen = [*c.ranked], dict(c.chosen)
        return other

    def start_of(self, c: Consultation, w: Weighed, moves: Moves | None) -> dt.date:
        """The first start of an option; looked for once where no answer that it hangs on is another."""
        if moves is None or starts_move(moves):
            return first_start(c, w)
        zone = w.draft.zone
        layers = (*c.site_layer.fired.get("site", []), *c.zone_layer.fired.get(zone, []), *w.firings)
        needs = frozenset(rule.then.target for rule, _ in layers if rule.then.act == "need")
        key = (w.draft, needs, *(w.facts.get(name) for name in self.start_facts))
        if key not in self._starts:
            self._starts[key] = first_start(c, w)
        return self._starts[key]


_PLACES: Final = (*PLACES, "runner_up")
_SHORT: Final = "option.start-short"
# What the order reads of an option's facts, and what follows a stopgap.
_ORDER: Final = frozenset((
    "option.goes-first", "option.wished", "option.cost-class", "option.cost.high", "option.free-short-light",
    "option.light-use-days.late", "option.full-play-days.late", "zone.recovery-days.late",
))  # fmt: skip


def starts_move(moves: Moves) -> bool:
    """Whether some first start hangs on an answer that is another, beside facts."""
    return not moves.names.isdisjoint(START_QUANTITIES) or moves.touch(START_KEYS)


class _Tried(Consultation):
    """A consultation from its first half on: the order, the programme, and the starts that fit."""

    def __init__(
        self, base: Base, half: Diagnosis, listed: Mapping[str, Draft], kept: Kept, moves: Moves | None
    ) -> None:
        self.__dict__.update(half.__dict__)
        self._base, self._kept, self._moves_of = base, kept, moves
        self.measures = copy.copy(half.measures)
        self.measures.start_short = {}
        self.drafts, self.steps = list(listed.values()), []
        self.order = criteria_order(half.knowledge, half.filled.situation.wishes.first or [])
        self.made = None

    def start(self, weighed: Mapping[str, Weighed]) -> None:
        """Put the options in order, choose from them, and fit their starts."""
        self.weighed = {draft.code: weighed[draft.code] for draft in self.drafts}
        self.rank()
        fitted(self, lambda _, w: self._base.start_of(self, w, self._moves_of))

    def rank(self) -> None:
        base, same = self._base, self.order == self._base.c.order
        key = {
            code: base.sort_key(w) if same and id(w) in base.own else sort_key(w, self.order)
            for code, w in self.weighed.items()
        }
        self.ranked = [self.weighed[code] for code in sorted(key, key=key.__getitem__)]
        by_zone: dict[str, list[Weighed]] = {code: [] for code in self.zones}
        for w in self.ranked:
            by_zone[w.draft.zone].append(w)
        shapes = self.knowledge.shapes.values()
        self.chosen = {
            code: self._with_facts(choose(rows, shapes, self.book.holds)) for code, rows in by_zone.items()
        }

    def _with_facts(self, chosen: Chosen) -> Chosen:
        """What is chosen, each option with the facts of this situation."""
        new = {id(w): self._kept.with_facts(w) for w in chosen.told}
        self.weighed.update({w.draft.code: w for w in new.values()})
        places: dict[str, Any] = {
            place: new[id(w)] for place in _PLACES if (w := getattr(chosen, place)) is not None
        }
        return dataclasses.replace(chosen, **places)

    def weigh(self, drafts: Sequence[Draft]) -> dict[str, Weighed]:
        found = self._kept.fitted({draft.code: draft for draft in drafts}, self.measures.start_short)
        new = [draft for draft in drafts if draft.code not in found]
        return {**found, **(super().weigh(new) if new else {})}
