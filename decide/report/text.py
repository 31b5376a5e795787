"""A page of the report as text to read: for a terminal, for plain lines and screen readers."""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterable, Sequence
from typing import Final

from rich import box
from rich.cells import cell_len
from rich.console import Console
from rich.padding import Padding
from rich.table import Table as Grid
from rich.text import Text

from decide.model.advice import Advice
from decide.model.units import System
from decide.model.words import printable, to_ascii
from decide.report import pages
from decide.report.blocks import Block, Cell, Group, Heading, Line, Span, Style, Table
from decide.report.choices import VERDICT_STYLES
from decide.report.telling import Depth
from decide.report.timeline import Timeline
from decide.report.timeline_letters import letters

_SECTION_LEVEL: Final = 2

LIST_BELOW: Final = 60
NARROWEST: Final = 20
LONG_WORD: Final = 16
GAP: Final = 3
# Taller than any page, so that nothing is cut.
HIGH: Final = 1000
_COLOURS: Final[dict[Style, str]] = {
    "strong": "bold",
    "good": "bold green",
    "warn": "bold yellow",
    "bad": "bold red",
}
_MARKS: Final = {
    "advised": "✓",
    "sound": "✓",
    "sound-if": "?",
    "risky": "!",
    "late": "!",
    "not-advised": "✗",
    "ruled-out": "✗",
}
_ASCII_MARKS: Final = {**_MARKS, "advised": "+", "sound": "+", "not-advised": "x", "ruled-out": "x"}
_RULED_ASCII: Final = box.Box("    \n    \n -- \n    \n    \n    \n    \n    \n", ascii=True)


def render(
    advice: Advice,
    *,
    width: int = 80,
    depth: Depth = "short",
    colour: bool = False,
    ascii_only: bool = False,
    plain: bool = False,
    system: System | None = None,
) -> str:
    """The advice as text of at most `width` columns (never under 20).

    `depth` is "short" (one page), "full" (also every option, checks, rescue, sources) or "reasons" (also
    grades, rules and trace). `plain` is the line mode: no escape bytes, no boxes, one thing after another.
    `system` is "metric" or "us"; left out, the country of the advice decides.
    """
    blocks = pages.told(advice, depth, system).in_order()
    return draw(blocks, width=width, colour=colour, ascii_only=ascii_only, plain=plain)


def render_named(
    advice: Advice,
    name: str,
    *,
    width: int = 80,
    colour: bool = False,
    ascii_only: bool = False,
    plain: bool = False,
    system: System | None = None,
) -> str:
    """One page of the advice as text: "more", "week", "plan", "water", "care", "money", "reasons" or "all".

    DecideError for another name.
    """
    blocks = pages.named(advice, name, system).in_order()
    return draw(blocks, width=width, colour=colour, ascii_only=ascii_only, plain=plain)


def draw(
    blocks: Iterable[Block],
    *,
    width: int = 80,
    colour: bool = False,
    ascii_only: bool = False,
    plain: bool = False,
) -> str:
    """Blocks as text of at most `width` columns (never under 20)."""
    return _Screen(width, colour and not plain, ascii_only, plain).show(blocks)


