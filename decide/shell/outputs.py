"""Advice, explanations and papers as the talk shows them; each imports what is slow when it is wanted."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from decide.model.errors import DecideError
from decide.shell.tools import View

if TYPE_CHECKING:
    from decide.decision.consultation import Consultation
    from decide.model.units import System


def show(judged: Consultation, what: str, view: View) -> str:
    """The advice as a text: its first screen, or with `what` the page of that name; DecideError where there
    is none.
    """
    from decide.answer.assemble import advice_of
    from decide.report.first_screen import first_screen
    from decide.report.text import render_named
    from decide.report.words import spoken

    advice, system = advice_of(judged), system_of(view.units)
    with spoken(judged.knowledge):
        if what:
            return render_named(
                advice, what, width=view.width, colour=view.colour, plain=view.plain, system=system
            )
        return first_screen(
            advice, judged.knowledge, width=view.width, colour=view.colour, plain=view.plain, system=system
        )


def moved(before: Consultation, after: Consultation, view: View) -> list[str]:
    """What a changed answer moved in the advice: at most five sentences, or that nothing did."""
    from decide.answer.assemble import advice_of
    from decide.report import moved as told
    from decide.report.words import spoken

    with spoken(after.knowledge):
        return told.moved(advice_of(before), advice_of(after), after.knowledge, system_of(view.units))


def system_of(units: str | None) -> System | None:
    """The system of units of that name; None where the place decides."""
    return "us" if units == "us" else "metric" if units == "metric" else None


def write_paper(judged: Consultation, kind: str, path: str, new: bool) -> str:
    """Writes one paper of the advice, over no file where it is to be new, and gives the path as shown."""
    from decide.answer.assemble import advice_of
    from decide.report.papers import PAPERS, shown, write_papers

    place = Path(path).expanduser()
    if new and (place.exists() or place.is_symlink()):
        raise DecideError(f"{shown(path)} is already there", instead="Say another name")
    return write_papers(
        advice_of(judged),
        judged.system,
        {named: str(place) for named in PAPERS if named == kind},
        knowledge=judged.knowledge,
    )[0]
