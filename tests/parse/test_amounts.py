"""Numbers, areas and sums of money that people type, with what they mean.

All expectations were written by hand before the first run. Unit conversions: NIST Handbook 44, appendix C, 2023
(acre 4,046.8564224 m², yard 0.9144 m, foot 0.3048 m, inch 25.4 mm, US gallon 3.785411784 litres). The words are
common practice, no source.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decide.parse.answers import read
from decide.parse.results import (
    AskBack,
    Elsewhere,
    FieldShare,
    NotUnderstood,
    Setting,
    Sum,
)
from tests.parse.settings import (
    METRIC,
    NORTH,
    NOWHERE,
    SOUTH,
    TODAY,
    US,
    values,
)

NUMBERS = [
    ("number", "percent", "80", NOWHERE, 80),
    ("number", "percent", "80%", NOWHERE, 80),
    ("number", "percent", "about 80 per cent", NOWHERE, 80),
    ("number", "percent", "half", NOWHERE, 50),
    ("number", "percent", "half bare", NOWHERE, 50),
    ("number", "percent", "a third", NOWHERE, 33.333),
    ("number", "percent", "two thirds of it", NOWHERE, 66.667),
    ("number", "percent", "three quarters", NOWHERE, 75),
    ("number", "percent", "3/4", NOWHERE, 75),
    ("number", "percent", "¾", NOWHERE, 75),
    ("number", "percent", "3 in 4", NOWHERE, 75),
    ("number", "percent", "one in ten", NOWHERE, 10),
    ("number", "percent", "all of it", NOWHERE, 100),
    ("number", "percent", "completely bare", NOWHERE, 100),
    ("number", "percent", "none", NOWHERE, 0),
    ("number", "percent", "not at all", NOWHERE, 0),
    ("number", "percent", "0.5", NOWHERE, [50, 0.5]),
    ("number", "percent", "20 to 30", NOWHERE, [20, 30]),
    ("number", "percent", "a third grass", NOWHERE, [33.333, 66.667]),
    ("number", "percent", "140", NOWHERE, NotUnderstood),
    ("number", "percent", "most of it", NOWHERE, NotUnderstood),
    ("number", "h/week", "12", NOWHERE, 12),
    ("number", "h/week", "twelve hours a week", NOWHERE, 12),
    ("number", "h/week", "an hour and a half", NOWHERE, 1.5),
    ("number", "h/week", "two and a half hours", NOWHERE, 2.5),
    ("number", "h/week", "90 minutes", NOWHERE, 1.5),
    ("number", "h/week", "1 h 30", NOWHERE, 1.5),
    ("number", "h/week", "2 hours a day", NOWHERE, [10, 14]),
    ("number", "h/week", "52 hours a month", NOWHERE, 12),
    ("number", "h/week", "200", NOWHERE, NotUnderstood),
    ("number", "h/week", "3 matches", NOWHERE, NotUnderstood),
    ("number", "count/day", "twice", NOWHERE, 2),
    ("number", "count/day", "once a day", NOWHERE, 1),
    ("number", "count/day", "three times", NOWHERE, 3),
    ("number", "count/day", "never", NOWHERE, 0),
    ("number", "count/day", "every other day", NOWHERE, 0.5),
    ("number", "count/day", "once or twice", NOWHERE, [1, 2]),
    ("number", "count/day", "twice a week", NOWHERE, NotUnderstood),
    ("number", "count", "just me", NOWHERE, 1),
    ("number", "count", "a dozen people", NOWHERE, 12),
    ("number", "count", "a couple of volunteers", NOWHERE, 2),
    ("number", "count", "nobody", NOWHERE, 0),
    ("number", "count", "twenty-five", NOWHERE, 25),
    ("number", "count", "a hundred and twenty", NOWHERE, 120),
    ("number", "count", "2.5", NOWHERE, NotUnderstood),
    ("number", "l/min", "10 litres in 40 seconds", NOWHERE, 15),
    ("number", "l/min", "a 10 litre bucket takes half a minute", NOWHERE, 20),
    ("number", "l/min", "15 l/min", NOWHERE, 15),
    ("number", "l/min", "900 l/h", NOWHERE, 15),
    ("number", "l/min", "4 gallons per minute", US, 15.142),
    ("number", "l/min", "2 gallons in 30 s", NORTH, 18.184),  # imperial gallon, 4.54609 litres
    ("number", "l/min", "20", NORTH, 20),
    ("number", "l/min", "20", NOWHERE, [20, 75.708]),
    ("number", "pH", "pH 6.5", NOWHERE, 6.5),
    ("number", "pH", "65", NOWHERE, NotUnderstood),
    ("number", "hour", "about six hours", NOWHERE, 6),
    ("number", "hour", "2 days", NOWHERE, NotUnderstood),
    ("number", "count", "2e9", NOWHERE, NotUnderstood),
    ("number", "count", "9**9**9", NOWHERE, NotUnderstood),
    ("number", "count", "1/0", NOWHERE, NotUnderstood),
    ("number", "count", "-4", NOWHERE, NotUnderstood),
    ("number", "count", "9" * 300, NOWHERE, NotUnderstood),
    ("number", "count", "__import__('os').system('true')", NOWHERE, NotUnderstood),
]


AREAS = [
    ("area", "m2", "7,140 m²", NOWHERE, 7140),
    ("area", "m2", "7140 square metres", NOWHERE, 7140),
    ("area", "m2", "7 140 m2", NOWHERE, 7140),
    ("area", "m2", "3/4 acre", NOWHERE, 3035.142),
    ("area", "m2", "half an acre", NOWHERE, 2023.428),
    ("area", "m2", "a quarter of an acre", NOWHERE, 1011.714),
    ("area", "m2", "one and a half acres", NOWHERE, 6070.285),
    ("area", "m2", "1 1/2 acres", NOWHERE, 6070.285),
    ("area", "m2", "an acre", NOWHERE, 4046.856),
    ("area", "m2", "0.7 ha", NOWHERE, 7000),
    ("area", "m2", "0,7 hectare", NOWHERE, 7000),
    ("area", "m2", "100 x 60 yd", NOWHERE, 5016.764),
    ("area", "m2", "100 yards by 60 yards", NOWHERE, 5016.764),
    ("area", "m2", "100m x 60m", NOWHERE, 6000),
    ("area", "m2", "100×60 m", NOWHERE, 6000),
    ("area", "m2", "100 x 60", NOWHERE, [6000, 5016.764]),
    ("area", "m2", "100 x 60", NORTH, 6000),
    ("area", "m2", "1.500 m2", NOWHERE, [1500, 1.5]),
    ("area", "m2", "500", NOWHERE, [500, 46.452]),
    ("area", "m2", "500", US, 46.452),
    ("area", "m2", "1,000 sq ft", NOWHERE, 92.903),
    ("area", "m2", "a third of the field", NOWHERE, FieldShare(33.333)),
    ("area", "m2", "20 %", NOWHERE, FieldShare(20)),
    ("area", "m2", "5 kg", NOWHERE, NotUnderstood),
    ("area", "m2", "0 m2", NOWHERE, NotUnderstood),
    ("area", "m2", "10 x 10 x 10", NOWHERE, NotUnderstood),
    ("length", "m", "30 m", NOWHERE, 30),
    ("length", "m", "100 feet", NOWHERE, 30.48),
    ("length", "m", "fifty yards", NOWHERE, 45.72),
    ("length", "m", "30", NOWHERE, [30, 9.144]),
    ("length", "m", "30", US, 9.144),
    ("length", "m", "6'6\"", NOWHERE, 1.981),
    ("length", "mm", "half an inch", NOWHERE, 12.7),
    ("length", "mm", "1 cm", NOWHERE, 10),
    ("length", "mm", "10", NORTH, 10),
    ("length", "mm", "none", NOWHERE, 0),
    ("length", "m", "2 hours", NOWHERE, NotUnderstood),
]


@pytest.mark.parametrize(("kind", "unit", "said", "setting", "means"), NUMBERS + AREAS)
def test_numbers_and_areas(kind: str, unit: str, said: str, setting: Setting, means: object) -> None:
    assert values(read(kind, said, setting, unit=unit)) == means


SUMS = [
    ("about 2 grand", NOWHERE, Sum(2000)),
    ("2k", NOWHERE, Sum(2000)),
    ("1.5k", NOWHERE, Sum(1500)),
    ("£500", NOWHERE, Sum(500, "GBP")),
    ("500 quid", NOWHERE, Sum(500, "GBP")),
    ("$2,500", US, Sum(2500, "USD")),
    ("$2,500", SOUTH, Sum(2500, "AUD")),
    ("two thousand five hundred euros", NOWHERE, Sum(2500, "EUR")),
    ("a couple of thousand", NOWHERE, Sum(2000)),
    ("500 to 1000", NOWHERE, Sum(500)),
    ("1-2k", NOWHERE, Sum(1000)),
    ("nothing", NOWHERE, Sum(0)),
    ("€1.500", NOWHERE, Sum(1500, "EUR")),
    ("500 pounds", NORTH, Sum(500, "GBP")),
    ("500 kg", NOWHERE, NotUnderstood),
    ("a few hundred", NOWHERE, NotUnderstood),
    ("lots", NOWHERE, NotUnderstood),
]


@pytest.mark.parametrize(("said", "setting", "means"), SUMS)
def test_money(said: str, setting: Setting, means: object) -> None:
    assert values(read("money", said, setting)) == means


def test_pounds_are_money_or_weight() -> None:
    result = read("money", "500 pounds", NOWHERE)
    assert isinstance(result, AskBack)
    first, second = (reading.value for reading in result.readings)
    assert first == Sum(500, "GBP")
    assert isinstance(second, Elsewhere)


def test_several_places_of_one_area_are_added_up() -> None:
    assert values(read("area", "2 x 60 m2", METRIC, unit="m2")) == 120
    assert values(read("area", "two of 60 m²", METRIC, unit="m2")) == 120
    assert values(read("area", "20 x 6 m", METRIC, unit="m2")) == 120


def test_named_areas_come_from_the_caller() -> None:
    setting = Setting(TODAY, named_areas={"goalmouth": 100.0})
    assert values(read("area", "a goalmouth", setting, unit="m2")) == 100
    assert values(read("area", "two goalmouths", setting, unit="m2")) == 200
    assert values(read("area", "a goalmouth", NOWHERE, unit="m2")) is NotUnderstood


@settings(max_examples=60, deadline=None)
@given(st.integers(min_value=0, max_value=999_999_999))
def test_a_plain_count_is_read_back(number: int) -> None:
    assert values(read("number", str(number), NOWHERE, unit="count")) == number
    assert values(read("number", f"{number:,}", NOWHERE, unit="count")) == number
