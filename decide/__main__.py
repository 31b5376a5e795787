"""Runs the command that is given and leaves with its exit code."""

from __future__ import annotations

import os
import sys

from decide.cli.page import ENGINES_DIFFER, INTERRUPTED, NO_ADVICE, WRONG_USE, say
from decide.cli.run import run
from decide.cli.words import UseError
from decide.model.errors import DecideError, EngineError


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
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        return NO_ADVICE
    except KeyboardInterrupt:
        return INTERRUPTED


if __name__ == "__main__":
    sys.exit(main())
