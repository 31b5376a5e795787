"""Windows against those of a trial worked out apart, and days that publications tell. Published edges: `test_window_edges.py`."""

import pytest

from decide.measure import dates, windows

MONTHS = dates.MONTH_CODES


def day(text: str) -> int:
    of_month, month = text.split()
    return dates.first_of_month(MONTHS.index(month) + 1) + int(of_month) - 1


def near(got: int | None, expected: str, within: int = 2) -> None:
    assert got is not None
    assert abs(dates.days_apart(got, day(expected))) <= within, dates.month_and_day(got)


# Worked out apart from this code: sums of daily heat by a short script of its own, done anew when the gate came to
# fall with a milder winter, and when the heat kept from winter came to fall where winter spares warm grass.
@pytest.mark.parametrize(
    ("place", "opens", "closes"),
    [
        ((40.42, -86.91), "16 aug", "26 sep"),
        ((37.55, -77.46), "31 aug", "22 oct"),
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
    near(opens, "31 mar")
    near(closes, "15 may")
    opens, closes = windows.dormant_window(site, numbers.windows)
    near(opens, "21 nov")
    near(closes, "9 mar")


@pytest.mark.parametrize(
    ("place", "grass", "opens", "closes", "good"),
    [
        ((36.85, -76.29), "common-bermudagrass", "6 may", "31 jul", "6 jul"),
        ((36.16, -86.78), "common-bermudagrass", "2 may", "27 jul", "3 jul"),
        ((36.12, -97.06), "common-bermudagrass", "29 apr", "1 aug", "8 jul"),
        ((30.41, -91.18), "common-bermudagrass", "31 mar", "27 sep", "7 aug"),
        ((-37.81, 144.96), "common-bermudagrass", "19 oct", "27 feb", "5 dec"),
        ((-32.93, 151.78), "common-bermudagrass", "7 oct", "29 apr", "14 feb"),
        ((-26.20, 28.05), "common-bermudagrass", "7 oct", "6 mar", "16 dec"),
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
    ((53.96, -1.08), "good", "26 mar", "26 may"),
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
