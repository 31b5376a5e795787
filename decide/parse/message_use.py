"""Reads who plays on the field: sports, hours, months and players."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any, Final

from decide.parse import numbers
from decide.parse.heard import Doubt, Told
from decide.parse.message_money import WORDS, number
from decide.parse.message_months import read_months_of_use
from decide.parse.message_text import Clause, Message, negated, pattern
from decide.parse.numbers import NumberTrouble, tidy
from decide.parse.results import Reading

_HOURS: Final = (
    r"(\d+(?:\.\d+)?|[a-z]+)(?: ?- ?\d+)? ?(?:hours?|hrs?|h)"
    r"(?: ?(?:a|per|/|each|every) ?w(?:ee)?k| weekly| week)?"
)
_CLOCK: Final = r"(\d{1,2}) ?(?:to|-|till|until) ?(\d{1,2}) ?(am|pm)"
_FEW_WORDS: Final = 3
_MOST_WEEK: Final = 112


def read_use(message: Message) -> None:
    """Tells the uses; a sport whose name has two meanings is asked back."""
    table = message.speech.table("message_use")
    found = list(_sports(message, table))
    unsure = next((row for row in found if len(row[1]) > 1), None)
    names = list(dict.fromkeys(row[1][0] for row in found if len(row[1]) == 1))
    clauses = {row[1][0]: row[0] for row in reversed(found) if len(row[1]) == 1}
    if not found:
        for sport, words in table["ground"].items():
            for clause in message.telling():
                if not names and pattern(*words).search(clause.text):
                    names, clauses = [sport], {sport: clause}
    if not names and unsure is None:
        _work(message, table)
        return
    uses = [{"sport": name} for name in names]
    if unsure is not None and unsure[1][0] not in names:
        readings = tuple(
            Reading(_shown(message, name), (Told("use", [*uses, {"sport": name}], message.words(unsure[0])),))
            for name in unsure[1]
        )
        message.use(unsure[0])
        text = message.say("sport", words=unsure[2])
        message.doubts.append(Doubt(text, message.words(unsure[0]), "use", None, readings))
        return
    _players(message, table, uses, clauses)
    named = {name: [row[0] for row in found if row[1] == (name,)] or [clauses[name]] for name in names}
    read_months_of_use(message, uses, named)
    _hours(message, table, uses, clauses)
    _games(message, uses)
    for name in names:
        message.use(clauses[name])
    message.tell("use", uses, clauses[names[0]])


def _shown(message: Message, sport: str) -> str:
    question = message.speech.question("use")
    return next(
        (choice.shown for choice in (question.choices if question else ()) if choice.value == sport), sport
    )


def _sports(message: Message, table: Mapping[str, Any]) -> Iterator[tuple[Clause, tuple[str, ...], str]]:
    """The sports that are named, with the readings of each; not those of somebody's life."""
    for clause in message.telling():
        if pattern(*table["background"]["words"]).search(clause.text):
            continue
        taken: list[tuple[int, int]] = []
        for row in table["sport"]:
            for match in pattern(*row["say"]).finditer(clause.text):
                if _free(match, taken) and not _denied(clause, match, message, table):
                    taken.append(match.span())
                    yield clause, (row["value"],), match[0]
        for word, countries in table["by-country"].items():
            for match in pattern(word).finditer(clause.text):
                off = word == "league" and pattern(*table["league"]["unless"]).search(clause.text)
                if off or not _free(match, taken) or _denied(clause, match, message, table):
                    continue
                readings = _by_country(word, countries, message, table)
                if readings:
                    taken.append(match.span())
                    yield clause, readings, match[0]


def _free(match: re.Match[str], taken: list[tuple[int, int]]) -> bool:
    return not any(begin < match.end() and match.start() < end for begin, end in taken)


def _denied(clause: Clause, match: re.Match[str], message: Message, table: Mapping[str, Any]) -> bool:
    if message.taken(clause, match.start(), match.end()):
        return True
    near = pattern(*table["near"]["unless"]).search(clause.text)
    inside = near is not None and near.start() <= match.start() < near.end()
    return inside or negated(clause, match.start(), message.speech.table("message"))


def _by_country(
    word: str, countries: Mapping[str, list[str]], message: Message, table: Mapping[str, Any]
) -> tuple[str, ...]:
    """The sports that a word may mean in the country of the field."""
    country = (message.setting.country or "").lower()
    readings = countries.get(country, countries.get("else" if country else "", []))
    if len(readings) > 1:
        for sport in readings:
            said = [words for words in table["speaks-for"].get(sport, ()) if words != word]
            if said and pattern(*said).search(message.text):
                return (sport,)
    return tuple(readings)


