"""Cleaning what people type."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from decide.parse.answers import read
from decide.parse.plain import LONGEST, clean, fold
from decide.parse.results import (
    NotUnderstood,
)
from tests.parse.settings import (
    NOWHERE,
    values,
)


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("\x1b[31mred\x1b[0m", "red"),
        ("\x1b]0;owned\x07York", "York"),
        ("Yo\x00r\u202ek\u200b", "York"),
        ("a\tb\n c", "a b c"),
        ("\x9b31mYork", "York"),
        ("[red]York[/red]", "[red]York[/red]"),
    ],
)
def test_escapes_and_controls_are_stripped(typed: str, kept: str) -> None:
    assert clean(typed) == kept


def test_length_is_bounded() -> None:
    assert len(clean("x" * 100_000)) == LONGEST
    assert values(read("text", "x" * (LONGEST + 1), NOWHERE)) is NotUnderstood


def test_folding_keeps_fractions_apart_from_whole_numbers() -> None:
    assert fold("3½ m²") == "3 1/2 m2"


@given(st.text())
def test_plain_letters_are_folded_as_all_are(text: str) -> None:
    # A mark that is left away makes the text one that is not plain.
    plain = "".join(letter for letter in text if letter.isascii())
    assert fold(plain) == fold(f"{plain} ’").removesuffix("'").rstrip()


@given(st.text())
def test_plain_text_is_cleaned_as_any_other(typed: str) -> None:
    """A mark that is taken out makes the line one that is not plain."""
    assert clean(typed) == clean(f"\0{typed}")
