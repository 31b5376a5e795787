"""What is ordered together."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from decide.plan.lots import total


def lots(once: bool, *amounts: tuple[float, float]) -> Any:
    supply = SimpleNamespace(once=once)
    return [
        SimpleNamespace(supply=supply, amount=SimpleNamespace(low=low, high=high)) for low, high in amounts
    ]


def test_of_what_every_part_needs_for_itself_the_amounts_are_added_up() -> None:
    assert total(lots(False, (2, 5), (3, 4))) == (5, 9)


def test_of_what_serves_the_whole_field_the_part_that_wants_most_decides() -> None:
    assert total(lots(True, (2, 5), (3, 4))) == (3, 5)
    assert total(lots(True, (3, 4), (2, 5))) == (3, 5)
