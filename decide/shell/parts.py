"""What is still missing in a row of uses or sprays, asked as a question of its own."""

from __future__ import annotations

from collections.abc import Container, Mapping
from dataclasses import replace
from typing import Any, Final

from decide.knowledge.wording import ENGLISH
from decide.parse.question import Question
from decide.shell.showing import shown
from decide.shell.table import rows_of
from decide.shell.tools import Answers

# All that is missing of a row, asked at once.
ALL: Final = "*"
_SPRAYS: Final = "history.herbicides"
# What is asked of a use, and how.
_USE_PARTS: Final = {
    "hours_per_week": "how many hours a week", "months": "in which months", "players": "adults or youth",
}  # fmt: skip


def missing_part(
    answers: Answers, questions: tuple[Question, ...], asked: Container[int] = ()
) -> Question | None:
    """What is still missing in a row of uses or sprays: hours, months, class, date; None where
    nothing is. What is missing of one of the uses that were `asked` about (by number) stays untold.
    """
    by_key = {question.key: question for question in questions}
    for at, row in enumerate(rows_of(answers, "use", None) if "use" in by_key else []):
        missing = _missing_of_use(by_key["use"], row)
        if missing is not None and at not in asked:
            return replace(missing, part=(at, missing.part[1] if missing.part else ALL))
    for at, row in enumerate(rows_of(answers, _SPRAYS, None) if _SPRAYS in by_key else []):
        for name, question in _spray_parts(by_key[_SPRAYS]).items():
            if name not in row:
                return replace(question, part=(at, name))
    return None


def open_parts(row: Mapping[str, Any]) -> list[str]:
    """The keys of a use that are not told."""
    return [key for key in _USE_PARTS if key not in row]


def _missing_of_use(asked: Question, row: Mapping[str, Any]) -> Question | None:
    """What is missing of a use, asked in one breath; None where nothing is."""
    if "sport" not in row:
        return Question(
            "use", "sport", "Which sport is it?", asked.why, "choice", asked.choices, asked.more,
            part=(0, "sport"),
        )  # fmt: skip
    missing = open_parts(row)
    if not missing:
        return None
    sport = shown(asked, row["sport"])
    words = ENGLISH.listed([_USE_PARTS[key] for key in missing])
    return Question(
        "use", "use-rest", f"About {sport}: {words}?", asked.why, "uses",
        help="Add up training, matches and booked play in a usual week. A guess is better than nothing. "
        "Say it in one line: 12 hours, September to May, youth.",
    )  # fmt: skip


def _spray_parts(asked: Question) -> dict[str, Question]:
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
