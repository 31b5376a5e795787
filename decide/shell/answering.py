"""What an answer does in a talk: it is read, checked alone, written down and kept, and the talk goes on."""

from __future__ import annotations

from typing import Any, Final

from decide.model.errors import DecideError
from decide.parse.answers import is_unknown, pick, read
from decide.parse.choices import read_yes_no
from decide.parse.plain import fold
from decide.parse.question import Question
from decide.parse.results import DONT_KNOW, AskBack, Elsewhere, NotUnderstood, Result, Understood, Unknown
from decide.shell import table
from decide.shell.asking import go_on
from decide.shell.keeping import keep
from decide.shell.showing import shown
from decide.shell.state import Pending, Say, State
from decide.shell.tools import Answers

# So many readings are named by their numbers.
_FEW: Final = 3


def is_on_offer(state: State, text: str) -> bool:
    """Whether the line is word for word one of the answers on offer, which then beats any command."""
    said = fold(text).strip(" .!")
    if state.pending is not None:
        return any(fold(reading.say) == said for reading in state.pending.readings)
    if state.question is None:
        return False
    return any(fold(phrase) == said for choice in state.question.choices for phrase in choice.say)


def settle(state: State, pending: Pending, text: str) -> list[Say]:
    """Takes the answer to a question back."""
    chosen = pick(text, pending.readings)
    if chosen is None and pending.yes_no:
        result = read_yes_no(text, state.setting())
        if isinstance(result, Understood):
            chosen = pending.readings[0 if result.value else 1]
    if chosen is not None:
        state.pending = None
        return [Say(chosen.value.say)] if isinstance(chosen.value, Elsewhere) else pending.then(chosen.value)
    if is_unknown(text, state.setting()) and pending.unknown is not None:
        state.pending = None
        return pending.unknown()
    if pending.fresh and state.question is not None:
        result = _read(state, state.question, text)
        if isinstance(result, (Understood, AskBack)):
            state.pending = None
            return _take(state, state.question, result)
    many = len(pending.readings)
    few = many <= _FEW
    numbers = " or ".join(map(str, range(1, many + 1))) if few else f"a number from 1 to {many}"
    return [Say(f"Answer {'yes or no' if pending.yes_no else numbers}.", "error")]


def answer(state: State, question: Question, text: str) -> list[Say]:
    """Takes the answer to a question."""
    return _take(state, question, _read(state, question, text))


def _read(state: State, question: Question, text: str) -> Result:
    choices = (*question.choices, *question.more)
    return read(question.kind, text, state.setting(question), choices=choices, unit=question.unit)


def _take(state: State, question: Question, result: Result) -> list[Say]:
    if isinstance(result, NotUnderstood):
        return [Say(result.say, "error")]
    if isinstance(result, AskBack):
        state.pending = Pending(
            result.text,
            result.readings,
            lambda value: accept(state, question, value),
            lambda: accept(state, question, DONT_KNOW),
            fresh=True,
        )
        return []
    if isinstance(result, Unknown):
        return accept(state, question, DONT_KNOW)
    return accept(state, question, result.value, result.note)


def accept(state: State, question: Question, value: Any, note: str = "") -> list[Say]:
    """Writes an answer down and goes on; an answer out of its range is refused."""
    refused = _refused(state, question, value)
    if refused:
        return [Say(refused, "error")]
    said = _noted(question, value, note)
    if value == DONT_KNOW and question.part:
        value = {"class": "unknown", "date": state.today.isoformat()}.get(question.part[1], DONT_KNOW)
    before = table.copied(state.answers)
    state.history.append((question, before))
    table.put(state.answers, question, value)
    said += _dropped_zones(before, state.answers) if question.key == "zone" else []
    state.forced = None
    state.stale = True
    said += keep(state)
    return said + go_on(state)


def _noted(question: Question, value: Any, note: str) -> list[Say]:
    """What is said back of an answer."""
    if value == DONT_KNOW:
        if question.part and question.part[1] == "date":
            return [Say("Noted: I count from today, the most careful reading.")]
        if question.key == "zone":
            return [Say("Then we take the whole field as one.")]
        return [Say("Noted: you do not know. The advice says whether it matters.")]
    if question.kind == "yesno":
        return []
    back = shown(question, value)
    return [Say(f"Noted. {note}" if note and back in note else f"Noted: {back}. {note}".strip())]


def _dropped_zones(before: Answers, after: Answers) -> list[Say]:
    """The parts of the field, of several, that are named no longer."""
    names, left = ([zone["name"] for zone in table.zones(answers)] for answers in (before, after))
    gone = [name for name in names if name not in left and len(names) > 1]
    return [Say(f"No longer asked about: {', '.join(gone)}. Say back to keep them.")] if gone else []


def _refused(state: State, question: Question, value: Any) -> str:
    """What is wrong with an answer taken alone, such as a number out of range; "" where nothing is."""
    alone: Answers = {}
    if question.part is None:
        table.put(alone, question, value)
    elif question.key == "use":
        alone["use"] = [{question.part[1]: value}]
    try:
        state.tools.check(alone)
    except DecideError as error:
        wrong = error.wrong.partition(": ")[2] or error.wrong
        return f"{wrong[:1].upper()}{wrong[1:]}. {error.instead}".strip()
    return ""


def same(state: State) -> list[Say]:
    """Takes the answer that the part before has."""
    question = state.question
    assert question is not None
    value = table.earlier(state.answers, question)
    if value is None:
        return [Say("There is no part before this one with an answer.", "error")]
    if question.key == "zone.grass" and isinstance(value, list):
        rows = [dict(row) for row in value if isinstance(row, dict)]
        zone = table.zone_of(state.answers, question.zone)
        if zone is not None:
            zone["grass"] = rows
        value = [row["grass"] for row in rows]
    return accept(state, question, value)
