"""Places, normals, frost and class: examples and laws."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from decide.measure import climate as cl
from decide.measure import dates, places
from decide.measure.place_names import fold

MONTHS = st.lists(st.floats(-40, 42), min_size=12, max_size=12)


@pytest.mark.parametrize(
    ("asked", "country", "region"),
    [
        ("York, GB", "GB", "England"),
        ("york, united kingdom", "GB", "England"),
        ("York, Pennsylvania", "US", "Pennsylvania"),
        ("Springfield, Illinois", "US", "Illinois"),
        ("Springfield, MO", "US", "Missouri"),
        ("Columbia, us-mo", "US", "Missouri"),
        ("Melbourne, Australia", "AU", "Victoria"),
        ("MELBOURNE, au", "AU", "Victoria"),
        ("Melbourne, Florida, US", "US", "Florida"),
        ("London, Ontario", "CA", "Ontario"),
        ("Richmond, Virginia", "US", "Virginia"),
        ("St. Louis, Missouri", "US", "Missouri"),
        ("saint louis, MO", "US", "Missouri"),
        ("Ft. Worth", "US", "Texas"),
        ("City of Leeds, England", "GB", "England"),
        ("Leeds, West Yorkshire, England", "GB", "England"),
        ("Macon, GA", "US", "Georgia"),
        ("Billings, MT", "US", "Montana"),
    ],
)
def test_a_place_and_its_hints(tables, asked: str, country: str, region: str) -> None:
    found = tables.find_places(asked)[0]
    assert (found.country, found.region_name, found.near) == (country, region, False)
    assert found.label.endswith(found.country_name)


def test_hints_may_come_apart(tables) -> None:
    assert tables.find_places("Springfield", country_hint="US", region_hint="Illinois") == tables.find_places(
        "Springfield, IL, US"
    )


@pytest.mark.parametrize("asked", ["Zürich", "zurich", "ZURICH"])
def test_accents_and_case_do_not_count(tables, asked: str) -> None:
    assert tables.find_places(asked)[0].country == "CH"


def test_many_springfields_most_people_first(tables) -> None:
    found = tables.find_places("Springfield")
    assert len(found) >= 5
    assert [p.population for p in found] == sorted((p.population for p in found), reverse=True)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("Indianpolis", "Indianapolis"),
        ("Christchuch", "Christchurch"),
        ("Melborne", "Melbourne"),
        ("Nashvile", "Nashville"),
    ],
)
def test_near_spellings_are_marked(tables, typed: str, meant: str) -> None:
    found = tables.find_places(typed)
    assert meant in [p.name for p in found]
    assert all(p.near for p in found)


@pytest.mark.parametrize(
    ("typed", "name", "country"),
    [
        ("Lodz", "Łódź", "PL"),
        ("Tromso", "Tromsø", "NO"),
        ("Cologne", "Köln", "DE"),
        ("Wien", "Vienna", "AT"),
        ("Zuerich", "Zürich", "CH"),
        ("Newcastle, UK", "Newcastle upon Tyne", "GB"),
        ("Hull", "Kingston upon Hull", "GB"),
        ("Mullingar", "An Muileann gCearr", "IE"),
        ("Nelspruit", "Mbombela", "ZA"),
    ],
)
def test_other_letters_and_other_names(tables, typed: str, name: str, country: str) -> None:
    found = tables.find_places(typed)
    assert (found[0].name, found[0].country, found[0].near) == (name, country, False)


@pytest.mark.parametrize(
    ("typed", "country", "north"),
    [
        ("Galashiels", "GB", 55.6),
        ("Athy", "IE", 53.0),
        ("Thurles", "IE", 52.7),
        ("Bundoran", "IE", 54.5),
        ("Wagga Wagga", "AU", -35.1),
        ("Ludlow, UK", "GB", 52.4),
    ],
)
def test_a_small_town_is_found_and_has_a_climate(tables, typed: str, country: str, north: float) -> None:
    """The latitudes are from memory."""
    (place,) = tables.find_places(typed)
    assert (place.country, place.small, place.near) == (country, True, False)
    assert place.latitude == pytest.approx(north, abs=0.15)
    assert len(tables.climate_of(place).means) == 12


def test_a_town_that_most_would_mean_marks_its_namesakes(tables) -> None:
    dallas = tables.find_places("Dallas")
    assert [(place.region, place.lesser) for place in dallas] == [("TX", False), ("OR", True)]
    assert not any(place.lesser for place in tables.find_places("Perth"))


def test_another_towns_name_is_not_lent_out(tables) -> None:
    """Toronto was once called York; whoever asks for York means a York."""
    assert {place.name for place in tables.find_places("York")} == {"York"}


@pytest.mark.parametrize(
    ("typed", "first", "country"),
    [
        ("Ohio", "Columbus", "US"),
        ("State of Ohio", "Columbus", "US"),
        ("New York State", "New York City", "US"),
        ("Scotland", "Glasgow", "GB"),
        ("Ireland", "Dublin", "IE"),
    ],
)
def test_a_region_or_country_brings_its_towns(tables, typed: str, first: str, country: str) -> None:
    found = tables.find_places(typed)
    assert first in [place.name for place in found]
    assert all(place.near and place.country == country for place in found)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("Bury Saint", "Bury St Edmunds"),
        ("Wagga", "Wagga Wagga"),
    ],
)
def test_a_shortened_name_brings_the_longer_ones(tables, typed: str, meant: str) -> None:
    found = tables.find_places(typed)
    assert meant in [place.name for place in found]
    assert all(place.near for place in found)


def test_a_hint_that_nobody_knows_is_asked_back(tables) -> None:
    assert [(place.region_name, place.near) for place in tables.find_places("Leeds, West Yorkshire")] == [
        ("England", True)
    ]


@pytest.mark.slow
def test_every_place_is_found_by_its_own_name(tables) -> None:
    rows = tables.rows
    assert len(rows) == 33961
    for i in range(0, len(rows), 7):
        name = rows[i].split("|")[0]
        assert i in places._named(tables, fold(name)), name


@given(st.text(max_size=30))
def test_folding_twice_changes_nothing(text: str) -> None:
    once = fold(text)
    assert fold(once) == once
    assert once == once.strip()


@pytest.mark.parametrize(
    ("text", "folded"),
    [
        ("  São  Paulo ", "sao paulo"),
        ("St. Mary’s", "saint marys"),
        ("Łódź", "lodz"),
        ("Straße", "strasse"),
        ("Mt. Isa", "mount isa"),
        ("MT", "mt"),
    ],
)
def test_folding(text: str, folded: str) -> None:
    assert fold(text) == folded


@pytest.mark.parametrize("typed", ["", "   ", ",", "qqqqqqqqqqqq", "York, Atlantis"])
def test_nothing_found(tables, typed: str) -> None:
    assert [p for p in tables.find_places(typed) if not p.near] == []


@pytest.mark.slow
@given(st.text(max_size=30))
def test_any_text_is_answered(tables, typed: str) -> None:
    assert isinstance(tables.find_places(typed), list)


@pytest.mark.parametrize(
    ("latitude", "longitude", "source"),
    [(53.96, -1.08, "place"), (41.5, -102.9, "grid"), (36.0, -140.0, "coast"), (-54.0, 3.4, "coast")],
)
def test_where_normals_come_from(tables, latitude: float, longitude: float, source: str) -> None:
    got = tables.climate_at(latitude, longitude)
    assert got.source == source
    assert got.hemisphere == ("south" if latitude < 0 else "north")


@pytest.mark.slow
@given(st.floats(-90, 90), st.floats(-720, 720))
def test_every_point_has_a_climate(tables, latitude: float, longitude: float) -> None:
    got = tables.climate_at(latitude, longitude)
    assert len(got.means) == len(got.rain) == 12
    assert all(map(math.isfinite, (*got.means, *got.rain)))
    assert min(got.rain) >= 0


@pytest.mark.parametrize(
    ("latitude", "longitude"), [(91, 0), (-90.1, 0), (float("nan"), 0), (0, float("inf"))]
)
def test_points_off_the_earth(tables, latitude: float, longitude: float) -> None:
    with pytest.raises(ValueError, match="latitude must lie between"):
        tables.climate_at(latitude, longitude)


@given(MONTHS)
def test_normals_keep_every_month(means: list[float]) -> None:
    normals = cl.daily_normals(means)
    assert normals.shape == (365,)
    ends = np.cumsum(dates.MONTH_LENGTHS)
    assert [float(m.mean()) for m in np.split(normals, ends[:-1])] == pytest.approx(means, abs=1e-6)


@pytest.mark.slow
@given(MONTHS, st.floats(-10, 10))
def test_warmer_months_shift_the_normals(means: list[float], by: float) -> None:
    assert cl.daily_normals([m + by for m in means]) == pytest.approx(cl.daily_normals(means) + by, abs=1e-6)


@given(MONTHS, st.floats(-30, 40))
def test_crossings(numbers, means: list[float], level: float) -> None:
    year = cl.Year(cl.climate_from_means(means, latitude=50), numbers.climate)
    falls, rises = year.falls_below(level), year.rises_to(level)
    assert (falls is None) == (rises is None) == (not year.low < level <= year.peak)
    if falls is not None and rises is not None:
        assert year.normal(falls) < level <= year.normal(falls - 1)
        assert year.normal(rises - 1) < level <= year.normal(rises)


def test_it_falls_from_the_hottest_day_on_and_rises_from_the_coldest(numbers) -> None:
    """Below its own peak the year is on the very next day, and a trifle above its lowest on the next too."""
    year = cl.Year(cl.climate_from_warmest_coldest(20, 2, "north", 50), numbers.climate)
    assert year.falls_below(year.peak) == year.hottest + 1
    assert year.rises_to(year.normal(year.coldest + 1)) == year.coldest + 1


@given(MONTHS.filter(lambda m: max(m) - min(m) > 1))
def test_the_south_is_the_north_half_a_year_on(numbers, means: list[float]) -> None:
    """Six months on: month lengths differ a little, so the turning days may move by some days where the peak is flat."""
    north = cl.Year(cl.climate_from_means(means, latitude=40), numbers.climate)
    south = cl.Year(cl.climate_from_means(means[6:] + means[:6], latitude=-40), numbers.climate)
    assert south.spread == pytest.approx(north.spread)
    assert south.peak == pytest.approx(north.peak, abs=0.03 * (max(means) - min(means)) + 0.05)


@pytest.mark.parametrize(
    ("means", "words"), [([1.0] * 11, "11 numbers"), ([1.0] * 11 + [float("nan")], "twelve")]
)
def test_typed_months_that_cannot_be(means: list[float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        cl.climate_from_means(means)


@pytest.mark.parametrize(
    ("means", "hemisphere"),
    [
        ([0, 1, 5, 10, 15, 18, 20, 19, 15, 10, 5, 1], "north"),
        ([20, 19, 15, 10, 5, 1, 0, 1, 5, 10, 15, 18], "south"),
    ],
)
def test_hemisphere_from_the_months(means: list[float], hemisphere: str) -> None:
    assert cl.climate_from_means(means).hemisphere == hemisphere


@given(st.floats(5, 35), st.floats(0, 30), st.sampled_from(["north", "south"]))
def test_cosine_year(numbers, warmest: float, fall: float, hemisphere: str) -> None:
    got = cl.climate_from_warmest_coldest(warmest, warmest - fall, hemisphere)
    year = cl.Year(got, numbers.climate)
    assert year.peak == pytest.approx(warmest, abs=0.02 * fall + 1e-9)
    if fall > 1:
        assert abs(dates.days_apart(year.hottest, 197 if hemisphere == "north" else 16)) <= 2


def test_warmest_month_that_is_colder() -> None:
    with pytest.raises(ValueError, match="change them over"):
        cl.climate_from_warmest_coldest(5, 20, "north")


def test_higher_ground_is_colder(numbers, tables) -> None:
    """0.65 C for each 100 m: standard atmosphere, from memory."""
    town = tables.climate_at(46.95, 7.45)
    assert cl.raised(town, 400, numbers.climate).means == pytest.approx([m - 2.6 for m in town.means])
    assert cl.raised(cl.raised(town, 400, numbers.climate), -400, numbers.climate).means == pytest.approx(
        town.means
    )


@given(st.floats(-2000, 2000))
def test_a_difference_of_height_counts_without_a_jump(numbers, metres: float) -> None:
    n = numbers.climate
    town = cl.climate_from_means([float(m) for m in range(12)])
    here, a_little_on = (cl.at_town(town, m, n).means[0] for m in (metres, metres + 1))
    # The steepest part makes up for the band that is left alone.
    whole = n.town_height_whole_m
    steepest = n.town_lapse_c_per_100_m / 100 * (2 * whole - n.town_height_least_m)
    assert 0 <= here - a_little_on <= steepest / (whole - n.town_height_least_m) + 1e-9


def test_small_differences_of_height_are_left_alone_and_large_ones_count_whole(numbers) -> None:
    n = numbers.climate
    town = cl.climate_from_means([10.0] * 12)
    assert cl.at_town(town, n.town_height_least_m, n) == town
    assert cl.at_town(town, -1000, n).means == pytest.approx([10 + 10 * n.town_lapse_c_per_100_m] * 12)
    assert cl.at_town(town, -1000, n).miss_c == n.height_miss_c


@pytest.mark.slow
@given(st.floats(-60, 75), st.floats(-180, 180))
def test_every_point_has_a_height(tables, latitude: float, longitude: float) -> None:
    assert -450 < tables.height_at(latitude, longitude) < 6000


@pytest.mark.parametrize(("latitude", "longitude"), [(91, 0), (float("nan"), 0), (0, float("inf"))])
def test_no_height_off_the_earth(tables, latitude: float, longitude: float) -> None:
    with pytest.raises(ValueError, match="latitude must lie between"):
        tables.height_at(latitude, longitude)


@given(st.floats(0, 35), st.floats(0, 40))
def test_a_year_drawn_to_two_months(tables, warmest: float, fall: float) -> None:
    town = tables.climate_at(-37.81, 144.96)
    got = cl.climate_stretched(town, warmest, warmest - fall)
    assert (got.warmest, got.coldest) == pytest.approx((warmest, warmest - fall), abs=1e-9)
    assert (got.rain, got.hemisphere) == (town.rain, "south")


def test_a_year_without_shape_is_drawn_as_a_cosine(numbers) -> None:
    flat = cl.climate_from_means([26.0] * 12, latitude=1)
    assert (
        cl.climate_stretched(flat, 28, 25).means
        == cl.climate_from_warmest_coldest(28, 25, flat.hemisphere, 1).means
    )


@pytest.mark.parametrize(
    ("place", "kind"),
    [
        ((40.42, -86.91), "usual"),
        ((1.35, 103.82), "rare"),
        ((4.70, -74.07), "rare"),
        ((36.8, 10.18), "some-years"),
        ((-1.29, 36.82), "rare"),
    ],
)
def test_kinds_of_frost(numbers, tables, place, kind: str) -> None:
    """Tunis: frost in 5 winters of 23; the others from memory."""
    year = cl.Year(tables.climate_at(*place), numbers.climate)
    assert cl.frost(year, numbers.climate).kind == kind


def test_frost_level_by_latitude(numbers) -> None:
    """By hand: 21.6 - 0.26 x 54 = 7.56; at 39 degrees 11.46; at 34 degrees 12.76."""
    assert [cl.frost_level(x, numbers.climate) for x in (54, -39, 34)] == pytest.approx([7.56, 11.46, 12.76])


def test_a_typed_frost_day_moves_the_killing_frost(numbers, tables) -> None:
    year = cl.Year(tables.climate_at(40.42, -86.91), numbers.climate)
    computed = cl.frost(year, numbers.climate)
    typed = cl.frost(year, numbers.climate, typed_first=computed.first - 14, typed_last=120)
    assert (typed.first, typed.last) == (computed.first - 14, 120)
    assert typed.killing < computed.killing
    assert typed.killing > typed.first
    assert (typed.doubt_days, computed.doubt_days) == (0, 12)


def test_the_equator_is_counted_to_the_north(tables) -> None:
    assert tables.cell_climate_at(0.0, 10.0).hemisphere == "north"
    assert tables.cell_climate_at(-0.01, 10.0).hemisphere == "south"


def test_a_climate_bears_the_name_of_the_town_that_it_is_taken_from(tables) -> None:
    york = tables.find_places("York", "GB")[0]
    town, wild = tables.cell_climate_at(york.latitude, york.longitude), tables.cell_climate_at(66.0, 105.0)
    assert (town.source, town.note) == ("place", "York")
    assert (wild.source, wild.note) == ("grid", "")
