"""The next start of new grass that is held back by nothing but the date or the means of today."""

from __future__ import annotations

import dataclasses
import datetime as dt
from types import SimpleNamespace
from typing import Any

from decide.answer.next_window import next_good
from decide.decision.rank import Weighed
from tests.decision.made import DAY, made


def told(*ranked: Weighed, bad: int = 0, row: Any = "row") -> str:
    """What is said of some options in their order, of which one is held back by more."""
    t: Any = SimpleNamespace(
        k=SimpleNamespace(next_window=row, text=lambda name, **holes: f"{name}: {holes}"),
        c=SimpleNamespace(
            ranked=[*ranked], essential=frozenset(), holds=lambda row, facts: facts["option.number"] != bad
        ),
        filled=SimpleNamespace(today=DAY),
        say=SimpleNamespace(plant=str, method=str),
    )
    return next_good(t, "a")


def start(number: int, days: int | None, plant: str = "perennial-ryegrass") -> Weighed:
    return made(plant, start=days, option__number=number)


def at(days: int, plant: str = "perennial-ryegrass") -> str:
    when = DAY + dt.timedelta(days=days)
    return f"window-next-good: { {'day': when, 'grass': plant, 'method': 'broadcast-seed'} }"


def test_the_soonest_that_is_still_to_come_is_named() -> None:
    assert told(start(1, 90), start(2, 40), start(3, 60)) == at(40)
    # What begins today or has no day is no later start.
    assert told(start(1, 0), start(2, None), start(3, 1)) == at(1)


def test_of_one_day_the_better_is_named() -> None:
    assert told(start(1, 40, "tall-fescue"), start(2, 40)) == at(40, "tall-fescue")


def test_what_is_held_back_by_more_and_other_parts_are_left_out() -> None:
    assert told(start(1, 10), start(2, 40), bad=1) == at(40)
    other = start(1, 10)
    other.draft = dataclasses.replace(other.draft, zone="b")
    assert told(other, start(2, 40)) == at(40)


def test_where_there_is_none_nothing_is_said() -> None:
    assert told() == told(start(1, 0)) == told(start(1, 40), row=None) == ""
