"""What the readers of changed words share: the situation as answers, and the words that open a wish."""

from __future__ import annotations

import re
from typing import Any, Final

from decide.decision.diagnosis import Diagnosis
from decide.parse.results import Setting
from decide.questions.answers import as_answers

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
    """The diagnosis that words would change, its situation as answers, and how what is said here is read."""

    def __init__(self, c: Diagnosis) -> None:
        self.c = c
        self.answers = as_answers(c.filled.situation)
        tables = c.book.library.tables
        self.setting = Setting(
            c.filled.today,
            hemisphere=c.filled.hemisphere or None,
            country=c.filled.country or None,
            units=c.system,
            find_place=lambda name: [
                {
                    "name": place.name,
                    "country": place.country.lower(),
                    "region": place.region_name or place.region,
                    "latitude": round(place.latitude, 2),
                    "longitude": round(place.longitude, 2),
                    "say": place.label,
                    "near": place.near,
                }
                for place in tables.find_places(name, most=6)
            ],
        )
