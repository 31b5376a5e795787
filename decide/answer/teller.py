"""Sentences of rules and tables with their holes filled, and the sources that are cited on the way."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from decide.decision.consultation import Consultation
from decide.decision.rank import USABLE, Weighed
from decide.engine.language import Fact, Firing, Rule
from decide.facts.draft import Draft
from decide.model import advice as out
from decide.model.words import capital

# Measured facts that follow from one answer, and the key of that answer.
_ASKED_BY: Final[Mapping[str, str]] = {
    "zone.sprayed": "history.herbicides",
    "zone.weeks-since": "history.herbicides",
    "option.weeks-since": "history.herbicides",
    "zone.main-grass": "zone.grass",
    "zone.main-season-type": "zone.grass",
    "zone.main-habit": "zone.grass",
    "zone.living-percent": "zone.bare_percent",
    "zone.area-m2": "field.area_m2",
    "option.area-m2": "field.area_m2",
    "option.machine": "means.equipment_own",
    "option.offer": "offer",
    "zone.hours-resting": "use",
    "zone.hours-growing": "use",
    "site.hours-peak": "use",
    "option.visits-short": "means.wettings_weekday",
    "option.litres-short": "means.flow_l_min",
    "option.spare": "dates.play_by",
    "site.climate": "place.name",
    "option.free-days": "use",
}


class Teller:
    """Makes the sentences of one consultation; keeps the sources that are cited on the way."""

    def __init__(self, consultation: Consultation) -> None:
        self.c = consultation
        self.k, self.say, self.types = consultation.knowledge, consultation.say, consultation.types
        self.filled = consultation.filled
        self.cited: set[str] = set()
        # Hundreds of options give the same few reasons, so each sentence is made once.
        self.holes: dict[str, tuple[str, ...]] = {}
        self.said: dict[tuple[str, tuple[Fact | None, ...]], str] = {}

    def because(self, rule: Rule, facts: Mapping[str, Fact]) -> str:
        if rule.id not in self.holes:
            self.holes[rule.id] = rule.because.facts
        names = self.holes[rule.id]
        key = (rule.id, tuple(facts.get(name) for name in names))
        if key not in self.said:
            self.said[key] = self.say.fill(rule.because, facts, self.types)
        return self.said[key]

    def cite(self, keys: Iterable[str]) -> list[str]:
        found = sorted(set(keys))
        self.cited |= set(found)
        return found

    def reason(self, rule: Rule, firing: Firing, facts: Mapping[str, Fact]) -> out.Reason:
        then = rule.then
        grade = then.grade if then.act == "mark" else "ruled-out"
        return out.Reason(
            **{"for": grade == "strong"},
            grade=grade,  # type: ignore[arg-type]  # a grade of the language
            criterion=then.target if then.act in ("mark", "rule-out") else "",
            text=self.because(rule, facts),
            rules=[rule.id],
            sources=self.cite(rule.sources),
            open=list(firing.open),
        )

    def text(self, written: str, facts: Mapping[str, Fact]) -> str:
        """A text of the tables with its holes filled; a sentence whose figures are not known is left out."""
        return self.say.sentences(self.c.book.template(written), facts, self.types)

    def caution(self, code: str) -> out.Caution:
        row = self.k.cautions[code]
        return out.Caution(
            code=code,
            name=row.name,
            text=self.text(row.text, {}),
            who_decides=row.who_decides,
            sources=self.cite(row.sources),
        )

    def cautions(self, fired: Iterable[Rule]) -> list[str]:
        codes = {rule.then.target for rule in fired if rule.then.act == "caution"}
        return sorted(codes, key=lambda code: (self.k.cautions[code].order, code))

    def zone_name(self, code: str) -> str:
        return self.c.zones[code].name

    def title(self, draft: Draft) -> str:
        way = capital(self.say.way(draft.remedy, draft.plant, draft.method, draft.variant))
        if draft.start is None:
            return way
        kind = draft.start_kind if draft.start_kind in ("earliest", "begun") else "about"
        return self.k.text(f"way-{kind}", way=way, day=draft.start)

    def key_of(self, name: str) -> str:
        """The key of the situation whose answer settles a fact; "" where none does."""
        kind = self.types.get(name)
        return (
            kind.told
            if kind is not None and kind.told
            else _ASKED_BY.get(name.rpartition(".")[0], _ASKED_BY.get(name, ""))
        )

    def questions(self, names: Iterable[str]) -> list[str]:
        """The questions whose answers settle some unknown facts, each once, in the order of the talk."""
        asked = {question.key: question for question in self.k.questions}
        found = {key: asked[key] for name in names if (key := self.key_of(name)) in asked}
        return [question.ask for question in sorted(found.values(), key=lambda question: question.order)]

    def conditions(self, w: Weighed) -> list[str]:
        """What every rule that could still speak against an option would want otherwise."""
        rules = self.c.counting.rests_on(w)
        said: dict[str, None] = {}
        for rule in rules:
            if rule.sound_if is not None:
                said[lower_first(self.say.fill(rule.sound_if, w.facts, self.types))] = None
        asked = [
            ask
            for rule in rules
            if rule.sound_if is None
            for ask in self.questions(
                name for condition in rule.conditions for name in condition.facts if name not in w.facts
            )[:1]
        ]
        return [
            *said,
            *(
                self.k.text("answer-is-answered", ask=ask[:1].lower() + ask[1:])
                for ask in dict.fromkeys(asked)
            ),
        ]

    def rests_on(self, w: Weighed) -> list[str]:
        """Under which conditions a verdict holds: what rules that could still speak against it would want
        otherwise.
        """
        return self.conditions(w) if w.verdict in USABLE else []


def lower_first(text: str) -> str:
    keep = text[:2].isupper() or text.split(" ", maxsplit=1)[0] in (
        "Kentucky",
        "St",
        "St.",
        "Japanese",
        "Bermuda",
        "I",
    )
    return text if keep else text[:1].lower() + text[1:]
