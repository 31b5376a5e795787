"""Whether a formula over cells can hold: an exact search, which gives an example or,
by finding none, the proof.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Final

from decide.engine.language import Fact
from decide.knowledge.cells import UNKNOWN, All, Any, By, Formula, In, Space, bits
from decide.model.errors import KnowledgeError

# So many choices are tried for one question; where it is open then, the audit says so.
MOST_TRIES: Final = 20_000
# From here on it pays to look which choices have nothing to do with one another.
_MANY: Final = 50


class UndecidedError(KnowledgeError):
    """A question with too many choices to try them all."""


class _State:
    """The cells that each fact may still have, and what depends on two facts at once; `tries` counts the
    choices of the whole search.
    """

    __slots__ = ("masks", "pairs", "space", "tries")

    def __init__(
        self, space: Space, masks: dict[str, int], pairs: dict[str, list[By]], tries: list[int]
    ) -> None:
        self.space, self.masks, self.pairs, self.tries = space, masks, pairs, tries

    def copy(self) -> _State:
        self.tries[0] += 1
        if self.tries[0] > MOST_TRIES:
            raise UndecidedError(f"more than {MOST_TRIES} choices, too many to try all")
        pairs = {name: [*held] for name, held in self.pairs.items()}
        return _State(self.space, self.masks.copy(), pairs, self.tries)

    def mask(self, fact: str) -> int:
        held = self.masks.get(fact)
        if held is None:
            held = self.masks[fact] = self.space.in_range(fact)
        return held

    def narrow(self, fact: str, to: int) -> bool:
        """Keep of a fact's cells only some; False where a fact is left without any."""
        todo = [(fact, to)]
        while todo:
            name, mask = todo.pop()
            held = self.mask(name)
            left = held & mask
            if not left:
                return False
            if left != held:
                self.masks[name] = left
                for other, masks in self.space.ways.get(name, ()):
                    todo.append((other, _through(masks, left)))
                todo += (each for pair in self.pairs.get(name, ()) for each in self._both(pair))
        return True

    def _both(self, pair: By) -> Iterable[tuple[str, int]]:
        fact, index = self.mask(pair.fact), self.mask(pair.index)
        yield pair.fact, _through(pair.masks, index)
        yield pair.index, _fitting(pair.masks, fact)

    def add(self, pair: By) -> bool:
        """Take on what depends on two facts."""
        for name in (pair.fact, pair.index):
            self.pairs.setdefault(name, []).append(pair)
        return all(self.narrow(name, mask) for name, mask in self._both(pair))

    def may(self, formula: In | By) -> bool:
        """Whether a single comparison is not excluded yet."""
        if isinstance(formula, In):
            return bool(self.mask(formula.fact) & formula.mask)
        return bool(self.mask(formula.fact) & _through(formula.masks, self.mask(formula.index)))

    def must(self, formula: Formula) -> bool:
        """Whether a part holds already, as far as that is easily seen."""
        if isinstance(formula, In):
            return not self.mask(formula.fact) & ~formula.mask
        if isinstance(formula, All):
            return all(self.must(part) for part in formula.parts)
        if isinstance(formula, Any):
            return any(self.must(part) for part in formula.parts)
        return False


def _through(masks: Sequence[int], cells: int) -> int:
    held = 0
    for n in bits(cells):
        held |= masks[n]
    return held


def _fitting(masks: Sequence[int], fact: int) -> int:
    held = 0
    for n, mask in enumerate(masks):
        if mask & fact:
            held |= 1 << n
    return held


def model(space: Space, formulas: Sequence[Formula]) -> Mapping[str, Fact] | None:
    """Facts with which every one of `formulas` holds, those left out that need not be known; None where there
    are none, and then none can be: every cell of every fact was excluded. UndecidedError where that is too
    much.
    """
    found = _search(_State(space, {}, {}, [0]), [*formulas], [])
    return None if found is None else _example(found)


def possible(space: Space, formulas: Sequence[Formula]) -> bool:
    """Whether every one of `formulas` can hold at once."""
    return _search(_State(space, {}, {}, [0]), [*formulas], []) is not None


def _search(
    state: _State, todo: list[Formula], choices: list[Any], scope: frozenset[str] | None = None
) -> _State | None:
    """The state with all of some formulas and choices, where there is one; of facts that several comparisons
    share only those of a `scope` are settled.
    """
    left = _forced(state, todo, choices)
    if left is None:
        return None
    if not left:
        return _settled(state, scope)
    groups = _apart(state, left) if state.tries[0] > _MANY else []
    if len(groups) > 1:
        return _each_apart(state, groups, scope)
    parts, chosen = min(left, key=lambda each: len(each[0]))
    rest = [choice for _, choice in left if choice is not chosen]
    for part in parts:
        found = _search(state.copy(), [part], [*rest], scope)
        if found is not None:
            return found
        # What failed is excluded from what is tried next, where that is a set of cells.
        if isinstance(part, In) and not state.narrow(part.fact, ~part.mask):
            return None
    return None


