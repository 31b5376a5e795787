"""A measured figure, the aim beside it, and the one table that both stand in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

MISSING = "–"


@dataclass(frozen=True)
class Row:
    """One figure: its key (by which an aim finds it), what it is of, how much, and in which unit; None where it cannot be had here.

    `beside` says what it is compared with in the same run, in words.
    """

    key: str
    what: str
    figure: float | None
    unit: str = "ms"
    beside: str = ""

    @property
    def part(self) -> str:
        return self.key.partition(".")[0]


@dataclass(frozen=True)
class Aim:
    """What a figure should come to: at most, or with `least` at least, `limit` in the unit of its row.

    With `times` the limit is so many times the figure of another row, which the table names by `called`: the aim is a ratio in one run.
    """

    limit: float
    times: str = ""
    called: str = ""
    least: bool = False

    @property
    def text(self) -> str:
        """The aim as the table shows it."""
        of = f" × {self.called}" if self.times else ""
        return f"{'≥' if self.least else '≤'} {self.limit:g}{of}"

    def met(self, row: Row, rows: Mapping[str, Row]) -> bool | None:
        """Whether the figure meets the aim; None where it, or what it is compared with, was not measured."""
        limit = self.limit
        if self.times:
            other = rows.get(self.times)
            if other is None or other.figure is None:
                return None
            limit *= other.figure
        if row.figure is None:
            return None
        return row.figure >= limit if self.least else row.figure <= limit


def amount(figure: float | None) -> str:
    """A figure in as many digits as it bears."""
    if figure is None:
        return MISSING
    if figure >= 100:
        return f"{figure:,.0f}"
    return f"{figure:.1f}" if figure >= 10 else f"{figure:.2f}"


def verdict(row: Row, aim: Aim | None, rows: Mapping[str, Row]) -> str:
    """ "met", "not met", or a dash where there is no aim or nothing was measured."""
    met = None if aim is None else aim.met(row, rows)
    return MISSING if met is None else "met" if met else "not met"


def cells(rows: Iterable[Row], aims: Mapping[str, Aim]) -> list[tuple[str, ...]]:
    """The cells of the table: what, how much, beside what, the aim, and whether it is met."""
    kept = list(rows)
    by_key = {row.key: row for row in kept}
    found = []
    for row in kept:
        aim = aims.get(row.key)
        measured = MISSING if row.figure is None else f"{amount(row.figure)} {row.unit}"
        found.append((row.what, measured, row.beside, aim.text if aim else "", verdict(row, aim, by_key)))
    return found


HEAD = ("what", "measured", "beside", "aim", "")


def table(rows: Sequence[Row], aims: Mapping[str, Aim]) -> str:
    """All figures as text, a blank line between parts."""
    body = cells(rows, aims)
    widths = [max(len(line[n]) for line in (HEAD, *body)) for n in range(len(HEAD))]
    # Figures stand under one another by their last letter.
    right = (False, True, False, False, False)

    def line(each: Sequence[str]) -> str:
        return "  ".join(
            cell.rjust(width) if end else cell.ljust(width)
            for cell, width, end in zip(each, widths, right, strict=True)
        ).rstrip()

    lines = [line(HEAD), "-" * (sum(widths) + 2 * (len(HEAD) - 1))]
    before = rows[0].part if rows else ""
    for row, each in zip(rows, body, strict=True):
        if row.part != before:
            lines.append("")
            before = row.part
        lines.append(line(each))
    return "\n".join(lines)
