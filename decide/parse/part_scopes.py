"""The parts of a field that a message names, and which of them a word of a clause is about."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from decide.parse.message_text import Clause, pattern

WHOLE: Final = "whole field"
_FIELD_WIDE: Final = frozenset({"zone.grass", "zone.weeds_percent"})


@dataclass(frozen=True)
class Part:
    """A part of the field where it is named: its clause, the place in it, and the name."""

    clause: Clause
    start: int
    end: int
    name: str


@dataclass(frozen=True)
class _Piece:
    """A stretch of a clause between two words that join, with the parts that it names."""

    start: int
    end: int
    parts: tuple[Part, ...]
    state: bool  # whether it says of itself how the ground is


@dataclass(frozen=True)
class Parts:
    """The parts that a message is about, in the order in which they are named."""

    named: tuple[Part, ...] = ()
    well: frozenset[int] = frozenset()  # where clauses begin that name other parts only
    elsewhere: frozenset[int] = frozenset()  # where clauses begin that speak of a place of their own
    said: tuple[Part, ...] = ()  # every part that is named, bad or not
    listed: frozenset[int] = frozenset()  # where clauses begin that hold names of parts and nothing more
    state: Mapping[str, Any] = field(default_factory=dict)  # words that say how a part is, and that join

    @property
    def names(self) -> tuple[str, ...]:
        """Each name once."""
        return tuple(dict.fromkeys(part.name for part in self.named))

    def names_at(self, clause: Clause, place: int) -> bool:
        """Whether a place in a clause is within the name of a part."""
        here = (part for part in (*self.said, *self.named) if part.clause.start == clause.start)
        return any(part.name != WHOLE and part.start <= place < part.end for part in here)

    def beside(self, clause: Clause) -> str:
        """The words of a clause without the names of parts in it."""
        letters = enumerate(clause.text)
        return "".join(" " if self.names_at(clause, place) else letter for place, letter in letters)

    def at(self, clause: Clause, key: str, place: int | None = None) -> tuple[str | None, ...]:
        """The parts that a fact of a clause is about, of those beside its `place` in it where that is given;
        None stands for the field as a whole.
        """
        here = self._of(clause)
        if here:
            return _once(here if place is None else self._about(clause, here, place))
        if clause.start in self.well or (self.named and clause.start in self.elsewhere):
            return ()
        if key in _FIELD_WIDE:
            return self.names or (None,)
        ahead = self._ahead(clause, clause.text)
        if ahead is not None:
            return (ahead.name,)
        same = [part for part in self.named if part.clause.sentence == clause.sentence]
        earlier = [part for part in same if part.clause.start < clause.start]
        if earlier:
            last = earlier[-1].clause
            return _once([*self._before(last), *self._of(last)])
        if same:
            return _once(self._of(same[0].clause))
        return self.names or (None,)

    def nearest(self, clause: Clause, place: int) -> Part | None:
        """The one part beside a place in a clause, or the last that its sentence named before; None where the
        sentence names none.
        """
        here = self._of(clause)
        if here:
            pieces = [piece for piece in self._pieces(clause, here) if piece.parts]
            mine = next((piece for piece in pieces if place < piece.end), pieces[-1])
            if place < mine.start:
                mine = next((piece for piece in reversed(pieces) if piece.end <= place), mine)
            behind = [part for part in mine.parts if part.end <= place]
            return behind[-1] if behind else mine.parts[0]
        same = [part for part in self.named if part.clause.sentence == clause.sentence]
        earlier = [part for part in same if part.clause.start < clause.start]
        return earlier[-1] if earlier else next(iter(same), None)

    def _of(self, clause: Clause) -> list[Part]:
        """The parts that a clause names, from left to right."""
        here = [part for part in self.named if part.clause.start == clause.start]
        return sorted(here, key=lambda part: part.start)

    def _about(self, clause: Clause, here: Sequence[Part], place: int) -> list[Part]:
        """The parts that the words at a place of a clause are about: those of the stretch in which it
        stands, and those that are only named before or after it.
        """
        pieces = list(self._pieces(clause, here))
        at = next((n for n, piece in enumerate(pieces) if place < piece.end), len(pieces) - 1)
        if not pieces[at].parts:
            text = clause.text[pieces[at].start : pieces[at].end]
            ends = at == len(pieces) - 1
            ahead = self._ahead(clause, text.lstrip()) if ends else None
            if ahead is not None:
                return [ahead]
            if pattern(*self.state["field"]).match(text.lstrip()):
                return []
            ways = [*range(at - 1, -1, -1), *range(at + 1, len(pieces))]
            at = next((n for n in ways if pieces[n].parts), at)
        first, last = at, at
        behind = place >= pieces[at].parts[-1].end
        while behind and first and pieces[first - 1].parts and not pieces[first - 1].state:
            first -= 1
        while last + 1 < len(pieces) and pieces[last + 1].parts and not pieces[last + 1].state:
            last += 1
        listed = self._before(clause) if behind and first == 0 else []
        return [*listed, *(part for piece in pieces[first : last + 1] for part in piece.parts)]

    def _pieces(self, clause: Clause, here: Sequence[Part]) -> Iterator[_Piece]:
        """A clause parted at the words that join, but for those within a name."""
        cuts = [
            match
            for match in pattern(*self.state["joins"]).finditer(clause.text)
            if not any(part.start <= match.start() < part.end for part in here)
        ]
        starts = [0, *(match.end() for match in cuts)]
        ends = [*(match.start() for match in cuts), len(clause.text)]
        for start, end in zip(starts, ends, strict=True):
            text = clause.text[start:end]
            if not text.strip():
                continue
            inside = tuple(part for part in here if start <= part.start < end)
            bad = pattern(*self.state["bad"]).search(text) or re.search(
                r"\d\s?(?:%|per ?cent|pct|m|x|by|sq|y|f|ac|ha)", text
            )
            yield _Piece(start, end, inside, bool(bad))

    def _before(self, clause: Clause) -> list[Part]:
        """The parts of the clauses straight before one that hold nothing but names: they head its list."""
        starts = sorted({part.clause.start for part in self.named if part.clause.sentence == clause.sentence})
        out: list[Part] = []
        for start in reversed([one for one in starts if one < clause.start]):
            if start not in self.listed:
                break
            out = [*(part for part in self.named if part.clause.start == start), *out]
        return out

    def _ahead(self, clause: Clause, text: str) -> Part | None:
        """The part of the next clause, where a text only begins to tell of it: "a shaded, mossy corner"."""
        if pattern(*self.state["begins"]).match(text) is None or len(text.split()) > self.state["begun"]:
            return None
        same = [part for part in self.named if part.clause.sentence == clause.sentence]
        return next((part for part in same if part.clause.start > clause.start), None)


def _once(parts: Sequence[Part]) -> tuple[str, ...]:
    """The names of some parts, each once."""
    return tuple(dict.fromkeys(part.name for part in parts))
