"""A sport that is told without its hours leaves open how much is played: rules on hours could still speak."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from decide.consult import Adviser
from decide.engine.language import GRADES
from decide.model.reading import situation_from_dict


def situation(**use: Any) -> dict[str, Any]:
    return {
        "place": {"name": "Naas", "country": "ie"},
        "dates": {"today": dt.date(2026, 6, 1)},
        "use": [{"sport": "soccer", **use}],
        "zone": [{"name": "whole field", "bare_percent": 40}],
    }


@pytest.mark.parametrize(
    ("use", "closed"),
    [({}, False), ({"hours_per_week": 20}, True), ({"games_per_week": 3}, True)],
)
def test_hours_are_open_until_they_are_told(adviser: Adviser, use: dict[str, Any], closed: bool) -> None:
    c = adviser.consult(situation_from_dict(situation(**use)))
    assert c.is_closed("site.hours-peak") is closed


def test_hours_of_all_play_close_them_too(adviser: Adviser) -> None:
    c = adviser.consult(situation_from_dict({**situation(), "field": {"play_hours_week": 20}}))
    assert c.is_closed("site.hours-peak")


def test_grass_for_margins_is_no_better_where_nobody_told_the_hours(adviser: Adviser) -> None:
    told, bare = (
        adviser.consult(situation_from_dict(situation(**use))) for use in ({"hours_per_week": 20}, {})
    )
    rows = [w for w in bare.ranked if w.draft.plant == "fine-fescue" and w.draft.code in told.weighed]
    assert rows
    for w in rows:
        held = told.weighed[w.draft.code].grades["fits-place"]
        assert GRADES.index(w.grades["fits-place"]) <= GRADES.index(held)
