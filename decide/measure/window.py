"""A window of the year and how good it is; the windows of a start, one after another."""

import dataclasses

import numpy as np
import numpy.typing as npt

from decide.measure import dates

Ints = npt.NDArray[np.int64]


Flags = npt.NDArray[np.bool_]


QUALITIES = ("good", "fair", "dormant", "closed")


OPEN_QUALITIES = ("good", "fair")


@dataclasses.dataclass(frozen=True)
class Window:
    """Days of the year, both counted, that may run over the turn of the year; 1 to 365 is the whole year.

    Quality is good, fair or dormant. `why_opens` and `why_closes` are codes: summer-heat-past,
    heat-before-winter, thin-before-winter, last-frost-near, spring-warmth, before-summer-heat, seed-sleeps,
    seed-wakes, mild-season, mild-season-ends, slow-before-winter, cool-before-winter, too-cold-to-sprout,
    summer-with-water, another-window, frost-past, soil-warm, best-before-growth-ends,
    heat-before-growth-ends, no-cold-season, rains-begin, rains-too-short, roots-in-time, roots-too-late,
    heat-stops-roots, ground-not-frozen, ground-frozen, roots-rest, roots-wake, roots-soon, roots-slower.
    """

    opens: int
    closes: int
    quality: str
    why_opens: str
    why_closes: str

    @property
    def days(self) -> int:
        """Length in days, both ends counted."""
        return dates.days_ahead(self.opens, self.closes) + 1

    def holds(self, day: int) -> bool:
        """Whether a day of the year lies in the window."""
        return dates.in_span(day, self.opens, self.closes)


@dataclasses.dataclass(frozen=True)
class Windows:
    """All windows of a grass and start at a place, by opening day. `empty_why` says why there is none.

    Codes: too-hot-all-year, too-cold, season-too-short, no-roots-known, not-made-this-way. `borrowed` marks
    that a number of the nearest relative stands in for the grass's own.
    """

    windows: tuple[Window, ...]
    empty_why: str = ""
    borrowed: bool = False

    def window_on(self, day: int) -> Window | None:
        """The window that holds a day, or None where all are closed."""
        return next((w for w in self.windows if w.holds(day)), None)

    def quality_on(self, day: int) -> str:
        """Quality of a day of the year: good, fair, dormant or closed."""
        window = self.window_on(day)
        return "closed" if window is None else window.quality

    def next_opening(self, day: int, qualities: tuple[str, ...] = OPEN_QUALITIES) -> Window | None:
        """The window of these qualities that opens next after a day (a window already open does not
        count).
        """
        today = dates.wrap(day)
        later = [
            w for w in self.windows if w.quality in qualities and w.opens != today and w.days < dates.YEAR
        ]
        return min(later, key=lambda w: dates.days_ahead(day, w.opens), default=None)

    def last_day(self, day: int, qualities: tuple[str, ...] = OPEN_QUALITIES) -> int | None:
        """Last day of the unbroken run of these qualities that is open on a day or opens next; None without
        one.
        """
        window = self.window_on(day)
        if window is None or window.quality not in qualities:
            window = self.next_opening(day, qualities)
        closes = None if window is None else window.closes
        for _ in self.windows:
            after = None if closes is None else self.window_on(closes + 1)
            if closes is None or after is None or after is window or after.quality not in qualities:
                break
            closes = after.closes
        return closes

    def days_outside(self, day: int) -> int:
        """Days to the nearest day of a good or fair run; 0 inside one, a whole year where there is none."""
        runs = [w for w in self.windows if w.quality in OPEN_QUALITIES]
        if not runs:
            return dates.YEAR
        if self.quality_on(day) in OPEN_QUALITIES:
            return 0
        return min(min(dates.days_ahead(w.closes, day), dates.days_ahead(day, w.opens)) for w in runs)

    def days_past_close(self, day: int) -> int | None:
        """Days since the run of good and fair days closed; negative: days still left until it, or the next
        one, closes.

        Between two runs the nearer of the last closing and the next opening decides which of the two is
        meant. None without a run.
        """
        if not any(w.quality in OPEN_QUALITIES for w in self.windows):
            return None
        if self.quality_on(day) in OPEN_QUALITIES:
            last = self.last_day(day)
            return None if last is None else -dates.days_ahead(day, last)
        past = min(dates.days_ahead(w.closes, day) for w in self.windows if w.quality in OPEN_QUALITIES)
        opens = self.next_opening(day)
        last = self.last_day(day)
        if opens is not None and last is not None and dates.days_ahead(day, opens.opens) < past:
            return -dates.days_ahead(day, last)
        return past


@dataclasses.dataclass(frozen=True)
class Stretch:
    opens: int
    closes: int
    quality: str
    why_opens: str
    why_closes: str


def painted(spans: list[Stretch]) -> tuple[Window, ...]:
    """Windows of spans laid over one another, later ones on top."""
    owner = np.full(dates.YEAR, -1)
    for i, span in enumerate(spans):
        length = dates.days_ahead(span.opens, span.closes) + 1
        owner[(span.opens - 1 + np.arange(length)) % dates.YEAR] = i
    edges = [d for d in range(dates.YEAR) if owner[d] != owner[d - 1]]
    if not edges:
        return () if owner[0] < 0 else (_window(spans[owner[0]], 1, dates.YEAR),)
    runs = zip(edges, [*edges[1:], edges[0] + dates.YEAR], strict=True)
    return tuple(_window(spans[owner[a]], a + 1, dates.wrap(b)) for a, b in runs if owner[a] >= 0)


def _window(span: Stretch, opens: int, closes: int) -> Window:
    return Window(
        opens,
        closes,
        span.quality,
        span.why_opens if opens == span.opens else "another-window",
        span.why_closes if closes == span.closes else "another-window",
    )
