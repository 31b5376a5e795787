"""What to ask next, and whether an answer could change anything: without a terminal, on the answers as a nested table."""

from __future__ import annotations

import copy
import datetime as dt
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from decide.advice import Advice, Sure, UnknownRow
from decide.engine.language import Fact, FactType
from decide.errors import SituationError
from decide.measure.weather import DailyWeather
from decide.read import Knowledge, Question
from decide.situation import DONT_KNOW, WHOLE_FIELD, coded
from decide.trials import Answers, Base, Trier, as_answers, as_situation, with_plain_engine

if TYPE_CHECKING:
    from decide.consult import Adviser, Consultation

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
_RANK: Final = {"rule-out": 0, "mark": 1, "caution": 2, "need": 3, "conclude": 4, "verdict": 5}


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


def put(answers: Mapping[str, Any], asked: Asked, value: Any) -> Answers:
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
        return [] if kind is None else [(today + dt.timedelta(days=round(n))).isoformat() for n in _ends(kind)]
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
    """Chooses questions for one adviser and day; keeps what was tried, so that nothing is tried twice.

    Trials use the plain engine alone; the advice itself is checked by both.
    """

    def __init__(self, adviser: Adviser, today: dt.date, weather: DailyWeather | None = None) -> None:
        self.knowledge, self.today = adviser.knowledge, today
        self._weather = weather
        self._adviser = with_plain_engine(adviser)
        self._bases: dict[str, Base | None] = {}
        self._tried: dict[tuple[str, str, str | None], bool | None] = {}
        self.trials = self.whole_trials = 0

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
            if asked.question.details or (not asked.question.always and self._tried.get((key, asked.key, asked.zone)) is False)
        ]

    def left_at_most(self, answers: Mapping[str, Any], details: bool = False) -> int:
        """How many questions are left at most; tries nothing, but leaves out what was tried on these answers in vain."""
        waiting = open_questions(self.knowledge, answers)
        if details:
            return len(waiting)
        key = _key(answers)
        return sum(1 for asked in waiting if not asked.question.details and self._tried.get((key, asked.key, asked.zone)) is not False)

    # ---------- trying ----------
    @staticmethod
    def _can_try(answers: Mapping[str, Any]) -> bool:
        place = answers.get("place")
        told = place == DONT_KNOW or (isinstance(place, Mapping) and any(value is not None for value in place.values()))
        return told and bool(answers.get("zone"))

    def matters(self, answers: Mapping[str, Any], asked: Asked) -> bool | None:
        """Whether some answer could change the first choice of a zone or its verdict, or add a caution; None where that cannot be tried."""
        key = (_key(answers), asked.key, asked.zone)
        if key not in self._tried:
            self._tried[key] = self._matters(answers, asked)
        return self._tried[key]

    def changes_choice(self, answers: Mapping[str, Any], asked: Asked) -> bool | None:
        """Whether some answer could change the first choice of a zone or its verdict; a caution alone is not counted."""
        if self.matters(answers, asked) is not True:
            return self.matters(answers, asked)
        return self._matters(answers, asked, cautions=False)

    def _matters(self, answers: Mapping[str, Any], asked: Asked, cautions: bool = True) -> bool | None:
        base = self._base(answers) if self._can_try(answers) else None
        values = possible_answers(asked, self._adviser.base.facts, self.today)
        if base is None or not values:
            return None
        return any(self._changes(base, answers, asked, value, cautions) for value in values)

    def _base(self, answers: Mapping[str, Any]) -> Base | None:
        key = _key(answers)
        if key not in self._bases:
            if len(self._bases) >= BASES_KEPT:
                del self._bases[next(iter(self._bases))]
            situation = as_situation(answers, self.today)
            try:
                self._bases[key] = None if situation is None else Base(self._adviser.consult(situation, weather=self._weather))
            except SituationError:
                self._bases[key] = None
        return self._bases[key]

    def _changes(self, base: Base, answers: Mapping[str, Any], asked: Asked, value: Any, cautions: bool = True) -> bool:
        """Whether one answer changes the first choices or, where asked for, adds a caution; one that contradicts others does not."""
        trier = Trier(self._adviser, base, self.today, self._weather)
        found = trier.alters(put(answers, asked, value), (asked.key,), cautions)
        self.trials, self.whole_trials = self.trials + trier.trials, self.whole_trials + trier.whole_trials
        return found


def _key(answers: Mapping[str, Any]) -> str:
    """One text for all answers that say the same: "don't know" says no more than silence."""
    return json.dumps(_known(answers), sort_keys=True, default=str)


def _known(held: Any) -> Any:
    if isinstance(held, Mapping):
        inner = {key: _known(value) for key, value in held.items() if value is not None and value != DONT_KNOW}
        return {key: value for key, value in inner.items() if value != {}}
    return [_known(each) for each in held] if isinstance(held, list) else held


