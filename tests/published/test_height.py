"""The climate table, corrected to a station's height, against published normals of stations at altitude."""

from typing import NamedTuple

import pytest

from decide.measure import climate as cl
from decide.measure import places


class Station(NamedTuple):
    """A station: where it stands, its height, and its twelve monthly means, or only the yearly one, in F or C."""

    name: str
    latitude: float
    longitude: float
    height_m: float
    means: tuple[float, ...]
    unit: str = "F"

    def celsius(self) -> list[float]:
        return [(m - 32) / 1.8 for m in self.means] if self.unit == "F" else list(self.means)


STATIONS = [
    # National Climatic Data Center, monthly normals 1971-2000, pages of the Western Regional Climate Center (excerpts seen); positions and heights from memory.
    Station(
        "Waterdale, Colorado",
        40.43,
        -105.21,
        1594,
        (27.9, 31.6, 38.8, 46.2, 55.4, 64.8, 70.5, 68.8, 60.3, 49.2, 36.8, 29.6),
    ),
    Station(
        "Denver Stapleton, Colorado",
        39.77,
        -104.87,
        1611,
        (29.2, 33.2, 39.6, 47.6, 57.2, 67.6, 73.4, 71.7, 62.4, 51.0, 37.5, 30.3),
    ),
    Station(
        "Gateway, Colorado",
        38.68,
        -108.97,
        1387,
        (30.5, 37.7, 46.4, 53.7, 62.3, 71.7, 77.0, 75.0, 66.8, 54.3, 41.7, 32.2),
    ),
    # The same pages, normals 1961-1990.
    Station(
        "Lake George 8 SW, Colorado",
        38.91,
        -105.47,
        2606,
        (13.5, 17.9, 25.9, 35.7, 45.4, 54.7, 60.7, 58.7, 51.2, 41.4, 27.8, 16.6),
    ),
    # The same pages, record of 1948-2006.
    Station(
        "Westcliffe, Colorado",
        38.13,
        -105.47,
        2396,
        (23.3, 26.1, 32.7, 40.6, 49.5, 58.1, 62.9, 60.9, 54.2, 43.9, 31.9, 24.3),
    ),
    # A Colorado water plan, normals 1951-1980, with heights of 7,525 and 4,810 ft (excerpt seen); yearly means.
    Station("Estes Park, Colorado", 40.38, -105.52, 2294, (43.2,)),
    Station("Greeley, Colorado", 40.42, -104.70, 1466, (49.1,)),
    # MeteoSwiss normals 1991-2020, station at 1,594 m, as repeated on a page (excerpt seen); yearly mean.
    Station("Davos, Switzerland", 46.81, 9.84, 1594, (4.0,), "C"),
    # An encyclopedia's climate table, whole degrees (excerpt seen); the airport's height from memory.
    Station("La Paz, Bolivia", -16.51, -68.19, 4061, (8, 8, 8, 7, 6, 5, 5, 6, 7, 8, 8, 8), "C"),
    # Servicio Meteorologico Nacional, normals 1981-2000, as repeated in an encyclopedia (excerpt seen); height from memory.
    Station(
        "Mexico City, Tacubaya",
        19.40,
        -99.20,
        2308,
        (14.6, 15.9, 18.1, 19.6, 20.0, 19.4, 18.2, 18.3, 18.0, 17.1, 16.3, 15.0),
        "C",
    ),
    # World Meteorological Organization, city page as repeated on a statistics page (excerpt seen): half of low and high; 1,798 m.
    Station(
        "Nairobi, Kenya",
        -1.30,
        36.75,
        1798,
        (18.0, 18.6, 19.35, 19.05, 17.9, 16.25, 15.35, 15.8, 17.1, 18.6, 18.1, 18.0),
        "C",
    ),
]
# Uncorrected, the table was 1.0 to 2.4 C off at the worse of 24 stations (knowledge/climate/README.md), and the older
# records here ran up to 1 C colder than the table's years: so 2 C over the year and 3.5 C in the worst month are let pass.
YEAR_C, MONTH_C = 2.0, 3.5


def misses(climate: cl.Climate, station: Station) -> list[float]:
    printed = station.celsius()
    table = list(climate.means) if len(printed) == 12 else [sum(climate.means) / 12]
    return [abs(a - b) for a, b in zip(table, printed, strict=True)]


def mean(numbers: list[float]) -> float:
    return sum(numbers) / len(numbers)


@pytest.mark.parametrize("station", STATIONS, ids=[station.name for station in STATIONS])
def test_corrected_to_the_station(tables: places.Tables, numbers, station: Station) -> None:
    plain = tables.cell_climate_at(station.latitude, station.longitude)
    higher = station.height_m - tables.height_at(station.latitude, station.longitude)
    after = misses(cl.raised(plain, higher, numbers.climate), station)
    assert mean(after) <= YEAR_C
    assert max(after) <= MONTH_C
    if abs(higher) > 250:
        assert mean(after) < mean(misses(plain, station))


def test_some_stations_lie_far_from_the_height_of_their_cell(tables: places.Tables) -> None:
    far = [s.name for s in STATIONS if abs(s.height_m - tables.height_at(s.latitude, s.longitude)) > 250]
    assert len(far) >= 4


def test_heights_of_plain_country(tables: places.Tables) -> None:
    """Towns on wide plains, heights from memory: Dodge City 760 m, Bloemfontein 1,400 m, Madrid 660 m, Winnipeg 240 m, Amsterdam 0 m."""
    for latitude, longitude, height in (
        (37.75, -100.02, 760),
        (-29.12, 26.22, 1400),
        (40.42, -3.70, 660),
        (49.90, -97.14, 240),
        (52.37, 4.90, 0),
    ):
        assert tables.height_at(latitude, longitude) == pytest.approx(height, abs=100)
