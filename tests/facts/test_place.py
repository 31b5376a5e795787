"""From what is told of a place to its climate: every way of telling, and what cannot be read."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from decide.facts.complete import fill
from decide.facts.filled import Filled
from decide.facts.library import Library
from decide.model.errors import SituationError
from decide.model.reading import read_situation, situation_from_dict
from tests.shared import knowledge

MELBOURNE = [20.7, 20.9, 18.7, 15.6, 12.6, 10.2, 9.6, 10.5, 12.3, 14.5, 16.6, 18.8]


@cache
def library() -> Library:
    return Library(knowledge())


def filled(**place: Any) -> Filled:
    return fill(situation_from_dict({"place": place, "dates": {"today": "2026-05-20"}}), library())


def notes(got: Filled, key: str) -> str:
    return "; ".join(note for name, _, _, note in got.notes if name == key)


def means(got: Filled) -> list[float]:
    assert got.season is not None
    return list(got.season.site.year.climate.means)


def refusal(**place: Any) -> str:
    with pytest.raises(SituationError) as error:
        filled(**place)
    return str(error.value)


@pytest.mark.parametrize(
    ("place", "label"),
    [
        ({"name": "York", "country": "England"}, "York, England, United Kingdom"),
        ({"name": "York, England"}, "York, England, United Kingdom"),
        ({"name": "york", "country": "gb"}, "York, England, United Kingdom"),
        ({"name": "City of York", "country": "uk"}, "York, England, United Kingdom"),
        ({"name": "Macon, GA"}, "Macon, Georgia, United States"),
        ({"name": "Macon", "region": "Georgia", "country": "usa"}, "Macon, Georgia, United States"),
        ({"name": "St. Louis", "country": "us"}, "St. Louis, Missouri, United States"),
        ({"name": "Saint Louis, Missouri"}, "St. Louis, Missouri, United States"),
        ({"name": "São Paulo"}, "São Paulo, Brazil"),
        ({"name": "sao paulo"}, "São Paulo, Brazil"),
        ({"name": "Springfield", "region": "us-il"}, "Springfield, Illinois, United States"),
        ({"name": "Melbourne", "hemisphere": "south"}, "Melbourne, Victoria, Australia"),
        ({"name": "Melbourne", "hemisphere": "north"}, "Melbourne, Florida, United States"),
        ({"name": "Leeds, West Yorkshire, England"}, "Leeds, England, United Kingdom"),
        ({"name": "Cologne"}, "Köln, Germany"),
        ({"name": "Zuerich"}, "Zürich, ZH, Switzerland"),
    ],
)
def test_a_town_however_it_is_written(place: dict[str, str], label: str) -> None:
    got = filled(**place)
    assert got.place_label == label
    assert got.season is not None
    assert "world table" in notes(got, "place.monthly_mean_c")


def test_a_town_gives_country_region_and_hemisphere() -> None:
    got = filled(name="Melbourne", country="australia")
    assert (got.country, got.region, got.hemisphere) == ("au", "au-vic", "south")
    # Melbourne, Australia, 1991-2020: January about 21, July about 10 C, from memory.
    assert means(got)[0] == pytest.approx(21, abs=1.5)
    assert means(got)[6] == pytest.approx(10, abs=1.5)


def test_where_a_town_lies_is_told_to_a_hundredth_of_a_degree() -> None:
    """About a kilometre; York lies at 53.96 N, 1.08 W by every map."""
    told = {key: value for key, value, _, _ in filled(name="York", country="gb").notes}
    assert (told["place.latitude"], told["place.longitude"]) == (53.96, -1.08)


def test_several_towns_are_listed_with_their_regions() -> None:
    said = refusal(name="Springfield")
    for region in ("Missouri", "Massachusetts", "Illinois"):
        assert f"Springfield, {region}, United States" in said
    assert "place.region" in said


def test_namesakes_of_one_region_are_told_apart_by_where_they_lie() -> None:
    found = library().tables.find_places("Colón, Argentina")
    assert len(found) > 1
    assert len({place.label for place in found}) == len(found)


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ({"name": "Melborne", "country": "au"}, "Did you mean: Melbourne, Victoria, Australia"),
        ({"name": "Indianpolis"}, "Did you mean: Indianapolis, Indiana, United States"),
        ({"name": "York, Atlantis"}, "York, England, United Kingdom"),
        ({"name": "Qqqqxzz"}, "latitude and longitude"),
        ({"name": "Ohio"}, "'Ohio' is a country or region"),
        ({"name": "Ohio"}, "Columbus, Ohio, United States"),
        ({"name": "New Zealand"}, "Auckland"),
        ({"name": "Sydney", "country": "au", "hemisphere": "north"}, "half of the earth"),
    ],
)
def test_a_name_that_is_no_town_brings_what_was_meant(place: dict[str, str], words: str) -> None:
    assert words in refusal(**place)


def test_coordinates() -> None:
    got = filled(latitude=-37.81, longitude=144.96)
    assert got.hemisphere == "south"
    assert means(got)[0] == pytest.approx(21, abs=1.5)


def test_twelve_means_stand_above_the_table() -> None:
    got = filled(name="York, England", monthly_mean_c=MELBOURNE, hemisphere="north")
    assert means(got) == MELBOURNE
    assert got.season is not None
    # The table still knows York's rain.
    assert len(got.season.site.year.climate.rain) == 12


def test_twelve_means_alone_tell_the_hemisphere() -> None:
    assert filled(monthly_mean_c=MELBOURNE).hemisphere == "south"


@pytest.mark.parametrize("name", ["Nowhere-on-the-Wold", "Springfield"])
def test_with_own_months_a_name_need_not_be_known(name: str) -> None:
    got = filled(name=name, monthly_mean_c=MELBOURNE)
    assert means(got) == MELBOURNE
    assert "your own months" in notes(got, "place.latitude")


def test_typed_rain_stands_above_the_table() -> None:
    got = filled(name="York, England", monthly_rain_mm=[10.0] * 12)
    assert got.season is not None
    assert got.season.site.year.climate.rain == (10.0,) * 12


def test_warmest_and_coldest_month_with_a_hemisphere() -> None:
    got = filled(warmest_month_c=20, coldest_month_c=2, hemisphere="south")
    assert got.hemisphere == "south"
    # A cosine year: the mean of a month of 31 days about the peak lies 1.1 % of the half range below it, 0.1 C here.
    assert means(got)[0] == pytest.approx(20, abs=0.3)
    assert means(got)[6] == pytest.approx(2, abs=0.3)
    assert "even year" in notes(got, "place.monthly_mean_c")


def test_in_degrees_fahrenheit() -> None:
    assert means(filled(warmest_month_f=68, coldest_month_f=35.6, hemisphere="south")) == pytest.approx(
        means(filled(warmest_month_c=20, coldest_month_c=2, hemisphere="south"))
    )


def test_with_a_town_its_year_is_drawn_to_the_two_months() -> None:
    plain, got = (
        filled(name="York, England"),
        filled(name="York, England", warmest_month_c=18, coldest_month_c=3),
    )
    assert (max(means(got)), min(means(got))) == pytest.approx((18, 3))
    order = sorted(range(12), key=means(plain).__getitem__)
    assert sorted(range(12), key=means(got).__getitem__) == order
    assert got.place_label == "York, England, United Kingdom"


def test_higher_ground_by_the_difference_from_the_town() -> None:
    """0.65 C for each 100 m above the town, the value in use; telling the town's own height changes nothing."""
    town_m = library().tables.town_height_at(46.95, 7.45)
    assert town_m is not None
    plain = filled(latitude=46.95, longitude=7.45)
    got = filled(latitude=46.95, longitude=7.45, altitude_m=town_m + 400)
    assert means(got) == pytest.approx([m - 2.6 for m in means(plain)])
    assert f"the field lies at {town_m + 400:.0f} m" in notes(got, "correction for height")
    assert means(filled(latitude=46.95, longitude=7.45, altitude_m=town_m)) == pytest.approx(means(plain))


