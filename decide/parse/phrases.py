"""A small language of phrases for vocabulary that stands as data, and the search for them in a line."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final, TypeVar

from decide.model.errors import KnowledgeError

# How many words a gap may pass over, and how many a name that is asked for may have.
_GAP: Final = 7
_LONGEST_NAME: Final = 6
# What a word, a small word and an end of the line weigh where phrases compete.
_WORD: Final = 1.0
_SMALL: Final = 0.25
_END: Final = 0.5
# The class that has every figure besides the words that it lists.
NUMBER: Final = "number"
_PARTS: Final = re.compile(r"\.\.\.|[()|^$]|\{[a-z0-9_-]+\}|<[a-z_]+>|[^\s()|^${}<>]+")


@dataclass(frozen=True)
class Piece:
    """One piece of a phrase: a word, a class, a gap, a name to be caught, an end of the line, or one of
    several.
    """

    kind: str
    text: str = ""
    inner: tuple[tuple[Piece, ...], ...] = ()


Phrase = tuple[Piece, ...]
_Row = TypeVar("_Row")


def phrase(text: str, where: str = "") -> Phrase:
    """A phrase as it is written in the tables.

    Words stand for themselves ("sow*" for all that begin so); "{mow}" is one of a class; "..." passes over a
    few words; "<word>" catches some; "(a|b c|)" is one of several or nothing; "^" and "$" are the ends.
    """
    parts = _PARTS.findall(text)
    found, rest = _sequence(parts, 0, where, text)
    if rest != len(parts) or not found:
        raise KnowledgeError(f"the phrase {text!r} has a bracket too many or is empty", where=where)
    return found


def _sequence(parts: Sequence[str], at: int, where: str, text: str) -> tuple[Phrase, int]:
    out: list[Piece] = []
    while at < len(parts) and parts[at] not in ("|", ")"):
        part = parts[at]
        at += 1
        if part == "(":
            inner: list[Phrase] = []
            while True:
                one, at = _sequence(parts, at, where, text)
                inner.append(one)
                if at >= len(parts):
                    raise KnowledgeError(f"the phrase {text!r} lacks a closing bracket", where=where)
                at += 1
                if parts[at - 1] == ")":
                    break
            out.append(Piece("any", inner=tuple(inner)))
        else:
            out.append(_piece(part))
    return tuple(out), at


@lru_cache(maxsize=4096)
def _piece(part: str) -> Piece:
    """A piece without others in it: the same few thousand make up all phrases."""
    if part == "...":
        return Piece("gap")
    if part in "^$":
        return Piece("start" if part == "^" else "end")
    if part[0] == "{":
        return Piece("class", part[1:-1])
    if part[0] == "<":
        return Piece("name", part[1:-1])
    if part.endswith("*"):
        return Piece("begins", part[:-1].lower())
    return Piece("word", part.lower())


class Vocabulary:
    """Classes of phrases by the words that they may begin with, and the small words that weigh little."""

    def __init__(self, classes: Mapping[str, Iterable[str]], small: Iterable[str] = ()) -> None:
        self.small = frozenset(small)
        self.classes = {name: tuple(phrase(each, name) for each in said) for name, said in classes.items()}
        self._heads: dict[str, frozenset[str] | None] = {}
        self._ways: dict[int, tuple[Piece, Mapping[str, tuple[Phrase, ...]]]] = {}
        self.first = {name: self.by_head((one, one) for one in said) for name, said in self.classes.items()}

    def ways(self, piece: Piece) -> Mapping[str, tuple[Phrase, ...]]:
        """What a piece may be, by the words that it may begin with."""
        if id(piece) not in self._ways:
            # The piece is kept with its table: an id is its own only as long as the piece lives.
            self._ways[id(piece)] = (piece, self.by_head((inner, inner) for inner in piece.inner))
        return self._ways[id(piece)][1]

    def by_head(self, rows: Iterable[tuple[Phrase, _Row]]) -> dict[str, tuple[_Row, ...]]:
        """Rows by each word that their phrase may begin with, under "" where that may be any word."""
        out: dict[str, list[_Row]] = {}
        for said, row in rows:
            heads = self.heads(said)
            for head in [""] if heads is None else heads:
                out.setdefault(head, []).append(row)
        return {head: tuple(found) for head, found in out.items()}

    def heads(self, said: Phrase) -> frozenset[str] | None:
        """The words that a phrase may begin with; None where it may begin with any."""
        out: frozenset[str] = frozenset()
        for piece in said:
            if piece.kind == "start":
                continue
            if piece.kind == "word":
                return out | {piece.text}
            if piece.kind == "class":
                found = self._heads_of(piece.text)
                return None if found is None else out | found
            if piece.kind != "any":
                return None
            empty = False
            for inner in piece.inner:
                found = self.heads(inner) if inner else frozenset()
                if found is None:
                    return None
                empty = empty or not inner
                out |= found
            if not empty:
                return out
        return None

    def _heads_of(self, name: str) -> frozenset[str] | None:
        if name == NUMBER:
            return None
        if name not in self.classes:
            raise KnowledgeError(f"a phrase names the class {name!r}, which is not there")
        if name not in self._heads:
            self._heads[name] = None
            found = [self.heads(each) for each in self.classes[name]]
            self._heads[name] = (
                None if None in found else frozenset().union(*(each for each in found if each is not None))
            )
        return self._heads[name]


@dataclass(frozen=True)
class Hit:
    """A phrase that was found: what it weighs, where it ends, and the words that it caught."""

    weight: float
    end: int
    names: Mapping[str, str] = field(default_factory=dict)


_Caught = tuple[tuple[str, int, int], ...]


class Line:
    """The words of a line, and what of a vocabulary stands in it; it may be said to begin at `starts`."""

    def __init__(self, words: Sequence[str], vocabulary: Vocabulary, starts: Iterable[int] = (0,)) -> None:
        self.words = tuple(words)
        self.vocabulary = vocabulary
        self._starts = frozenset(starts)
        self._here = frozenset(words)
        self._ends: dict[tuple[str, int], dict[int, float]] = {}
        self._anywhere: dict[str, bool] = {}

    def find(self, wanted: Phrase) -> Hit | None:
        """The heaviest place of a phrase; None where it is not in the line."""
        if not all(self._may_hold(piece) for piece in wanted):
            return None
        states: dict[int, tuple[float, _Caught]] = dict.fromkeys(range(len(self.words) + 1), (0.0, ()))
        for piece in wanted:
            states = self._after(piece, states)
            if not states:
                return None
        end, (weight, caught) = max(states.items(), key=lambda item: (item[1][0], -item[0]))
        return Hit(weight, end, {name: " ".join(self.words[a:b]) for name, a, b in caught})

    def weighs(self) -> float:
        """What all words of the line weigh."""
        return sum(map(self.weigh, range(len(self.words))))

    def weigh(self, at: int) -> float:
        """What the word at a place weighs."""
        return _SMALL if self.words[at] in self.vocabulary.small else _WORD

    def _may_hold(self, piece: Piece) -> bool:
        if piece.kind == "word":
            return piece.text in self._here
        return piece.kind != "class" or self.has(piece.text)

    def has(self, name: str) -> bool:
        """Whether some phrase of a class stands in the line."""
        if name not in self._anywhere:
            self._anywhere[name] = any(self.of_class(name, at) for at in range(len(self.words)))
        return self._anywhere[name]

    def _after(
        self, piece: Piece, states: Mapping[int, tuple[float, _Caught]]
    ) -> dict[int, tuple[float, _Caught]]:
        out: dict[int, tuple[float, _Caught]] = {}
        for at, (weight, caught) in states.items():
            for end, more in self._step(piece, at):
                now = (*caught, (piece.text, at, end)) if piece.kind == "name" else caught
                if end not in out or out[end][0] < weight + more:
                    out[end] = (weight + more, now)
        return out

    def _step(self, piece: Piece, at: int) -> Iterable[tuple[int, float]]:
        last = len(self.words)
        kind = piece.kind
        if kind in ("word", "begins"):
            if at == last:
                return ()
            word = self.words[at]
            same = word == piece.text if kind == "word" else word.startswith(piece.text)
            return ((at + 1, _SMALL if word in self.vocabulary.small else _WORD),) if same else ()
        if kind == "class":
            return self.of_class(piece.text, at).items()
        if kind == "gap":
            return [(end, 0.0) for end in range(at, min(at + _GAP, last) + 1)]
        if kind == "name":
            return [(end, 0.0) for end in range(at + 1, min(at + _LONGEST_NAME, last) + 1)]
        if kind == "start":
            return ((at, _END),) if at in self._starts else ()
        if kind == "end":
            return ((at, _END),) if at == last else ()
        table = self.vocabulary.ways(piece)
        out: dict[int, float] = {}
        for inner in (*(table.get(self.words[at], ()) if at < last else ()), *table.get("", ())):
            for end, weight in self.ends(inner, at).items():
                out[end] = max(out.get(end, 0.0), weight)
        return out.items()

    def ends(self, wanted: Phrase, at: int) -> dict[int, float]:
        """Where a phrase that begins at a word may end, and what it weighs."""
        states: dict[int, float] = {at: 0.0}
        for piece in wanted:
            after: dict[int, float] = {}
            for here, weight in states.items():
                for end, more in self._step(piece, here):
                    after[end] = max(after.get(end, 0.0), weight + more)
            if not after:
                return {}
            states = after
        return states

    def of_class(self, name: str, at: int) -> dict[int, float]:
        """Where phrases of a class that begin at a word end, and what they weigh."""
        key = (name, at)
        found = self._ends.get(key)
        if found is not None:
            return found
        found = self._ends[key] = {}
        table = self.vocabulary.first[name]
        word = self.words[at] if at < len(self.words) else ""
        if name == NUMBER and word[:1].isdigit():
            found[at + 1] = _WORD
        for wanted in (*table.get(word, ()), *(table.get("", ()) if word else ())):
            for end, weight in self.ends(wanted, at).items():
                found[end] = max(found.get(end, 0.0), weight)
        return found
