"""The season as a picture: SVG for a page, rows of letters for a terminal, and sentences for a screen reader."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final
from xml.sax.saxutils import escape

from rich.cells import cell_len, chop_cells

from decide.model import advice as model
from decide.model.advice import Advice, Season
from decide.model.units import System, convert
from decide.model.wording import MONTH_NAMES, day, listed
from decide.model.words import capital, printable, to_ascii
from decide.report.phrases import between, system_of

NARROWEST_PICTURE: Final = 40
GUTTER: Final = 11
# More than this many rows of dates do not fit on one sheet: the runners-up are left out then.
MOST_BARS: Final = 10
# From this share of full growth on, a sentence says that grass "grows well". A matter of wording alone.
WELL: Final = 0.5

_ROLES: Final = {"stopgap": "Stopgap", "chosen": "Chosen", "least-bad": "Least bad", "runner-up": "Runner-up"}
_LETTERS: Final = {"good": "G", "fair": "f", "dormant": "d"}
_USES: Final = {"light use": "L", "full play": "P"}
_BLOCKS: Final = "▁▂▃▄▅▆▇█"
_OPENS: Final = {
    "summer-heat-past": "summer heat is past by then", "last-frost-near": "the last frost is near by then", "spring-warmth": "spring is warm enough by then", "seed-sleeps": "seed sown then sleeps until spring",
    "mild-season": "the season is mild", "summer-with-water": "it needs water all through summer", "frost-past": "frost is past by then",
    "soil-warm": "the soil is warm by then", "roots-in-time": "new roots form soon enough by then", "roots-rest": "roots rest until spring",
    "roots-wake": "roots wake by then", "roots-soon": "roots form fast by then", "ground-not-frozen": "the ground is not frozen then", "no-cold-season": "there is no cold season here",
    "rains-begin": "rain waters it by then", "rains-too-short": "rain alone is too little, so it must be watered",
}  # fmt: skip
_CLOSES: Final = {
    "heat-before-winter": "after it, too little warmth is left before winter", "slow-before-winter": "after it, grass comes up slowly before winter",
    "cool-before-winter": "after it, the days are cool", "thin-before-winter": "after it, the grass goes into winter thin",
    "before-summer-heat": "after it, summer heat comes too soon", "seed-wakes": "after it, seed would wake at once",
    "too-cold-to-sprout": "after it, it is too cold for seed to come up",
    "mild-season-ends": "after it, the mild season is over", "heat-before-growth-ends": "after it, too little warmth is left before growth ends",
    "best-before-growth-ends": "after it, the best warmth before growth ends is gone", "roots-too-late": "after it, roots form too late",
    "roots-slower": "after it, roots form more slowly", "heat-stops-roots": "after it, heat stops the roots", "ground-frozen": "after it, the ground is frozen",
}  # fmt: skip
_NONE: Final = {
    "too-hot-all-year": "it is too hot here all year", "too-cold": "it is too cold here", "season-too-short": "the warm season is too short here",
    "no-roots-known": "how fast it roots is not known", "not-made-this-way": "it is not put in this way",
}  # fmt: skip


# ---------- what is shown ----------
@dataclass(frozen=True)
class _Bar:
    """One leading option with its dates; parts of the field with the same option and dates share one."""

    label: str
    start: dt.date | None
    ranges: tuple[tuple[str, model.DayRange], ...]
    dies_by: str | None
    dies_between: model.DayRange | None = None


@dataclass(frozen=True)
class _Row:
    """Grasses and starts with the same windows."""

    label: str
    windows: tuple[model.SeasonWindow, ...]
    why_none: str = ""


def _iso(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def _rows(season: Season) -> list[_Row]:
    by_name: dict[str, list[model.SeasonWindow]] = {}
    for window in season.windows:
        by_name.setdefault(window.name, []).append(window)
    same: dict[tuple[tuple[str, str, str], ...], list[str]] = {}
    for name, windows in by_name.items():
        same.setdefault(tuple((w.quality, w.opens, w.closes) for w in windows), []).append(name)
    rows = [_Row("; ".join(names), tuple(by_name[names[0]])) for names in same.values()]
    return [
        *rows,
        *(
            _Row(none.name, (), _NONE.get(none.why, "no time of the year suits it"))
            for none in season.no_window
        ),
    ]


def _bars(advice: Advice, season: Season) -> list[_Bar]:
    leading = [
        row for row in season.leading if row.role != "runner-up" or _is_dated(advice.option(row.option))
    ]
    if len(_together(advice, leading)) > MOST_BARS:
        leading = [row for row in leading if row.role != "runner-up"]
    many = len(advice.programme) > 1
    bars: list[_Bar] = []
    for (role, name, start, ranges, dies_by, dies_between), zones in _together(advice, leading).items():
        where = f" ({listed(zones)})" if many else ""
        bars.append(
            _Bar(
                f"{_ROLES[role]}{where}: {name}",
                None if start is None else _iso(start),
                ranges,
                dies_by,
                dies_between,
            )
        )
    return bars


_Same = tuple[str, str, str | None, tuple[tuple[str, model.DayRange], ...], str | None, model.DayRange | None]


def _together(advice: Advice, leading: Iterable[model.Leading]) -> dict[_Same, list[str]]:
    found: dict[_Same, list[str]] = {}
    for row in leading:
        option = advice.option(row.option)
        ranges = () if option is None else tuple(
            (use, days) for use, days in (("light use", option.light_use), ("full play", option.full_play)) if days is not None and (days.early or days.late)
        )  # fmt: skip
        key = (
            row.role,
            row.name,
            option.start if option else None,
            ranges,
            option.dies_by if option else None,
            option.dies_between if option else None,
        )
        found.setdefault(key, []).append(row.zone)
    return found


def _is_dated(option: model.Option | None) -> bool:
    return option is not None and any(
        days is not None and (days.early or days.late) for days in (option.light_use, option.full_play)
    )


def _years(season: Season, frost: model.FrostDays | None) -> list[tuple[dt.date, dt.date]]:
    """Early and late day of a frost in each year in which it touches the axis, and in the years beside."""
    if frost is None:
        return []
    early, late = _iso(frost.early), _iso(frost.late)
    years = range(_iso(season.first_day).year - 1 - early.year, _iso(season.last_day).year + 2 - early.year)
    return [(_year_on(early, years_on), _year_on(late, years_on)) for years_on in years]


def _year_on(date: dt.date, years: int) -> dt.date:
    return date.replace(year=date.year + years, day=28 if (date.month, date.day) == (2, 29) else date.day)


def _frost_spans(season: Season) -> list[tuple[dt.date, dt.date, bool]]:
    """Days with frost as spans, both ends counted; true where frost is usual, false where it may come."""
    first, last = _iso(season.first_day), _iso(season.last_day)
    if season.frost_kind == "always":
        return [(first, last, True)]
    autumns, springs = _years(season, season.first_frost), _years(season, season.last_frost)
    usual: list[tuple[dt.date, dt.date, bool]] = []
    one = dt.timedelta(days=1)
    for _, late in autumns:
        ends = [early for early, _ in springs if early > late]
        if ends:
            usual.append((late + one, min(ends) - one, season.frost_kind == "usual"))
    spans = [*usual, *((early, late, False) for early, late in (*autumns, *springs))]
    return [
        (max(a, first), min(b, last), sure) for a, b, sure in spans if a <= last and b >= first and a <= b
    ]


def _month(date: dt.date) -> str:
    return f"{MONTH_NAMES[date.month - 1]} {date.year}"


def _short(text: str) -> str:
    date = _iso(text)
    return f"{date.day} {MONTH_NAMES[date.month - 1][:3]}"


def _span(opens: str, closes: str) -> str:
    """Two days in few letters: "15 Mar to 11 Jun 2026"."""
    year = "" if opens[:4] == closes[:4] else f" {opens[:4]}"
    return f"{_short(opens)}{year} to {_short(closes)} {closes[:4]}"


def _range(days: model.DayRange) -> str:
    if days.early is None or days.late is None:
        return (
            f"by {_short(days.late)} {days.late[:4]} at the latest"
            if days.late
            else f"not before {_short(days.early or '')} {(days.early or '')[:4]}"
        )
    return (
        _span(days.early, days.late)
        if days.early != days.late
        else f"about {_short(days.early)} {days.early[:4]}"
    )


def _degrees(mean_c: float, system: System) -> float:
    return convert(mean_c, "C", "F") if system == "us" else mean_c


def _unit(system: System) -> str:
    return "°F" if system == "us" else "°C"


def _whole(amount: float) -> str:
    # Half a degree goes up on both sides of nothing; there is no minus nothing.
    return str(int((amount + 0.5) // 1))


# ---------- in sentences ----------
def season_sentences(advice: Advice, system: System | None = None) -> list[str]:
    """The season in sentences, for a screen reader and as the text that stands for the picture; none without a place."""
    season = advice.season
    if season is None or not season.weeks:
        return []
    system = system or system_of(advice)
    first, last = _iso(season.first_day), _iso(season.last_day)
    said = [f"This is a normal year, from {_month(first)} to {_month(last)}. All days are estimates."]
    hot, cold = (
        max(season.weeks, key=lambda week: week.mean_c),
        min(season.weeks, key=lambda week: week.mean_c),
    )
    said.append(", and ".join(
        f"{'It is' if n == 0 else 'it is'} {word} in {_month(_iso(week.first))}, with a mean of about {_whole(_degrees(week.mean_c, system))} {_unit(system)}"
        for n, (word, week) in enumerate((("warmest", hot), ("coldest", cold)))
    ) + ".")  # fmt: skip
    said.append(_grows("Cool-season", season, lambda week: week.growth_cool))
    said.append(_grows("Warm-season", season, lambda week: week.growth_warm))
    said += _frost_sentences(season)
    for row in _rows(season):
        if not row.windows:
            said.append(f"{row.label}: there is no window, because {row.why_none}.")
        for window in row.windows:
            why = [
                reason
                for reason in (_OPENS.get(window.why_opens, ""), _CLOSES.get(window.why_closes, ""))
                if reason
            ]
            said.append(
                f"{row.label}: {window.quality} from about {day(_iso(window.opens))} to about {day(_iso(window.closes))}{'; ' if why else ''}{'; '.join(why)}."
            )
    for bar in _bars(advice, season):
        said.append(_bar_sentence(bar))
    if season.deadline is not None:
        said.append(f"Play is wanted by {day(_iso(season.deadline))}.")
    return said


def _grows(kind: str, season: Season, share: Callable[[model.SeasonWeek], float]) -> str:
    runs = [list(run) for well, run in groupby(season.weeks, key=lambda week: share(week) >= WELL) if well]
    if not runs:
        return f"{kind} grass never grows at half its full speed here."
    if len(runs[0]) == len(season.weeks):
        return f"{kind} grass grows at half its full speed or more all the time."
    spans = [(_month(_iso(run[0].first)), _month(_iso(run[-1].first))) for run in runs]
    return f"{kind} grass grows at half its full speed or more {listed([f'in {a}' if a == b else f'from {a} to {b}' for a, b in spans])}."


def _frost_sentences(season: Season) -> list[str]:
    if season.frost_kind == "always":
        return ["Frost can come at any time of the year here."]
    said = [
        f"The {which} frost comes between {day(_iso(frost.early))} and {day(_iso(frost.late))} in about two years of three."
        for which, frost in sorted(
            (("first", season.first_frost), ("last", season.last_frost)),
            key=lambda pair: pair[1].early if pair[1] else "",
        )
        if frost is not None
    ]
    if season.frost_kind == "some-years" or (season.frost_kind == "usual" and not said):
        said.insert(0, "Frost comes in some years only.")
    return said if season.frost_kind != "rare" else ["Frost is rare here."]


def _bar_sentence(bar: _Bar) -> str:
    said = f"{bar.label}."
    if bar.start is not None:
        said += f" It starts on {day(bar.start)}."
    for use, days in bar.ranges:
        said += f" {capital(use)}: {between(days)}"
    if not bar.ranges:
        said += " No date can be given."
    if bar.dies_by is not None:
        when = (
            f"about {day(_iso(bar.dies_by))}"
            if bar.dies_between is None
            else f"some day {between(bar.dies_between).rstrip('.')} in two years of three"
        )
        said += f" It lives until {when}; then frost takes it."
    return said


# ---------- in rows of letters ----------
class _Columns:
    """The axis cut into columns of whole weeks, as few weeks in one as the width allows."""

    def __init__(self, season: Season, width: int) -> None:
        self.first, self.last = _iso(season.first_day), _iso(season.last_day)
        days = (self.last - self.first).days + 1
        self.weeks = next(weeks for weeks in range(1, days + 1) if GUTTER + -(-days // (7 * weeks)) <= width)
        self.days = 7 * self.weeks
        self.count = -(-days // self.days)

    def at(self, date: dt.date) -> int:
        """The column of a day; -1 before the axis and the number of columns after it."""
        if date > self.last:
            return self.count
        return max(-1, (date - self.first).days // self.days)

    def middle(self, column: int) -> dt.date:
        """The middle day of a column."""
        return min(self.first + dt.timedelta(days=column * self.days + self.days // 2), self.last)

    def months(self) -> Iterator[tuple[int, dt.date]]:
        """Each month of the axis with the column of its first day."""
        date = self.first
        while date <= self.last:
            yield self.at(date), date
            date = (date + dt.timedelta(days=31)).replace(day=1)

    def placed(self, marks: Iterable[tuple[int, str]]) -> str:
        """Words at their columns; one that would touch the word before it or stick out is left out."""
        line = ""
        for column, word in marks:
            if (not line or len(line) < column) and column + len(word) <= self.count:
                line = line.ljust(column) + word
        return line


def season_text(
    advice: Advice,
    *,
    width: int = 80,
    ascii_only: bool = False,
    plain: bool = False,
    system: System | None = None,
) -> list[str]:
    """The season as lines of at most `width` columns; none without a place.

    A row for each thing and a column for each week or few weeks. `plain` (line mode, screen readers) and pages under
    40 columns give sentences.
    """
    season = advice.season
    if season is None or not season.weeks:
        return []
    system = system or system_of(advice)

    def say(said: str) -> str:
        said = printable(said)
        return to_ascii(said) if ascii_only else said

    if plain or width < NARROWEST_PICTURE:
        return [line for said in season_sentences(advice, system) for line in wrapped(say(said), width)]
    return [line.rstrip() for line in _Letters(advice, season, width, ascii_only, system, say).lines()]


def wrapped(said: str, width: int, indent: str = "") -> list[str]:
    """A text as lines of at most `width` columns, those after the first indented; only a word that is too long alone is cut."""
    lines, line = list[str](), ""
    for word in said.split():
        pieces = chop_cells(word, width - len(indent)) if cell_len(indent + word) > width else [word]
        for piece in pieces:
            longer = f"{line} {piece}" if line else (indent if lines else "") + piece
            if line and cell_len(longer) > width:
                lines.append(line)
                longer = indent + piece
            line = longer
    return [*lines, line] if line else lines


class _Letters:
    """Draws the season with letters."""

    def __init__(
        self,
        advice: Advice,
        season: Season,
        width: int,
        ascii_only: bool,
        system: System,
        say: Callable[[str], str],
    ) -> None:
        self.season, self.width, self.ascii_only, self.system, self.say = (
            season,
            width,
            ascii_only,
            system,
            say,
        )
        self.columns = _Columns(season, width)
        self.rows, self.bars = _rows(season), _bars(advice, season)
        self.shut, self.wall = (".", "|") if ascii_only else ("·", "│")
        self.deadline = None if season.deadline is None else self.columns.at(_iso(season.deadline))

    def lines(self) -> Iterator[str]:
        yield from self._head()
        for row in self.rows:
            yield ""
            if not row.windows:
                yield from wrapped(
                    self.say(f"{row.label}: no window, because {row.why_none}."), self.width, "  "
                )
                continue
            yield from wrapped(self.say(row.label), self.width, "  ")
            yield self._line("Window", self._walled(self._window(row.windows), self.shut))
            spans = [f"{w.quality} {_span(w.opens, w.closes)}" for w in row.windows]
            yield from (f"  {line}" for line in wrapped(self.say("; ".join(spans)), self.width - 2))
        for bar in self.bars:
            yield ""
            yield from self._bar(bar)
        yield ""
        yield from self._legend()

    def _line(self, label: str, cells: str) -> str:
        return label.ljust(GUTTER) + cells

    def _walled(self, cells: Sequence[str], empty: str = " ") -> str:
        """Cells with the day of the deadline as a wall where nothing else stands."""
        return "".join(
            self.wall if n == self.deadline and cell == empty else cell for n, cell in enumerate(cells)
        )

    def _head(self) -> Iterator[str]:
        columns, months = self.columns, list(self.columns.months())
        letters = 3 if columns.weeks == 1 else 1
        yield self._line(
            "",
            columns.placed(
                (column, str(date.year)) for column, date in months if column == 0 or date.month == 1
            ),
        )
        line = [" "] * (columns.count + letters)
        for column, date in months:
            line[column : column + letters] = MONTH_NAMES[date.month - 1][:letters]
        yield self._line("Month", "".join(line[: columns.count]))
        marks = [" "] * columns.count
        marks[columns.at(_iso(self.season.today))] = "t"
        if self.deadline is not None:
            marks[min(self.deadline, columns.count - 1)] = "D" if self.deadline < columns.count else ">"
        yield self._line("Dates", "".join(marks))
        means = [(column, _whole(_degrees(self._mean_of(date), self.system))) for column, date in months]
        yield self._line(self.say(f"Mean {_unit(self.system)}").replace("deg ", ""), columns.placed(means))
        if not self.ascii_only:
            yield self._line("Warmth", self._warmth())
        for label, share in (
            ("Cool grass", [week.growth_cool for week in self.season.weeks]),
            ("Warm grass", [week.growth_warm for week in self.season.weeks]),
        ):
            yield self._line(label, "".join(map(self._share, self._by_column(share))))
        if _frost_spans(self.season):
            yield self._line("Frost", self._walled(self._frost(), self.shut))
        else:
            yield self._line("Frost", "rare" if self.season.frost_kind == "rare" else "in some years")

    def _mean_of(self, month: dt.date) -> float:
        weeks = self.season.weeks
        return weeks[min((month - self.columns.first).days + 14, 7 * len(weeks) - 1) // 7].mean_c

    def _by_column(self, weekly: Sequence[float]) -> list[float]:
        parts = [weekly[n : n + self.columns.weeks] for n in range(0, len(weekly), self.columns.weeks)]
        return [sum(part) / len(part) for part in parts]

    def _warmth(self) -> str:
        means = self._by_column([week.mean_c for week in self.season.weeks])
        low, high = min(means), max(means)
        return "".join(
            _BLOCKS[int((mean - low) / (high - low) * 7 + 0.5)] if high > low else _BLOCKS[3]
            for mean in means
        )

    def _share(self, share: float) -> str:
        if self.ascii_only:
            return str(min(9, int(share * 10))) if share >= 0.1 else "."
        level = int(share * 8 + 0.5)
        return _BLOCKS[level - 1] if level else " "

    def _frost(self) -> list[str]:
        spans = _frost_spans(self.season)
        cells = []
        for column in range(self.columns.count):
            here = [sure for a, b, sure in spans if a <= self.columns.middle(column) <= b]
            cells.append(self.shut if not here else "F" if all(here) else "?")
        return cells

    def _window(self, windows: Sequence[model.SeasonWindow]) -> list[str]:
        cells = [self.shut] * self.columns.count
        for window in windows:
            opens, closes = _iso(window.opens), _iso(window.closes)
            held = [n for n in range(self.columns.count) if opens <= self.columns.middle(n) <= closes]
            # One that is too short to hold the middle of a column still shows where nothing else stands.
            near = [
                n
                for n in {self.columns.at(opens), self.columns.at(closes)}
                if 0 <= n < self.columns.count and cells[n] == self.shut
            ]
            for n in held or sorted(near)[:1]:
                cells[n] = _LETTERS[window.quality]
        return cells

    def _bar(self, bar: _Bar) -> Iterator[str]:
        said = bar.label if bar.ranges else f"{bar.label}. No date can be given."
        yield from wrapped(self.say(said), self.width, "  ")
        for use, days in bar.ranges:
            yield self._line(use.capitalize(), self._walled(self._dates(bar, use, days)))

    def _dates(self, bar: _Bar, use: str, days: model.DayRange) -> list[str]:
        columns = self.columns
        cells = [" "] * columns.count
        start = 0 if bar.start is None else columns.at(bar.start)
        early = start + 1 if days.early is None else columns.at(_iso(days.early))
        late = columns.count if days.late is None else columns.at(_iso(days.late))
        for n in range(max(start, 0), columns.count):
            if early <= n <= late:
                cells[n] = _USES[use]
            elif n < early and bar.start is not None:
                cells[n] = "-"
        if late >= columns.count:
            cells[-1] = ">"
        if bar.start is not None and 0 <= start < columns.count and cells[start] in "- ":
            cells[start] = "s"
        dies = columns.count if bar.dies_by is None else columns.at(_iso(bar.dies_by))
        if 0 <= dies < columns.count:
            cells[dies:] = ["x", *" " * (columns.count - dies - 1)]
        return cells

    def _legend(self) -> Iterator[str]:
        season, weeks = self.season, self.columns.weeks
        kinds = []
        if any(row.windows for row in self.rows):
            kinds.append(f"G good, f fair, d dormant, {self.shut} closed")
        if _frost_spans(season):
            kinds.append("F frost, ? frost may come")
        if any(bar.ranges for bar in self.bars):
            kinds.append("s start, L light use, P full play")
        if any(bar.dies_by for bar in self.bars):
            kinds.append("x frost takes it")
        notes = [f"{'; '.join(kinds)}."] if kinds else []
        wanted = "" if season.deadline is None else f" D: play is wanted by {day(_iso(season.deadline))}."
        notes.append(
            f"A column is {'a week' if weeks == 1 else f'{weeks} weeks'}. t: today, {day(_iso(season.today))}.{wanted}"
        )
        full = " 9 is full growth." if self.ascii_only else ""
        notes.append(f"Cool grass, Warm grass: how fast cool-season and warm-season grass grows.{full}")
        notes += [*_frost_sentences(season), "All days are estimates for a normal year."]
        for note in notes:
            yield from wrapped(self.say(note), self.width, "  ")


# ---------- as SVG ----------
PAGE: Final = 720
LEFT: Final = 46
RIGHT: Final = 28
# Greys and one green, each at least 4.5 to 1 against white, so that words and lines also read on a grey printer.
INK: Final = "#1a1a1a"
SOFT: Final = "#595959"
GREEN: Final = "#1b5e20"
_PATTERNS: Final = f"""\
<defs>
<pattern id="season-fair" width="6" height="6" patternUnits="userSpaceOnUse"><rect width="6" height="6" fill="#fff"/><path d="M-1 7L7 -1M-1 1L1 -1M5 7L7 5" stroke="{GREEN}" stroke-width="1.6"/></pattern>
<pattern id="season-dormant" width="6" height="6" patternUnits="userSpaceOnUse"><rect width="6" height="6" fill="#fff"/><circle cx="3" cy="3" r="1.2" fill="{GREEN}"/></pattern>
<pattern id="season-frost" width="5" height="5" patternUnits="userSpaceOnUse"><rect width="5" height="5" fill="#fff"/><path d="M0 0L5 5M5 0L0 5" stroke="{SOFT}" stroke-width="0.9"/></pattern>
<pattern id="season-light" width="4" height="4" patternUnits="userSpaceOnUse"><rect width="4" height="4" fill="#fff"/><path d="M2 0V4" stroke="{INK}" stroke-width="1"/></pattern>
</defs>"""
_FILLS: Final = {
    "good": GREEN, "fair": "url(#season-fair)", "dormant": "url(#season-dormant)", "frost": SOFT, "frost may come": "url(#season-frost)",
    "light use": "url(#season-light)", "full play": INK,
}  # fmt: skip


def season_svg(advice: Advice, system: System | None = None) -> str:
    """The season as one SVG element to stand inside a page; "" without a place.

    It carries its own title and description, needs no script, style sheet or font file, and reads without colour:
    every kind of day has its own pattern, and letters or words beside it.
    """
    season = advice.season
    if season is None or not season.weeks:
        return ""
    return _Drawing(advice, season, system or system_of(advice)).svg()


def _xml(said: str) -> str:
    return escape(printable(said), {'"': "&quot;"})


def _wide(said: str, size: float) -> float:
    """About how wide words are in a sans-serif face; rather too much than too little."""
    return cell_len(said) * size * 0.56


class _Drawing:
    """Draws the season from the top down; `y` is where the next thing stands."""

    def __init__(self, advice: Advice, season: Season, system: System) -> None:
        self.advice, self.season, self.system = advice, season, system
        self.first, self.last = _iso(season.first_day), _iso(season.last_day)
        self.days = (self.last - self.first).days + 1
        self.y = 0.0
        self.parts: list[str] = []
        self.over: list[str] = []

    # ---------- small helpers ----------
    def x(self, date: dt.date) -> float:
        """Where the morning of a day stands, kept within the axis."""
        share = min(max((date - self.first).days / self.days, 0.0), 1.0)
        return round(LEFT + share * (PAGE - LEFT - RIGHT), 1)

    def _words(
        self,
        x: float,
        y: float,
        said: str,
        size: float = 11,
        anchor: str = "start",
        fill: str = INK,
        strong: bool = False,
    ) -> None:
        weight = ' font-weight="bold"' if strong else ""
        end = "" if anchor == "start" else f' text-anchor="{anchor}"'
        self.parts.append(
            f'<text x="{x:g}" y="{y:g}" font-size="{size:g}" fill="{fill}"{end}{weight}>{_xml(said)}</text>'
        )

    def _over(
        self, x: float, y: float, said: str, anchor: str = "start", ink: str = INK, ground: str = "#fff"
    ) -> None:
        """Words with a ground of their own, laid over all lines of the row once these are drawn. `y` is their middle."""
        wide = _wide(said, 10)
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[anchor]
        kept, self.parts = self.parts, []
        self._rect(round(left - 2, 1), y - 5.5, wide + 4, 11, ground)
        self._words(round(x, 1), y + 3.5, said, 10, anchor, ink)
        self.over += self.parts
        self.parts = kept

    def _rect(self, x: float, y: float, width: float, height: float, fill: str, edge: str = "none") -> None:
        self.parts.append(
            f'<rect x="{x:g}" y="{y:g}" width="{round(width, 1):g}" height="{height:g}" fill="{fill}" stroke="{edge}"/>'
        )

    def _path(self, d: str, width: float = 1, ink: str = INK, dash: str = "", fill: str = "none") -> None:
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self.parts.append(f'<path d="{d}" stroke="{ink}" stroke-width="{width:g}" fill="{fill}"{dashed}/>')

    def _heading(self, said: str, strong: bool = True) -> None:
        """Words over a row, on as many lines as they need."""
        most = int((PAGE - LEFT - RIGHT) / (11 * 0.56))
        for line in wrapped(printable(said), most):
            self.y += 14
            self._words(LEFT, self.y, line, strong=strong)
        self.y += 4

    def _body(self, height: float, draw: Callable[[float], None]) -> None:
        """The ground of a row with its months, the row itself, and the lines of today and the deadline over it."""
        top = self.y
        for date in self._months():
            self._path(f"M{self.x(date):g} {top:g}v{height:g}", 0.6, "#c4c4c4")
        draw(top)
        self._path(f"M{self.x(_iso(self.season.today)):g} {top:g}v{height:g}", 1, INK, "1 2")
        if self.season.deadline is not None and _iso(self.season.deadline) <= self.last:
            at = self.x(_iso(self.season.deadline) + dt.timedelta(days=1))
            # A white edge keeps the line apart from dark bars.
            self._path(f"M{at:g} {top:g}v{height:g}", 4, "#fff")
            self._path(f"M{at:g} {top:g}v{height:g}", 2, INK, "5 2")
        self.parts += self.over
        self.over = []
        self.y = top + height

    def _months(self) -> Iterator[dt.date]:
        date = self.first
        while date <= self.last:
            yield date
            date = (date + dt.timedelta(days=31)).replace(day=1)

    # ---------- the picture ----------
    def svg(self) -> str:
        """The finished element."""
        place = next((str(row.value) for row in self.advice.situation if row.key == "place.name"), "")
        title = f"The season{f' at {place}' if place else ''}: {_month(self.first)} to {_month(self.last)}"
        self.y = 18
        self._words(LEFT, self.y, title, 14, strong=True)
        self._axis()
        self._temperature()
        self._growth()
        self._frost()
        for row in _rows(self.season):
            self._windows(row)
        for bar in _bars(self.advice, self.season):
            self._ready(bar)
        self._legend()
        said = " ".join(season_sentences(self.advice, self.system))
        height = round(self.y + 8)
        return "\n".join([
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {PAGE} {height}" width="100%" role="img" '
            'aria-labelledby="season-title season-said" font-family="sans-serif">',
            f'<title id="season-title">{_xml(title)}</title>', f'<desc id="season-said">{_xml(said)}</desc>', _PATTERNS,
            f'<rect width="{PAGE}" height="{height}" fill="#fff"/>', *self.parts, "</svg>",
        ]) + "\n"  # fmt: skip

    def _axis(self) -> None:
        self.y += 18
        months = list(self._months())
        for date, after in zip(months, [*months[1:], self.last + dt.timedelta(days=1)], strict=True):
            name = MONTH_NAMES[date.month - 1][:3]
            self._words((self.x(date) + self.x(after)) / 2, self.y, name, 10.5, "middle")
            if date == self.first or date.month == 1:
                self._words(self.x(date), self.y + 13, str(date.year), 10.5, fill=SOFT)
        self.y += 28
        today = _iso(self.season.today)
        self._flag(self.x(today), f"today, {_short(today.isoformat())}")
        if self.season.deadline is not None:
            self.y += 14
            by = _iso(self.season.deadline)
            beyond = " (later than this picture)" if by > self.last else ""
            self._flag(
                self.x(by + dt.timedelta(days=1)),
                f"play is wanted by {_short(by.isoformat())} {by.year}{beyond}",
                strong=True,
            )
        self.y += 5

    def _flag(self, x: float, said: str, strong: bool = False) -> None:
        """Words beside a line that runs down the page, with a small pointer at the line."""
        self._path(f"M{x - 4:g} {self.y - 8:g}h8l-4 8z", 1, INK, fill=INK if strong else "#fff")
        left = x + 8 + _wide(said, 10.5) > PAGE - 4
        self._words(x - 8 if left else x + 8, self.y, said, 10.5, "end" if left else "start", strong=strong)

    def _curve(
        self, top: float, height: float, shares: Sequence[float], width: float, dash: str = ""
    ) -> None:
        points = [
            (self.x(min(_iso(week.first) + dt.timedelta(days=3), self.last)), top + height * (1 - share))
            for week, share in zip(self.season.weeks, shares, strict=True)
        ]
        self._path("M" + "L".join(f"{x:g} {y:.1f}" for x, y in points), width, INK, dash)

    def _levels(self, top: float, height: float, marks: Sequence[tuple[float, str]]) -> None:
        for share, said in marks:
            y = round(top + height * (1 - share), 1)
            self._path(f"M{LEFT} {y:g}H{PAGE - RIGHT}", 0.6, "#c4c4c4")
            self._words(LEFT - 5, y + 3.5, said, 10, "end", SOFT)

    def _temperature(self) -> None:
        self._heading(f"Mean temperature, {_unit(self.system)}")
        means = [_degrees(week.mean_c, self.system) for week in self.season.weeks]
        step = 20 if self.system == "us" else 10
        low = step * int(min(means) // step)
        high = max(step * int(-(-max(means) // step)), low + step)
        marks = [
            ((level - low) / (high - low), str(level).replace("-", "−"))
            for level in range(low, high + 1, step)
        ]

        def draw(top: float) -> None:
            self._levels(top, 96, marks)
            self._curve(top, 96, [(mean - low) / (high - low) for mean in means], 2.4)

        self._body(96, draw)

    def _growth(self) -> None:
        self._heading("Growth, as a share of full growth")
        # Samples of the two lines stand beside the heading, so that nobody has to look for them below.
        x = LEFT + _wide("Growth, as a share of full growth", 11) + 24
        for said, dash in (("cool-season grass", ""), ("warm-season grass", "6 4")):
            self._path(f"M{x:g} {self.y - 8:g}h26", 2, INK, dash)
            self._words(x + 31, self.y - 4, said, 10.5)
            x += 31 + _wide(said, 10.5) + 22

        def draw(top: float) -> None:
            self._levels(top, 56, [(0.0, "0"), (0.5, "50%"), (1.0, "100%")])
            self._curve(top, 56, [week.growth_cool for week in self.season.weeks], 2)
            self._curve(top, 56, [week.growth_warm for week in self.season.weeks], 2, "6 4")

        self._body(56, draw)

    def _frost(self) -> None:
        said = {
            "always": "it can come at any time of the year",
            "rare": "rare here",
            "some-years": "in some years only",
        }.get(self.season.frost_kind, "")
        both = sorted(
            (
                (name, days)
                for name, days in (("first", self.season.first_frost), ("last", self.season.last_frost))
                if days
            ),
            key=lambda pair: pair[1].early,
        )
        parts = [said] if said else []
        if self.season.frost_kind in ("usual", "some-years") and both:
            parts += [f"{name} {_span(days.early, days.late)}" for name, days in both]
            parts[-1] += " (in about two years of three)"
        self._heading(f"Frost: {', '.join(parts) or 'in some years only'}")
        spans = _frost_spans(self.season)
        if not spans:
            return

        def draw(top: float) -> None:
            for a, b, sure in sorted(spans, key=lambda span: not span[2]):
                self._box(
                    a,
                    b,
                    top,
                    14,
                    "frost" if sure else "frost may come",
                    "F" if sure else "?",
                    "#fff" if sure else INK,
                )

        self._body(14, draw)

    def _box(
        self,
        opens: dt.date,
        closes: dt.date,
        top: float,
        height: float,
        kind: str,
        letter: str,
        ink: str,
        said: str = "",
    ) -> None:
        """A bar of one kind of day with its word, or its letter where the word has no room."""
        a, b = self.x(opens), self.x(closes + dt.timedelta(days=1))
        self._rect(a, top, max(b - a, 1.5), height, _FILLS[kind], INK)
        word = next((word for word in (said, letter) if word and _wide(word, 10) + 8 <= b - a), "")
        if not word:
            return
        self._over((a + b) / 2, top + height / 2, word, "middle", ink, "#fff" if ink == INK else _FILLS[kind])

    def _windows(self, row: _Row) -> None:
        self._heading(
            f"Window: {row.label}" if row.windows else f"No window: {row.label}, because {row.why_none}"
        )
        if not row.windows:
            return

        def draw(top: float) -> None:
            for w in row.windows:
                self._box(
                    max(_iso(w.opens), self.first), min(_iso(w.closes), self.last), top, 16, w.quality, _LETTERS[w.quality],
                    "#fff" if w.quality == "good" else INK, w.quality,
                )  # fmt: skip

        self._body(16, draw)

    def _ready(self, bar: _Bar) -> None:
        self._heading(bar.label if bar.ranges else f"{bar.label}; no date can be given")
        if not bar.ranges:
            return

        def draw(top: float) -> None:
            for n, (use, days) in enumerate(bar.ranges):
                self._range(bar, use, days, top + 15 * n + 2)
            if bar.dies_by is not None:
                # A lane of its own: the cross would cover the words of the others.
                x, middle = self.x(_iso(bar.dies_by)), top + 15 * len(bar.ranges) + 7.5
                self._path(f"M{x - 5:g} {middle - 5:g}l10 10m0 -10l-10 10", 2.4)
                self._beside(
                    x - 6, x + 6, middle, f"frost takes it about {_short(bar.dies_by)} {bar.dies_by[:4]}"
                )

        self._body(15 * (len(bar.ranges) + (bar.dies_by is not None)) + 2, draw)

    def _beside(self, a: float, b: float, middle: float, said: str, start: float | None = None) -> None:
        """Words right of a mark from `a` to `b`; without room there left of it, best left of `start`, where its line begins; else on it."""
        wide = _wide(said, 10)
        if b + 6 + wide <= PAGE - 2:
            self._over(b + 6, middle, said)
            return
        ends = [end for end in (a - 6 if start is None else min(a, start) - 6, a - 6) if end - wide >= LEFT]
        if ends:
            self._over(ends[0], middle, said, "end")
        else:
            self._over((a + b) / 2, middle, said, "middle")

    def _range(self, bar: _Bar, use: str, days: model.DayRange, top: float) -> None:
        """The wait from the start as a line, the range as a bar, and its days in words beside it."""
        start = bar.start or _iso(self.season.today)
        early = start if days.early is None else _iso(days.early)
        late = self.last if days.late is None else _iso(days.late)
        open_end = late > self.last or days.late is None
        if bar.dies_by is not None and _iso(bar.dies_by) < late:
            late, open_end = max(early, _iso(bar.dies_by)), False
        a, b, middle = self.x(early), self.x(late + dt.timedelta(days=1)), top + 5.5
        if bar.start is not None and bar.start <= self.last:
            x = self.x(bar.start)
            self._path(f"M{x:g} {middle:g}H{a:g}", 1.2)
            self._path(f"M{x:g} {top + 1:g}l6 4.5l-6 4.5z", 1, INK, fill=INK)
        if early <= self.last:
            self._rect(a, top, max(b - a, 2), 11, _FILLS[use], INK)
        if open_end:
            # It runs on beyond the picture, or nobody knows how far.
            self._path(f"M{PAGE - RIGHT:g} {top:g}l8 5.5l-8 5.5z", 1, INK, fill="#fff")
            b = PAGE - RIGHT + 8
        self._beside(a, b, middle, f"{use} {_range(days)}", None if bar.start is None else self.x(bar.start))

    def _legend(self) -> None:
        kinds: list[tuple[str, str]] = []
        if self.season.windows:
            kinds += [
                ("good", "G good window"),
                ("fair", "f fair window"),
                ("dormant", "d dormant: it lies until spring"),
            ]
        sure = {sure for _, _, sure in _frost_spans(self.season)}
        kinds += [("frost", "F frost")] * (True in sure) + [("frost may come", "? frost may come")] * (
            False in sure
        )
        uses = {use for bar in _bars(self.advice, self.season) for use, _ in bar.ranges}
        kinds += [(use, f"ready for {use}, early to late") for use in _USES if use in uses]
        self.y += 20
        x = float(LEFT)
        for kind, said in kinds:
            wide = 26 + _wide(said, 10) + 12
            if x + wide > PAGE and x > LEFT:
                x, self.y = float(LEFT), self.y + 16
            self._rect(x, self.y - 9, 20, 11, _FILLS[kind], INK)
            self._words(x + 25, self.y, said, 10)
            x += wide
        self.y += 16
        self._words(
            LEFT,
            self.y,
            "All days are estimates for a normal year. A black triangle marks the start.",
            10,
            fill=SOFT,
        )
