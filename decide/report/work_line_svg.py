"""The drawn line of a sheet: from now over preparing, start and care to training and matches, job by job."""

from __future__ import annotations

import datetime as dt
from typing import Final, Literal

from decide.model.words import printable
from decide.report.drawing import GREEN, GRID, INK, LEAST, SOFT, WHITE, Canvas, Pattern, wide
from decide.report.phrases import between_days, short_day
from decide.report.poster import Lane, WorkLine
from decide.report.timeline_letters import wrapped
from decide.report.words import language, say

WIDE: Final = 720
NARROW: Final = 350
# Left of the days stand the letters of the jobs.
LEFT: Final = 64
RIGHT: Final = 10
# A year and more is shown by the quarter where the months have no room for their names.
_HIGH: Final = 26
_THIN: Final = 15
_BIG: Final = 15
Kind = Literal["prepare", "care", "training", "maybe", "matches", "window", "fair", "frost", "may-frost"]
Sample = Kind | Literal["start", "test"]
_PATTERNS: Final = (
    Pattern("prepare", 8, "M0 4H3", SOFT, 1.2),
    Pattern("care", 6, "M0 3H6", "#8a8a8a", 2.6),
    Pattern("training", 8, "M-1 9L9 -1M-1 1L1 -1M7 9L9 7", INK, 1.8),
    Pattern("maybe", 6, "M0 3H6M3 0V6", INK, 1.6),
    Pattern("window", 6, "M-1 -1L7 7M-1 5L1 7M5 -1L7 1", GREEN, 2.2),
    Pattern("fair", 8, "M4 4h.01", GREEN, 2.4),
    Pattern("frost", 5, "M0 0L5 5M5 0L0 5", SOFT, 1.2),
    Pattern("may-frost", 9, "M2 2L7 7M7 2L2 7", SOFT, 0.9),
)  # fmt: skip


def work_line(line: WorkLine, *, narrow: bool = False) -> tuple[Canvas, float, float]:
    """The canvas of the line with its width and height; `narrow` is for a phone."""
    drawing = _WorkLine(line, "line-small" if narrow else "line", NARROW if narrow else WIDE)
    return drawing.drawn()


def line_said(line: WorkLine) -> str:
    """The line in sentences, for ears."""
    said = [say("line-said-now", day=line.today)]
    for lane in line.lanes:
        parts = []
        if lane.prepare is not None:
            parts.append(say("line-said-prepare", day=lane.prepare))
        if lane.start is not None:
            parts.append(say("line-said-start", day=lane.start))
        for code, days in (("training", lane.light), ("matches", lane.full)):
            if days is not None:
                use = say("line-training") if code == "training" else say("line-matches")
                parts.append(f"{use} {between_days(days.early, days.late).rstrip('.')}")
        if lane.dies_by is not None:
            parts.append(say("picture-dies", day=lane.dies_by))
        said.append(f"{lane.letter}, {lane.label}: {'; '.join(parts)}.")
    if line.wanted is not None:
        said.append(say("season-wanted", day=line.wanted))
    return " ".join(said)


