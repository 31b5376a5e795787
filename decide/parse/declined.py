"""What people tell that is understood and not judged here, by its code."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from decide.parse.speech import Speech
from decide.parse.vocabulary import found, said_plainly

TABLE: Final = "declined"
_NEVER: Final = r"(?!)"


def declined(text: str, speech: Speech) -> Iterator[tuple[str, str]]:
    """The codes of what a line tells and the situation has no place for, each once, with its words."""
    seen: set[str] = set()
    for sentence in re.split(r"[.;!?]+(?=\s|$)", text):
        said = " ".join(said_plainly(sentence).replace(",", " ").split())
        for code, row in speech.table(TABLE).items():
            match = found(row.get("when", _NEVER), said)
            if match is not None and code not in seen and not found(row.get("unless", _NEVER), said):
                seen.add(code)
                yield code, match[0]


def say_declined(code: str, speech: Speech) -> str:
    """What is said of it: that it is not judged, and what to do instead."""
    return str(speech.table(TABLE).get(code, {}).get("text", ""))
