"""A second opinion on what a question asks: the intents of the sentences that are nearest to it.

Sentences are compared by words and pairs of words, by runs of letters (a slip of the finger leaves most of
them), and by the classes of names that stand in them. What is rare counts more (tf-idf), and nearness is the
cosine.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from decide.parse.asking import Asking, make_asking
from decide.parse.phrases import NUMBER, Phrase
from decide.parse.plain import fold
from decide.parse.speech import Speech

_TABLE: Final = "asks-examples"
# What words, runs of letters and classes of names count; how many sentences speak, and how much more the
# nearest of them counts. Set by leaving one sentence out of all labelled ones (tests/said/left_out.py).
_WEIGHTS: Final = (1.0, 0.5, 0.3)
_SPEAK: Final = 20
_POWER: Final = 3
_RUN: Final = 4

_Marks = tuple[list[str], list[str], list[str]]


@dataclass(frozen=True)
class Near:
    """What the examples say of a question: the share of each intent in the nearest sentences (together 1),
    and how near the nearest sentence is (0 to 1).
    """

    shares: Mapping[str, float]
    nearest: float

    def ranked(self) -> list[str]:
        """The intents, the nearest first."""
        return sorted(self.shares, key=lambda intent: (-self.shares[intent], intent))


class Examples:
    """Labelled sentences, ready to be compared with."""

    def __init__(
        self, sentences: Mapping[str, Iterable[str]], written_out: Callable[[str], list[str]], names: Names
    ) -> None:
        self._written_out, self._names = written_out, names
        rows = [(intent, each) for intent, said in sentences.items() for each in said]
        self.intents = [intent for intent, _ in rows]
        self.said = [written_out(each) for _, each in rows]
        marks = [self._marks(each) for each in self.said]
        self._kinds = [_Kind([each[at] for each in marks]) for at in range(len(_WEIGHTS))]

    def near(self, text: str, *, leave_out: bool = False) -> Near:
        """What the nearest sentences say of a text; `leave_out` passes over the same words among them."""
        words = self._written_out(text)
        total: dict[int, float] = {}
        for weight, kind, marks in zip(_WEIGHTS, self._kinds, self._marks(words), strict=True):
            for at, cosine in kind.cosines(marks).items():
                total[at] = total.get(at, 0.0) + weight * cosine
        if leave_out:
            total = {at: one for at, one in total.items() if self.said[at] != words}
        best = sorted(total.items(), key=lambda one: (-one[1], one[0]))[:_SPEAK]
        shares: dict[str, float] = {}
        for at, one in best:
            intent = self.intents[at]
            shares[intent] = shares.get(intent, 0.0) + one**_POWER
        whole = sum(shares.values())
        nearest = best[0][1] / sum(_WEIGHTS) if best else 0.0
        return Near({intent: one / whole for intent, one in shares.items()} if whole else {}, nearest)

    def _marks(self, words: Sequence[str]) -> _Marks:
        pairs = [f"{one} {two}" for one, two in zip(("^", *words), (*words, "$"), strict=True)]
        runs = [run for word in words for run in _runs(word)]
        return [*words, *pairs], runs, [name for word in words for name in self._names.of(word)]


class _Kind:
    """One kind of marks of all sentences, each with its weight, by mark."""

    def __init__(self, rows: Sequence[Sequence[str]]) -> None:
        held = Counter(mark for row in rows for mark in set(row))
        self._rare = {mark: math.log((1 + len(rows)) / (1 + n)) + 1 for mark, n in held.items()}
        self._rarest = math.log(1 + len(rows)) + 1
        self._by_mark: dict[str, list[tuple[int, float]]] = {mark: [] for mark in held}
        for at, row in enumerate(rows):
            for mark, weight in self._weighed(row).items():
                self._by_mark[mark].append((at, weight))

    def cosines(self, marks: Sequence[str]) -> dict[int, float]:
        """How near each sentence is that has a mark in common."""
        out: dict[int, float] = {}
        for mark, weight in self._weighed(marks).items():
            for at, other in self._by_mark.get(mark, ()):
                out[at] = out.get(at, 0.0) + weight * other
        return out

    def _weighed(self, marks: Sequence[str]) -> dict[str, float]:
        """The weights of a sentence's marks, together of length 1; one said twice counts a little more."""
        row: dict[str, float] = {}
        for mark in marks:
            rare = self._rare.get(mark, self._rarest)
            row[mark] = rare if mark not in row else row[mark] + rare / 2
        length = math.sqrt(sum(weight * weight for weight in row.values())) or 1.0
        return {mark: weight / length for mark, weight in row.items()}


class Names:
    """The classes of names that a single word belongs to."""

    def __init__(self, classes: Mapping[str, Sequence[Phrase]]) -> None:
        self._of: dict[str, set[str]] = {}
        self._begins: dict[str, set[str]] = {}
        self._found: dict[str, tuple[str, ...]] = {}
        for name, said in classes.items():
            for kind, text in (one for each in said for one in _single(each)):
                (self._of if kind == "word" else self._begins).setdefault(text, set()).add(name)

    def of(self, word: str) -> tuple[str, ...]:
        """The classes of a word, in order."""
        if word not in self._found:
            found = set(self._of.get(word, ()))
            for at in range(1, len(word) + 1):
                found |= self._begins.get(word[:at], set())
            if word[:1].isdigit():
                found.add(NUMBER)
            self._found[word] = tuple(sorted(found))
        return self._found[word]


def _single(said: Phrase) -> Iterable[tuple[str, str]]:
    """The words that are a whole phrase by themselves, or their beginnings."""
    if len(said) == 1:
        piece = said[0]
        if piece.kind in ("word", "begins") and piece.text:
            yield piece.kind, piece.text
        for inner in piece.inner:
            yield from _single(inner)


def _runs(word: str) -> list[str]:
    padded = f" {word} "
    return [padded[at : at + _RUN] for at in range(max(1, len(padded) - _RUN + 1))]


def make_examples(speech: Speech) -> Examples:
    """The example sentences of the tables, made ready for comparing."""
    asking = speech.ready("asking", make_asking)
    sentences = {intent: str(said).splitlines() for intent, said in speech.table(_TABLE).items()}
    said = {intent: [each for each in rows if each.strip()] for intent, rows in sentences.items()}
    return Examples(said, lambda text: _words(asking, text), Names(asking.vocabulary.classes))


def _words(asking: Asking, text: str) -> list[str]:
    """The words of a text with shortenings written out; slips stay, for the examples have their own."""
    found = re.findall(r"[0-9]+(?:[.,/][0-9]+)*|[a-z0-9]+(?:'[a-z]+)?", fold(text))
    return [each for word in found for each in asking.written_out(word)]
