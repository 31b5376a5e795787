"""What the readers of changed words share: the answers before, and the words that open a wish."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Final

from decide.parse.results import DONT_KNOW, Setting
from decide.parse.speech import Speech

# The hours of every use are cut to so many a week; the uses themselves stay.
HOURS_OF_USE: Final = "use.hours_per_week"

# Changes and a note of what was taken for granted; None where the words are not those of the reader.
Found = tuple[dict[str, Any], str] | None
LEAD: Final = re.compile(
    r"^(?:(?:if|that|so|then|also|only|just|even|still|and|but|instead|say|well|perhaps|really|all)\s+)*"
    r"(?:(?:we|i|you|they|somebody|someone|one|people|it|there|this|that"
    r"|the (?:club|school|council|field|ground|pitch|soil|place|zone|part|answer))\b\s*)?"
    r"(?:(?:only|just|also|all|still|really|'d|'ve|would|might)\s+)*"
    r"(?:(?:had|have|has|got|get|gets|were|was|is|are|be|been|wasn't|weren't)\b\s*)?"
    r"(?:(?:only|just|also|about|around|got|at most|up to|made of|of|watered by|watered with)\s+)*"
)
CAN: Final = (
    r"(?:(?:we|i|you|they|somebody|someone|one)\s+)?"
    r"(?:(?:could|can|did|do|would|were able to|was able to|were to)\s+)?"
)
NOT: Final = (
    r"(?:(?:we|i|you|they|somebody|someone|nobody|one|it)\s+)?"
    r"(?:could not|couldn't|cannot|can't|did not|didn't|do not|don't|was not|wasn't|were not|weren't|is not"
    r"|isn't)"
)


class Reader:
    """What the readers of changed words lean on: the answers before, and how what is said here is read."""

    def __init__(self, answers: Mapping[str, Any], setting: Setting, speech: Speech) -> None:
        self.answers = answers
        self.setting = setting
        self.speech = speech
        rows = answers.get("zone")
        self.zones = {
            code_of(str(row["name"])): str(row["name"])
            for row in (rows if isinstance(rows, list) else ())
            if isinstance(row, Mapping) and row.get("name")
        }


def code_of(name: str) -> str:
    """The name of a part as it stands in a key: lower case, words joined by hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower().replace(".", "")).strip("-")


def told(answers: Mapping[str, Any], table: str, key: str) -> Any:
    """What was answered; None where nothing was, or that it is not known."""
    rows = answers.get(table)
    found = rows.get(key) if isinstance(rows, Mapping) else None
    return None if found == DONT_KNOW else found
