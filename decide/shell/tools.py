"""What the talk needs of the library, in one place: questions, advice, explanations, words, places, areas."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from decide.model.errors import DecideError
from decide.parse.heard import Ask
from decide.parse.question import Question
from decide.parse.speech import Speech

Answers = dict[str, Any]
# What a first line may be: it is shown where one was not understood.
EXAMPLE: Final = "Our soccer pitch in Dayton has bare goalmouths; we want to play on 1 September."


@dataclass(frozen=True)
class View:
    """How a text is to look: width in columns, colour or none, plain lines or a page, and the system of
    units.

    Units are "metric", "us", or "" where the place decides.
    """

    width: int = 80
    colour: bool = False
    plain: bool = True
    units: str = ""


def _not_here(_: Ask) -> str:
    return "I cannot answer that here."


def _all_right(_: Answers) -> None:
    return None


def _no_reply(_: Any, __: Ask) -> str:
    return "I cannot answer that here."


def _unmoved(_: Any, __: Any, ___: View) -> list[str]:
    return []


def _absent(_: str) -> bool:
    return False


def _no_row(_: Any, __: Mapping[str, Any]) -> tuple[str, dict[str, Any]]:
    raise DecideError("nothing can be written down here")


def _as_it_is(text: str, _: Answers) -> str:
    return text


def _no_paper(_: Any, __: str, ___: str, ____: bool) -> str:
    return ""


@dataclass(frozen=True)
class Tools:
    """The library as the talk sees it.

    `questions` are all questions in order, zone questions once; `ask_next(answers, details)` gives the next
    one to ask or None; `left(answers, details)` how many there are at most; `advise(answers, units)` a
    consultation with its `advice`; `show(advice, what, view)` its text, "" for the first screen, else a
    section by its name; `moved(before, after, view)` what a changed answer moved; `reply(advice, ask)` the
    answer to what is asked of it, `reply_early(ask)` what can be said before there is any; `there(path)`
    whether there is such a file; `ahead(answers)` starts work on what comes next;
    `in_words(text, answers)` a text in the words of the field's country; `record_row(advice, entry)`
    the row of the record for what was done; `write_paper(advice, kind, path, new)` writes the page, notes,
    calendar, tasks or shopping list, over no file where it is to be `new`, and gives the path as shown;
    `check(answers)` raises DecideError where
    a single answer is out of its range; `breaths` are the questions that are asked together;
    `other_names` gives the id of the question that a word names; `speech` how people speak of a field.
    """

    questions: tuple[Question, ...]
    ask_next: Callable[[Answers, bool], Question | None]
    left: Callable[[Answers, bool], int]
    advise: Callable[[Answers, str | None], Any]
    show: Callable[[Any, str, View], str]
    reply_early: Callable[[Ask], str] = _not_here
    reply: Callable[[Any, Ask], str] = _no_reply
    moved: Callable[[Any, Any, View], list[str]] = _unmoved
    there: Callable[[str], bool] = _absent
    ahead: Callable[[Answers], None] = _all_right
    record_row: Callable[[Any, Mapping[str, Any]], tuple[str, dict[str, Any]]] = _no_row
    check: Callable[[Answers], None] = _all_right
    in_words: Callable[[str, Answers], str] = _as_it_is
    write_paper: Callable[[Any, str, str, bool], str] = _no_paper
    find_place: Callable[[str], Sequence[Mapping[str, Any]]] | None = None
    named_areas: Callable[[], Mapping[str, float]] = dict
    breaths: tuple[Question, ...] = ()
    other_names: Mapping[str, str] = field(default_factory=dict)
    speech: Speech = field(default_factory=Speech)

    def question(self, name: str) -> Question | None:
        """The question of an id or a key."""
        return next((question for question in self.questions if name in (question.id, question.key)), None)
