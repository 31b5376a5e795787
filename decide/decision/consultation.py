"""One situation judged: its facts, what the rules say of them, the options weighed and put in order."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final

from decide.decision.options import make_options
from decide.decision.programme import Chosen, choose
from decide.decision.rank import (
    Reading,
    Weighed,
    bound,
    criteria_order,
    readings,
    role_facts,
    sort_key,
    verdict_facts,
    worst,
)
from decide.engine.base import RuleBase
from decide.engine.judge import Engines, Judge
from decide.engine.language import (
    CRITERIA,
    ROLE,
    SCOPES,
    Condition,
    CouldFire,
    Fact,
    FactType,
    Firing,
    Judged,
    Rule,
    Subject,
    Template,
)
from decide.engine.plain import conjunction
from decide.engine.plain import judge as plain_judge
from decide.engine.written import parse_condition, parse_template
from decide.facts.complete import Filled, Library, fill
from decide.facts.draft import Draft
from decide.facts.measured import (
    Facts,
    Measures,
    proposal_draft,
    proposal_zones,
    site_facts,
    step_facts,
    zone_facts,
)
from decide.facts.progress import (
    check_record,
    opening_proposal,
    progress_facts,
    sign_facts,
    signs_here,
    young_turf,
)
from decide.knowledge.compile import all_numbers, compile_rules
from decide.knowledge.schema import Better, Conditional
from decide.knowledge.speaker import Speaker
from decide.knowledge.tables import Knowledge
from decide.measure.weather import DailyWeather
from decide.model import advice as out
from decide.model.errors import SituationError, meant
from decide.model.situation import Situation, Zone
from decide.model.units import System
from decide.model.work import Proposal
from decide.model.written import coded

SITE: Final = "site"


class Rulebook:
    """Knowledge made ready for many consultations: compiled rules, engines, numbers, climate tables. Holds no situation."""

    def __init__(self, knowledge: Knowledge, engines: Engines = "both") -> None:
        self.knowledge = knowledge
        self.base: RuleBase = compile_rules(knowledge)
        self.rules: Mapping[str, Rule] = {rule.id: rule for rule in self.base.rules}
        self.judge = Judge(self.base, engines)
        self.usual: Mapping[str, FactType] = {
            name: kind for name, kind in self.base.facts.items() if kind.usual is not None
        }
        self.library = Library(knowledge)
        self.quiet = frozenset(name for name, kind in self.base.facts.items() if kind.quiet)
        self.asked = frozenset(question.key for question in knowledge.questions)
        # Set where many answers are tried on one situation, so that what they have in common is measured once.
        self.measured: dict[tuple[Any, ...], dict[Any, Any]] | None = None
        self._numbers = all_numbers(knowledge)
        self._conditions: dict[str, Condition] = {}
        self._templates: dict[str, Template] = {}

    def diagnose(self, situation: Situation, weather: DailyWeather | None = None) -> Diagnosis:
        """Only the first half of a consultation, up to what each zone needs; it takes a small part of the time."""
        filled = self.fill(situation, weather)
        check_record(filled)
        return Diagnosis(self, filled, "us" if filled.us else "metric", frozenset())

    def fill(self, situation: Situation, weather: DailyWeather | None) -> Filled:
        filled = fill(situation, self.library, weather)
        if self.measured is not None:
            filled.measured = self.measured
        return filled

    def template(self, text: str) -> Template:
        """A text of the tables, parsed once; it may name facts of every scope."""
        if text not in self._templates:
            self._templates[text] = parse_template(text, self.base.facts, self._numbers, SCOPES)
        return self._templates[text]

    def condition(self, text: str) -> Condition:
        """A condition of a table, parsed once."""
        if text not in self._conditions:
            self._conditions[text] = parse_condition(text, self.base.facts, self._numbers)
        return self._conditions[text]

    def holds(self, row: Conditional, facts: Mapping[str, Fact]) -> bool:
        """Whether a row of the tables stands: all of its `when` hold, and not all of its `unless`."""
        return self._all(row.when, facts) and not (row.unless and self._all(row.unless, facts))

    def _all(self, conditions: Sequence[str], facts: Mapping[str, Fact]) -> bool:
        return conjunction([self.condition(text) for text in conditions], facts) is True

    def close(self) -> None:
        """Give back what the engines hold."""
        self.judge.close()


def check_names(filled: Filled) -> None:
    """Grasses and mixtures that the situation names are ones that the knowledge has."""
    names, s = filled.library.knowledge.plants, filled.situation
    told = [
        (f"offer[{n}].{key}", word)
        for n, offer in enumerate(s.offer or [], 1)
        for key, word in (("grass", offer.grass), ("mixture", offer.mixture))
    ]
    told += [("wishes.grass", s.wishes.grass)]
    told += [
        (f"proposal[{n}].{key}", word)
        for n, p in enumerate(s.proposal, 1)
        for key, word in (("grass", p.grass), ("mixture", p.mixture))
    ]
    for key, word in told:
        if word is not None and coded(word) not in names:
            raise SituationError(
                f"{key}: {word!r} is not a grass or mixture here",
                where="situation",
                instead=meant(word, names) or "Known: " + ", ".join(filled.library.knowledge.grasses),
            )
    check_record(filled)


@dataclass
class Layer:
    """What was found of one layer: firings and possible firings by subject."""

    fired: dict[str, list[tuple[Rule, Firing]]] = field(default_factory=dict)
    could: dict[str, list[tuple[Rule, CouldFire]]] = field(default_factory=dict)
    derived: dict[str, Mapping[str, bool]] = field(default_factory=dict)


@dataclass
class JudgedStep:
    """A proposal in one zone, judged."""

    proposal: Proposal
    zone: str
    facts: Mapping[str, Fact]
    firings: list[tuple[Rule, Firing]]
    could: list[tuple[Rule, CouldFire]]
    option: Weighed | None
    verdict: str
    verdict_rule: str = ""


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

        self.site: Facts = site_facts(filled, self.types)
        self.site_layer = self._judge("site", [Subject(SITE, self.site)])
        self.site.update(self.site_layer.derived.get(SITE, {}))

        self.signs = signs_here(filled)
        self.sign_layer = self._judge(
            "sign",
            [
                Subject(sign.code, {**self.site, **sign_facts(filled, sign, self.measures)})
                for sign in self.signs
                if sign.mended is None
            ],
        )

        own = {code: zone_facts(filled, zone, self.types) for code, zone in self.zones.items()}
        for code, facts in own.items():
            seen = [
                (sign, self.sign_layer.derived.get(sign.code, {}))
                for sign in self.signs
                if sign.zone == code and sign.mended is None
            ]
            facts.update(progress_facts(filled, code, seen, self.measures))
        self.zone_layer = self._judge(
            "zone", [Subject(code, {**self.site, **facts}) for code, facts in own.items()]
        )
        self.zone_facts: dict[str, Facts] = {
            code: {**facts, **self.zone_layer.derived.get(code, {})} for code, facts in own.items()
        }

    # ---------- rules ----------
    def _judge(self, layer: str, subjects: Sequence[Subject]) -> Layer:
        judged: Judged = self.book.judge.judge(layer, subjects, self.without)
        found = readings(judged, self.book.rules, (subject.name for subject in subjects))
        return Layer(
            {name: each.firings for name, each in found.items() if each.firings}, {name: each.could for name, each in found.items() if each.could}, dict(judged.derived),
        )  # fmt: skip

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
    def essential(self) -> frozenset[str]:
        """The criteria that the site's rules call essential."""
        return frozenset(
            criterion for criterion in CRITERIA if self.site.get(f"site.essential-{criterion}") is True
        )

    def options(self) -> list[Draft]:
        """The options of all zones, before they are weighed."""
        standing = {
            code: str(facts.get("zone.main-season-type", "")) for code, facts in self.zone_facts.items()
        }
        return make_options(self.filled, self.remedies(), standing)

    def option_facts(self, draft: Draft) -> Facts:
        """Every fact that rules about an option may read."""
        zone = self.zone_facts[draft.zone]
        return {**self.site, **zone, **self.measures.option(draft, zone)}

    def weigh(self, drafts: Sequence[Draft]) -> dict[str, Weighed]:
        """Options judged and graded, by code; also ones that are not on the list."""
        weighed = {draft.code: Weighed(draft, self.option_facts(draft)) for draft in drafts}
        found = self._judge("option", [Subject(code, w.facts) for code, w in weighed.items()])
        usual = self._usual_readings(weighed.values())
        for code, w in weighed.items():
            w.firings, w.could = found.fired.get(code, []), found.could.get(code, [])
            w.facts = {**w.facts, **found.derived.get(code, {})}
            bound(w, usual[code], self.is_closed, self.book.quiet)
            w.ready, w.cost = self._ready(w), self.figure(w, "option.cost.high")
        verdicts = self._judge(
            "option-verdict",
            [Subject(code, {**w.facts, **verdict_facts(w, self.essential)}) for code, w in weighed.items()],
        )
        for code, w in weighed.items():
            rule, _ = verdicts.fired[code][0]
            w.verdict, w.verdict_rule = rule.then.target, rule.id
        roles = self._judge(
            "option-role",
            [Subject(code, {**w.facts, **role_facts(w, self.essential)}) for code, w in weighed.items()],
        )
        for code, w in weighed.items():
            w.roles = frozenset(
                name.removeprefix(ROLE) for name, holds in roles.derived.get(code, {}).items() if holds
            )
        return weighed

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
        """For each zone all facts that are only known by the usual reading of what was not told, with what rules conclude from them."""
        site = {**self._usual("site", self.site), **self.site}
        site |= {name: held for name, held in self._read("site", SITE, site).items() if name not in self.site}
        found: dict[str, Facts] = {}
        for code, facts in self.zone_facts.items():
            whole = {**site, **facts}
            whole |= self._usual("zone", whole)
            whole |= {
                name: held for name, held in self._read("zone", code, whole).items() if name not in facts
            }
            whole |= self._usual("option", {})
            found[code] = {
                name: held for name, held in whole.items() if name not in facts and name not in self.site
            }
        return found

    def _read(self, layer: str, name: str, facts: Facts) -> Mapping[str, bool]:
        return plain_judge(self.book.base, layer, [Subject(name, facts)], self.without).derived[name]

    def _usual_readings(self, options: Iterable[Weighed]) -> dict[str, Reading]:
        """The rules that fire and could fire on each option in the usual reading of what was not told."""
        rows = list(options)
        subjects = [Subject(w.draft.code, {**self.usual_facts[w.draft.zone], **w.facts}) for w in rows]
        judged = plain_judge(self.book.base, "option", subjects, self.without)
        return readings(judged, self.book.rules, (w.draft.code for w in rows))

    def is_closed(self, name: str) -> bool:
        """Whether no answer that is still open can bring a fact."""
        if name not in self._closed:
            kind = self.types[name]
            keys = (kind.told,) if kind.told else kind.asked
            self._closed[name] = not kind.concluded and not any(self._is_open(key) for key in keys)
        return self._closed[name]

    def _is_open(self, key: str) -> bool:
        """Whether a question asks for a key that was not told; of a key of zones, in some zone."""
        if key == "offer.grown_on":
            # Part of the answer to what can be had: open as long as some seller did not say it.
            return any(offer.grown_on is None for offer in self.filled.situation.offer or [])
        if key not in self.book.asked:
            return False
        if key == "place.name":
            return self.filled.site is None
        if key == "zone.area_m2":
            return any(code not in self.filled.areas for code in self.zones)
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


