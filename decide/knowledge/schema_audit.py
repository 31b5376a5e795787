"""The rows that the audit alone reads: what is known of facts together, and the findings that stand with a
reason.
"""

from __future__ import annotations

from typing import Annotated, Final, Literal

from pydantic import Field

from decide.knowledge.schema import Key, Row, Sentence, Words, listed

# Each kind of finding, and what several are called.
KINDS: Final = {
    "never-fires": "rules that can never fire",
    "exception-never": "exceptions that can never be true",
    "exception-always": "exceptions that are always true",
    "exception-idle": "exceptions that lift nothing by themselves",
    "conflict": "rules that another always contradicts",
    "never-decides": "rules that never decide",
    "idle-condition": "conditions that decide nothing",
    "only-known": "limits that every value keeps",
    "both-at-once": "conclusions that exclude one another and can both be drawn",
    "verdict-unreached": "verdicts that cannot be reached",
    "pair-unjudged": "pairs of grass and method that no rule speaks for or against",
    "column-unread": "columns that nothing reads",
    "unaskable": "facts that rules read and no question brings",
    "key-unread": "keys of the situation that nothing reads",
    "question-idle": "questions whose answer moves nothing",
    "choices-alike": "choices that nothing tells apart",
    "unsaid": "texts that no output can say",
    "past-review": "numbers and laws past their review",
}
Kind = Literal[
    "never-fires", "exception-never", "exception-always", "exception-idle", "conflict", "never-decides",
    "idle-condition", "only-known", "both-at-once", "verdict-unreached", "pair-unjudged", "column-unread",
    "unaskable", "key-unread", "question-idle", "choices-alike", "unsaid", "past-review",
]  # fmt: skip


class ColumnRow(Row):
    """A fact that is known where `by` is, and holds what `column` of the row that `by` names holds; a row of
    `tables` without that column gives its own code.
    """

    by: Key
    tables: Annotated[tuple[Literal["grasses", "mixtures", "methods"], ...], listed]
    column: Key


class RisingRow(Row):
    """Numbers of which none that is known is more than one that is known after it."""

    facts: Words


class ApartRow(Row):
    """Conclusions of which at most one is ever drawn of one subject."""

    facts: Words
    because: Sentence


class MarkedRow(Row):
    """The levels of a fact that only some rule brings about: a rule-out, or a mark against one of
    `criteria` (any where there are none).
    """

    levels: Words
    by: Literal["rule-out", "mark"]
    criteria: Words = ()


class StandingRow(Row):
    """Findings of one kind that stand, and why: of rules, exceptions ("rule exception"), conditions ("rule
    fact"), facts ("step.*" for all that begin so), keys.
    """

    kind: Kind
    of: Words
    because: Sentence


class ReviewRow(Row):
    """What is to be looked at again by a day, and why: some values; `prices`, all numbers in money; `dated`,
    all others that say of which year they are; `laws`, the rules of single regions and the laws on feeding.
    """

    values: Words = ()
    prices: bool = False
    dated: bool = False
    laws: bool = False
    by: Annotated[str, Field(pattern=r"^\d{4}-(0[1-9]|1[0-2])-(0[1-9]|1\d|2[0-8])$")]
    because: Sentence
