"""Reference evapotranspiration from the tables against published monthly values: every town, every month.

Printed with `-s`. Sources of the rows of reference_evapotranspiration.csv, all excerpts that public files repeat:
zones are those of the Reference Evapotranspiration Zones map, California Department of Water Resources and University of
California, 1999 (the zone of a town by the map's own names of its zones, else from memory); the city ordinance is that of
Vacaville, 2022, table 14.27.030.A; grid and station are those of the Food and Agriculture Organization's climate data for
irrigation (Penman and Monteith). The towns of weather files come with an installed package: their daily values are averaged.
"""

from __future__ import annotations

import csv
import pathlib
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from decide.measure import climate as cl
from decide.measure import dates, water
from decide.measure.numbers import GrowthConstants
from decide.measure.places import Tables
from tests.shared import weather_files

INCH_MM = 25.4
WITHIN = 0.15
# Below so much a day turf stands still, and a tenth of a millimetre is a tenth of the whole.
GROWS_MM = 1.0
DATA, needs_data = weather_files()
# Latitude and longitude; those of the English counties are their middle, from memory.
FILES = {
    "brussels": (50.80, 4.36), "champion": (40.40, -101.73), "tunis": (36.80, 10.18), "cordoba": (-31.40, -64.20),
    "hyderabad": (17.53, 78.27), "cambridge": (52.2, 0.13), "suffolk": (52.2, 1.0), "norfolk": (52.7, 1.0),
    "lincolnshire": (53.1, -0.2), "north_yorks": (54.2, -1.5), "northumberland": (55.2, -2.0),
}  # fmt: skip


class Row(NamedTuple):
    """A town with published reference evapotranspiration by month, mm a day."""

    town: str
    at: tuple[float, float]
    published: tuple[float, ...]
    source: str


def printed() -> Iterator[Row]:
    path = pathlib.Path(__file__).parent / "reference_evapotranspiration.csv"
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            months = [float(row[name]) for name in list(row)[4:16]]
            if row["unit"] == "in/month":
                months = [m * INCH_MM / days for m, days in zip(months, dates.MONTH_LENGTHS, strict=True)]
            at = float(row["latitude"]), float(row["longitude"])
            yield Row(row["town"], at, tuple(months), row["source"])


def files() -> Iterator[Row]:
    assert DATA is not None
    for name, at in FILES.items():
        lines = (DATA / f"{name}_climate.txt").read_text(encoding="utf-8").splitlines()[1:]
        days = np.array([[float(x) for x in line.split()] for line in lines if line.strip()])
        months = [float(days[days[:, 1] == month, 6].mean()) for month in range(1, 13)]
        yield Row(name, at, tuple(months), "weather file")


def shares(row: Row, numbers: GrowthConstants, tables: Tables) -> list[float]:
    """What is worked out over what is published, by month."""
    year = cl.Year(tables.climate_at(*row.at), numbers.climate)
    here = water.Demand(year, "", numbers.water)
    days = [here.reference(day) or 0.0 for day in range(1, dates.YEAR + 1)]
    months = np.split(np.array(days), np.cumsum(dates.MONTH_LENGTHS)[:-1])
    return [float(m.mean()) / p for m, p in zip(months, row.published, strict=True)]


class Reached(NamedTuple):
    """Shares within the limit: of all months, of those in which grass grows, of the six of most need, of years."""

    all: float
    growing: float
    most_need: float
    years: float


def told(rows: list[Row], numbers: GrowthConstants, tables: Tables) -> Reached:
    """Prints every month, and what is reached."""
    all_months: list[bool] = []
    growing: list[bool] = []
    most_need: list[bool] = []
    years: list[bool] = []
    for row in rows:
        found = shares(row, numbers, tables)
        year = sum(f * p for f, p in zip(found, row.published, strict=True)) / sum(row.published)
        print(f"{row.town:15s} {year:5.2f} |", *(f"{f:5.2f}" for f in found), "|", row.source)
        good = [abs(f - 1) <= WITHIN for f in found]
        half = sorted(row.published)[6]
        all_months += good
        growing += [ok for ok, p in zip(good, row.published, strict=True) if p >= GROWS_MM]
        most_need += [ok for ok, p in zip(good, row.published, strict=True) if p >= half]
        years.append(abs(year - 1) <= WITHIN)
    reached = Reached(*(sum(ok) / len(ok) for ok in (all_months, growing, most_need, years)))
    print(
        f"within {WITHIN:.0%}:", ", ".join(f"{name} {share:.0%}" for name, share in reached._asdict().items())
    )
    return reached


def test_towns_of_printed_tables(numbers: GrowthConstants, tables: Tables) -> None:
    """Not reached in every month: too much in foggy valley winters, too little in windy summers inland of a bay."""
    reached = told(list(printed()), numbers, tables)
    assert len(list(printed())) >= 14
    assert reached.all >= 0.78
    assert reached.growing >= 0.83
    assert reached.most_need >= 0.88
    assert reached.years == 1


@needs_data
def test_towns_of_weather_files(numbers: GrowthConstants, tables: Tables) -> None:
    """Short of the aim: one factor a year leaves the windy winters of England and Nebraska too low, by up to half of
    less than 1 mm a day; in summer they are met. The file of Cordoba stands a fifth above the table all year.
    """
    reached = told(list(files()), numbers, tables)
    assert reached.all >= 0.46
    assert reached.growing >= 0.55
    assert reached.most_need >= 0.7
    assert reached.years >= 0.54
