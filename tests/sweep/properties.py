"""What holds of the advice on any situation: each property lists in words where it does not hold.

A property is given its aim: the answer that is left out, the means that there is more of. It is drawn once, so that a
finding is looked for again while its situation is made smaller.
"""

from __future__ import annotations

import datetime as dt
import json
import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any, Final

from decide.consult import Adviser
from decide.decision.rank import TIME
from decide.engine.language import GRADES
from decide.explain.changes import plain_key, with_changes
from decide.model.advice import Advice, Option
from decide.model.errors import DecideError
from decide.model.reading import situation_from_dict
from decide.model.written import DONT_KNOW, coded
from decide.questions.answers import Answers, as_answers
from tests.choosing import (
    VERDICTS,
    Look,
    Row,
    Seen,
    answered_keys,
    missing_answer,
    more_of,
    why_worse,
    without,
)
from tests.shared import knowledge
from tests.sweep import words
from tests.sweep.silence import bolder, is_nothing_less, starts_later

HALF_A_YEAR: Final = 6
MONTHS: Final = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
LATER: Final = (1, 7, 30)
IN_TIME: Final = "ready-in-time"
PART: Final = "As a part of the programme:"
SOUND: Final = ("advised", "sound")


@dataclass(frozen=True)
class Finding:
    """One place where a property does not hold: what it seems to come from, and what is seen."""

    prop: str
    cause: str
    said: str
    aim: str
    answers: Answers


class Judged:
    """One situation with what is made of it, each thing once."""

    def __init__(self, adviser: Adviser, answers: Answers) -> None:
        self.adviser, self.answers = adviser, answers
        told = situation_from_dict(answers)
        self.look = Look(adviser, "", told)
        # With what is proposed, which says what is wanted: a variation without it is another question.
        self.look.answers = as_answers(told)

    @cached_property
    def seen(self) -> Seen:
        return Seen(self.look.adviser.consult(situation_from_dict(self.answers)))

    @cached_property
    def advice(self) -> Advice:
        return self.adviser.advice(self.seen.c)

    @cached_property
    def said(self) -> words.Said:
        return words.Said(self.advice, self.seen.c)

    def other(self, answers: Answers) -> Seen | None:
        return self.look.at(answers)


Found = Iterator[tuple[str, str]]


@dataclass(frozen=True)
class Property:
    """A property: its check, what it may aim at, and of how many situations it looks at one."""

    check: Callable[[Judged, str], Found]
    aims: Callable[[Judged], list[str]] = lambda judged: [""]
    every: int = 1


# ---------- what one advice says ----------
def no_exception(judged: Judged, _: str) -> Found:
    """What is advised, on every paper, is made without an exception; the caller reports one."""
    _ = judged.said.papers
    yield from ()


def second_engine(judged: Judged, _: str) -> Found:
    """Both engines conclude the same of all that is shown."""
    try:
        both().advise(situation_from_dict(judged.answers))
    except DecideError as error:
        yield type(error).__name__, str(error)


@cache
def both() -> Adviser:
    """An adviser that puts what is shown before the second engine, where there is one."""
    return Adviser(knowledge(), "both")


def nothing_refused(judged: Judged, _: str) -> Found:
    """What the programme tells to do is not ruled out, but by a date that cannot move and that a stopgap carries play to;
    where it is refused by itself, it says why it is a part all the same.
    """
    advice = judged.advice
    for answer in advice.programme:
        for name in ("option", "stopgap"):
            option = advice.option(getattr(answer, name))
            if option is None or option.verdict not in ("not-advised", "ruled-out"):
                continue
            follows = name == "option" and answer.stopgap is not None and _only_late(option)
            if PART not in option.verdict_reason or (option.verdict == "ruled-out" and not follows):
                yield f"{name} {option.verdict}", f"{answer.zone}: {option.code} is {option.verdict}"
        if answer.window is not None:
            option = advice.option(answer.window.option)
            # the next real time may lie after a date that cannot move, which is all that rules it out
            if option is not None and not _only_late(option):
                yield "window ruled-out", f"{answer.zone}: {answer.window.option}"


def _only_late(option: Option) -> bool:
    """Whether nothing rules an option out but the date."""
    return all(row.criterion == IN_TIME for row in option.reasons if row.grade == "ruled-out")


