"""The talk without a terminal, for whoever puts it into another program."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path

from decide.shell.library import make_tools
from decide.shell.talk import Talk
from decide.shell.tools import Answers


def open_talk(
    today: dt.date,
    answers: Answers | None = None,
    *,
    units: str | None = None,
    folders: Sequence[Path | str] = (),
) -> Talk:
    """A talk held on a day, going on from `answers` (the nested table of a situation file); nothing is kept
    on disk.

    `prompt()` is what is asked now, `hear(line)` what is said to an answer, `answers` all that was
    understood, `advice` the consultation once there is one (`Adviser.advice` makes the advice of it), `done`
    whether the person has left. `units` is "metric" or "us", by place where it is left out; `folders` of
    knowledge are laid over the package's own.
    """
    return Talk(make_tools(today, folders), today, answers, units=units)
