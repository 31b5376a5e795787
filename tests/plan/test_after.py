"""What comes after a start: nothing is done again before its time."""

from __future__ import annotations

import datetime as dt
from types import SimpleNamespace
from typing import Any

import pytest

from decide.plan import after

DONE = dt.date(2026, 5, 20)


@pytest.mark.parametrize(("every", "again"), [(0, 1), (1, 1), (2, 2), (14, 14)])
def test_what_is_done_is_done_again_after_its_days_and_never_on_the_same_day(
    monkeypatch: pytest.MonkeyPatch, every: int, again: int
) -> None:
    """Where no number is held for a task that comes again it comes the next day at the soonest."""
    monkeypatch.setattr(after, "last_done", lambda *_: DONE)
    monkeypatch.setattr(after, "days_of", lambda *_: every)
    task = SimpleNamespace(every="value:gap", after_feed=None)
    c: Any = SimpleNamespace(knowledge=SimpleNamespace(tasks={"look": task}))
    following, job = SimpleNamespace(nodes={("look", "a"): []}), SimpleNamespace()
    held = after._held_up(c, following, ("look", "a"), job, {}, {})  # type: ignore[arg-type]
    assert [*held] == [(DONE + dt.timedelta(days=again), "")]
