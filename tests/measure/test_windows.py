"""Windows: laws that must hold anywhere, and what a day is told."""

import dataclasses
import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decide.measure import dates, growth, window, windows
from tests.shared import names

PLACES = [
    (40.42, -86.91), (53.96, -1.08), (-37.81, 144.96), (-43.53, 172.64), (36.16, -86.78), (30.41, -91.18), (1.35, 103.82),
    (64.1, -21.9), (44.98, -93.27), (-26.2, 28.05), (33.45, -112.07), (4.7, -74.07), (25.2, 55.3), (69.6, 18.9),
]  # fmt: skip
PLACE = st.sampled_from(PLACES)
DAY = st.integers(1, 365)
NAMES = names()
KEYS = NAMES.keys
KEY = st.sampled_from(KEYS)
EMPTY = {"", "too-hot-all-year", "too-cold", "season-too-short", "no-roots-known", "not-made-this-way"}


@pytest.fixture(scope="module")
def at(numbers, site_at):
    kept = {}

    def found(place, key: str) -> window.Windows:
        if (place, key) not in kept:
            kept[place, key] = windows.windows(site_at(*place), numbers.plants, numbers.windows, key)
        return kept[place, key]

    return found


def sound(found: window.Windows) -> None:
    """Windows do not overlap, run in order of opening, and are empty only with a reason."""
    covered = [sum(w.holds(d) for w in found.windows) for d in range(1, 366)]
    assert max(covered, default=0) <= 1
    assert [w.opens for w in found.windows] == sorted(w.opens for w in found.windows)
    assert (found.windows == ()) == (found.empty_why != "")
    assert found.empty_why in EMPTY
    for w in found.windows:
        assert w.quality in ("good", "fair", "dormant")
        assert 1 <= w.opens <= 365
        assert 1 <= w.closes <= 365
        assert w.why_opens
        assert w.why_closes


@pytest.mark.slow
@pytest.mark.parametrize("place", PLACES)
def test_windows_are_sound(at, place) -> None:
    for key in KEYS:
        sound(at(place, key))


@settings(max_examples=80)
@given(PLACE, KEY, DAY)
def test_a_day_and_its_window(at, place, key: str, day: int) -> None:
    found = at(place, key)
    window = found.window_on(day)
    assert found.quality_on(day) == ("closed" if window is None else window.quality)
    opening = found.next_opening(day)
    if opening is not None:
        assert opening.quality in ("good", "fair")
        between = range(1, dates.days_ahead(day, opening.opens))
        assert not any(
            w.quality in ("good", "fair") and w.opens == dates.wrap(day + i)
            for i in between
            for w in found.windows
        )
    last = found.last_day(day)
    if last is not None:
        assert found.quality_on(last) in ("good", "fair")
    past = found.days_past_close(day)
    if past is not None:
        open_now = found.quality_on(day) in ("good", "fair")
        assert past <= 0 or not open_now
        if past < 0 and not open_now:
            # between two runs the next opening is the nearer one
            since = min(
                dates.days_ahead(w.closes, day) for w in found.windows if w.quality in ("good", "fair")
            )
            assert opening is not None
            assert dates.days_ahead(day, opening.opens) < since


@given(PLACE, DAY)
def test_good_seed_is_not_lost(numbers, site_at, at, place, day: int) -> None:
    """A good day for cool-season seed is one from which the first winter is safe or does not come."""
    site = site_at(*place)
    for key in ("kentucky-bluegrass/seed", "tall-fescue/seed", "perennial-ryegrass/seed"):
        if at(place, key).quality_on(day) == "good":
            assert growth.winter(site, numbers.plants, key, day).level in ("safe", "none")


@given(PLACE, DAY, st.sampled_from(["kentucky-bluegrass/sod", "hybrid-bermudagrass/sod"]))
def test_open_sod_roots_in_time(numbers, site_at, at, place, day: int, key: str) -> None:
    """Good sod roots for sure in six weeks; closed days miss the need in six weeks, or the ground is frozen."""
    site = site_at(*place)
    need = numbers.plants.needs[key]["rooted"]
    quality = at(place, key).quality_on(day)
    heat = site.heat(growth.heat_kind(numbers.plants, key), day, 42)
    if quality == "good":
        assert heat >= need.heat_late
    if quality in ("closed", "dormant"):
        assert heat < need.heat_late or site.year.normal(day) < 0


def test_only_seed_that_waits_has_a_dormant_window(at) -> None:
    for grass, waits in (
        ("kentucky-bluegrass", True),
        ("tall-fescue", True),
        ("perennial-ryegrass", False),
        ("annual-ryegrass", False),
    ):
        qualities = {w.quality for w in at((40.42, -86.91), f"{grass}/seed").windows}
        assert ("dormant" in qualities) is waits


def test_no_dormant_window_without_a_winter(at) -> None:
    assert "dormant" not in {w.quality for w in at((53.96, -1.08), "kentucky-bluegrass/seed").windows}


def test_borrowed_numbers_are_marked(numbers, at) -> None:
    for grass in NAMES.warm:
        found = at((30.41, -91.18), f"{grass}/seed")
        assert found.borrowed is (grass in NAMES.like)
        assert (grass in NAMES.like) is (grass not in numbers.windows.warm_close_heat)


@pytest.mark.parametrize("key", ["kentucky-bluegrass/sprigs", "tall-fescue/plugs"])
def test_what_is_not_made_that_way(at, key: str) -> None:
    assert at((40.42, -86.91), key).empty_why == "not-made-this-way"


