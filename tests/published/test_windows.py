"""Windows against those of a trial worked out apart, and against published local ones: a table of every edge with its days off.

`windows.csv` holds the published windows in words of our own. How much an edge counts:

* seen in the source 1, repeated by another page 3/4, remembered 1/2: what was not read may be wrong;
* a day 1, a word such as "mid-August" 3/4, a bare month 1/2: a month names its end to about a week either way;
* spring sowing of cool-season grass 1/2: the sources call it their second choice, and it is custom, not trial.

A published best time is held to the good part of the computed window. Where the page gives only a last date, for sod, for
overseeding, and where no part is good, the whole open run is meant. Places in HELD_OUT took no part in any fit; they were
chosen before fitting: every third place of the list in alphabetical order. The last dates (rows cut_...) and the rows of
mild southern winters were added to the fit afterwards.
"""

import csv
import dataclasses
import functools
import pathlib
from collections.abc import Callable, Iterable, Sequence

import pytest

from decide.measure import climate as cl
from decide.measure import dates, water, windows
from tests.shared import knowledge

MONTHS = dates.MONTH_CODES


def day(text: str) -> int:
    of_month, month = text.split()
    return dates.first_of_month(MONTHS.index(month) + 1) + int(of_month) - 1


def near(got: int | None, expected: str, within: int = 2) -> None:
    assert got is not None
    assert abs(dates.days_apart(got, day(expected))) <= within, dates.month_and_day(got)


# Worked out apart from this code, in the trial of the window rules.
@pytest.mark.parametrize(
    ("place", "opens", "closes"),
    [
        ((40.42, -86.91), "16 aug", "18 sep"),
        ((37.55, -77.46), "31 aug", "8 oct"),
        ((53.96, -1.08), "23 aug", "26 sep"),
        ((-43.53, 172.64), "28 feb", "15 apr"),
        ((38.58, -121.49), "7 sep", "1 nov"),
    ],
)
def test_autumn(numbers, site_at, place, opens: str, closes: str) -> None:
    got = windows.autumn_window(site_at(*place), numbers.windows)
    near(got[0], opens)
    near(got[1], closes)


def test_spring_and_dormant_at_lafayette(numbers, site_at) -> None:
    site = site_at(40.42, -86.91)
    opens, closes = windows.spring_window(site, numbers.windows)
    near(opens, "23 mar")
    near(closes, "21 may")
    opens, closes = windows.dormant_window(site, numbers.windows)
    near(opens, "21 nov")
    near(closes, "9 mar")


@pytest.mark.parametrize(
    ("place", "grass", "opens", "closes", "good"),
    [
        ((36.85, -76.29), "common-bermudagrass", "6 may", "30 jul", "6 jul"),
        ((36.16, -86.78), "common-bermudagrass", "2 may", "27 jul", "3 jul"),
        ((36.12, -97.06), "common-bermudagrass", "29 apr", "1 aug", "8 jul"),
        ((30.41, -91.18), "common-bermudagrass", "31 mar", "23 aug", "31 jul"),
        ((-37.81, 144.96), "common-bermudagrass", "19 oct", "28 dec", "19 nov"),
        ((-32.93, 151.78), "common-bermudagrass", "7 oct", "3 mar", "2 feb"),
        ((-26.20, 28.05), "common-bermudagrass", "7 oct", "5 jan", "3 dec"),
        ((35.96, -83.92), "japanese-zoysiagrass", "4 may", "30 jun", "25 jun"),
    ],
)
def test_warm_season(numbers, site_at, place, grass: str, opens: str, closes: str, good: str | None) -> None:
    site = site_at(*place)
    near(windows.warm_window(site, numbers.windows, grass)[0], opens)
    near(windows.warm_window(site, numbers.windows, grass)[1], closes)
    found = windows.windows(site, numbers.plants, numbers.windows, f"{grass}/seed")
    near(next(w for w in found.windows if w.quality == "fair").closes, closes)
    if good:
        near(next(w for w in found.windows if w.quality == "good").closes, good)


MARITIME = [
    ((53.96, -1.08), "good", "18 mar", "26 may"),
    ((53.96, -1.08), "good", "23 aug", "26 sep"),
    ((53.35, -6.26), "good", "27 aug", "4 oct"),
    ((-43.53, 172.64), "good", "28 feb", "15 apr"),
]


