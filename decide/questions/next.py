"""What to ask next, and whether an answer could change anything: without a terminal, on the answers as a nested table."""

from __future__ import annotations

import copy
import datetime as dt
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from decide.answer.assemble import advice_of
from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Diagnosis
from decide.decision.rulebook import Rulebook
from decide.engine.language import FactType
from decide.knowledge.schema import Question
from decide.knowledge.tables import Knowledge
from decide.measure.weather import DailyWeather
from decide.model.advice import Advice, Sure, UnknownRow
from decide.model.errors import SituationError
from decide.model.situation import WHOLE_FIELD
from decide.model.wording import listed
from decide.model.written import DONT_KNOW, coded
from decide.plan.feasible import consult
from decide.questions.sensitivity import (
    NOTHING,
    Answers,
    Base,
    Effect,
    Trier,
    as_answers,
    as_situation,
    with_plain_engine,
)

MOST_UNKNOWN: Final = 8
MOST_UNKNOWN_TRIED: Final = 12
BASES_KEPT: Final = 4
KNOWN: Final = "known"
# Asked before any trial: dangers, what is wrong, where and since when, who plays, by when and for what, which town, which grass, what water,
# what sprays. The cause of the damage is part of the advice even where it does not change the choice.
ORIENTING: Final = (
    "site.dangers", "site.goals_anchored", "zone", "zone.bare_percent", "zone.bare_pattern", "zone.bare_shape", "zone.began", "use", "dates.play_by",
    "dates.first_use", "place.name", "zone.grass", "means.water", "history.herbicides",
)  # fmt: skip
# Other ways to give the same answer in a situation file.
_SAME: Final[Mapping[str, tuple[tuple[str, ...], ...]]] = {
    "place.name": (("latitude",), ("monthly_mean_c",), ("warmest_month_c",)), "field.area_m2": (("length_m", "width_m"),), "zone.area_m2": (("share_percent",),),
}  # fmt: skip
# How much hangs on an open question: somebody may soon pay for what is offered; a rule stands open in the order; a remedy may be another;
# it tells where and how the field is; only an unusual answer could change anything.
_PAID, _OPEN, _REMEDY, _ORIENTS, _FAR = range(5)


@dataclass(frozen=True)
class Asked:
    """A question that is open: in a zone (its name) where it is about one, and where its answer goes."""

    question: Question
    zone: str | None
    path: tuple[str | int, ...]

    @property
    def key(self) -> str:
        """The key of the question in the situation file."""
        return self.question.key


# ---------- open questions ----------
def _zones(answers: Mapping[str, Any]) -> list[dict[str, Any]]:
    found = answers.get("zone")
    return [zone for zone in found if isinstance(zone, dict)] if isinstance(found, list) else []


def _table(answers: Mapping[str, Any], path: Sequence[str | int]) -> Mapping[str, Any]:
    """The table that holds the last key of a path; empty where there is none."""
    found: Any = answers
    for part in path[:-1]:
        if isinstance(part, int):
            found = found[part] if isinstance(found, list) and part < len(found) else {}
        else:
            found = found.get(part, {}) if isinstance(found, Mapping) else {}
    return found if isinstance(found, Mapping) else {}


def answer(answers: Mapping[str, Any], asked: Asked) -> Any:
    """What was answered ("don't know" too), or None."""
    return _table(answers, asked.path).get(str(asked.path[-1]))


def _is_answered(answers: Mapping[str, Any], asked: Asked) -> bool:
    if answer(answers, asked) is not None:
        return True
    table = _table(answers, asked.path)
    return any(all(table.get(key) is not None for key in keys) for keys in _SAME.get(asked.key, ()))


def _paths(question: Question, answers: Mapping[str, Any]) -> Iterator[Asked]:
    """A question once, or once for each zone that is not kept off."""
    *tables, key = question.key.split(".")
    if tables != ["zone"]:
        yield Asked(question, None, (*tables, key))
        return
    zones = _zones(answers)
    for place, zone in enumerate(zones):
        if zone.get("keep_off") is not True:
            yield Asked(question, str(zone.get("name", WHOLE_FIELD)), ("zone", place, key))
    if not zones:
        yield Asked(question, WHOLE_FIELD, ("zone", 0, key))


