"""What a person wishes of the talk itself: advice now, back, another field, a paper, other units, shorter or
longer; every other question goes to the advice.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from decide.model.errors import DecideError
from decide.parse.heard import Ask, Heard, Told
from decide.shell import advising, asking, changing, keeping, papers, recording, table
from decide.shell.hearing import tells
from decide.shell.state import Say, State

# After these the talk does not simply go on with its next question.
_STEERING: Final = frozenset({"advice_now", "go_back", "start_again", "leave"})
# A part of the advice that is wished longer or shorter, and the section that has it.
_SECTIONS: Final = {
    "dates": "plan", "plan": "plan", "tasks": "plan", "water": "water", "watering": "water", "care": "care",
    "cautions": "care", "money": "money", "cost": "money", "shopping": "money", "options": "reasons",
    "reasons": "reasons", "rules": "reasons", "sources": "all", "all": "all", "more": "more",
}  # fmt: skip


def steers(intent: str) -> bool:
    """Whether a wish says itself how the talk goes on."""
    return intent in _STEERING


def of_advice(intent: str) -> bool:
    """Whether a wish is for more or less of an advice, which must be there."""
    return intent in ("shorter", "longer")


def fulfil(state: State, ask: Ask, line: Heard) -> list[Say]:
    """Does what is wished, or answers what is asked."""
    handler = _HANDLERS.get(ask.intent)
    said = handler(state, ask, line) if handler is not None else advising.replied(state, ask)
    return [Say(ask.taken), *said] if ask.taken and said else said


def _slot(ask: Ask, name: str) -> str:
    found = ask.slots.get(name)
    return found if isinstance(found, str) else ""


def _why(state: State, ask: Ask, _: Heard) -> list[Say]:
    """A bare "why" is said of the question in hand, where there is one."""
    if state.question is not None and not ask.slots:
        return advising.why_asked(state)
    return advising.replied(state, ask)


def _go_back(state: State, ask: Ask, _: Heard) -> list[Say]:
    number = ask.slots.get("number")
    if isinstance(number, int):
        return changing.change_number(state, number)
    named = _slot(ask, "question")
    question = state.tools.question(named) if named else None
    return changing.reopen_named(state, question) if question is not None else changing.back(state)


def _save(state: State, ask: Ask, _: Heard) -> list[Say]:
    kind, name = _slot(ask, "kind"), _slot(ask, "name")
    if kind == "where":
        return keeping.save(state)
    if kind == "file" or not kind:
        return papers.save_as(state, name) if name else keeping.save(state)
    return papers.write_paper(state, f"{kind} as {name}" if name else kind)


def _units(state: State, ask: Ask, _: Heard) -> list[Say]:
    convert, currency = _slot(ask, "convert"), _slot(ask, "currency")
    if convert:
        return [Say(_converted(convert), "info")]
    if currency and not ask.slots.get("units"):
        return [Say("I count money in one currency and do not change it. Tell me the sum in yours.")]
    return advising.set_units(state, _slot(ask, "units"))


def _converted(asked: str) -> str:
    from decide.parse import numbers
    from decide.parse.wording import say_amount

    amount, _, unit = asked.rpartition(" in ")
    if not amount:
        amount, _, unit = asked.rpartition(" to ")
    try:
        found = numbers.quantity(numbers.tokens(amount.lower()))
        if found is not None and found[0].unit:
            other = round(numbers.in_unit(found[0], unit.strip())[0], 2)
            return f"{amount.strip()} is {say_amount(other)} {unit}."
    except (numbers.NumberTrouble, KeyError, ValueError):
        pass
    return "I cannot turn that into the other unit. Ask such as: what is 25 mm in inches?"


def _section(state: State, ask: Ask, _: Heard) -> list[Say]:
    part = _slot(ask, "part").lower()
    if part and part not in _SECTIONS:
        return advising.replied(state, Ask("how_to_do", ask.words, {"step": part}))
    return advising.section(state, _SECTIONS.get(part, "more"))


def _shorter(state: State, ask: Ask, _: Heard) -> list[Say]:
    part = _slot(ask, "part").lower()
    return advising.section(state, _SECTIONS.get(part, "") if part else "")


def _plainer(state: State, ask: Ask, _: Heard) -> list[Say]:
    """Plainer words: how the question in hand is answered; after advice, the advice in few words."""
    if state.question is not None and (state.question.help or state.advice is None):
        return [Say(state.question.help or state.question.why, "info")]
    if state.advice is None:
        return advising.help_said(state)
    part = _slot(ask, "part")
    if part:
        return advising.replied(state, Ask("how_to_do", ask.words, {"step": part}))
    return advising.replied(state, ask)


def _progress(state: State, ask: Ask, _: Heard) -> list[Say]:
    key = _slot(ask, "key")
    if key:
        return changing.show(state, key)
    if state.advice is None:
        return changing.show(state)
    return advising.replied(state, ask)


def _correct(state: State, ask: Ask, line: Heard) -> list[Say]:
    if tells(line) or line.doubts:
        return []
    changes = ask.slots.get("changes")
    if isinstance(changes, Mapping):
        told = _without(state, changes, ask.words)
        if told:
            from decide.shell.hearing import take

            return [*take(state, Heard(told=told), None), *asking.go_on(state)]
    return changing.change(state, ask.words)


def _without(state: State, changes: Mapping[str, Any], words: str) -> tuple[Told, ...]:
    """The lists that a correction makes shorter."""
    told = []
    for key, change in changes.items():
        held = table.at(state.answers, key)
        gone = change.get("without") if isinstance(change, Mapping) else None
        if isinstance(held, list) and isinstance(gone, list):
            told.append(Told(key, [one for one in held if one not in gone], words, corrects=True))
    return tuple(told)


def _zones(_: State, __: Ask, line: Heard) -> list[Say]:
    if tells(line):
        return []
    return [Say("Which part do you mean? Say its name, such as: the goalmouths too.", "error")]


def _lesson(state: State, _: Ask, __: Heard) -> list[Say]:
    path = getattr(state.kept, "path", None)
    if path is None:
        return [Say("The lesson is a command of its own: decide lesson FILE.", "info")]
    return [Say(f"That is a lesson of its own, step by step. After this talk: decide lesson {path}", "info")]


def _record(state: State, ask: Ask, _: Heard) -> list[Say]:
    try:
        return recording.record(state, ask)
    except DecideError as error:
        return [Say(f"I cannot write that down: {error}", "error")]


_HANDLERS: Final[Mapping[str, Callable[[State, Ask, Heard], list[Say]]]] = {
    "why": _why,
    "advice_now": lambda state, _, __: advising.enough_said(state),
    "go_back": _go_back,
    "start_again": lambda state, _, __: asking.ask_restart(state),
    "help": lambda state, _, __: advising.help_said(state),
    "leave": lambda state, _, __: keeping.leave(state),
    "save_paper": _save,
    "change_units": _units,
    "shorter": _shorter,
    "longer": _section,
    "plainer": _plainer,
    "progress": _progress,
    "correction": _correct,
    "add_zone": _zones,
    "only_zone": _zones,
    "done_record": _record,
    "check_result": _record,
    "chat": lambda _, __, ___: [Say("Good. On with it.")],
    "why_question": lambda state, ask, _: advising.why_asked(state, _slot(ask, "question")),
    "lesson": _lesson,
}
