"""A second opinion on what a question asks: the intents that labelled sentences speak for.

A question has marks: its words and pairs of words, runs of letters (a slip of the finger leaves most of
them), and the classes of names that stand in it. What is rare counts more (tf-idf). How often a mark is in
the sentences of an intent says how much it speaks for it (multinomial naive Bayes); how near the nearest of
them is (cosine) says whether such words are known at all.
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
# What words, runs of letters and classes of names count; what a mark that no sentence of an intent has counts
# for it; and how much sharper the beliefs are than the marks say. Set by leaving out one labelled sentence
# after the other (tests/said/left_out.py).
_WEIGHTS: Final = (1.0, 0.3, 0.3)
_UNSEEN: Final = 0.05
_SHARPER: Final = 2.0
_RUN: Final = 4

_Marks = tuple[list[str], list[str], list[str]]


@dataclass(frozen=True)
class Near:
    """What the examples say of a question: how likely each intent is (together 1), how near the nearest
    sentence is (0 to 1), and its intent.
    """

    shares: Mapping[str, float]
    nearest: float
    intent: str = ""

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
        self._held: dict[str, dict[str, float]] = {}
        self._whole: dict[str, float] = {}
        for intent, each in zip(self.intents, marks, strict=True):
            for mark, count in self._counts(each).items():
                held = self._held.setdefault(mark, {})
                held[intent] = held.get(intent, 0.0) + count
                self._whole[intent] = self._whole.get(intent, 0.0) + count

    def near(self, text: str, *, leave_out: bool = False) -> Near:
        """What the sentences say of a text; `leave_out` passes over the same words among them."""
        words = self._written_out(text)
        marks = self._marks(words)
        total: dict[int, float] = {}
        for weight, kind, each in zip(_WEIGHTS, self._kinds, marks, strict=True):
            for at, cosine in kind.cosines(each).items():
                total[at] = total.get(at, 0.0) + weight * cosine
        out = Counter(self.intents[at] for at in total if self.said[at] == words) if leave_out else Counter()
        if leave_out:
            total = {at: one for at, one in total.items() if self.said[at] != words}
        if not total:
            return Near({}, 0.0)
        at = min(total, key=lambda at: (-total[at], at))
        return Near(self._beliefs(self._counts(marks), out), total[at] / sum(_WEIGHTS), self.intents[at])

    def _beliefs(self, counts: Mapping[str, float], out: Mapping[str, int]) -> dict[str, float]:
        """How likely each intent is, without so many sentences with the very same marks as are left `out`."""
        every = sum(counts.values())
        none = _UNSEEN * len(self._held)
        logs = {
            intent: -every * math.log(whole - out.get(intent, 0) * every + none)
            for intent, whole in self._whole.items()
        }
        for mark, count in counts.items():
            for intent, held in self._held.get(mark, {}).items():
                kept = max(0.0, held - out.get(intent, 0) * count)
                logs[intent] += count * math.log((kept + _UNSEEN) / _UNSEEN)
        most = max(logs.values())
        raised = {intent: math.exp(_SHARPER * (one - most)) for intent, one in logs.items()}
        whole = sum(raised.values())
        return {intent: one / whole for intent, one in raised.items()}

    def _counts(self, marks: _Marks) -> dict[str, float]:
        """What each mark of a sentence counts; marks of one kind together have the length of its weight."""
        return {
            f"{at} {mark}": weight * one
            for at, (weight, kind, each) in enumerate(zip(_WEIGHTS, self._kinds, marks, strict=True))
            for mark, one in kind.weighed(each).items()
        }

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
            for mark, weight in self.weighed(row).items():
                self._by_mark[mark].append((at, weight))

    def cosines(self, marks: Sequence[str]) -> dict[int, float]:
        """How near each sentence is that has a mark in common."""
        out: dict[int, float] = {}
        for mark, weight in self.weighed(marks).items():
            for at, other in self._by_mark.get(mark, ()):
                out[at] = out.get(at, 0.0) + weight * other
        return out

    def weighed(self, marks: Sequence[str]) -> dict[str, float]:
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
