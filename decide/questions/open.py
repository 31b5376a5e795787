"""The questions that are open on some answers, where each answer goes, and the answers that stand for all."""

from __future__ import annotations

import copy
import datetime as dt
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from decide.engine.language import FactType
from decide.knowledge.schema import Question
from decide.knowledge.schema_choice import Together
from decide.knowledge.tables import Knowledge
from decide.model.situation import WHOLE_FIELD
from decide.model.written import DONT_KNOW
from decide.questions.answers import Answers

KNOWN: Final = "known"


# Other ways to give the same answer in a situation file.
_SAME: Final[Mapping[str, tuple[tuple[str, ...], ...]]] = {
    "place.name": (("latitude",), ("monthly_mean_c",), ("warmest_month_c",)),
    "field.area_m2": (("length_m", "width_m"),), "zone.area_m2": (("share_percent",),),
}  # fmt: skip


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


def _is_meant(question: Question, answers: Mapping[str, Any], asked: Asked, beside: Collection[str]) -> bool:
    """Whether the earlier answers are those that the question is for; what is asked `beside` it in one breath
    and is still open may come to be.
    """
    for only in question.only_if:
        *tables, key = only.key.split(".")
        path = (*asked.path[:-1], key) if tables == ["zone"] and asked.path[0] == "zone" else (*tables, key)
        held = _table(answers, path).get(key)
        if held is None and only.key in beside:
            continue
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
        if _is_meant(question, answers, asked, ()) and not _is_answered(answers, asked)
    ]


# ---------- in one breath ----------
@dataclass(frozen=True)
class Group:
    """What is open of one breath: questions, each in its part of the field; `row` has the words for it where
    it is more than one question, or is put in other words.

    `whole` says that nothing of it is answered yet.
    """

    code: str
    order: int
    asked: tuple[Asked, ...]
    row: Together | None = None
    whole: bool = True

    @property
    def core(self) -> bool:
        """Whether everybody is asked."""
        return self.row is not None and self.row.core

    @property
    def details(self) -> bool:
        """Whether it is for a closer plan alone."""
        return all(asked.question.details for asked in self.asked)


# Questions that stand in no row come after those that do.
_ALONE: Final = 1000


def open_groups(knowledge: Knowledge, answers: Mapping[str, Any]) -> list[Group]:
    """The questions without an answer as they are asked together, in the order of asking."""
    by_key = {question.key: question for question in knowledge.questions}
    rows: list[tuple[str, int, tuple[str, ...], Together | None]] = [
        (code, row.order, tuple(key for key in row.asks if key in by_key), row)
        for code, row in knowledge.together.items()
    ]
    joined = {key for _, _, keys, _ in rows for key in keys}
    rows += [
        (question.key, _ALONE + question.order, (question.key,), None)
        for question in knowledge.questions
        if question.key not in joined
    ]
    found: list[Group] = []
    for code, order, keys, row in sorted(rows, key=lambda each: each[1]):
        meant = [
            asked
            for key in keys
            for asked in _paths(by_key[key], answers)
            if _is_meant(by_key[key], answers, asked, keys)
        ]
        left = tuple(asked for asked in meant if not _is_answered(answers, asked))
        if left:
            found.append(Group(code, order, left, row, len(left) == len(meant)))
    return found


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


def slots(knowledge: Knowledge, answers: Mapping[str, Any]) -> int:
    """How many questions beyond the core are still asked at most: what was told fully takes its place too."""
    limit = knowledge.limit
    if limit is None:
        return 0
    parts = sum(zone.get("keep_off") is not True for zone in _zones(answers))
    # The town comes before the limit.
    core = sum(row.core for row in knowledge.together.values()) - 1
    open_ = {group.code for group in open_groups(knowledge, answers)}
    told = sum(
        not row.core and code not in open_ and _told_of(knowledge, answers, row)
        for code, row in knowledge.together.items()
    )
    return max(0, limit.most - core + limit.more_for_a_part * max(0, parts - 1) - told)


def _told_of(knowledge: Knowledge, answers: Mapping[str, Any], row: Together) -> bool:
    return any(
        _is_answered(answers, asked)
        for question in knowledge.questions
        if question.key in row.asks
        for asked in _paths(question, answers)
    )


def without_late(knowledge: Knowledge, answers: Mapping[str, Any]) -> Answers:
    """The answers without those to what comes last of the core."""
    late = {key for row in knowledge.together.values() if row.late for key in row.asks}
    out: Answers = copy.deepcopy(dict(answers))
    for question in knowledge.questions:
        for asked in _paths(question, out) if question.key in late else ():
            table = _table(out, asked.path)
            if isinstance(table, dict):
                table.pop(str(asked.path[-1]), None)
    return out


# ---------- trials ----------
def possible_answers(asked: Asked, types: Mapping[str, FactType], today: dt.date) -> list[Any]:
    """Answers that stand for all: each choice; yes and no; the low, the middle and the high end of a number
    or a date.

    Empty for answers that have parts of their own (zones, uses, sprays, places, texts).
    """
    question = asked.question
    values = [choice.value for choice in question.choices if not choice.told_only]
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


def ends(asked: Asked, types: Mapping[str, FactType], today: dt.date) -> list[Any]:
    """The answers that differ most: both of yes and no, the ends of a scale with its middle, all and nothing
    of a list.
    """
    values = possible_answers(asked, types, today)
    if asked.question.kind == "list":
        return values[:2]
    if len(values) <= _ENDS:
        return values
    if asked.question.kind == "choice":
        return [values[0], values[1], values[2 + (len(values) - 2) // 2]]
    return values[:_ENDS]


_ENDS: Final = 3
