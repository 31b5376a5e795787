"""The first screen of an advice: what matters today in some twenty lines, whatever the field."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Final

from decide.knowledge.tables import Knowledge
from decide.model.advice import Advice
from decide.model.units import System
from decide.report.blocks import Line, Span, line
from decide.report.fit import LAST, Form, Lines, Piece, fit
from decide.report.sections import brief, brief_choice, opening
from decide.report.sections.brief import Naming
from decide.report.sections.brief_choice import Alike
from decide.report.telling import Tell, Telling, telling
from decide.report.text import draw

# So many lines at most at these widths, and what lies between on a straight line; narrower still the same
# room.
WIDE, NARROW = (80, 20), (40, 30)
# Between the groups of the screen, where there is room: after the danger, the date, the choice, the rest.
_GAPS: Final = 3
# Rather than give up more than this, the groups stand close together.
_GAPS_RANK: Final = 52
# The groups that an empty line sets apart, in this order as far as there is room.
_APART: Final = (2, 3, 1, 4)


def most_lines(width: int) -> int:
    """How many lines the first screen takes at most in a width of so many columns."""
    (wide, few), (narrow, many) = WIDE, NARROW
    if width >= wide:
        return few
    if width >= narrow:
        return many - (many - few) * (width - narrow) // (wide - narrow)
    return many * narrow // max(width, 1)


def first_screen(
    advice: Advice,
    knowledge: Knowledge,
    *,
    width: int = 80,
    colour: bool = False,
    ascii_only: bool = False,
    plain: bool = False,
    system: System | None = None,
    naming: Naming = "talk",
) -> str:
    """The advice on one screen: danger today, the fate of the date, the choice for each part, this week, what
    it takes, what would change it, how to see the rest.

    At most 20 lines at 80 columns and 30 at 40. `naming` says how the rest is named: as a word of the talk or
    as an option of the command.
    """
    t = telling(advice, "short", system)

    @cache
    def height(lines: Lines) -> int:
        return draw(lines, width=width, ascii_only=ascii_only, plain=plain).count("\n") if lines else 0

    groups = brief_choice.alike(t)
    most = most_lines(width)
    for shown in range(len(groups), -1, -1):
        parts = _parts(t, knowledge.text, naming, groups, shown)
        pieces = [piece for part in parts for piece in part]
        tries = [*((most - gaps, _GAPS_RANK) for gaps in range(_GAPS, 0, -1)), (most, LAST)]
        fitted = (fit(pieces, room, height, rank) for room, rank in tries)
        said = next((lines for lines in fitted if lines is not None), None)
        if said is not None:
            break
    else:
        # Narrower than any terminal: the tersest forms, however many lines they take.
        said = [piece[-1].lines for piece in pieces]
    blocks = _spaced([len(part) for part in parts], said, most - sum(map(height, said)))
    return draw(blocks, width=width, colour=colour, ascii_only=ascii_only, plain=plain)


def _parts(t: Telling, tell: Tell, naming: Naming, groups: Sequence[Alike], shown: int) -> list[list[Piece]]:
    """The pieces in their order, put together in groups; so many choices, the rest counted."""
    title: Piece = (Form(0, (line(Span(opening.title(t), "strong")),)),)
    parts = [
        [title, brief.danger(t, tell)],
        [brief.under_way(t, tell), brief.fate(t, tell), brief.clashes(t, tell)],
        [
            *(brief_choice.choice(t, tell, group) for group in groups[:shown]),
            brief_choice.others(tell, groups[shown:]),
            brief_choice.ideas(t, tell),
        ],
        [brief.week(t, tell), brief.takes(t, tell), brief.care(t, tell), brief.change(t, tell)],
        [brief.ask_on(tell, naming)],
    ]
    return [[piece for piece in part if piece] for part in parts]


def _spaced(counts: Sequence[int], said: Sequence[Lines], spare: int) -> list[Line]:
    """The lines of the groups, with an empty line between them as far as there is room."""
    groups, at = [], 0
    for count in counts:
        groups.append([each for lines in said[at : at + count] for each in lines])
        at += count
    # Where there is not room for all, the choice stands apart first, then the work, then what is above.
    apart = {place for place in _APART if groups[place] and any(groups[:place])}
    kept = [place for place in _APART if place in apart][: max(spare, 0)]
    blocks: list[Line] = []
    for place, group in enumerate(groups):
        blocks += [line(""), *group] if place in kept else group
    return blocks
