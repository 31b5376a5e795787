"""The command `talk`: opens the talk."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from decide.cli.kept_folder import kept_folder
from decide.shell import run

if TYPE_CHECKING:
    import datetime as dt

    from decide.shell.tools import Tools


def talk(words: Namespace) -> int:
    """Holds the talk, with the knowledge that is named."""

    def tools(day: dt.date) -> Tools:
        # Loaded when the first line has been said.
        from decide.shell.library import make_tools

        return make_tools(day, words.knowledge, kept=kept_folder())

    return run(
        start=words.file,
        talk=words.talk,
        today=words.today,
        units=words.units,
        lines=words.lines,
        make_tools=tools,
    )
