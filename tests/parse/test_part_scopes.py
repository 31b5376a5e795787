"""What a clause tells of several parts belongs to the part that it stands by."""

from __future__ import annotations

from itertools import permutations

import pytest

from tests.parse.said_in_message import told

THIN, SOLID = "scattered", "solid"


def of(key: str, text: str) -> dict[str, object]:
    """The parts of which a key is told, with its values."""
    return {
        name.removeprefix(f"zone.{key}[").removesuffix("]"): value
        for name, value in told(f"{text} York, UK.").items()
        if name.startswith(f"zone.{key}[")
    }


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("Bare goalmouths and a thin middle.", {"middle": THIN}),
        ("Thin wings and bare goalmouths.", {"wings": THIN}),
        ("A thin middle and bare goalmouths and patchy wings.", {"middle": THIN, "wings": THIN}),
        ("goalmouths solid bare patches and the centre thin.", {"goalmouths": SOLID, "centre": THIN}),
        ("Goalmouths 80% bare and middle thin.", {"middle": THIN}),
        ("Goalmouths 150 m2 and middle thin.", {"middle": THIN}),
        # What follows a list of names is said of all of them.
        ("Goalmouths and centre circle are thin.", {"goalmouths": THIN, "centre circle": THIN}),
        ("Goalmouths, middle and wings are thin.", {"goalmouths": THIN, "middle": THIN, "wings": THIN}),
        ("Both goalmouths and the middle are bare and patchy.", {"both goalmouths": THIN, "middle": THIN}),
        ("Thin goalmouths and middle.", {"goalmouths": THIN, "middle": THIN}),
        ("It is thin in the middle and bare in the goalmouths.", {"middle": THIN}),
    ],
)
def test_how_it_is_worn_is_told_of_the_part_beside_it(text: str, parts: dict[str, str]) -> None:
    assert of("bare_pattern", text) == parts


def test_each_part_has_the_share_and_the_shape_that_stand_by_it() -> None:
    assert of("bare_percent", "Goalmouths 80% bare and middle thin.") == {"goalmouths": 80}
    assert of("bare_percent", "Goalmouths 80% bare and wings half gone.") == {"goalmouths": 80, "wings": 50}
    shapes = of("bare_shape", "Goalmouths worn down and a wet corner where water lies.")
    assert shapes == {"goalmouths": "follows play", "wet corner": "low ground"}


def test_what_only_begins_before_a_comma_is_told_of_the_next_part() -> None:
    text = "Muddy goalmouths and a shaded, mossy corner by the trees."
    assert of("bare_shape", text) == {"corner by the trees": "shadow"}
    assert of("weeds", text) == {"corner by the trees": ["moss"]}


@pytest.mark.parametrize(
    "order", list(permutations(("bare goalmouths", "a thin middle", "solidly bare wings")))
)
def test_the_order_of_the_parts_makes_no_difference(order: tuple[str, ...]) -> None:
    assert of("bare_pattern", f"We have {' and '.join(order)}.") == {"middle": THIN, "wings": SOLID}
