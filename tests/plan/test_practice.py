"""What every plan owes to practice, over random fields: beds made days before the start, orders after the yes, hands that have the hours."""

from __future__ import annotations

import datetime as dt
import math
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from decide.answer.assemble import advice_of
from decide.decision.consultation import Consultation
from decide.model.planned import Task
from tests.decision.fields import SHUT, changed, consulted

D = dt.date.fromisoformat
ORDERS = ("order-seed", "order-sod", "order-plants", "book-machine", "find-machine")
HAND = ("owner", "volunteer")


def advised(
    today: dt.date,
    place: tuple[str, str],
    method: str,
    length: int,
    helpers: int,
    months: list[str],
    **told: Any,
) -> tuple[Consultation, list[Task]]:
    """A field without turf at a place, to be begun by one method by so many helpers, played on in some months."""
    data = changed(
        SHUT,
        place={"name": place[0], "country": place[1]},
        dates={"today": today.isoformat(), "play_by": (today + dt.timedelta(days=320)).isoformat(), "no_play": None, "can_close": None},
        site={"owner_agrees": None, **told.pop("site", {})},
        field={"length_m": length, "width_m": 50, **told.pop("field", {})},
        means={"helpers": helpers, "contractor": True, "equipment_hire": ["tiller", "tractor", "sprig-planter", "slit-seeder"]},
        wishes={"method": method},
        **told,
    )  # fmt: skip
    data["use"] = [{**data["use"][0], "months": months}]
    c = consulted(data)
    return c, advice_of(c).plan


def started(plan: list[Task], c: Consultation, zone: str) -> dt.date | None:
    days = [
        D(row.from_)
        for row in plan
        if row.zone == zone and c.knowledge.tasks.get(row.template) and c.knowledge.tasks[row.template].starts
    ]
    return min(days, default=None)


def held_to_practice(c: Consultation, plan: list[Task]) -> int:
    """Check the rows of a plan; how many of them say something."""
    k, seen = c.knowledge, 0
    yes = next((row for row in plan if row.template == "owner-says-yes"), None)
    day = k.value("helper-day") or 0
    helpers = c.filled.situation.means.helpers or 0
    for row in plan:
        task = k.tasks.get(row.template)
        if task is None or row.done:
            continue
        if row.template in ORDERS and yes is not None:
            seen += 1
            assert D(row.from_) >= D(yes.from_), row.code
            assert yes.code in row.after, row.code
        if (
            row.hours is not None
            and task.who in HAND
            and task.every is None
            and task.anchor == "today"
            and helpers
        ):
            seen += 1
            days = (D(row.until) - D(row.from_)).days + 1
            assert days >= math.ceil(round(row.hours.high / (helpers * day), 6)), row.code
        start = started(plan, c, row.zone)
        if row.stage == "bed" and task.anchor == "today" and task.holds and start is not None:
            seen += 1
            # as long as the work keeps, and the days of the work that follows on it
            follow = [
                r for r in plan if r.stage == "bed" and D(r.from_) > D(row.until) and D(r.from_) < start
            ]
            work = sum((D(r.until) - D(r.from_)).days + 1 for r in follow)
            most = (k.value((task.keeps or task.soonest or "").split("[")[0]) or 0) + work
            assert (start - D(row.until)).days <= most, (row.code, row.from_, row.until, start)
    return seen


@pytest.mark.slow
@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
@example(dt.date(2026, 3, 10), ("São Paulo", "br"), "sprigs", 95, 12, [], "clay", 5.0, 0)
@example(
    dt.date(2026, 10, 12),
    ("Fresno", "us"),
    "broadcast-seed",
    90,
    2,
    ["mar", "apr", "may", "sep", "oct"],
    "sand",
    None,
    0,
)
@given(
    today=st.dates(dt.date(2026, 1, 5), dt.date(2026, 12, 20)),
    place=st.sampled_from([("York", "gb"), ("Dunedin", "nz"), ("Statesboro", "us"), ("Pretoria", "za")]),
    method=st.sampled_from(["broadcast-seed", "hydromulch", "thin-sod", "sprigs", "plugs"]),
    length=st.integers(20, 110), helpers=st.integers(1, 12), months=st.lists(st.sampled_from(["mar", "apr", "may", "sep", "oct", "nov"]), unique=True),
    soil=st.sampled_from(["sand", "loam", "clay"]), ph=st.sampled_from([None, 5.0, 7.0]), weeds=st.sampled_from([0, 40]),
)  # fmt: skip
def test_every_plan_follows_practice(
    today: dt.date, place: tuple[str, str], method: str, length: int, helpers: int, months: list[str], soil: str, ph: float | None, weeds: float
) -> None:  # fmt: skip
    zone = [
        {
            "name": "whole field",
            "bare_percent": 95 - weeds,
            "bare_pattern": "solid",
            "weeds_percent": weeds,
            "cause": "compaction",
            "grass": [],
        }
    ]
    c, plan = advised(
        today, place, method, length, helpers, months, field={"soil": soil, "soil_ph": ph}, zone=zone
    )
    held_to_practice(c, plan)


def test_packed_ground_rests_two_weeks_before_it_is_sown() -> None:
    """By hand: asked on 10 May, packed clay is tilled after the yes and rests 14 days: not sown before 24 May."""
    zone = [
        {
            "name": "whole field",
            "bare_percent": 95,
            "bare_pattern": "solid",
            "cause": "compaction",
            "grass": [],
        }
    ]
    c, plan = advised(
        dt.date(2026, 5, 10), ("York", "gb"), "broadcast-seed", 90, 12, [], zone=zone, field={"soil": "clay"}
    )
    tilled = next(row for row in plan if row.template == "till-the-bed")
    start = started(plan, c, tilled.zone)
    assert start is not None
    assert start >= dt.date(2026, 5, 24)
    assert (start - D(tilled.until)).days >= 14
    assert held_to_practice(c, plan) >= 3


def test_two_people_need_days_for_a_bed_by_hand() -> None:
    """By hand: 90 m x 50 m raked by hand is 16 x 4.5 = 72 hours at the slow end; two people with six hours a day need six days."""
    c, plan = advised(
        dt.date(2026, 5, 10),
        ("York", "gb"),
        "broadcast-seed",
        90,
        2,
        [],
        zone=[{"name": "whole field", "bare_percent": 95, "bare_pattern": "solid", "grass": []}],
    )
    bed = next(row for row in plan if row.template == "make-the-bed")
    assert bed.hours is not None
    assert bed.hours.high == pytest.approx(72)
    assert (D(bed.until) - D(bed.from_)).days + 1 == 6
    start = started(plan, c, bed.zone)
    assert start is not None
    assert start > D(bed.until)


def test_nothing_is_ordered_before_the_money_is_there() -> None:
    today, money = dt.date(2026, 5, 20), dt.date(2026, 8, 15)
    means = {"water": "hand hose", "budget_from": money.isoformat(), "contractor": None}
    c = consulted(changed(SHUT, dates={"today": today.isoformat(), "no_play": None}, means=means))
    orders = [row for row in advice_of(c).plan if row.template in ORDERS]
    assert orders
    for row in orders:
        assert D(row.from_) >= money, row.code
        assert row.latest is None or D(row.latest) >= money, row.code
