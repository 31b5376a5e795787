"""The reading grade of a text by Flesch and Kincaid's formula (1975; read in an excerpt of a handbook of readability research)."""

from __future__ import annotations

import re


def syllables(word: str) -> int:
    """Groups of vowels; a last e counts only as in *little*."""
    return max(1, len(re.findall(r"[aeiouy]+", re.sub(r"(?<![^aeiouy]l)e$", "", word.lower()))))


def grade(text: str) -> float:
    """The school grade that a text asks for. A sentence ends with its stop or with its line; a colon ends none."""
    words = re.findall(r"[A-Za-z']+", text)
    sentences = max(1, len(re.findall(r"[.!?]+(?=\s|$)|[^.!?\s]\s*(?=\n|$)", text)))
    return 0.39 * len(words) / sentences + 11.8 * sum(map(syllables, words)) / len(words) - 15.59