def _is_meant(question: Question, answers: Mapping[str, Any], asked: Asked) -> bool:
    """Whether the earlier answers are those that the question is for."""
    for only in question.only_if:
        *tables, key = only.key.split(".")
        path = (*asked.path[:-1], key) if tables == ["zone"] and asked.path[0] == "zone" else (*tables, key)
        held = _table(answers, path).get(key)
        if only.holds == KNOWN:
            if held is None or held == DONT_KNOW:
                return False
            continue
        wanted = only.holds if isinstance(only.holds, list) else [only.holds]
        said = held if isinstance(held, list) else [held]
        if not any(each is not None and each in wanted for each in said):
            return False
    return True


def open_questions(knowledge: Knowledge, answers: Mapping[str, Any]) -> list[Asked]:
    """The questions without an answer, in their stated order; "don't know" is an answer."""
    return [
        asked
        for question in sorted(knowledge.questions, key=lambda row: row.order)
        for asked in _paths(question, answers)
        if _is_meant(question, answers, asked) and not _is_answered(answers, asked)
    ]


def put_answer(answers: Mapping[str, Any], asked: Asked, value: Any) -> Answers:
    """A copy of the answers with this one added."""
    out: Answers = copy.deepcopy(dict(answers))
    if asked.path[0] == "zone" and len(asked.path) > 1 and not _zones(out):
        out["zone"] = [{"name": WHOLE_FIELD}]
    inner: Any = out
    for part in asked.path[:-1]:
        if isinstance(part, str) and not isinstance(inner.get(part), (dict, list)):
            inner[part] = {}
        inner = inner[part]
    inner[str(asked.path[-1])] = copy.deepcopy(value)
    return out


# ---------- trials ----------
def possible_answers(asked: Asked, types: Mapping[str, FactType], today: dt.date) -> list[Any]:
    """Answers that stand for all: each choice; yes and no; the low, the middle and the high end of a number or a date.

    Empty for answers that have parts of their own (zones, uses, sprays, places, texts).
    """
    question = asked.question
    values = [choice.value for choice in question.choices]
    if question.kind == "yesno":
        return [True, False]
    if question.kind == "list":
        return _lists(asked.key, values)
    if question.kind in ("zones", "uses", "sprays", "place", "text", "months"):
        return []
    if question.kind == "date":
        kind = types.get("site.days-to-play-by") if asked.key == "dates.play_by" else None
        return (
            [] if kind is None else [(today + dt.timedelta(days=round(n))).isoformat() for n in _ends(kind)]
        )
    told = next((kind for kind in types.values() if kind.told == asked.key and kind.type == "number"), None)
    numbers = [] if told is None or question.kind == "choice" else _ends(told)
    return list(dict.fromkeys([*values[:1], *values[-1:], *numbers, *values]))


def _lists(key: str, values: Sequence[Any]) -> list[Any]:
    """Everything and nothing first, which differ most, then each alone."""
    real = [value for value in values if value != "none"]
    nothing: list[Any] = ["none"] if "none" in values else []
    if key == "offer":
        return [[{"what": value} for value in real], [], *([{"what": value}] for value in real)]
    if key == "zone.grass":
        return [[], *([{"grass": value, "state": "green"}] for value in real)]
    if key == "wishes.first":
        return [[value] for value in real]
    return [real, nothing, *([value] for value in real)]


def _ends(kind: FactType) -> list[float]:
    if kind.low is None or kind.high is None:
        return []
    return [kind.low, (kind.low + kind.high) / 2, kind.high]


