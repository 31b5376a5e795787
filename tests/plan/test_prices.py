"""What grass costs by the prices of a square metre that are printed in a country."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from decide.plan import prices


@pytest.fixture(autouse=True)
def _printed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two to three pounds a square metre, by two pages."""
    rows = [SimpleNamespace(source="page-b"), SimpleNamespace(source="page-a")]
    monkeypatch.setattr(prices, "local_price", lambda *_: (2.0, 3.0, "GBP", "2024", "by a page"))
    monkeypatch.setattr(prices, "local_rows", lambda *_: rows)


def lot(unit: str, area: float | None, kind: str = "seed", main: bool = True) -> Any:
    job = SimpleNamespace(area=area, facts={}, draft=None)
    return SimpleNamespace(
        supply=SimpleNamespace(kind=kind, main=main), job=job, amount=SimpleNamespace(unit=unit)
    )


def cost(*lots: Any, holds: bool = True) -> tuple[float, float] | None:
    """The ends of the cost of an order of 10 to 12 units."""
    c: Any = SimpleNamespace(
        filled=None, knowledge=SimpleNamespace(reckoned={"local-prices": None}), holds=lambda *_: holds
    )
    found = prices._local(c, lots, 10.0, 12.0)
    if found is None:
        return None
    assert (found.cost.currency, found.cost.year, found.cost.how) == ("GBP", "2024", "by a page")
    assert found.sources == ("page-a", "page-b")
    return found.cost.low, found.cost.high


def test_sod_is_paid_by_what_is_ordered() -> None:
    assert cost(lot("m2", 9.0)) == (20, 36)
    assert cost(lot("m2", None)) == (20, 36)


def test_seed_is_paid_by_the_ground_that_it_is_for() -> None:
    assert cost(lot("kg", 100.0)) == (200, 300)
    assert cost(lot("kg", 100.0), lot("kg", 50.0)) == (300, 450)


def test_of_ground_that_nobody_measured_no_cost_is_told() -> None:
    assert cost(lot("kg", None)) is None
    assert cost(lot("kg", 100.0), lot("kg", None)) is None


def test_only_the_grass_itself_and_a_contractor_are_paid_so() -> None:
    assert cost(lot("m2", 9.0, "sand", main=False)) is None
    assert cost(lot("m2", 9.0, "contractor", main=False)) == (20, 36)
    assert cost(lot("m2", 9.0), holds=False) is None
