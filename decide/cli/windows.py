"""The command `windows`: when each grass can be started at a place."""

from __future__ import annotations

from argparse import Namespace

from decide.answer.planting_calendar import planting_calendar
from decide.cli.files import given, knowledge_with
from decide.cli.page import OK, page, show, show_json
from decide.facts.complete import fill
from decide.facts.library import Library
from decide.report.windows_text import render_windows
from decide.report.words import spoken


def windows(words: Namespace) -> int:
    """The windows of the place of a situation file."""
    situation, weather, _ = given(words.file, day_matters=False)
    knowledge = knowledge_with(words.knowledge)
    found = planting_calendar(fill(situation, Library(knowledge), weather), words.units)
    if words.json:
        show_json(found.as_json())
        return OK
    shown = page(words.width)
    with spoken(knowledge):
        said = render_windows(found, width=shown.width, ascii_only=shown.ascii_only, plain=shown.aloud)
    show(said)
    return OK
