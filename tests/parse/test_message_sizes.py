"""Sizes of parts: of each of several where that is said, of as many as are told or as a pitch has of them."""

from __future__ import annotations

import pytest

from tests.parse.said_in_message import heard, told


@pytest.mark.parametrize(
    ("text", "name", "area", "assumed"),
    [
        ("Bare goalmouths 15 by 10 metres each.", "goalmouths", 300, True),
        ("Bare goalmouths, each 15 x 10 m.", "goalmouths", 300, True),
        ("Bare goalmouths, 150 m2 each.", "goalmouths", 300, True),
        # Two sides are those of one place.
        ("Bare goalmouths 15 by 10 metres.", "goalmouths", 300, True),
        ("Both goalmouths are bare, 15 by 10 metres.", "both goalmouths", 300, False),
        ("Both goalmouths bare, 150 square metres apiece.", "both goalmouths", 300, False),
        ("Two bare goalmouths of 150 m2 each.", "goalmouths", 300, False),
        ("Bare goalmouths, two of 15 by 10 metres.", "goalmouths", 300, False),
        ("Each goalmouth is bare, 15 by 10 metres.", "each goalmouth", 300, False),
        ("The touchlines are bare, 80 x 2 m each.", "touchlines", 320, True),
        ("Bare penalty areas, 40 by 16 metres each.", "penalty areas", 1280, True),
        ("Four bare corners, each about 20 square metres.", "corners", 80, False),
        # An area without such a word is that of all of them; of one there is one.
        ("Bare goalmouths, about 150 m2.", "goalmouths", 150, False),
        ("One goalmouth is bare, 15 by 10 metres.", "one goalmouth", 150, False),
        ("The goalmouth at the road end is bare, 15 by 10 metres.", "goalmouth at the road end", 150, False),
    ],
)
def test_the_size_of_each_counts_as_often_as_there_are_such_places(
    text: str, name: str, area: float, assumed: bool
) -> None:
    (one,) = [row for row in heard(f"{text} York, UK.").told if row.key == "zone.area_m2"]
    assert (one.zone, one.value) == (name, area)
    assert bool(one.note) == assumed, "a number that nobody told is said"


def test_each_part_of_a_sentence_has_its_own_size() -> None:
    found = told("Goalmouths 150 m2 each and middle 400 m2 are bare. York, UK.")
    assert (found["zone.area_m2[goalmouths]"], found["zone.area_m2[middle]"]) == (300, 400)
    found = told("The goalmouths, 15 by 10 m each, and the centre circle, 20 by 20 m, are bare. York, UK.")
    assert (found["zone.area_m2[goalmouths]"], found["zone.area_m2[centre circle]"]) == (300, 400)


def test_where_the_number_of_places_is_open_it_is_asked() -> None:
    line = heard("Bare corners, 5 by 4 m each. York, UK.")
    assert "zone.area_m2" not in {one.key for one in line.told}
    (doubt,) = line.doubts
    assert [reading.say for reading in doubt.readings][:3] == ["one", "two", "three"]
    assert [{one.key: one.value for one in reading.value} for reading in doubt.readings][1:3] == [
        {"zone.area_m2": 40},
        {"zone.area_m2": 60, "zone.places": 3},
    ]


def test_sides_of_a_part_without_a_unit_are_asked_back() -> None:
    (doubt,) = heard("Bare goalmouths, 15 by 10 each. York, UK.").doubts
    assert (doubt.key, doubt.zone) == ("zone.area_m2", "goalmouths")
    metres, yards = (reading.value[0].value for reading in doubt.readings)
    assert metres == 300
    assert yards == pytest.approx(251, abs=1)
