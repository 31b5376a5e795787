"""Whether what a row asks for can hold together at all, proved in the space of the rules."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from decide.engine.language import Condition, FactType
from decide.engine.written import Numbers, parse_condition
from decide.knowledge.cells import Formula, Space
from decide.knowledge.proof import possible
from decide.knowledge.schema import Conditional
from decide.model.errors import KnowledgeError

Found = Iterator[KnowledgeError]


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
    space: Space,
    when: Sequence[Condition],
    unless: Sequence[Condition],
    given: Sequence[Condition] = (),
    made_for: Sequence[Formula] = (),
) -> tuple[str, str] | None:
    """Why `when` without all of `unless` can never hold where `given` does, or not with what a row is
    `made_for`, and what to write instead; None where it can. UndecidedError where that is too much.
    """
    true = [*map(space.says, given), *map(space.says, when)]
    if not possible(space, true):
        return f"its conditions exclude one another ({in_words(when)})", "Change or take out one of them"
    stands = [*map(space.says, given), space.stands(when, unless)]
    if not possible(space, stands):
        return f"what leaves it out always holds ({in_words(unless)})", "Change when or unless"
    if not possible(space, [*stands, *made_for]):
        return f"its conditions exclude what it is for ({in_words(when)})", "Change one of the two"
    return None
