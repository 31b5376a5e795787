"""Answers of a talk shown, taken back and changed."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from typing import Final

from decide.parse.plain import fold, words
from decide.parse.question import Question
from decide.parse.results import Reading
from decide.shell import table
from decide.shell.keeping import keep
from decide.shell.showing import answered, label, shown
from decide.shell.state import Pending, Say, State
from decide.shell.tools import Answers

MOST_LISTED: Final = 60
MOST_OFFERED: Final = 6
# What a word of the question that is meant is worth: its other name, its own name, a word of its text, being
# answered.
_OTHER_NAME, _OWN_NAME, _TEXT, _ANSWERED = 5, 3, 1, 0.5
_SMALL: Final = ("the", "my", "answer", "to", "about", "question", "on", "of", "our")


# Shorter words tell nothing; only longer ones are believed to be misspelt, where so much of them is alike.
_SHORTEST, _SHORTEST_MISSPELT, _LIKENESS = 3, 5, 0.85


def show(state: State) -> list[Say]:
    """All answers, a line each."""
    rows = answered(state.answers, state.tools.questions)[:MOST_LISTED]
    if not rows:
        return [Say("There are no answers yet.")]
    lines = (f"- {label(row)} {shown(row, table.get(state.answers, row))}" for row in rows)
    return [Say("\n".join(lines), "info")]


def back(state: State) -> list[Say]:
    """Takes the last answer back and asks for it again."""
    if state.pending is not None and state.pending.fresh:
        state.pending = None
        return []
    state.pending = None
    if state.history:
        question, before = state.history.pop()
        told = table.get(state.answers, question)
        state.answers.clear()
        state.answers.update(before)
    else:
        rows = answered(state.answers, state.tools.questions)
        if not rows:
            return [Say("This is the first question.")]
        question = rows[-1]
        told = table.get(state.answers, question)
    state.ask_again(question)
    state.stale = True
    said = [Say(f"You said: {shown(question, told)}.")] if told is not None else []
    return [*said, *keep(state)]


def change(state: State, rest: str) -> list[Say]:
    """Asks again for the answer that some words are about."""
    about = " ".join(word for word in fold(rest).strip(" .").split() if word not in _SMALL)
    if not about:
        return [*show(state), Say("Say change and a word of the answer, such as: change the date.")]
    found = _find(state.answers, state.tools.questions, state.tools.other_names, about)
    if not found:
        return [Say(f"I find no question about {about[:40]!r}. Say show answers to see them.", "error")]
    if len(found) == 1:
        return _reopen(state, found[0])
    state.pending = Pending(
        "Which answer shall we change?",
        tuple(Reading(label(question), question) for question in found[:MOST_OFFERED]),
        lambda question: _reopen(state, question),
    )
    return []


def _reopen(state: State, question: Question) -> list[Say]:
    state.pending = None
    state.ask_again(question)
    value = table.get(state.answers, question)
    return [] if value is None else [Say(f"You said: {shown(question, value)}.")]


def _find(
    answers: Answers, questions: Sequence[Question], other_names: Mapping[str, str], about: str
) -> list[Question]:
    """The questions that some words are about, the best ones only."""
    row = words(about)
    names = [zone["name"] for zone in table.zones(answers)]
    zone = next((n for n in names if fold(n) in about or fold(n).removesuffix("s") in about), None)
    if zone is not None:
        inside = set(words(zone))
        row = [word for word in row if word.removesuffix("'s") not in inside and word not in inside]
    scores = {question.id: _score(question, row, other_names) for question in questions}
    for question in questions:
        if scores[question.id] and answered(answers, (question,)):
            scores[question.id] += _ANSWERED
    best = max(scores.values(), default=0.0)
    found: list[Question] = []
    for question in questions:
        if not best or scores[question.id] < best:
            continue
        if question.key.startswith("zone."):
            found += [question.at(name) for name in ([zone] if zone else names or [table.WHOLE_FIELD])]
        else:
            found.append(question)
    return found


def _score(question: Question, row: Sequence[str], other_names: Mapping[str, str]) -> float:
    """How well some words name a question."""
    own = [*words(question.id), *words(question.key.rpartition(".")[2])]
    asked = words(question.ask)
    score = 0.0
    for word in row:
        if other_names.get(word) == question.id:
            score += _OTHER_NAME
        if any(_alike(word, other) for other in own):
            score += _OWN_NAME
        elif any(_alike(word, other) for other in asked):
            score += _TEXT
    return score


def _alike(word: str, other: str) -> bool:
    a, b = word.removesuffix("'s").removesuffix("s"), other.removesuffix("s")
    if len(a) < _SHORTEST or a in ("are", "was", "has", "for", "and", "not", "how", "what", "which"):
        return False
    if a == b or len(a) < _SHORTEST_MISSPELT:
        return a == b
    return difflib.SequenceMatcher(None, a, b).ratio() >= _LIKENESS
