"""Advice in a talk: on what is known, by its sections, by other units, and what is asked about it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final

from decide.model.errors import DecideError
from decide.parse.answers import is_unknown
from decide.parse.choices import read_yes_no
from decide.parse.heard import Ask
from decide.parse.plain import fold
from decide.parse.results import Understood
from decide.shell.keeping import kept
from decide.shell.state import Say, State
from decide.shell.table import at, for_advice, zones

HELP: Final = (
    'Answer in your own words, or with the number of a choice. "Don\'t know" is always a good answer.\n'
    "Tell more than was asked at any time, and put right what I took wrongly: no, the date is 1 September.\n"
    "You can also say: back; show answers; change 3; change the date; why do you ask; what does sod mean; "
    "can I roll it now?; in metric, or in feet; save; save as NAME; start again; leave.\n"
    "Say advice to have it at once, on what you have told so far.\n"
    "When there is advice: more; plan; water; care; money; reasons; all; why; why not thin sod; what if we "
    "had a hose; what would it take to use sod; how sure are you; this week; details; "
    "save the page, the notes, the calendar, the plan or the shopping list."
)
NO_ADVICE: Final = Say("There is no advice yet. Answer on, or say advice to have it now.", "error")
# The end of an answer of which more can be said.
CUT: Final = "say more."
_SHORT: Final = 3
# What needs no advice to be answered.
_EARLY: Final = frozenset({"meaning", "out_of_scope", "who_to_call", "is_it_safe"})
# What of the advice is shown by name; "" is the first screen.
SECTIONS: Final = ("more", "week", "plan", "water", "care", "money", "reasons", "all")


def advised(state: State) -> Any:
    """The advice on the answers as they are now."""
    if state.advice is None or state.stale:
        state.advice = state.tools.advise(for_advice(state.answers, state.today), state.units)
        state.stale = False
    return state.advice


def shown(state: State, what: str = "") -> list[Say]:
    """A section of the advice."""
    text = state.tools.show(advised(state), what, state.view())
    state.seen = state.advice
    return [Say(text, "advice")]


def advise(state: State) -> list[Say]:
    """Gives the advice, or what a changed answer moved in it; or says why there can be none."""
    before = state.seen
    try:
        advised(state)
    except DecideError as error:
        state.advice = None
        return [Say(f"I cannot advise on that yet: {error}", "error")]
    state.fresh_advice = True
    if before is None or before is state.advice:
        return shown(state)
    moved = state.tools.moved(before, state.advice, state.view())
    state.seen = state.advice
    return [Say("\n".join([*moved, "Say advice to see it whole."]), "info")]


def enough_said(state: State) -> list[Say]:
    """Gives advice on what is known, though questions are left."""
    state.enough, state.details, state.opening = True, False, False
    state.pending = state.forced = state.question = None
    state.doubts.clear()
    state.seen = None
    return advise(state)


def next_hint(state: State) -> str:
    """What may be said when there is advice."""
    left = state.tools.left(state.answers, True)
    offer = " Say details for more questions and a closer plan." if left else ""
    return f"Ask on, or tell me what has changed. Help says what you can ask.{offer}"


def after_advice(state: State, text: str) -> list[Say]:
    """What a line that tells and asks nothing gives when there is nothing left to ask."""
    if is_unknown(text, state.setting()):
        return [Say('Say "this week" for what to do first, or leave.')]
    # A longer line tells more than its first word.
    result = read_yes_no(text, state.setting()) if len(text.split()) <= _SHORT else None
    if isinstance(result, Understood) and result.value and state.tools.left(state.answers, True):
        return ask_details(state)
    if isinstance(result, Understood) and not result.value:
        return [Say(f"Good. {kept(state)} Say leave when you are done.")]
    first = "I did not get that. Ask such as: when can we play on it?"
    say = first if state.missed != first else "Still not clear to me. Help says what I can read."
    state.missed = say
    return [Say(say, "error")]


def replied(state: State, ask: Ask) -> list[Say]:
    """The answer to a question about the field or the advice; before there is advice, on what was told so
    far, as far as it goes.
    """
    if state.advice is not None:
        text = state.tools.reply(advised(state), ask)
        state.cut = ask if CUT in text and not ask.slots.get("whole") else None
        return [Say(text, "info")]
    if ask.intent in _EARLY or not _known_enough(state):
        return [Say(state.tools.reply_early(ask), "info")]
    try:
        so_far = state.tools.advise(for_advice(state.answers, state.today), state.units)
    except DecideError:
        return [Say(state.tools.reply_early(ask), "info")]
    return [Say("On what you have told so far:"), Say(state.tools.reply(so_far, ask), "info")]


def _known_enough(state: State) -> bool:
    """Whether the place and what is wrong are told, without which no advice is worth its words."""
    return bool(zones(state.answers)) and at(state.answers, "place") is not None


def section(state: State, what: str) -> list[Say]:
    """A section of the advice by its name."""
    if state.advice is None:
        return enough_said(state) if not what else [NO_ADVICE]
    if what == "more" and state.cut is not None:
        return replied(state, replace(state.cut, slots={**state.cut.slots, "whole": True}))
    return shown(state, what)


def ask_details(state: State) -> list[Say]:
    """Asks on, about what cannot change the choice but makes the plan closer."""
    if state.advice is None and state.question is not None and not state.details:
        return [Say("First the questions that can change the choice; the details come after them.")]
    state.pending = None
    state.question = state.tools.ask_next(state.answers, True)
    state.details = state.question is not None
    return [] if state.details else [Say("There are no more questions.")]


def set_units(state: State, rest: str) -> list[Say]:
    """Other units, and the advice again in them."""
    word = fold(rest)
    if word in ("us", "american", "imperial", "feet", "inches"):
        state.units = "us"
    elif word in ("metric", "metres", "meters", "si"):
        state.units = "metric"
    else:
        return [Say("Say units metric or units us.", "error")]
    state.stale = True
    again = shown(state) if state.advice is not None and state.question is None else []
    return [
        Say(f"Units: {'feet, inches, pounds' if state.units == 'us' else 'metres, litres, kilograms'}."),
        *again,
    ]


def why_asked(state: State, about: str = "") -> list[Say]:
    """Why a question is asked: the one that is named, or the one in hand."""
    question = (state.tools.question(about) if about else None) or state.question
    if question is None:
        return [Say("I ask nothing now. Say why for the reasons of the advice.")]
    return [Say(question.why, "info")]


def help_said(state: State) -> list[Say]:
    """How to find an answer to the question in hand, and what can be said."""
    own = state.question.help if state.question is not None and state.pending is None else ""
    return [*([Say(own, "info")] if own else []), Say(HELP, "info")]
