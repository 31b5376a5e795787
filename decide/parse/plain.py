"""Cleaning what people type: no escape codes, no control characters, bounded length, one spelling for the
grammar.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from decide.model.words import printable

LONGEST: Final = 2000
_RAW_LONGEST: Final = 8000
_ESCAPES: Final = re.compile(
    r"(?:\x1b\]|\x9d)[^\x07\x1b\x9c]*(?:\x07|\x1b\\|\x9c)?"  # operating system commands: titles, links
    r"|(?:\x1b[PX^_]|[\x90\x98\x9e\x9f])[^\x1b\x9c]*(?:\x1b\\|\x9c)?"  # device strings
    r"|(?:\x1b\[|\x9b)[0-?]*[ -/]*[@-~]?"  # cursor, colour, erase
    r"|\x1b[ -/]*[0-~]?"
)
_SAME: Final = str.maketrans(
    {
        "’": "'", "‘": "'", "ʼ": "'", "′": "'", "″": '"', "“": '"', "”": '"', "–": "-", "—": "-", "‒": "-",
        "−": "-", "‐": "-", "‑": "-", "×": "x", "✕": "x", "⁄": "/", "∕": "/", "…": " ",
    }
)  # fmt: skip


def clean(line: str) -> str:
    """What was typed, as one line of plain text of at most LONGEST characters."""
    text = line[:_RAW_LONGEST]
    if not text.isprintable():
        text = _ESCAPES.sub(" ", text)
        text = printable("".join(" " if letter.isspace() else letter for letter in text))
    return " ".join(unicodedata.normalize("NFC", text).split())[:LONGEST].strip()


def bare(text: str) -> str:
    """`text` without what no terminal shows, line by line."""
    if text.isprintable():
        return text
    return "\n".join(line if line.isprintable() else clean(line) for line in text.split("\n"))


def too_long(line: str) -> bool:
    """Whether `line` holds more than the talk reads."""
    return len(line.strip()) > LONGEST


def fold(text: str) -> str:
    """`text` in the one spelling that the grammar reads: small letters, plain quotes and dashes, 1/2 for
    ½.
    """
    if text.isascii():
        return " ".join(text.lower().split())[: 2 * LONGEST]
    letters: list[str] = []
    for letter in text.translate(_SAME):
        if unicodedata.category(letter) == "No" and letters and letters[-1][-1:].isdigit():
            letters.append(" " if "⁄" in unicodedata.normalize("NFKC", letter) else "^")
        letters.append(letter)
    folded = unicodedata.normalize("NFKC", "".join(letters)).casefold().translate(_SAME)
    return " ".join(folded.split())[: 2 * LONGEST]


def spaced(text: str) -> frozenset[str]:
    """The words of a list that is written with spaces between them."""
    return frozenset(text.split())


def words(text: str) -> list[str]:
    """The words of folded text; inner hyphens part words, apostrophes stay."""
    return re.findall(r"[^\W_]+(?:'[^\W_]+)*", fold(text))
