"""What a talk holds between two lines: what is asked, what was answered, and how far it has come."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any, Literal, Protocol

from decide.parse.heard import Ask, Doubt
from decide.parse.question import Question
from decide.parse.results import DONT_KNOW, Reading, Setting
from decide.shell.tools import Answers, Tools, View

Role = Literal["note", "error", "advice", "info"]


@dataclass(frozen=True)
class Say:
    """Something said to the person, and what it is: a note, an error, advice, or information asked for."""

    text: str
    role: Role = "note"


class Kept(Protocol):
    """Where the answers are kept."""

    def save(self, answers: Answers) -> str | None: ...

    def save_as(self, name: str, answers: Answers, over: bool = False) -> object: ...

    def set_aside(self) -> object: ...


@dataclass(frozen=True)
class Pending:
    """A question back, with its readings and what each does.

    `question` is the one that it is about, for which a new answer is heard; `drop` is what happens where
    nobody answers it (None: it is asked until it is answered); `holds` keeps any other line for afterwards.
    """

    text: str
    readings: tuple[Reading, ...]
    then: Callable[[Any], list[Say]]
    unknown: Callable[[], list[Say]] | None = None
    yes_no: bool = False
    question: Question | None = None
    drop: Callable[[], list[Say]] | None = None
    holds: bool = False
    free: Callable[[str], list[Say]] | None = None


@dataclass(frozen=True)
class Turn:
    """The answers before a line that told something, and what was asked then (None: the first message, or
    nothing).
    """

    answers: Answers
    question: Question | None
    opening: bool


@dataclass
class State:
    """The state of one talk.

    `answers` is the nested table of a situation file; `opening` says that the first message is awaited,
    `question` is asked now, `pending` asked back before it, `doubts` are asked back after it, `forced` is
    asked again whatever else is open; `waved` are the conflicts left standing, `asked_uses` the uses
    that were asked about, `turns` the lines that told something, `missed` the last line that said that
    nothing was understood, `held` a line that is heard when what is pending is settled, `cut` what was asked
    just now where more can be said of it. The advice is `stale` where answers came after it, `fresh_advice`
    where nothing was said since it was shown, `seen` the one that the person was shown last; `enough` says
    that advice was wanted though questions are left.
    """

    tools: Tools
    today: dt.date
    answers: Answers
    kept: Kept | None = None
    units: str | None = None
    page: View = field(default_factory=View)
    advice: Any = None
    seen: Any = None
    done: bool = False
    turns: list[Turn] = field(default_factory=list)
    opening: bool = False
    pending: Pending | None = None
    doubts: list[Doubt] = field(default_factory=list)
    missed: str = ""
    held: str = ""
    cut: Ask | None = None
    question: Question | None = None
    forced: Question | None = None
    details: bool = False
    waved: set[str] = field(default_factory=set)
    asked_uses: set[int] = field(default_factory=set)
    saved_badly: bool = False
    stale: bool = True
    enough: bool = False
    fresh_advice: bool = True

    def setting(self, question: Question | None = None) -> Setting:
        """What the reading of an answer may lean on now."""
        told = self.answers.get("place")
        place = told if isinstance(told, dict) else {}
        hemisphere, latitude = place.get("hemisphere"), place.get("latitude")
        if hemisphere not in ("north", "south"):
            hemisphere = None
            if isinstance(latitude, (int, float)):
                hemisphere = "south" if latitude < 0 else "north"
        country = place.get("country")
        country = country.lower() if isinstance(country, str) and country != DONT_KNOW else None
        return Setting(
            self.today,
            hemisphere=hemisphere,
            country=country,
            units=self.units or {None: None, "us": "us", "gb": None}.get(country, "metric"),
            past=question is not None and question.key.startswith("history."),
            named_areas=self.tools.named_areas(),
            find_place=self.tools.find_place,
            talk=self.tools.speech.talk,
        )

    def view(self) -> View:
        """How texts are to look now."""
        return replace(self.page, units=self.units or "")

    def ask_again(self, question: Question | None) -> None:
        """Asks a question again, whatever else is open."""
        self.forced = self.question = question