def test_hemispheres_stand_half_a_year_apart(at) -> None:
    """Bermudagrass opens in spring: April to June in the north, September to November in the south."""
    for place, months in (((40.42, -86.91), {4, 5, 6}), ((-37.81, 144.96), {9, 10, 11})):
        assert (
            dates.month_of(
                next(w for w in at(place, "common-bermudagrass/seed").windows if w.quality == "good").opens
            )
            in months
        )


def test_summer_needs_water_where_it_is_open(at) -> None:
    window = at((53.96, -1.08), "perennial-ryegrass/seed").window_on(196)
    assert window is not None
    assert (window.quality, window.why_opens) == ("fair", "summer-with-water")
    assert at((40.42, -86.91), "perennial-ryegrass/seed").quality_on(196) == "closed"


def test_a_run_of_good_and_fair_days_ends_once(at) -> None:
    """West Lafayette: good to mid-September, fair to early October; the last safe day is the end of the fair part."""
    found = at((40.42, -86.91), "kentucky-bluegrass/seed")
    last = found.last_day(240)
    assert last == found.last_day(265)
    assert last is not None
    assert found.quality_on(last + 1) == "closed"
    assert found.days_past_close(last + 10) == 10
    assert found.days_past_close(last - 5) == -5


def test_winter_overseeding_is_for_ryegrass_into_warm_turf(numbers, site_at) -> None:
    def overseed(place, key: str) -> window.Windows:
        return windows.windows(
            site_at(*place), numbers.plants, numbers.windows, key, variant="winter-overseed"
        )

    assert overseed((33.96, -83.38), "perennial-ryegrass/seed").quality_on(280) == "good"
    assert overseed((33.96, -83.38), "common-bermudagrass/seed").empty_why == "not-made-this-way"
    assert overseed((1.35, 103.82), "annual-ryegrass/seed").empty_why == "too-hot-all-year"
    assert overseed((64.1, -21.9), "annual-ryegrass/seed").empty_why == "too-cold"
    # Auckland, whose summers stay below the upper level: the city oversows its rugby fields in early April.
    assert overseed((-36.85, 174.76), "perennial-ryegrass/seed").quality_on(95) == "good"


def test_a_typed_frost_moves_the_window(numbers, tables) -> None:
    climate = tables.climate_at(36.16, -86.78)
    plain, late = numbers.site(climate), numbers.site(climate, typed_last_frost=120)
    opens = [windows.warm_window(s, numbers.windows, "common-bermudagrass")[0] for s in (plain, late)]
    assert opens[1] == 160
    assert opens[0] < opens[1]


@pytest.mark.slow
def test_anywhere(numbers, tables) -> None:
    """No error, and sound windows, over random cells of the land."""
    random = np.random.default_rng(20260102)
    for latitude, longitude in zip(random.uniform(-56, 70, 80), random.uniform(-180, 180, 80), strict=True):
        site = numbers.site(tables.climate_at(float(latitude), float(longitude)))
        for key, variant in itertools.product(KEYS, ("plain", "winter-overseed")):
            sound(windows.windows(site, numbers.plants, numbers.windows, key, variant=variant))


def test_rain_divides_a_year_without_cold(numbers, site_at) -> None:
    """A year without cold: good while the rains last, fair in the dry season, and one good year where it rains always or never.

    Rain of 300 mm from June to September against 4 mm a day: 10 mm a day then, nothing else. Six weeks of rain ahead are wanted.
    """
    site = site_at(1.35, 103.82)
    dry = dataclasses.replace(
        site.climate, rain=(0.0, 0.0, 0.0, 0.0, 0.0, 300.0, 300.0, 300.0, 300.0, 0.0, 0.0, 0.0)
    )
    place = numbers.site(dry)
    wet = windows.rain_fed_days(place, [4.0] * 365, numbers.windows)
    found = windows.windows(place, numbers.plants, numbers.windows, "manilagrass/sprigs", wet=wet)
    sound(found)
    rains = next(w for w in found.windows if w.quality == "good")
    # the rain of the day passes 4 mm at the turn of May; the last day with six weeks of rain lies in the first half of September
    assert abs(dates.days_apart(rains.opens, dates.first_of_month(6))) <= 12
    assert dates.first_of_month(8) <= rains.closes <= dates.first_of_month(9) + 20
    assert (rains.why_opens, rains.why_closes) == ("rains-begin", "rains-too-short")
    assert found.quality_on(dates.first_of_month(1)) == "fair"
    for always in (np.ones(365, dtype=bool), np.zeros(365, dtype=bool), None):
        whole = windows.windows(place, numbers.plants, numbers.windows, "manilagrass/sprigs", wet=always)
        assert [(w.quality, w.days) for w in whole.windows] == [("good", 365)]
    assert (
        windows.rain_fed_days(
            numbers.site(dataclasses.replace(site.climate, rain=())), [4.0] * 365, numbers.windows
        )
        is None
    )


def test_rain_changes_nothing_where_cold_divides_the_year(numbers, site_at, at) -> None:
    wet = np.arange(365) % 2 == 0
    for key in ("common-bermudagrass/seed", "kentucky-bluegrass/seed", "hybrid-bermudagrass/sod"):
        assert windows.windows(site_at(40.42, -86.91), numbers.plants, numbers.windows, key, wet=wet) == at(
            (40.42, -86.91), key
        )