def test_a_town_in_a_deep_valley_has_its_own_temperatures() -> None:
    """Innsbruck, 574 m (from memory), in a cell of 1,660 m: 0.55 C for each 100 m, and the note says so."""
    got = filled(name="Innsbruck")
    tables = library().tables
    assert got.latitude is not None
    plain = tables.cell_climate_at(got.latitude, 11.4)
    apart = tables.height_at(got.latitude, 11.4) - 574
    assert means(got) == pytest.approx([m + 0.0055 * apart for m in plain.means], abs=0.15)
    said = notes(got, "correction for height")
    assert "warmer" in said
    assert "Innsbruck lies at" in said
    assert "1660 m" in said


def test_the_note_on_height_speaks_the_units_of_the_place() -> None:
    """Boulder, 5,430 feet (from memory), in a cell some 1,600 feet higher."""
    said = notes(filled(name="Boulder, Colorado"), "correction for height")
    assert "°F warmer" in said
    assert "ft" in said
    assert " m," not in said


def test_a_town_near_the_height_of_its_cell_is_left_alone() -> None:
    got = filled(name="Leeds, England")
    assert got.latitude is not None
    assert means(got) == list(library().tables.cell_climate_at(got.latitude, -1.55).means)
    assert notes(got, "correction for height") == ""
    assert "place.altitude_m" in notes(got, "place.monthly_mean_c")


def test_far_from_any_town_the_normals_stand_for_the_mean_of_the_ground() -> None:
    """The middle of the Simpson Desert, some 150 km from a town."""
    got = filled(latitude=-25.0, longitude=137.0)
    assert library().tables.town_height_at(-25.0, 137.0) is None
    assert notes(got, "correction for height") == ""


def test_months_of_the_persons_own_carry_no_miss_of_the_table() -> None:
    own, table = filled(name="Innsbruck", monthly_mean_c=MELBOURNE), filled(name="Innsbruck")
    assert own.site is not None
    assert table.site is not None
    assert own.site.year_shift == own.site.rules.year_shift
    assert table.site.year_shift > filled(name="Leeds, England").site.year_shift > own.site.year_shift  # type: ignore[union-attr]


