"""Shows that something is being worked out: a turning mark in a terminal, one line where lines are plain."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final, TextIO

MOMENT: Final = "One moment …"
_SPINS_AFTER_S: Final = 0.3
_SAYS_AFTER_S: Final = 1.0
_TURN_S: Final = 0.12
_MARKS: Final = "|/-\\"


@contextmanager
def spinning(screen: TextIO) -> Iterator[None]:
    """Turns a mark on the terminal while the block runs, where that takes longer than a blink; it is erased
    after.
    """
    done = threading.Event()

    def turn() -> None:
        if done.wait(_SPINS_AFTER_S):
            return
        at = 0
        while True:
            screen.write(f"\r{_MARKS[at % len(_MARKS)]} ")
            screen.flush()
            at += 1
            if done.wait(_TURN_S):
                screen.write("\r  \r")
                screen.flush()
                return

    yield from _beside(turn, done)


@contextmanager
def moment(say: Callable[[str], None]) -> Iterator[None]:
    """Says once that it takes a moment, where the block takes longer than a second."""
    done = threading.Event()

    def tell() -> None:
        if not done.wait(_SAYS_AFTER_S):
            say(MOMENT)

    yield from _beside(tell, done)


def _beside(act: Callable[[], None], done: threading.Event) -> Iterator[None]:
    thread = threading.Thread(target=_quietly, args=(act,), daemon=True)
    thread.start()
    try:
        yield
    finally:
        done.set()
        thread.join()


def _quietly(act: Callable[[], None]) -> None:
    """Does what may fail because the screen has gone; the talk itself will find that out."""
    try:
        act()
    except (OSError, ValueError):
        return
