"""A timeline as SVG elements to stand inside a page: they need no colour, no script and no font."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from typing import Final

from markupsafe import Markup

from decide.model.words import printable
from decide.report.drawing import GREEN, GRID, INK, LEAST, SOFT, WHITE, Canvas, Pattern, wide
from decide.report.phrases import month_of, short_day, short_days, short_span
from decide.report.timeline import Bar, Days, Row, Timeline, Use
from decide.report.timeline_letters import LETTERS, USES, wrapped
from decide.report.timeline_said import sentences
from decide.report.words import language, say, word

# The width of the picture where there is room, and on a phone: there it is drawn no smaller than it is.
WIDE: Final = 720
NARROW: Final = 350
# The room left and right of the days, where there is room and on a phone.
_SIDES: Final = {WIDE: (46, 28), NARROW: (34, 14)}
# The height of a row of temperature, of rain, of growth, of frost, of windows, and of one use.
WARMTH_HIGH: Final = 96
RAIN_HIGH: Final = 56
GROWTH_HIGH: Final = 56
FROST_HIGH: Final = 15
WINDOW_HIGH: Final = 17
USE_HIGH: Final = 17
_PATTERNS: Final = (
    Pattern("fair", 6, "M-1 7L7 -1M-1 1L1 -1M5 7L7 5", GREEN, 1.6),
    Pattern("dormant", 6, "M3 3h.01", GREEN, 2.4),
    Pattern("frost", 5, "M0 0L5 5M5 0L0 5", SOFT, 0.9),
    Pattern("light", 4, "M2 0V4", INK, 1),
    Pattern("rain", 4, "M0 2H4", SOFT, 1),
)
_FILLS: Final = {"good": GREEN, "frost": SOFT, "full play": INK}
_PATTERN_OF: Final = {
    "fair": "fair", "dormant": "dormant", "frost may come": "frost", "light use": "light",
}  # fmt: skip
Draw = Callable[[float], None]


def svg(year: Timeline, *, narrow: bool = False) -> Markup:
    """The timeline as an SVG element with its own title and description; `narrow` is for a phone.

    Every kind of day has its own pattern, and letters or words beside it.
    """
    if narrow:
        return _Drawing(year, "season-small", NARROW).svg("narrow-only")
    return _Drawing(year, "season", WIDE).svg("wide-only")


class _Days:
    """The axis of days, and how rows are laid on it from the top down; `y` is where the next thing stands."""

    def __init__(self, year: Timeline, name: str, page: int) -> None:
        self.year, self.on, self.y = year, Canvas(name, _PATTERNS), 0.0
        self.page, self.narrow = page, page == NARROW
        self.left, self.right = _SIDES[page]

    def x(self, date: dt.date) -> float:
        """Where the morning of a day stands, kept within the axis."""
        share = min(max((date - self.year.first).days / self.year.days, 0.0), 1.0)
        return round(self.left + share * (self.page - self.left - self.right), 1)

    def after(self, date: dt.date) -> float:
        """Where the evening of a day stands."""
        return self.x(date + dt.timedelta(days=1))

    def _letters(self, size: float) -> int:
        """How many letters of a size a line holds."""
        return int((self.page - self.left - self.right) / wide("x", size))

    def _heading(self, said: str, strong: bool = True) -> None:
        """Words over a row, on as many lines as they need."""
        for row in wrapped(printable(said), self._letters(LEAST)):
            self.y += 14
            self.on.words(self.left, self.y, row, strong=strong)
        self.y += 4

    def _keyed(self, heading: str, keys: Sequence[tuple[str, str]]) -> None:
        """A heading with samples of the lines beside it, or below where it is narrow, so that nobody has to
        look for them further down. A key is words and the dashes of the line, or "rain" for bars.
        """
        self._heading(heading)
        x = self.left + wide(heading, LEAST) + 24
        if self.narrow:
            self.y += 14
            x = self.left
        for said, dash in keys:
            if dash == "rain":
                self.on.box(x, self.y - 13, 26, 10, self.on.fill("rain"), INK)
            else:
                self.on.path(f"M{x:g} {self.y - 8:g}h26", 2, INK, dash)
            self.on.words(x + 31, self.y - 4, said)
            x += 31 + wide(said, LEAST) + (10 if self.narrow else 22)

    def _body(self, height: float, draw: Draw) -> None:
        """The ground of a row with its months, the row, and the lines of today and the deadline over it."""
        top, on, year = self.y, self.on, self.year
        for date in year.months():
            on.path(f"M{self.x(date):g} {top:g}v{height:g}", 0.6, GRID)
        draw(top)
        on.path(f"M{self.x(year.today):g} {top:g}v{height:g}", 1, INK, "1 2")
        if year.deadline is not None and year.deadline <= year.last:
            at = self.after(year.deadline)
            # A white edge keeps the line apart from dark bars.
            on.path(f"M{at:g} {top:g}v{height:g}", 4, WHITE)
            on.path(f"M{at:g} {top:g}v{height:g}", 2, INK, "5 2")
        on.laid()
        self.y = top + height

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
            self.on.path(f"M{self.left} {y:g}H{self.page - self.right}", 0.6, GRID)
            self.on.words(self.left - 4, y + 4, said, anchor="end", fill=SOFT)


class _Drawing(_Days):
    """Draws the timeline, a row for each thing."""

    def svg(self, shown: str) -> Markup:
        """The finished element."""
        year = self.year
        span = language().range(month_of(year.first), month_of(year.last))
        title = say("picture-title-at", place=year.place, span=span) if year.place else ""
        title = title or say("picture-title", span=span)
        for said in wrapped(printable(title), self._letters(14)):
            self.y += 18
            self.on.words(self.left, self.y, said, 14, strong=True)
        self._axis()
        self._temperature()
        self._rain()
        self._growth()
        self._frost()
        for row in year.rows:
            self._window(row)
        for bar in year.bars:
            self._bar(bar)
        self._legend()
        return self.on.svg(self.page, round(self.y + 8), title, " ".join(sentences(year)), shown)

    def _axis(self) -> None:
        self.y += 18
        year, months = self.year, list(self.year.months())
        ends = [*months[1:], year.last + dt.timedelta(days=1)]
        for date, end in zip(months, ends, strict=True):
            name = language().month_name(date.month)
            short = name[:3] if wide(name[:3], LEAST) < self.x(end) - self.x(date) else name[:1]
            self.on.words((self.x(date) + self.x(end)) / 2, self.y, short, anchor="middle")
            fits = self.x(date) + wide("2026", LEAST) <= self.page
            if fits and (date == year.first or date.month == 1):
                self.on.words(self.x(date), self.y + 13, str(date.year), fill=SOFT)
        self.y += 28
        self._flag(self.x(year.today), say("picture-today", day=short_day(year.today)))
        if year.deadline is not None:
            self.y += 14
            by = language().short_day(year.deadline)
            later = year.deadline > year.last
            said = say("picture-wanted-later", day=by) if later else say("picture-wanted", day=by)
            self._flag(self.after(year.deadline), said, strong=True)
        self.y += 5

    def _flag(self, x: float, said: str, strong: bool = False) -> None:
        """Words beside a line that runs down the page, with a small pointer at the line."""
        right, left = self.page - 4 - (x + 8), x - 8 - self.left
        leftwards = wide(said, LEAST) > right and left > right
        at = x - 8 if leftwards else x + 8
        rows = wrapped(printable(said), max(int((left if leftwards else right) / wide("x", LEAST)), 1))
        for n, row in enumerate(rows):
            self.y += 13 if n else 0
            self.on.words(at, self.y, row, anchor="end" if leftwards else "start", strong=strong)
        self.on.path(f"M{x - 4:g} {self.y - 8:g}h8l-4 8z", 1, INK, fill=INK if strong else WHITE)

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

    def _rain(self) -> None:
        """Rain of each week as bars, and what turf uses as a line over them."""
        weeks = [(week.first, week.rain, week.need) for week in self.year.weeks]
        most = max((amount for _, *both in weeks for amount in both if amount is not None), default=0.0)
        if not most:
            return
        keys = [(say("picture-rain-key"), "rain")] if any(rain is not None for _, rain, _ in weeks) else []
        keys += [(say("picture-need-key"), "")] if any(need is not None for *_, need in weeks) else []
        self._keyed(say("picture-rain", unit=self.year.depth), keys)

        def draw(top: float) -> None:
            self._levels(top, RAIN_HIGH, [(0.0, "0"), (1.0, self.year.water(most))])
            for first, rain, _ in weeks:
                if rain and first <= self.year.last:
                    a, b = self.x(first), self.x(first + dt.timedelta(days=7))
                    high = round(RAIN_HIGH * rain / most, 1)
                    self.on.box(a, top + RAIN_HIGH - high, b - a, high, self.on.fill("rain"), SOFT)
            if all(need is not None for *_, need in weeks):
                self._curve(top, RAIN_HIGH, [(need or 0.0) / most for *_, need in weeks], 2.4)

        self._body(RAIN_HIGH, draw)

    def _growth(self) -> None:
        self._keyed(say("picture-growth"), ((say("picture-cool"), ""), (say("picture-warm"), "6 4")))

        def draw(top: float) -> None:
            self._levels(top, GROWTH_HIGH, [(0.0, "0"), (1.0, "100%")])
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
            parts += [
                f"{word('frost', which)} {short_span(early, late)}" for which, early, late in year.frosts
            ]
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

    def _fill(self, kind: str) -> str:
        return _FILLS.get(kind) or self.on.fill(_PATTERN_OF[kind])

    def _box(
        self, opens: dt.date, closes: dt.date, top: float, height: float, kind: str, letter: str, ink: str,
        said: str = "",
    ) -> None:  # fmt: skip
        """A bar of one kind of day with its word, or its letter where the word has no room."""
        a, b = self.x(opens), self.after(closes)
        self.on.box(a, top, max(b - a, 1.5), height, self._fill(kind), INK)
        text = next((text for text in (said, letter) if text and wide(text, LEAST) + 8 <= b - a), "")
        if text:
            ground = WHITE if ink == INK else self._fill(kind)
            self.on.words_over((a + b) / 2, top + height / 2, text, "middle", ink, ground)

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
                said = word("window", quality)
                self._box(opens, closes, top, WINDOW_HIGH, quality, LETTERS[quality], ink, said)

        self._body(WINDOW_HIGH, draw)

    def _bar(self, bar: Bar) -> None:
        if not bar.uses:
            self._heading(say("picture-undated", name=bar.label))
            return
        self._heading(bar.label)
        if self.narrow:
            # There is no room beside a bar: its days stand above.
            said = [f"{word('use', use)} {short_days(days.early, days.late)}" for use, days in bar.uses]
            if bar.dies_by is not None:
                said.append(say("picture-dies", day=language().short_day(bar.dies_by)))
            self.y -= 4
            self._heading("; ".join(said), strong=False)

        def draw(top: float) -> None:
            for n, (use, days) in enumerate(bar.uses):
                self._use(bar, use, days, top + USE_HIGH * n + 3)
            if bar.dies_by is not None:
                # A lane of its own: the cross would cover the words of the others.
                x, middle = self.x(bar.dies_by), top + USE_HIGH * len(bar.uses) + USE_HIGH / 2
                self.on.path(f"M{x - 5:g} {middle - 5:g}l10 10m0 -10l-10 10", 2.4)
                by = language().short_day(bar.dies_by)
                self._beside(x - 6, x + 6, middle, say("picture-dies", day=by))

        self._body(USE_HIGH * (len(bar.uses) + (bar.dies_by is not None)) + 2, draw)

    def _beside(self, a: float, b: float, middle: float, said: str, start: float | None = None) -> None:
        """Words right of a mark from `a` to `b`.

        Without room there they stand left of it, best left of `start`, where its line begins; else on it.
        """
        if self.narrow:
            return
        size = wide(said, LEAST)
        if b + 6 + size <= self.page - 2:
            self.on.words_over(b + 6, middle, said)
            return
        lefts = (a - 6 if start is None else min(a, start) - 6, a - 6)
        ends = [end for end in lefts if end - size >= self.left]
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
            on.box(a, top, max(b - a, 2), 11, self._fill(use), INK)
        if open_end:
            # It runs on beyond the picture, or nobody knows how far.
            on.path(f"M{self.page - self.right:g} {top:g}l8 5.5l-8 5.5z", 1, INK, fill=WHITE)
            b = self.page - self.right + 8
        said = f"{word('use', use)} {short_days(days.early, days.late)}"
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
        kinds += [(use, say("picture-ready", use=word("use", use))) for use in USES if use in uses]
        self.y += 20
        x = float(self.left)
        for kind, said in kinds:
            size = 26 + wide(said, LEAST) + 12
            if x + size > self.page and x > self.left:
                x, self.y = float(self.left), self.y + 16
            self.on.box(x, self.y - 9, 20, 11, self._fill(kind), INK)
            self.on.words(x + 25, self.y, said)
            x += size
        self.y += 4
        self._heading(say("picture-estimates"), strong=False)
