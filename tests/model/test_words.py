"""Words that every part of the program shares."""

import pytest

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