def cautions_everywhere(judged: Judged, _: str) -> Found:
    """Each danger that is told has its caution, and each caution stands in every output."""
    yield from words.dangers(judged.said, judged.answers)


def texts(judged: Judged, _: str) -> Found:
    yield from words.spoiled(judged.said)


def checker(judged: Judged, _: str) -> Found:
    yield from words.against_itself(judged.said)


# ---------- a missing answer ----------
def _keys(judged: Judged) -> list[str]:
    return answered_keys(judged.look.answers)


def silence(judged: Judged, key: str) -> Found:
    """Without an answer nothing is bolder."""
    yield from bolder(judged.look, judged.seen, key)


def dont_know(judged: Judged, key: str) -> Found:
    """ "Don't know" is read as silence, to the byte."""
    answers = without(judged.look.answers, key)
    parts = key.split(".")
    said: Answers = json.loads(json.dumps(answers, default=str))
    if parts[0] == "zone":
        zones = [each for each in said["zone"] if coded(each["name"]) == parts[1]]
    else:
        zones = [said.setdefault(parts[0], {})] if len(parts) > 1 else [said]
    for each in zones:
        each[parts[-1]] = DONT_KNOW
    one, two = judged.other(answers), judged.other(said)
    if one is None or two is None:
        if (one is None) != (two is None):
            yield f"{plain_key(key)}: read only one way", f"{key}"
        return
    if [(row.code, row.verdict) for row in one.rows] != [(row.code, row.verdict) for row in two.rows]:
        yield f"{plain_key(key)}: judged otherwise", f"{key}"


def theorems(judged: Judged, key: str) -> Found:
    """What is refused, or first, under every reading is so without the answer; nothing is bolder than its readings."""
    for found in missing_answer(judged.look, key, 4, is_nothing_less):
        yield f"{found.broken}: {found.cause}", f"{found.asked}: {found.option}: {found.one}; {found.other}"


# ---------- more of a means, a later date ----------
def _means(judged: Judged) -> list[str]:
    dice = random.Random(json.dumps(judged.look.answers, sort_keys=True, default=str))
    return [json.dumps(changes) for _, changes in more_of(judged.look, dice)]


def means(judged: Judged, aim: str) -> Found:
    """More of a means gives no option a worse verdict at the same start."""
    changes: dict[str, Any] = json.loads(aim)
    key = next(iter(changes))
    richer_answers = with_changes(judged.look.answers, changes)
    richer = judged.other(richer_answers)
    for row, other in _pairs(judged.seen, richer):
        if other.rank > row.rank and not starts_later(row, judged.seen, other, richer):
            why = why_worse(other, row, richer, judged.seen)
            yield f"{key}: {row.verdict} -> {other.verdict}: {why}", f"{row.code} with {aim}"


def _play_by(judged: Judged) -> list[str]:
    return [str(days) for days in LATER] if judged.look.answers["dates"].get("play_by") else []


def later(judged: Judged, aim: str) -> Found:
    """A later date wanted gives no option a worse verdict, nor a worse grade in being ready by it at either end."""
    answers = judged.look.answers
    by = dt.date.fromisoformat(answers["dates"]["play_by"]) + dt.timedelta(int(aim))
    then = judged.other({**answers, "dates": {**answers["dates"], "play_by": by.isoformat()}})
    for row, other in _pairs(judged.seen, then):
        if other.rank > row.rank and not starts_later(row, judged.seen, other, then):
            why = why_worse(other, row, then, judged.seen)
            yield f"{row.verdict} -> {other.verdict}: {why}", f"{row.code}, wanted {aim} days later"
        # What rules it out tells; how bad the date would be beside that is nobody's question.
        if row.verdict == other.verdict == "ruled-out":
            continue
        for end, one, two in (
            ("worst", row.grades, other.grades),
            ("best", row.weighed.bests, other.weighed.bests),
        ):
            if GRADES.index(two[TIME]) < GRADES.index(one[TIME]):
                why = why_worse(other, row, then, judged.seen)
                yield f"{end} end {one[TIME]} -> {two[TIME]}: {why}", f"{row.code}, wanted {aim} days later"