class Consultation(Diagnosis):
    """One situation on its way to advice. Every stage is kept, so that explanations can look at it."""

    def __init__(self, book: Rulebook, filled: Filled, system: System, without: frozenset[str]) -> None:
        super().__init__(book, filled, system, without)
        self.drafts: list[Draft] = self.options()
        self.weighed: dict[str, Weighed] = self.weigh(self.drafts)
        self.order = criteria_order(self.knowledge, filled.situation.wishes.first or [])
        self.rank()
        # Kept by whoever makes it first.
        self.made: out.Advice | None = None

    def rank(self) -> None:
        """Put the options in order and choose from them."""
        self.ranked: list[Weighed] = sorted(self.weighed.values(), key=lambda w: sort_key(w, self.order))
        self.chosen: dict[str, Chosen] = {
            code: choose(
                [w for w in self.ranked if w.draft.zone == code],
                self.knowledge.shapes.values(),
                self.book.holds,
            )
            for code in self.zones
        }

    @cached_property
    def steps(self) -> list[JudgedStep]:
        """What somebody means to do, judged; asked for once the starts of the options fit."""
        return self._judge_steps(self.filled.situation.proposal)

    @cached_property
    def opening_steps(self) -> Mapping[str, JudgedStep]:
        """Opening each zone with young turf today, judged by the rules of that step with what the record holds."""
        young = {code: found for code in self.zones if (found := young_turf(self.filled, code)) is not None}
        return {
            step.zone: step
            for step in self._judge_steps(
                [opening_proposal(self.filled, code, found) for code, found in young.items()]
            )
        }

    def _judge_steps(self, proposals: Sequence[Proposal]) -> list[JudgedStep]:
        steps: list[tuple[str, Proposal, str, Facts, Draft | None]] = []
        for number, proposal in enumerate(proposals):
            for zone in proposal_zones(self.filled, proposal):
                facts = self.zone_facts[zone]
                draft = proposal_draft(self.filled, proposal, zone, facts)
                own = step_facts(self.filled, proposal, facts, self.types, draft, self.measures)
                steps.append((f"{number}/{zone}", proposal, zone, {**self.site, **facts, **own}, draft))
        if not steps:
            return []
        options = self.weigh([draft for *_, draft in steps if draft is not None])
        found = self._judge("step", [Subject(name, facts) for name, _, _, facts, _ in steps])
        judged: list[JudgedStep] = []
        ends: list[Subject] = []
        for name, proposal, zone, facts, draft in steps:
            option = options[draft.code] if draft is not None else None
            firings, could = found.fired.get(name, []), found.could.get(name, [])
            known = {**facts, **found.derived.get(name, {})}
            judged.append(JudgedStep(proposal, zone, known, firings, could, option, ""))
            ends.append(Subject(name, {**known, **self.step_verdict_facts(firings, could, option)}))
        verdicts = self._judge("step-verdict", ends)
        for (name, *_), step in zip(steps, judged, strict=True):
            rule = verdicts.fired[name][0][0]
            step.verdict, step.verdict_rule = rule.then.target, rule.id
        return judged

    def step_verdict_facts(
        self,
        firings: Sequence[tuple[Rule, Firing]],
        could: Sequence[tuple[Rule, CouldFire]],
        option: Weighed | None,
    ) -> dict[str, Fact]:
        """What the verdict rules of steps read; a proposal to establish is held to its option's rules too."""
        acts = [rule.then.act for rule, _ in firings]
        maybe = [rule.then.act for rule, _ in could]
        grades = [rule.then.grade for rule, _ in firings if rule.then.act == "mark"]
        if option is not None:
            acts += [rule.then.act for rule, _ in option.firings if rule.then.act in ("rule-out", "need")]
            held = {"risk", *self.essential}
            maybe += (
                ["rule-out"]
                if option.ruled_out == "could-fire" or any(rule.then.target in held for rule in option.open)
                else []
            )
            grades += [
                option.bests[criterion]
                for criterion in (*self.essential, "risk")
                if option.bests[criterion] != "unknown"
            ]
        return {
            "step.rule-out": "fired"
            if "rule-out" in acts
            else "could-fire"
            if "rule-out" in maybe
            else "none",
            "step.worst": worst(grades) if grades else "unknown",
            "step.need": "some" if "need" in acts else "none",
        }

    def holds(self, row: Conditional, facts: Mapping[str, Fact]) -> bool:
        """Whether a row of the tables stands: all of its `when` hold, and not all of its `unless`."""
        return self.book.holds(row, facts)

    def better(self, step: JudgedStep) -> list[Better]:
        """What would be better than a step, for as far as the conditions of those rows hold."""
        rows = sorted(
            (
                row
                for row in self.knowledge.better.values()
                if step.proposal.step in ([row.step] if isinstance(row.step, str) else row.step)
            ),
            key=lambda row: row.order,
        )
        return [row for row in rows if self.holds(row, step.facts)]
