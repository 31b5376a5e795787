"""A timeline as one SVG element to stand inside a page: it needs no colour, no script and no font."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from typing import Final
from xml.sax.saxutils import escape

from rich.cells import cell_len

from decide.model.wording import MONTH_NAMES
from decide.model.words import printable
from decide.report.phrases import month_of, short_day, short_days, short_span
from decide.report.timeline import Bar, Days, Row, Timeline, Use
from decide.report.timeline_letters import LETTERS, USES, wrapped
from decide.report.timeline_said import sentences
from decide.report.words import say

PAGE: Final = 720
LEFT: Final = 46
RIGHT: Final = 28
# The height of a row of temperature, of growth, of frost, of windows, and of one use.
WARMTH_HIGH: Final = 96
GROWTH_HIGH: Final = 56
FROST_HIGH: Final = 14
WINDOW_HIGH: Final = 16
USE_HIGH: Final = 15
# Greys and one green, each at least 4.5 to 1 against white, so that all reads on a grey printer too.
INK: Final = "#1a1a1a"
SOFT: Final = "#595959"
GREEN: Final = "#1b5e20"
WHITE: Final = "#fff"
_GRID: Final = "#c4c4c4"
_PATTERN: Final = (
    '<pattern id="season-{name}" width="{side}" height="{side}" patternUnits="userSpaceOnUse">'
    '<rect width="{side}" height="{side}" fill="#fff"/>{drawn}</pattern>'
)
_STRIPES: Final = f'<path d="M-1 7L7 -1M-1 1L1 -1M5 7L7 5" stroke="{GREEN}" stroke-width="1.6"/>'
_DOTS: Final = f'<circle cx="3" cy="3" r="1.2" fill="{GREEN}"/>'
_CROSSES: Final = f'<path d="M0 0L5 5M5 0L0 5" stroke="{SOFT}" stroke-width="0.9"/>'
_BARS: Final = f'<path d="M2 0V4" stroke="{INK}" stroke-width="1"/>'
_PATTERNS: Final = "\n".join([
    "<defs>",
    _PATTERN.format(name="fair", side=6, drawn=_STRIPES),
    _PATTERN.format(name="dormant", side=6, drawn=_DOTS),
    _PATTERN.format(name="frost", side=5, drawn=_CROSSES),
    _PATTERN.format(name="light", side=4, drawn=_BARS),
    "</defs>",
])  # fmt: skip
_FILLS: Final = {
    "good": GREEN,
    "fair": "url(#season-fair)",
    "dormant": "url(#season-dormant)",
    "frost": SOFT,
    "frost may come": "url(#season-frost)",
    "light use": "url(#season-light)",
    "full play": INK,
}
Draw = Callable[[float], None]


def svg(year: Timeline) -> str:
    """The timeline as an SVG element with its own title and description.

    Every kind of day has its own pattern, and letters or words beside it.
    """
    return _Drawing(year).svg()


def _xml(said: str) -> str:
    return escape(printable(said), {'"': "&quot;"})


def _wide(said: str, size: float) -> float:
    """About how wide words are in a sans-serif face; rather too much than too little."""
    return cell_len(said) * size * 0.56


class _Canvas:
    """Shapes and words, one after another.

    `over` holds words that are laid over the lines of a row once these are drawn.
    """

    def __init__(self) -> None:
        self.parts: list[str] = []
        self.over: list[str] = []

    def words(
        self, x: float, y: float, said: str, size: float = 11, *, anchor: str = "start", fill: str = INK,
        strong: bool = False,
    ) -> None:  # fmt: skip
        """Words that stand on `y`."""
        weight = ' font-weight="bold"' if strong else ""
        end = "" if anchor == "start" else f' text-anchor="{anchor}"'
        place = f'x="{x:g}" y="{y:g}" font-size="{size:g}" fill="{fill}"'
        self.parts.append(f"<text {place}{end}{weight}>{_xml(said)}</text>")

    def words_over(
        self, x: float, middle: float, said: str, anchor: str = "start", ink: str = INK, ground: str = WHITE
    ) -> None:
        """Words with a ground of their own, laid over all lines of the row."""
        wide = _wide(said, 10)
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[anchor]
        kept, self.parts = self.parts, []
        self.box(round(left - 2, 1), middle - 5.5, wide + 4, 11, ground)
        self.words(round(x, 1), middle + 3.5, said, 10, anchor=anchor, fill=ink)
        self.over += self.parts
        self.parts = kept

    def box(self, x: float, y: float, width: float, height: float, fill: str, edge: str = "none") -> None:
        """A rectangle."""
        size = f'width="{round(width, 1):g}" height="{height:g}"'
        self.parts.append(f'<rect x="{x:g}" y="{y:g}" {size} fill="{fill}" stroke="{edge}"/>')

    def path(self, d: str, width: float = 1, ink: str = INK, dash: str = "", fill: str = "none") -> None:
        """A line or a shape by its path."""
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self.parts.append(f'<path d="{d}" stroke="{ink}" stroke-width="{width:g}" fill="{fill}"{dashed}/>')

    def laid(self) -> None:
        """Lays the words over what is drawn so far."""
        self.parts += self.over
        self.over = []


class _Drawing:
    """Draws the timeline from the top down; `y` is where the next thing stands."""

    def __init__(self, year: Timeline) -> None:
        self.year, self.on, self.y = year, _Canvas(), 0.0

    def x(self, date: dt.date) -> float:
        """Where the morning of a day stands, kept within the axis."""
        share = min(max((date - self.year.first).days / self.year.days, 0.0), 1.0)
        return round(LEFT + share * (PAGE - LEFT - RIGHT), 1)

    def after(self, date: dt.date) -> float:
        """Where the evening of a day stands."""
        return self.x(date + dt.timedelta(days=1))

    def svg(self) -> str:
        """The finished element."""
        year = self.year
        span = f"{month_of(year.first)} to {month_of(year.last)}"
        title = say("picture-title-at", place=year.place, span=span) if year.place else ""
        title = title or say("picture-title", span=span)
        self.y = 18
        self.on.words(LEFT, self.y, title, 14, strong=True)
        self._axis()
        self._temperature()
        self._growth()
        self._frost()
        for row in year.rows:
            self._window(row)
        for bar in year.bars:
            self._bar(bar)
        self._legend()
        height = round(self.y + 8)
        return "\n".join([
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {PAGE} {height}" width="100%" role="img" '
            'aria-labelledby="season-title season-said" font-family="sans-serif">',
            f'<title id="season-title">{_xml(title)}</title>',
            f'<desc id="season-said">{_xml(" ".join(sentences(year)))}</desc>', _PATTERNS,
            f'<rect width="{PAGE}" height="{height}" fill="#fff"/>', *self.on.parts, "</svg>",
        ]) + "\n"  # fmt: skip

    # ---------- rows ----------
    def _heading(self, said: str) -> None:
        """Words over a row, on as many lines as they need."""
        most = int((PAGE - LEFT - RIGHT) / (11 * 0.56))
        for row in wrapped(printable(said), most):
            self.y += 14
            self.on.words(LEFT, self.y, row, strong=True)
        self.y += 4

    def _body(self, height: float, draw: Draw) -> None:
        """The ground of a row with its months, the row, and the lines of today and the deadline over it."""
        top, on, year = self.y, self.on, self.year
        for date in year.months():
            on.path(f"M{self.x(date):g} {top:g}v{height:g}", 0.6, _GRID)
        draw(top)
        on.path(f"M{self.x(year.today):g} {top:g}v{height:g}", 1, INK, "1 2")
        if year.deadline is not None and year.deadline <= year.last:
            at = self.after(year.deadline)
            # A white edge keeps the line apart from dark bars.
            on.path(f"M{at:g} {top:g}v{height:g}", 4, WHITE)
            on.path(f"M{at:g} {top:g}v{height:g}", 2, INK, "5 2")
        on.laid()
        self.y = top + height

    def _axis(self) -> None:
        self.y += 18
        year, months = self.year, list(self.year.months())
        ends = [*months[1:], year.last + dt.timedelta(days=1)]
        for date, end in zip(months, ends, strict=True):
            name = MONTH_NAMES[date.month - 1][:3]
            self.on.words((self.x(date) + self.x(end)) / 2, self.y, name, 10.5, anchor="middle")
            if date == year.first or date.month == 1:
                self.on.words(self.x(date), self.y + 13, str(date.year), 10.5, fill=SOFT)
        self.y += 28
        self._flag(self.x(year.today), say("picture-today", day=short_day(year.today)))
        if year.deadline is not None:
            self.y += 14
            by = f"{short_day(year.deadline)} {year.deadline.year}"
            later = year.deadline > year.last
            said = say("picture-wanted-later", day=by) if later else say("picture-wanted", day=by)
            self._flag(self.after(year.deadline), said, strong=True)
        self.y += 5

    def _flag(self, x: float, said: str, strong: bool = False) -> None:
        """Words beside a line that runs down the page, with a small pointer at the line."""
        self.on.path(f"M{x - 4:g} {self.y - 8:g}h8l-4 8z", 1, INK, fill=INK if strong else WHITE)
        left = x + 8 + _wide(said, 10.5) > PAGE - 4
        at, anchor = (x - 8, "end") if left else (x + 8, "start")
        self.on.words(at, self.y, said, 10.5, anchor=anchor, strong=strong)

    def _curve(
        self, top: float, height: float, shares: Sequence[float], width: float, dash: str = ""
    ) -> None:
        points = [
            (self.x(min(week.first + dt.timedelta(days=3), self.year.last)), top + height * (1 - share))
            for week, share in zip(self.year.weeks, shares, strict=True)
        ]
        self.on.path("M" + "L".join(f"{x:g} {y:.1f}" for x, y in points), width, INK, dash)

    def _levels(self, top: float, height: float, marks: Sequence[tuple[float, str]]) -> None:
        for share, said in marks:
            y = round(top + height * (1 - share), 1)
            self.on.path(f"M{LEFT} {y:g}H{PAGE - RIGHT}", 0.6, _GRID)
            self.on.words(LEFT - 5, y + 3.5, said, 10, anchor="end", fill=SOFT)

    def _temperature(self) -> None:
        self._heading(say("picture-temperature", unit=self.year.degree))
        means = [week.mean for week in self.year.weeks]
        step = 20 if self.year.system == "us" else 10
        low = step * int(min(means) // step)
        high = max(step * int(-(-max(means) // step)), low + step)
        levels = range(low, high + 1, step)
        marks = [((level - low) / (high - low), str(level).replace("-", "−")) for level in levels]

        def draw(top: float) -> None:
            self._levels(top, WARMTH_HIGH, marks)
            self._curve(top, WARMTH_HIGH, [(mean - low) / (high - low) for mean in means], 2.4)

        self._body(WARMTH_HIGH, draw)

    def _growth(self) -> None:
        heading = say("picture-growth")
        self._heading(heading)
        # Samples of the two lines stand beside the heading, so that nobody has to look for them below.
        x = LEFT + _wide(heading, 11) + 24
        for said, dash in ((say("picture-cool"), ""), (say("picture-warm"), "6 4")):
            self.on.path(f"M{x:g} {self.y - 8:g}h26", 2, INK, dash)
            self.on.words(x + 31, self.y - 4, said, 10.5)
            x += 31 + _wide(said, 10.5) + 22

        def draw(top: float) -> None:
            self._levels(top, GROWTH_HIGH, [(0.0, "0"), (0.5, "50%"), (1.0, "100%")])
            self._curve(top, GROWTH_HIGH, [week.cool for week in self.year.weeks], 2)
            self._curve(top, GROWTH_HIGH, [week.warm for week in self.year.weeks], 2, "6 4")

        self._body(GROWTH_HIGH, draw)

    def _frost(self) -> None:
        year = self.year
        always, rare = say("picture-frost-always"), say("picture-frost-rare")
        some = say("picture-frost-some-years")
        said = {"always": always, "rare": rare, "some-years": some}.get(year.frost_kind, "")
        parts = [said] if said else []
        if year.frost_kind in ("usual", "some-years") and year.frosts:
            parts += [f"{which} {short_span(early, late)}" for which, early, late in year.frosts]
            parts[-1] += f" {say('picture-frost-years')}"
        self._heading(say("picture-frost", said=", ".join(parts) or some))
        if not year.cold:
            return

        def draw(top: float) -> None:
            for a, b, sure in sorted(year.cold, key=lambda span: not span[2]):
                if sure:
                    self._box(a, b, top, FROST_HIGH, "frost", "F", WHITE)
                else:
                    self._box(a, b, top, FROST_HIGH, "frost may come", "?", INK)

        self._body(FROST_HIGH, draw)

    def _box(
        self, opens: dt.date, closes: dt.date, top: float, height: float, kind: str, letter: str, ink: str,
        said: str = "",
    ) -> None:  # fmt: skip
        """A bar of one kind of day with its word, or its letter where the word has no room."""
        a, b = self.x(opens), self.after(closes)
        self.on.box(a, top, max(b - a, 1.5), height, _FILLS[kind], INK)
        word = next((word for word in (said, letter) if word and _wide(word, 10) + 8 <= b - a), "")
        if word:
            ground = WHITE if ink == INK else _FILLS[kind]
            self.on.words_over((a + b) / 2, top + height / 2, word, "middle", ink, ground)

    def _window(self, row: Row) -> None:
        if not row.stretches:
            self._heading(say("picture-no-window", name=row.label, why=row.why_none))
            return
        self._heading(say("picture-window", name=row.label))

        def draw(top: float) -> None:
            for part in row.stretches:
                quality = part.quality
                opens, closes = max(part.opens, self.year.first), min(part.closes, self.year.last)
                ink = WHITE if quality == "good" else INK
                self._box(opens, closes, top, WINDOW_HIGH, quality, LETTERS[quality], ink, quality)

        self._body(WINDOW_HIGH, draw)

    def _bar(self, bar: Bar) -> None:
        if not bar.uses:
            self._heading(say("picture-undated", name=bar.label))
            return
        self._heading(bar.label)

        def draw(top: float) -> None:
            for n, (use, days) in enumerate(bar.uses):
                self._use(bar, use, days, top + USE_HIGH * n + 2)
            if bar.dies_by is not None:
                # A lane of its own: the cross would cover the words of the others.
                x, middle = self.x(bar.dies_by), top + USE_HIGH * len(bar.uses) + USE_HIGH / 2
                self.on.path(f"M{x - 5:g} {middle - 5:g}l10 10m0 -10l-10 10", 2.4)
                by = f"{short_day(bar.dies_by)} {bar.dies_by.year}"
                self._beside(x - 6, x + 6, middle, say("picture-dies", day=by))

        self._body(USE_HIGH * (len(bar.uses) + (bar.dies_by is not None)) + 2, draw)

    def _beside(self, a: float, b: float, middle: float, said: str, start: float | None = None) -> None:
        """Words right of a mark from `a` to `b`.

        Without room there they stand left of it, best left of `start`, where its line begins; else on it.
        """
        wide = _wide(said, 10)
        if b + 6 + wide <= PAGE - 2:
            self.on.words_over(b + 6, middle, said)
            return
        ends = [end for end in (a - 6 if start is None else min(a, start) - 6, a - 6) if end - wide >= LEFT]
        if ends:
            self.on.words_over(ends[0], middle, said, "end")
        else:
            self.on.words_over((a + b) / 2, middle, said, "middle")

    def _use(self, bar: Bar, use: Use, days: Days, top: float) -> None:
        """The wait from the start as a line, the range as a bar, and its days in words beside it."""
        last, on = self.year.last, self.on
        early = days.early or bar.start or self.year.today
        late = days.late or last
        open_end = late > last or days.late is None
        if bar.dies_by is not None and bar.dies_by < late:
            late, open_end = max(early, bar.dies_by), False
        a, b, middle = self.x(early), self.after(late), top + 5.5
        if bar.start is not None and bar.start <= last:
            x = self.x(bar.start)
            on.path(f"M{x:g} {middle:g}H{a:g}", 1.2)
            on.path(f"M{x:g} {top + 1:g}l6 4.5l-6 4.5z", 1, INK, fill=INK)
        if early <= last:
            on.box(a, top, max(b - a, 2), 11, _FILLS[use], INK)
        if open_end:
            # It runs on beyond the picture, or nobody knows how far.
            on.path(f"M{PAGE - RIGHT:g} {top:g}l8 5.5l-8 5.5z", 1, INK, fill=WHITE)
            b = PAGE - RIGHT + 8
        said = f"{use} {short_days(days.early, days.late)}"
        self._beside(a, b, middle, said, None if bar.start is None else self.x(bar.start))

    def _legend(self) -> None:
        kinds: list[tuple[str, str]] = []
        if any(row.stretches for row in self.year.rows):
            kinds.append(("good", say("picture-good")))
            kinds += [("fair", say("picture-fair")), ("dormant", say("picture-dormant"))]
        sure = {sure for _, _, sure in self.year.cold}
        kinds += [("frost", say("picture-frost-sure"))] * (True in sure)
        kinds += [("frost may come", say("picture-frost-maybe"))] * (False in sure)
        uses = {use for bar in self.year.bars for use, _ in bar.uses}
        kinds += [(use, say("picture-ready", use=use)) for use in USES if use in uses]
        self.y += 20
        x = float(LEFT)
        for kind, said in kinds:
            wide = 26 + _wide(said, 10) + 12
            if x + wide > PAGE and x > LEFT:
                x, self.y = float(LEFT), self.y + 16
            self.on.box(x, self.y - 9, 20, 11, _FILLS[kind], INK)
            self.on.words(x + 25, self.y, said, 10)
            x += wide
        self.y += 16
        self.on.words(LEFT, self.y, say("picture-estimates"), 10, fill=SOFT)
