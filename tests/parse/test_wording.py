"""Answers said back in words."""

from __future__ import annotations

from decide.parse.results import (
    FieldShare,
)
from decide.parse.wording import say_value


def test_shown_figures_are_not_finer_than_what_was_said() -> None:
    assert say_value(33.333, "percent") == "33 %"
    assert say_value(304.8, "m") == "305 metres"
    assert say_value(201.52, "m2") == "202 m²"
    assert say_value(2.5, "h/week") == "2.5 hours a week"
    assert say_value(7.62, "m") == "7.62 metres"


def test_a_share_of_the_field_is_said_as_one():
    assert say_value(FieldShare(33.333)) == "33 % of the field"
