"""The conversation as a state machine without a terminal: a prompt goes out, a line comes in, things are
said.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from decide.model.errors import DecideError
from decide.parse.plain import bare, clean, fold, too_long
from decide.shell import advising, answering, asking, changing, keeping, papers, table
from decide.shell.asking import Prompt
from decide.shell.state import Kept, Say, State
from decide.shell.tools import Answers, Tools, View

# Words of the talk itself that stand alone in a line, and what they do.
_ALONE: Final[Mapping[str, Callable[[State], list[Say]]]] = {
    "details": advising.ask_details,
    "same": answering.same,
    "again": lambda _: [],
    "answers": changing.show,
    "why": advising.why_asked,
}
# Wishes that name a file or an answer, and what they do with the name.
_NAMED: Final[Mapping[str, Callable[[State, str], list[Say]]]] = {
    "paper": papers.write_paper,
    "save-as": papers.save_as,
    "save": lambda state, _: keeping.save(state),
    "units": advising.set_units,
    "change": changing.change,
    "wrong": changing.change,
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
            self.opening = _shown(_without_trouble(lambda: asking.next_question(self.state)))

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
        now = asking.prompt(self.state)
        return replace(now, text=bare(now.text), choices=tuple(map(bare, now.choices)), hint=bare(now.hint))

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
            return _shown(_without_trouble(lambda: _silence(self.state)))
        cut = self.state.cut
        said = _without_trouble(lambda: _heard(self.state, text))
        if self.state.cut is cut:
            self.state.cut = None
        return _shown(said)

    def ahead(self) -> None:
        """Starts work on what comes next, while the person reads."""
        self.state.tools.ahead(self.state.answers)


def _shown(said: Sequence[Say]) -> list[Say]:
    """The same, fit for any terminal: names and notes of a file that was kept may hold what none shows."""
    return [one if one.text.isprintable() else replace(one, text=bare(one.text)) for one in said]


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
    said = fold(text).strip(" .!?")
    free = state.question is None or said == advising.SECTIONS[0]
    if said in advising.SECTIONS and free and state.pending is None:
        return advising.section(state, said)
    shell = state.tools.speech.table("shell")
    for name, act in _ALONE.items():
        if said in shell.get(name, {}).get("say", ()) and _fits(state, name):
            return act(state)
    for name, pattern in shell.get("named", {}).items():
        found = re.fullmatch(pattern, text.strip(" .!?") if name in _FILES else said, re.IGNORECASE)
        if found is not None and not _tells_more(state, name, text):
            return _NAMED[name](state, found["rest"].strip())
    return answering.listen(state, text)


# The names of files keep their capitals.
_FILES: Final = ("paper", "save-as")


def _tells_more(state: State, name: str, text: str) -> bool:
    """Whether a line that would change an answer says the new one at once."""
    return name in ("change", "wrong") and answering.tells_alone(state, text)


def _fits(state: State, name: str) -> bool:
    """Whether a word of the talk can be meant now: "same" is said of a part, "why" of a question."""
    question = state.question if state.pending is None else None
    if name == "why":
        return question is not None
    return name != "same" or (question is not None and table.earlier(state.answers, question) is not None)
