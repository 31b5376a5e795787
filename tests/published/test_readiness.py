"""Readiness and first winters against published cases and against the trial the constants were fitted in."""

import csv
import dataclasses
from pathlib import Path

import pytest

from decide.measure import growth, readiness
from decide.measure.dates import YEAR
from decide.measure.numbers import constants
from tests import shared

MONTHS = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334]


def day(text: str) -> int:
    month, of_month = text.split("-")
    return MONTHS[int(month) - 1] + int(of_month)


# Days to a stage (early/middle/late) worked out apart from this code, in the trial of the model on published cases.
LAFAYETTE, PENN, URBANA, YORK, COLUMBIA = (
    (40.42, -86.91),
    (40.8, -77.86),
    (40.11, -88.21),
    (53.96, -1.08),
    (38.95, -92.33),
)
TRIAL = [
    (
        1,
        LAFAYETTE,
        "kentucky-bluegrass/seed",
        "09-01",
        {"light-use": (236, 270, 308), "full-play": (278, 299, 320)},
        "safe",
    ),
    (
        2,
        LAFAYETTE,
        "kentucky-bluegrass/seed",
        "04-15",
        {"light-use": (140, 140, 152), "full-play": (182, 182, 182)},
        "safe",
    ),
    (
        3,
        LAFAYETTE,
        "perennial-ryegrass/seed",
        "09-15",
        {
            "first-cut": (11, 11, 13),
            "cover": (28, 36, 60),
            "light-use": (43, 184, 222),
            "full-play": (54, 205, 244),
        },
        "safe",
    ),
    (
        4,
        (42.27, -89.09),
        "perennial-ryegrass/seed",
        "08-20",
        {
            "first-cut": (11, 11, 12),
            "cover": (28, 31, 43),
            "light-use": (35, 35, 42),
            "full-play": (42, 50, 219),
        },
        "safe",
    ),
    (5, PENN, "tall-fescue/seed", "05-25", {"light-use": (56, 56, 61), "full-play": (89, 93, 102)}, "safe"),
    (
        6,
        PENN,
        "perennial-ryegrass/seed",
        "06-20",
        {
            "first-cut": (11, 11, 12),
            "cover": (28, 30, 40),
            "light-use": (35, 35, 40),
            "full-play": (42, 46, 58),
        },
        "safe",
    ),
    (
        7,
        (37.55, -77.46),
        "tall-fescue/seed",
        "09-20",
        {"light-use": (59, 82, 155), "full-play": (185, 205, 222)},
        "safe",
    ),
    (
        8,
        (43.07, -89.4),
        "bluegrass-with-ryegrass/seed",
        "08-25",
        {"light-use": (218, 218, 283), "full-play": (218, 290, 350)},
        "safe",
    ),
    (
        9,
        YORK,
        "perennial-ryegrass/seed",
        "05-20",
        {
            "first-cut": (11, 14, 19),
            "cover": (30, 40, 52),
            "light-use": (37, 44, 52),
            "full-play": (44, 57, 71),
        },
        "none",
    ),
    (
        10,
        YORK,
        "perennial-ryegrass/seed",
        "09-10",
        {
            "first-cut": (11, 12, 17),
            "cover": (32, 49, 200),
            "light-use": (43, 60, 200),
            "full-play": (56, 200, 227),
        },
        "none",
    ),
    (
        11,
        (53.35, -6.26),
        "perennial-ryegrass/seed",
        "05-10",
        {
            "first-cut": (13, 17, 22),
            "cover": (36, 46, 60),
            "light-use": (44, 51, 59),
            "full-play": (50, 65, 80),
        },
        "none",
    ),
    (
        12,
        (-43.53, 172.64),
        "perennial-ryegrass/seed",
        "03-10",
        {
            "first-cut": (11, 11, 14),
            "cover": (28, 40, 61),
            "light-use": (37, 46, 60),
            "full-play": (46, 71, 149),
        },
        "none",
    ),
    (
        13,
        (-36.85, 174.76),
        "perennial-ryegrass/seed",
        "04-10",
        {
            "first-cut": (11, 11, 12),
            "cover": (28, 32, 43),
            "light-use": (35, 36, 43),
            "full-play": (42, 51, 67),
        },
        "none",
    ),
    (
        14,
        (36.16, -86.78),
        "common-bermudagrass/seed",
        "05-20",
        {"cover": (45, 58, 77), "full-play": (60, 79, 107)},
        "safe",
    ),
    (
        15,
        COLUMBIA,
        "common-bermudagrass/seed",
        "06-01",
        {"cover": (45, 59, 80), "full-play": (60, 81, 117)},
        "safe",
    ),
    (
        16,
        (37.23, -80.41),
        "hybrid-bermudagrass/sprigs",
        "06-18",
        {"cover": (28, 50, 97), "full-play": (58, 79, 116)},
        "safe",
    ),
    (
        17,
        (30.41, -91.18),
        "hybrid-bermudagrass/sprigs",
        "06-10",
        {"cover": (28, 40, 70), "full-play": (56, 63, 78)},
        "safe",
    ),
    (
        18,
        (-37.81, 144.96),
        "hybrid-bermudagrass/sprigs",
        "10-25",
        {"cover": (41, 71, 116), "full-play": (81, 103, 128)},
        # The trial called it safe by its heat; since winter kills by its cold, none at Melbourne can kill couch.
        "none",
    ),
    (
        19,
        (36.10, -94.17),
        "japanese-zoysiagrass/sprigs",
        "06-01",
        {"cover": (99, 143, 335), "full-play": (140, 315, 387)},
        "safe",
    ),
    (
        20,
        URBANA,
        "kentucky-bluegrass/sod",
        "04-20",
        {"rooted": (28, 31, 62), "full-play": (29, 58, 147)},
        "none",
    ),
    (
        21,
        URBANA,
        "kentucky-bluegrass/sod",
        "07-01",
        {"rooted": (59, 79, 104), "full-play": (60, 97, 122)},
        "none",
    ),
    (
        22,
        COLUMBIA,
        "hybrid-bermudagrass/sod",
        "07-31",
        {"rooted": (19, 24, 32), "full-play": (21, 24, 32)},
        "none",
    ),
]