def test_height_in_feet() -> None:
    in_feet, in_metres = (
        means(filled(name="York, England", **height))
        for height in ({"altitude_ft": 1000}, {"altitude_m": 304.8})
    )
    assert in_feet == pytest.approx(in_metres)


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ({"monthly_mean_c": MELBOURNE, "altitude_m": 900}, "your own months hold"),
        (
            {"warmest_month_c": 20, "coldest_month_c": 2, "hemisphere": "north", "altitude_m": 900},
            "your own months hold",
        ),
        ({"altitude_m": 900}, "without a town or coordinates"),
    ],
)
def test_height_that_cannot_be_used_is_said(place: dict[str, Any], words: str) -> None:
    got = filled(**place)
    assert words in notes(got, "correction for height")
    assert ("monthly_mean_c" not in place) or means(got) == MELBOURNE


@pytest.mark.parametrize(
    "place",
    [{"first_frost": "10-15", "last_frost": "04-20", "hemisphere": "north"}, {"first_frost": "10-15"}],
)
def test_frost_days_alone_give_no_climate_and_say_what_is_missing(place: dict[str, str]) -> None:
    got = filled(**place)
    assert got.season is None
    said = notes(got, "climate")
    for word in ("frost days alone", "town", "latitude", "warmest"):
        assert word in said


def test_frost_days_with_two_months_are_used() -> None:
    got = filled(
        first_frost="10-15", last_frost="04-20", hemisphere="north", warmest_month_c=22, coldest_month_c=-3
    )
    assert got.season is not None
    # 15 October is day 288, 20 April day 110.
    assert (got.season.site.frost.first, got.season.site.frost.last) == (288, 110)


@pytest.mark.parametrize("place", [{"country": "us"}, {"region": "Ohio"}, {"hemisphere": "north"}])
def test_a_country_or_half_of_the_earth_is_too_wide(place: dict[str, str]) -> None:
    got = filled(**place)
    assert got.season is None
    assert "several climates" in notes(got, "climate")


def test_nothing_told_is_no_mistake() -> None:
    got = filled()
    assert got.season is None
    assert notes(got, "climate") == ""


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ({"latitude": 50}, "place.latitude stands without place.longitude"),
        ({"longitude": 8}, "place.longitude stands without place.latitude"),
        ({"warmest_month_c": 20}, "place.warmest_month_c stands without place.coldest_month_c"),
        (
            {"coldest_month_c": 2, "hemisphere": "north"},
            "place.coldest_month_c stands without place.warmest_month_c",
        ),
        ({"warmest_month_c": 20, "coldest_month_c": 2}, "Add place.hemisphere"),
        ({"warmest_month_c": 2, "coldest_month_c": 20, "hemisphere": "north"}, "Change them over"),
        (
            {"monthly_mean_c": MELBOURNE, "warmest_month_c": 20, "coldest_month_c": 2},
            "says the warmest and the coldest month already",
        ),
        ({"latitude": 50, "longitude": 8, "hemisphere": "south"}, "lies in the north"),
        ({"latitude": -37, "longitude": 145, "hemisphere": "north"}, "lies in the south"),
        ({"latitude": 91, "longitude": 8}, "at most 70"),
        ({"latitude": 50, "longitude": 500}, "at most 180"),
        ({"name": "York, England", "altitude_m": 9000}, "at most 6000"),
        ({"name": "York, England", "altitude_m": -1000}, "at least -430"),
        ({"name": "York, England", "altitude_m": "high"}, "not a number"),
        ({"name": "York, England", "altitude_m": float("nan")}, "finite"),
        ({"name": "York, England", "altitude_m": 100, "altitude_ft": 300}, "twice"),
        ({"monthly_mean_c": MELBOURNE[:11]}, "11"),
        ({"monthly_mean_c": [*MELBOURNE[:11], float("nan")]}, "finite"),
        ({"monthly_mean_c": [*MELBOURNE[:11], 200]}, "at most 50"),
        ({"warmest_month_c": float("inf"), "coldest_month_c": 2, "hemisphere": "north"}, "finite"),
        ({"name": "York", "hemisphere": "east"}, "north"),
        ({"name": "York", "altitude": 100}, "altitude_m"),
        ({"first_frost": "13-40"}, "month and day"),
    ],
)
def test_what_cannot_be_read_is_said_plainly(place: dict[str, Any], words: str) -> None:
    assert words in refusal(**place)


@pytest.mark.parametrize("name", ["|", "York|GB", ", , ,", "(((", "a" * 199, "ʼ", "City of"])
def test_odd_names_are_no_town(name: str) -> None:
    assert "place.name" in refusal(name=name)


@pytest.mark.parametrize("name", ["\x00", "\n\n", ""])
def test_empty_names_are_no_answer(name: str) -> None:
    assert filled(name=name).season is None


def test_nan_in_a_file_is_refused() -> None:
    with pytest.raises(SituationError, match="finite"):
        read_situation("[place]\nlatitude = nan\nlongitude = 8.0\n")
