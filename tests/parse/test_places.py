"""Towns, coordinates and the parts of a field as people name them. All expectations were written by hand before the first run."""

from __future__ import annotations

import pytest

from decide.parse.answers import pick, read
from decide.parse.results import (
    AskBack,
    NotUnderstood,
    Setting,
    Understood,
)
from decide.parse.wording import say_value
from tests.parse.settings import (
    NOWHERE,
    TODAY,
    values,
)


def test_places_without_a_table_and_with_two_of_one_name() -> None:
    assert values(read("place", "York, UK", NOWHERE)) == {"name": "York", "country": "gb"}
    two = [
        {"name": "Springfield", "country": "us", "region": "mo", "say": "Springfield, Missouri"},
        {"name": "Springfield", "country": "us", "region": "il", "say": "Springfield, Illinois"},
    ]
    setting = Setting(TODAY, find_place=lambda name: two if name == "Springfield" else [])
    result = read("place", "Springfield", setting)
    assert isinstance(result, AskBack)
    assert [reading.say for reading in result.readings[:2]] == [
        "Springfield, Missouri",
        "Springfield, Illinois",
    ]
    assert pick("Illinois", result.readings) == result.readings[1]
    assert values(read("place", "Atlantis", setting)) is NotUnderstood


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("53.96, -1.08", (53.96, -1.08)), ("53.96 N, 1.08 W", (53.96, -1.08)), ("lat 53.96 lon -1.08", (53.96, -1.08)), ("53,96 -1,08", (53.96, -1.08)),
        # fifty-seven sixtieths of a degree are 0.95, five are 0.0833
        ("53°57'N 1°5'W", (53.95, -1.0833)), ("37° 48' 36\" S, 144° 57' 36\" E", (-37.81, 144.96)), ("-33.87 151.21", (-33.87, 151.21)), ("1.35 north and 103.8 east", (1.35, 103.8)),
        ("we are near 53.96, -1.08", (53.96, -1.08)),
    ],
)  # fmt: skip
def test_coordinates(said: str, wanted: tuple[float, float]) -> None:
    assert values(read("place", said, NOWHERE)) == {"latitude": wanted[0], "longitude": wanted[1]}


def test_coordinates_with_a_country_are_told_back() -> None:
    result = read("place", "53.96, -1.08, UK", NOWHERE)
    assert isinstance(result, Understood)
    assert result.value == {"latitude": 53.96, "longitude": -1.08, "country": "gb"}
    assert result.note == "I take 53.96 degrees north, 1.08 degrees west."
    assert say_value(result.value) == "53.96 degrees north, 1.08 degrees west"


@pytest.mark.parametrize(
    "said",
    [
        "95, 10",
        "10, 200",
        "53.96",
        "53°75'N 1°5'W",
        "-53 S, 10 E",
        "10 E, 53 N",
        "53, 1, Narnia",
        "5, 6, 7",
        "- , -",
    ],
)
def test_what_is_no_coordinates_is_refused(said: str) -> None:
    result = read("place", said, NOWHERE)
    assert isinstance(result, NotUnderstood)
    assert "53.96, -1.08" in result.say


ZONES = [
    ("goalmouths", ["goalmouths"]),
    ("the two goalmouths are bare and the middle is thin", ["goalmouths", "middle"]),
    ("goal mouths, sidelines", ["goalmouths", "touchlines"]),
    ("it's all bare", ["whole field"]),
    ("everywhere", ["whole field"]),
    ("wet corner by the oak", ["wet corner by the oak"]),
    ("!!!", NotUnderstood),
]


@pytest.mark.parametrize(("said", "means"), ZONES)
def test_zones(said: str, means: object) -> None:
    assert values(read("zones", said, NOWHERE)) == means


def test_a_named_corner_keeps_its_name() -> None:
    assert values(read("zones", "the wet corner", NOWHERE)) == ["wet corner"]
    assert values(read("zones", "corners", NOWHERE)) == ["corners"]
