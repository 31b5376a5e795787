"""Words that every part of the program shares."""

import pytest

from decide.model.wording import show
from decide.model.words import first_sentence, printable, to_ascii


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("5 °C, 7,140 m², it’s £5 – ok ✓", "5 deg C, 7,140 m2, it's GBP 5 - ok ok"),
        ("at 5\u00a0° C, for € 5", "at 5 deg C, for EUR 5"),
        ("Łódź  and Malmö\n│ 草", "Lodz  and Malmo\n| ?"),
    ],
)
def test_ascii_twin(text, expected):
    assert to_ascii(text) == expected


def test_what_a_screen_would_obey_is_not_printed():
    assert printable("one\ttwo\x1b[2J\u202ethree\nfour") == "one two[2Jthree four"


@pytest.mark.parametrize(
    ("text", "expected"),
    [("It is so. It is.", "It is so."), ("At 3.5 m? Yes.", "At 3.5 m?"), ("no stop", "no stop")],
)
def test_first_sentence(text, expected):
    assert first_sentence(text) == expected


@pytest.mark.parametrize(
    ("amount", "metric", "us"),
    [
        (25.4, "25 mm", "1 in"),
        (50.8, "50 mm", "2 in"),
        (63.5, "65 mm", "2.5 in"),
        (25, "25 mm", "1 in"),
        (100, "100 mm", "4 in"),
        (62, "62 mm", "2.4 in"),
    ],
)
def test_lengths_are_told_as_people_tell_them(amount: float, metric: str, us: str) -> None:
    """What is printed or told in whole millimetres stays; what comes of another unit is rounded to a usual step."""
    assert (show(amount, "mm"), show(amount, "mm", "us")) == (metric, us)


@pytest.mark.parametrize(
    ("amount", "unit", "metric", "us"),
    [
        (0.25, "in", "6.5 mm", "0.25 in"), (4, "in", "100 mm", "4 in"), (15, "ft", "4.57 m", "15 ft"),
        (1, "lb/1000ft2", "5 g/m²", "1 lb per 1,000 ft²"), (50, "lb/1000ft2", "240 g/m²", "50 lb per 1,000 ft²"),
        (85, "F", "29 °C", "85 °F"), (6.4, "pH", "pH 6.4", "pH 6.4"),
    ],
)  # fmt: skip
def test_a_number_that_a_source_prints_in_feet_is_said_in_the_units_of_the_reader(amount, unit, metric, us):
    assert (show(amount, unit), show(amount, unit, "us")) == (metric, us)
