"""Cleaning what people type: no escape codes, no control characters, bounded length, one spelling for the grammar."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

LONGEST: Final = 400
_RAW_LONGEST: Final = 4000
_ESCAPES: Final = re.compile(
    r"(?:\x1b\]|\x9d)[^\x07\x1b\x9c]*(?:\x07|\x1b\\|\x9c)?"  # operating system commands: titles, links
    r"|(?:\x1b[PX^_]|[\x90\x98\x9e\x9f])[^\x1b\x9c]*(?:\x1b\\|\x9c)?"  # device strings
    r"|(?:\x1b\[|\x9b)[0-?]*[ -/]*[@-~]?"  # cursor, colour, erase
    r"|\x1b[ -/]*[0-~]?"
)
_DROPPED: Final = frozenset({"Cc", "Cf", "Cs", "Co", "Cn"})
_SAME: Final = str.maketrans(
    {
        "’": "'", "‘": "'", "ʼ": "'", "′": "'", "″": '"', "“": '"', "”": '"', "–": "-", "—": "-", "‒": "-", "−": "-",
        "‐": "-", "‑": "-", "×": "x", "✕": "x", "⁄": "/", "∕": "/", "…": " ",
    }
)  # fmt: skip
_ASCII: Final = {
    "°": " deg ", "²": "2", "³": "3", "×": "x", "·": "-", "•": "-", "–": "-", "—": "-", "−": "-", "’": "'", "‘": "'",
    "“": '"', "”": '"', "…": "...", "€": "EUR ", "£": "GBP ", "✓": "ok", "✔": "ok", "✗": "no", "✘": "no", "→": "->",
    "≤": "<=", "≥": ">=", "ß": "ss", "ø": "o", "Ø": "O", "æ": "ae", "Æ": "AE", "ł": "l", "Ł": "L", "½": "1/2",
    "¼": "1/4", "¾": "3/4", "█": "#", "▓": "#", "▒": "=", "░": "-", "│": "|", "─": "-", "▲": "^", "▼": "v", "■": "#",
}  # fmt: skip


def clean(line: str) -> str:
    """What was typed, as one line of plain text of at most LONGEST characters."""
    text = _ESCAPES.sub(" ", line[:_RAW_LONGEST])
    kept = (" " if letter.isspace() else letter for letter in text)
    text = "".join(letter for letter in kept if unicodedata.category(letter) not in _DROPPED)
    return " ".join(unicodedata.normalize("NFC", text).split())[:LONGEST].strip()


def too_long(line: str) -> bool:
    """Whether `line` holds more than the talk reads."""
    return len(line.strip()) > LONGEST


def fold(text: str) -> str:
    """`text` in the one spelling that the grammar reads: small letters, plain quotes and dashes, 1/2 for ½."""
    letters: list[str] = []
    for letter in text.translate(_SAME):
        if unicodedata.category(letter) == "No" and letters and letters[-1][-1:].isdigit():
            letters.append(" " if "⁄" in unicodedata.normalize("NFKC", letter) else "^")
        letters.append(letter)
    folded = unicodedata.normalize("NFKC", "".join(letters)).casefold().translate(_SAME)
    return " ".join(folded.split())[: 2 * LONGEST]


def to_ascii(text: str) -> str:
    """`text` with ASCII letters only, for terminals and files of another encoding; lines stay lines."""
    if text.isascii():
        return text
    out: list[str] = []
    for letter in text:
        if letter.isascii():
            out.append(letter)
        elif letter in _ASCII:
            out.append(_ASCII[letter])
        else:
            simple = unicodedata.normalize("NFKD", letter).encode("ascii", "ignore").decode("ascii")
            out.append(simple or ("" if unicodedata.category(letter).startswith(("M", "C")) else "?"))
    return "".join(out).replace(" deg C", " deg C").replace("  deg", " deg")


def spaced(text: str) -> frozenset[str]:
    """The words of a list that is written with spaces between them."""
    return frozenset(text.split())


def words(text: str) -> list[str]:
    """The words of folded text; inner hyphens part words, apostrophes stay."""
    return re.findall(r"[^\W_]+(?:'[^\W_]+)*", fold(text))