@pytest.mark.parametrize(("place", "quality", "opens", "closes"), MARITIME)
def test_mild_winters(numbers, site_at, place, quality: str, opens: str, closes: str) -> None:
    found = windows.windows(site_at(*place), numbers.plants, numbers.windows, "perennial-ryegrass/seed")
    window = found.window_on(day(opens) + 3)
    assert window is not None
    assert window.quality == quality
    near(window.opens, opens)
    near(window.closes, closes)


@pytest.mark.parametrize(
    ("place", "last_fair"),
    [((53.96, -1.08), "24 oct"), ((53.35, -6.26), "25 oct"), ((-43.53, 172.64), "12 may")],
)
def test_fair_until_the_mild_season_ends(numbers, site_at, place, last_fair: str) -> None:
    found = windows.windows(site_at(*place), numbers.plants, numbers.windows, "perennial-ryegrass/seed")
    ends = [w.closes for w in found.windows if w.why_closes == "mild-season-ends"]
    near(ends[0], last_fair)


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
# Why an edge is off; everything over CLOSE days has its reason here, or the test of reasons fails.
CUSTOM = "custom, carried as regional knowledge"
WHY_OFF = {
    "va_n_tf_spring closes": f"{CUSTOM}: the upper South stops sowing in April; Kansas, as warm, sows to the end of it",
    "va_s_tf_spring opens": f"{CUSTOM}: sown in February, weeks before the grass can grow",
    "va_s_tf_spring closes": f"{CUSTOM}: the upper South stops sowing at the end of March",
    "nc_tf_spring closes": f"{CUSTOM}: the upper South stops sowing in early April",
    "va_s_bermuda closes": "bare months; the open run goes to 30 July",
    "nc_bermuda opens": "bare months; the same page is a month before Tennessee and Virginia, which are as warm",
    "nc_bermuda closes": "bare months; the open run goes to the end of July",
    "nc_centipede opens": "bare months; March is before the last frost of the place",
    "ga_centipede closes": "bare months; no last date of centipedegrass went into the fit, its numbers are those of zoysiagrass",
    "ga_overseed opens": "bare months; sowing in early September is tried, but the bermudagrass still grows over it",
    "co_kbg closes": "cold high plains: the table of towns is read a little too cold there",
    "co_buffalo opens": f"{CUSTOM}: buffalograss burs are sown before they can sprout",
    "co_buffalo closes": f"{CUSTOM}: its heat need is known from one place only",
    "md_tf closes": "remembered; Virginia, as cold, stops in mid-September",
    "tx_bermuda opens": "remembered; 40 days after the last frost is in mid-April",
    "tx_bermuda closes": "remembered; the open run goes to the middle of August",
    "nc_p_tf closes": "a county's best fortnight; the state page goes to mid-October",
    "ca_cool_spring opens": f"{CUSTOM}: winters are so mild that grass could be sown earlier",
    "ca_warm closes": f"{CUSTOM}: the page does not say why it stops so soon; heat would do to July",
    "az_bermuda opens": f"{CUSTOM}: a month and a half later than any warmth explains",
    "az_bermuda closes": "bare months; the open run goes to the end of August",
    "or_w_spring opens": f"{CUSTOM}: the page does not say why; the soils may be too wet sooner",
    "vic_warm opens": f"{CUSTOM}: the programme's turf season; roots wait for warmth",
    "vic_couch_seed closes": f"{CUSTOM}: a grower's page; the water retailers stop at the end of November",
    "nz_lawn_spring opens": "a bare month; where it is so mild two weeks sooner do no harm",
    "nz_n_rye closes": "pasture advice; a newspaper's lawn page goes to the end of May",
    "vic_cool opens": "mid-March is named for the rain that comes with it; the heat is past three weeks sooner",
    "vic_cool closes": "a bare month; autumn sowing goes on, slowly, in the fair part",
    "nsw_couch closes": "remembered; the open run goes to early March",
    "de_autumn closes": f"{CUSTOM}: garden pages sow until late autumn",
    "ch_autumn closes": f"{CUSTOM}: the safe heat is known from colder winters only",
    "oh_c opens": "a bare month; late August is named for the north of the state",
    "oh_c_spring opens": "bare month; March is named as the best of spring, whatever the day",
    "mi_spring closes": "a last date for spring sowing, not the end of its best part",
    "mn_sod_spring opens": f"{CUSTOM}: the page does not say why it begins so late",
    "mn_sod_spring closes": f"{CUSTOM}: sod is laid into early summer, when roots are slow",
    "mn_sod_autumn closes": f"{CUSTOM}: later sod waits for spring, which the computed window calls dormant",
    "tx_sprigs opens": "pasture sprigs go in dormant, weeks before they grow",
    "cut_la_b closes": "remembered: three months of growth before October, by a rule of thumb; heat lasts longer there",
    "nt_bahia opens": f"{CUSTOM}: sown in the dry season under sprinklers, before storms can wash it out",
    "nt_bahia closes": f"{CUSTOM}: sown in the dry season under sprinklers, before storms can wash it out",
}


