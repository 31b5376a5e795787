"""What people mean to do, read as a proposal."""

from __future__ import annotations

from typing import Any

import pytest

from decide.parse.intents import is_proposal, read_proposal
from tests.parse.settings import NOWHERE

GRASSES = {"tall-fescue": ("tall fescue",), "perennial-ryegrass": ("perennial ryegrass", "ryegrass")}
METHODS = {"slit-seed": ("slit seed",), "thin-sod": ("thin sod",), "thick-sod": ("thick sod",)}


@pytest.mark.parametrize(
    ("line", "table"),
    [
        ("can I roll it now?", {"step": "roll", "start": "2026-05-20"}),
        (
            "Can we sow tall fescue in two weeks",
            {"step": "sow", "grass": "tall-fescue", "start": "2026-06-03"},
        ),
        (
            "may I lay thick sod in the goalmouths tomorrow?",
            {"step": "lay-sod", "method": "thick-sod", "zone": "goalmouths", "start": "2026-05-21"},
        ),
        (
            "is it too late to overseed with ryegrass?",
            {"step": "overseed", "grass": "perennial-ryegrass", "start": "2026-05-20"},
        ),
        ("should I water in the evening", {"step": "water", "time_of_day": "evening", "start": "2026-05-20"}),
        ("could we play on it on 1 June", {"step": "open-to-play", "start": "2026-06-01"}),
        (
            "can I top-dress with sand 5 mm deep",
            {"step": "topdress", "material": "sand", "depth_mm": 5, "start": "2026-05-20"},
        ),
        ("what if I mow it next week", {"step": "mow", "start": "2026-05-27"}),
        ("can I aerate mid September", {"step": "aerate", "start": "2026-09-15"}),
    ],
)
def test_proposals(line: str, table: dict[str, Any]) -> None:
    answers: dict[str, Any] = {"zone": [{"name": "goalmouths"}]}
    assert is_proposal(line)
    found = read_proposal(line, NOWHERE, answers, grasses=GRASSES, methods=METHODS)
    assert found is not None
    assert found.table == table
