"""The usual area of a field is that of the whole field, never that of a part of it."""

from __future__ import annotations

import datetime as dt

import pytest

from decide.consult import Adviser
from decide.facts.complete import fill
from decide.facts.filled import Filled
from decide.model.reading import situation_from_dict


def filled(adviser: Adviser, sport: str, zone: str) -> Filled:
    told = {
        "place": {"name": "Dayton", "country": "us", "region": "Ohio"},
        "dates": {"today": dt.date(2026, 4, 5)},
        "use": [{"sport": sport}],
        "zone": [{"name": zone, "bare_percent": 40}],
    }
    return fill(situation_from_dict(told), adviser.library)


@pytest.mark.parametrize("sport", ["baseball", "softball", "cricket"])
def test_a_part_says_nothing_of_the_whole(adviser: Adviser, sport: str) -> None:
    found = filled(adviser, sport, "whole field").areas.get("whole-field")
    # An infield has 750 m2 and a pitch 60; no field of these games is smaller than a soccer field for children.
    assert found is None or found > 2_000


def test_a_part_that_is_named_has_its_own_area(adviser: Adviser) -> None:
    assert 600 < filled(adviser, "baseball", "infield").areas["infield"] < 900


def test_a_field_has_that_of_its_sport(adviser: Adviser) -> None:
    assert 5_000 < filled(adviser, "soccer", "whole field").areas["whole-field"] < 9_000