def _players(
    message: Message, table: Mapping[str, Any], uses: list[dict[str, Any]], clauses: Mapping[str, Clause]
) -> None:
    words = table["players"]
    for clause in message.telling():
        if pattern(*words["unless"]).search(clause.text):
            continue
        youth, adult = (
            pattern(*words["youth"]).search(clause.text),
            pattern(*words["adult"]).search(clause.text),
        )
        beside = pattern(*words["play"]).search(clause.text) or len(clause.text.split()) <= _FEW_WORDS
        if bool(youth) == bool(adult) or not (
            beside or any(one.start == clause.start for one in clauses.values())
        ):
            continue
        here = [use for use in uses if clauses[use["sport"]].start == clause.start] or (
            uses if len(uses) == 1 else []
        )
        for use in here:
            use.setdefault("players", "youth" if youth else "adult")
        if here:
            message.use(clause)


def _hours(
    message: Message, table: Mapping[str, Any], uses: list[dict[str, Any]], clauses: Mapping[str, Clause]
) -> None:
    for clause, hours in _hour_counts(message, table):
        if pattern(*table["hours"]["work"]).search(clause.text):
            message.tell("means.work_hours_per_week", hours, clause)
            continue
        here = [use for use in uses if "hours_per_week" not in use]
        near = [use for use in here if clauses[use["sport"]].sentence == clause.sentence]
        here = near if len(near) == 1 else here
        if here and (len(uses) == 1 or len(near) == 1):
            here[0]["hours_per_week"] = hours
            message.use(clause)
        elif len(uses) > 1 and pattern(*table["hours"]["together"]).search(clause.text):
            message.tell("field.play_hours_week", hours, clause)
        elif len(uses) > 1:
            message.use(clause)
            readings = tuple(
                Reading(
                    _shown(message, use["sport"]),
                    (
                        Told(
                            "use",
                            [
                                {**other, **({"hours_per_week": hours} if other is use else {})}
                                for other in uses
                            ],
                            message.words(clause),
                        ),
                    ),
                )
                for use in uses
            )
            text = message.say("hours", hours=tidy(hours))
            message.doubts.append(Doubt(text, message.words(clause), "use", None, readings))


def _games(message: Message, uses: list[dict[str, Any]]) -> None:
    """Games a week, where there is one use and its hours are not told."""
    form = pattern(
        r"(?P<n>\d{1,2}|one|two|three|four|five|six) (?:\w+ )?(?:games|matches|fixtures) "
        r"(?:a|per|every|each|on a|on) (?:week(?:end)?|saturdays?|sundays?)"
    )
    for clause in message.telling():
        match = form.search(clause.text)
        if match and len(uses) == 1 and "hours_per_week" not in uses[0]:
            found = numbers.figure(numbers.tokens(match["n"]), 0)
            if found is not None:
                uses[0]["games_per_week"] = tidy(found[0][0])
                message.use(clause)


def _work(message: Message, table: Mapping[str, Any]) -> None:
    """Hours of work, where no sport was told."""
    for clause, hours in _hour_counts(message, table):
        if pattern(*table["hours"]["work"]).search(clause.text):
            message.tell("means.work_hours_per_week", hours, clause)


def _hour_counts(message: Message, table: Mapping[str, Any]) -> Iterator[tuple[Clause, float]]:
    for clause in message.telling():
        if pattern(*table["hours"]["not"]).search(clause.text):
            continue
        clock = pattern(_CLOCK).search(clause.text)
        match = pattern(_HOURS).search(clause.text)
        if clock and not re.search(r"\d ?(?:hours|hrs)", clause.text):
            days = len(
                pattern(message.speech.table("message_dates")["forms"]["days"] + "s?").findall(clause.text)
            )
            hours = (int(clock[2]) - int(clock[1])) % 12
            if hours and days:
                yield clause, float(hours * days)
            continue
        if match is None or re.search(r"\b(?:a|per|each) (?:day|night|month|year)\b", clause.text):
            continue
        try:
            found = numbers.figure(numbers.tokens(match[1]), 0)
        except NumberTrouble:
            continue
        each = 0.0 if found is None else float(found[0][0])
        times = 1 if "week" in match[0] or "wk" in match[0] else _sessions(message, clause, match, table)
        together = each * times
        if times > 1:
            message.take(clause, match.start(), match.end())
        if 0 < together <= _MOST_WEEK:
            yield clause, together


def _sessions(message: Message, clause: Clause, match: re.Match[str], table: Mapping[str, Any]) -> float:
    """How many times in a week some hours are told of: three evenings of two hours; 1 where that is not
    said.
    """
    count, words = rf"(?P<n>\d{{1,2}}|{WORDS})", table["sessions"]["words"]
    week, about = r"(?: (?:a|per|each|every) week)?", r"(?:about |around )?"
    before = re.search(
        rf"(?<![\w.]){count} {words}{week},? ?(?:of|at|for|x|with)? ?{about}$", clause.text[: match.start()]
    )
    after = re.match(
        rf",? ?(?:on |for |x )?(?:(?:{count}) {words}|(?P<twice>twice)){week}(?!\w)",
        clause.text[match.end() :],
    )
    if after is not None and after["twice"]:
        return 2
    found = before or after
    return 1 if found is None else number(found["n"], message) or 1
