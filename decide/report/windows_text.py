"""The windows of a place as text to read: for a screen, a narrow one, plain lines, and letters of ASCII alone."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from rich.cells import cell_len, chop_cells

from decide.answer.planting_calendar import PlantingCalendar, Printed, Row, Span, Way, day_in_words
from decide.measure import dates
from decide.model.wording import listed
from decide.model.words import capital, printable, to_ascii

NARROWEST: Final = 40
WIDEST: Final = 100
_QUALITY: Final = {"good": "Good", "fair": "Fair", "dormant": "Asleep"}
_LETTERS: Final = {"good": "G", "fair": "f", "dormant": "z"}
_RANK: Final = {"dormant": 1, "fair": 2, "good": 3}
JOINS: Final = "another-window"
HOLDS: Final = "\u00a0"
_MONTHS: Final = "J  F  M  A  M  J  J  A  S  O  N  D"
# A picture of the year holds three letters for each month, for the 5th, 15th and 25th.
_PARTS: Final = (5, 15, 25)
_CLIMATES: Final = {
    "cool-humid": "cool and humid", "cool-semi-arid": "cool and dry", "transition": "between cool and warm", "warm-humid": "warm and humid",
    "warm-arid": "warm and dry", "tropical": "tropical", "too-cold": "too cold for turf",
}  # fmt: skip


def render_windows(
    calendar: PlantingCalendar, *, width: int = 80, ascii_only: bool = False, plain: bool = False
) -> str:
    """The calendar as lines of at most `width` columns (40 to 100). `plain` leaves out what is drawn, for screen readers."""
    page = max(NARROWEST, min(WIDEST, width))
    lines = [
        part for line in _lines(calendar, plain, ascii_only) for part in _wrapped(line.said(ascii_only), page)
    ]
    return "\n".join(lines).replace(HOLDS, " ") + "\n"


class _Text(str):
    """A paragraph; `indent` columns before each line, `hang` more before all but the first."""

    __slots__ = ("hang", "indent")
    indent: int
    hang: int

    def __new__(cls, text: str, indent: int = 0, hang: int = 0) -> _Text:
        made = super().__new__(cls, text)
        made.indent, made.hang = indent, hang
        return made

    def said(self, ascii_only: bool) -> _Text:
        """The same without control characters, and in letters of ASCII alone where nothing else can be shown."""
        clean = self if self == _MONTHS else printable(self)
        # A figure and its unit stay on one line.
        clean = re.sub(r"(?<=\d) (?=°)", HOLDS, clean)
        return _Text(to_ascii(clean) if ascii_only else clean, self.indent, self.hang)


def _lines(calendar: PlantingCalendar, plain: bool, ascii_only: bool) -> Iterator[_Text]:
    title = f"When grass can be started{': ' + calendar.place if calendar.place else ''}"
    yield _Text(title)
    if not plain:
        yield _Text(("=" if ascii_only else "═") * min(40, cell_len(title)))
    yield _Text(f"The climate is {_CLIMATES[calendar.climate]}. {calendar.frost.says}")
    yield _Text("All days are those of usual years; look at the weather of yours.")
    if not plain:
        yield _Text("In the pictures G is good, f is fair, z is seed or sod that sleeps until spring.")
    for row in calendar.rows:
        yield _Text("")
        yield from _row(row, plain)
    for gone in calendar.not_here:
        yield _Text("")
        yield _Text(f"Not for this place: {listed([g.name for g in gone.grasses])}. {gone.why}")


def _row(row: Row, plain: bool) -> Iterator[_Text]:
    for way in row.ways:
        names = _names(way)
        yield _Text(capital(names) + (f": {row.variant_name}" if row.variant_name else ""))
        yield _Text(capital(listed([m.name for m in way.methods])), 2)
        if way.marginal:
            thin = [g.name for g in way.grasses if g.code in way.marginal]
            yield _Text(
                "Only just fits this climate."
                if len(way.grasses) == len(thin)
                else f"Only just in this climate: {listed(thin)}.",
                2,
            )
    if not row.spans:
        yield _Text(f"No time of the year. {row.none_why}", 2)
    elif not plain:
        yield _Text(_MONTHS, 2)
        yield _Text(_picture(row.spans), 2)
    said: set[str] = set()
    for number, span in enumerate(row.spans):
        yield from _span(span, row.spans[number - 1], row.spans[(number + 1) % len(row.spans)], said)
    if row.borrowed:
        yield _Text("Nobody printed last dates for it that we know; those of a near relative stand in.", 2)
    for printed in row.printed:
        yield from _printed(printed)


def _names(way: Way) -> str:
    """The grasses of a way; a mixture of grasses that stand there is not named again."""
    single = [g.name for g in way.grasses if " with " not in g.name]
    mixed = [g.name for g in way.grasses if " with " in g.name]
    if not single or not mixed:
        return listed(single or mixed)
    return f"{listed(single)}, and mixtures of them"


def _span(span: Span, before: Span, after: Span, said: set[str]) -> Iterator[_Text]:
    """A window with a reason for each edge: where two windows meet, the one that speaks is the better one."""
    if span.days == dates.YEAR:
        yield _Text(f"{_QUALITY[span.quality]}: all year. {span.opens.why}", 2, 2)
        return
    yield _Text(
        f"{_QUALITY[span.quality]}: {day_in_words(span.opens.day)} to {day_in_words(span.closes.day)}", 2, 2
    )
    reasons: list[tuple[str, str]] = []
    if not _meet(before, span) or _RANK[span.quality] > _RANK[before.quality]:
        why = span.opens if span.opens.code != JOINS else before.closes
        reasons.append(("Opens: ", why.why if why.code != JOINS else ""))
    if not _meet(span, after) or _RANK[span.quality] > _RANK[after.quality]:
        why = span.closes if span.closes.code != JOINS else after.opens
        reasons.append(("Closes: ", why.why if why.code != JOINS else ""))
    if not reasons and span.opens.code != JOINS and span.opens.why not in said:
        reasons.append(("", span.opens.why))
    for label, reason in reasons:
        if reason:
            said.add(reason)
            yield _Text(label + reason, 4, 2)


def _meet(span: Span, after: Span) -> bool:
    """Whether a window begins on the day after another ends."""
    return span is not after and dates.wrap(_day(span.closes.day) + 1) == _day(after.opens.day)


def _printed(printed: Printed) -> Iterator[_Text]:
    second = " (its second choice)" if printed.second else ""
    yield _Text(
        f"In print for this region: {day_in_words(printed.opens)} to {day_in_words(printed.closes)}{second}",
        2,
        2,
    )
    yield _Text(printed.note, 4)
    yield _Text(f"Source: {'; '.join(printed.sources)}.", 4, 2)


def _picture(spans: tuple[Span, ...]) -> str:
    letters = []
    for month in range(1, 13):
        for part in _PARTS:
            day = dates.first_of_month(month) + part - 1
            own = next((s for s in spans if dates.in_span(day, _day(s.opens.day), _day(s.closes.day))), None)
            letters.append("." if own is None else _LETTERS[own.quality])
    return "".join(letters)


def _day(text: str) -> int:
    month, _, of_month = text.partition("-")
    return dates.first_of_month(int(month)) + int(of_month) - 1


def _wrapped(text: _Text, width: int) -> list[str]:
    """Lines of at most `width` columns, counted as a terminal counts them; a picture keeps its spaces."""
    if text == _MONTHS:
        return [" " * text.indent + text]
    lines, line = [], " " * text.indent
    room, begun = width, False
    for word in str(text).split(" "):
        pieces = (
            [word]
            if cell_len(word) <= room - text.indent - text.hang
            else chop_cells(word, room - text.indent - text.hang)
        )
        for piece in pieces:
            if begun and cell_len(line) + 1 + cell_len(piece) > room:
                lines.append(line)
                line, begun = " " * (text.indent + text.hang), False
            line += (" " if begun else "") + piece
            begun = True
    return [*lines, line.rstrip()]
