"""Runs the command that is given and leaves with its exit code."""

from __future__ import annotations

import gc
import os
import sys
import threading
from contextlib import suppress
from typing import Final, NoReturn

from decide.cli.page import ENGINES_DIFFER, INTERRUPTED, NO_ADVICE, WRONG_USE, say
from decide.cli.run import run
from decide.cli.words import UseError
from decide.model.errors import DecideError, EngineError

# A command makes many rows that live until it ends: looking through them for rubbish over and over costs more
# than the rubbish does.
_RUBBISH_AFTER: Final = (400_000, 20, 50)


def main() -> int:
    """Run one command and return its exit status: 0 with advice, 1 without, 2 for wrong use, 3 where the
    engines differ.
    """
    try:
        return run(sys.argv[1:])
    except DecideError as error:
        say(f"decide: {error}")
        return (
            WRONG_USE
            if isinstance(error, UseError)
            else ENGINES_DIFFER
            if isinstance(error, EngineError)
            else NO_ADVICE
        )
    except OSError as error:
        _tell(error)
        return NO_ADVICE
    except KeyboardInterrupt:
        return INTERRUPTED


def command() -> NoReturn:
    """Run one command as a process of its own, and end the process with its exit status."""
    # A stream that the caller closed takes everything and gives nothing.
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))  # noqa: SIM115 – until the end
    gc.set_threshold(*_RUBBISH_AFTER)
    # What other packages of this machine would hang into the reading of files has no say in the advice.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    _leave(main())


def _tell(error: OSError) -> None:
    """Say what could not be written, and let no more be written there. A reader that has gone is told
    nothing.
    """
    if not isinstance(error, BrokenPipeError):
        what = "it cannot be written" if error.filename is None else "it cannot be read or written"
        wrong = f"{what}: {(error.strerror or 'unknown trouble').lower()}"
        instead = "Make room there, or send the output elsewhere" if error.filename is None else ""
        say(f"decide: {DecideError(wrong, where=str(error.filename or 'standard output'), instead=instead)}")
    _nothing_more(1)


def _nothing_more(stream: int) -> None:
    """Let what is still to be written to a stream go nowhere."""
    with suppress(OSError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream)


def _leave(code: int) -> NoReturn:
    """End the process at once: taking a hundred thousand rows apart one by one helps nobody.

    Where threads or processes were begun that are to be waited for, Python ends it in its own way.
    """
    try:
        sys.stdout.flush()
    except OSError as error:
        # Who asked did not get the advice.
        code = code or NO_ADVICE
        _tell(error)
    except ValueError:
        code = code or NO_ADVICE
        _nothing_more(1)
    try:
        sys.stderr.flush()
    except (OSError, ValueError):
        _nothing_more(2)
    alone = all(thread.daemon or thread is threading.main_thread() for thread in threading.enumerate())
    if alone and "multiprocessing" not in sys.modules:
        os._exit(code)
    sys.exit(code)


if __name__ == "__main__":
    command()
