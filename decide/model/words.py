"""Words that every room shares: dates, lists, capitals, and text that any terminal can show."""

from __future__ import annotations

import re
import unicodedata
from typing import TYPE_CHECKING, Final

# The talk answers before the library is loaded, so words load none of it.
if TYPE_CHECKING:
    pass


# The caution that folders changed what dangers and duties rest on.
CHANGED: Final = "changed-knowledge"


_HIDDEN: Final = frozenset({"Cc", "Cf", "Cs", "Co", "Cn"})


_SPACES: Final = frozenset("\t\n\v\f\r\x1c\x1d\x1e\x85\u2028\u2029")


_ASCII: Final = {
    "°": " deg ", "²": "2", "³": "3", "×": "x", "·": "-", "•": "-", "–": "-", "—": "-", "−": "-", "’": "'",
    "‘": "'", "“": '"', "”": '"', "…": "...", "€": "EUR ", "£": "GBP ", "✓": "ok", "✔": "ok", "✗": "no",
    "✘": "no", "→": "->", "≤": "<=", "≥": ">=", "±": "+-", "ß": "ss", "ø": "o", "Ø": "O", "æ": "ae",
    "Æ": "AE", "ł": "l", "Ł": "L", "½": "1/2", "¼": "1/4", "¾": "3/4", "█": "#", "▓": "#", "▒": "=", "░": "-",
    "│": "|", "─": "-", "▲": "^", "▼": "v", "■": "#",
}  # fmt: skip


# Spaces beside the signs that bring one of their own.
_BESIDE: Final = re.compile(r"[ \u00a0](?=°)|(?<=[°€£])[ \u00a0]")


def capital(text: str) -> str:
    """The text with a capital at its head."""
    return text[:1].upper() + text[1:]


def first_sentence(text: str) -> str:
    """The first sentence of a text."""
    return re.split(r"(?<=[.!?])(?<!\bSt\.)\s", text, maxsplit=1)[0]


def printable(text: str) -> str:
    """The text without control characters, escapes, direction marks and the like; each break or tab becomes a
    space.
    """
    if text.isprintable():
        return text
    kept = (" " if letter in _SPACES else letter for letter in text)
    return "".join(letter for letter in kept if unicodedata.category(letter) not in _HIDDEN)


def to_ascii(text: str) -> str:
    """The text in ASCII letters only, for terminals and files of another encoding; lines stay lines."""
    if text.isascii():
        return text
    out: list[str] = []
    for letter in _BESIDE.sub("", text):
        said = letter if letter.isascii() else _ASCII.get(letter)
        if said is None:
            said = unicodedata.normalize("NFKD", letter).encode("ascii", "ignore").decode("ascii")
            said = said or ("" if unicodedata.category(letter).startswith(("M", "C")) else "?")
        out.append(said)
    return "".join(out)
