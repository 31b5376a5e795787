"""What is done with a part until its remedy: when a season lies between, how long it is, and how much is said."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from decide.answer.meanwhile import meanwhile_rows, needs_meanwhile, standby_facts
from tests.decision.made import DAY, made

WAIT = 30.0


def consultation(wait: float | None = WAIT, rows: int = 0) -> Any:
    """One whose table has so many rows, all of which hold, the last written first."""
    return SimpleNamespace(
        site={"site.month": "may"},
        zone_facts={"a": {"zone.bare-percent": 40.0}},
        filled=SimpleNamespace(today=DAY),
        holds=lambda row, facts: True,
        knowledge=SimpleNamespace(
            meanwhile={f"row-{n}": SimpleNamespace(order=n) for n in reversed(range(rows))},
            value=lambda name: {"meanwhile-wait": wait}[name],
        ),
    )


def chosen(option: Any = None, stopgap: Any = None, after: Any = None, least_bad: Any = None) -> Any:
    return SimpleNamespace(option=option, stopgap=stopgap, after=after, least_bad=least_bad)


@pytest.mark.parametrize(
    ("option", "needed"),
    [
        (made(start=30), False), (made(start=31), True), (made(start=0), False), (made(start=None), True),
        (made(remedy="recover"), True), (made(start=0, verdict="risky"), True), (None, True),
    ],
)  # fmt: skip
def test_a_season_lies_between_where_sound_grass_is_far_or_there_is_none(option: Any, needed: bool) -> None:
    assert needs_meanwhile(consultation(), chosen(option), "renovate") is needed
    assert not needs_meanwhile(consultation(), chosen(option), "left alone")


def test_a_stopgap_is_the_grass_until_then() -> None:
    late = made(start=200)
    assert not needs_meanwhile(consultation(), chosen(late, stopgap=made(start=3)), "renovate")
    assert needs_meanwhile(consultation(), chosen(made(start=3), stopgap=late), "renovate")


def test_where_no_wait_is_stated_only_grass_of_today_needs_nothing() -> None:
    assert not needs_meanwhile(consultation(None), chosen(made(start=0)), "renovate")
    assert needs_meanwhile(consultation(None), chosen(made(start=1)), "renovate")


def test_the_wait_is_that_for_the_first_new_grass_of_the_choice() -> None:
    facts = standby_facts(
        consultation(), "a", "nothing sound", chosen(made(remedy="wait"), after=made(start=50))
    )
    assert (facts["zone.wait-days"], facts["zone.decision"]) == (50.0, "nothing-sound")
    assert (facts["site.month"], facts["zone.bare-percent"]) == ("may", 40.0)
    assert "zone.wait-days" not in standby_facts(consultation(), "a", "wait", chosen(made(remedy="wait")))
    assert standby_facts(consultation(), "a", "wait", chosen(least_bad=made(start=9)))["zone.wait-days"] == 9


def test_five_things_are_said_those_that_stand_first() -> None:
    rows, facts = meanwhile_rows(consultation(rows=8), "a", "wait", chosen(made(start=50)))
    assert [row.order for row in rows] == [0, 1, 2, 3, 4]
    assert facts["zone.wait-days"] == 50