class _Screen:
    """Lays blocks out in a width, with or without colour, boxes and letters beyond ASCII."""

    def __init__(self, width: int, colour: bool, ascii_only: bool, plain: bool) -> None:
        self.width, self.ascii_only, self.plain = max(width, NARROWEST), ascii_only, plain
        self.buffer = io.StringIO()
        # An empty environment: what is printed depends on the arguments alone.
        self.console = Console(
            file=self.buffer,
            width=self.width,
            height=HIGH,
            force_terminal=colour,
            color_system="standard" if colour else None,
            no_color=not colour,
            force_jupyter=False,
            force_interactive=False,
            legacy_windows=False,
            markup=False,
            emoji=False,
            highlight=False,
            soft_wrap=False,
            _environ={},
        )

    def show(self, blocks: Iterable[Block]) -> str:
        """The finished page; lines end without spaces."""
        self._blocks(blocks)
        lines = [
            re.sub(r"(?<! )(?: |\x1b\[[0-9;]*m)+$", lambda end: end[0].replace(" ", ""), line)
            for line in self.buffer.getvalue().split("\n")
        ]
        return re.sub(r"\n{3,}", "\n\n", "\n".join(lines)).strip("\n") + "\n"

    def _blocks(self, blocks: Iterable[Block]) -> None:
        for block in blocks:
            if isinstance(block, Heading):
                self._heading(block)
            elif isinstance(block, Line):
                self._line(block)
            elif isinstance(block, Group):
                self._blocks(block.blocks)
            elif isinstance(block, Timeline):
                self._timeline(block)
            else:
                widths = self._widths(block)
                if self.plain or self.width < LIST_BELOW or not widths:
                    self._list(block)
                else:
                    self._table(block, widths)

    def _say(self, text: str) -> str:
        text = printable(text)
        return to_ascii(text) if self.ascii_only else text

    def _text(self, spans: Iterable[Span]) -> Text:
        text = Text(overflow="fold")
        for span in spans:
            text.append(self._say(span.text), style=_COLOURS.get(span.style, ""))
        return text

    def _put(self, drawn: Text | Grid, left: int = 0) -> None:
        self.console.print(Padding(drawn, (0, 0, 0, min(left, self.width // 3))))

    def _heading(self, heading: Heading) -> None:
        self.console.print()
        if heading.level == _SECTION_LEVEL or self.plain:
            self._put(self._text([Span(heading.text, "strong")]))
            return
        # The title and the names of parts hold a user's words, which stay as written.
        said = heading.text if heading.level == 0 else heading.text.upper()
        self._put(self._text([Span(said, "strong")]))
        rule = ("=" if self.ascii_only else "═") if heading.level == 0 else ("-" if self.ascii_only else "─")
        self._put(Text(rule * self.width))

    def _mark(self, mark: str) -> tuple[str, Style]:
        """A mark as it is shown, and its style."""
        if mark.startswith("="):
            shown = (_ASCII_MARKS if self.ascii_only else _MARKS)[mark[1:]]
            return ("", "") if self.plain else (shown, VERDICT_STYLES[mark[1:]])
        if mark == "!":
            return ("", "") if self.plain else (mark, "bad")
        return mark, "bad" if mark[:1].isdigit() else ""

    def _line(self, line: Line) -> None:
        mark, style = self._mark(line.mark)
        left = line.depth * 2 + line.more
        if not mark:
            self._put(self._text(line.spans), left)
            return
        row = Grid.grid(padding=0)
        row.add_column(width=cell_len(mark) + 1, no_wrap=True)
        row.add_column(overflow="fold")
        row.add_row(self._text([Span(mark, style)]), self._text(line.spans))
        self._put(row, left)

    def _timeline(self, year: Timeline) -> None:
        for row in letters(year, width=self.width, ascii_only=self.ascii_only, plain=self.plain):
            self._put(Text(row))

    def _list(self, table: Table) -> None:
        for row in table.rows:
            for n, (name, cell) in enumerate(zip(table.head, row, strict=True)):
                words = (Span(f"{name}: ", "strong"), *_flat(cell))
                self._line(Line(words, 1 if n else 0, "" if n else "-"))

    def _widths(self, table: Table) -> list[int]:
        """A width for each column that breaks no common word; none where the page is too narrow for that."""
        columns = [
            [head, *(self._text(_flat(row[n])).plain for row in table.rows)]
            for n, head in enumerate(table.head)
        ]
        least = [
            min(LONG_WORD, max(cell_len(word) for cell in cells for word in cell.split() or [""]))
            for cells in columns
        ]
        want = [math.isqrt(max(cell_len(cell) for cell in cells)) for cells in columns]
        spare = self.width - sum(least) - GAP * (len(columns) - 1)
        if spare < 0:
            return []
        given = [spare * share // sum(want) for share in want]
        given[want.index(max(want))] += spare - sum(given)
        return [first + more for first, more in zip(least, given, strict=True)]

    def _table(self, table: Table, widths: Sequence[int]) -> None:
        drawn = Grid(
            box=_RULED_ASCII if self.ascii_only else box.SIMPLE_HEAD,
            show_edge=False,
            pad_edge=False,
            leading=1,
        )
        for head, width in zip(table.head, widths, strict=True):
            drawn.add_column(self._text([Span(head, "strong")]), overflow="fold", width=width)
        for row in table.rows:
            drawn.add_row(*(self._text(_flat(cell)) for cell in row))
        self.console.print(drawn)


def _flat(cell: Cell) -> Iterable[Span]:
    """The paragraphs of a cell one after another."""
    said = [paragraph for paragraph in cell if any(span.text for span in paragraph)]
    for n, paragraph in enumerate(said):
        yield from (Span(" "), *paragraph) if n else paragraph
