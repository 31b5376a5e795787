"""The windows of a place as text to read: for screens wide and narrow, plain lines, and ASCII alone."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from rich.cells import cell_len, chop_cells

from decide.answer.planting_calendar import PlantingCalendar, Printed, Row, Span, Way
from decide.measure import dates
from decide.model.words import capital, printable, to_ascii
from decide.report.words import language, say, word

NARROWEST: Final = 40
WIDEST: Final = 100
RULE: Final = 40
_LETTERS: Final = {"good": "G", "fair": "f", "dormant": "z"}
_RANK: Final = {"dormant": 1, "fair": 2, "good": 3}
JOINS: Final = "another-window"
HOLDS: Final = "\u00a0"
_MONTHS: Final = "J  F  M  A  M  J  J  A  S  O  N  D"
# A picture of the year holds three letters for each month, for the 5th, 15th and 25th.
_PARTS: Final = (5, 15, 25)


def render_windows(
    calendar: PlantingCalendar, *, width: int = 80, ascii_only: bool = False, plain: bool = False
) -> str:
    """The calendar as lines of at most `width` columns (40 to 100).

    `plain` leaves out what is drawn, for screen readers.
    """
    page = max(NARROWEST, min(WIDEST, width))
    lines = [row for text in _lines(calendar, plain, ascii_only) for row in _wrapped(text, ascii_only, page)]
    return "\n".join(lines).replace(HOLDS, " ") + "\n"


@dataclass(frozen=True)
class _Text:
    """A paragraph; `indent` columns before each line, `hang` more before all but the first."""

    said: str
    indent: int = 0
    hang: int = 0

    def shown(self, ascii_only: bool) -> str:
        """The words without control characters, and in ASCII alone where nothing else can be shown."""
        # A figure and its unit stay on one line.
        clean = re.sub(r"(?<=\d) (?=°)", HOLDS, printable(self.said))
        return to_ascii(clean) if ascii_only else clean


def _lines(calendar: PlantingCalendar, plain: bool, ascii_only: bool) -> Iterator[_Text]:
    place = calendar.place
    title = say("windows-title-at", place=place) if place else say("windows-title")
    yield _Text(title)
    if not plain:
        yield _Text(("=" if ascii_only else "═") * min(RULE, cell_len(title)))
    yield _Text(
        say("windows-climate", climate=word("climate", calendar.climate_name), frost=calendar.frost.says)
    )
    yield _Text(say("windows-usual"))
    if not plain:
        yield _Text(say("windows-letters"))
    for row in calendar.rows:
        yield _Text("")
        yield from _row(row, plain)
    for gone in calendar.not_here:
        yield _Text("")
        yield _Text(say("windows-not-here", names=[g.name for g in gone.grasses], why=gone.why))


def _row(row: Row, plain: bool) -> Iterator[_Text]:
    for way in row.ways:
        yield _Text(capital(_names(way)) + (f": {row.variant_name}" if row.variant_name else ""))
        yield _Text(capital(language().listed([m.name for m in way.methods])), 2)
        if way.marginal:
            thin = [g.name for g in way.grasses if g.code in way.marginal]
            some = say("windows-marginal-some", names=thin)
            yield _Text(say("windows-marginal") if len(way.grasses) == len(thin) else some, 2)
    if not row.spans:
        yield _Text(say("windows-none", why=row.none_why), 2)
    elif not plain:
        yield _Text(_MONTHS, 2)
        yield _Text(_picture(row.spans), 2)
    said: set[str] = set()
    for number, span in enumerate(row.spans):
        yield from _span(span, row.spans[number - 1], row.spans[(number + 1) % len(row.spans)], said)
    if row.borrowed:
        yield _Text(say("windows-borrowed"), 2)
    for printed in row.printed:
        yield from _printed(printed)


def _names(way: Way) -> str:
    """The grasses of a way; a mixture of grasses that stand there is not named again."""
    single = [g.name for g in way.grasses if " with " not in g.name]
    mixed = [g.name for g in way.grasses if " with " in g.name]
    if not single or not mixed:
        return language().listed(single or mixed)
    return say("windows-and-mixtures", names=single)


def _span(span: Span, before: Span, after: Span, said: set[str]) -> Iterator[_Text]:
    """A window with a reason for each edge: where two windows meet, the one that speaks is the better one."""
    quality = word("quality", span.quality)
    if span.days == dates.YEAR:
        yield _Text(say("windows-all-year", quality=quality, why=span.opens.why), 2, 2)
        return
    days = say(
        "days-to", first=language().day_by_code(span.opens.day), last=language().day_by_code(span.closes.day)
    )
    yield _Text(f"{quality}: {days}", 2, 2)
    reasons: list[tuple[str, str]] = []
    if not _meet(before, span) or _RANK[span.quality] > _RANK[before.quality]:
        why = span.opens if span.opens.code != JOINS else before.closes
        reasons.append((f"{say('windows-opens')}: ", why.why if why.code != JOINS else ""))
    if not _meet(span, after) or _RANK[span.quality] > _RANK[after.quality]:
        why = span.closes if span.closes.code != JOINS else after.opens
        reasons.append((f"{say('windows-closes')}: ", why.why if why.code != JOINS else ""))
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
    days = say(
        "days-to", first=language().day_by_code(printed.opens), last=language().day_by_code(printed.closes)
    )
    second = say("windows-printed-second", days=days)
    yield _Text(second if printed.second else say("windows-printed", days=days), 2, 2)
    yield _Text(printed.note, 4)
    yield _Text(say("windows-source", sources="; ".join(printed.sources)), 4, 2)


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


def _wrapped(text: _Text, ascii_only: bool, width: int) -> list[str]:
    """Lines of at most `width` columns, counted as a terminal counts them; a picture keeps its spaces."""
    if text.said == _MONTHS:
        return [" " * text.indent + text.said]
    lines, line = [], " " * text.indent
    begun = False
    for held in text.shown(ascii_only).split(" "):
        room = width - text.indent - text.hang
        for piece in [held] if cell_len(held) <= room else chop_cells(held, room):
            if begun and cell_len(line) + 1 + cell_len(piece) > width:
                lines.append(line)
                line, begun = " " * (text.indent + text.hang), False
            line += (" " if begun else "") + piece
            begun = True
    return [*lines, line.rstrip()]
