"""Published windows, the edges of the computed ones that they speak of, and how far apart they are.

`windows.csv` holds the published windows in words of our own, `quality` whether the page names the best time or all of the
time in which it can be done. How much an edge counts, where it is weighed:

* seen in the source 1, repeated by another page 3/4, remembered 1/2: what was not read may be wrong;
* a day 1, a word such as "mid-August" 3/4, a bare month 1/2: a month names its end to about a week either way;
* spring sowing of cool-season grass 1/2: the sources call it their second choice, and it is custom, not trial.

A published best time is held to the good part of the computed window, the rest to its whole open run. Places in HELD_OUT took
no part in any fit; they were chosen before fitting, every third place in alphabetical order: of the first list, then of the
places that came after. The last dates (rows cut_...) and the rows of mild southern winters were added to the fit afterwards.
"""

import csv
import dataclasses
import functools
import pathlib
from collections.abc import Iterable

from decide.knowledge.load import knowledge_folder
from decide.knowledge.plants import constants_of
from decide.measure import classes, dates, growth, water, windows
from decide.measure.numbers import GrowthConstants
from decide.measure.places import Tables
from tests import shared

HELD_OUT = frozenset({
    "Athens", "Christchurch", "Colorado Springs", "Dallas", "Denver", "Durham", "Frederick", "Harrisonburg", "Junction City", "Leesburg",
    "Macon", "Milwaukee", "Norfolk", "Petersburg", "Raleigh", "Rockford", "South Bend", "Vineland",
    "Ankara", "Beijing", "Bologna", "Burlington", "Copenhagen", "Davis", "Fort Collins", "Gold Coast", "Izmir", "Leipzig",
    "Mendoza", "Oklahoma City", "Rome", "Seattle", "State College", "Toronto", "Tucson", "Utsunomiya", "Wichita",
})  # fmt: skip
SEEN_COUNTS = {"seen": 1.0, "repeated": 0.75, "memory": 0.5}
WRITTEN_COUNTS = {"day": 1.0, "word": 0.75, "month": 0.5}
SECOND_CHOICE_COUNTS = 0.5
CLOSE, FAR = 14, 30
COOL = frozenset(
    {"annual-ryegrass", "kentucky-bluegrass", "perennial-ryegrass", "tall-fescue", "fine-fescue"}
)


@dataclasses.dataclass(frozen=True)
class Published:
    """A published window; days of the year, or None where the page gives no such edge."""

    key: str
    place: str
    at: tuple[float, float]
    grass: str
    start: str
    season: str
    quality: str
    opens: int | None
    closes: int | None
    counts: tuple[float, float]
    source: str

    @property
    def held_out(self) -> bool:
        return self.place in HELD_OUT


@dataclasses.dataclass(frozen=True)
class Edge:
    """One edge: published, computed, days off (None where nothing is computed) and how much it counts."""

    row: Published
    which: str
    published: int
    computed: int | None
    counts: float

    @property
    def name(self) -> str:
        return f"{self.row.key} {self.which}"

    @property
    def off(self) -> int | None:
        return None if self.computed is None else dates.days_apart(self.computed, self.published)

    @property
    def close(self) -> bool:
        return self.off is not None and abs(self.off) <= CLOSE

    @property
    def kind(self) -> str:
        """What the edge is of: cool autumn, cool spring, warm opens, warm closes, sprigs, sod, overseed, dormant."""
        cool = self.row.grass in COOL
        if self.row.season in ("overseed", "dormant"):
            return self.row.season
        if self.row.start == "sod":
            return "cool sod" if cool else "warm sod"
        if cool:
            return f"cool {self.row.season}"
        return f"{'sprigs' if self.row.start in ('sprigs', 'plugs') else 'warm'} {self.which}"


def day_of(text: str) -> int | None:
    month, _, of_month = text.partition("-")
    return dates.first_of_month(int(month)) + int(of_month) - 1 if text else None


@functools.cache
def published() -> tuple[Published, ...]:
    with (pathlib.Path(__file__).parent / "windows.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    found = []
    for row in rows:
        base = SEEN_COUNTS[row["seen"]] * (SECOND_CHOICE_COUNTS if row["season"] == "spring" else 1)
        counts = tuple(base * WRITTEN_COUNTS.get(row[name], 0.0) for name in ("opens_as", "closes_as"))
        found.append(Published(
            row["key"], row["place"], (float(row["latitude"]), float(row["longitude"])), row["grass"], row["start"], row["season"], row["quality"],
            day_of(row["opens"]), day_of(row["closes"]), (counts[0], counts[1]), row["source"],
        ))  # fmt: skip
    return tuple(found)


def computed(row: Published, numbers: GrowthConstants, site: growth.Site) -> tuple[int | None, int | None]:
    """The edges of the computed window that the published one speaks of."""
    wet = None
    if site.frost.last is None:
        code = classes.climate_class(site.climate, numbers.classes).code
        here = water.Demand(site.year, code, numbers.water)
        need = [here.need(d, "warm") or 0.0 for d in range(1, 366)]
        wet = windows.rain_fed_days(site, need, numbers.windows)
    variant = "winter-overseed" if row.season == "overseed" else "plain"
    found = windows.windows(
        site, numbers.plants, numbers.windows, f"{row.grass}/{row.start}", variant, wet
    ).windows
    if row.season in ("spring", "dormant"):
        one = [
            w
            for w in found
            if (w.quality == "dormant" if row.season == "dormant" else w.why_closes == "before-summer-heat")
        ]
        return (one[0].opens, one[0].closes) if one else (None, None)
    best = row.quality == "best" and any(w.quality == "good" for w in found)
    wanted = ("good",) if best else ("good", "fair")
    on = [any(w.holds(d) and w.quality in wanted for w in found) for d in range(1, 366)]
    runs = [
        (d + 1, next(dates.wrap(d + n + 1) for n in range(365) if not on[(d + n + 1) % 365]))
        for d in range(365)
        if on[d] and not on[d - 1]
    ]

    def far(run: tuple[int, int]) -> float:
        gaps = [
            abs(dates.days_apart(a, b))
            for a, b in zip(run, (row.opens, row.closes), strict=True)
            if b is not None
        ]
        return sum(gaps) / len(gaps)

    return min(runs, key=far, default=(None, None))


@functools.cache
def constants() -> GrowthConstants:
    return constants_of(shared.knowledge())


@functools.cache
def site_of(at: tuple[float, float]) -> growth.Site:
    """The site of a town as the advice has it: at the town's own height."""
    numbers = constants()
    tables = Tables(knowledge_folder() / "climate", numbers.climate)
    return numbers.site(tables.climate_at(*at))


def edges_of(rows: Iterable[Published], numbers: GrowthConstants) -> tuple[Edge, ...]:
    """Every edge that the rows publish, with the computed one."""
    return tuple(
        Edge(row, which, say, got, counts)
        for row in rows
        for which, say, got, counts in zip(
            ("opens", "closes"),
            (row.opens, row.closes),
            computed(row, numbers, site_of(row.at)),
            row.counts,
            strict=True,
        )
        if say is not None
    )


def share(of: Iterable[Edge]) -> float:
    """Share of the edges within CLOSE days, by how much each counts."""
    rows = list(of)
    return sum(e.counts for e in rows if e.close) / sum(e.counts for e in rows)


def written(day_of_year: int | None) -> str:
    return "-" if day_of_year is None else "{:02d}-{:02d}".format(*dates.month_and_day(day_of_year))
