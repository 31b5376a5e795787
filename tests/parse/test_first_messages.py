"""What first messages of volunteers were misread for, or lost without a word."""

from __future__ import annotations

from typing import Any

import pytest

from tests.parse.said_in_message import heard, told


@pytest.mark.parametrize(
    ("text", "key", "value"),
    [
        # Days of every week are no day by which it is wanted.
        ("We train Tuesday and Thursday. Want it right for 1 April.", "dates.play_by", "2027-04-01"),
        ("Penalty areas bald and the rest is thin with moss.", "zone.bare_pattern[penalty areas]", None),
        ("Penalty areas bald and the rest is thin with moss.", "zone.weeds[penalty areas]", None),
        ("A thin pitch and bald goal ends.", "zone.bare_pattern[goal ends]", None),
        ("Worn sidelines, both of them 100 yards by 3.", "field.length_m", None),
        ("Worn sidelines, both of them 100 yards by 3.", "zone.area_m2[sidelines]", 501.7),
        ("Goalmouths are a bog, about 50 m by 20 at each end.", "field.length_m", None),
        ("Goalmouths are a bog, about 50 m by 20 at each end.", "zone.area_m2[goalmouths]", 2000),
        ("In front of goal bare, 6 x 4 m each.", "zone.area_m2[front of goal]", 48),
        ("Bare goalmouths. Fuel leaked from the mower.", "site.dangers", ["fuel"]),
        ("Nobody may spray here.", "limits.pesticides", "banned"),
        ("Council says ok so long as we don't spray.", "limits.pesticides", "banned"),
        ("Cables not marked.", "site.services_marked", False),
        ("The cables have not been marked yet.", "site.services_marked", False),
        ("Nobody has marked the cables.", "site.services_marked", False),
        ("The pipes and cables are marked.", "site.services_marked", True),
        ("The pipes and cables are probably marked.", "site.services_marked", None),
        ("Two helpers plus me.", "means.helpers", 3),
        ("Budget is $4,500. 22 of us play.", "means.budget", 4500),
        ("Nobody is here from July to August.", "dates.no_work", [{"from": "2026-07-01", "until": "2026-08-31"}]),
    ],
)  # fmt: skip
def test_a_first_message_tells(text: str, key: str, value: Any) -> None:
    assert told(f"York, UK. {text}").get(key) == value


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("Three evenings of two hours.", 6), ("2 hours twice a week.", 4),
        ("10 hours a week on two evenings.", 10), ("Two evenings of training, 5 hours a week.", 5),
    ],
)  # fmt: skip
def test_hours_of_several_evenings_are_added_up(text: str, hours: float) -> None:
    assert told(f"Soccer in York, UK. {text}")["use"][0]["hours_per_week"] == hours


def test_a_sum_of_which_nothing_was_made_is_named() -> None:
    assert "£500" in heard("York, UK. £2,000 plus a £500 grant that runs out 30 April.").unread
