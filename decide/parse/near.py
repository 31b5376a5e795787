"""Which of many words are spelled nearly like one; what has too few letters in common is not compared."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Sequence
from typing import Final

# So often a letter is counted by itself; what is over counts with the letters that are no ASCII.
_MOST: Final = 4
_FIRST, _LAST = 32, 127


class Near:
    """Words, or short runs of words, to find near spellings among."""

    def __init__(self, words: Sequence[str]) -> None:
        self._words = words
        self._letters = [(len(word), *_letters(word)) for word in words]

    def __len__(self) -> int:
        return len(self._words)

    def close(self, word: str, least: float) -> str | None:
        """The word that is most like another and at least so like; None where none is."""
        near = [self._words[at] for at in self._may_be(word, least)]
        close = difflib.get_close_matches(word, near, n=1, cutoff=least)
        return close[0] if close else None

    def ratios(self, word: str, least: float) -> Iterator[tuple[float, int]]:
        """How like the words are that may be at least so like, with their places."""
        for at in self._may_be(word, least):
            yield difflib.SequenceMatcher(None, word, self._words[at]).ratio(), at

    def _may_be(self, word: str, least: float) -> Iterator[int]:
        """The places of the words that have enough letters in common, in whatever order these stand."""
        length, letters, others = len(word), *_letters(word)
        for at, (own, its, more) in enumerate(self._letters):
            common = (letters & its).bit_count() + min(others, more)
            if 2.0 * common >= least * (length + own):
                yield at


def _letters(word: str) -> tuple[int, int]:
    """The letters of a word as bits, one each time that one stands there, and how many are not among them."""
    bits = others = 0
    seen: dict[str, int] = {}
    for letter in word:
        times = seen[letter] = seen.get(letter, -1) + 1
        if times < _MOST and _FIRST <= ord(letter) < _LAST:
            bits |= 1 << (ord(letter) - _FIRST) * _MOST + times
        else:
            others += 1
    return bits, others
