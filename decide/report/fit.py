"""Pieces of a screen, each in forms from full to terse, fitted into a number of lines."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from decide.report.blocks import Line

Lines = tuple[Line, ...]
# Where there is no room, forms of a low rank are turned to first, and nothing comes after this one.
LAST: Final = 100


@dataclass(frozen=True)
class Form:
    """One way to say a piece; a form of lower rank is turned to sooner where there is no room."""

    rank: int
    lines: Lines


# The fullest form first.
Piece = tuple[Form, ...]


def fit(pieces: Sequence[Piece], most: int, height: Callable[[Lines], int], below: int) -> list[Lines] | None:
    """The fullest forms that together take at most `most` lines, or None where none do.

    Only forms of a rank under `below` are turned to. `height` says how many lines a form takes.
    """
    heights = [[height(form.lines) for form in piece] for piece in pieces]
    at = [0] * len(pieces)
    total = sum(rows[0] for rows in heights)
    steps = sorted(
        (form.rank, -place, n)
        for place, piece in enumerate(pieces)
        for n, form in enumerate(piece)
        if n and form.rank < below
    )

    def turn(place: int, n: int) -> None:
        nonlocal total
        total += heights[place][n] - heights[place][at[place]]
        at[place] = n

    for _, place, n in steps:
        if total <= most:
            break
        if n > at[-place] and heights[-place][n] < heights[-place][at[-place]]:
            turn(-place, n)
    if total > most:
        return None
    # What made room for others too soon is said fully again, the weightiest first.
    for _, place, n in reversed(steps):
        if at[-place] != n:
            continue
        room = most - total + heights[-place][n]
        turn(-place, next(fuller for fuller in range(n + 1) if heights[-place][fuller] <= room))
    return [piece[n].lines for piece, n in zip(pieces, at, strict=True)]
