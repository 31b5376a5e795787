"""A talk with a small made-up library, run as a program of its own through pipes and pseudo-terminals.

Usage: python fake_talk.py [--slow] OPTIONS OF THE TALK. `--slow` gives advice after a long think.
"""

from __future__ import annotations

import copy
import datetime as dt
import sys
import time
from typing import Any

from decide.cli.table import COMMANDS
from decide.cli.words import read
from decide.model.errors import SituationError
from decide.model.files import data_folder
from decide.parse.question import Question
from decide.parse.results import AnswerChoice
from decide.parse.speech import Speech, read_talk
from decide.shell import run, table, waiting
from decide.shell.tools import Answers, Tools

TODAY = dt.date(2026, 5, 20)
QUESTIONS = (
    Question(
        "site.dangers", "dangers", "Is anything dangerous on the field now?", "What can hurt people comes before grass.", "list",
        (AnswerChoice("loose goals", ("loose goals",)), AnswerChoice("glass", ("glass", "broken glass")), AnswerChoice("none", ("none of these",))),
        help="Walk the field once.", always=True,
    ),
    Question("zone", "where", "Which parts of the field are bad?", "Each part gets its own answer.", "zones"),
    Question("zone.bare_percent", "how-bare", "How much of it is bare ground?", "What is alive may only need rest.", "number", unit="percent"),
    Question(
        "use", "who-plays", "Who plays on it?", "More hours than the ground stands wear out any grass.", "uses",
        (AnswerChoice("football", ("soccer", "football")), AnswerChoice("rugby-union", ("rugby",))),
    ),
    Question("dates.play_by", "play-by", "By which date do you want to play on it again?", "The date decides which ways are quick enough.", "date"),
    Question(
        "means.water", "water", "How can the field be watered?", "Seed that dries out is dead.", "choice",
        (
            AnswerChoice("none", ("not at all", "no water", "no hose")), AnswerChoice("hand hose", ("a hose by hand", "a hose", "hand hose")),
            AnswerChoice("in-ground sprinklers", ("in-ground sprinklers",)),
        ),
    ),
    Question("means.hose_reach_m", "hose-reach", "How far does the hose reach from the tap?", "What it does not reach gets no water.", "length", unit="m"),
    Question("means.equipment_own", "machines", "Which tools do you have?", "Some ways need their machine.", "list", (AnswerChoice("hose", ("hose",)), AnswerChoice("rake", ("rake",))), details=True),
    Question("field.area_m2", "field-size", "How large is the field?", "Seed is counted by area.", "area", unit="m2", details=True),
)  # fmt: skip


def _open(answers: Answers, details: bool) -> list[Question]:
    out: list[Question] = []
    for question in QUESTIONS:
        if question.details and not details:
            continue
        if question.id == "hose-reach" and table.at(answers, "means.water") != "hand hose":
            continue
        zones: list[str | None] = [zone["name"] for zone in table.zones(answers)] or ["whole field"]
        for zone in zones if question.key.startswith("zone.") else [None]:
            if table.get(answers, question.at(zone)) is None:
                out.append(question.at(zone))
    return out


class FakeAdvice:
    """Remembers the answers it was made of."""

    def __init__(self, answers: Answers, units: str | None) -> None:
        self.answers = copy.deepcopy(answers)
        self.units = units

    @property
    def made(self) -> FakeAdvice:
        return self

    def as_dict(self) -> dict[str, Any]:
        out: dict[str, Any] = {
            "situation": [{"key": "dates.today", "value": self.answers["dates"]["today"], "how": "computed"}],
            "plan": [
                {"task": "water", "text": "Water the new seed", "from": "2026-05-20", "until": "2026-05-26", "zone": "goalmouths"},
                {"task": "mow", "text": "Mow for the first time", "from": "2026-06-20", "until": "2026-06-22", "zone": "goalmouths"},
            ],
        }  # fmt: skip
        return out


def advise(answers: Answers, units: str | None) -> FakeAdvice:
    if "--slow" in sys.argv:
        time.sleep(30)
    if table.at(answers, "place.name") == "nowhere":
        raise SituationError("place.name: 'nowhere' is no town", where="your answers", instead="Name a town")
    return FakeAdvice(answers, units)


def tools(today: dt.date = TODAY) -> Tools:
    return Tools(
        questions=QUESTIONS,
        ask_next=lambda answers, details: next(iter(_open(answers, details)), None),
        left=lambda answers, details: len(_open(answers, details)),
        advise=advise,
        show=lambda advice, what, view: (
            f"ADVICE {what or 'first screen'} width {view.width} {view.units or 'by place'}\nSow the goalmouths now."
            + "".join(f"\nLine {at} of all." for at in range(1, 61) if what == "all")
        ),
        reply=lambda advice, ask: f"Reply to {ask.intent}.",
        reply_early=lambda ask: f"Early reply to {ask.intent}.",
        other_names={
            "date": "play-by",
            "deadline": "play-by",
            "day": "play-by",
            "when": "play-by",
            "hours": "who-plays",
            "bare": "how-bare",
        },
        speech=Speech(QUESTIONS, talk=read_talk([data_folder()])),
        moved=lambda before, after, view: ["The date is another."],
    )


if __name__ == "__main__":
    if "--slow" not in sys.argv:
        # How long the machine takes is no part of what a talk says.
        setattr(waiting, "_SAYS_AFTER_S", 3600.0)  # noqa: B010
    told = read(COMMANDS["talk"], [word for word in sys.argv[1:] if word != "--slow"])
    sys.exit(
        run(
            start=told.file,
            talk=told.talk,
            units=told.units,
            lines=told.lines,
            today=told.today or TODAY,
            make_tools=tools,
        )
    )
