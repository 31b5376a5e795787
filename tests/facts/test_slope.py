"""The slope at which each rule of slopes begins to speak, on both sides of its number."""

from __future__ import annotations

import pytest

from decide.consult import Adviser
from decide.engine.plain import standing

RULES = ["machine-on-slope", "slope-washes-seed", "slope-pegs-sod"]


@pytest.mark.parametrize("name", RULES)
def test_a_rule_of_slopes_begins_above_its_number(adviser: Adviser, name: str) -> None:
    rule = adviser.rules[name]
    limit = next(each for each in rule.when if each.fact == "site.slope-percent")
    assert limit.op == ">"
    assert limit.number is not None
    other = {each.fact: each.levels[0] for each in rule.when if each.levels}
    for slope, fires in ((limit.number - 1, False), (limit.number, False), (limit.number + 1, True)):
        assert standing(rule, {**other, "site.slope-percent": slope}).fires is fires
