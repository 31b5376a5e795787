"""Answers of a talk shown, taken back and changed."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping, Sequence
from typing import Final

from decide.parse.echo import say_told
from decide.parse.heard import Heard, Told
from decide.parse.plain import fold, words
from decide.parse.question import Question
from decide.parse.results import Reading
from decide.shell import table
from decide.shell.asking import go_on
from decide.shell.hearing import heard, take, tells
from decide.shell.keeping import keep
from decide.shell.showing import answered, label, shown
from decide.shell.state import Pending, Say, State
from decide.shell.tools import Answers

MOST_LISTED: Final = 60
MOST_OFFERED: Final = 6
_MOST_FIGURES: Final = 3
# What a word of the question that is meant is worth: its other name, its own name, a word of its text, being
# answered.
_OTHER_NAME, _OWN_NAME, _TEXT, _ANSWERED = 5, 3, 1, 0.5
_SMALL: Final = (
    "the", "my", "answer", "to", "about", "question", "on", "of", "our", "number", "no", "change", "what",
    "i", "said", "it",
)  # fmt: skip


# Shorter words tell nothing; only longer ones are believed to be misspelt, where so much of them is alike.
_SHORTEST, _SHORTEST_MISSPELT, _LIKENESS = 3, 5, 0.85


def show(state: State, about: str = "") -> list[Say]:
    """All answers with their numbers, a line each; those to one key where one is named."""
    rows = answered(state.answers, state.tools.questions)[:MOST_LISTED]
    lines = [
        f"{number:>2}  {label(row)} {shown(row, table.get(state.answers, row))}"
        for number, row in enumerate(rows, 1)
        if not about or about in (row.key, row.id)
    ]
    if not lines:
        return [Say("You have told nothing of that yet." if about else "There are no answers yet.")]
    last = [] if about else ["Say change and a number to change one."]
    return [Say("\n".join([*lines, *last]), "info")]


def change_number(state: State, number: int) -> list[Say]:
    """Asks again for the answer of that number in the list of answers."""
    rows = answered(state.answers, state.tools.questions)[:MOST_LISTED]
    if not 1 <= number <= len(rows):
        return [Say(f"There is no answer {number}. Say show answers to see their numbers.", "error")]
    return _reopen(state, rows[number - 1])


def reopen_named(state: State, question: Question) -> list[Say]:
    """Asks a question again; of a part, of which one where there are several."""
    if not question.key.startswith("zone."):
        return _reopen(state, question)
    names = [zone["name"] for zone in table.zones(state.answers)] or [table.WHOLE_FIELD]
    return _one_of(state, [question.at(name) for name in names])


def back(state: State) -> list[Say]:
    """Takes the last line that told something back, whole, and asks again what was asked then."""
    if state.pending is not None and state.pending.question is not None:
        state.pending = None
        return []
    state.pending, state.missed = None, ""
    state.doubts.clear()
    if state.forced is not None:
        state.forced = None
        return [Say("It stays as it was."), *go_on(state)]
    if not state.turns:
        return _back_of_old(state)
    turn = state.turns.pop()
    gone = _gone(state, turn.answers)
    state.answers.clear()
    state.answers.update(turn.answers)
    state.stale = True
    state.opening = turn.opening
    said = [Say(f"Taken back: {gone}.")] if gone else []
    if turn.question is not None or turn.opening:
        state.question = turn.question
        return [*said, *keep(state)]
    return [*said, *keep(state), *go_on(state)]


def _back_of_old(state: State) -> list[Say]:
    """The last of the answers that were there before this talk, asked again."""
    rows = answered(state.answers, state.tools.questions)
    if not rows or state.opening:
        return [Say("This is the first question.")]
    return _reopen(state, rows[-1])


def _gone(state: State, before: Answers) -> str:
    """The answers that a step back takes out, in the words in which they were noted; and those that hold
    again.
    """
    now = {row.id + (row.zone or ""): row for row in answered(state.answers, state.tools.questions)}
    then, there = (
        {name: shown(row, table.get(held, row)) for name, row in now.items()}
        for held in (before, state.answers)
    )
    moved = [row for name, row in now.items() if then[name] != there[name]]
    taken = _in_words(state, moved, state.answers)
    again = _in_words(state, [row for row in moved if table.get(before, row) is not None], before)
    return f"{taken}. Now again: {again}" if again and taken else taken


def _in_words(state: State, rows: Sequence[Question], answers: Answers) -> str:
    """Some answers in one line."""
    setting = state.setting()
    units = setting.units if setting.units in ("us", "metric") else None
    told = [Told(row.key, table.get(answers, row), "", row.zone) for row in rows]
    told += [
        Told("means.currency", table.at(answers, "means.currency"), "")
        for row in rows
        if row.key == "means.budget" and table.at(answers, "means.currency")
    ]
    return "; ".join(say_told(told, state.tools.speech, units=units))


def change(state: State, rest: str) -> list[Say]:
    """Asks again for the answer that some words are about."""
    about = " ".join(word for word in fold(rest).strip(" .").split() if word not in _SMALL)
    if about.isascii() and about.isdecimal() and len(about) <= _MOST_FIGURES:
        return change_number(state, int(about))
    if not about:
        return show(state)
    for old, new in _named_and_new(rest, state.tools.speech.table("shell")["changing"]["between"]):
        at_once = _find(state.answers, state.tools.questions, state.tools.other_names, fold(old))
        line = heard(state, new, at_once[0]) if len(at_once) == 1 else Heard()
        if tells(line) or line.doubts:
            return [*take(state, line, at_once[0]), *go_on(state)]
    found = _find(state.answers, state.tools.questions, state.tools.other_names, about)
    if not found:
        return [Say(f"I find no question about {about[:40]!r}. Say show answers to see them.", "error")]
    return _one_of(state, found)


def _named_and_new(rest: str, between: str) -> list[tuple[str, str]]:
    """What a line may name, and the new answer to it: "the date to 12 September", "the date is 12
    September".
    """
    parted = [(rest[: found.start()], rest[found.end() :]) for found in re.finditer(between, rest, re.I)]
    return [(old, new) for old, new in parted if old.strip() and new.strip()]


def _one_of(state: State, found: Sequence[Question]) -> list[Say]:
    """Asks a question again, and first which where there are several."""
    if len(found) == 1:
        return _reopen(state, found[0])
    state.pending = Pending(
        "Which answer shall we change?",
        tuple(Reading(label(question), question) for question in found[:MOST_OFFERED]),
        lambda question: _reopen(state, question),
    )
    return []


def _reopen(state: State, question: Question) -> list[Say]:
    state.pending, state.missed, state.opening = None, "", False
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
