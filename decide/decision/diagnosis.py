"""One situation up to what each zone needs: its facts, what the rules say of them, and any option weighed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, partial
from typing import Any, Final

from decide.decision.counting import Counting, counting
from decide.decision.grades import column_of, first_rules, grades
from decide.decision.options import make_options
from decide.decision.rank import Reading, Weighed, readings, standing_open
from decide.decision.rulebook import Rulebook, check_names
from decide.engine.columns import Columns, Found, judge
from decide.engine.language import (
    ROLE,
    CouldFire,
    Fact,
    Firing,
    Judged,
    Rule,
    Subject,
)
from decide.facts.declare import Facts
from decide.facts.draft import Draft
from decide.facts.filled import Filled
from decide.facts.option import Measures
from decide.facts.play import hours_told
from decide.facts.sign import progress_facts, sign_facts, signs_here
from decide.facts.site import site_facts
from decide.facts.zone import zone_facts
from decide.knowledge.schema import Conditional
from decide.knowledge.speaker import Speaker
from decide.measure.weather import DailyWeather
from decide.model.situation import Situation, Zone
from decide.model.units import System
from decide.model.written import coded

SITE: Final = "site"


@dataclass
class Layer:
    """What was found of one layer: firings and possible firings by subject."""

    fired: dict[str, list[tuple[Rule, Firing]]] = field(default_factory=dict)
    could: dict[str, list[tuple[Rule, CouldFire]]] = field(default_factory=dict)
    derived: dict[str, Mapping[str, bool]] = field(default_factory=dict)


class Diagnosis:
    """One situation up to what each zone needs: the facts of site and zones, and what the rules say of them.

    It keeps no options of its own, but can list them and weigh any.
    """

    def __init__(self, book: Rulebook, filled: Filled, system: System, without: frozenset[str]) -> None:
        self.book, self.filled, self.system, self.without = book, filled, system, without
        self.knowledge, self.types = book.knowledge, book.base.facts
        self.say = Speaker(book.knowledge, system)
        self.zones: dict[str, Zone] = {coded(zone.name): zone for zone in filled.situation.zone}
        self.measures = Measures(filled)
        self._closed: dict[str, bool] = {}

        self.site: Facts = self.measured_site()
        self.site_layer = self.judge("site", [Subject(SITE, self.site)])
        self.site.update(self.site_layer.derived.get(SITE, {}))

        self.signs = signs_here(filled)
        self.sign_layer = self.judge(
            "sign",
            [
                Subject(sign.code, {**self.site, **sign_facts(filled, sign, self.measures)})
                for sign in self.signs
                if sign.mended is None
            ],
        )

        own = {code: self.measured_zone(zone) for code, zone in self.zones.items()}
        for code, facts in own.items():
            seen = [
                (sign, self.sign_layer.derived.get(sign.code, {}))
                for sign in self.signs
                if sign.zone == code and sign.mended is None
            ]
            facts.update(progress_facts(filled, code, seen, self.measures))
        self.zone_layer = self.judge(
            "zone", [Subject(code, {**self.site, **facts}) for code, facts in own.items()]
        )
        self.zone_facts: dict[str, Facts] = {
            code: {**facts, **self.zone_layer.derived.get(code, {})} for code, facts in own.items()
        }

    # ---------- facts ----------
    def measured_site(self) -> Facts:
        """The facts of the site before rules conclude anything of them."""
        return site_facts(self.filled, self.types)

    def measured_zone(self, zone: Zone) -> Facts:
        """The facts of a zone before rules conclude anything of them."""
        return zone_facts(self.filled, zone, self.types)

    # ---------- rules ----------
    def judge(self, layer: str, subjects: Sequence[Subject]) -> Layer:
        """What the rules of one layer say of some subjects."""
        judged: Judged = self.book.judge.judge(layer, subjects, self.without)
        found = readings(judged, self.book.rules, (subject.name for subject in subjects))
        return Layer(
            {name: each.firings for name, each in found.items() if each.firings},
            {name: each.could for name, each in found.items() if each.could},
            dict(judged.derived),
        )

    def holds(self, row: Conditional, facts: Mapping[str, Fact]) -> bool:
        """Whether a row of the tables stands: all of its `when` hold, and not all of its `unless`."""
        return self.book.holds(row, facts)

    def left_alone(self, zone: str) -> bool:
        """Whether nothing is to be done with a zone."""
        row = self.knowledge.no_remedy
        return row is not None and self.book.holds(row, self.zone_facts[zone])

    def remedies(self) -> dict[str, list[str]]:
        """The remedies of each zone that its diagnosis names, or could name where answers are missing."""
        return {
            code: self._remedies(code, facts)
            for code, facts in self.zone_facts.items()
            if not self.left_alone(code)
        }

    def _remedies(self, zone: str, facts: Facts) -> list[str]:
        holds = self.book.holds
        for code, row in self.knowledge.remedies.items():
            if row.alone is not None and holds(row.alone, facts):
                return [code]
        could = {rule.then.target for rule, _ in self.zone_layer.could.get(zone, [])}
        named: list[str] = []
        for code, row in self.knowledge.remedies.items():
            fact = f"zone.remedy-{code}"
            if facts.get(fact) is True or (
                row.open is not None
                and fact in could
                and holds(row.open, {**self.usual_facts[zone], **facts} if row.open.usual else facts)
            ):
                named.append(code)
        return named

    @cached_property
    def counting(self) -> Counting:
        """The criteria that count, or could."""
        return counting(self.site, self.site_layer.could.get(SITE, []), self.is_closed)

    @property
    def essential(self) -> frozenset[str]:
        """The criteria that the site's rules call essential."""
        return self.counting.essential

    def options(self) -> list[Draft]:
        """The options of all zones, before they are weighed."""
        standing = {
            code: str(facts.get("zone.main-season-type", "")) for code, facts in self.zone_facts.items()
        }
        return make_options(self.filled, self.remedies(), standing)

    def option_facts(self, draft: Draft) -> Facts:
        """Every fact that rules about an option may read."""
        return self.facts_of([draft])[0]

    def _ground(self) -> dict[str, Facts]:
        """The facts of site and zone, by zone."""
        return {code: {**self.site, **facts} for code, facts in self.zone_facts.items()}

    def facts_of(self, drafts: Sequence[Draft]) -> list[Facts]:
        """Every fact that rules about each option may read."""
        ground = self._ground()
        own = self.measures.options(drafts, self.zone_facts)
        return [{**ground[draft.zone], **facts} for draft, facts in zip(drafts, own, strict=True)]

    def weigh(self, drafts: Sequence[Draft]) -> dict[str, Weighed]:
        """Options judged and graded, by code; also ones that are not on the list."""
        if not drafts:
            return {}
        listed = {draft.code: draft for draft in drafts}
        rows = self.facts_of([*listed.values()])
        # What is told of a zone alone stands in place of what is told of the site.
        ground = self._ground()
        shared = [(ground[code], group) for code, group in _by_zone(listed.values()).items()]
        options = Columns([*listed], rows, {"site": shared, "zone": shared})
        return self.graded([*listed.values()], options)

    def graded(self, drafts: Sequence[Draft], options: Columns) -> dict[str, Weighed]:
        """Options judged and graded on what is known of them, before rules conclude anything of it."""
        told = self._found("option", options)
        usual = self._usual_found(told.columns, drafts)
        ends = grades(told, usual, self.is_closed, self.book.quiet)
        judged = told.columns.over(ends.verdict_columns(self.essential, self.counting.perhaps))
        verdict_rules = first_rules(self._found("option-verdict", judged))
        verdicts = [self.book.rules[rule].then.target for rule in verdict_rules]
        parts = told.columns.over(
            {"option.verdict": column_of(verdicts), **ends.role_columns(self.essential)}
        )
        roles = self._found("option-role", parts)
        weighed: dict[str, Weighed] = {}
        graded = zip(ends.of(ends.worst), ends.of(ends.best), strict=True)
        for n, (draft, (worst, best)) in enumerate(zip(drafts, graded, strict=True)):
            derived = told.derived[draft.code]
            w = weighed[draft.code] = Weighed(
                draft,
                {**options[n].facts, **derived},
                partial(told.fired_on, n),
                partial(told.could_on, n),
                worst,
                best,
                verdict=verdicts[n],
                verdict_rule=verdict_rules[n],
                roles=frozenset(
                    name.removeprefix(ROLE) for name, holds in roles.derived[draft.code].items() if holds
                ),
            )
            w.open, w.remote, w.doubts = self.open_of(w, usual, n)
            w.ready, w.cost = self._ready(w), self.figure(w, "option.cost.high")
        return weighed

    def open_of(
        self, w: Weighed, usual: Found, n: int
    ) -> tuple[Callable[[], list[Rule]], Callable[[], list[Rule]], Callable[[], list[Rule]]]:
        """What makes the lists of the rules that stand open of an option, all three at once."""

        made: list[tuple[list[Rule], list[Rule], list[Rule]]] = []

        def at(place: int) -> list[Rule]:
            if not made:
                reading = Reading(usual.fired_on(n), usual.could_on(n))
                made.append(
                    standing_open(Reading(w.firings, w.could), reading, self.is_closed, self.book.quiet)
                )
            return made[0][place]

        return partial(at, 0), partial(at, 1), partial(at, 2)

    def _found(self, layer: str, options: Columns) -> Found:
        """What the rules of one layer say of options."""
        return self.book.judge.judge(layer, options, self.without)

    # ---------- what was not told ----------
    def _usual(self, scope: str, facts: Mapping[str, Fact]) -> Facts:
        """The usual readings of one scope's facts that are not known."""
        found: Facts = {}
        for name, kind in self.book.usual.items():
            if kind.scope == scope and name not in facts:
                held = (
                    kind.usual.get(str(facts.get(kind.usual_by, found.get(kind.usual_by))))
                    if isinstance(kind.usual, Mapping)
                    else kind.usual
                )
                if held is not None:
                    found[name] = held
        return found

    @cached_property
    def usual_facts(self) -> Mapping[str, Facts]:
        """For each zone all facts that are only known by the usual reading of what was not told, with what
        rules conclude from them.
        """
        site = {**self._usual("site", self.site), **self.site}
        read = self._read("site", {SITE: site})[SITE]
        site |= {name: held for name, held in read.items() if name not in self.site}
        zones: dict[str, Facts] = {}
        for code, facts in self.zone_facts.items():
            zones[code] = {**site, **facts}
            zones[code] |= self._usual("zone", zones[code])
        found: dict[str, Facts] = {}
        for code, derived in self._read("zone", zones).items():
            facts, whole = self.zone_facts[code], zones[code]
            whole |= {name: held for name, held in derived.items() if name not in facts}
            whole |= self._usual("option", {})
            found[code] = {
                name: held for name, held in whole.items() if name not in facts and name not in self.site
            }
        return found

    def _read(self, layer: str, subjects: Mapping[str, Facts]) -> Mapping[str, Mapping[str, bool]]:
        rows = [Subject(name, facts) for name, facts in subjects.items()]
        return judge(self.book.base, layer, rows, self.without).derived

    def _usual_found(self, options: Columns, drafts: Sequence[Draft]) -> Found:
        """What rules say of options in the usual reading of what was not told."""
        zones = _by_zone(drafts)
        read = options.under([(self.usual_facts[zone], group) for zone, group in zones.items()])
        return judge(self.book.base, "option", read, self.without)

    def usual_readings(self, options: Iterable[Weighed]) -> dict[str, Reading]:
        """The rules that fire and could fire on each option in the usual reading of what was not told."""
        rows = list(options)
        columns = Columns([w.draft.code for w in rows], [w.facts for w in rows])
        found = self._usual_found(columns, [w.draft for w in rows])
        return {w.draft.code: Reading(found.fired_on(n), found.could_on(n)) for n, w in enumerate(rows)}

    def is_closed(self, name: str) -> bool:
        """Whether no answer that is still open can bring a fact."""
        if name not in self._closed:
            kind = self.types[name]
            keys = (kind.told,) if kind.told else self.book.brought_by[name]
            self._closed[name] = not kind.concluded and not any(self._is_open(key) for key in keys)
        return self._closed[name]

    def _is_open(self, key: str) -> bool:
        """Whether a question asks for a key that was not told; of a key of zones, in some zone."""
        if key == "offer.grown_on":
            # Part of the answer to what can be had: open as long as some seller did not say it, or none is
            # known.
            told = self.filled.situation.offer
            return told is None or any(offer.grown_on is None for offer in told)
        if key not in self.book.asked:
            return False
        if key == "use":
            # A sport without its hours is half an answer: how much is played may still be anything.
            return not hours_told(self.filled.situation)
        if key == "place.name":
            return self.filled.site is None
        if key == "zone.area_m2":
            known = self.filled.areas.keys() - self.filled.assumed_areas
            return any(code not in known for code in self.zones)
        table, _, last = key.rpartition(".")
        holders: list[Any] = (
            list(self.zones.values())
            if table == "zone"
            else [getattr(self.filled.situation, table) if table else self.filled.situation]
        )
        return not self.zones if key == "zone" else any(getattr(holder, last) is None for holder in holders)

    @staticmethod
    def figure(w: Weighed, name: str) -> float | None:
        held = w.facts.get(name)
        return held if isinstance(held, float) else None

    def _ready(self, w: Weighed) -> dt.date | None:
        """The late date of the use that is wanted first; of full play where none was told."""
        if w.draft.remedy == "recover":
            late = self.figure(w, "zone.recovery-days.late")
            return None if late is None else self.filled.today + dt.timedelta(days=late)
        training = self.filled.situation.dates.first_use == "training"
        late = self.figure(w, "option.light-use-days.late" if training else "option.full-play-days.late")
        return None if late is None or w.draft.start is None else w.draft.start + dt.timedelta(days=late)


def diagnose(book: Rulebook, situation: Situation, weather: DailyWeather | None = None) -> Diagnosis:
    """Only the first half of a consultation, up to what each zone needs; it takes a small part of the
    time.
    """
    filled = book.fill(situation, weather)
    check_names(filled)
    return Diagnosis(book, filled, "us" if filled.us else "metric", frozenset())


def _by_zone(drafts: Iterable[Draft]) -> dict[str, int]:
    """The set of the options of each zone."""
    zones: dict[str, int] = {}
    for n, draft in enumerate(drafts):
        zones[draft.zone] = zones.get(draft.zone, 0) | 1 << n
    return zones