def _each_apart(
    state: _State, groups: Iterable[tuple[frozenset[str], list[Any]]], scope: frozenset[str] | None
) -> _State | None:
    """What shares no fact, each by itself: else each failure of one would be met again for every way of
    another.
    """
    for facts, apart in groups:
        found = _search(state.copy(), [], apart, facts)
        if found is None:
            return None
        state = found
    return _settled(state, scope)


def _apart(
    state: _State, left: Sequence[tuple[Sequence[Formula], Any]]
) -> list[tuple[frozenset[str], list[Any]]]:
    """Choices in groups that have no open fact in common, by whatever way; each with its facts."""
    groups: list[tuple[set[str], list[Any]]] = []
    for parts, choice in left:
        facts, mine = _reached(state, {name for part in parts for name in _facts_in(part)}), [choice]
        for held, others in [*groups]:
            if not facts.isdisjoint(held):
                groups.remove((held, others))
                facts |= held
                mine = [*others, *mine]
        groups.append((facts, mine))
    return [(frozenset(facts), mine) for facts, mine in groups]


def _reached(state: _State, facts: Iterable[str]) -> set[str]:
    """Some facts with those that they narrow; what has one cell left narrows nothing any more."""
    todo, found = [*facts], set[str]()
    while todo:
        name = todo.pop()
        cells = state.mask(name)
        if name not in found and cells & (cells - 1):
            found.add(name)
            todo += (other for other, _ in state.space.ways.get(name, ()))
            todo += (each for pair in state.pairs.get(name, ()) for each in (pair.fact, pair.index))
    return found


def _facts_in(formula: Formula) -> Iterator[str]:
    if isinstance(formula, In):
        yield formula.fact
    elif isinstance(formula, By):
        yield from (formula.fact, formula.index)
    else:
        for part in formula.parts:
            yield from _facts_in(part)


def _forced(state: _State, todo: list[Formula], choices: list[Any]) -> list[tuple[list[Formula], Any]] | None:
    """Take on all that must be, choices with one part left among it; the choices that are left, each with the
    parts that may be, or None where the whole cannot be.
    """
    while True:
        while todo:
            formula = todo.pop()
            if isinstance(formula, All):
                todo += formula.parts
            elif isinstance(formula, Any):
                choices.append(formula)
            elif not (
                state.narrow(formula.fact, formula.mask) if isinstance(formula, In) else state.add(formula)
            ):
                return None
        left = [
            ([part for part in choice.parts if _open(state, part)], choice)
            for choice in choices
            if not state.must(choice)
        ]
        if not all(parts for parts, _ in left):
            return None
        todo += (parts[0] for parts, _ in left if len(parts) == 1)
        left = [each for each in left if len(each[0]) > 1]
        if not todo:
            return left
        choices = [choice for _, choice in left]


def _open(state: _State, part: Formula) -> bool:
    if isinstance(part, (In, By)):
        return state.may(part)
    if isinstance(part, All):
        return all(_open(state, each) for each in part.parts)
    return any(_open(state, each) for each in part.parts)


def _settled(state: _State, scope: frozenset[str] | None) -> _State | None:
    """The state where no fact hangs on two others in a circle: each index that several comparisons share is
    settled, cell by cell, where it is of the scope.
    """
    for held in state.pairs.values():
        if len(held) > 1:
            for pair in held:
                cells = state.mask(pair.index)
                if cells & (cells - 1) and (scope is None or pair.index in scope):
                    for n in bits(cells):
                        one = state.copy()
                        if one.narrow(pair.index, 1 << n) and (found := _settled(one, scope)) is not None:
                            return found
                    return None
    return state


def _example(state: _State) -> Mapping[str, Fact]:
    """One value for each fact that must be known."""
    found: dict[str, Fact] = {}
    # What must be known decides; the rest stays out of the example.
    for name in sorted(state.masks):
        cells = state.masks[name]
        if cells & UNKNOWN:
            continue
        first = cells & -cells
        state.narrow(name, first)
        found[name] = state.space.example(name, first)
    return found


def core(space: Space, fixed: Sequence[Formula], parts: Sequence[Formula]) -> list[int]:
    """Which of `parts`, that cannot hold at once beside `fixed`, exclude one another: without any of those
    that are named the rest could hold.
    """
    kept = list(range(len(parts)))
    for n in range(len(parts)):
        fewer = [each for each in kept if each != n]
        if not possible(space, [*fixed, *(parts[each] for each in fewer)]):
            kept = fewer
    return kept
