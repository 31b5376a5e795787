"""Windows against those of the trial they were fitted in and against published local ones."""

import pytest

from decide.measure import dates, windows

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
        ((40.42, -86.91), "16 aug", "23 sep"),
        ((37.55, -77.46), "31 aug", "14 oct"),
        ((53.96, -1.08), "23 aug", "16 sep"),
        ((-43.53, 172.64), "28 feb", "4 apr"),
        ((38.58, -121.49), "7 sep", "25 oct"),
    ],
)
def test_autumn(numbers, site_at, place, opens: str, closes: str) -> None:
    got = windows.autumn_window(site_at(*place), numbers.windows)
    near(got[0], opens)
    near(got[1], closes)


def test_spring_and_dormant_at_lafayette(numbers, site_at) -> None:
    site = site_at(40.42, -86.91)
    opens, closes = windows.spring_window(site, numbers.windows)
    near(opens, "20 mar")
    near(closes, "13 may")
    opens, closes = windows.dormant_window(site, numbers.windows)
    near(opens, "21 nov")
    near(closes, "9 mar")


@pytest.mark.parametrize(
    ("place", "grass", "opens", "closes", "good"),
    [
        ((36.85, -76.29), "common-bermudagrass", "6 may", "27 jul", "1 jul"),
        ((36.16, -86.78), "common-bermudagrass", "2 may", "24 jul", "28 jun"),
        ((36.12, -97.06), "common-bermudagrass", "29 apr", "28 jul", "4 jul"),
        ((30.41, -91.18), "common-bermudagrass", "31 mar", "19 aug", "26 jul"),
        ((-37.81, 144.96), "common-bermudagrass", "19 oct", "22 dec", "10 nov"),
        ((-32.93, 151.78), "common-bermudagrass", "7 oct", "26 feb", "28 jan"),
        ((-26.20, 28.05), "common-bermudagrass", "7 oct", "31 dec", "26 nov"),
        ((35.96, -83.92), "japanese-zoysiagrass", "4 may", "30 jun", None),
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
    ((53.96, -1.08), "good", "15 mar", "15 may"),
    ((53.96, -1.08), "good", "23 aug", "16 sep"),
    ((53.35, -6.26), "good", "27 aug", "23 sep"),
    ((-43.53, 172.64), "good", "28 feb", "4 apr"),
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
    ("place", "last_fair"), [((53.96, -1.08), "24 oct"), ((53.35, -6.26), "25 oct"), ((-43.53, 172.64), "12 may")]
)
def test_fair_until_the_mild_season_ends(numbers, site_at, place, last_fair: str) -> None:
    found = windows.windows(site_at(*place), numbers.plants, numbers.windows, "perennial-ryegrass/seed")
    ends = [w.closes for w in found.windows if w.why_closes == "mild-season-ends"]
    near(ends[0], last_fair)


EXT = "as published by the state's extension service"
PUBLISHED = [
    ("South Bend", (41.68, -86.25), "perennial-ryegrass/seed", "15 aug", "15 sep", "Purdue University, 2025"),
    ("Evansville", (37.97, -87.56), "tall-fescue/seed", "1 sep", "30 sep", "Purdue University, 2025"),
    ("Harrisonburg", (38.45, -78.87), "kentucky-bluegrass/seed", "15 aug", "15 sep", "Virginia Cooperative Extension 426-718"),
    ("Richmond", (37.55, -77.46), "tall-fescue/seed", "1 sep", "15 oct", "Virginia Cooperative Extension 426-718"),
    ("Omaha", (41.26, -95.94), "tall-fescue/seed", "15 aug", "15 sep", "University of Nebraska-Lincoln Extension, 2021"),
    ("Junction City", (39.03, -96.83), "tall-fescue/seed", "1 sep", "30 sep", "Geary County Extension, 2003"),
    ("Vineland", (39.49, -75.03), "tall-fescue/seed", "20 aug", "10 oct", "Rutgers Cooperative Extension, as repeated"),
    ("Sacramento", (38.58, -121.49), "tall-fescue/seed", "1 sep", "31 oct", "University of California IPM, 2017"),
    ("Corvallis", (44.56, -123.26), "perennial-ryegrass/seed", "15 aug", "15 sep", "Oregon State University EC 1550, 2004"),
    ("Portland", (45.52, -122.68), "tall-fescue/seed", "15 aug", "5 oct", "Oregon State University Extension"),
    ("Ames", (42.03, -93.62), "kentucky-bluegrass/seed", "15 aug", "15 sep", "Iowa State University Extension, 2020"),
    ("Rockford", (42.27, -89.09), "kentucky-bluegrass/seed", "15 aug", "7 sep", "University of Illinois Extension, 2019"),
    ("Champaign", (40.12, -88.24), "kentucky-bluegrass/seed", "15 aug", "30 sep", "University of Illinois Extension, 1999"),
    ("Hartford", (41.76, -72.69), "kentucky-bluegrass/seed", "15 aug", "15 sep", "University of Connecticut, as quoted"),
    ("Colorado Springs", (38.83, -104.82), "kentucky-bluegrass/seed", "15 aug", "15 sep", "Colorado State University Extension, as repeated"),
    ("Auckland", (-36.85, 174.76), "perennial-ryegrass/seed", "1 mar", "25 apr", "rural news, New Zealand, 2015"),
    ("York", (53.96, -1.08), "perennial-ryegrass/seed", "15 mar", "5 jun", "national advice, as repeated"),
    ("Norfolk", (36.85, -76.29), "common-bermudagrass/seed", "1 may", "31 jul", "Virginia Cooperative Extension 426-718"),
    ("Stillwater", (36.12, -97.06), "common-bermudagrass/seed", "1 may", "1 jul", "Oklahoma State University Extension, as repeated"),
    ("Nashville", (36.16, -86.78), "common-bermudagrass/sprigs", "1 may", "30 jun", "University of Tennessee Extension"),
    ("Knoxville", (35.96, -83.92), "japanese-zoysiagrass/sprigs", "1 may", "30 jun", "University of Tennessee Extension"),
    ("Melbourne", (-37.80, 144.90), "common-bermudagrass/seed", "25 oct", "30 nov", "water retailers' grass programme, Melbourne"),
]


@pytest.mark.parametrize(("name", "place", "key", "opens", "closes", "source"), PUBLISHED, ids=[p[0] for p in PUBLISHED])
def test_at_least_half_of_a_published_window_is_open(numbers, site_at, name: str, place, key: str, opens: str, closes: str, source: str) -> None:
    found = windows.windows(site_at(*place), numbers.plants, numbers.windows, key)
    first, last = day(opens), day(closes)
    days = [dates.wrap(first + i) for i in range(dates.days_ahead(first, last) + 1)]
    is_open = sum(found.quality_on(d) in ("good", "fair") for d in days)
    assert is_open >= len(days) / 2, source


SPRING = [
    ("Des Moines", (41.59, -93.62), "kentucky-bluegrass/seed", "1 apr", "15 may", "Iowa State University Extension, 2020 (spring)"),
    ("Manhattan", (39.18, -96.57), "tall-fescue/seed", "1 mar", "30 apr", "Kansas State University blog (spring)"),
    ("Leesburg", (39.12, -77.56), "tall-fescue/seed", "1 mar", "10 apr", "Virginia Cooperative Extension 426-718 (spring)"),
]


@pytest.mark.parametrize(("name", "place", "key", "opens", "closes", "source"), SPRING, ids=[p[0] for p in SPRING])
def test_spring_dates_within_three_weeks(numbers, site_at, name: str, place, key: str, opens: str, closes: str, source: str) -> None:
    """Spring is custom rather than trial: every day of a published window has an open day within three weeks."""
    found = windows.windows(site_at(*place), numbers.plants, numbers.windows, key)
    for ahead in range(dates.days_ahead(day(opens), day(closes)) + 1):
        around = range(day(opens) + ahead - 21, day(opens) + ahead + 22)
        assert any(found.quality_on(dates.wrap(d)) in ("good", "fair") for d in around), source


@pytest.mark.parametrize(
    ("place", "key", "on", "quality", "source"),
    [
        ((40.42, -86.91), "kentucky-bluegrass/seed", "1 dec", "dormant", "HortScience 35, 2000: December sowing works"),
        ((40.42, -86.91), "perennial-ryegrass/seed", "1 dec", "closed", "HortScience 35, 2000: ryegrass not dormant"),
        ((39.98, -83.03), "common-bermudagrass/seed", "25 aug", "closed", "Ohio State University, 2009: sown after 15 August, dead by May"),
        ((38.95, -92.33), "hybrid-bermudagrass/sprigs", "1 jun", "good", "University of Missouri Extension: 1 June for autumn use"),
        ((38.95, -92.33), "hybrid-bermudagrass/sod", "25 jul", "good", "University of Missouri Extension: sod by 31 July"),
        ((40.11, -88.21), "kentucky-bluegrass/sod", "20 apr", "good", "Urbana 2007: rooted in 4.5 weeks"),
        ((40.11, -88.21), "kentucky-bluegrass/sod", "15 sep", "good", "Urbana 2007: rooted in 4.5 weeks"),
        ((40.11, -88.21), "kentucky-bluegrass/sod", "1 jul", "closed", "Urbana 2007: not rooted in ten weeks of summer"),
        ((41.80, -72.25), "kentucky-bluegrass/sod", "5 dec", "dormant", "University of Connecticut: December sod rooted well in spring"),
        ((53.85, -1.84), "kentucky-bluegrass/sod", "15 jan", "dormant", "British turf pages: winter laying is normal"),
        ((1.35, 103.82), "perennial-ryegrass/seed", "1 jun", "closed", "no cool season in Singapore, from memory"),
        ((1.35, 103.82), "manilagrass/sprigs", "1 jan", "good", "no cold season in Singapore, from memory"),
    ],
)
def test_days_that_are_told(numbers, site_at, place, key: str, on: str, quality: str, source: str) -> None:
    assert windows.windows(site_at(*place), numbers.plants, numbers.windows, key).quality_on(day(on)) == quality, source


@pytest.mark.parametrize(("place", "opens", "closes"), [((35.78, -78.64), "15 sep", "15 oct")])
def test_winter_overseeding(numbers, site_at, place, opens: str, closes: str) -> None:
    """Overseeding athletic fields, North Carolina State University: mid-September to mid-October; half of it open."""
    found = windows.windows(site_at(*place), numbers.plants, numbers.windows, "perennial-ryegrass/seed", variant="winter-overseed")
    days = [day(opens) + i for i in range(dates.days_ahead(day(opens), day(closes)))]
    assert sum(found.quality_on(d) == "good" for d in days) >= len(days) / 2
