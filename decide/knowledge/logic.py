"""Whether conditions can hold together, and whether one follows from others, within the levels and ranges
that facts have.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import product
from typing import Final

from decide.engine.language import PLACES, Condition, FactType
from decide.engine.written import Numbers, parse_condition
from decide.knowledge.schema import Conditional
from decide.model.errors import KnowledgeError

_NOT: Final[Mapping[str, str]] = {"is": "is not", "is not": "is", "<": ">=", "<=": ">", ">": "<=", ">=": "<"}


Found = Iterator[KnowledgeError]


class _Levels:
    """The levels that a fact may still have; `only` is None where any word will do."""

    def __init__(self, declared: Sequence[str]) -> None:
        self.only: set[str] | None = set(declared) if declared else None
        self.never: set[str] = set()

    def narrow(self, condition: Condition) -> None:
        levels = set(condition.levels or ("true",))
        if condition.op == "is not":
            self.never |= levels
        else:
            self.only = levels if self.only is None else self.only & levels

    def left(self) -> set[str] | None:
        return None if self.only is None else self.only - self.never


def possible(conditions: Sequence[Condition], facts: Mapping[str, FactType]) -> bool:
    """Whether some facts, within their declared levels and ranges, make every one of `conditions` true."""
    levels: dict[str, _Levels] = {}
    orderings: dict[str, list[Condition]] = {}
    for condition in conditions:
        kind = facts[condition.fact]
        if kind.type == "number":
            orderings.setdefault(condition.fact, []).append(condition)
        else:
            declared = ("true", "false") if kind.type == "true" else kind.levels
            levels.setdefault(condition.fact, _Levels(declared)).narrow(condition)
    if any(each.left() == set() for each in levels.values()):
        return False
    indexes = list(dict.fromkeys(c.index for c in conditions if c.index))
    keys: list[list[str]] = []
    for index in indexes:
        held = levels.get(index, _Levels(facts[index].levels))
        left = held.left()
        known = {key for c in conditions if c.index == index for key in c.table}
        keys.append(sorted(known - held.never if left is None else known & left))
    return any(
        all(
            _overlap(facts[name], group, dict(zip(indexes, chosen, strict=True)))
            for name, group in orderings.items()
        )
        for chosen in product(*keys)
    )


def _overlap(kind: FactType, orderings: Iterable[Condition], chosen: Mapping[str, str]) -> bool:
    """Whether a number of three decimals, within the fact's range, keeps all `orderings` for the `chosen`
    keys.
    """
    one = 10**PLACES
    low = round(kind.low * one) if kind.low is not None else None
    high = round(kind.high * one) if kind.high is not None else None
    for condition in orderings:
        number = condition.table.get(chosen[condition.index]) if condition.index else condition.number
        if number is None:
            return False
        bound = round(number * one)
        if condition.op in (">", ">="):
            bound += condition.op == ">"
            low = bound if low is None else max(low, bound)
        else:
            bound -= condition.op == "<"
            high = bound if high is None else min(high, bound)
    return low is None or high is None or low <= high


def _negation(condition: Condition) -> list[Condition]:
    """Conditions that hold together exactly where `condition`, of known facts, does not."""
    if condition.op == "in":
        return [replace(condition, op="is not", levels=(level,)) for level in condition.levels]
    return [replace(condition, op=_NOT[condition.op])]  # type: ignore[arg-type]  # an operator's opposite


def follows(condition: Condition, given: Sequence[Condition], facts: Mapping[str, FactType]) -> bool:
    """Whether `condition` is true wherever all `given` are."""
    known = {name for each in given for name in each.facts}
    return known.issuperset(condition.facts) and not possible([*given, *_negation(condition)], facts)


def in_words(conditions: Iterable[Condition]) -> str:
    return "; ".join(condition.text for condition in conditions)


def conditions_of(
    row: Conditional, facts: Mapping[str, FactType], numbers: Numbers
) -> tuple[list[Condition], list[Condition]] | None:
    """When a row stands, and what leaves it out; None where a condition cannot be read, which is told
    elsewhere.
    """
    try:
        return [parse_condition(text, facts, numbers) for text in row.when], [
            parse_condition(text, facts, numbers) for text in row.unless
        ]
    except KnowledgeError:
        return None


def never(
    when: Sequence[Condition],
    unless: Sequence[Condition],
    facts: Mapping[str, FactType],
    given: Sequence[Condition] = (),
) -> tuple[str, str] | None:
    """Why `when` without all of `unless` can never hold where `given` does, and what to write instead; None
    where it can.
    """
    if not possible([*when, *given], facts):
        return f"its conditions exclude one another ({in_words(when)})", "Change or take out one of them"
    if unless and all(follows(condition, [*when, *given], facts) for condition in unless):
        return f"what leaves it out always holds ({in_words(unless)})", "Change when or unless"
    return None
