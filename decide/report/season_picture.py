"""The season of an advice: SVG for a page, rows of letters for a terminal, sentences for a screen reader."""

from __future__ import annotations

from decide.model.advice import Advice
from decide.model.units import System
from decide.report.sections.season import timeline
from decide.report.timeline_letters import letters
from decide.report.timeline_said import sentences
from decide.report.timeline_svg import svg


def season_sentences(advice: Advice, system: System | None = None) -> list[str]:
    """The season in sentences; none without a place."""
    year = timeline(advice, system)
    return [] if year is None else sentences(year)


def season_text(
    advice: Advice,
    *,
    width: int = 80,
    ascii_only: bool = False,
    plain: bool = False,
    system: System | None = None,
) -> list[str]:
    """The season as lines of at most `width` columns; none without a place.

    `plain` (line mode, screen readers) and pages under 40 columns give sentences.
    """
    year = timeline(advice, system)
    return [] if year is None else letters(year, width=width, ascii_only=ascii_only, plain=plain)


def season_svg(advice: Advice, system: System | None = None, *, narrow: bool = False) -> str:
    """The season as one SVG element to stand inside a page, or on a phone; "" without a place."""
    year = timeline(advice, system)
    return "" if year is None else svg(year, narrow=narrow)
