"""A number that a key borrows: it follows the lender, and no other statement moves."""

from __future__ import annotations

import pytest

from decide.knowledge.schema import Says, Source, ValueRow
from decide.knowledge.tables import Value
from decide.knowledge.values import value_of

SOURCES = {
    code: Source(title=code, publisher="", year="undated", seen=seen)
    for code, seen in (("page", "opened"), ("own-rule", "own"), ("memory", "memory"))
}


def _value(*says: Says, by: str = "") -> Value:
    row = ValueRow(meaning="a number", unit="day", by=by, says=says)
    return value_of("it", row, "it.toml:1", "it", SOURCES, {})


def test_what_each_source_says_of_a_single_number_stays_its_own() -> None:
    value = _value(
        Says(source="page", value=3),
        Says(source="memory", value=5, use=True, why="nearer"),
    )
    assert [said.amount for said in value.statements] == [3, 5]


def test_a_borrower_takes_the_number_in_use_of_its_lender() -> None:
    value = _value(
        Says(key="blue", source="page", value=2, unit="week"),
        Says(key="blue", source="memory", value=20, use=True, why="nearer"),
        Says(key="rye", source="own-rule", like="blue", times=0.5, note="no page"),
        by="grass",
    )
    assert value.used["rye"].amount == pytest.approx(10)
    assert value.used["rye"].like == "blue"
    assert [said.amount for said in value.statements] == [14, 20, 10]


def test_what_is_borrowed_from_memory_is_from_memory() -> None:
    value = _value(
        Says(key="blue", source="memory", value=20),
        Says(key="rye", source="own-rule", like="blue", note="no page"),
        by="grass",
    )
    assert value.used["rye"].seen == "memory"
