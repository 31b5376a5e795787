"""The conversation as a state machine without a terminal: a prompt goes out, a line comes in, things are
said.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from typing import Any, Final

from decide.model.errors import DecideError
from decide.parse.intents import is_proposal
from decide.parse.plain import clean, fold, too_long
from decide.shell import advising, answering, asking, changing, keeping, papers
from decide.shell.asking import Prompt
from decide.shell.commands import Command, match
from decide.shell.state import Kept, Say, State
from decide.shell.tools import Answers, Tools, View

# What each command does, with the words that came with it.
_HANDLERS: Final[Mapping[str, Callable[[State, str], list[Say]]]] = {
    "why-ask": lambda state, _: advising.why_asked(state),
    "why": advising.why,
    "why-not": lambda state, rest: advising.explained(state, state.tools.why_not, rest),
    "ask": lambda state, rest: advising.explained(state, state.tools.explain, rest),
    "week": lambda state, _: advising.this_week(state),
    "more": lambda state, _: advising.section(state, "more"),
    "less": lambda state, _: advising.section(state, ""),
    "details": lambda state, _: advising.ask_details(state),
    "help": lambda state, _: advising.help_said(state),
    "mean": advising.mean,
    "paper": papers.write_paper,
    "units": advising.set_units,
    "advise": lambda state, _: advising.enough_said(state),
    "save": lambda state, _: keeping.save(state),
    "save-as": papers.save_as,
    "leave": lambda state, _: keeping.leave(state),
    "restart": lambda state, _: asking.ask_restart(state),
    "repeat": lambda _state, _: [],
    "same": lambda state, _: answering.same(state),
    "show": lambda state, _: changing.show(state),
    "back": lambda state, _: changing.back(state),
    "change": changing.change,
}


class Talk:
    """One conversation about one field.

    `answers` is the nested table of a situation file and may hold answers from before; `kept` writes it down
    after each answer; `resumed` asks first whether to go on with them. Without answers the talk opens with
    the field in the person's own words. Nothing is read from clock, environment or disk.
    """

    def __init__(
        self,
        tools: Tools,
        today: dt.date,
        answers: Answers | None = None,
        *,
        kept: Kept | None = None,
        units: str | None = None,
        resumed: bool = False,
        page: View | None = None,
    ) -> None:
        self.state = State(
            tools,
            today,
            answers if answers is not None else {},
            kept,
            units,
            page if page is not None else View(),
        )
        self.opening: list[Say] = []
        if resumed and self.state.answers:
            asking.ask_resume(self.state)
        elif not self.state.answers:
            self.state.opening = True
        else:
            self.opening = _without_trouble(lambda: asking.next_question(self.state))

    @property
    def answers(self) -> Answers:
        """The answers so far, as the nested table of a situation file."""
        return self.state.answers

    @property
    def advice(self) -> Any:
        """The advice that was given last, None before there is any."""
        return self.state.advice

    @property
    def done(self) -> bool:
        """Whether the person has left."""
        return self.state.done

    def prompt(self) -> Prompt:
        """What to ask now."""
        return asking.prompt(self.state)

    def vocabulary(self) -> tuple[str, ...]:
        """Words that may be completed now: choices, and the commands."""
        return asking.vocabulary(self.state)

    def missing(self) -> list[str]:
        """What is still to be asked before advice: the question in hand and how many may be left."""
        return asking.missing(self.state)

    def hear(self, line: str) -> list[Say]:
        """Takes one line from the person, or several that were pasted, and gives what is to be said; never
        raises for any line.
        """
        if too_long(line):
            return [Say("That is too long. Say it in a few sentences.", "error")]
        text = clean(_one_line(line))
        self.state.fresh_advice = False
        if not text:
            return _without_trouble(lambda: _silence(self.state))
        return _without_trouble(lambda: _heard(self.state, text))

    def ahead(self) -> None:
        """Starts work on what comes next, while the person reads."""
        self.state.tools.ahead(self.state.answers)


def _one_line(line: str) -> str:
    """Pasted lines as the sentences of one."""
    pieces = [piece.strip() for piece in line.splitlines() if piece.strip()]
    ended = (piece if piece.endswith(_ENDS) or len(pieces) == 1 else f"{piece}." for piece in pieces)
    return " ".join(ended)


_ENDS: Final = (".", "!", "?", ",", ";", ":")


def _silence(state: State) -> list[Say]:
    """What is said to an empty line."""
    return answering.miss(state, 'I heard nothing. Write an answer, or "don\'t know", or help.')


def _without_trouble(act: Callable[[], list[Say]]) -> list[Say]:
    try:
        return act()
    except DecideError as error:
        return [Say(f"That does not work: {error}", "error")]


def _heard(state: State, text: str) -> list[Say]:
    named = fold(text).strip(" .!")
    if named in advising.SECTIONS and state.advice is not None and _is_free(state):
        return advising.section(state, named)
    if not answering.is_on_offer(state, text):
        command, proposed = match(text), is_proposal(text)
        if command is not None and command.name == "ask" and (state.advice is not None or not proposed):
            proposed = False
        if proposed:
            return advising.judge_proposal(state, text)
        if command is not None and _obeys(state, command, text):
            return _HANDLERS[command.name](state, command.rest)
    return answering.listen(state, text)


def _is_free(state: State) -> bool:
    """Whether nothing is asked."""
    return state.question is None and state.pending is None


def _obeys(state: State, command: Command, text: str) -> bool:
    """Whether a line is meant as the command that it reads like, and not as an answer."""
    question = state.question
    if command.name == "same":
        return question is not None and state.pending is None and question.zone is not None
    if command.name == "mean" and question is not None and question.kind in ("zones", "text", "place"):
        return text.lower().startswith(("what", "define", "explain", "meaning"))
    return True
