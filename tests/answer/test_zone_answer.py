"""What is answered for a part of the field."""

from __future__ import annotations

import pytest

from decide.answer.assemble import advice_of
from tests.decision.fields import SHUT, changed, consulted


@pytest.mark.parametrize(
    ("bare", "says"),
    [({"bare_percent": 0}, "Nothing needs doing here"), ({}, "how much of it is bare was not told")],
)
def test_nothing_to_do_is_said_only_where_it_was_told_that_nothing_is_bare(
    bare: dict[str, int], says: str
) -> None:
    """Where nobody counted it cannot be said that no work is needed."""
    zone = {"name": "whole field", "grass": SHUT["zone"][0]["grass"], **bare}
    answer = advice_of(consulted(changed(SHUT, zone=[zone]))).choice("whole field")
    assert answer.decision == "nothing to do"
    assert says in answer.text
