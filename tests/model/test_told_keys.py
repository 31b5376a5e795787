"""What people say of dates, water, hands and sprays, as the situation keeps it."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from decide.model.errors import SituationError
from decide.model.reading import situation_from_dict
from decide.model.situation import Situation


def read(**tables: Any) -> Situation:
    return situation_from_dict(tables)


def test_a_date_of_matches_alone_is_the_date_wanted() -> None:
    dates = read(dates={"matches_by": "2026-09-12"}).dates
    assert (dates.play_by, dates.first_use, dates.matches_by) == (dt.date(2026, 9, 12), "matches", None)


def test_beside_another_date_training_comes_first() -> None:
    dates = read(dates={"play_by": "2026-08-01", "matches_by": "2026-09-12"}).dates
    assert (dates.play_by, dates.first_use) == (dt.date(2026, 8, 1), "training")
    assert dates.matches_by == dt.date(2026, 9, 12)


def test_days_of_watering_are_a_rule_and_hours_alone_are_none() -> None:
    assert read(limits={"water_days": ["Mon", "thu"]}).limits.water_law == "restricted days"
    assert read(limits={"water_hours": [{"from": "18:00", "until": 10}]}).limits.water_law is None
    assert read(limits={"water_days": ["mon"], "water_law": "banned"}).limits.water_law == "banned"


@pytest.mark.parametrize("words", ["don't know", "Don’t know", "unknown?"])
def test_what_is_not_known_stands_beside_days_and_dates_as_silence_does(words: str) -> None:
    assert read(limits={"water_days": ["mon"], "water_law": words}).limits.water_law == "restricted days"
    assert read(limits={"water_days": words}).limits.water_law is None
    one = read(dates={"play_by": words, "matches_by": "2026-09-12"}).dates
    assert (one.play_by, one.first_use, one.matches_by) == (dt.date(2026, 9, 12), "matches", None)
    assert read(dates={"play_by": "2026-08-01", "matches_by": words}).dates.first_use is None
    two = read(dates={"play_by": "2026-08-01", "matches_by": "2026-09-12", "first_use": words}).dates
    assert two.first_use == "training"


@pytest.mark.parametrize(("told", "kept"), [("6:30", "06:30"), (18, "18:00"), ("24:00", "24:00")])
def test_a_time_of_day(told: object, kept: str) -> None:
    span = (read(limits={"water_hours": [{"from": told, "until": "23:00"}]}).limits.water_hours or [])[0]
    assert span.start == kept


def test_a_spray_of_which_nothing_is_known() -> None:
    spray = (read(history={"herbicides": [{}]}).history.herbicides or [])[0]
    assert (spray.kind, spray.date, spray.zone) == ("unknown", None, None)


@pytest.mark.parametrize(
    ("tables", "says"),
    [
        (
            {"dates": {"play_by": "2026-09-12", "matches_by": "2026-08-01"}},
            "dates.matches_by (2026-08-01) lies before dates.play_by (2026-09-12), the date of training",
        ),
        (
            {"dates": {"play_by": "2026-08-01", "first_use": "matches", "matches_by": "2026-09-12"}},
            'dates.matches_by stands beside first_use = "matches"',
        ),
        (
            {"limits": {"water_law": "none", "water_days": ["mon"]}},
            'limits.water_law is "none" but limits.water_days names days',
        ),
        (
            {"means": {"water": "none", "water_from": "2026-07-01"}},
            "means.water_from says that there is some",
        ),
        (
            {"means": {"budget_from": "2026-09-01", "budget_until": "2026-07-01"}},
            "means.budget_until (2026-07-01) lies before means.budget_from (2026-09-01)",
        ),
        (
            {"means": {"water": "none", "water_litres_day": 900}},
            "means.water_litres_day says that there is some",
        ),
        (
            {
                "field": {"play_hours_week": 10},
                "use": [{"hours_per_week": 8}, {"sport": "rugby", "hours_per_week": 6}],
            },
            "field.play_hours_week (10) is less than the uses' hours together (14)",
        ),
        ({"limits": {"water_hours": [{"from": "25:00", "until": "6:00"}]}}, "is not a time of day"),
    ],
)
def test_what_cannot_both_be_true_says_what_to_write(tables: dict[str, Any], says: str) -> None:
    with pytest.raises(SituationError) as caught:
        situation_from_dict(tables)
    assert says in caught.value.wrong
    assert caught.value.instead
