"""What a line takes back or does not mean: a word corrected in the same breath, a wish, a joke."""

from __future__ import annotations

import re
from typing import Final

from decide.parse.numbers import UNITS
from decide.parse.plain import fold
from decide.parse.results import Setting
from decide.parse.vocabulary import pattern_of, rows

_LEAD: Final = " .,;:-!"


def mended(text: str, setting: Setting) -> tuple[str, bool]:
    """The line from its last correction on, and whether it corrects: "1 Sept, sorry, I mean 1 Oct"."""
    said = fold(text).replace("'", "")
    matches = list(pattern_of(setting, "mend").finditer(said))
    for match in reversed(matches):
        before, after = said[: match.start()].strip(_LEAD), said[match.end() :].strip(_LEAD)
        if not after:
            continue
        if after in UNITS:
            # Only the unit is taken back: "a couple of inches, no, mm".
            kept = [word for word in before.split() if word.strip(".,") not in UNITS]
            return " ".join([*kept, after]), True
        return after, True
    return text, False


def no_answer(said: str, setting: Setting) -> bool:
    """Whether a line that is said plainly is no answer though it may hold the words of one."""
    asks = rows(setting, "no-answer").get("asks", r"(?!)")
    return pattern_of(setting, "no-answer").search(said) is not None or re.match(asks, said) is not None


def clauses(text: str) -> list[str]:
    """The clauses of a line: parted by full stops, commas, semicolons, and "but"."""
    parted = re.split(
        r"(?<!\d)[,;](?!\d{3}\b)|(?<=\d)[,;](?=\s)|[.!?](?=\s|$)|\s-+\s|\bbut\b|\bthough\b", fold(text)
    )
    return [clause for piece in parted if (clause := piece.strip(_LEAD))]