class Asker:
    """Chooses questions for one book and day; keeps what was tried, so that nothing is tried twice.

    Trials use the plain engine alone; the advice itself is checked by both.
    """

    def __init__(self, book: Rulebook, today: dt.date, weather: DailyWeather | None = None) -> None:
        self.knowledge, self.today = book.knowledge, today
        self._weather = weather
        self._book = with_plain_engine(book)
        self._bases: dict[str, Base | None] = {}
        self._tried: dict[tuple[str, str, str | None], bool | None] = {}
        self._effects: dict[tuple[str, str, str | None], list[Effect]] = {}
        self.trials = self.whole_trials = 0

    def keep(self, consultation: Consultation) -> None:
        """Take over a consultation that was made already, so that it is not made again to try answers on it."""
        if consultation.filled.today == self.today and not consultation.without:
            self._put_base(_key(as_answers(consultation.filled.situation)), Base(consultation))

    # ---------- choosing ----------
    def next_question(self, answers: Mapping[str, Any], details: bool = False) -> Asked | None:
        """The next question: the orienting ones and those always asked, then each whose answer could change something.

        With `details` the ones that cannot change the first choice are asked too, in their order.
        """
        waiting = open_questions(self.knowledge, answers)
        if details:
            return waiting[0] if waiting else None
        before = [asked for asked in waiting if asked.key in ORIENTING or asked.question.always]
        if before or not self._can_try(answers):
            return before[0] if before else None
        tried = (asked for asked in waiting if not asked.question.details)
        return next((asked for asked in tried if self.matters(answers, asked) is not False), None)

    def details(self, answers: Mapping[str, Any]) -> list[Asked]:
        """The open questions that were passed over, for a closer plan; those not tried yet are not among them."""
        key = _key(answers)
        return [
            asked
            for asked in open_questions(self.knowledge, answers)
            if asked.question.details
            or (not asked.question.always and self._tried.get((key, asked.key, asked.zone)) is False)
        ]

    def left_at_most(self, answers: Mapping[str, Any], details: bool = False) -> int:
        """How many questions are left at most; tries nothing, but leaves out what was tried on these answers in vain."""
        waiting = open_questions(self.knowledge, answers)
        if details:
            return len(waiting)
        key = _key(answers)
        return sum(
            1
            for asked in waiting
            if not asked.question.details and self._tried.get((key, asked.key, asked.zone)) is not False
        )

    # ---------- trying ----------
    @staticmethod
    def _can_try(answers: Mapping[str, Any]) -> bool:
        place = answers.get("place")
        told = place == DONT_KNOW or (
            isinstance(place, Mapping) and any(value is not None for value in place.values())
        )
        return told and bool(answers.get("zone"))

    def matters(self, answers: Mapping[str, Any], asked: Asked) -> bool | None:
        """Whether some answer could change the first choice of a zone or its verdict, or add a caution; None where that cannot be tried."""
        key = (_key(answers), asked.key, asked.zone)
        if key not in self._tried:
            effects = self._effects_of(answers, asked)
            self._tried[key] = None if effects is None else any(effect != NOTHING for effect in effects)
        return self._tried[key]

    def changes_choice(self, answers: Mapping[str, Any], asked: Asked) -> bool | None:
        """Whether some answer could change the first choice of a zone or its verdict; a caution alone is not counted."""
        effects = self._effects_of(answers, asked)
        return None if effects is None else any(effect.choice for effect in effects)

    def _effects_of(self, answers: Mapping[str, Any], asked: Asked) -> Iterator[Effect] | None:
        """What each answer does, tried as it is asked for; None where that cannot be tried."""
        base = self._base(answers) if self._can_try(answers) else None
        values = possible_answers(asked, self._book.base.facts, self.today)
        return None if base is None or not values else self._each_effect(base, answers, asked, values)

    def _each_effect(
        self, base: Base, answers: Mapping[str, Any], asked: Asked, values: Sequence[Any]
    ) -> Iterator[Effect]:
        held = self._effects.setdefault((_key(answers), asked.key, asked.zone), [])
        yield from held
        for value in values[len(held) :]:
            held.append(self._effect(base, answers, asked, value))
            yield held[-1]

    def _effect(self, base: Base, answers: Mapping[str, Any], asked: Asked, value: Any) -> Effect:
        """What one answer does."""
        trier = Trier(self._book, base, self.today, self._weather)
        found = trier.effect(put_answer(answers, asked, value), (asked.key,))
        self.trials, self.whole_trials = self.trials + trier.trials, self.whole_trials + trier.whole_trials
        return found

    def _base(self, answers: Mapping[str, Any]) -> Base | None:
        key = _key(answers)
        if key not in self._bases:
            situation = as_situation(answers, self.today)
            try:
                self._put_base(
                    key,
                    None
                    if situation is None
                    else Base(consult(self._book, situation, weather=self._weather)),
                )
            except SituationError:
                self._put_base(key, None)
        return self._bases[key]

    def _put_base(self, key: str, base: Base | None) -> None:
        if len(self._bases) >= BASES_KEPT:
            del self._bases[next(iter(self._bases))]
        self._bases[key] = base


