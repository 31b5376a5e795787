"""A finished consultation that trials are compared with, and all of it that can be kept where some answers
differ.
"""

from __future__ import annotations

import copy
import datetime as dt
from collections.abc import Mapping
from functools import cached_property
from typing import Final

from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Diagnosis
from decide.decision.rank import Weighed, sort_key
from decide.decision.rulebook import Rulebook
from decide.engine.columns import Columns
from decide.facts.declare import touches
from decide.facts.draft import Draft
from decide.plan.fit_reads import start_facts
from decide.questions.again import LIST_KEYS, Grounds, Moves, values_at
from decide.questions.choice import Choice, cautions_of, choice_of, own_cautions, ways_of
from decide.questions.effect import Effect
from decide.questions.held import Facts, Layered
from decide.questions.sets import JudgedRow, Sets, fitted_code


class Base:
    """A consultation that trials are compared with, and all of it that can be kept where only some answers
    differ.

    Its options stand as columns, of which a trial puts others only where something differs: what was asked of
    the others is not asked again. The order, the programme and the starts that fit are made anew where the
    judgement of some option is another.
    """

    def __init__(self, consultation: Consultation) -> None:
        self.c = consultation
        self.grounds = Grounds(consultation)
        # Whether a trial is judged by other numbers in its rules.
        self.bent = False
        self.starts: dict[tuple[object, ...], dt.date] = {}
        # What was tried on it, by all that differs.
        self.effects: dict[str, Effect] = {}
        self._lists: dict[str, Mapping[str, Draft]] = {}
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
        _ = self.judged, self.grounds.read
        found = copy.copy(self)
        found.grounds = self.grounds.with_layers(
            {layer: Layered(book.base, layer, other[layer]) for layer in ("site", "zone")}
        )
        found.told_columns, found.usual_columns = self.told_columns.unasked(), self.usual_columns.unasked()
        found.bent, found.starts = True, {}
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
        """The facts of options that are measured."""
        concluded = Layered(self.c.book.base, "option").concluded
        return tuple(
            name for name in self.grounds.names if name.startswith("option.") and name not in concluded
        )

    def _row(self, w: Weighed, fitted: bool = False) -> JudgedRow:
        held = w.facts.get
        return JudgedRow(
            w, {name: value for name in self._names if (value := held(name)) is not None}, fitted
        )

    # ---------- the options as sets ----------
    @cached_property
    def places(self) -> Mapping[str, int]:
        """The number of each row in the sets."""
        return {code: n for n, code in enumerate(self.rows)}

    @cached_property
    def zones(self) -> Mapping[str, int]:
        """The rows of each zone."""
        found: dict[str, int] = {}
        for n, row in enumerate(self.rows.values()):
            found[row.zone] = found.get(row.zone, 0) | 1 << n
        return found

    @cached_property
    def told_columns(self) -> Columns:
        """What is told and measured, without what rules concluded of options."""
        return self._columns({zone: self.grounds.whole[zone] for zone in self.c.zones})

    @cached_property
    def usual_columns(self) -> Columns:
        """The same in the usual reading of what was not told."""
        c, whole = self.c, self.grounds.whole
        return self._columns({zone: {**c.usual_facts[zone], **whole[zone]} for zone in c.zones})

    def _columns(self, ground: Mapping[str, Facts]) -> Columns:
        shared = [(ground[zone], group) for zone, group in self.zones.items()]
        rows = [{**ground[row.zone], **row.own} for row in self.rows.values()]
        return Columns([*self.rows], rows, {"site": shared, "zone": shared})

    @cached_property
    def judged(self) -> Sets:
        """What is said of the options."""
        return Sets(self.c, self.told_columns, self.usual_columns, self.c.without)

    # ---------- what the order and the programme read ----------
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
        """The facts that a choice hangs on, beside grades, verdicts and roles."""
        return self.placing.union(self.start_facts)

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
