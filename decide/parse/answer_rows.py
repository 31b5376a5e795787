"""What the tables know of the answers to one question: rows of patterns with the answer that each means."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from decide.parse.mending import no_answer
from decide.parse.results import (
    AnswerChoice,
    AskBack,
    Elsewhere,
    NotUnderstood,
    Reading,
    Result,
    Setting,
    Understood,
    Unknown,
)
from decide.parse.vocabulary import found, rows, said_plainly
from decide.parse.weekdays import NAMES
from decide.parse.wording import say_value

ABOUT: Final = "answers_about"
_NEVER: Final = "(?!)"
_OTHER: Final = Reading("none of these", Elsewhere("Say it in other words."))
_NAMES: Final = {"weekend": "saturday"}


def about(setting: Setting, name: str) -> Mapping[str, Any]:
    """What the tables say of the question of an id."""
    table: Mapping[str, Any] = setting.talk.get(ABOUT, {}).get(name, {})
    return table


def by_rows(
    name: str, said: str, setting: Setting, choices: Sequence[AnswerChoice] = (), unit: str = ""
) -> Result | None:
    """What the first row of a question that stands in the line says of it; None where none does."""
    held = [
        (row, match)
        for row in about(setting, name).get("read", ())
        if (match := holds(row, said, setting)) is not None
    ]
    if not held:
        return None
    row, match = held[0]
    if "is" in row and not row.get("firm") and no_answer(said, setting):
        return NotUnderstood("")
    if "is" in row:
        apart = [one for one, where in held if "is" in one and not _touches(match, where)]
        values = [row["is"], *(one["is"] for one in apart)]
        if any(value != values[0] for value in values):
            # Two things were said that mean different answers: none of them is taken.
            distinct = [value for at, value in enumerate(values) if value not in values[:at]]
            return AskBack(_both(setting), tuple(Reading(shown(v, choices, unit), v) for v in distinct[:4]))
    return _meant(row, match, setting, choices, unit)


def _touches(one: re.Match[str], other: re.Match[str]) -> bool:
    return one.start() < other.end() and other.start() < one.end()


def _both(setting: Setting) -> str:
    return str(rows(setting, "miss").get("both", ""))


def holds(row: Mapping[str, Any], said: str, setting: Setting) -> re.Match[str] | None:
    """Where the words of a row stand in a line that is said plainly, if it holds here at all."""
    countries = row.get("countries")
    if countries is not None and (setting.country or "") not in countries:
        return None
    match = found(row["when"], said)
    if match is None or (row.get("whole") and match[0] != said):
        return None
    if "unless" in row and found(row["unless"], said):
        return None
    return None if "is" in row and _denied(said[: match.start()], setting) else match


def _denied(before: str, setting: Setting) -> bool:
    """Whether the words straight before a name take it away, in its own clause."""
    table = rows(setting, "no-answer")
    clause = re.split(r"[,;.!?]|\bbut\b", before)[-1]
    if found(table.get("denies-not", _NEVER), clause):
        return False
    return re.search(rf"\b(?:{table.get('denies', _NEVER)}) $", clause) is not None


def all_rows(listed: Sequence[Mapping[str, Any]], text: str, setting: Setting) -> Iterator[Mapping[str, Any]]:
    """The rows that hold of a line, in the order in which they are said."""
    said = said_plainly(text)
    places = [(match.start(), at) for at, row in enumerate(listed) if (match := holds(row, said, setting))]
    yield from (listed[at] for _, at in sorted(places))


def _meant(
    row: Mapping[str, Any],
    match: re.Match[str],
    setting: Setting,
    choices: Sequence[AnswerChoice],
    unit: str,
) -> Result:
    also, note = row.get("also", {}), row.get("note", "")
    if row.get("unknown"):
        return Unknown(also, note)
    if "back" in row:
        readings = tuple(Reading(shown(value, choices, unit), value) for value in row.get("or", ()))
        return AskBack(row["back"], (*readings, _OTHER) if len(readings) == 1 else readings, also=also)
    if "from" in row:
        return _reckoned(row["from"], match, setting)
    return Understood(row["is"], note, also)


def shown(value: Any, choices: Sequence[AnswerChoice], unit: str = "") -> str:
    """The words by which a question shows a value."""
    for choice in choices:
        if value in (choice.value, [choice.value]):
            return choice.shown
    return say_value(value, unit)


def _reckoned(way: str, match: re.Match[str], setting: Setting) -> Result:
    """What is counted in days of the week: those since a weekday, or from one to the next."""
    if way == "weekday":
        named = _NAMES.get(match["weekday"], match["weekday"])
        return Understood((setting.today.weekday() - NAMES.index(named)) % 7 or 7)
    first, last = (NAMES.index(_NAMES.get(match[end], match[end])) for end in ("a", "b"))
    days = (last - first) % 7 or 7
    if way == "weekdays":
        return Understood(days, f"I take {days} days.")
    return Understood(min(days, 2) * 24)
