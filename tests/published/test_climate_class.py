"""Köppen classes against the usual ones and a reference library; turf classes against the grass that public bodies recommend."""

import csv
import datetime as dt
import pathlib

import pytest

from decide import situation_from_objects
from decide.consult import Adviser
from decide.measure import classes
from tests.shared import reference

HERE = pathlib.Path(__file__).parent
SOUTHERN = ("au", "nz", "za", "ar", "cl")


def _rows(name: str) -> list[dict[str, str]]:
    with (HERE / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def _climate(tables, town: str, country: str):
    found = [p for p in tables.find_places(town) if p.country == country and not p.near]
    return tables.climate_of(found[0])


def test_usual_classes_of_towns(numbers, tables, capsys) -> None:
    """65 well-known towns with the class usually printed for them (from memory of published lists): every
    row counts. Köppen's B and C differ where the table is too wet or too dry; the mark of dry summers is
    held against the usual "s".
    """
    rows, whole, first, dry = _rows("koppen_towns.csv"), 0, 0, 0
    with capsys.disabled():
        print(f"\n{'town':16}{'usual':7}{'table':7}{'dry summers':13}class")
        for row in rows:
            got = classes.climate_class(_climate(tables, row["town"], row["country"]), numbers.classes)
            usual = row["class_usual"]
            whole += got.koppen == usual
            first += got.koppen[0] == usual[0]
            dry += (got.summers == "dry") == (usual[1] == "s")
            print(f"{row['town']:16}{usual:7}{got.koppen:7}{got.summers:13}{got.name}")
        n = len(rows)
        print(f"whole class {whole} of {n}, first letter {first} of {n}, dry summers as usual {dry} of {n}")
    assert n == 65
    assert whole >= 48
    assert first >= 53
    assert dry >= 59


# What a groundskeeper of the place would call it; names by hand, before the first run.
NAMED = [
    ("Fresno, California", "warm-with-dry-summers"), ("Sacramento, California", "warm-with-dry-summers"),
    ("Perth, AU", "warm-with-dry-summers"), ("Rome, IT", "warm-with-dry-summers"),
    ("Athens, GR", "warm-with-dry-summers"), ("Cape Town, ZA", "mild-with-dry-summers"),
    ("Denver, Colorado", "cool-and-dry"), ("Salt Lake City, Utah", "cool-and-dry"),
    ("Reno, Nevada", "cool-and-dry"), ("Spokane, Washington", "cool-and-dry"), ("Boise, Idaho", "cool-and-dry"),
    ("Chicago, US", "cool-humid"), ("London, GB", "cool-humid"), ("Christchurch, NZ", "cool-humid"),
    ("Newark, New Jersey", "nearer-cool-than-warm"), ("Lexington, Kentucky", "nearer-cool-than-warm"),
    ("Evansville, Indiana", "between-cool-and-warm"), ("Joplin, Missouri", "between-cool-and-warm"),
    ("Nashville, Tennessee", "nearer-warm-than-cool"), ("Tulsa, Oklahoma", "nearer-warm-than-cool"),
    ("Tokyo, JP", "nearer-warm-than-cool"), ("Atlanta, Georgia", "warm-humid"), ("Houston, US", "warm-humid"),
    ("Sydney, AU", "warm-humid"), ("Phoenix, US", "warm-and-dry"), ("Melbourne, AU", "mild"),
    ("Auckland, NZ", "mild"), ("Singapore, SG", "tropical"), ("Darwin, AU", "tropical"),
]  # fmt: skip


@pytest.mark.parametrize(("place", "expected"), NAMED)
def test_what_a_place_is_called(numbers, tables, place: str, expected: str) -> None:
    climate = tables.climate_of(tables.find_places(place)[0])
    assert classes.climate_class(climate, numbers.classes).name == expected


@pytest.mark.slow
def test_the_first_grass_is_of_the_season_that_is_recommended(adviser: Adviser, capsys) -> None:
    """A bare field with sprinklers in 39 towns, asked at the end of winter: the grass that comes first against
    what a state or national body (else the page named) recommends there; every row counts.
    """
    rows, met = _rows("recommended_grass.csv"), 0
    with capsys.disabled():
        print(f"\n{'town':26}{'recommended':13}{'first':6}climate")
        for row in rows:
            town, _, region = row["town"].partition(", ")
            place = {"name": town, "country": row["country"], **({"region": region} if region else {})}
            today = dt.date(2026, 8 if row["country"] in SOUTHERN else 2, 15)
            made = adviser.consult(
                situation_from_objects(
                    place=place, dates={"today": today}, means={"water": "in-ground sprinklers"},
                    zone=[{"name": "whole field", "bare_percent": 60}],
                )
            )  # fmt: skip
            first = next(w for w in made.ranked if w.draft.remedy == "establish").facts["option.season-type"]
            met += row["recommended"] in ("both", first)
            assert made.filled.climate is not None
            print(f"{row['town']:26}{row['recommended']:13}{first:6}{made.filled.climate.name}")
        print(f"as recommended {met} of {len(rows)}")
    assert len(rows) == 39
    assert met >= 36


REFERENCE = [
    "Madrid, ES", "Rome, IT", "Brisbane, AU", "Denver, Colorado", "Nairobi, KE", "Tokyo, JP", "Winnipeg, CA",
    "Cairo, EG", "Mumbai, IN", "Cape Town, ZA", "London, GB", "Sydney, AU", "Phoenix, US", "Singapore, SG",
    "Moscow, RU", "Perth, AU", "Atlanta, Georgia, US", "Minneapolis, US", "Seoul, KR", "Dublin, IE",
    "Christchurch, NZ",
]  # fmt: skip


@pytest.mark.parametrize("place", REFERENCE)
def test_koppen_as_the_reference_library(tables, place: str) -> None:
    climaclass = reference("climaclass")

    climate = tables.climate_of(tables.find_places(place)[0])
    months = climaclass.MonthlyClimate(climate.means, climate.rain, latitude=climate.latitude)
    theirs = climaclass.classify(months, ["koppen"])["koppen"].code
    assert classes.koppen(climate.means, climate.rain, climate.hemisphere) == theirs
