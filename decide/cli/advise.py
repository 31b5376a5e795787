"""The commands `advise` and `demo`: the advice on a field, on the screen, as JSON or as papers."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING, Any

from decide.cli.files import given, knowledge_with
from decide.cli.page import OK, page, say, show, show_json
from decide.cli.table import PAPERS, Kind
from decide.cli.words import UseError
from decide.consult import Adviser
from decide.knowledge.load import knowledge_folder
from decide.model.advice import Advice
from decide.questions.next import Asker
from decide.questions.unknown import tried
from decide.report.papers import PaperError, check_places, paper, write_papers
from decide.report.words import spoken

if TYPE_CHECKING:
    from decide.knowledge.tables import Knowledge


def advise(words: Namespace) -> int:
    """The advice on a situation file."""
    wanted: dict[Kind, str] = {
        name: getattr(words, name) for name in PAPERS if getattr(words, name) is not None
    }
    to_stdout = [name for name, place in wanted.items() if place == "-"]
    papers = {name: place for name, place in wanted.items() if place != "-"}
    _check_places(words, to_stdout, papers)
    situation, weather, note = given(words.file, beside=words.record)
    adviser = Adviser(knowledge_with(words.knowledge), words.engine)
    try:
        consultation = adviser.consult(situation, system=words.units, weather=weather)
        consultation.filled.today_computed = bool(note)
        advice = tried(
            consultation, None if words.quick else Asker(adviser, consultation.filled.today, weather)
        )
    finally:
        adviser.close()
    for path in write_papers(advice, words.units, papers, full=words.full, knowledge=adviser.knowledge):
        say(f"Written: {path}")
    for name in to_stdout:
        show_json(paper(name, advice, words.units, full=words.full, knowledge=adviser.knowledge))
    if words.json:
        show_json(advice.as_json(full=words.all))
    elif not to_stdout:
        with spoken(adviser.knowledge):
            _show(advice, adviser.knowledge, words)
        if note:
            say(note)
    return OK


def _check_places(words: Namespace, to_stdout: list[Kind], papers: dict[Kind, str]) -> None:
    """UseError before any work where a paper cannot be written."""
    if words.all and not words.json:
        raise UseError(
            "--all is for --json", instead="Write --json --all; in words, --full tells every option"
        )
    out = [*(f"--{name}" for name in to_stdout), *(["--json"] if words.json else [])]
    if len(out) > 1:
        raise UseError(
            f"only one of {' and '.join(out)} can go to standard output", instead="Name a file for the others"
        )
    try:
        check_places(papers, None if words.file == "-" else words.file)
    except PaperError as error:
        raise UseError(error.wrong, where=error.where, instead=error.instead) from None


def _show(advice: Advice, knowledge: Knowledge, words: Namespace) -> None:
    shown = page(words.width)
    if words.season:
        from decide.report.season_picture import season_text

        # Rows of letters are asked for by name, so they are drawn into a file or a pipe too, unless lines are
        # read aloud.
        lines = season_text(
            advice, width=shown.width, ascii_only=shown.ascii_only, plain=shown.aloud, system=words.units
        )
        show(
            "\n".join(lines or ["No season can be shown before the place is known. Write place.name."]) + "\n"
        )
        return
    look: dict[str, Any] = {
        "width": shown.width,
        "colour": shown.colour,
        "ascii_only": shown.ascii_only,
        "plain": not shown.screen,
        "system": words.units,
    }
    from decide.report.first_screen import first_screen
    from decide.report.text import render, render_named

    if words.reasons:
        show(render(advice, depth="reasons", **look))
    elif words.full or words.show:
        show(render_named(advice, "all" if words.full else words.show, **look))
    else:
        show(first_screen(advice, knowledge, naming="command", **look))


def demo(words: Namespace) -> int:
    """The advice on the demo field, or its situation file."""
    path = knowledge_folder() / "demo.toml"
    if words.file:
        show(path.read_text(encoding="utf-8"))
        return OK
    words.file = str(path)
    return advise(words)
