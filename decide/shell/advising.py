"""Advice in a talk: on what is known, shorter or longer, by other units, and what is asked about it."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any, Final

from decide.model.errors import DecideError
from decide.parse.answers import is_unknown
from decide.parse.choices import read_yes_no
from decide.parse.intents import read_proposal
from decide.parse.plain import clean, fold
from decide.parse.results import Understood
from decide.shell.state import Say, State
from decide.shell.table import for_advice

HELP: Final = (
    'Answer in your own words, or with the number of a choice. "Don\'t know" is always a good answer.\n'
    "You can also say: back; change the date; why do you ask; show answers; what does sod mean; "
    "can I roll it now?; units metric or units us; save; save as NAME; start again; leave.\n"
    "Say advice to have it at once, on what you have told so far.\n"
    "When there is advice: why; why not thin sod; why is sod better than seed; what if we had a hose; "
    "what would it take to use sod; how sure are you; what matters next; says who; this week; more; less; "
    "details; "
    "save the page, the notes, the calendar, the plan or the shopping list."
)
_NO_ADVICE: Final = Say("There is no advice yet. Answer on, or say advice to have it now.", "error")
_PAPER: Final = re.compile(
    r"(?P<kind>\w+)(?: list| table)?(?: (?:as|to|in|under) (?P<path>.+))?", re.IGNORECASE
)
# What a paper is called, its kind and the ending of its file.
_PAPERS: Final = {
    "page": ("page", ".html"), "sheet": ("page", ".html"), "notes": ("notes", ".md"),
    "minutes": ("notes", ".md"), "calendar": ("calendar", ".ics"), "task": ("tasks", ".csv"),
    "plan": ("tasks", ".csv"), "shopping": ("shopping", ".csv"),
}  # fmt: skip


def advised(state: State) -> Any:
    """The advice on the answers as they are now."""
    if state.advice is None or state.stale:
        state.advice = state.tools.advise(for_advice(state.answers, state.today), state.units)
        state.stale = False
    return state.advice


def _shown(state: State) -> Say:
    return Say(state.tools.show(advised(state), state.depth, state.view()), "advice")


def advise(state: State) -> list[Say]:
    """Gives the advice, or says why there can be none."""
    try:
        advised(state)
    except DecideError as error:
        state.advice = None
        return [Say(f"I cannot advise on that yet: {error}", "error")]
    state.fresh_advice = True
    return [_shown(state)]


def enough_said(state: State) -> list[Say]:
    """Gives advice on what is known, though questions are left."""
    state.enough, state.details = True, False
    state.pending = state.forced = state.question = None
    return advise(state)


def next_hint(state: State) -> str:
    """What may be said when there is advice."""
    left = state.tools.left(state.answers, True)
    offer = " Say details for more questions and a closer plan; stop when you like." if left else ""
    return f"Ask why, why not, this week, more; change an answer; save the page; leave.{offer}"


def after_advice(state: State, text: str) -> list[Say]:
    """What a line that is neither answer nor command gives when there is nothing left to ask."""
    if is_unknown(text, state.setting()):
        return [Say('Say "this week" for what to do first, or leave.')]
    result = read_yes_no(text, state.setting())
    if isinstance(result, Understood) and result.value and state.tools.left(state.answers, True):
        return ask_details(state)
    if isinstance(result, Understood) and not result.value:
        return [Say("Good. Your answers are kept. Say leave when you are done.")]
    return [Say("I did not understand. " + next_hint(state), "error")]


def explained(state: State, explain: Callable[[Any, str], str], rest: str = "") -> list[Say]:
    """What is asked about the advice, where there is or can be one."""
    if state.advice is None and state.question is not None:
        return [_NO_ADVICE]
    return [Say(explain(advised(state), rest), "info")]


def this_week(state: State) -> list[Say]:
    """The work of the next seven days."""
    return explained(state, lambda advice, _: state.tools.this_week(advice, state.view()))


def write_paper(state: State, rest: str) -> list[Say]:
    """Writes one paper of the advice: where the person says, and never over a file; else beside the talk."""
    asked = _PAPER.fullmatch(rest)
    assert asked is not None
    kind, ending = next(paper for key, paper in _PAPERS.items() if fold(asked["kind"]).startswith(key))
    named = (asked["path"] or "").strip(" '\"")
    if named and not named.lower().endswith(ending):
        named += ending
    beside = str(getattr(state.kept, "path", None) or "field").removesuffix(".toml").removesuffix(".json")
    path = named or f"{beside}-{kind}{ending}"

    def written(advice: Any, _: str) -> str:
        return f"Written: {state.tools.write_paper(advice, kind, path, bool(named))}"

    return explained(state, written)


def more(state: State) -> list[Say]:
    """The advice in more words."""
    if state.advice is None:
        return [_NO_ADVICE]
    state.depth += 1
    return [_shown(state)]


def less(state: State) -> list[Say]:
    """The short advice."""
    state.depth = 0
    if state.advice is None:
        # "Advice" alone asks for the short answer; before there is one it is the word that brings it.
        return enough_said(state)
    return [_shown(state)]


def ask_details(state: State) -> list[Say]:
    """Asks on, about what cannot change the choice but makes the plan closer."""
    if state.advice is None and state.question is not None and not state.details:
        return [Say("First the questions that can change the choice; the details come after them.")]
    state.pending = None
    state.question = state.tools.ask_next(state.answers, True)
    state.details = state.question is not None
    return [] if state.details else [Say("There are no more questions.")]


def judge_proposal(state: State, text: str) -> list[Say]:
    """The judgement of what the person means to do; it is no answer and is not kept."""
    sprayed = state.tools.question("history.herbicides")
    proposed = read_proposal(
        text,
        state.setting(),
        state.answers,
        grasses=state.tools.grasses,
        methods=state.tools.methods,
        sprays=(*sprayed.choices, *sprayed.more) if sprayed else (),
    )
    if proposed is None:
        return [Say("What would you do? Ask such as: can I roll it now?", "error")]
    asked = for_advice(state.answers, state.today)
    asked["proposal"] = [proposed.table]
    try:
        advice = state.tools.advise(asked, state.units)
    except DecideError as error:
        return [Say(f"I cannot judge that yet: {error}", "error")]
    noted = [Say(proposed.note)] if proposed.note else []
    return [*noted, Say(state.tools.judgement(advice), "info")]


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
    shown = [_shown(state)] if state.advice is not None and state.question is None else []
    return [
        Say(f"Units: {'feet, inches, pounds' if state.units == 'us' else 'metres, litres, kilograms'}."),
        *shown,
    ]


def why_asked(state: State) -> list[Say]:
    """Why the question in hand is asked."""
    if state.question is None:
        return [Say("I ask nothing now. Say why for the reasons of the advice.")]
    return [Say(state.question.why, "info")]


def why(state: State, rest: str) -> list[Say]:
    """The reasons of the advice; before it, or of nothing else, why the question in hand is asked."""
    if state.advice is None or (state.question is not None and not rest):
        return why_asked(state)
    return explained(state, state.tools.why, rest)


def help_said(state: State) -> list[Say]:
    """How to find an answer to the question in hand, and what can be said."""
    own = state.question.help if state.question is not None and state.pending is None else ""
    return [*([Say(own, "info")] if own else []), Say(HELP, "info")]


def mean(state: State, rest: str) -> list[Say]:
    """What a word of the trade means."""
    word = clean(rest).strip(" '\"?")
    meaning = state.tools.meaning(word)
    if meaning is None:
        return [Say(f"I have no explanation of {word[:40]!r}.", "error")]
    return [Say(meaning, "info")]
