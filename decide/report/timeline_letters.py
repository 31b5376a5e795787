"""A timeline as rows of letters for a terminal: a row for each thing, a column for each week or few weeks."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Final

from rich.cells import cell_len, chop_cells

from decide.model.words import capital, printable, to_ascii
from decide.report.phrases import short_span
from decide.report.timeline import Bar, Days, Row, Stretch, Timeline, Use, whole
from decide.report.timeline_said import frost_sentences, sentences
from decide.report.words import language, say, word

# the least share that a digit tells
_LEAST_TENTH: Final = 0.1

NARROWEST: Final = 40
GUTTER: Final = 11
LETTERS: Final = {"good": "G", "fair": "f", "dormant": "d"}
USES: Final[dict[Use, str]] = {"light use": "L", "full play": "P"}
_BARS: Final = "▁▂▃▄▅▆▇█"


def letters(year: Timeline, *, width: int, ascii_only: bool = False, plain: bool = False) -> list[str]:
    """The timeline as lines of at most `width` columns.

    `plain` (line mode, screen readers) and pages under 40 columns give sentences.
    """

    def shown(said: str) -> str:
        said = printable(said)
        return to_ascii(said) if ascii_only else said

    if plain or width < NARROWEST:
        return [row for said in sentences(year) for row in wrapped(shown(said), width)]
    return [row.rstrip() for row in _Rows(year, width, ascii_only, shown).lines()]


def wrapped(said: str, width: int, indent: str = "") -> list[str]:
    """A text as lines of at most `width` columns, those after the first indented.

    Only a word that is too long alone is cut.
    """
    lines, held = list[str](), ""
    for each in said.split():
        pieces = chop_cells(each, width - len(indent)) if cell_len(indent + each) > width else [each]
        for piece in pieces:
            longer = f"{held} {piece}" if held else (indent if lines else "") + piece
            if held and cell_len(longer) > width:
                lines.append(held)
                longer = indent + piece
            held = longer
    return [*lines, held] if held else lines


class _Columns:
    """The axis cut into columns of whole weeks, as few weeks in one as the width allows."""

    def __init__(self, year: Timeline, width: int) -> None:
        self.first, self.last = year.first, year.last
        self.weeks = next(
            weeks for weeks in range(1, year.days + 1) if GUTTER + -(-year.days // (7 * weeks)) <= width
        )
        self.days = 7 * self.weeks
        self.count = -(-year.days // self.days)
        self.months = [(self.at(date), date) for date in year.months()]

    def at(self, date: dt.date) -> int:
        """The column of a day; -1 before the axis and the number of columns after it."""
        if date > self.last:
            return self.count
        return max(-1, (date - self.first).days // self.days)

    def middle(self, column: int) -> dt.date:
        """The middle day of a column."""
        return min(self.first + dt.timedelta(days=column * self.days + self.days // 2), self.last)

    def placed(self, marks: Iterable[tuple[int, str]]) -> str:
        """Words at their columns; one that would touch the word before it or stick out is left out."""
        line = ""
        for column, mark in marks:
            if (not line or len(line) < column) and column + len(mark) <= self.count:
                line = line.ljust(column) + mark
        return line


class _Rows:
    """Draws the rows from the top down."""

    def __init__(self, year: Timeline, width: int, ascii_only: bool, shown: Callable[[str], str]) -> None:
        self.year, self.width, self.ascii_only, self.shown = year, width, ascii_only, shown
        self.columns = _Columns(year, width)
        self.shut, self.wall = (".", "|") if ascii_only else ("·", "│")
        self.deadline = None if year.deadline is None else self.columns.at(year.deadline)

    def lines(self) -> Iterator[str]:
        """All rows."""
        yield from self._head()
        for row in self.year.rows:
            yield ""
            yield from self._stretches(row)
        for bar in self.year.bars:
            yield ""
            yield from self._bar(bar)
        yield ""
        yield from self._legend()

    def _labelled(self, label: str, cells: str) -> str:
        return label.ljust(GUTTER) + cells

    def _wrapped(self, said: str) -> list[str]:
        return wrapped(self.shown(said), self.width, "  ")

    def _walled(self, cells: Sequence[str], empty: str = " ") -> str:
        """Cells with the day of the deadline as a wall where nothing else stands."""
        return "".join(
            self.wall if n == self.deadline and cell == empty else cell for n, cell in enumerate(cells)
        )

    def _head(self) -> Iterator[str]:
        columns, months, year = self.columns, self.columns.months, self.year
        size = 3 if columns.weeks == 1 else 1
        years = ((column, str(date.year)) for column, date in months if column == 0 or date.month == 1)
        yield self._labelled("", columns.placed(years))
        line = [" "] * (columns.count + size)
        for column, date in months:
            line[column : column + size] = language().month_name(date.month)[:size]
        yield self._labelled(say("axis-month"), "".join(line[: columns.count]))
        marks = [" "] * columns.count
        marks[columns.at(year.today)] = "t"
        if self.deadline is not None:
            marks[min(self.deadline, columns.count - 1)] = "D" if self.deadline < columns.count else ">"
        yield self._labelled(say("axis-dates"), "".join(marks))
        means = [(column, whole(self._mean_of(date))) for column, date in months]
        degrees = self.shown(say("axis-mean", unit=year.degree)).replace("deg ", "")
        yield self._labelled(degrees, columns.placed(means))
        if not self.ascii_only:
            yield self._labelled(say("axis-warmth"), self._warmth())
        yield from self._water()
        cool, warm = [week.cool for week in year.weeks], [week.warm for week in year.weeks]
        for label, share in ((say("axis-cool"), cool), (say("axis-warm"), warm)):
            yield self._labelled(label, "".join(map(self._share, self._by_column(share))))
        frost = self._walled(self._frost(), self.shut) if year.cold else ""
        rare = say("axis-frost-rare") if year.frost_kind == "rare" else say("axis-frost-some-years")
        yield self._labelled(say("axis-frost"), frost or rare)

    def _mean_of(self, month: dt.date) -> float:
        return self.year.weeks[self._week_of(month)].mean

    def _week_of(self, month: dt.date) -> int:
        """The week in the middle of a month."""
        return min((month - self.columns.first).days + 14, 7 * len(self.year.weeks) - 1) // 7

    def _water(self) -> Iterator[str]:
        """Rain of a week, and what turf uses, in the middle of each month."""
        weeks, year = self.year.weeks, self.year
        rows = (
            (say("axis-rain", unit=year.depth), [week.rain for week in weeks]),
            (say("axis-need", unit=year.depth), [week.need for week in weeks]),
        )
        for label, amounts in rows:
            known = [amount for amount in amounts if amount is not None]
            if len(known) == len(amounts):
                marks = [(at, year.water(known[self._week_of(date)])) for at, date in self.columns.months]
                yield self._labelled(label, self.columns.placed(marks))

    def _by_column(self, weekly: Sequence[float]) -> list[float]:
        parts = [weekly[n : n + self.columns.weeks] for n in range(0, len(weekly), self.columns.weeks)]
        return [sum(part) / len(part) for part in parts]

    def _warmth(self) -> str:
        means = self._by_column([week.mean for week in self.year.weeks])
        low, high = min(means), max(means)
        return "".join(
            _BARS[int((mean - low) / (high - low) * 7 + 0.5)] if high > low else _BARS[3] for mean in means
        )

    def _share(self, share: float) -> str:
        if self.ascii_only:
            return str(min(9, int(share * 10))) if share >= _LEAST_TENTH else "."
        level = int(share * 8 + 0.5)
        return _BARS[level - 1] if level else " "

    def _frost(self) -> list[str]:
        cells = []
        for column in range(self.columns.count):
            here = [sure for a, b, sure in self.year.cold if a <= self.columns.middle(column) <= b]
            cells.append(self.shut if not here else "F" if all(here) else "?")
        return cells

    def _stretches(self, row: Row) -> Iterator[str]:
        if not row.stretches:
            yield from self._wrapped(say("axis-no-window", name=row.label, why=row.why_none))
            return
        yield from self._wrapped(row.label)
        yield self._labelled(say("axis-window"), self._walled(self._window(row.stretches), self.shut))
        spans = [
            f"{word('window', stretch.quality)} {short_span(stretch.opens, stretch.closes)}"
            for stretch in row.stretches
        ]
        yield from (f"  {line}" for line in wrapped(self.shown("; ".join(spans)), self.width - 2))

    def _window(self, stretches: Sequence[Stretch]) -> list[str]:
        columns = self.columns
        cells = [self.shut] * columns.count
        for stretch in stretches:
            held = [n for n in range(columns.count) if stretch.opens <= columns.middle(n) <= stretch.closes]
            # One that is too short to hold the middle of a column still shows where nothing else stands.
            near = [
                n
                for n in {columns.at(stretch.opens), columns.at(stretch.closes)}
                if 0 <= n < columns.count and cells[n] == self.shut
            ]
            for n in held or sorted(near)[:1]:
                cells[n] = LETTERS[stretch.quality]
        return cells

    def _bar(self, bar: Bar) -> Iterator[str]:
        yield from self._wrapped(bar.label if bar.uses else f"{bar.label}. {say('season-undated')}")
        for use, days in bar.uses:
            yield self._labelled(capital(word("use", use)), self._walled(self._dates(bar, use, days)))

    def _dates(self, bar: Bar, use: Use, days: Days) -> list[str]:
        columns = self.columns
        cells = [" "] * columns.count
        start = 0 if bar.start is None else columns.at(bar.start)
        early = start + 1 if days.early is None else columns.at(days.early)
        late = columns.count if days.late is None else columns.at(days.late)
        for n in range(max(start, 0), columns.count):
            if early <= n <= late:
                cells[n] = USES[use]
            elif n < early and bar.start is not None:
                cells[n] = "-"
        if late >= columns.count:
            cells[-1] = ">"
        if bar.start is not None and 0 <= start < columns.count and cells[start] in "- ":
            cells[start] = "s"
        dies = columns.count if bar.dies_by is None else columns.at(bar.dies_by)
        if 0 <= dies < columns.count:
            cells[dies:] = ["x", *" " * (columns.count - dies - 1)]
        return cells

    def _legend(self) -> Iterator[str]:
        year, weeks = self.year, self.columns.weeks
        kinds = []
        if any(row.stretches for row in year.rows):
            kinds.append(say("legend-window", shut=self.shut))
        if year.cold:
            kinds.append(say("legend-frost"))
        if any(bar.uses for bar in year.bars):
            kinds.append(say("legend-uses"))
        if any(bar.dies_by for bar in year.bars):
            kinds.append(say("legend-dies"))
        notes = [f"{'; '.join(kinds)}."] if kinds else []
        column = say("legend-column", n=weeks)
        wanted = "" if year.deadline is None else f" {say('legend-wanted', day=year.deadline)}"
        notes.append(f"{column} {say('legend-today', day=year.today)}{wanted}")
        if any(week.rain is not None or week.need is not None for week in year.weeks):
            notes.append(say("legend-water", unit=year.depth))
        full = f" {say('legend-full')}" if self.ascii_only else ""
        notes.append(f"{say('legend-growth')}{full}")
        notes += [*frost_sentences(year), say("legend-estimates")]
        for note in notes:
            yield from self._wrapped(note)
