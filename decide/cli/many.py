"""The command `many`: short advice on each situation of a file, one line each."""

from __future__ import annotations

import datetime as dt
import os
import sys
import time
from argparse import Namespace
from contextlib import suppress

from decide.cli.page import NO_ADVICE, OK, say
from decide.cli.words import UseError
from decide.many.batch import STANDARD, Far, Told, day_kept, run
from decide.many.line import Setting
from decide.many.progress import progress, summary
from decide.many.records import form_of

_SECONDS_ON_A_SCREEN, _SECONDS_IN_A_LOG = 0.5, 30.0


def many(words: Namespace) -> int:
    """The short advice on every line of a file; NO_ADVICE where some line is bad."""
    if words.cluster is not None and words.cores is not None:
        raise UseError("--cores and --cluster both say who does the work", instead="Keep one of them")
    kept = None if words.again else day_kept(words.out)
    today = words.today or kept or dt.date.today()
    told = Told(
        source=words.source,
        out=words.out,
        source_form=form_of(words.source, words.format),
        out_form=form_of(words.out, words.format),
        setting=Setting(
            today=today,
            folders=tuple(os.path.abspath(folder) for folder in words.knowledge),
            engines=words.engine,
            weather_folder=os.path.abspath("" if words.source == STANDARD else os.path.dirname(words.source)),
            system=words.units,
        ),
        cores=words.cores or _cores(),
        cluster=words.cluster,
        again=words.again,
    )
    shown = _Shown()
    try:
        far = run(told, sys.stdin.buffer, sys.stdout.buffer, shown.tell)
    except KeyboardInterrupt:
        shown.clear()
        if STANDARD not in (told.out, told.source):
            say("Stopped. The same command goes on where it stopped.")
        raise
    finally:
        shown.clear()
    say(summary(far, shown.seconds))
    if words.today is None:
        say(f"Lines that tell no day are of {today.isoformat()}.")
    return NO_ADVICE if far.bad else OK


def _cores() -> int:
    """The cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


class _Shown:
    """The line of progress on standard error: in place on a screen, now and then in a log."""

    def __init__(self) -> None:
        self._began = self._last = time.monotonic()
        self._screen = sys.stderr.isatty()
        self._width = 0
        # Time that is left follows from the pace after the first line, not from what a start takes.
        self._first: tuple[float, int] | None = None

    @property
    def seconds(self) -> float:
        """Since the work began."""
        return time.monotonic() - self._began

    def tell(self, far: Far) -> None:
        """Show how far it is, where the last time is long enough ago."""
        now = time.monotonic()
        if self._first is None:
            self._first = now, far.done
        if now - self._last < (_SECONDS_ON_A_SCREEN if self._screen else _SECONDS_IN_A_LOG):
            return
        self._last = now
        said = progress(far._replace(before=self._first[1]), now - self._first[0])
        if not self._screen:
            say(said)
            return
        with suppress(OSError):
            sys.stderr.write(f"\r{said.ljust(self._width)}")
            sys.stderr.flush()
        self._width = len(said)

    def clear(self) -> None:
        """Take the line off the screen."""
        if self._width:
            with suppress(OSError):
                sys.stderr.write(f"\r{' ' * self._width}\r")
                sys.stderr.flush()
            self._width = 0
