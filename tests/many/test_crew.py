"""Processes keep the order, do again what a death interrupted, and give a line up that ends two of them."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from decide.many.crew import Crew
from decide.many.line import MadeWith, Record
from decide.many.records import BatchError
from tests.many import makers


def rows(*texts: str) -> Iterator[Record]:
    return (Record(line, text.encode()) for line, text in enumerate(texts, 1))


def judged(crew: Crew, *texts: str) -> list[dict[str, object]]:
    return [json.loads(line) for line in crew.judged(rows(*texts))]


@pytest.mark.slow
def test_order_is_kept_and_the_dead_are_replaced(tmp_path: Path) -> None:
    mark = tmp_path / "mark"
    with Crew(makers.Echo, 2) as crew:
        assert crew.made_with == MadeWith("0", "echo", ("plain",))
        found = judged(crew, "slow", "a", f"die once {mark}", "slow", "wrong", *("b" * 40))
        assert [row["line"] for row in found] == list(range(1, 46))
        assert [row["line"] for row in found if not row["ok"]] == [5]
        assert mark.exists()
        found = judged(crew, "a", '{"id":"kept","x":"die"}', "b")
        assert [row["ok"] for row in found] == [True, False, True]
        assert found[1]["id"] == "kept"
        assert "ended twice" in str(found[1]["error"])


@pytest.mark.slow
def test_only_a_few_records_are_read_ahead() -> None:
    taken = 0

    def many() -> Iterator[Record]:
        nonlocal taken
        for line in range(1, 2001):
            taken = line
            yield Record(line, b"a")

    with Crew(makers.Echo, 1) as crew:
        for done, _ in enumerate(crew.judged(many()), 1):
            assert taken - done <= 16
    assert taken == 2000


@pytest.mark.slow
def test_what_keeps_processes_from_beginning_is_said() -> None:
    with pytest.raises(BatchError, match=r"there: no knowledge. Write some"), Crew(makers.never, 1):
        pass
    with pytest.raises(BatchError, match=r"end before they begin \(exit code 9\)"), Crew(makers.dies, 1):
        pass