@pytest.fixture(scope="module")
def as_published() -> growth.Plants:
    """The needs as they were fitted: of heat and least weeks alone."""
    knowledge, without = (
        shared.knowledge(),
        ("asked-full-play-low", "asked-full-play-high", "full-after-light"),
    )
    floors = {
        ("floor-full-play", "tall-fescue/seed"): 12.0, ("floor-full-play", "common-bermudagrass/seed"): 8.0,
        ("floor-full-play", "hybrid-bermudagrass/sod"): 3.0, ("floor-first-cut", "perennial-ryegrass/seed"): 1.5,
        ("heat-full-play-late", "bluegrass-with-ryegrass/seed"): 2028.0,
        ("heat-full-play-early", "kentucky-bluegrass/sod"): 212.0, ("heat-full-play-middle", "kentucky-bluegrass/sod"): 320.0,
        ("heat-full-play-late", "kentucky-bluegrass/sod"): 400.0,
    }  # fmt: skip
    # The ends that the fit had and that lie within the miss of published cases, so that the table leaves them out.
    with (Path(__file__).parent / "fitted_ends.csv").open(encoding="utf-8", newline="") as file:
        ends = {(row["value"], row["key"]): float(row["heat"]) for row in csv.DictReader(file)}

    def as_fitted(name: str, key: str) -> float | None:
        if name == "readiness-miss":
            return 1.0
        return 0.0 if name in without else {**ends, **floors}.get((name, key), knowledge.value(name, key))

    return constants(as_fitted, shared.names()).plants


def unwidened(site: growth.Site) -> growth.Site:
    """The site with the heat counted from sowing and no range for the miss of the model."""
    rules = dataclasses.replace(site.rules, usual_cool=4.0, usual_warm=12.0, cut_every_days=1.0)
    return growth.Site(site.climate, site.numbers, site.curves, rules)


@pytest.mark.parametrize(
    ("place", "key", "start", "stage", "expected", "winter"),
    [
        pytest.param(p, k, s, stage, e, w, id=f"{n}-{stage}")
        for n, p, k, s, stages, w in TRIAL
        for stage, e in stages.items()
    ],
)
def test_trial(as_published, site_at, place, key: str, start: str, stage: str, expected, winter: str) -> None:
    """Within 2 days up to 120 and 4 above. The trial knows no cuts: where they are made in time they must change nothing.
    It waits for the growth of a usual spring at the late end too; that end now waits for a cold one.
    """
    site = unwidened(site_at(*place))
    got = readiness.readiness(site, as_published, key, day(start), stage)
    assert got.winter == winter
    season = growth.season_of(as_published, key.split("/", maxsplit=1)[0])
    spring = site.wait_for_growth(season, day(start) + expected[2] - 1, -site.year_shift) or 0
    for mine, theirs in zip((got.early, got.middle, got.late), expected, strict=True):
        near = pytest.approx(theirs, abs=2 if theirs <= 120 else 4)
        assert mine == near or (theirs == expected[2] and mine == pytest.approx(theirs + spring, abs=4))


@pytest.mark.parametrize(
    ("start", "ready"),
    [("09-01", "05-29"), ("09-08", "06-06"), ("09-15", "06-24"), ("09-22", "07-12"), ("10-01", "08-03")],
)
def test_late_bluegrass_at_lafayette(numbers, site_at, start: str, ready: str) -> None:
    """Time is running out, Purdue University: usable about the end of May; a day's delay costs 2 to 4 days (dates from the trial)."""
    got = readiness.readiness(
        site_at(*LAFAYETTE), numbers.plants, "kentucky-bluegrass/seed", day(start), "light-use"
    )
    assert got.middle == pytest.approx(YEAR + day(ready) - day(start), abs=4)


