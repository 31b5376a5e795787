"""Reads a message in a person's own words for everything that it tells of the field."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from decide.parse.heard import Heard, Told
from decide.parse.message_amounts import read_amounts
from decide.parse.message_dates import read_dates
from decide.parse.message_facts import read_facts
from decide.parse.message_parts import read_parts
from decide.parse.message_places import read_where
from decide.parse.message_text import Clause, Message, message_of, pattern
from decide.parse.message_things import read_things, things_beside
from decide.parse.message_use import read_use
from decide.parse.message_when import read_when
from decide.parse.question import Question
from decide.parse.results import Setting
from decide.parse.speech import Speech

# Days of the money: until when, and from when, it is there.
MONEY_DAYS: Final = ("means.budget_until", "means.budget_from")
_MONEY: Final = "money"


def read_message(
    text: str,
    setting: Setting,
    speech: Speech,
    *,
    answers: Mapping[str, Any],
    question: Question | None = None,
    whole: bool = False,
) -> Heard:
    """What a cleaned line tells, whatever was asked; what it asks is not read here.

    A first message is read for all that it may tell. Later, when a question is in hand or the advice stands,
    only what is clearly told besides: plain statements of some keys, and corrections; and all of a line that
    tells many things at once. With `whole` each clause that states something counts.
    """
    return Messages(setting, speech).read(text, answers=answers, question=question, whole=whole)


class Messages:
    """What lines tell in one setting. A line that is taken for several things, now for an answer and now for
    a message of its own, is read once.
    """

    def __init__(self, setting: Setting, speech: Speech) -> None:
        self.setting, self.speech = setting, speech
        self._read: dict[tuple[str, bool, bool], Message] = {}

    def read(
        self,
        text: str,
        *,
        answers: Mapping[str, Any],
        question: Question | None = None,
        whole: bool = False,
    ) -> Heard:
        """What a cleaned line tells, as `read_message` says."""
        table = self.speech.table("message")
        if not table:
            return Heard()
        way = (text, bool(answers) and question is None, question is not None and question.kind == _MONEY)
        if way not in self._read:
            self._read[way] = _message(self.setting, self.speech, *way)
        return _heard(self._read[way], text, table, answers, question, whole)


def _message(setting: Setting, speech: Speech, text: str, unasked: bool, money: bool) -> Message:
    """All that a line tells. Where nothing is asked (`unasked`) and the line asks something, its corrections
    and dangers alone; `money` where the question in hand is of money.
    """
    message = message_of(text, replace(setting, talk=speech.talk), speech)
    if unasked and any("question" in clause.moods for clause in message.clauses):
        danger = message.table("later")["danger"]
        message.clauses = tuple(
            clause for clause in message.clauses if "corrects" in clause.moods or _said(danger, clause.text)
        )
    message.setting = read_where(message)
    parts = read_parts(message)
    read_when(message, money)
    read_dates(message)
    read_amounts(message, parts)
    read_use(message)
    read_things(message, parts)
    read_facts(message, parts)
    return message


def _heard(
    message: Message,
    text: str,
    table: Mapping[str, Any],
    answers: Mapping[str, Any],
    question: Question | None,
    whole: bool,
) -> Heard:
    """What counts of all that a message tells, beside the answers and the question in hand."""
    later = question is not None or bool(answers)
    told = [_corrected(one, answers) for one in message.told]
    if question is not None:
        told = [one for one in told if one.key != question.key]
    doubts = tuple(message.doubts)
    dropped = [one.words for one in told if _elsewhere(one, answers, table["later"])]
    told = [one for one in told if one.words not in dropped or not one.key.startswith("place.")]
    if later and len({one.words for one in told}) < table["later"]["many"]:
        beside, all_of_it = table["later"]["beside"], told
        told = [
            one
            for one in told
            if _clear(one, table["later"])
            or _beside(one, all_of_it, question, text, beside)
            or (whole and _states(one, table["later"]["states"]))
        ]
        dropped += [one.words for one in all_of_it if one not in told]
        doubts = tuple(
            one for one in doubts if one.key in MONEY_DAYS or _said(table["moods"]["corrects"], one.words)
        )
    kept = {one.words for one in told}
    unread = tuple(dict.fromkeys([*_unread(message), *(words for words in dropped if words not in kept)]))
    return Heard(tuple(told), doubts, (), tuple(message.unknown), (), unread)


def _elsewhere(one: Told, answers: Mapping[str, Any], table: Mapping[str, Any]) -> bool:
    """Whether a word is taken for another town though the place is told and nothing says that it was
    wrong.
    """
    return (
        one.key == "place.name"
        and bool(answers.get("place"))
        and one.corrects
        and not _said(table["corrections"], one.words)
    )


def _clear(one: Told, table: Mapping[str, Any]) -> bool:
    """Whether something is told so plainly that it counts beside an answer."""
    if one.corrects and _said(table["corrections"], one.words):
        return True
    if one.key == "dates.play_by":
        return _said(table["dates"], one.words)
    if one.key in MONEY_DAYS:
        return True
    if one.key == "site.dangers" and _said(table["danger"], one.words):
        return True
    enough = len(one.words.split()) >= table["least-words"]
    return enough and one.key in table["keys"] and _said(table["plainly"], one.words)


def _states(one: Told, begins: Sequence[str]) -> bool:
    """Whether the clause of what is told begins as a statement does."""
    return pattern(*begins).match(one.words.strip().lower()) is not None


def _beside(
    one: Told, told: Sequence[Told], question: Question | None, text: str, beside: Sequence[str]
) -> bool:
    """Whether a clause of its own tells of the field or of another part, beside the answer to a question."""
    if question is None or one.words.strip(" .!").casefold() == text.strip(" .!").casefold():
        return False
    if one.key == "zone":
        return any(other.zone in one.value and other.key != "zone" for other in told)
    if one.zone is not None and one.zone != question.zone:
        return True
    later = text.casefold().find(one.words.casefold()) > 0
    return later and one.key in beside and len(one.words.split()) > 1


def _said(phrases: Sequence[str], words: str) -> bool:
    return pattern(*phrases).search(words.lower()) is not None


def _corrected(one: Told, answers: Mapping[str, Any]) -> Told:
    """The same, marked where it takes back another answer."""
    before = _before(one, answers)
    return replace(one, corrects=one.corrects or (before is not None and before != one.value))


def _before(one: Told, answers: Mapping[str, Any]) -> Any:
    table, _, key = one.key.partition(".")
    if not key:
        return answers.get(table) if table != "zone" else None
    held = answers.get(table)
    if table == "zone":
        rows = held if isinstance(held, list) else []
        row: Mapping[str, Any] = next((row for row in rows if row.get("name") == one.zone), {})
        return row.get(key)
    return held.get(key) if isinstance(held, Mapping) else None


def _unread(message: Message) -> list[str]:
    """The clauses of which nothing was made, but for greetings and the like."""
    filler = pattern(*message.table("filler")["phrases"])
    out = []
    for before, clause in zip((None, *message.clauses), message.clauses, strict=False):
        said = clause.text.strip(" .,!?;:-")
        if clause.start not in message.used and said and not filler.fullmatch(said):
            out.append(message.words(clause))
        elif clause.start in message.used:
            out += _figures(message, clause)
            out += _things(message, clause, before)
    return out


def _things(message: Message, clause: Clause, before: Clause | None) -> Iterator[str]:
    """The things beside a machine, of a clause or the one before it, of which nothing was made, as they are
    read by themselves.
    """
    if not any(one.key in ("means.equipment_own", "means.equipment_hire") for one in message.told):
        return
    for piece in things_beside(message, clause, before):
        at = clause.text.find(piece)
        free = not message.taken(clause, at, at + len(piece))
        if free and tells_nothing(piece, message.setting, message.speech):
            yield piece


def tells_nothing(piece: str, setting: Setting, speech: Speech) -> bool:
    """Whether some words, named among machines, tell of nothing else: a town of that name counts not."""
    alone = read_message(piece, setting, speech, answers={})
    keys = [*(one.key for one in alone.told), *(one.key for one in alone.doubts)]
    return all(key.startswith(("place.", "means.equipment")) for key in keys)


def _figures(message: Message, clause: Clause) -> list[str]:
    """The amounts of a clause that was read, of which nothing was made: figures with the words after them."""
    values = " ".join(str((one.value, one.note, one.zone)) for one in message.told)
    values += " ".join(f"{one.text} {one.words}" for one in message.doubts)
    units = pattern(*message.table("figures")["units"])
    out = []
    for found in re.finditer(r"(?<![\w.,:/-])\d[\d,.]*(?![\d/])", clause.text):
        unit = units.match(clause.text[found.end() :].lstrip())
        plain = found[0].replace(",", "").rstrip(".")
        known = re.search(rf"(?<!\d){re.escape(plain)}(?!\d)", values)
        ago = re.match(r"\W*\w+ (?:ago|time|later|from now|old)\b", clause.text[found.end() :])
        if (
            unit is not None
            and known is None
            and ago is None
            and not message.taken(clause, found.start(), found.end())
        ):
            out.append(f"{found[0]} {unit[0]}")
    return [*out, *_money(message, clause, values)]


def _money(message: Message, clause: Clause, values: str) -> Iterator[str]:
    """The sums of a clause of which nothing was made."""
    for found in re.finditer(r"[£$€] ?(?P<n>\d[\d,.]*)k?", clause.text):
        plain = found["n"].replace(",", "").rstrip(".")
        known = re.search(rf"(?<!\d){re.escape(plain)}(?!\d)", values)
        if known is None and not message.taken(clause, found.start(), found.end()):
            yield found[0].rstrip(".,")
