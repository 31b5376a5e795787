"""Names of towns: found by their first letters, and near spellings, as by looking at all of them."""

from __future__ import annotations

import difflib
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from decide.measure.place_names import CloseNames, Lines

NAMES = (
    "dayton", "daytona beach", "dalton", "day", "denton", "york", "new york", "yorkton", "münchen", "munchen", "saint louis", "st", "łódź", "lodz",
    "kirkwall", "kirkwell", "a", "aa", "zürich", "zurich", "llanfairpwllgwyngyll",
)  # fmt: skip


def every_one(word: str, names: Sequence[str]) -> list[str]:
    """What is close to a word by looking at all names."""
    for pool in (
        [name for name in names if name[:1] == word[:1] and abs(len(name) - len(word)) <= 3],
        [name for name in names if abs(len(name) - len(word)) <= 1],
    ):
        found = difflib.get_close_matches(word, sorted(pool), n=6, cutoff=0.75)
        if word and found:
            return found
    return []


@given(st.one_of(st.text("adeykolntrwiüł z", max_size=14), st.text(max_size=6), st.sampled_from(NAMES)))
def test_they_are_those_that_looking_at_all_names_finds(word: str) -> None:
    assert CloseNames(NAMES).near(word) == every_one(word, NAMES)


@pytest.mark.parametrize(("word", "found"), [("daytn", ["dayton"]), ("xyork", ["york"]), ("x" * 300, [])])
def test_a_slip_is_found(word: str, found: list[str]) -> None:
    assert CloseNames(NAMES).near(word)[:1] == found


def test_a_name_of_more_than_three_letters_more_is_another() -> None:
    """Of ten letters six are three quarters of both: alike enough, were it not for the length."""
    assert CloseNames(("daytonabe",)).near("dayton") == ["daytonabe"]
    assert CloseNames(("daytonabay",)).near("dayton") == []


def test_six_near_names_are_enough() -> None:
    assert len(CloseNames([f"dayton{letter}" for letter in "abcdefgh"]).near("dayton")) == 6


def test_of_no_names_none_is_near() -> None:
    assert CloseNames(()).near("york") == []


STARTS = st.text("abcsan |é", max_size=12)


@given(st.lists(STARTS, min_size=1, max_size=12), STARTS, st.booleans())
def test_lines_are_found_by_how_they_begin(lines: list[str], start: str, whole: bool) -> None:
    text = Lines(b"\n" + "\n".join(lines).encode() + b"\n")
    wanted = f"{start}\n" if whole else start
    assert text.beginning(wanted.encode()) == [
        n for n, line in enumerate(lines) if f"{line}\n".startswith(wanted)
    ]


def test_lines_in_small_letters_are_the_same_lines() -> None:
    text = Lines("\nSan José|cr|SJ\nÉvora|pt|07\nSan Martín|ar|B\n".encode())
    assert text.small.beginning(b"san ") == [0, 2]
    assert text.small[0] == "san josé|cr|sj"
    assert text.small.beginning("Évora|".encode()) == [1]
