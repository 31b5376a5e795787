"""Guess first: a decision of the story kept back, with the true answer among others, and a hint after a wrong
one.
"""

from __future__ import annotations

import random
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

CHOICES: Final = 4
_LETTERS: Final = "abcd"


@dataclass(frozen=True)
class Guess:
    """A decision to be guessed: the question, what may be the answer, which of it is true (its place in
    `choices`), what to look at after a wrong one, and the rules that decide it.
    """

    asks: str
    choices: tuple[str, ...]
    answer: int
    hint: str
    rules: tuple[str, ...] = ()

    @property
    def rows(self) -> list[tuple[str, str]]:
        """The choices with their letters."""
        return list(zip(_LETTERS, self.choices, strict=False))

    def said(self, answer: str) -> bool | None:
        """Whether a letter or number names the true one; None where it names none of them."""
        word = answer.strip().lower().rstrip(").")
        places = {
            **{letter: place for place, letter in enumerate(_LETTERS)},
            **{str(place + 1): place for place in range(CHOICES)},
        }
        place = places.get(word)
        return None if place is None or place >= len(self.choices) else place == self.answer


def drawn(
    seed: int, asks: str, right: str, wrong: Iterable[str], hint: str, rules: Iterable[str] = ()
) -> Guess | None:
    """A guess with the true answer among up to three others; None where there is nothing else to say.

    The same seed draws the same.
    """
    others = [each for each in dict.fromkeys(wrong) if each != right]
    if not others:
        return None
    draw = random.Random(f"{seed}/{asks}/{right}")
    choices = [right, *draw.sample(others, min(CHOICES - 1, len(others)))]
    draw.shuffle(choices)
    return Guess(asks, tuple(choices), choices.index(right), hint, tuple(dict.fromkeys(rules)))