class _WorkLine:
    """Draws the line from the top down; `y` is where the next thing stands."""

    def __init__(self, line: WorkLine, name: str, page: int) -> None:
        self.line, self.page, self.y = line, page, 0.0
        self.narrow = page == NARROW
        self.on = Canvas(name, _PATTERNS)
        self.left = 26 if self.narrow else LEFT

    def x(self, date: dt.date) -> float:
        """Where the morning of a day stands, kept within the axis."""
        share = min(max((date - self.line.today).days / self.line.days, 0.0), 1.0)
        return round(self.left + share * (self.page - self.left - RIGHT), 1)

    def drawn(self) -> tuple[Canvas, float, float]:
        """The finished canvas."""
        self._flags()
        self._axis()
        self.top = self.y
        for lane in self.line.lanes:
            self._lane(lane)
        self._weather()
        self._uprights()
        self.on.laid()
        self._legend()
        return self.on, self.page, round(self.y + 6)

    def _flags(self) -> None:
        """Now, and the date wanted, over the axis."""
        self.y = 18
        now = say("line-now", day=short_day(self.line.today))
        self.on.words(self.left, self.y, now, _BIG, strong=True)
        wanted = self.line.wanted
        if wanted is None:
            return
        said = say("line-wanted", day=language().short_day(wanted))
        x = self.x(wanted)
        leftwards = x + wide(said, _BIG) > self.page
        start = x - wide(said, _BIG) if leftwards else x
        if start < self.left + wide(now, _BIG) + 12:
            self.y += 18
        if leftwards and start < 0:
            self.on.words(self.page - RIGHT, self.y, said, _BIG, anchor="end", strong=True)
        else:
            self.on.words(x, self.y, said, _BIG, anchor="end" if leftwards else "start", strong=True)

    def _axis(self) -> None:
        """The months; where they have no room, their first letters."""
        self.y += 20
        for date, end in self._months():
            name = language().month_name(date.month)
            room = self.x(end) - self.x(date)
            size = LEAST if self.narrow else 13
            short = next((said for said in (name[:3], name[:1]) if wide(said, size) < room), "")
            if short:
                self.on.words((self.x(date) + self.x(end)) / 2, self.y, short, size, anchor="middle")
        self.y += 6

    def _months(self) -> list[tuple[dt.date, dt.date]]:
        rows, date = [], self.line.today
        while date <= self.line.last:
            end = (date.replace(day=1) + dt.timedelta(days=32)).replace(day=1)
            rows.append((date, min(end, self.line.last + dt.timedelta(days=1))))
            date = end
        return rows

    def _bar(self, a: dt.date | None, b: dt.date | None, kind: Kind, top: float, high: float) -> None:
        if a is None or b is None or b <= a or b <= self.line.today:
            return
        fill = INK if kind == "matches" else self.on.fill(kind)
        self.on.box(self.x(a), top, max(self.x(b) - self.x(a), 2), high, fill, INK)

    def _lane(self, lane: Lane) -> None:
        top, high, on, last = self.y + 5, _HIGH - 6, self.on, self.line.last + dt.timedelta(days=1)
        on.words(4, top + 16, lane.letter, 18, strong=True)
        full, light = lane.full, lane.light
        end = last if lane.dies_by is None else min(lane.dies_by, last)
        first_light = light.early or light.late if light is not None else None
        first_full = full.early or full.late if full is not None else None
        sure_full = full.late if full is not None else None
        begins = lane.start or self.line.today
        cared = min([day for day in (first_light, first_full, end) if day is not None])
        self._bar(lane.prepare, lane.start, "prepare", top, high)
        self._bar(begins, cared, "care", top, high)
        self._bar(first_light, min(first_full or end, end), "training", top, high)
        self._bar(first_full, min(sure_full or end, end), "maybe", top, high)
        self._bar(sure_full, end, "matches", top, high)
        if lane.start is not None and lane.start >= self.line.today:
            x = self.x(lane.start)
            on.path(f"M{x:g} {top - 4:g}v{high + 8:g}", 2)
            on.path(
                f"M{x:g} {top + 1:g}l{high - 4:g} {high / 2 - 1:g}l-{high - 4:g} {high / 2 - 1:g}z",
                1,
                INK,
                fill=INK,
            )
        for test in (first_light, first_full):
            if test is not None and self.line.today <= test <= self.line.last:
                x, middle = self.x(test), top + high / 2
                on.path(f"M{x:g} {middle - 9:g}l9 9l-9 9l-9 -9z", 1.6, INK, fill=WHITE)
        if lane.dies_by is not None and lane.dies_by <= self.line.last:
            x, middle = self.x(lane.dies_by), top + high / 2
            on.path(f"M{x - 7:g} {middle - 7:g}l14 14m0 -14l-14 14", 3)
        self.y += _HIGH + 4

    def _weather(self) -> None:
        """The windows of the grass, and frost, in rows of their own."""
        for row in self.line.rows:
            if not row.stretches:
                continue
            self._thin(
                say("line-window", jobs=row.label if len(self.line.rows) > 1 else "").strip(), row.label
            )
            for part in row.stretches:
                kind: Kind = "window" if part.quality == "good" else "fair"
                opens, closes = max(part.opens, self.line.today), part.closes + dt.timedelta(days=1)
                self._bar(opens, min(closes, self.line.last), kind, self.y - _THIN + 3, _THIN - 3)
        if self.line.cold:
            self._thin(say("line-frost"), "")
            for a, b, sure in sorted(self.line.cold, key=lambda span: not span[2]):
                closes = min(b + dt.timedelta(days=1), self.line.last)
                kind = "frost" if sure else "may-frost"
                self._bar(max(a, self.line.today), closes, kind, self.y - _THIN + 3, _THIN - 3)

    def _thin(self, name: str, letters: str) -> None:
        """The name of a thin row; on a phone there is room for its letters alone."""
        self.y += _THIN + 3
        if not self.narrow:
            self.on.words(0, self.y - 1, name, 12)
        elif len(self.line.rows) > 1:
            self.on.words(4, self.y - 1, letters)

    def _uprights(self) -> None:
        """The months as thin lines, now, and the date wanted, over all rows."""
        kept, self.on.shapes = self.on.shapes, []
        high = self.y - self.top + 4
        for date, _ in self._months()[1:]:
            self.on.path(f"M{self.x(date):g} {self.top:g}v{high:g}", 0.8, GRID)
        self.on.shapes += kept
        self.on.path(f"M{self.x(self.line.today):g} {self.top - 4:g}v{high + 4:g}", 1.5)
        wanted = self.line.wanted
        if wanted is not None and wanted <= self.line.last:
            x = self.x(wanted)
            self.on.path(f"M{x:g} {self.top - 3:g}v{high + 3:g}", 5, WHITE)
            self.on.path(f"M{x:g} {self.top - 3:g}v{high + 3:g}", 3, INK, "7 3")
        self.y += 4

    def _legend(self) -> None:
        """What each pattern is, in words."""
        size = LEAST if self.narrow else 13
        self.y += 18
        x = 0.0
        for kind, said in self._kinds():
            room = 27 + wide(said, size) + 8
            if x + room > self.page:
                x, self.y = 0.0, self.y + 19
            self._sample(kind, x + 2, self.y)
            self.on.words(x + 28, self.y, said, size)
            x += room
        frost = {
            "rare": say("season-frost-rare"), "always": say("season-frost-always"),
            "some-years": say("season-frost-some-years"),
        }.get(self.line.frost_kind or "", "")  # fmt: skip
        for row in wrapped(printable(frost), int((self.page - 4) / wide("x", size))):
            self.y += 17
            self.on.words(2, self.y, row, size)

    def _kinds(self) -> list[tuple[Sample, str]]:
        """The patterns that are drawn, in the order of the work."""
        lanes, today = self.line.lanes, self.line.today
        qualities = {part.quality for row in self.line.rows for part in row.stretches}
        sure = {each for *_, each in self.line.cold}
        full = any(lane.full is not None for lane in lanes)
        light = any(lane.light is not None for lane in lanes)
        prepared = any(
            lane.prepare and lane.start and max(lane.prepare, today) < lane.start for lane in lanes
        )
        kinds: list[tuple[bool, Sample, str]] = [
            (prepared, "prepare", say("line-prepare")),
            (any(lane.start and lane.start >= today for lane in lanes), "start", say("line-start")),
            (bool(lanes), "care", say("line-care")),
            (light or full, "test", say("line-checks")),
            (light, "training", say("line-training")),
            (full, "maybe", say("line-maybe")),
            (full, "matches", say("line-matches")),
            ("good" in qualities, "window", say("line-good")),
            (bool(qualities - {"good"}), "fair", say("line-fair")),
            (True in sure, "frost", say("line-frost-sure")),
            (False in sure, "may-frost", say("line-frost-maybe")),
        ]
        return [(kind, said) for shown, kind, said in kinds if shown]

    def _sample(self, kind: Sample, x: float, y: float) -> None:
        if kind == "start":
            self.on.path(f"M{x + 6:g} {y - 11:g}l11 6l-11 6z", 1, INK, fill=INK)
        elif kind == "test":
            self.on.path(f"M{x + 11:g} {y - 12:g}l7 7l-7 7l-7 -7z", 1.6, INK, fill=WHITE)
        else:
            fill = INK if kind == "matches" else self.on.fill(kind)
            self.on.box(x, y - 11, 22, 12, fill, INK)
