"""Towns by name and the climate tables by place."""

import dataclasses
import functools
import io
import math
import pathlib
import re
import tomllib
import typing
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from decide.measure.climate import Climate, ClimateNumbers, Floats, Ints, at_town
from decide.measure.packed import Packed, months_of_cell, unpack_months
from decide.measure.place_names import CloseNames, Lines, fold, without_kind
from decide.measure.small_towns import SmallTowns

KM_PER_DEGREE = 111.2
_POLE = 90
# shorter names of countries are codes, which are words of their own too
_SHORTEST_COUNTRY = 4


@dataclasses.dataclass(frozen=True)
class Place:
    """A named place of the table; population is rounded; `near` marks one that was not asked for in just
    these words.

    `spot` tells it from another place of the same name and region; `lesser` marks one with a namesake in its
    country that most would mean, `small` one of the small towns.
    """

    name: str
    country: str
    country_name: str
    region: str
    region_name: str
    latitude: float
    longitude: float
    population: int
    near: bool = False
    spot: str = ""
    lesser: bool = False
    small: bool = False

    def table(self) -> dict[str, typing.Any]:
        """The place as a table for [place], with the words to show it and how sure it is."""
        return {
            "name": self.name,
            "country": self.country.lower(),
            "region": self.region_name,
            "latitude": round(self.latitude, 2),
            "longitude": round(self.longitude, 2),
            "say": self.label,
            "near": self.near,
            "lesser": self.lesser,
            "small": self.small,
        }

    @property
    def label(self) -> str:
        """Name, region and country for showing to a person."""
        words = ", ".join(x for x in (self.name, self.region_name, self.country_name) if x)
        return f"{words} ({self.spot})" if self.spot else words


class _Listed(typing.Protocol):
    """Places by row: of the table with climate cells, or of the small towns."""

    @property
    def rows(self) -> Sequence[str]: ...

    @property
    def spots(self) -> tuple[Floats, Floats, Floats]: ...


