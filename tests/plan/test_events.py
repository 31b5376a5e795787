"""The days that work hangs on: only those that can be told."""

from __future__ import annotations

import datetime as dt

import pytest

from decide.decision.consultation import Consultation
from decide.facts.draft import planted
from decide.plan.events import events_of
from decide.plan.jobs import job_of
from tests.decision.fields import SHUT, changed, consulted

START = dt.date(2026, 9, 1)


def events(c: Consultation, variant: str = "plain") -> set[str]:
    draft = planted(c.knowledge, "whole-field", "broadcast-seed", "perennial-ryegrass", variant, START)
    (w,) = c.weigh([draft]).values()
    return {*events_of(c, job_of(c, w), START)}


@pytest.mark.parametrize("variant", ["plain", "winter-overseed"])
def test_without_a_place_no_day_is_told_but_today_and_the_start(variant: str) -> None:
    field = changed(
        SHUT,
        place={"name": None, "country": None},
        zone=[{**SHUT["zone"][0], "grass": [{"grass": "bermudagrass", "share_percent": 100}]}],
    )
    assert events(consulted(field), variant) == {"today", "start"}


def test_grass_over_a_stand_that_sleeps_waits_for_that_to_wake() -> None:
    field = changed(
        SHUT,
        place={"name": "Macon", "region": "Georgia", "country": "us"},
        zone=[{**SHUT["zone"][0], "grass": [{"grass": "bermudagrass", "share_percent": 100}]}],
    )
    assert "stand-wakes" in events(consulted(field), "winter-overseed")
    assert "stand-wakes" not in events(consulted(field))
