"""What an option costs beside a budget: a contractor is one way more, and silence is no cheaper than an answer."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from decide.decision.options import planted
from decide.facts.complete import fill
from decide.facts.cost import budget_ends
from decide.model.reading import situation_from_dict
from tests.shared import adviser

AREA = 500.0


def ends(
    budget: float, own_hands: bool, contractor: bool | None = None, area: float | None = AREA
) -> tuple[float, float] | None:
    told: dict[str, Any] = {
        "place": {"name": "Columbus", "country": "us", "region": "Ohio"},
        "dates": {"today": dt.date(2026, 4, 5)},
        "use": [{"sport": "soccer"}],
        "means": {"budget": budget},
        "zone": [{"name": "whole field", "bare_percent": 40}],
    }
    if contractor is not None:
        told["means"]["contractor"] = contractor
    if area is not None:
        told["zone"][0]["area_m2"] = area
    filled = fill(situation_from_dict(told), adviser().library)
    draft = planted(
        adviser().knowledge,
        "whole-field",
        "thin-sod",
        "tall-fescue",
        "plain",
        dt.date(2026, 9, 1),
        "earliest",
    )
    return budget_ends(filled, draft, budget, own_hands)


def known(own_hands: bool, contractor: bool) -> tuple[float, float]:
    found = ends(1, own_hands, contractor)
    assert found is not None
    return found


OWN, HIRED = known(True, False), known(False, True)


def test_laying_costs_more_than_sod_alone() -> None:
    assert OWN[0] < HIRED[0]
    assert OWN[1] < HIRED[1]


def test_a_contractor_makes_nothing_dearer_that_own_hands_can_do() -> None:
    assert ends(1, True, True) == (OWN[0], HIRED[1])
    assert ends(1, False, True) == HIRED


@pytest.mark.parametrize("own_hands", [True, False])
def test_silence_on_a_contractor_bears_no_budget_that_the_answer_does_not(own_hands: bool) -> None:
    between, enough, little = (OWN[0] + HIRED[0]) / 2, HIRED[1] + 1, OWN[0] - 1
    assert ends(between, own_hands) == (OWN if own_hands else None)
    assert ends(enough, own_hands) == (OWN[0], OWN[1] if own_hands else HIRED[1])
    # Dearer than the budget by the cheaper way is dearer by any.
    assert ends(little, own_hands) is not None


def test_an_area_that_nobody_told_bears_no_budget() -> None:
    usual = ends(0, True, False, area=None)
    assert usual is not None
    assert ends(usual[0] - 1, True, False, area=None) == usual
    assert ends(usual[1] + 1, True, False, area=None) is None
