"""What moves with the years has a day by which it is looked at again: prices, numbers of one year, laws."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from typing import Final

from decide.engine.language import Rule
from decide.knowledge.audit_texts import answers_for
from decide.knowledge.compile import compile_rules
from decide.knowledge.finding import Finding, Findings
from decide.knowledge.logic import Found
from decide.knowledge.schema_audit import ReviewRow
from decide.knowledge.tables import Knowledge, Value
from decide.model.errors import KnowledgeError, meant

# A rule that reads this is of some regions alone: a law, or what was read of one.
REGION: Final = "site.region"


def check_reviews(k: Knowledge, today: dt.date) -> Findings:
    """Numbers and laws that were to be looked at again before today."""
    for code, row in k.reviews.items():
        names = [*row.values, *_numbers(k, row)]
        laws = [rule for rule, _ in _laws(k, compile_rules(k).rules)] if row.laws else []
        said = [
            f"{len(held)} {what if len(held) > 1 else what[:-1]}"
            for held, what in ((names, "numbers"), (laws, "laws"))
            if held
        ]
        if dt.date.fromisoformat(row.by) < today and said:
            were = "was" if len(names) + len(laws) == 1 else "were"
            all_names = ", ".join((*names, *laws))
            yield Finding(
                "past-review",
                code,
                f"{' and '.join(said)} {were} to be looked at again by {row.by}: {all_names}",
                proof=row.because,
                where=k.where.get(("review", code), ""),
                instead="Look at them again, and write the next day",
            )


def check_reviewed(k: Knowledge, rules: Iterable[Rule]) -> Found:
    """What moves with the years and is never looked at again."""
    held = {name for row in k.reviews.values() for name in (*row.values, *_numbers(k, row))}
    for code, row in k.reviews.items():
        for name in row.values:
            if name not in k.values:
                yield KnowledgeError(
                    f"{code}: there is no value {name!r}",
                    where=k.where.get(("review", code), ""),
                    instead=meant(name, k.values),
                )
    for value in k.values.values():
        if (
            (_in_money(value) or _dated(value))
            and value.name not in held
            and answers_for(k, "value", value.name)
        ):
            yield KnowledgeError(
                f"value {value.name!r} is of one year, and no review looks at it again",
                where=value.where,
                instead="Write [review.NAME] with dated = true, or prices = true where it is in money",
            )
    if not any(row.laws for row in k.reviews.values()):
        for name, where in _laws(k, rules):
            yield KnowledgeError(
                f"{name!r} holds in some regions alone, and no review looks at it again",
                where=where,
                instead="Write [review.NAME] with laws = true",
            )


def _numbers(k: Knowledge, row: ReviewRow) -> list[str]:
    return sorted(
        name
        for name, value in k.values.items()
        if (row.prices and _in_money(value)) or (row.dated and _dated(value) and not _in_money(value))
    )


def _in_money(value: Value) -> bool:
    return any(statement.currency for statement in value.statements)


def _dated(value: Value) -> bool:
    return any(statement.year for statement in value.used.values())


def _laws(k: Knowledge, rules: Iterable[Rule]) -> Iterator[tuple[str, str]]:
    """Rules and rows of some regions, each with its place."""
    for rule in rules:
        if not rule.bend_of and any(REGION in c.facts for c in rule.conditions):
            yield rule.id, rule.where
    for code in k.feed_laws:
        yield code, k.where.get(("feed-law", code), "")
