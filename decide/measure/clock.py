"""Spans of the hours of a day, told as times of the clock."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

DAY: Final = 24 * 60


def open_minutes(spans: Iterable[tuple[str, str]]) -> float:
    """Minutes of the day that lie in some spans, counted once; a span may pass midnight."""
    return float(sum(_marked(spans)))


def longest_gap(spans: Iterable[tuple[str, str]], first: float, last: float) -> float:
    """The longest time outside all spans between two hours of the day, hours."""
    longest = run = 0
    for held in _marked(spans)[round(60 * first) : round(60 * last)]:
        run = 0 if held else run + 1
        longest = max(longest, run)
    return longest / 60


def _marked(spans: Iterable[tuple[str, str]]) -> list[bool]:
    """Each minute of the day: whether it lies in a span."""
    marked = [False] * DAY
    for start, until in spans:
        first, last = _minute(start), _minute(until)
        for minute in range(first, last if last > first else last + DAY):
            marked[minute % DAY] = True
    return marked


def _minute(clock: str) -> int:
    hour, _, minute = clock.partition(":")
    return 60 * int(hour) + int(minute)