def _key(answers: Mapping[str, Any]) -> str:
    """One text for all answers that say the same: "don't know" says no more than silence."""
    return json.dumps(_known(answers), sort_keys=True, default=str)


def _known(held: Any) -> Any:
    if isinstance(held, Mapping):
        inner = {
            key: _known(value) for key, value in held.items() if value is not None and value != DONT_KNOW
        }
        return {key: value for key, value in inner.items() if value != {}}
    return [_known(each) for each in held] if isinstance(held, list) else held


def next_question(book: Rulebook, answers: Mapping[str, Any], today: dt.date) -> Asked | None:
    """The next question that matters, or None. For a whole talk keep an `Asker`, which tries nothing twice."""
    return Asker(book, today).next_question(answers)


def left_at_most(knowledge: Knowledge, answers: Mapping[str, Any]) -> int:
    """How many questions, apart from details, are open at most."""
    return sum(1 for asked in open_questions(knowledge, answers) if not asked.question.details)


def matters(book: Rulebook, answers: Mapping[str, Any], asked: Asked, today: dt.date) -> bool | None:
    """Whether some answer to a question could change the first choice of a zone or its verdict, or add a caution."""
    return Asker(book, today).matters(answers, asked)


# ---------- what the advice leaves open ----------
def unknown_rows(consultation: Consultation, asker: Asker | None = None) -> list[UnknownRow]:
    """The open questions that bear on rules about what is told that could still fire, the weightiest first.

    With an asker the weightiest are tried, so that the row says whether its answer could change the first choice, and those
    that could come first; without one that stays None.
    """
    c, answers = consultation, as_answers(consultation.filled.situation)
    if asker is not None:
        asker.keep(c)
    weight = _weights(c)
    found: list[tuple[int, int, Asked, str]] = [
        (_PAID, question.order, Asked(question, None, (question.key,)), said)
        for question, said in _not_said(c)
    ]
    for asked in open_questions(c.knowledge, answers):
        rank = weight.get((asked.key, "" if asked.zone is None else coded(asked.zone)))
        if rank is not None:
            found.append(
                (
                    _ORIENTS if rank == _FAR and asked.key in ORIENTING else rank,
                    asked.question.order,
                    asked,
                    "",
                )
            )
    found.sort(key=lambda row: row[:2])
    rows: list[UnknownRow] = []
    for _, _, asked, said in found[: MOST_UNKNOWN if asker is None else MOST_UNKNOWN_TRIED]:
        if sum(row.changes_first_choice is True for row in rows) < MOST_UNKNOWN:
            rows.append(_row(c, answers, asked, said, asker))
    rows.sort(key=lambda row: {True: 0, None: 1, False: 2}[row.changes_first_choice])
    return rows[:MOST_UNKNOWN]


def tried(consultation: Consultation, asker: Asker | None = None) -> Advice:
    """The advice with the questions that it leaves open; with an asker, which of them could change the first choice, and so how sure it is."""
    advice, rows = advice_of(consultation), unknown_rows(consultation, asker)
    sure = advice.sure
    if sure.level == "firm" and any(row.changes_first_choice for row in rows):
        sure = Sure(
            level="likely",
            why="All that is known speaks for it, but a missing answer could change the choice. See what is not known.",
        )
    return advice.model_copy(update={"unknown": rows, "sure": sure})


def _row(c: Consultation, answers: Answers, asked: Asked, said: str, asker: Asker | None) -> UnknownRow:
    named = asked.zone is not None and len(c.zones) > 1
    inside = asked.key.removeprefix("zone.")
    return UnknownRow(
        key=f"zone.{coded(asked.zone or '')}.{inside}" if named else asked.key,
        changes_first_choice=None if asker is None or said else asker.changes_choice(answers, asked),
        text=said or (f"{asked.zone}: {asked.question.ask}" if named else asked.question.ask),
    )