def test_a_day_s_delay_in_september_costs_two_to_four_in_spring(numbers, site_at) -> None:
    """Time is running out to seed your lawn, Purdue University: sown from mid-August on, ready by the end of May; each day
    after early September costs two to four; sown on 23 September not ready before the fourth week of June. Now is the
    time to seed, same: a week later, two to four weeks more. (The first page also lets all sowings up to 15 September be
    ready by the end of May, against its own two to four days; the model follows the days.)
    """

    def ready(text: str) -> int:
        got = readiness.readiness(
            site_at(*LAFAYETTE), numbers.plants, "kentucky-bluegrass/seed", day(text), "light-use"
        ).middle
        assert got is not None
        return day(text) + got

    for sooner, later in (("09-08", "09-15"), ("09-15", "09-22"), ("09-22", "09-29"), ("09-08", "10-01")):
        days = day(later) - day(sooner)
        assert 2 <= (ready(later) - ready(sooner)) / days <= 4, (sooner, later)
    assert abs(ready("09-01") - YEAR - day("05-31")) <= 7
    assert ready("09-23") - YEAR >= day("06-22")
    # in August a day costs about a day
    assert ready("08-22") - ready("08-15") <= 7 * 1.5


# Winter outcomes that are published; classes are the reading of sentences.
DATES_2000 = (
    "Date of seeding affects establishment of cool-season turfgrasses, HortScience 35, 2000, 1166-1169"
)
WISCONSIN = "Summer-fall seeding dates for six cool-season grasses, Wisconsin 1995-1997, abstract"
PADUA = "University of Padua, HortTechnology 2012, abstract"
ARLINGTON, RIVER_FALLS, LEGNARO, COLUMBUS, MEAD = (
    (43.30, -89.38),
    (44.86, -92.62),
    (45.35, 11.95),
    (39.98, -83.03),
    (41.23, -96.49),
)


@pytest.mark.parametrize(
    ("place", "key", "start", "expected", "source"),
    [
        *(
            (LAFAYETTE, f"{g}/seed", "09-01", "safe", DATES_2000)
            for g in ("kentucky-bluegrass", "tall-fescue", "perennial-ryegrass")
        ),
        *(
            (LAFAYETTE, f"{g}/seed", d, "dormant", DATES_2000)
            for g in ("kentucky-bluegrass", "tall-fescue")
            for d in ("11-01", "12-01")
        ),
        *((LAFAYETTE, "perennial-ryegrass/seed", d, "lost", DATES_2000) for d in ("11-01", "12-01")),
        *(
            (p, f"{g}/seed", d, w, WISCONSIN)
            for p in (ARLINGTON, RIVER_FALLS)
            for g in ("perennial-ryegrass", "tall-fescue")
            for d, w in (("08-25", "safe"), ("09-15", "thinned"), ("10-01", "lost"))
        ),
        ((39.18, -96.57), "tall-fescue/seed", "09-15", "safe", "Kansas extension column, September 2019"),
        (LEGNARO, "tall-fescue/seed", "09-20", "safe", PADUA),
        (LEGNARO, "kentucky-bluegrass/seed", "09-20", "safe", PADUA),
        (
            COLUMBUS,
            "common-bermudagrass/seed",
            "08-25",
            "lost",
            "Ohio State University, note of May 2009: sown after 15 August, dead by May",
        ),
        (
            MEAD,
            "buffalograss/seed",
            "06-30",
            "safe",
            "Date of planting effects on buffalograss, Crop Science 38, 1998, 1210-1213",
        ),
        (
            MEAD,
            "buffalograss/seed",
            "08-15",
            "lost",
            "Date of planting effects on buffalograss, Crop Science 38, 1998, 1210-1213",
        ),
        (
            LAFAYETTE,
            "common-bermudagrass/seed",
            "07-15",
            "safe",
            "Establishment by seed, Crop Science 44, 2004: last good date",
        ),
        (
            (38.03, -84.5),
            "common-bermudagrass/seed",
            "07-15",
            "safe",
            "Establishment by seed, Crop Science 44, 2004: last good date",
        ),
    ],
)
def test_first_winter(numbers, site_at, place, key: str, start: str, expected: str, source: str) -> None:
    assert growth.winter(site_at(*place), numbers.plants, key, day(start)).level == expected, source


