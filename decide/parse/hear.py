"""Hears one line of a talk: the answer to the question in hand, whatever else it tells, and what it asks."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from decide.parse.answer_rows import about, by_rows
from decide.parse.answers import is_no_place, read_answer
from decide.parse.asks import read_asks
from decide.parse.beside import told_beside
from decide.parse.choices import without_answer
from decide.parse.declined import declined
from decide.parse.each_place import of_each, without_each
from decide.parse.heard import UNCLEAR, Ask, Doubt, Heard, Told
from decide.parse.layout import laid_out
from decide.parse.local import in_country_words
from decide.parse.mending import mended
from decide.parse.message import MONEY_DAYS, Messages, tells_nothing
from decide.parse.message_things import is_thing
from decide.parse.numbers import tidy
from decide.parse.parts_said import by_part, names_part, parts, same_as, told_of, without_everywhere
from decide.parse.question import Question
from decide.parse.results import (
    DONT_KNOW,
    AskBack,
    Elsewhere,
    NotUnderstood,
    Reading,
    Result,
    Setting,
    Understood,
    Unknown,
)
from decide.parse.several import read_several
from decide.parse.speech import Speech
from decide.parse.vocabulary import found, rows, said_plainly


def hear(
    text: str,
    setting: Setting,
    speech: Speech,
    *,
    answers: Mapping[str, Any],
    question: Question | None = None,
) -> Heard:
    """What a cleaned line says as a whole; `question` is the one in hand, `answers` what was told before.

    What is told of the question in hand is in the plain layout of the situation file, a sum, a place or a
    share of the field as several keys. Where the question asks one part of a row (`question.part`), the key
    is the question's own and the value that part's.
    """
    setting = replace(setting, talk=speech.talk)
    question = None if question is None else _shown_here(question, setting, speech)
    asks = read_asks(text, setting, speech, answers=answers, question=question)
    past = any(ask.intent == _RECORD for ask in asks)
    unclear = bool(asks) and all(ask.intent == UNCLEAR for ask in asks)
    messages = Messages(setting, speech)
    line = _heard(text, messages, answers, question, () if unclear else asks)
    heard = line.told or line.doubts or line.unknown
    if question is not None and line.miss and not (heard or asks):
        line = _of_another(text, messages, answers, question) or line
    line = _with_declined(line, text, speech)
    if past:
        # Who did a job is no count of who helps from now on.
        line = replace(line, told=tuple(one for one in line.told if one.key != "means.helpers"))
    if not unclear or heard or line.clears or line.declined:
        # What tells something is no question that only may be one.
        return line
    return replace(line, asks=asks, miss="")


def _shown_here(question: Question, setting: Setting, speech: Speech) -> Question:
    """The question with the parts of a field that it offers as they are called where the field is."""
    asks = tuple(_shown_here(each, setting, speech) for each in question.asks)
    here = in_country_words(question, setting.country, speech.local) if question.kind == "zones" else question
    return replace(here, asks=asks) if asks else here


def _of_another(
    text: str, messages: Messages, answers: Mapping[str, Any], question: Question
) -> Heard | None:
    """A line that does not answer the question in hand, where it plainly and wholly tells something else that
    was not told yet; None where it does not.
    """
    line = messages.read(text, answers={})
    mine = {question.key, *(each.key for each in question.asks)}
    plain = not (line.unread or line.doubts or line.unknown or line.clears)
    fresh = all(one.key not in mine and _told_before(answers, one) is None for one in line.told)
    keys, said = rows(messages.setting, "another").get("keys", {}), said_plainly(text)
    sure = all(found(keys.get(one.key, r"(?!)"), said) for one in line.told)
    return line if line.told and plain and fresh and sure else None


def _told_before(answers: Mapping[str, Any], one: Told) -> Any:
    """The earlier answer to a key, of the part where it is of one."""
    if one.key.startswith("zone."):
        return told_of(answers, one.zone, one.key)
    held: Any = answers
    for name in one.key.split("."):
        held = held.get(name) if isinstance(held, Mapping) else None
    return held


def _with_declined(line: Heard, text: str, speech: Speech) -> Heard:
    """A line with what it tells that is not judged here: such a clause is not unread, and no miss."""
    found_here = tuple(declined(_without(text, [ask.words for ask in line.asks]), speech))
    if not found_here:
        return line
    unread = tuple(one for one in line.unread if not any(_overlap(one, clause) for _, clause in found_here))
    return replace(line, declined=tuple(code for code, _ in found_here), unread=unread, miss="")


def _heard(
    text: str,
    messages: Messages,
    answers: Mapping[str, Any],
    question: Question | None,
    asks: Sequence[Ask],
) -> Heard:
    """What a line tells, is in doubt about and asks."""
    setting, speech = messages.setting, messages.speech
    said = text if question is None else without_answer(text, setting)
    more = messages.read(said, answers=answers, question=question)
    if question is None:
        if all(ask.intent == "correction" for ask in asks):
            more = _whole(more, said, messages, answers, None)
        return Heard(more.told, more.doubts, tuple(asks), more.unknown, more.clears, more.unread)
    more = _plainly_told(more, text, setting)
    days = [one.words for one in more.told if one.key in MONEY_DAYS]
    days += [one.words for one in more.doubts if one.key in MONEY_DAYS]
    rest = _beside_money(_without(text, [ask.words for ask in asks]), days, question, setting)
    if (asks or days) and not rest:
        return Heard(more.told, more.doubts, tuple(asks), more.unknown, more.clears, more.unread)
    if question.asks:
        return _several(text, messages, answers, question, more)
    answer = _Answer(rest, setting, speech, answers, question).heard()
    two_towns = bool(answer.doubts) and found("between", said_plainly(rest)) is not None
    if question.kind == "place" and not (answer.told or two_towns) and not is_no_place(rest, setting):
        first = messages.read(rest, answers={})
        place = [one for one in first.told if one.key.startswith("place.")]
        # Without a town it is no first message: what else is doubtful in it is not asked back.
        doubts = tuple(one for one in first.doubts if place or one.key.startswith("place"))
        if place or doubts:
            # A town in a sentence is found as in a first message.
            answer = Heard(tuple(place), doubts, unread=first.unread)
            more = replace(first, doubts=())
        else:
            more = _whole(more, rest, messages, answers, question)
    elif question.part is None and (answer.told or answer.doubts or answer.unknown):
        besides = tuple(told_beside(rest, setting, speech, question, (*answer.told, *more.told)))
        answer = replace(answer, told=(*answer.told, *_plain(besides, text, setting)))
    elif question.part is None and all(ask.intent == "correction" for ask in asks):
        more = _whole(more, rest, messages, answers, question)
    if question.key in _MACHINES:
        answer = replace(answer, unread=tuple(_left_out(answer.unread, setting, speech)))
    return _joined(answer, more, asks, question)


def _left_out(pieces: Sequence[str], setting: Setting, speech: Speech) -> Iterator[str]:
    """The machines of an answer of which nothing was made: no word for what waters, or tells what else."""
    yield from (
        piece for piece in pieces if is_thing(piece, speech) and tells_nothing(piece, setting, speech)
    )


def _beside_money(text: str, days: Sequence[str], question: Question, setting: Setting) -> str:
    """The line without the clauses that tell from or until when money is there, so that none is a day of
    play; of an answer on the money itself only the day goes.
    """
    if days and question.kind == "money":
        for form in rows(setting, "money").get("days", ()):
            text = re.sub(form, "", text, flags=re.IGNORECASE)
        return text.strip(" ,;.")
    return _without(text, days) if question.kind == "date" else text


def _whole(
    more: Heard,
    text: str,
    messages: Messages,
    answers: Mapping[str, Any],
    question: Question | None,
) -> Heard:
    """A line that does not answer what is asked, read like a first message where it tells nothing otherwise
    and is no mere word.
    """
    if more.told or more.doubts or more.unknown or more.clears or len(text.split()) < _SENTENCE:
        return more
    line = messages.read(text, answers=answers, question=question, whole=True)
    return line if question is None else _plainly_told(line, text, messages.setting)


def _plainly_told(line: Heard, text: str, setting: Setting) -> Heard:
    """What a line tells beside an answer, without what its words only seem to tell."""
    return replace(line, told=tuple(_plain(line.told, text, setting)))


def _plain(told: Iterable[Told], text: str, setting: Setting) -> Iterator[Told]:
    """Those of some things told whose key the line has a plain word for."""
    needs, said = rows(setting, "beside").get("needs", {}), said_plainly(text)
    yield from (one for one in told if found(needs.get(one.key, ".*"), said))


def _several(
    text: str,
    messages: Messages,
    answers: Mapping[str, Any],
    question: Question,
    more: Heard,
) -> Heard:
    """The answer to several questions at once: what the message tells stands, its pieces tell the rest."""
    setting, speech = messages.setting, messages.speech
    found = read_several(text, setting, speech, question, more.told, parts(answers))
    if not (found.told or found.unknown or found.doubts):
        more = _whole(more, text, messages, answers, question)
    mine = {(one.key, one.zone) for one in found.told}
    told = (*found.told, *(one for one in more.told if (one.key, one.zone) not in mine))
    unknown = (*found.unknown, *more.unknown)
    doubts = (*more.doubts, *found.doubts)
    miss = "" if told or unknown or doubts else _example_of(question, setting, speech)
    read = [*(one.words for one in told), *(one.words for one in found.doubts)]
    unread = tuple(one for one in more.unread if not any(_overlap(one, words) for words in read))
    return Heard(told, doubts, (), unknown, more.clears, unread, miss)


def _example_of(question: Question, setting: Setting, speech: Speech) -> str:
    """One short line for an answer to several questions that was not read: the example of their help."""
    example = re.search(r"\bSay: (?P<said>[^.]+)\.", question.help)
    if example is None:
        return str(speech.table("several").get("pieces", {}).get("miss", ""))
    return str(rows(setting, "miss").get("plain", "")).format(example=example["said"])


def _joined(answer: Heard, more: Heard, asks: Sequence[Ask], question: Question) -> Heard:
    """The answer to the question in hand with whatever else the line tells."""
    mine = {(one.key, one.zone) for one in answer.told} | set(answer.unknown)
    mine |= {(one.key, one.zone) for one in answer.doubts}
    mine |= {(question.key, question.zone)} if answer.told or answer.doubts or answer.unknown else set()
    here = {None, question.zone}
    others = tuple(
        one
        for one in more.told
        if not any(one.key == key and (one.zone == zone or {one.zone, zone} <= here) for key, zone in mine)
    )
    told = (*answer.told, *others)
    unread = answer.unread if answer.told else more.unread
    asked = (*answer.doubts, *(one for one in more.doubts if one not in answer.doubts))
    read = [one.words for one in others]
    if question.key in _MACHINES:
        # Words that tell of one thing of a list say nothing of the one beside it.
        read = [words for words in read if any(said_plainly(words) in said_plainly(one) for one in unread)]
    read += [one.words for one in asked]
    unread = tuple(one for one in unread if not any(_overlap(one, each) for each in read))
    miss = "" if told or asks or more.doubts else answer.miss
    unknown = (*answer.unknown, *(one for one in more.unknown if one not in answer.unknown))
    clears = (*answer.clears, *(key for key in more.clears if key not in answer.clears))
    return Heard(told, asked, tuple(asks), unknown, clears, unread, miss)


def _overlap(one: str, other: str) -> bool:
    one, other = said_plainly(one), said_plainly(other)
    return one in other or other in one


def _without(text: str, asked: Iterable[str]) -> str:
    """The line without the words that ask; empty where nothing else is said."""
    for words in asked:
        at = text.casefold().find(words.casefold()) if words else -1
        text = text[:at] + " " + text[at + len(words) :] if at >= 0 else ""
    text = " ".join(text.split())
    return text if re.search(r"[^\W_]", text) else ""


_RECORD: Final = "done_record"
_MACHINES: Final = ("means.equipment_own", "means.equipment_hire")
# A miss never names all that could be answered.
_LISTED: Final = ("choice", "list", "yesno", "sprays", "zones", "uses")
_SHORT: Final = 60
# Fewer words are meant for the question in hand, or for the talk.
_SENTENCE: Final = 3


class _Answer:
    """One line as the answer to the question in hand."""

    def __init__(
        self, text: str, setting: Setting, speech: Speech, answers: Mapping[str, Any], question: Question
    ) -> None:
        self.text, self.setting, self.speech = text, setting, speech
        self.answers, self.question = answers, question
        self.names = parts(answers)

    def heard(self) -> Heard:
        """What the line tells of the question, of this part or of others."""
        question = self.question
        if question.key.startswith("zone.") and question.part is None:
            shared = self._of_parts()
            if shared is not None:
                return shared
        behind = about(self.setting, question.id).get("also_from", {})
        match = found(behind.get("when", r"(?!)"), said_plainly(self.text))
        other = self.speech.question(behind.get("question", "")) if match is not None else None
        if match is not None and other is not None:
            said = said_plainly(self.text)
            first = self._as(question, said[: match.start()].strip(" ,."))
            second = self._as(other, said[match.end() :].strip(" ,."))
            return replace(first, told=(*first.told, *second.told), miss=first.miss and second.miss)
        return self._as(question, self.text)

    def _of_parts(self) -> Heard | None:
        """An answer for all parts, one that likens this part to another, or one for each part by its name."""
        question, here = self.question, self.question.zone
        likened = same_as(self.text, self.names, here, self.setting)
        if likened is not None:
            times, others = likened
            values = [told_of(self.answers, name, question.key) for name in others]
            values = [value for value in values if value is not None and value != DONT_KNOW]
            if values and all(value == values[0] for value in values):
                value = values[0]
                if times != 1 and isinstance(value, (int, float)) and not isinstance(value, bool):
                    value = tidy(value * times)
                if times == 1 or isinstance(value, (int, float)):
                    return Heard((Told(question.key, value, self.text, here, f"As the {others[0]}."),))
        if len(self.names) < 2 or self._doubtful():
            return None
        every = without_everywhere(self.text, self.setting)
        if every is not None and every:
            one = self._as(question, every)
            if one.told and not one.doubts:
                each = (replace(told, zone=name) for name in self.names for told in one.told)
                return replace(one, told=tuple(each))
        pieces = by_part(mended(self.text, self.setting)[0], self.names, here or "")
        heard = [self._as(question.at(name), piece) for name, piece in pieces if piece]
        told = {(one.key, one.zone): one for each in heard for one in each.told}
        if not told and pieces:
            # It is said of another part, though nothing was made of it: never of the part in hand.
            return Heard(unread=(self.text,), miss=self._miss(""))
        if not told:
            return None
        unread = tuple(piece for (_, piece), one in zip(pieces, heard, strict=False) if not one.told)
        return Heard(tuple(told.values()), unread=unread)

    def _doubtful(self) -> bool:
        """Whether the tables ask something back of the line as a whole."""
        question, said = self.question, said_plainly(self.text)
        asked = by_rows(question.id, said, self.setting, question.choices, question.unit)
        return isinstance(asked, AskBack) and asked.text != rows(self.setting, "miss").get("both")

    def _as(self, question: Question, text: str) -> Heard:
        """The line as answer to one question."""
        if not text:
            return Heard(miss=self._miss(""))
        result = self._read(question, text)
        if question.part is not None and isinstance(result, Understood) and result.value == []:
            # "None" to what one sport does is nothing of it, and takes no sport away.
            return Heard(unread=(text,), miss=self._miss(""))
        told = tuple(self._told(question, result, text))
        if isinstance(result, Understood):
            return Heard(told, unread=result.unread)
        if isinstance(result, Unknown):
            return Heard(told, unknown=((question.key, question.zone),))
        if isinstance(result, AskBack):
            readings = tuple(
                Reading(one.say, tuple(self._laid(question, one.value, text, ""))) for one in result.readings
            )
            return Heard(told, (Doubt(result.text, text, question.key, question.zone, readings),))
        return Heard(unread=(text,), miss=self._miss(result.say if isinstance(result, NotUnderstood) else ""))

    def _read(self, question: Question, text: str) -> Result:
        """What a line says as answer to a question; a size of each is that of all places of the part."""
        plain = without_each(text, self.speech) if question.key == "zone.area_m2" else None
        one = read_answer(question, plain, self.setting) if plain and question.zone else None
        if isinstance(one, Understood) and isinstance(one.value, (int, float)):
            return of_each(one, str(question.zone), str(plain), self.speech)
        return read_answer(question, text, self.setting)

    def _told(self, question: Question, result: Result, text: str) -> Iterator[Told]:
        if isinstance(result, Understood):
            yield from self._laid(question, result.value, text, result.note)
        also = {} if isinstance(result, NotUnderstood) else result.also
        for key, value in also.items():
            zone = question.zone if key.startswith("zone.") else None
            yield Told(key, value, text, zone, corrects=self._held(key, zone) not in (None, value))

    def _laid(self, question: Question, value: Any, text: str, note: str) -> Iterator[Told]:
        if isinstance(value, Elsewhere):
            return
        if question.part is not None:
            yield Told(question.key, value, text, question.zone, note)
            return
        if question.key == "zone" and isinstance(value, list) and self._adds(text):
            value = list(dict.fromkeys([*self.names, *value]))
        if question.key == "history.herbicides" and isinstance(value, list):
            value = self._placed(value, text)
        for key, plain in laid_out(question.key, value):
            held = self._held(key, question.zone)
            yield Told(key, plain, text, question.zone, note, held is not None and held != plain)

    def _placed(self, sprays: list[Any], text: str) -> list[Any]:
        """Sprays with the part of the field that the line names for them."""
        named = [name for name in self.names if names_part(name, text)]
        if len(named) != 1:
            return sprays
        return [{**spray, "zone": named[0]} if isinstance(spray, dict) else spray for spray in sprays]

    def _adds(self, text: str) -> bool:
        """Whether a line names parts beside those that stand already."""
        added = rows(self.setting, "zones").get("added", r"(?!)")
        return re.match(rf"(?:{added})\b", said_plainly(text)) is not None

    def _held(self, key: str, zone: str | None) -> Any:
        """The earlier answer to a key."""
        if key.startswith("zone."):
            return told_of(self.answers, zone, key)
        held: Any = self.answers
        for name in key.split("."):
            held = held.get(name) if isinstance(held, Mapping) else None
        return None if isinstance(held, (list, Mapping)) else held

    def _miss(self, reason: str) -> str:
        """One short line for an answer that was not read: why, where that is known, and an example."""
        question = self.question
        table = about(self.setting, question.id)
        example = table.get("example") or rows(self.setting, "examples").get(question.kind, "")
        if question.kind == "choice" and question.choices and "example" not in table:
            example = question.choices[0].shown
        lead = (
            reason.split(". ", maxsplit=1)[0].rstrip(".") if question.kind not in _LISTED and reason else ""
        )
        lead = lead if len(lead) <= _SHORT and "such as" not in lead else ""
        words = rows(self.setting, "miss")
        return str(words.get("reason" if lead else "plain", "")).format(reason=lead, example=example)
