"""Reads "3 more weeks and a hose" over a consultation: what counts from the answers before is counted."""

from __future__ import annotations

from decide.decision.diagnosis import Diagnosis
from decide.explain.changes import KEYS, plain_key, value_of
from decide.explain.speaking import setting_of, speech_of
from decide.parse.otherwise import Otherwise, counted, read_changes
from decide.questions.answers import as_answers

__all__ = ["Otherwise", "read_otherwise"]


def read_otherwise(c: Diagnosis, text: str) -> Otherwise:
    """The changes that some words mean, part by part; a part that means nothing, or two things, or that has
    nothing to count from, is named as not read.
    """
    answers, speech = as_answers(c.filled.situation), speech_of(c.knowledge)
    said = read_changes(text, setting_of(c, speech), speech, answers)
    known = {key: value for key, value in said.changes.items() if plain_key(key) in KEYS}
    changes = counted(known, {key: value_of(answers, key) for key in known})
    left = (text.strip(" .?!"),) if len(changes) < len(said.changes) else ()
    return Otherwise(changes, said.notes, (*said.unread, *left))