class Tables:
    """The climate and place tables of one folder; each file is read when first needed."""

    def __init__(self, folder: str | pathlib.Path, numbers: ClimateNumbers) -> None:
        self._folder = pathlib.Path(folder)
        self._packed = Packed(folder)
        self._numbers = numbers
        self._towns = SmallTowns(folder)

    @functools.cached_property
    def _names(
        self,
    ) -> tuple[
        dict[str, str], dict[tuple[str, str], str], dict[str, set[str]], dict[str, set[tuple[str, str]]]
    ]:
        """Names by code, and folded spellings to codes, of countries and of regions; a region's code goes
        with its country's.
        """
        with (self._folder / "names.toml").open("rb") as file:
            data = tomllib.load(file)
        country_names = {code: names[0] for code, names in data["countries"].items()}
        region_names = {
            (country, code): names[0] for country, of in data["regions"].items() for code, names in of.items()
        }
        countries: dict[str, set[str]] = {}
        regions: dict[str, set[tuple[str, str]]] = {}
        for code, names in data["countries"].items():
            for name in (code, *names):
                countries.setdefault(fold(name), set()).add(code)
        for country, of in data["regions"].items():
            for code, names in of.items():
                for name in names:
                    regions.setdefault(fold(name), set()).add((country, code))
        return country_names, region_names, countries, regions

    def region_code(self, country: str, name: str) -> str | None:
        """The code of a region by its name in a country (two letters); None where there is none, or
        several.
        """
        _, _, _, regions = self._names
        found = {code for where, code in regions.get(fold(name), set()) if where == country.upper()}
        return found.pop() if len(found) == 1 else None

    @functools.cached_property
    def _grid(self) -> tuple[Ints, Floats, Floats, float, float, float, int]:
        table = self._packed.read("climate_grid.npz")
        temperature, rain = unpack_months(table)
        key = np.cumsum(table["cell"].astype(np.int64))
        return (
            key,
            temperature,
            rain,
            float(table["lat0"]),
            float(table["lon0"]),
            float(table["step"]),
            int(table["ncol"]),
        )

    @functools.cached_property
    def _places(self) -> np.lib.npyio.NpzFile:
        """The table of places; each of its arrays is read when it is asked for."""
        return typing.cast(
            np.lib.npyio.NpzFile,
            np.load(io.BytesIO((self._folder / "places.npz").read_bytes()), allow_pickle=False),
        )

    @functools.cached_property
    def rows(self) -> Lines:
        """Name, country code and region code of each place, joined by bars."""
        return Lines(b"\n" + self._places["text"].tobytes() + b"\n")

    @property
    def _small(self) -> Lines:
        """The rows in small letters: where a name is no more than that when folded, it is found here."""
        return self.rows.small

    @functools.cached_property
    def _spellings(self) -> tuple[tuple[Lines, Ints], tuple[Lines, Ints]]:
        """Folded names that are not in `_small`, and other names of large towns, with the row of each."""
        table = self._packed.read("spellings.npz")
        folded, other = (
            (
                Lines(b"\n" + table[f"{kind}_text"].tobytes() + b"\n"),
                np.cumsum(table[f"{kind}_row"].astype(np.int64)),
            )
            for kind in ("folded", "other")
        )
        return folded, other

    @functools.cached_property
    def _spots(self) -> tuple[Floats, Floats, Floats, Ints]:
        """Latitude, longitude, population and number of the climate cell of each place."""
        table = self._places
        index = np.cumsum(table["dcell"].astype(np.int64))
        cell = np.cumsum(table["cell"].astype(np.int64))[index]
        latitude = 90 - (cell // 1440) * 0.25 + table["dlat"].astype(np.int64) / 100.0
        longitude = (-180 + (cell % 1440) * 0.25 + table["dlon"].astype(np.int64) / 100.0 + 180) % 360 - 180
        return latitude, longitude, 10000 * 2.0 ** (table["pop"].astype(np.int64) / 20.0), index

    @property
    def spots(self) -> tuple[Floats, Floats, Floats]:
        """Latitude, longitude and population of each place."""
        return self._spots[:3]

    @functools.cached_property
    def _place_months(self) -> dict[str, npt.NDArray[np.generic]]:
        """Temperature and rain of the climate cells of the places, still packed."""
        return {key: self._places[key] for key in ("mean", "dev", "rain")}

    def find_places(
        self, name: str, country_hint: str | None = None, region_hint: str | None = None, most: int = 8
    ) -> list[Place]:
        """Places of that name, most people first; else what comes close, marked `near`.

        Commas in the name give hints too: "Springfield, Illinois", "York, GB". Accents, case, "St" for
        "Saint" and words such as "City of" do not count. Close is: for a country or region the towns in it, a
        longer name that begins so, the name in another country or region than the hints say, and a near
        spelling. A small town stands beside a namesake unless that has so many times its people that most
        would know the name for that one. An empty list means that nothing does.
        """
        head, *rest = [part.strip() for part in name.split(",")]
        hints = [h for h in (*rest, country_hint, region_hint) if h and h.strip()]
        useful = [h for h in hints if _says_where(self, h)]
        whole = fold(head)
        bare, area = without_kind(whole)
        for word in dict.fromkeys((whole, bare)):
            rows = _named(self, word)
            loose = (area and word != whole) or bool(hints) > bool(useful)
            fitting = [] if area and word != whole and _is_area(self, word) else _matching(self, rows, useful)
            small = self._small_namesakes(word, fitting, useful)
            if fitting or small:
                found = [*_places(self, fitting, near=loose), *small]
                return _shown(self, sorted(found, key=lambda place: -place.population)[:most], near=loose)
            elsewhere = (
                _within(self, word, useful)
                or _matching(self, _longer(self, word), useful)
                or _matching(self, rows, ())
            )
            if elsewhere:
                return _shown(self, _places(self, elsewhere[:most], near=True), near=True)
            longer = _matching(self, self._towns.longer(word), useful, self._towns)
            if longer:
                return _shown(self, _places(self, longer[:most], True, self._towns), near=True)
        near: list[int] = []
        for word in self._close_names.near(bare):
            near += _matching(self, _named(self, word), useful)
        return _shown(self, _places(self, near[:most], near=True), near=True)

    def _small_namesakes(self, word: str, fitting: Sequence[int], hints: Sequence[str]) -> list[Place]:
        """Small towns with a folded name; the name of a region or country alone is none of a town."""
        if not hints and _is_area(self, word):
            return []
        largest = max((float(self.spots[2][i]) for i in fitting), default=0.0)
        rows = _matching(self, self._towns.named(word), hints, self._towns)
        found = _places(self, rows, False, self._towns)
        return [place for place in found if place.population * self._numbers.namesake_ratio >= largest]

    def is_area(self, name: str) -> bool:
        """Whether a name stands for a country or region and for no town."""
        whole = fold(name.partition(",")[0])
        return not _named(self, whole) and _is_area(self, without_kind(whole)[0])

    @functools.cached_property
    def _close_names(self) -> CloseNames:
        """Every folded name, to look for near spellings in."""
        names = re.sub(rb"\|[^\n]*", b"", self._small.text) + self._spellings[0][0].text
        return CloseNames([name for name in names.decode("utf-8").split("\n") if name])

    def listed_at(self, latitude: float, longitude: float) -> Place | None:
        """The listed place that stands for a point; None where none is within reach."""
        source, i, _ = self._cells(latitude, longitude)
        return _place(self, i, True) if source == "place" else None

    def climate_of(self, place: Place) -> Climate:
        """Monthly normals of a found place."""
        return self.climate_at(place.latitude, place.longitude)

    def climate_at(self, latitude: float, longitude: float) -> Climate:
        """Monthly normals at a point, at the height of the listed place that stands for it, if there is one.

        ValueError as `cell_climate_at`.
        """
        climate, town_m = (
            self.cell_climate_at(latitude, longitude),
            self.town_height_at(latitude, longitude),
        )
        if town_m is None:
            return climate
        return at_town(climate, town_m - self.height_at(latitude, longitude), self._numbers)

    def cell_climate_at(self, latitude: float, longitude: float) -> Climate:
        """Monthly normals at a point, at the mean height of the ground about it: the nearest listed place
        within reach, else the half-degree grid.

        The grid is read bilinearly over its land cells; where none of the four corners is land the nearest
        land cell is taken (source "coast"). Latitude -90..90, longitude any; raises ValueError outside.
        """
        _check(latitude, longitude)
        source, i, cells = self._cells(latitude, longitude)
        table = "place" if source == "place" else "grid"
        total = sum(weight for weight, _ in cells)
        read = [(weight, (*self._months(table, n), *self._packed.day_range(table, n))) for weight, n in cells]
        means, rain, ranges, factor = (
            np.asarray(sum(weight * column[at] for weight, column in read) / total) for at in range(4)
        )
        return Climate(
            tuple(map(float, means)),
            tuple(map(float, rain)),
            latitude,
            longitude,
            "south" if latitude < 0 else "north",
            source,
            self.rows[i].partition("|")[0] if source == "place" else "",
            self._numbers.table_miss_c,
            tuple(map(float, ranges)),
            float(factor),
        )

    def _months(self, table: str, n: int) -> tuple[Floats, Floats]:
        """Temperature and rain of one cell of the grid, or of the places."""
        if table == "place":
            return months_of_cell(self._place_months, n)
        return self._grid[1][n], self._grid[2][n]

    def height_at(self, latitude: float, longitude: float) -> float:
        """Height in metres that the normals of a point's cell stand for: the mean of the ground that they are
        averaged over. ValueError as `cell_climate_at`.
        """
        _check(latitude, longitude)
        source, _, cells = self._cells(latitude, longitude)
        height = self._packed.cell_heights[1 if source == "place" else 0]
        return float(sum(weight * height[n] for weight, n in cells) / sum(weight for weight, _ in cells))

    def town_height_at(self, latitude: float, longitude: float) -> float | None:
        """Height in metres of the listed place that stands for a point; None where none is within reach.
        ValueError as `cell_climate_at`.
        """
        _check(latitude, longitude)
        _, i, _ = self._cells(latitude, longitude)
        return None if i < 0 else float(self._packed.town_heights[i])

    def _cells(self, latitude: float, longitude: float) -> tuple[str, int, list[tuple[float, int]]]:
        """Where a point's normals come from, the place if it is one, and the cells with their weights."""
        lats, lons, _, index = self._spots
        east = ((lons - longitude + 180) % 360 - 180) * math.cos(math.radians(latitude))
        distance = np.hypot(lats - latitude, east) * KM_PER_DEGREE
        i = int(np.argmin(distance))
        if distance[i] <= self._numbers.place_reach_km:
            return "place", i, [(1.0, int(index[i]))]
        source, cells = self._grid_cells(latitude, longitude)
        return source, -1, cells

    def _grid_cells(self, latitude: float, longitude: float) -> tuple[str, list[tuple[float, int]]]:
        key, _, _, lat0, lon0, step, columns = self._grid
        y, x = (lat0 - latitude) / step, ((longitude - lon0) % 360) / step
        row, column = math.floor(y), math.floor(x)
        found: list[tuple[float, int]] = []
        for a in (0, 1):
            for b in (0, 1):
                weight = (1 - abs(y - row - a)) * (1 - abs(x - column - b))
                wanted = (row + a) * columns + (column + b) % columns
                n = int(np.searchsorted(key, wanted))
                if weight > 0 and n < key.size and key[n] == wanted:
                    found.append((weight, n))
        if found:
            return "grid", found
        east = ((key % columns - x + columns / 2) % columns - columns / 2) * math.cos(math.radians(latitude))
        return "coast", [(1.0, int(np.argmin((key // columns - y) ** 2 + east**2)))]


def _check(latitude: float, longitude: float) -> None:
    if not abs(latitude) <= _POLE or not math.isfinite(longitude):
        raise ValueError(
            f"latitude {latitude} and longitude {longitude}: latitude must lie between -90 and 90"
        )


def _place(t: Tables, i: int, near: bool, listed: _Listed | None = None) -> Place:
    listed = listed or t
    latitude, longitude, population = listed.spots
    name, country, region = listed.rows[i].split("|")
    countries, regions, *_ = t._names
    people = float(population[i])
    rounded = int(round(people, 1 - len(str(int(people)))))
    region_name = regions.get((country, region), "" if region[:1].isdigit() else region)
    return Place(
        name,
        country,
        countries.get(country, country),
        region,
        region_name,
        round(float(latitude[i]), 2),
        round(float(longitude[i]), 2),
        rounded,
        near,
        small=listed is t._towns,
    )


def _places(t: Tables, rows: Sequence[int], near: bool, listed: _Listed | None = None) -> list[Place]:
    return [_place(t, i, near, listed) for i in rows]


def _fits(t: Tables, i: int, hint: str, listed: _Listed) -> bool:
    """Whether a hint names the place's country or region, by code ("mo", "us-mo") or by name."""
    _, _, countries, regions = t._names
    _, country, region = listed.rows[i].split("|")
    word = fold(hint)
    return bool(word) and (
        country in countries.get(word, ())
        or (country, region) in regions.get(word, ())
        or word in (region.casefold(), fold(f"{country}-{region}"))
    )


def _says_where(t: Tables, hint: str) -> bool:
    """Whether a hint names any country or region at all; "West Yorkshire" does not."""
    _, _, countries, regions = t._names
    word = fold(hint)
    code = word.encode()
    return (
        word in countries
        or word in regions
        or b"|%b\n" % code in t._small.text
        or b"|%b\n" % code.replace(b" ", b"|", 1) in t._small.text
    )


def _is_area(t: Tables, word: str) -> bool:
    """Whether a folded word names a region, or a country by more than its code."""
    _, _, countries, regions = t._names
    return word in regions or (word in countries and len(word) >= _SHORTEST_COUNTRY)


def _shown(t: Tables, found: Sequence[Place], near: bool) -> list[Place]:
    labels = [place.label for place in found]
    most: dict[str, int] = {}
    for place in found:
        most[place.country] = max(place.population, most.get(place.country, 0))
    return [
        dataclasses.replace(
            place,
            near=near,
            lesser=place.population * t._numbers.namesake_ratio <= most[place.country],
            spot=f"latitude {place.latitude:g}, longitude {place.longitude:g}"
            if labels.count(place.label) > 1
            else "",
        )
        for place in found
    ]


def _named(t: Tables, word: str) -> list[int]:
    """Rows of the places with a folded name, and of those whose longer name holds it and that others call so;
    where no town is called so, of large towns that others call so.
    """
    folded, other = t._spellings
    code = b"" if "|" in word else word.encode()
    if not code:
        return []
    rows = [
        *t._small.beginning(b"%b|" % code),
        *(int(folded[1][i]) for i in folded[0].beginning(b"%b\n" % code)),
    ]
    called = [int(other[1][i]) for i in other[0].beginning(b"%b\n" % code)]
    inside = [i for i in called if word in fold(t.rows[i].partition("|")[0]).split()]
    return [*rows, *inside] if rows else called


def _longer(t: Tables, word: str) -> list[int]:
    """Rows of the places whose folded name goes on after a word: "newcastle" begins "newcastle upon tyne"."""
    folded, start = t._spellings[0], b"%b " % word.encode()
    return (
        [*t._small.beginning(start), *(int(folded[1][i]) for i in folded[0].beginning(start))]
        if word and "|" not in word
        else []
    )


def _within(t: Tables, word: str, hints: Sequence[str]) -> list[int]:
    """Rows of the places in the country or region of a folded name, most people first."""
    if not _is_area(t, word):
        return []
    _, _, countries, regions = t._names
    within = tuple(f"|{country}|{region}" for country, region in regions.get(word, ()))
    countrywide = [f"|{country}|" for country in countries.get(word, ())]
    return _matching(
        t,
        [
            i
            for i, row in enumerate(t.rows)
            if row.endswith(within) or any(part in row for part in countrywide)
        ],
        hints,
    )


def _matching(
    t: Tables, rows: Sequence[int], hints: Sequence[str], listed: _Listed | None = None
) -> list[int]:
    listed = listed or t
    kept = [i for i in rows if all(_fits(t, i, hint, listed) for hint in hints)]
    return sorted(kept, key=lambda i: (-float(listed.spots[2][i]), i))