def _weights(c: Consultation) -> dict[tuple[str, str], int]:
    """What hangs on each question, by its key and, where it is about a zone, the zone's code."""
    weight: dict[tuple[str, str], int] = {}
    for name, zone, rank in _undecided(c):
        for key in asked_for(c, name, zone):
            weight.setdefault((key, zone if key.startswith("zone.") else ""), _FAR)
        for key in asked_for(c, name, zone, usually=True) if rank < _FAR else ():
            place = key, zone if key.startswith("zone.") else ""
            weight[place] = min(rank, weight[place])
    return weight


def _undecided(c: Consultation) -> Iterator[tuple[str, str, int]]:
    """The unknown facts in rules that could fire or stand open, with their zone and the weight of what hangs on them.

    What stands open in the order of the options weighs most, then which remedies a part may have; unusual readings come last.
    """
    chosen = [w for each in c.chosen.values() for w in each.told]
    for w in chosen:
        zone, open_, usual = w.draft.zone, {rule.id for rule in w.open}, c.usual_facts[w.draft.zone]
        for rule, could in w.could:
            # What is read as usual leaves a rule open only where nothing else of it is unknown. Where the order is silent
            # on a fact, the choice rests on it all the same.
            real = [name for name in could.unknown if name not in usual] or could.unknown
            yield from (
                (
                    name,
                    zone,
                    _OPEN
                    if name in real
                    and (rule.id in open_ or (rule.then.target in c.essential and name in c.book.quiet))
                    else _FAR,
                )
                for name in could.unknown
            )
        for rule, firing in w.firings:
            names = [
                name
                for each in rule.unless
                if each.name in firing.open
                for condition in each.when
                for name in condition.facts
            ]
            yield from (
                (name, zone, _OPEN if rule.id in open_ else _FAR) for name in names if name not in w.facts
            )
    for zone in c.zones:
        for rule, could in c.zone_layer.could.get(zone, []):
            near = rule.then.target.startswith("zone.kind-") or rule.then.target in (
                "zone.new-grass-asked",
                "zone.remedy-recover",
            )
            yield from (
                (name, zone, _REMEDY if near and name not in c.usual_facts[zone] else _FAR)
                for name in could.unknown
            )
    for _, could in c.site_layer.could.get("site", []):
        yield from ((name, "", _FAR) for name in could.unknown)


def asked_for(c: Diagnosis, name: str, zone: str, usually: bool = False) -> frozenset[str]:
    """The keys whose answers bring an unknown fact: its own, or those of what it is concluded from.

    With `usually` those are left out that bring only what is read as usual until somebody tells otherwise.
    """
    usual = c.usual_facts.get(zone, {}) if usually else {}
    found: set[str] = set()
    todo, seen = [name], {name}
    while todo:
        kind = c.types[todo.pop()]
        if kind.concluded:
            layer = (
                c.site_layer.could.get("site", [])
                if kind.scope == "site"
                else c.zone_layer.could.get(zone, [])
            )
            rows = [could.unknown for rule, could in layer if rule.then.target == kind.name]
            more = {
                one for unknown in rows for one in ([one for one in unknown if one not in usual] or unknown)
            } - seen
            todo, seen = [*todo, *more], seen | more
        elif keys := (kind.told,) if kind.told else c.book.brought_by[kind.name]:
            found.update(keys)
        elif c.filled.site is None:
            # What is measured of the place and of its year comes with the place.
            found.add("place.name")
    return frozenset(found)


def _not_said(c: Consultation) -> Iterator[tuple[Question, str]]:
    """What was told in part: a thing is on offer, and a rule about it waits for something that the seller can say."""
    question = next((each for each in c.knowledge.questions if each.key == "offer"), None)
    if question is None or not c.filled.situation.offer:
        return
    offered = [w for w in c.weighed.values() if w.facts.get("option.offer") == "offered"]
    waits = dict.fromkeys(name for w in offered for _, could in w.could for name in could.unknown)
    missing = [
        c.types[name].meaning.split(";")[0]
        for name in waits
        if any(key.startswith("offer.") for key in c.book.brought_by[name])
    ]
    if missing:
        yield question, f"{question.ask} Still missing: {listed(missing)}."