def next_question(adviser: Adviser, answers: Mapping[str, Any], today: dt.date) -> Asked | None:
    """The next question that matters, or None. For a whole talk keep an `Asker`, which tries nothing twice."""
    return Asker(adviser, today).next_question(answers)


def left_at_most(knowledge: Knowledge, answers: Mapping[str, Any]) -> int:
    """How many questions, apart from details, are open at most."""
    return sum(1 for asked in open_questions(knowledge, answers) if not asked.question.details)


def matters(adviser: Adviser, answers: Mapping[str, Any], asked: Asked, today: dt.date) -> bool | None:
    """Whether some answer to a question could change the first choice of a zone or its verdict, or add a caution."""
    return Asker(adviser, today).matters(answers, asked)


# ---------- what the advice leaves open ----------
def unknown_rows(consultation: Consultation, asker: Asker | None = None) -> list[UnknownRow]:
    """The open questions that bear on rules about the first choices that could still fire, the weightiest first.

    Which facts a question gives is found by answering it. With an asker the weightiest are tried, so that the row says
    whether its answer could change the first choice, and those that could come first; without one that stays None.
    """
    c, answers = consultation, as_answers(consultation.filled.situation)
    weight: dict[str, int] = {}
    for name, rank in _undecided(c):
        weight[name] = min(rank, weight.get(name, rank))
    found: list[tuple[int, int, Asked]] = []
    for asked in open_questions(c.knowledge, answers):
        gives = _gives(c, answers, asked) & weight.keys()
        if gives:
            found.append((min(weight[name] for name in gives), asked.question.order, asked))
    found.sort(key=lambda row: row[:2])
    rows = [_row(c, answers, asked, asker) for _, _, asked in found[: MOST_UNKNOWN if asker is None else MOST_UNKNOWN_TRIED]]
    rows.sort(key=lambda row: {True: 0, None: 1, False: 2}[row.changes_first_choice])
    return rows[:MOST_UNKNOWN]


def tried(consultation: Consultation, asker: Asker | None = None) -> Advice:
    """The advice with the questions that it leaves open; with an asker, which of them could change the first choice, and so how sure it is."""
    advice, rows = consultation.advice, unknown_rows(consultation, asker)
    sure = advice.sure
    if sure.level == "firm" and any(row.changes_first_choice for row in rows):
        sure = Sure(level="likely", why="All that is known speaks for it, but a missing answer could change the choice. See what is not known.")
    return advice.model_copy(update={"unknown": rows, "sure": sure})


def _row(c: Consultation, answers: Answers, asked: Asked, asker: Asker | None) -> UnknownRow:
    named = asked.zone is not None and len(c.zones) > 1
    inside = asked.key.removeprefix("zone.")
    return UnknownRow(
        key=f"zone.{coded(asked.zone or '')}.{inside}" if named else asked.key,
        changes_first_choice=None if asker is None else asker.changes_choice(answers, asked),
        text=f"{asked.zone}: {asked.question.ask}" if named else asked.question.ask,
    )


def _undecided(c: Consultation) -> Iterator[tuple[str, int]]:
    """The unknown facts in rules that could fire or stand open, with the weight of what hangs on them."""
    layers = [c.site_layer.could.get("site", [])]
    layers += [c.zone_layer.could.get(code, []) for code in c.zones]
    chosen = [w for each in c.chosen.values() for w in each.named]
    layers += [w.could for w in chosen]
    for layer in layers:
        for rule, could in layer:
            yield from ((name, _RANK[rule.then.act]) for name in could.unknown)
    for w in chosen:
        for rule, firing in w.firings:
            for exception in rule.unless:
                if exception.name in firing.open:
                    yield from ((name, _RANK[rule.then.act]) for condition in exception.when for name in condition.facts if name not in w.facts)


def _gives(c: Consultation, answers: Answers, asked: Asked) -> set[str]:
    """The facts of site, zones and first choices that become known when a question is answered."""
    values = possible_answers(asked, c.types, c.filled.today)
    if asked.key == "use":
        values = [[{"months": ["sep"], "hours_per_week": 1, "players": "adult"}]]
    elif asked.key == "history.herbicides":
        values = [[]]
    found: set[str] = set()
    for value in values[:2]:
        situation = as_situation(put(answers, asked, value), c.filled.today)
        if situation is None:
            continue
        try:
            half = c.adviser.diagnose(situation, c.filled.weather)
        except SituationError:
            continue
        found |= half.site.keys() - c.site.keys()
        for code in c.zones:
            found |= half.zone_facts[code].keys() - c.zone_facts[code].keys()
        for each in c.chosen.values():
            for w in each.named:
                facts: Mapping[str, Fact] = half.measures.option(w.draft, half.zone_facts[w.draft.zone])
                found |= facts.keys() - w.facts.keys()
    return found