@dataclasses.dataclass(frozen=True)
class Published:
    """A published window; days of the year, or None where the page gives no such edge."""

    key: str
    place: str
    at: tuple[float, float]
    grass: str
    start: str
    season: str
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
    def why(self) -> str:
        return "" if self.close else WHY_OFF.get(self.name, "")


def _day(text: str) -> int | None:
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
            row["key"], row["place"], (float(row["latitude"]), float(row["longitude"])), row["grass"], row["start"], row["season"],
            _day(row["opens"]), _day(row["closes"]), (counts[0], counts[1]), row["source"],
        ))  # fmt: skip
    return tuple(found)


def computed(row: Published, numbers, site) -> tuple[int | None, int | None]:
    """The edges of the computed window that the published one speaks of."""
    wet = None
    if site.frost.last is None:
        code = cl.climate_class(site.climate, numbers.climate).code
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
    best = (
        row.opens is not None
        and row.start != "sod"
        and row.season != "overseed"
        and any(w.quality == "good" for w in found)
    )
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


@pytest.fixture(scope="module")
def edges(numbers, site_at) -> tuple[Edge, ...]:
    found = []
    for row in published():
        got = computed(row, numbers, site_at(*row.at))
        for which, say, day_got, counts in zip(
            ("opens", "closes"), (row.opens, row.closes), got, row.counts, strict=True
        ):
            if say is not None:
                found.append(Edge(row, which, say, day_got, counts))
    return tuple(found)


def share(of: Iterable[Edge]) -> float:
    """Share of the edges within CLOSE days, by how much each counts."""
    rows = list(of)
    return sum(e.counts for e in rows if e.close) / sum(e.counts for e in rows)


def _date(day_of_year: int | None) -> str:
    return "-" if day_of_year is None else "{:02d}-{:02d}".format(*dates.month_and_day(day_of_year))


def show(edges: Sequence[Edge]) -> None:
    """The table: each edge, published, computed, days off, how much it counts, held out or not, and the reason."""
    print()
    for e in edges:
        mark = "held out" if e.row.held_out else "fit"
        off = "-" if e.off is None else f"{e.off:+d}"
        print(
            f"{e.name:24} {e.row.grass:20} {_date(e.published):5} {_date(e.computed):5} {off:>4} {e.counts:.2f} {mark:8} {e.why}"
        )
    fit, held = [e for e in edges if not e.row.held_out], [e for e in edges if e.row.held_out]
    explained = [e for e in edges if not e.why.startswith(CUSTOM)]
    for name, rows in (
        ("all", edges),
        ("took part in fits", fit),
        ("held out", held),
        ("not carried as custom", explained),
    ):
        print(
            f"{name}: {len(rows)} edges, {sum(e.close for e in rows)} within {CLOSE} days, by weight {share(rows):.0%}"
        )


def test_published_edges(edges) -> None:
    """At least 85 in 100 of what climate can explain lies within 14 days; what is custom is carried beside it and printed.

    Counting the customs too the share is lower: it may not fall under what it was when the windows were fitted (76, of it
    held out 69), less what a change of the climate table could shift.
    """
    show(edges)
    assert share(e for e in edges if not e.why.startswith(CUSTOM)) >= 0.85
    assert share(edges) >= 0.73
    assert share(e for e in edges if e.row.held_out) >= 0.65


