"""The steps of a lesson as they are built one after another, with what each has given to those that
follow.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from typing import Any, Final, NamedTuple

from pydantic import BaseModel

from decide.answer.assemble import local_words
from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Layer
from decide.decision.rank import Weighed, role_facts, verdict_facts
from decide.engine.language import CRITERIA, Fact, Rule
from decide.engine.plain import conjunction
from decide.explain.reasons import Teller, source_words
from decide.explain.why import title, zone_name
from decide.facts.draft import Draft
from decide.lesson.steps import How, Read, Section, Step
from decide.model.words import capital, first_sentence

SITE: Final = "site"


class Shown(NamedTuple):
    """An option that a lesson steps through, and its part in the programme."""

    weighed: Weighed
    role: str


def conclusion(c: Consultation, rule: Rule, facts: Mapping[str, Fact]) -> str:
    """What a rule says where it fires, in words."""
    then, k = rule.then, c.knowledge

    def filled(text: str) -> str:
        return first_sentence(c.say.fill(c.book.template(text), facts, c.types))

    match then.act:
        case "conclude":
            return k.text("lesson-concludes", fact=capital(meaning(c, then.target)))
        case "rule-out":
            return k.text("lesson-rules-out", criterion=k.language.criterion(then.target))
        case "mark":
            return k.text(
                "lesson-marks",
                criterion=capital(k.language.criterion(then.target)),
                grade=k.language.grade(then.grade),
            )
        case "caution":
            return k.text("lesson-cautions", text=filled(k.cautions[then.target].text))
        case "need":
            return k.text("lesson-needs", text=filled(k.needs[then.target].text))
        case _:
            return k.text("lesson-verdict", verdict=k.language.verdict(then.target))


def meaning(c: Consultation, fact: str) -> str:
    """What a fact is, in a few words."""
    return c.types[fact].meaning.split(";")[0]


class Chain:
    """The steps so far; knows which step gave which derived fact, mark, verdict and part."""

    def __init__(self, c: Consultation, shown: Mapping[str, Shown]) -> None:
        self.c = c
        self.shown = shown
        self.steps: list[Step] = []
        self.verdicts: dict[str, int] = {}
        self.parts: dict[tuple[str, str], int] = {}
        self.marks: dict[str, list[int]] = {}
        self.tell = Teller(c)
        self.here = local_words(c)
        self._given: dict[tuple[str, str], list[int]] = {}
        self._noted: dict[str, How] = {
            key: "assumed" if how == "assumed" else "computed" for key, _, how, _ in c.filled.notes
        }
        self._places = {
            rule.id: (stratum, place)
            for rows in c.book.base.strata.values()
            for stratum, row in enumerate(rows)
            for place, rule in enumerate(row)
        }

    def about(self, w: Weighed) -> str:
        """What an option is called, with its zone where there are several."""
        named = title(self.c, w.draft)
        return named if len(self.c.zones) == 1 else f"{zone_name(self.c, w.draft.zone)}: {named}"

    # ---------- steps ----------
    def layer(
        self,
        section: Section,
        layer: Layer,
        facts: Mapping[str, Mapping[str, Fact]],
        about: Mapping[str, str],
        zones: Mapping[str, str] | None = None,
    ) -> None:
        """Adds the firings of a layer, stratum by stratum, in each by subject and then by rule, as the
        engine fires them.
        """
        rows = [
            (self._places[rule.id][0], place, self._places[rule.id][1], subject, rule)
            for place, subject in enumerate(facts) for rule, _ in layer.fired.get(subject, [])
        ]  # fmt: skip
        for _, _, _, subject, rule in sorted(rows, key=lambda row: row[:3]):
            zone = (zones or {}).get(subject, "")
            held = facts[subject]
            names = dict.fromkeys(name for row in rule.when for name in row.facts if name in held)
            reads = [self.read(name, held[name], subject, zone) for name in names]
            step = self.fired(section, subject, about[subject], rule, held, reads, zone)
            if rule.then.act == "conclude":
                owner = zone if section == "sign" else subject
                self._given.setdefault((owner, rule.then.target), []).append(step.number)
            elif rule.then.act in ("mark", "rule-out"):
                self.marks.setdefault(subject, []).append(step.number)

    def fired(
        self,
        section: Section,
        subject: str,
        about: str,
        rule: Rule,
        facts: Mapping[str, Fact],
        reads: Sequence[Read],
        zone: str,
    ) -> Step:
        """Adds the step of a rule that fired."""
        then = rule.then
        return self.add(
            section, subject, about, (then.act, then.target, then.grade), self._asked(rule, facts, reads),
            because=self.c.say.fill(rule.because, facts, self.c.types),
            concludes=conclusion(self.c, rule, facts), zone=zone, rule=rule.id,
            unless=tuple((one.name, conjunction(one.when, facts)) for one in rule.unless), keys=rule.sources,
        )  # fmt: skip

    def add(
        self, section: Section, subject: str, about: str, then: tuple[str, str, str], reads: Sequence[Read],
        *, because: str, concludes: str, zone: str, rule: str = "",
        unless: tuple[tuple[str, bool | None], ...] = (), keys: tuple[str, ...] = (),
    ) -> Step:  # fmt: skip
        """Adds a step and numbers it; it is said in the words of the place."""
        here = self.here
        step = Step(
            len(self.steps) + 1, section, self._places[rule][0] if rule else 0, subject, here(about), rule,
            *then, tuple(replace(read, text=here(read.text), asks=here(read.asks)) for read in reads),
            unless, here(because), tuple(source_words(self.c.knowledge, key) for key in keys), keys,
            here(concludes), self.shown[subject].role if subject in self.shown else "", zone,
        )  # fmt: skip
        self.steps.append(step)
        return step

    def _asked(self, rule: Rule, facts: Mapping[str, Fact], reads: Sequence[Read]) -> list[Read]:
        """Each number with what the rule asks of it."""
        wanted: dict[str, list[str]] = {}
        for condition in rule.when:
            if condition.fact in facts and condition.op in ("<", "<=", ">", ">="):
                held = self.tell.held(condition, facts)
                wanted.setdefault(condition.fact, []).append(held.wanted)
        return [replace(read, asks=" and ".join(wanted.get(read.name, ()))) for read in reads]

    # ---------- facts ----------
    def said(self, name: str, value: Fact) -> str:
        """A fact with its value in words."""
        return f"{capital(meaning(self.c, name))}: {self.c.say.fact(self.c.types[name], value)}"

    def given(self, owner: str, name: str) -> tuple[int, ...]:
        """The steps that gave a derived fact of the site, a zone or a subject."""
        return tuple(self._given.get((owner, name), ()))

    def read(self, name: str, value: Fact, subject: str, zone: str) -> Read:
        """A fact as a step reads it."""
        kind = self.c.types[name]
        owner = {"site": SITE, "zone": zone}.get(kind.scope, subject)
        steps = self.given(owner, name)
        how: How = "computed"
        if steps:
            how = "derived"
        elif (
            subject in self.shown
            and name in self.c.usual_facts[zone]
            and name not in self.shown[subject].weighed.facts
        ):
            how = "usual"
        elif kind.concluded and value is False:
            how = "derived"
        elif kind.kind == "told":
            how = self.how(kind.told, zone)
        return Read(name, value, self.said(name, value), how, steps)

    def how(self, told: str, zone: str) -> How:
        """How a told fact is known: as it was noted where it was filled in, else told where the situation
        has it.
        """
        table, _, key = told.partition(".")
        noted = self._noted.get(f"zone.{zone}.{key}" if table == "zone" else told)
        if noted is not None:
            return noted
        if table == "proposal":
            return "told"
        situation = self.c.filled.situation
        holder: Any = self.c.zones.get(zone) if table == "zone" else getattr(situation, table, None)
        told_there = isinstance(holder, BaseModel) and getattr(holder, key, None) is not None
        return "told" if told_there else "computed"

    @cached_property
    def looks_at(self) -> Mapping[str, tuple[str, ...]]:
        """The criteria that each fact about grades looks at, in the order that counts here: those that
        alone can turn it.
        """
        found: dict[str, tuple[str, ...]] = {}
        for criterion in self.c.order:
            grades = {one: "weak" if one == criterion else "strong" for one in CRITERIA}
            w = Weighed(Draft("", ""), {}, grades=grades, bests=grades)
            judged = {**verdict_facts(w, self.c.essential), **role_facts(w, self.c.essential)}
            for name, value in judged.items():
                found[name] = (*found.get(name, ()), *([criterion] if value == "weak" else []))
        return found