def test_hardy_limit_of_ryegrass(numbers, site_at) -> None:
    """HortScience 43, 2008, 240-244: ryegrass of late August was partly killed at Madison in one of two winters."""
    madison = growth.winter(site_at(43.07, -89.40), numbers.plants, "perennial-ryegrass/seed", day("08-25"))
    assert madison.at_risk
    assert not growth.winter(
        site_at(*LAFAYETTE), numbers.plants, "perennial-ryegrass/seed", day("09-01")
    ).at_risk


@pytest.mark.parametrize(
    ("start", "strong"), [("04-15", True), ("05-15", True), ("06-15", False), ("07-15", False)]
)
def test_early_bermudagrass_recovers_best(numbers, site_at, start: str, strong: bool) -> None:
    """Acta Horticulturae 661, 2004, 369-374, Fayetteville: April and May sowings recovered better than June and July."""
    got = growth.winter(site_at(36.10, -94.17), numbers.plants, "common-bermudagrass/seed", day(start))
    assert got.strong is strong


@pytest.mark.parametrize(
    ("place", "key", "start", "stage", "weeks", "source"),
    [
        (
            PENN,
            "perennial-ryegrass/seed",
            "06-20",
            "full-play",
            10,
            "Penn State trial, 2012: in play at ten weeks",
        ),
        (
            (52.5, -1.5),
            "perennial-ryegrass/seed",
            "05-25",
            "full-play",
            11,
            "British close season of 10 to 12 weeks",
        ),
        (
            (43.07, -89.4),
            "perennial-ryegrass/seed",
            "04-20",
            "full-play",
            17,
            "HortScience 43, 2008: spring sowing in play from mid-August",
        ),
        (
            (43.07, -89.4),
            "bluegrass-with-ryegrass/seed",
            "08-25",
            "full-play",
            50,
            "HortScience 43, 2008: in play from mid-August",
        ),
        (
            (36.10, -94.17),
            "japanese-zoysiagrass/sprigs",
            "03-28",
            "cover",
            28,
            "Arkansas dormant sprigging: full by autumn",
        ),
        (
            (-37.79, 145.28),
            "hybrid-bermudagrass/sprigs",
            "10-15",
            "full-play",
            19.5,
            "council works, Melbourne 2021-2022",
        ),
        (
            (-27.23, 153.11),
            "hybrid-bermudagrass/sod",
            "12-06",
            "full-play",
            10.5,
            "rugby league ground, Queensland 2017-2018",
        ),
        (
            (33.95, -117.40),
            "seashore-paspalum/seed",
            "04-15",
            "cover",
            26,
            "Seeding date and irrigation system effects, Agronomy Journal 107, 2015",
        ),
    ],
)
def test_ready_by_a_published_date(
    numbers, site_at, place, key: str, start: str, stage: str, weeks: float, source: str
) -> None:
    got = readiness.readiness(site_at(*place), numbers.plants, key, day(start), stage)
    assert got.middle is not None, source
    assert got.middle <= 7 * weeks, source


@pytest.mark.parametrize(
    ("place", "key", "start", "stage", "weeks", "source"),
    [
        (
            (36.10, -94.17),
            "japanese-zoysiagrass/sprigs",
            "05-30",
            "cover",
            20,
            "Arkansas: planted on 30 May not full in the first season",
        ),
        (
            URBANA,
            "kentucky-bluegrass/sod",
            "07-01",
            "rooted",
            10,
            "Planting date effects on root growth of bluegrass sod, 2007: not rooted in ten weeks of summer",
        ),
        (
            (53.85, -1.84),
            "kentucky-bluegrass/seed",
            "05-01",
            "full-play",
            39,
            "British Society of Plant Breeders: at least twelve months",
        ),
    ],
)
def test_not_ready_before_a_published_date(
    numbers, site_at, place, key: str, start: str, stage: str, weeks: float, source: str
) -> None:
    got = readiness.readiness(site_at(*place), numbers.plants, key, day(start), stage)
    assert got.middle is not None
    assert got.middle >= 7 * weeks, source


@pytest.mark.parametrize(("gap", "months"), [(20, 3), (23, 4), (36, 5), (38, 7)])
def test_plugs_of_st_augustinegrass(numbers, site_at, gap: float, months: float) -> None:
    """Plug table, Bexar County, Texas A&M AgriLife Extension: months to cover; planted 15 April; within a quarter."""
    got = readiness.readiness(
        site_at(29.42, -98.49), numbers.plants, "st-augustinegrass/plugs", day("04-15"), "cover", gap
    )
    assert got.middle == pytest.approx(months * 30.4, rel=0.25)


def test_june_bermudagrass_in_indiana_is_ready_that_summer(numbers, site_at) -> None:
    """Field diary, Greencastle 2012: sown 22 May, ready 30 July (69 days)."""
    got = readiness.readiness(
        site_at(39.64, -86.86), numbers.plants, "common-bermudagrass/seed", day("05-22"), "full-play"
    )
    assert got.early is not None
    assert got.late is not None
    assert got.early <= 69 <= got.late
