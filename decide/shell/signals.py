"""SIGTERM and SIGHUP end the talk in order: answers saved, exit 128 + signal."""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType


class Left(BaseException):
    """The talk is ended by a signal."""

    def __init__(self, number: int) -> None:
        self.number = number
        super().__init__(number)

    @property
    def code(self) -> int:
        """The exit code that says so."""
        return 128 + self.number


def leave_at_once(number: int) -> None:
    """Ends the talk where it is."""
    raise Left(number)


@contextmanager
def caught(act: Callable[[int], None]) -> Iterator[None]:
    """Calls `act` with the number of a SIGTERM or SIGHUP while the block runs; the former handlers come
    back after it.
    """

    def handler(number: int, _frame: FrameType | None) -> None:
        act(number)

    if threading.current_thread() is not threading.main_thread():
        yield
        return
    numbers = [
        number for name in ("SIGTERM", "SIGHUP") if (number := getattr(signal, name, None)) is not None
    ]
    before = {number: signal.signal(number, handler) for number in numbers}
    try:
        yield
    finally:
        for number, former in before.items():
            signal.signal(number, former)
