"""The plan of a field: its outline in proportion, its parts in patterns with the letters of their jobs."""

from __future__ import annotations

from typing import Final

from markupsafe import Markup

from decide.model.field_plan import Box, FieldPlan
from decide.report.drawing import GREEN, INK, WHITE, Canvas, Pattern
from decide.report.poster import MarkedPlan
from decide.report.words import language, say

WIDE: Final = 330
_EDGE: Final = 12
# What is drawn where neither size nor sport was told: a rectangle half as long again as wide.
_PLAIN: Final = (3.0, 2.0)
_BROWN: Final = "#6b3f00"
_BLUE: Final = "#0b4a75"
# A pattern for each letter, told apart without colour: stripes, dots, a grid, bars, crosses, bars along.
LETTERS: Final = "ABCDEF"
_LOOKS: Final = (
    (9, "M-1 10L10 -1M-1 1L1 -1M8 10L10 8", GREEN, 2.0),
    (8, "M4 4h.01", _BROWN, 3.2),
    (9, "M0 4.5H9M4.5 0V9", _BLUE, 1.2),
    (7, "M0 3.5H7", INK, 1.4),
    (9, "M2 2L7 7M7 2L2 7", GREEN, 1.4),
    (7, "M3.5 0V7", _BROWN, 1.4),
)


def patterns() -> tuple[Pattern, ...]:
    """The pattern of each letter."""
    return tuple(Pattern(letter, *look) for letter, look in zip(LETTERS, _LOOKS, strict=True))


def badge(letter: str) -> Markup:
    """The letter of a job on its pattern, to stand beside its words; the words say it to ears."""
    on = Canvas(f"badge-{letter}", [each for each in patterns() if each.name == letter])
    on.box(1, 1, 52, 52, on.fill(letter) if letter in LETTERS else WHITE, INK)
    on.box(14, 12, 26, 30, WHITE, INK)
    on.words(27, 36, letter, 26, anchor="middle", strong=True)
    return on.svg(54, 54, letter, "", "badge")


def field_svg(marked: MarkedPlan) -> Markup:
    """The plan as one SVG element."""
    canvas, high = drawn(marked)
    return canvas.svg(WIDE, high, say("plan-title"), plan_said(marked), "field")


def plan_said(marked: MarkedPlan) -> str:
    """The plan in words, for ears."""
    plan, letters = marked.plan, dict(marked.letters)
    here = [f"{part.zone}, {letters.get(part.zone, say('plan-idle'))}" for part in plan.parts if part.boxes]
    said = [f"{language().listed(here)}."] if here else []
    beside = beside_it(plan)
    return " ".join([plan.sport, *said, *([say("plan-beside", zones=beside)] if beside else [])]).strip()


def beside_it(plan: FieldPlan) -> list[str]:
    """The parts whose place no name tells."""
    return [part.zone for part in plan.parts if not part.boxes]


def drawn(marked: MarkedPlan) -> tuple[Canvas, float]:
    """The canvas of the plan, and its height."""
    plan, letters = marked.plan, dict(marked.letters)
    known = (plan.length_m, plan.width_m)
    length, width = known if known[0] and known[1] else _PLAIN
    long = WIDE - 2 * _EDGE
    high = round(long * width / length, 1) if length and width else long / 2
    on = Canvas("field", patterns())

    def area(box: Box) -> float:
        return (box.along_to - box.along_from) * (box.across_to - box.across_from)

    oval = plan.shape == "oval"
    _outline(on, long, high, oval)
    rows = [(area(box), part.zone, box) for part in plan.parts for box in part.boxes]
    for _, zone, box in sorted(rows, key=lambda row: -row[0]):
        _part(on, box, (long, high), letters.get(zone, ""), oval)
    _marks(on, long, high, plan)
    # Letters stand over every pattern, those of the larger parts where the smaller ones leave them free.
    for size, zone, box in sorted(rows, key=lambda row: -row[0]):
        letter = letters.get(zone, "")
        if letter:
            smaller = [other for area_, _, other in rows if area_ < size]
            x, y = _free_spot(box, smaller, long, high)
            on.box(x - 13, y - 14, 26, 28, WHITE, INK)
            on.words(x, y + 8, letter, 22, anchor="middle", strong=True)
    return on, high + 2 * _EDGE


def _outline(on: Canvas, long: float, high: float, oval: bool) -> None:
    if oval:
        on.path(_oval(long, high), 3, INK, fill=WHITE)
    else:
        on.path(f"M{_EDGE} {_EDGE}h{long:g}v{high:g}h-{long:g}z", 3, INK, fill=WHITE)


def _oval(long: float, high: float) -> str:
    rx, ry = long / 2, high / 2
    return f"M{_EDGE} {_EDGE + ry:g}a{rx:g} {ry:g} 0 1 1 {long:g} 0a{rx:g} {ry:g} 0 1 1 -{long:g} 0z"


def _part(on: Canvas, box: Box, size: tuple[float, float], letter: str, oval: bool) -> None:
    long, high = size
    fill = on.fill(letter) if letter in LETTERS and letter else WHITE
    whole = (box.along_from, box.along_to, box.across_from, box.across_to) == (0, 100, 0, 100)
    if whole and oval:
        on.path(_oval(long, high), 2, INK, fill=fill)
        return
    x, y = _EDGE + long * box.along_from / 100, _EDGE + high * box.across_from / 100
    wide_, tall = long * (box.along_to - box.along_from) / 100, high * (box.across_to - box.across_from) / 100
    on.box(x, y, wide_, tall, fill, INK)


def _marks(on: Canvas, long: float, high: float, plan: FieldPlan) -> None:
    """The halfway line, and goals where the game has them, so that everybody knows which way it lies."""
    middle = _EDGE + long / 2
    on.path(f"M{middle:g} {_EDGE}v{high:g}", 1.2, INK, "6 4")
    if plan.goals:
        for x in (_EDGE - 9, _EDGE + long):
            on.path(f"M{x:g} {_EDGE + high / 2 - 14:g}h9v28h-9z", 2, INK, fill=WHITE)


def _free_spot(box: Box, smaller: list[Box], long: float, high: float) -> tuple[float, float]:
    """The middle of a box, or another spot of it on which no smaller part lies."""
    spots = [(0.5, 0.5), (0.3, 0.5), (0.5, 0.25), (0.25, 0.25), (0.15, 0.5), (0.5, 0.12), (0.1, 0.1)]
    places = [
        (
            box.along_from + (box.along_to - box.along_from) * along,
            box.across_from + (box.across_to - box.across_from) * across,
        )
        for along, across in spots
    ]
    free = [
        (along, across)
        for along, across in places
        if not any(
            other.along_from - 4 < along < other.along_to + 4
            and other.across_from - 6 < across < other.across_to + 6
            for other in smaller
        )
    ]
    along, across = (free or places)[0]
    return _EDGE + long * along / 100, _EDGE + high * across / 100
