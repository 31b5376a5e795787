"""What the clauses of an answer tell of other questions than the one in hand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from decide.parse.answers import read_answer
from decide.parse.heard import Told
from decide.parse.layout import laid_out
from decide.parse.mending import clauses
from decide.parse.message import read_message
from decide.parse.plain import words
from decide.parse.question import Question
from decide.parse.results import Setting, Understood
from decide.parse.speech import Speech
from decide.parse.vocabulary import found, rows, said_plainly

_NEVER: Final = "(?!)"
_LEAST: Final = 2


def told_beside(
    text: str, setting: Setting, speech: Speech, question: Question, heard: tuple[Told, ...]
) -> Iterator[Told]:
    """What the clauses that do not answer the question in hand tell, each of another key than `heard`."""
    pieces = clauses(text)
    if len(pieces) < 2:
        return
    keys = {(one.key) for one in heard} | {question.key}
    mine = next((one.value for one in heard if one.key == question.key), None)
    rest = _others(pieces, question, setting, mine)
    for one in _named(rest, setting, speech, question):
        if one.key not in keys:
            keys.add(one.key)
            yield one
    plain = rows(setting, "beside").get("keys", {})
    for piece in rest:
        if len(words(piece)) < _LEAST:
            continue
        more = read_message(piece, setting, speech, answers={}, question=None)
        for one in more.told:
            if one.key not in keys and found(plain.get(one.key, _NEVER), said_plainly(piece)):
                keys.add(one.key)
                yield one


def _others(pieces: list[str], question: Question, setting: Setting, mine: Any) -> list[str]:
    """The clauses without the one that answers: the first that gives the answer alone, else the first."""
    for at, piece in enumerate(pieces):
        result = read_answer(question, piece, setting)
        if isinstance(result, Understood) and (mine is None or _same(question.key, result.value, mine)):
            return pieces[:at] + pieces[at + 1 :]
    return pieces[1:]


def _same(key: str, value: Any, told: Any) -> bool:
    return any(plain == told for name, plain in laid_out(key, value) if name == key)


def _named(pieces: list[str], setting: Setting, speech: Speech, question: Question) -> Iterator[Told]:
    """What clauses tell of the questions whose words the tables know in them."""
    listed: list[Mapping[str, Any]] = rows(setting, "beside").get("rows", [])
    for piece in pieces:
        said = said_plainly(piece)
        for row in listed:
            if question.id not in row.get("of", (question.id,)) or not found(row["when"], said):
                continue
            if found(row.get("unless", _NEVER), said):
                continue
            other = speech.question(row["question"])
            if other is None or other.id == question.id:
                continue
            zone = question.zone if other.key.startswith("zone.") else None
            result = read_answer(other.at(zone), piece, setting)
            if isinstance(result, Understood):
                for key, plain in laid_out(other.key, result.value):
                    yield Told(key, plain, piece, zone, result.note)
