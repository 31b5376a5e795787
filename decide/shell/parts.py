"""What is still missing in a row of uses, sprays or grasses, asked as a question of its own."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from decide.parse.question import Question
from decide.parse.results import AnswerChoice
from decide.shell.showing import shown
from decide.shell.table import rows_of, zones
from decide.shell.tools import Answers

_PLAYERS: Final = (
    AnswerChoice("adult", ("adults", "adult", "men", "women", "seniors", "grown-ups")),
    AnswerChoice("youth", ("youth", "children", "kids", "juniors", "pupils", "school", "under 16")),
)
_STATES: Final = (
    AnswerChoice("green", ("green", "growing", "alive")),
    AnswerChoice(
        "dormant", ("asleep: brown, white inside", "asleep", "dormant", "sleeping", "brown but alive")
    ),
    AnswerChoice("dead", ("dead: brown all through", "dead", "brown and dry", "gone")),
)


def missing_part(answers: Answers, questions: tuple[Question, ...]) -> Question | None:
    """What is still missing in a row of uses, sprays or grasses: hours, months, class, date, state; None
    where nothing is.
    """
    by_key = {question.key: question for question in questions}
    for key, parts in (("use", _use_parts), ("history.herbicides", _spray_parts)):
        if key not in by_key:
            continue
        for at, row in enumerate(rows_of(answers, key, None)):
            sport = shown(by_key[key], row["sport"]) if "sport" in row else "this use"
            for name, question in parts(by_key[key], sport).items():
                if name not in row:
                    return replace(question, part=(at, name))
    for zone in zones(answers) if "zone.grass" in by_key else []:
        rows = rows_of(answers, "zone.grass", zone.get("name"))
        if any("state" not in grass for grass in rows):
            return Question(
                "zone.grass", "grass-state", "Is that grass green now, asleep, or dead?",
                "Sleeping grass comes back on its own. Dead grass does not.", "choice", _STATES,
                zone=zone.get("name"), part=(-1, "state"),
                help="Cut through a brown plant at the soil. White and firm inside means asleep. "
                "Brown and dry means dead.",
            )  # fmt: skip
    return None


def _use_parts(asked: Question, sport: str) -> dict[str, Question]:
    """The parts of a use in the order in which they are asked."""
    return {
        "sport": Question(
            "use", "sport", "Which sport is it?", asked.why, "choice", asked.choices, asked.more
        ),
        "hours_per_week": Question(
            "use",
            "hours",
            f"How many hours a week is it used for {sport}?",
            asked.why,
            "number",
            unit="h/week",
            help="Add up training, matches and booked play in a usual week. A guess is better than nothing.",
        ),
        "months": Question(
            "use",
            "months",
            f"In which months is it used for {sport}?",
            asked.why,
            "months",
            help="Say September to May, or all year but July.",
        ),
        "players": Question(
            "use", "players", f"Who plays {sport}: adults or youth?", asked.why, "choice", _PLAYERS
        ),
    }


def _spray_parts(asked: Question, _sport: str) -> dict[str, Question]:
    """The parts of a spray in the order in which they are asked."""
    return {
        "class": Question(
            asked.key,
            "spray-kind",
            "What was it for?",
            asked.why,
            "choice",
            asked.choices,
            asked.more,
            help=asked.help,
        ),
        "date": Question(
            asked.key,
            "spray-date",
            "When was that, roughly?",
            asked.why,
            "date",
            help="A month will do. Say don't know, and I count from today, the most careful reading.",
        ),
    }
