"""A finished consultation that trials are compared with, and all of it that can be kept where some answers
differ.
"""

from __future__ import annotations

import copy
import datetime as dt
from collections.abc import Container, Iterable, Mapping
from functools import cached_property
from typing import Final

from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Diagnosis
from decide.decision.rank import (
    TIME,
    Reading,
    Weighed,
    role_facts,
    sort_key,
    verdict_facts,
)
from decide.decision.rulebook import Rulebook
from decide.engine.columns import judge as plain_judge
from decide.engine.language import CRITERIA, Subject
from decide.facts.declare import touches
from decide.facts.draft import Draft
from decide.plan.fit_reads import start_facts
from decide.questions.again import LIST_KEYS, Grounds, Moves, values_at
from decide.questions.choice import Choice, cautions_of, choice_of, own_cautions, ways_of
from decide.questions.effect import Effect
from decide.questions.held import (
    Facts,
    Firm,
    JudgedRow,
    Layered,
    Said,
    Stands,
    Touched,
    fitted_code,
    put_by_rule,
)

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
        self.starts: dict[tuple[object, ...], dt.date] = {}
        # What was tried on it, by all that differs.
        self.effects: dict[str, Effect] = {}
        self._of_options: dict[frozenset[str], tuple[str, ...]] = {}
        self._lists: dict[str, Mapping[str, Draft]] = {}
        self._firm: dict[frozenset[str], Mapping[str, Firm]] = {}
        self._verdict_facts: dict[int, Facts] = {}
        self._role_facts: dict[int, Facts] = {}
        self._sort_keys: dict[int, tuple[object, ...]] = {}

    def with_rules(self, book: Rulebook) -> Base | None:
        """The same to be compared with what other numbers in the rules of a book make of it; None where rules
        beside those of site, zones and options have others.
        """
        before = self.c.book.rules
        other = {
            layer: frozenset(
                rule.id for stratum in strata for rule in stratum if rule is not before.get(rule.id)
            )
            for layer, strata in book.base.strata.items()
        }
        kept = ("site", "zone", "option")
        if any(ids for layer, ids in other.items() if layer not in (*kept, *_OF_STEPS)) or self.c.without:
            return None
        # What is kept of the options is made before it is shared.
        _ = self.rows, self.usual, self.grounds.read
        found = copy.copy(self)
        found.grounds = self.grounds.with_layers(
            {layer: Layered(book.base, layer, other[layer]) for layer in ("site", "zone")}
        )
        found.options = Layered(book.base, "option", other["option"])
        found.starts = {}
        return found

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

    @cached_property
    def _names(self) -> tuple[str, ...]:
        """The facts of options."""
        return tuple(name for name in self.grounds.names if name.startswith("option."))

    def _row(self, w: Weighed, fitted: bool = False) -> JudgedRow:
        own = {name: value for name in self._names if (value := w.facts.get(name)) is not None}
        derived = {name: own.pop(name) for name in [*own] if name in self.options.concluded}
        return JudgedRow(w, own, derived, fitted)

    @cached_property
    def told(self) -> dict[str, dict[str, Stands]]:
        """How each rule stands to the options, by what was told."""
        found: dict[str, dict[str, Stands]] = {}
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
                for code, (fired, waits) in standing.items():
                    names: Iterable[str] = waits
                    if fired:
                        names = (
                            name
                            for exception in unless
                            if exception.name in waits
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

    def firm(self, touched: Touched) -> Mapping[str, Firm]:
        """What stands against each option whatever some rules say."""
        if touched.ids not in self._firm:
            self._firm[touched.ids] = {code: _firm(row, touched.ids) for code, row in self.rows.items()}
        return self._firm[touched.ids]

    def verdict_facts(self, w: Weighed) -> Facts:
        """What the verdict rules read of an option of the consultation."""
        if id(w) not in self._verdict_facts:
            self._verdict_facts[id(w)] = verdict_facts(w, self.c.essential)
        return self._verdict_facts[id(w)]

    def role_facts(self, w: Weighed) -> Facts:
        """What the rules of the programme read of an option of the consultation, by its verdict there."""
        if id(w) not in self._role_facts:
            self._role_facts[id(w)] = role_facts(w, self.c.essential)
        return self._role_facts[id(w)]

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

    def of_options(self, reads: frozenset[str]) -> tuple[str, ...]:
        """Of some facts those of options."""
        if reads not in self._of_options:
            self._of_options[reads] = tuple(name for name in reads if name.startswith("option."))
        return self._of_options[reads]

    def listed_by(self, half: Diagnosis, moves: Moves | None) -> Mapping[str, Draft]:
        """The options of another diagnosis before their starts were fitted; listed once for all answers that
        the list hangs on.
        """
        remedies = half.remedies()
        if moves is not None and not moves.relists and remedies == self.c.remedies():
            return self.listed
        if moves is None:
            return {draft.code: draft for draft in half.options()}
        standing = tuple(str(facts.get(_STANDING, "")) for facts in half.zone_facts.values())
        told = values_at(half.filled.situation, (key for key in moves.keys if touches(LIST_KEYS, key)))
        key = repr((remedies, standing, told))
        if key not in self._lists:
            self._lists[key] = {draft.code: draft for draft in half.options()}
        return self._lists[key]

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


_OF_STEPS: Final = ("step", "step-verdict")
_STANDING: Final = "zone.main-season-type"
_SHORT: Final = "option.start-short"
# What the order reads of an option's facts, and what follows a stopgap.
_ORDER: Final = frozenset((
    "option.goes-first", "option.wished", "option.cost-class", "option.cost.high", "option.free-short-light",
    "option.light-use-days.late", "option.full-play-days.late", "zone.recovery-days.late",
))  # fmt: skip


def _firm(row: JudgedRow, touched: Container[str]) -> Firm:
    """What stands against an option whatever some rules say."""
    firm = [rule.then for rule in row.against if rule.id not in touched]
    ruled_out = [then.target for then in firm if then.act == "rule-out"]
    return (
        frozenset(then.target for then in firm if then.act == "mark"),
        bool(ruled_out),
        any(target != TIME for target in ruled_out),
    )
