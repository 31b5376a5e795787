"""What commands print: how wide and how plain the page is, and the codes that they end with."""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from dataclasses import dataclass
from typing import Final

OK: Final = 0
NO_ADVICE: Final = 1
WRONG_USE: Final = 2
ENGINES_DIFFER: Final = 3
INTERRUPTED: Final = 130


@dataclass(frozen=True)
class Page:
    """How standard output is written: columns, colour, letters; `aloud` says that lines are read aloud."""

    width: int
    screen: bool
    colour: bool
    ascii_only: bool
    aloud: bool


def page(width: int | None) -> Page:
    """The page of standard output, so wide as was asked for."""
    term = os.environ.get("TERM", "")
    screen = sys.stdout.isatty() and term not in ("", "dumb")
    return Page(
        width=width or (os.get_terminal_size().columns if screen else 80),
        screen=screen,
        colour=screen and not os.environ.get("NO_COLOR"),
        ascii_only=(sys.stdout.encoding or "ascii").lower().replace("-", "") != "utf8",
        aloud=term == "dumb",
    )


def show(text: str) -> None:
    """Print a text; a letter that the output cannot take becomes a mark."""
    sys.stdout.buffer.write(text.encode(sys.stdout.encoding or "ascii", errors="replace"))
    sys.stdout.flush()


def show_json(text: str) -> None:
    """Print JSON, always in UTF-8."""
    sys.stdout.buffer.write(text.encode())
    sys.stdout.flush()


def say(text: str) -> None:
    """Say something beside the output; where that takes nothing any more, the work goes on unsaid."""
    with suppress(OSError):
        print(text, file=sys.stderr)
