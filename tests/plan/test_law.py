"""The law on feeding binds the plan and what is bought, by the day."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decide.answer.assemble import advice_of
from decide.consult import Adviser
from decide.facts.law import closed_to_feed
from decide.model.reading import situation_from_dict

# By hand from the laws as they were read: the last closed and the first open day.
TOWNS = {
    "us-ny": ("Syracuse", "New York"), "us-nj": ("Newark", "New Jersey"), "us-md": ("Frederick", "Maryland"),
    "us-pa": ("Erie", "Pennsylvania"), "us-ma": ("Worcester", "Massachusetts"), "us-vt": ("Burlington", "Vermont"),
}  # fmt: skip
DAYS = [
    ("us-ny", "2026-11-30", False), ("us-ny", "2026-12-01", True), ("us-ny", "2027-03-31", True),
    ("us-ny", "2027-04-01", False), ("us-nj", "2026-11-14", False), ("us-nj", "2026-11-15", True),
    ("us-nj", "2027-02-28", True), ("us-nj", "2027-03-01", False), ("us-vt", "2026-10-15", True),
    ("us-pa", "2026-12-14", False), ("us-pa", "2026-12-15", True), ("us-ma", "2027-03-01", False),
]  # fmt: skip


@pytest.mark.parametrize(("region", "date", "closed"), DAYS)
def test_the_closed_days_are_those_of_the_law(adviser: Adviser, region: str, date: str, closed: bool) -> None:
    law = adviser.knowledge.feed_laws[region]
    assert closed_to_feed(law, dt.date.fromisoformat(date)) == closed


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(st.sampled_from(sorted(TOWNS)), st.integers(0, 364), st.integers(0, 100), st.booleans())
def test_no_feed_of_a_plan_falls_on_a_closed_day_or_is_more_than_the_law_lets_one_be(
    adviser: Adviser, region: str, ahead: int, bare: int, by_spot: bool
) -> None:
    today = dt.date(2026, 1, 10) + dt.timedelta(days=ahead)
    name, state = TOWNS[region]
    place = {"name": name, "country": "us", "region": state}
    if by_spot:
        town = adviser.consult(
            situation_from_dict({"place": place, "dates": {"today": today.isoformat()}, "field": {}})
        )
        climate = town.filled.season.site.climate  # type: ignore[union-attr]
        place = {"latitude": climate.latitude, "longitude": climate.longitude}
    advice = advice_of(
        adviser.consult(
            situation_from_dict(
                {
                    "place": place,
                    "dates": {
                        "today": today.isoformat(),
                        "play_by": (today + dt.timedelta(days=330)).isoformat(),
                    },
                    "field": {"area_m2": 1000, "bare_percent": bare},
                    "means": {"water": "in-ground sprinklers"},
                }
            )
        )
    )
    law, k = adviser.knowledge.feed_laws[region], adviser.knowledge
    cap = None if law.dose is None else k.value(law.dose)
    for task in advice.plan:
        if k.tasks.get(task.template) is None or k.tasks[task.template].feeds is None:
            continue
        assert not closed_to_feed(law, dt.date.fromisoformat(task.from_)), task
        if cap is not None and task.amount is not None:
            # lb for 1,000 square feet on 1,000 m2, in kg: 4.882
            assert task.amount <= cap * 4.8825 * (task.times or 1) + 0.01, task


def test_a_soil_test_too_old_for_the_law_counts_for_nothing(adviser: Adviser) -> None:
    def bought(tested: str) -> set[str]:
        told = {
            "place": {"name": "Burlington", "country": "us", "region": "Vermont"},
            "dates": {"today": "2026-08-15", "play_by": "2027-06-01"},
            "field": {
                "area_m2": 1000,
                "bare_percent": 90,
                "soil_phosphorus": "low",
                "soil_test_date": tested,
            },
            "means": {"water": "in-ground sprinklers"},
        }
        return {row.supply for row in advice_of(adviser.consult(situation_from_dict(told))).shopping}

    assert {"starter-tested"} <= bought("2025-06-01")
    assert "soil-test" not in bought("2025-06-01")
    # eighteen months in Vermont
    old = bought("2024-12-01")
    assert "starter-tested" not in old
    assert "soil-test" in old
