"""Any answer of any kind: don't know, readings picked, and text that nobody would type. All expectations were written by hand before the first run."""

from __future__ import annotations

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decide.parse.answers import KINDS, pick, read
from decide.parse.plain import LONGEST, spaced
from decide.parse.results import (
    AskBack,
    NotUnderstood,
    Reading,
    Understood,
    Unknown,
)
from tests.parse.settings import (
    NORTH,
    NOWHERE,
    SPRAYS,
    WATER,
)

UNKNOWNS = [
    "don't know", "Don’t know", "dunno", "no idea", "No idea, sorry", "not sure", "skip", "I have no idea", "we never measured that",
    "haven't a clue", "I'm not sure about that",
]  # fmt: skip


@pytest.mark.parametrize("said", UNKNOWNS)
@pytest.mark.parametrize("kind", KINDS)
def test_dont_know_is_taken_by_every_kind(kind: str, said: str) -> None:
    assert read(kind, said, NOWHERE, choices=WATER) == Unknown()


READINGS = (
    Reading("12 June 2026 (day first)", "2026-06-12"),
    Reading("6 December 2026 (month first)", "2026-12-06"),
)


@pytest.mark.parametrize(
    ("said", "at"), [("1", 0), ("2", 1), ("the second", 1), ("June", 0), ("december", 1), ("Day first", 0)]
)
def test_a_reading_is_picked(said: str, at: int) -> None:
    assert pick(said, READINGS) == READINGS[at]


@pytest.mark.parametrize("said", ["2026", "neither", "3", ""])
def test_no_reading_is_picked(said: str) -> None:
    assert pick(said, READINGS) is None


ANY = (
    st.text(max_size=60)
    | st.text(alphabet="0123456789.,/x% €£$-apm'\"", max_size=30)
    | st.from_regex(r"[0-9]{1,4}[./-][0-9]{1,4}([./-][0-9]{1,4})?", fullmatch=True)
)


WORDS = st.lists(
    st.sampled_from(
        sorted(
            spaced(
                "half a third 3/4 acre x by 100 60 yd m2 about 2 grand k mid end of September next spring in five weeks 12/6 not no but "
                "all year July to hose sprinklers glass and loose goals pounds € 1.500 1,5 every other day twice ago last 10 litres seconds"
            )
        )
    ),
    max_size=9,
).map(" ".join)


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from(KINDS),
    ANY | WORDS,
    st.sampled_from(["", "percent", "h/week", "count/day", "count", "l/min", "mm", "m", "pH", "hour"]),
)
def test_reading_never_raises_and_stays_bounded(kind: str, said: str, unit: str) -> None:
    for choices in ((), WATER, SPRAYS):
        result = read(kind, said, NORTH, choices=choices, unit=unit)
        assert isinstance(result, (Understood, Unknown, AskBack, NotUnderstood))
        if isinstance(result, AskBack):
            assert 2 <= len(result.readings) <= 7
        if isinstance(result, NotUnderstood):
            assert 0 < len(result.say) < 700
            assert "\x1b" not in result.say
        if isinstance(result, Understood) and isinstance(result.value, str):
            assert len(result.value) <= LONGEST
        if isinstance(result, Understood) and isinstance(result.value, float):
            assert 0 <= result.value < 1e18


@pytest.mark.parametrize(
    "said",
    ["a " * 200, "1 " * 200, "and " * 100, "-" * 400, "0x" * 200, "in " * 130, "half " * 80, "9," * 200],
)
@pytest.mark.parametrize("kind", KINDS)
def test_hostile_repetition_is_quick(kind: str, said: str) -> None:
    before = time.perf_counter()
    read(kind, said, NOWHERE, choices=WATER, unit="percent")
    assert time.perf_counter() - before < 0.5


@pytest.mark.parametrize("said", ["well 3/0 of it I think", "hm, 99999999999999999999 m I'd say", "so 1/0 hours maybe, or so"])  # fmt: skip
@pytest.mark.parametrize("unit", ["percent", "m", "count", "hour"])
def test_a_figure_that_is_none_is_asked_for_again(said: str, unit: str) -> None:
    from decide.parse.answers import read_answer
    from decide.parse.question import Question

    question = Question("zone.bare_percent", "how-bare", "How much?", "Why.", "number", unit=unit)
    assert isinstance(read_answer(question, said, NORTH), (NotUnderstood, AskBack, Understood))


@pytest.mark.parametrize("said", ["well 3/0 of it I think", "hm, 99999999999999999999 m I'd say"])
def test_a_loose_amount_that_is_none_is_left_to_the_grammar(said: str) -> None:
    from decide.parse.loose import loosely

    assert loosely(said, "percent", NORTH) is None