def narrower(e: Edge) -> bool:
    """Whether the published window stops short at this edge of what climate explains, and is carried as regional knowledge."""
    return e.why.startswith(CUSTOM) and e.off is not None and (e.off < 0 if e.which == "opens" else e.off > 0)


def test_published_edges_of_the_first_rows(edges) -> None:
    """Of the forty windows collected first, at least 85 in 100 edges by weight; only what is published as narrower, and carried so, is left out."""
    first = {row.key for row in published()[:40]}
    assert share(e for e in edges if e.row.key in first and not narrower(e)) >= 0.85


def test_every_edge_far_off_has_its_reason(edges) -> None:
    off = {e.name for e in edges if not e.close}
    assert off - set(WHY_OFF) == set(), "no reason is given"
    assert set(WHY_OFF) - off == set(), "the reason is no longer needed"


def test_a_custom_is_carried_as_regional_knowledge(edges) -> None:
    """Each edge that is put down to custom is shown to the user from knowledge/windows.toml, with the same dates."""
    rows = list(knowledge().windows.values())
    for e in edges:
        if e.why.startswith(CUSTOM):
            named = [
                r
                for r in rows
                if e.row.grass in r.grasses
                and e.row.start in r.starts
                and _date(e.published) in (r.opens, r.closes)
            ]
            assert any(
                r.radius_km is not None and windows.km_apart(*e.row.at, *r.centre) <= r.radius_km
                for r in named
            ), e.name


# Each fitted number: its name among the numbers of the windows, the range tried, and the edges that it moves.
FITTED: tuple[tuple[str, Sequence[float], str, Callable[[Published], bool]], ...] = (
    ("spring_before_frost_days", range(8, 36), "opens", lambda r: r.season == "spring"),
    ("spring_close_heat", range(280, 560, 10), "closes", lambda r: r.season == "spring"),
    (
        "mild_close_heat",
        range(280, 560, 10),
        "closes",
        lambda r: (
            r.place
            in (
                "Corvallis",
                "Portland",
                "Danielsville",
                "London",
                "Sacramento",
                "Auckland",
                "Wellington",
                "Melbourne",
            )
            and r.season == "autumn"
        ),
    ),
    ("warm_after_frost_days", range(28, 56, 2), "opens", lambda r: r.season == "warm" and r.start != "sod"),
    (
        "warm_good_heat",
        range(1500, 2300, 50),
        "closes",
        lambda r: r.season == "warm" and r.start != "sod" and r.opens is not None and "zoysia" not in r.grass,
    ),
    (
        "warm_close_heat",
        range(1300, 1800, 25),
        "closes",
        lambda r: r.season == "warm" and r.opens is None and "zoysia" not in r.grass,
    ),
)


def _with(numbers, name: str, value: float):
    own = getattr(numbers.windows, name)
    new = (
        {**own, "common-bermudagrass": value, "hybrid-bermudagrass": value}
        if name.startswith("warm_") and name.endswith("heat")
        else value
    )
    return dataclasses.replace(numbers, windows=dataclasses.replace(numbers.windows, **{name: new}))