def _pairs(one: Seen, other: Seen | None) -> Iterator[tuple[Row, Row]]:
    if other is not None:
        yield from ((row, other.by_start[row.dated]) for row in one.rows if row.dated in other.by_start)


# ---------- the other half of the earth ----------
def _typed(judged: Judged) -> list[str]:
    place = judged.answers["place"]
    return [""] if place.get("monthly_mean_c") and place.get("hemisphere") else []


def _half_a_year_on(value: Any) -> Any:
    if isinstance(value, str):
        try:
            day = dt.date.fromisoformat(value)
        except ValueError:
            return MONTHS[(MONTHS.index(value) + HALF_A_YEAR) % 12] if value in MONTHS else value
        months = day.month - 1 + HALF_A_YEAR
        return dt.date(day.year + months // 12, months % 12 + 1, min(day.day, 28)).isoformat()
    if isinstance(value, list):
        return [_half_a_year_on(each) for each in value]
    return {key: _half_a_year_on(each) for key, each in value.items()} if isinstance(value, dict) else value


def mirrored(judged: Judged, _: str) -> Found:
    """The same climate half a year on, on the other half of the earth, gets the same choice and verdicts."""
    answers: Answers = _half_a_year_on(judged.look.answers)
    place = answers["place"]
    turned = {name: [*place[name][6:], *place[name][:6]] for name in ("monthly_mean_c", "monthly_rain_mm")}
    other = "south" if place["hemisphere"] == "north" else "north"
    seen = judged.other({**answers, "place": {**place, **turned, "hemisphere": other}})
    if seen is None:
        return
    one, two = (
        {
            zone: None if chosen.option is None else Row(0, chosen.option).kind
            for zone, chosen in each.c.chosen.items()
        }
        for each in (judged.seen, seen)
    )
    if one != two:
        yield "another choice", f"{one} and {two}"
    for kind, row in judged.seen.best.items():
        held = seen.best.get(kind)
        if held is not None and abs(VERDICTS.index(held.verdict) - row.rank) > 1:
            yield f"{row.verdict} and {held.verdict}: {why_worse(held, row, seen, judged.seen)}", row.code


# ---------- order ----------
def order(judged: Judged, _: str) -> Found:
    """Zones, keys and lists in another order are the same situation."""
    answers = judged.answers
    seen = judged.other(_turned(answers))
    if seen is None:
        yield "read in one order only", ""
        return
    one = {row.code: row.verdict for row in judged.seen.rows}
    two = {row.code: row.verdict for row in seen.rows}
    if one != two:
        apart = sorted(code for code in one.keys() | two.keys() if one.get(code) != two.get(code))
        yield "other verdicts", f"{apart[0]}: {one.get(apart[0])} and {two.get(apart[0])}"
    for zone, chosen in judged.seen.c.chosen.items():
        codes = [each.option and each.option.draft.code for each in (chosen, seen.c.chosen[zone])]
        if codes[0] != codes[1]:
            yield "another choice", f"{zone}: {codes[0]} and {codes[1]}"
    if sorted(words.today(judged.seen.c)) != sorted(words.today(seen.c)):
        yield "other dangers of today", ""


# Lists whose order says something: wishes from the strongest, and months of the year.
IN_ORDER: Final = ("first", "monthly_mean_c", "monthly_rain_mm", "analysis")


def _turned(value: Any, key: str = "") -> Any:
    if isinstance(value, dict):
        return {name: _turned(each, name) for name, each in reversed(value.items())}
    if isinstance(value, list) and key not in IN_ORDER:
        return [_turned(each) for each in reversed(value)]
    return value


PROPERTIES: Final[dict[str, Property]] = {
    "no-exception": Property(no_exception, every=4),
    "second-engine": Property(second_engine, every=4),
    "nothing-refused": Property(nothing_refused),
    "cautions": Property(cautions_everywhere, every=4),
    "texts": Property(texts, every=4),
    "checker": Property(checker, every=4),
    "silence": Property(silence, _keys),
    "dont-know": Property(dont_know, _keys, every=2),
    "theorems": Property(theorems, _keys, every=2),
    "means": Property(means, _means),
    "later": Property(later, _play_by),
    "mirrored": Property(mirrored, _typed),
    "order": Property(order, every=2),
}
