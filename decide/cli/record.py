"""The command `record`: writes down what was done, checked or seen."""

from __future__ import annotations

import datetime as dt
from argparse import Namespace
from pathlib import Path

from decide.cli.files import knowledge_with
from decide.cli.page import OK, say, show
from decide.facts.record import Entry
from decide.facts.record import record as write_down


def record(words: Namespace) -> int:
    """Adds one entry at the end of a situation file."""
    today = dt.date.today()
    entry = Entry(
        " ".join(words.what),
        words.on or today,
        words.zone,
        words.amount,
        words.unit,
        words.passed,
        words.note,
        words.by,
        words.grass,
        words.method,
    )
    added = write_down(Path(words.file), knowledge_with(words.knowledge), entry, today)
    try:
        show(f"Written at the end of {words.file}:\n{added.decode().strip()}\n")
    except OSError:
        # Who reads of a failure alone would write it a second time.
        say(f"Written at the end of {words.file}; it stands there, though it cannot be shown.")
        raise
    return OK
