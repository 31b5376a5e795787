"""The reading grade of a text by Flesch and Kincaid's formula (1975, from memory), syllables counted by groups of vowels."""

from __future__ import annotations

import re


def _syllables(word: str) -> int:
    return max(1, len(re.findall(r"[aeiouy]+", re.sub(r"e$", "", word.lower()))))


def grade(text: str) -> float:
    """The school grade that a text asks for. A sentence ends with its stop or with its line; a colon ends none."""
    words = re.findall(r"[A-Za-z']+", text)
    sentences = max(1, len(re.findall(r"[.!?]+(?=\s|$)|[^.!?\s]\s*(?=\n|$)", text)))
    return 0.39 * len(words) / sentences + 11.8 * sum(map(_syllables, words)) / len(words) - 15.59
