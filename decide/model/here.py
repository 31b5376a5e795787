"""Says a text in the words of a reader's country: turf or sod, couch or bermudagrass, fall or autumn."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from functools import cache

from decide.model.words import capital


def said_here(words: Mapping[str, str], own: Iterable[str] = ()) -> Callable[[str], str]:
    """What puts the words of a country in place of those that the texts are written with; `own` are the
    person's own words, which stay as they are.
    """
    if not words:
        return lambda text: text
    kept = [re.escape(word) for word in sorted(own, key=len, reverse=True) if word]
    told = [re.escape(word) for word in sorted(words, key=len, reverse=True)]
    found = re.compile(
        rf"(?<![\w-])(?:{'(?:' + '|'.join(kept) + ')|' if kept else ''}({'|'.join(told)}))(?![\w-])",
        re.IGNORECASE,
    )
    by_small: Mapping[str, tuple[str, str]] = {word.lower(): (word, said) for word, said in words.items()}

    def one(match: re.Match[str]) -> str:
        if match[1] is None:
            return match[0]
        word, said = by_small[match[1].lower()]
        # A name of a grass has a capital wherever it stands, what it is called here only at the head.
        raised = match[1][0].isupper() and (word[0].islower() or _at_head(match))
        return capital(said) if raised else said

    return cache(lambda text: found.sub(one, text))


def _at_head(match: re.Match[str]) -> bool:
    """Whether the word opens a sentence or a line."""
    before = match.string[: match.start()].rstrip(" ")
    return not before or before[-1] in ".!?:\n-("