@pytest.mark.slow
@pytest.mark.parametrize(("name", "values", "which", "takes"), FITTED, ids=[row[0] for row in FITTED])
def test_fitted_numbers_leaving_one_place_out(numbers, site_at, name: str, values, which: str, takes) -> None:
    """Each number in use costs at most a day and a half more than the best of its fit (the costs are flat), and holds when any one place is left out.

    Cost: mean days off by weight, each counted as at most 30. Leaving a place out, the number that is best for the others
    predicts the place; its mean miss is printed beside the miss in the fit, and may be at most a week more.
    """
    rows = [r for r in published() if not r.held_out and takes(r) and getattr(r, which) is not None]
    index = 0 if which == "opens" else 1

    def off(row: Published, value: float) -> float:
        got = computed(row, _with(numbers, name, value), site_at(*row.at))[index]
        return FAR if got is None else min(FAR, abs(dates.days_apart(got, getattr(row, which))))

    table = {(row.key, value): off(row, value) for row in rows for value in values}

    def cost(of: Sequence[Published], value: float) -> float:
        return sum(r.counts[index] * table[r.key, value] for r in of) / sum(r.counts[index] for r in of)

    own = getattr(numbers.windows, name)
    used = own["common-bermudagrass"] if hasattr(own, "keys") else own
    best = min(values, key=lambda v: cost(rows, v))
    nearest = min(values, key=lambda v: abs(v - used))
    left_out = []
    for place in sorted({r.place for r in rows}):
        others, here = [r for r in rows if r.place != place], [r for r in rows if r.place == place]
        best_of_others = min(values, key=lambda v, of=others: cost(of, v))
        left_out += [(r.counts[index], table[r.key, best_of_others]) for r in here]
    miss = sum(c * d for c, d in left_out) / sum(c for c, _ in left_out)
    print(
        f"\n{name}: in use {used:g}, best {best:g}; mean days off {cost(rows, nearest):.1f} in the fit, {miss:.1f} leaving a place out ({len(rows)} edges)"
    )
    assert cost(rows, nearest) <= cost(rows, best) + 1.5
    assert miss <= cost(rows, best) + 7


@pytest.mark.parametrize(
    ("place", "key", "on", "quality", "source"),
    [
        (
            (40.42, -86.91),
            "kentucky-bluegrass/seed",
            "1 dec",
            "dormant",
            "HortScience 35, 2000: December sowing works",
        ),
        (
            (40.42, -86.91),
            "perennial-ryegrass/seed",
            "1 dec",
            "closed",
            "HortScience 35, 2000: ryegrass not dormant",
        ),
        (
            (39.98, -83.03),
            "common-bermudagrass/seed",
            "25 aug",
            "closed",
            "Ohio State University, 2009: sown after 15 August, dead by May",
        ),
        (
            (38.95, -92.33),
            "hybrid-bermudagrass/sprigs",
            "1 jun",
            "good",
            "University of Missouri Extension: 1 June for autumn use",
        ),
        (
            (38.95, -92.33),
            "hybrid-bermudagrass/sod",
            "25 jul",
            "good",
            "University of Missouri Extension: sod by 31 July",
        ),
        ((40.11, -88.21), "kentucky-bluegrass/sod", "20 apr", "good", "Urbana 2007: rooted in 4.5 weeks"),
        ((40.11, -88.21), "kentucky-bluegrass/sod", "15 sep", "good", "Urbana 2007: rooted in 4.5 weeks"),
        (
            (40.11, -88.21),
            "kentucky-bluegrass/sod",
            "1 jul",
            "closed",
            "Urbana 2007: not rooted in ten weeks of summer",
        ),
        (
            (41.80, -72.25),
            "kentucky-bluegrass/sod",
            "5 dec",
            "dormant",
            "University of Connecticut: December sod rooted well in spring",
        ),
        (
            (53.85, -1.84),
            "kentucky-bluegrass/sod",
            "15 jan",
            "dormant",
            "British turf pages: winter laying is normal",
        ),
        (
            (1.35, 103.82),
            "perennial-ryegrass/seed",
            "1 jun",
            "closed",
            "no cool season in Singapore, from memory",
        ),
        ((1.35, 103.82), "manilagrass/sprigs", "1 jan", "good", "no cold season in Singapore, from memory"),
    ],
)
def test_days_that_are_told(numbers, site_at, place, key: str, on: str, quality: str, source: str) -> None:
    assert (
        windows.windows(site_at(*place), numbers.plants, numbers.windows, key).quality_on(day(on)) == quality
    ), source


@pytest.mark.parametrize(("place", "opens", "closes"), [((35.78, -78.64), "15 sep", "15 oct")])
def test_winter_overseeding(numbers, site_at, place, opens: str, closes: str) -> None:
    """Overseeding athletic fields, North Carolina State University: mid-September to mid-October; half of it open."""
    found = windows.windows(
        site_at(*place), numbers.plants, numbers.windows, "perennial-ryegrass/seed", variant="winter-overseed"
    )
    days = [day(opens) + i for i in range(dates.days_ahead(day(opens), day(closes)))]
    assert sum(found.quality_on(d) == "good" for d in days) >= len(days) / 2
