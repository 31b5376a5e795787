"""Facts cut into cells at every limit that some condition sets, so that a condition is a set of cells and
nothing between two limits is left to samples.

Bit 0 of a set is "not known". What rules conclude is no fact of its own here: it is the formula of its rules.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

from decide.engine.language import PLACES, Condition, Fact, FactType, Rule

UNKNOWN: Final = 1
ONE: Final = 10**PLACES
_ORDERINGS: Final = ("<", "<=", ">", ">=")
# Of a word that no rule names, where any word will do.
OTHER: Final = "another"


@dataclass(frozen=True, slots=True)
class In:
    """A fact lies in some of its cells."""

    fact: str
    mask: int


@dataclass(frozen=True, slots=True)
class By:
    """A fact lies in some of its cells, which depend on the cell of another: `masks[n]` for its cell n."""

    fact: str
    index: str
    masks: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class All:
    """Every part holds."""

    parts: tuple[Formula, ...]


@dataclass(frozen=True, slots=True)
class Any:
    """One part holds at least."""

    parts: tuple[Formula, ...]


Formula = In | By | All | Any
TRUE: Final = All(())
FALSE: Final = Any(())


@dataclass(frozen=True, slots=True)
class Column:
    """`fact` is known where `by` is, and holds what the row of a table holds: `rows` gives it by level."""

    fact: str
    by: str
    rows: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Order:
    """Of numbers in this order, none that is known is more than one that is known after it."""

    facts: tuple[str, ...]


def bits(mask: int) -> Iterable[int]:
    """The numbers of the cells in a set."""
    while mask:
        lowest = mask & -mask
        yield lowest.bit_length() - 1
        mask ^= lowest


# What is asked of a condition: is it true, false, not true (false or unknown), not false.
Asked = Literal["true", "false", "not-true", "not-false"]
_TURNED: Final[Mapping[Asked, Asked]] = {
    "true": "false", "false": "true", "not-true": "not-false", "not-false": "not-true",
}  # fmt: skip


class Space:
    """The cells of all facts that some rules read, and every condition as a formula over them."""

    def __init__(
        self,
        rules: Sequence[Rule],
        facts: Mapping[str, FactType],
        columns: Sequence[Column] = (),
        orders: Sequence[Order] = (),
        never: Mapping[str, Collection[str]] = MappingProxyType({}),
        more: Iterable[Condition] = (),
    ) -> None:
        """`never` are levels that a fact is known never to have, `more` conditions beside those of rules."""
        self.facts, self._never = facts, never
        self.givers: dict[str, list[Rule]] = {}
        for rule in rules:
            if rule.then.act == "conclude":
                self.givers.setdefault(rule.then.target, []).append(rule)
        conditions = [*(c for rule in rules for c in rule.conditions), *more]
        self._words: dict[str, list[str]] = {}
        self._starts: dict[str, list[int | None]] = {}
        self._cut(conditions, columns, orders)
        self.full: dict[str, int] = {
            name: (1 << (1 + len(cells))) - 1 for name, cells in (self._words | self._starts).items()
        }
        # Each way from one fact to another that it narrows: for its cell n the cells that the other may have.
        self.ways: dict[str, list[tuple[str, tuple[int, ...]]]] = {}
        for column in columns:
            self._link_column(column)
        for order in orders:
            self._link_order(order)
        self._said: dict[tuple[str, Asked], Formula] = {}
        self._fires: dict[tuple[str, bool], Formula] = {}

    # ---------- cells ----------
    def _cut(
        self, conditions: Sequence[Condition], columns: Sequence[Column], orders: Sequence[Order]
    ) -> None:
        cuts: dict[str, set[int]] = {}
        for condition in conditions:
            kind = self.facts[condition.fact]
            if kind.type == "number":
                limits = condition.table.values() if condition.index else [condition.number or 0.0]
                cuts.setdefault(condition.fact, set()).update(_cut(condition.op, limit) for limit in limits)
            else:
                self._add_words(condition.fact, condition.levels)
            if condition.index:
                self._add_words(condition.index, condition.table)
        for column in columns:
            self._add_words(column.by, column.rows)
            self._add_words(column.fact, column.rows.values())
        for order in orders:
            # With the same cells, one number is at most another where its cell is not behind the other's.
            shared = set[int]().union(*(cuts.get(name, ()) for name in order.facts))
            for name in order.facts:
                kind = self.facts[name]
                shared.update(
                    round(end * ONE) + after
                    for end, after in ((kind.low, 0), (kind.high, 1))
                    if end is not None
                )
            cuts.update((name, shared) for name in order.facts)
        for name, at in cuts.items():
            self._starts[name] = [None, *sorted(at)]

    def _add_words(self, name: str, words: Iterable[str]) -> None:
        kind = self.facts[name]
        if kind.type == "true":
            self._words.setdefault(name, ["true", "false"])
        elif kind.levels:
            self._words.setdefault(name, list(kind.levels))
        else:
            held = self._words.setdefault(name, [OTHER])
            held.extend(word for word in words if word not in held)

    def cell(self, name: str, word: str) -> int:
        """The cell of one level of a fact; none where it never has it."""
        words = self._words[name]
        return 2 << words.index(word) if word in words else 0

    def in_range(self, name: str) -> int:
        """The cells that a fact may have, and "not known"."""
        kind, full = self.facts[name], self.full[name]
        if name not in self._starts:
            words = self._words[name]
            return full & ~_union(
                2 << words.index(word) for word in self._never.get(name, ()) if word in words
            )
        low = None if kind.low is None else round(kind.low * ONE)
        high = None if kind.high is None else round(kind.high * ONE)
        held = UNKNOWN
        for n in range(len(self._starts[name])):
            start, end = self._ends(name, n)
            if (high is None or start is None or start <= high) and (
                low is None or end is None or end >= low
            ):
                held |= 2 << n
        return held

    def _ends(self, name: str, n: int) -> tuple[int | None, int | None]:
        """The first and the last thousandth of a cell of a number; None where it has no end."""
        starts = self._starts[name]
        following = starts[n + 1] if n + 1 < len(starts) else None
        return starts[n], None if following is None else following - 1

    def example(self, name: str, mask: int) -> Fact:
        """A value of the first known cell of some."""
        n = next(bit for bit in bits(mask) if bit) - 1
        if name in self._words:
            word = self._words[name][n]
            return word == "true" if self.facts[name].type == "true" else word
        kind = self.facts[name]
        start, end = self._ends(name, n)
        low = None if kind.low is None else round(kind.low * ONE)
        high = None if kind.high is None else round(kind.high * ONE)
        start = low if start is None or (low is not None and low > start) else start
        end = high if end is None or (high is not None and high < end) else end
        if start is None:
            # A whole number where there is room for one, for the eye.
            return 0.0 if end is None else (end // ONE * ONE if end - end % ONE else end) / ONE
        whole = -(-start // ONE) * ONE
        return (whole if end is None or whole <= end else start) / ONE

    # ---------- relations ----------
    def _link_column(self, column: Column) -> None:
        if column.fact not in self.full or column.by not in self.full:
            return
        follower, leader = self._words[column.fact], self._words[column.by]
        there: list[int] = [UNKNOWN]
        for word in leader:
            held = column.rows.get(word)
            there.append(2 << follower.index(held) if held in follower else self.full[column.fact])
        self._link(column.by, column.fact, there)

    def _link_order(self, order: Order) -> None:
        for n, low in enumerate(order.facts):
            for high in order.facts[n + 1 :]:
                full = self.full[high]
                masks = [
                    full,
                    *(full & ~((2 << cell) - 1) | UNKNOWN for cell in range(len(self._starts[low]))),
                ]
                self._link(low, high, masks)

    def _link(self, one: str, other: str, masks: Sequence[int]) -> None:
        back = [0] * self.full[other].bit_length()
        for n, mask in enumerate(masks):
            for m in bits(mask):
                back[m] |= 1 << n
        self.ways.setdefault(one, []).append((other, tuple(masks)))
        self.ways.setdefault(other, []).append((one, tuple(back)))

    # ---------- conditions ----------
    def says(self, condition: Condition, asked: Asked = "true") -> Formula:
        """The formula of a condition that is true, false, not true or not false."""
        key = (condition.text, asked)
        if key not in self._said:
            self._said[key] = (
                self._concluded(condition, asked)
                if self.facts[condition.fact].concluded
                else self._told(condition, asked)
            )
        return self._said[key]

    def _concluded(self, condition: Condition, asked: Asked) -> Formula:
        if condition.op == "is not":
            asked = _TURNED[asked]
        givers = self.givers.get(condition.fact, [])
        if asked == "true":
            return Any(tuple(self.fires(rule) for rule in givers))
        if asked == "not-true":
            return All(tuple(self.silent(rule) for rule in givers))
        if asked == "false":
            return All(tuple(self._dead(rule) for rule in givers))
        return Any(tuple(self._may(rule) for rule in givers))

    def _told(self, condition: Condition, asked: Asked) -> Formula:
        full = self.full[condition.fact]
        known = full & ~UNKNOWN
        if not condition.index:
            true = self._cells(condition, condition.number)
            return In(condition.fact, _of(asked, true, known & ~true, full))
        limits = [self._cells(condition, limit) for limit in condition.table.values()]
        # Without a limit it is false where no limit that there is would let it hold.
        never = known & ~_union(limits) if limits else 0
        masks = [_of(asked, 0, never, full)]
        for word in self._words[condition.index]:
            if word in condition.table:
                true = self._cells(condition, condition.table[word])
                masks.append(_of(asked, true, known & ~true, full))
            else:
                masks.append(_of(asked, 0, never, full))
        return By(condition.fact, condition.index, tuple(masks))

    def _cells(self, condition: Condition, limit: float | None) -> int:
        """The cells in which a condition is true."""
        name, op = condition.fact, condition.op
        if op in _ORDERINGS:
            at = self._starts[name].index(_cut(op, limit or 0.0))
            above = self.full[name] & ~((2 << at) - 1)
            return above if op in (">", ">=") else self.full[name] & ~above & ~UNKNOWN
        held = _union(2 << self._words[name].index(word) for word in condition.levels or ("true",))
        return held if op != "is not" else self.full[name] & ~held & ~UNKNOWN

    # ---------- rules ----------
    def fires(self, rule: Rule) -> Formula:
        """The formula of a rule that fires."""
        key = (rule.id, True)
        if key not in self._fires:
            self._fires[key] = All(
                (*(self.says(c) for c in rule.when), *(self.lifts_not(e.when) for e in rule.unless))
            )
        return self._fires[key]

    def silent(self, rule: Rule) -> Formula:
        """The formula of a rule that does not fire."""
        key = (rule.id, False)
        if key not in self._fires:
            self._fires[key] = Any(
                (
                    *(self.says(c, "not-true") for c in rule.when),
                    *(All(tuple(self.says(c) for c in e.when)) for e in rule.unless),
                )
            )
        return self._fires[key]

    def stands(self, when: Sequence[Condition], unless: Sequence[Condition]) -> Formula:
        """The formula of a row that stands where all of `when` hold, and not all of `unless`."""
        return All((*(self.says(c) for c in when), *([self.lifts_not(unless)] if unless else [])))

    def stands_not(self, when: Sequence[Condition], unless: Sequence[Condition]) -> Formula:
        """The formula of a row that does not stand."""
        lifted = [All(tuple(self.says(c) for c in unless))] if unless else []
        return Any((*(self.says(c, "not-true") for c in when), *lifted))

    def among(self, name: str, words: Iterable[str]) -> Formula:
        """The formula of a fact that has one of some levels; of a fact that nothing reads it says nothing."""
        return In(name, _union(self.cell(name, word) for word in words)) if name in self.full else TRUE

    def lifts_not(self, when: Sequence[Condition]) -> Formula:
        """The formula of an exception that is not true."""
        return Any(tuple(self.says(c, "not-true") for c in when))

    def _dead(self, rule: Rule) -> Formula:
        return Any(
            (
                *(self.says(c, "false") for c in rule.when),
                *(All(tuple(self.says(c) for c in e.when)) for e in rule.unless),
            )
        )

    def _may(self, rule: Rule) -> Formula:
        return All(
            (*(self.says(c, "not-false") for c in rule.when), *(self.lifts_not(e.when) for e in rule.unless))
        )


def _of(asked: Asked, true: int, false: int, full: int) -> int:
    if asked == "true":
        return true
    if asked == "false":
        return false
    return full & ~(true if asked == "not-true" else false)


def _union(masks: Iterable[int]) -> int:
    held = 0
    for mask in masks:
        held |= mask
    return held


def _cut(op: str, limit: float) -> int:
    """The first thousandth on the upper side of a limit."""
    return round(limit * ONE) + (op in (">", "<="))
