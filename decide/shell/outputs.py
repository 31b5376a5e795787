"""Advice, explanations and papers as the talk shows them; each imports what is slow when it is wanted."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Final

from decide.model.errors import DecideError
from decide.shell.tools import View

if TYPE_CHECKING:
    from decide.decision.consultation import Consultation
    from decide.explain import Level
    from decide.model.units import System
    from decide.questions.next import Asker

_DEPTH_WORDS: Final = frozenset({"with", "rules", "rule", "facts", "conditions", "and", "all", "the", "show"})
_DEEPER: Final = re.compile(
    r"\s*,?\s*(?:with|and show|show) (?:all |the )*(?:rules?|facts|conditions|sources?)"
    r"(?:(?:,| and) (?:rules?|facts|conditions|sources?))*\W*$",
    re.IGNORECASE,
)


def show(judged: Consultation, what: str, view: View) -> str:
    """The advice as a text: its first screen, or with `what` the page of that name; DecideError where there
    is none.
    """
    from decide.answer.assemble import advice_of
    from decide.report.first_screen import first_screen
    from decide.report.text import render_named

    advice, system = advice_of(judged), system_of(view.units)
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

    return told.moved(advice_of(before), advice_of(after), after.knowledge, system_of(view.units))


def system_of(units: str | None) -> System | None:
    """The system of units of that name; None where the place decides."""
    return "us" if units == "us" else "metric" if units == "metric" else None


def this_week(judged: Consultation, view: View) -> str:
    """The work of the next seven days."""
    from decide.answer.assemble import advice_of
    from decide.report.text import render_week

    return render_week(
        advice_of(judged), judged.filled.today, width=view.width, plain=view.plain, system=judged.system
    )


def write_paper(judged: Consultation, kind: str, path: str, new: bool) -> str:
    """Writes one paper of the advice, over no file where it is to be new, and gives the path as shown."""
    from decide.answer.assemble import advice_of
    from decide.report.papers import PAPERS, shown, write_papers

    place = Path(path).expanduser()
    if new and (place.exists() or place.is_symlink()):
        raise DecideError(f"{shown(path)} is already there", instead="Say another name")
    return write_papers(
        advice_of(judged), judged.system, {named: str(place) for named in PAPERS if named == kind}
    )[0]


def _depth_of(about: str) -> tuple[Level, str]:
    """How deep an explanation is to go, and the words without what says so."""
    row = about.lower().split()
    kept = " ".join(word for word in row if not word.startswith("source") and word not in _DEPTH_WORDS)
    if any(word.startswith("source") for word in row):
        return 3, kept
    return (2 if {"rules", "rule", "facts", "conditions"} & set(row) else 1), kept


def why(judged: Consultation, about: str) -> str:
    """Why the advice is what it is."""
    from decide.explain import say_why

    level, words = _depth_of(about)
    return say_why(judged, words, level)


def why_not(judged: Consultation, about: str) -> str:
    """Why it is nothing else."""
    from decide.explain import say_why_not

    level, words = _depth_of(about)
    return say_why_not(judged, words, level)


def explain(judged: Consultation, words: str, asker: Asker) -> str:
    """The answer to any other question about the advice: what if, what would it take, how sure, what
    matters, says who.
    """
    from decide.explain import ask

    found = _DEEPER.search(words)
    level: Level = 1 if found is None else 3 if "source" in found[0].lower() else 2
    return ask(judged, _DEEPER.sub("", words), level, asker).text


def judgement(judged: Consultation) -> str:
    """The verdict on what the person means to do."""
    from decide.answer.assemble import advice_of
    from decide.explain.judgement import say_judgement

    advice = advice_of(judged)
    k = judged.knowledge
    return (
        say_judgement(k, advice.proposals[-1], advice.cautions)
        if advice.proposals
        else k.text("judgement-none")
    )
