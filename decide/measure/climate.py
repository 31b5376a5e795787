"""Turns a place into twelve monthly normals, 365 daily normals, frost dates and a climate class."""

import dataclasses
import difflib
import functools
import io
import math
import pathlib
import re
import tomllib
import typing
import unicodedata
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
import numpy.typing as npt

from decide.measure import dates

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

KM_PER_DEGREE = 111.2
_MARKS = re.compile("[\u0300-\u036f]+")
_LETTERS = {
    "æ": "ae", "œ": "oe", "ø": "o", "ð": "d", "đ": "d", "ħ": "h", "ı": "i", "ł": "l", "ə": "e", "þ": "th",
    ".": " ", "-": " ", "–": " ", "—": " ", "'": "", "’": "", "‘": "", "ʻ": "", "ʼ": "", "`": "", "´": "",
}  # fmt: skip
_LETTER = re.compile("[" + "".join(map(re.escape, _LETTERS)) + "]")
_SHORT = {"st": "saint", "ste": "sainte", "mt": "mount", "ft": "fort"}
_SHORTENED = re.compile(r"\b(st|ste|mt|ft) +(?=\w)")
_TOWN_WORDS = "city|town|village|borough|parish|municipality|township"
_AREA_WORDS = "district|county|state|province|region"
_WITH_KIND = re.compile(
    rf"(?:the )?(?:(?P<before>{_TOWN_WORDS}|{_AREA_WORDS}) of )?(?:the )?(?P<name>.+?)(?: (?P<after>{_TOWN_WORDS}|{_AREA_WORDS}))?"
)
CLIMATES = ("cool-humid", "cool-semi-arid", "transition", "warm-humid", "warm-arid", "tropical", "too-cold")


@dataclasses.dataclass(frozen=True)
class ClimateNumbers:
    """The numbers of the climate rules; degrees C unless said otherwise."""

    place_reach_km: float
    lapse_c_per_100_m: float
    spread_start: float
    spread_share: float
    frost_start: float
    frost_per_degree: float
    tropics_latitude: float
    frost_tropics: float
    killing_frost_below: float
    frost_some_years_band: float
    frost_doubt_mean_days: float
    frost_doubt_wide_days: float
    frost_year_spread_days: float
    latitude_when_unknown: float
    too_cold_warmest: float
    tropical_coldest: float
    arid_warm_warmest: float
    arid_warm_coldest: float
    arid_transition_warmest: float
    arid_transition_sum: float
    humid_warm_warmest: float
    humid_warm_coldest: float
    transition_warmest: float
    transition_sum: float
    mild_warmest: float
    mild_coldest: float
    highland_warmest: float
    highland_coldest: float
    class_doubt_c: float
    class_doubt_rain_share: float


@dataclasses.dataclass(frozen=True)
class Place:
    """A named place of the table; population is rounded; `near` marks one that was not asked for in just these words.

    `spot` tells it from another place of the same name and region.
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

    @property
    def label(self) -> str:
        """Name, region and country for showing to a person."""
        words = ", ".join(x for x in (self.name, self.region_name, self.country_name) if x)
        return f"{words} ({self.spot})" if self.spot else words


@dataclasses.dataclass(frozen=True)
class Climate:
    """Monthly normals of one spot: mean air temperature (C) and rain (mm), January first.

    `source` is place, grid, coast, typed-months, typed-two-months or class; `rain` is empty where it is not known.
    `latitude` is None where only a hemisphere was told.
    """

    means: tuple[float, ...]
    rain: tuple[float, ...]
    latitude: float | None
    longitude: float | None
    hemisphere: str
    source: str
    note: str = ""

    @property
    def warmest(self) -> float:
        """Mean of the warmest month, C."""
        return max(self.means)

    @property
    def coldest(self) -> float:
        """Mean of the coldest month, C."""
        return min(self.means)


@dataclasses.dataclass(frozen=True)
class Frost:
    """Median frost days of the year. `kind`: usual, some-years, rare or always; days are None where they do not exist.

    `doubt_days` is the mean miss of the estimate, `wide_days` what one estimate in five exceeds, `year_days` the
    standard deviation between years. Typed days carry no doubt of the estimate (0).
    """

    kind: str
    first: int | None
    last: int | None
    killing: int | None
    doubt_days: float
    wide_days: float
    year_days: float


@dataclasses.dataclass(frozen=True)
class ClimateClass:
    """Climate code, the neighbour that is as likely (or None), whether dry, and the Köppen class."""

    code: str
    neighbour: str | None
    dry: bool | None
    koppen: str


def fold(text: str) -> str:
    """Text without accents, case, dots and doubled spaces, "St" written out, for comparing names."""
    plain = _MARKS.sub("", unicodedata.normalize("NFKD", text)).casefold()
    plain = " ".join(_LETTER.sub(lambda found: _LETTERS[found[0]], _MARKS.sub("", plain)).split())
    return _SHORTENED.sub(lambda found: _SHORT[found[1]] + " ", plain)


def _lines(text: bytes, needle: bytes) -> Iterator[int]:
    """Numbers of the lines of a text that begin with a needle, which starts with a line break."""
    at, line, seen = text.find(needle), 0, 0
    while at >= 0:
        line, seen = line + text.count(b"\n", seen, at), at
        yield line
        at = text.find(needle, at + 1)


def _unpack(table: Mapping[str, npt.NDArray[np.generic]]) -> tuple[Floats, Floats]:
    """Temperatures (C) and rain (mm) of a packed table, one row a cell."""
    mean = np.cumsum(np.asarray(table["mean"], dtype=np.int64))
    deviation = np.cumsum(np.asarray(table["dev"], dtype=np.int64).T, axis=0)
    rain = np.cumsum(np.asarray(table["rain"], dtype=np.int64).T, axis=0) % 256
    return (mean[:, None] + deviation) / 5.0, (rain / 5.0) ** 2


class Tables:
    """The climate and place tables of one folder; each file is read when first needed."""

    def __init__(self, folder: str | pathlib.Path, numbers: ClimateNumbers) -> None:
        self._folder = pathlib.Path(folder)
        self._numbers = numbers

    @functools.cached_property
    def _names(
        self,
    ) -> tuple[
        dict[str, str], dict[tuple[str, str], str], dict[str, set[str]], dict[str, set[tuple[str, str]]]
    ]:
        """Names by code, and folded spellings to codes, of countries and of regions; a region's code goes with its country's."""
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
        """The code of a region by its name in a country (two letters); None where there is none, or several."""
        _, _, _, regions = self._names
        found = {code for where, code in regions.get(fold(name), set()) if where == country.upper()}
        return found.pop() if len(found) == 1 else None

    def _read(self, name: str) -> dict[str, npt.NDArray[np.generic]]:
        with np.load(self._folder / name, allow_pickle=False) as file:
            return {key: file[key] for key in file.files}

    @functools.cached_property
    def _grid(self) -> tuple[Ints, Floats, Floats, float, float, float, int]:
        table = self._read("climate_grid.npz")
        temperature, rain = _unpack(table)
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
    def _heights(self) -> tuple[Floats, Floats]:
        """Mean height of the ground, m, of each cell of the grid and of each climate cell of the places."""
        table = self._read("heights.npz")
        step = float(table["step"])
        grid, place = (
            np.cumsum(table[name].astype(np.int64)).astype(np.float64) for name in ("grid", "place")
        )
        return grid * step, place * step

    @functools.cached_property
    def _places(self) -> np.lib.npyio.NpzFile:
        """The table of places; each of its arrays is read when it is asked for."""
        return typing.cast(
            np.lib.npyio.NpzFile,
            np.load(io.BytesIO((self._folder / "places.npz").read_bytes()), allow_pickle=False),
        )

    @functools.cached_property
    def _text(self) -> bytes:
        """Name, country code and region code of each place, joined by bars, each after a line break."""
        return b"\n" + self._places["text"].tobytes() + b"\n"

    @functools.cached_property
    def _rows(self) -> list[str]:
        return self._text.decode("utf-8").split("\n")[1:-1]

    @functools.cached_property
    def _small(self) -> bytes:
        """The rows in small letters: where a name is no more than that when folded, it is found here."""
        return self._text.lower()

    @functools.cached_property
    def _spellings(self) -> tuple[tuple[bytes, Ints], tuple[bytes, Ints]]:
        """Folded names that are not in `_small`, and other names of large towns: text with line breaks, and the row of each."""
        table = self._read("spellings.npz")
        folded, other = (
            (
                b"\n" + table[f"{kind}_text"].tobytes() + b"\n",
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

    @functools.cached_property
    def _place_months(self) -> tuple[Floats, Floats]:
        """Temperature and rain of each climate cell of the places."""
        return _unpack(self._places)

    def _place(self, i: int, near: bool) -> Place:
        latitude, longitude, population, _ = self._spots
        name, country, region = self._rows[i].split("|")
        countries, regions, *_ = self._names
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
        )

    def _fits(self, i: int, hint: str) -> bool:
        """Whether a hint names the place's country or region, by code ("mo", "us-mo") or by name."""
        _, _, countries, regions = self._names
        _, country, region = self._rows[i].split("|")
        word = fold(hint)
        return bool(word) and (
            country in countries.get(word, ())
            or (country, region) in regions.get(word, ())
            or word in (region.casefold(), fold(f"{country}-{region}"))
        )

    def _says_where(self, hint: str) -> bool:
        """Whether a hint names any country or region at all; "West Yorkshire" does not."""
        _, _, countries, regions = self._names
        word = fold(hint)
        code = word.encode()
        return (
            word in countries
            or word in regions
            or b"|%b\n" % code in self._small
            or b"|%b\n" % code.replace(b" ", b"|", 1) in self._small
        )

    def find_places(
        self, name: str, country_hint: str | None = None, region_hint: str | None = None, most: int = 8
    ) -> list[Place]:
        """Places of that name, most people first; else what comes close, marked `near`.

        Commas in the name give hints too: "Springfield, Illinois", "York, GB". Accents, case, "St" for "Saint" and words
        such as "City of" do not count. Close is: for a country or region the towns in it, a longer name that begins so, the
        name in another country or region than the hints say, and a near spelling. An empty list means that nothing does.
        """
        head, *rest = [part.strip() for part in name.split(",")]
        hints = [h for h in (*rest, country_hint, region_hint) if h and h.strip()]
        useful = [h for h in hints if self._says_where(h)]
        whole = fold(head)
        bare, area = _without_kind(whole)
        for word in dict.fromkeys((whole, bare)):
            rows = self._named(word)
            loose = (area and word != whole) or bool(hints) > bool(useful)
            fitting = [] if area and word != whole and self._is_area(word) else self._matching(rows, useful)
            if fitting:
                return self._shown(fitting[:most], near=loose)
            elsewhere = (
                self._within(word, useful)
                or self._matching(self._longer(word), useful)
                or self._matching(rows, ())
            )
            if elsewhere:
                return self._shown(elsewhere[:most], near=True)
        near: list[int] = []
        for word in self._close(bare):
            near += self._matching(self._named(word), useful)
        return self._shown(near[:most], near=True)

    def is_area(self, name: str) -> bool:
        """Whether a name stands for a country or region and for no town."""
        whole = fold(name.partition(",")[0])
        return not self._named(whole) and self._is_area(_without_kind(whole)[0])

    def _is_area(self, word: str) -> bool:
        """Whether a folded word names a region, or a country by more than its code."""
        _, _, countries, regions = self._names
        return word in regions or (word in countries and len(word) > 3)

    def _shown(self, rows: Sequence[int], near: bool) -> list[Place]:
        found = [self._place(i, near) for i in rows]
        labels = [place.label for place in found]
        return [
            dataclasses.replace(place, spot=f"latitude {place.latitude:g}, longitude {place.longitude:g}")
            if labels.count(place.label) > 1
            else place
            for place in found
        ]

    def _named(self, word: str) -> list[int]:
        """Rows of the places with a folded name; where no town is called so, of large towns that others call so."""
        folded, other = self._spellings
        code = b"" if "|" in word else word.encode()
        rows = (
            [
                *_lines(self._small, b"\n%b|" % code),
                *(int(folded[1][i]) for i in _lines(folded[0], b"\n%b\n" % code)),
            ]
            if code
            else []
        )
        return rows or ([int(other[1][i]) for i in _lines(other[0], b"\n%b\n" % code)] if code else [])

    def _longer(self, word: str) -> list[int]:
        """Rows of the places whose folded name goes on after a word: "newcastle" begins "newcastle upon tyne"."""
        folded, start = self._spellings[0], b"\n%b " % word.encode()
        return (
            [*_lines(self._small, start), *(int(folded[1][i]) for i in _lines(folded[0], start))]
            if word and "|" not in word
            else []
        )

    @functools.cached_property
    def _folded_names(self) -> frozenset[str]:
        """Every folded name, to look for near spellings in."""
        names = [line.partition("|")[0] for line in self._small.decode("utf-8").split("\n")]
        return frozenset([*names, *self._spellings[0][0].decode("utf-8").split("\n")]) - {""}

    def _within(self, word: str, hints: Sequence[str]) -> list[int]:
        """Rows of the places in the country or region of a folded name, most people first."""
        if not self._is_area(word):
            return []
        _, _, countries, regions = self._names
        within = tuple(f"|{country}|{region}" for country, region in regions.get(word, ()))
        countrywide = [f"|{country}|" for country in countries.get(word, ())]
        return self._matching(
            [
                i
                for i, row in enumerate(self._rows)
                if row.endswith(within) or any(part in row for part in countrywide)
            ],
            hints,
        )

    def _matching(self, rows: Sequence[int], hints: Sequence[str]) -> list[int]:
        kept = [i for i in rows if all(self._fits(i, hint) for hint in hints)]
        return sorted(kept, key=lambda i: (-float(self._spots[2][i]), i))

    def _close(self, word: str) -> list[str]:
        """Names close to a folded word: first among those with its first letter, then among all of similar length."""
        if not word:
            return []
        names = self._folded_names
        for pool in (
            [n for n in names if n[:1] == word[:1] and abs(len(n) - len(word)) <= 3],
            [n for n in names if abs(len(n) - len(word)) <= 1],
        ):
            got = difflib.get_close_matches(word, sorted(pool), n=6, cutoff=0.75)
            if got:
                return got
        return []

    def climate_of(self, place: Place) -> Climate:
        """Monthly normals of a found place."""
        return self.climate_at(place.latitude, place.longitude)

    def climate_at(self, latitude: float, longitude: float) -> Climate:
        """Monthly normals at a point: the nearest listed place within reach, else the half-degree grid.

        The grid is read bilinearly over its land cells; where none of the four corners is land the nearest land cell
        is taken (source "coast"). Latitude -90..90, longitude any; raises ValueError outside.
        """
        if not -90 <= latitude <= 90 or not math.isfinite(longitude):
            raise ValueError(
                f"latitude {latitude} and longitude {longitude}: latitude must lie between -90 and 90"
            )
        source, i, cells = self._cells(latitude, longitude)
        temperature, rain = self._place_months if source == "place" else self._grid[1:3]
        total = sum(weight for weight, _ in cells)
        means = np.asarray(sum(weight * temperature[n] for weight, n in cells) / total)
        wet = np.asarray(sum(weight * rain[n] for weight, n in cells) / total)
        note = self._rows[i].partition("|")[0] if source == "place" else ""
        return _climate(means, wet, latitude, longitude, source, note)

    def height_at(self, latitude: float, longitude: float) -> float:
        """Height in metres that the normals of a point stand for: the mean of the ground that they are averaged over."""
        if not -90 <= latitude <= 90 or not math.isfinite(longitude):
            raise ValueError(
                f"latitude {latitude} and longitude {longitude}: latitude must lie between -90 and 90"
            )
        source, _, cells = self._cells(latitude, longitude)
        height = self._heights[1 if source == "place" else 0]
        return float(sum(weight * height[n] for weight, n in cells) / sum(weight for weight, _ in cells))

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


def _without_kind(word: str) -> tuple[str, bool]:
    """A folded name without what kind of place it is, and whether that is an area: "city of york" is "york"."""
    found = _WITH_KIND.fullmatch(word)
    if not found:
        return word, False
    return found["name"], any(
        kind in _AREA_WORDS.split("|") for kind in (found["before"], found["after"]) if kind
    )


def _climate(
    means: Floats, rain: Floats, latitude: float, longitude: float, source: str, note: str
) -> Climate:
    return Climate(
        tuple(float(x) for x in means),
        tuple(float(x) for x in rain),
        latitude,
        longitude,
        "south" if latitude < 0 else "north",
        source,
        note,
    )


def climate_from_means(
    means: Sequence[float],
    rain: Sequence[float] = (),
    latitude: float | None = None,
    longitude: float | None = None,
    hemisphere: str | None = None,
) -> Climate:
    """Climate from twelve typed monthly means (C) and, if known, twelve rain totals (mm), January first.

    Raises ValueError where a list does not hold twelve finite numbers.
    """
    for name, numbers in (("monthly means", means), ("monthly rain", rain)):
        if (numbers or name == "monthly means") and (
            len(numbers) != 12 or not all(map(math.isfinite, numbers))
        ):
            raise ValueError(f"{name}: {len(numbers)} numbers given; write twelve, January first")
    if hemisphere is None:
        half = sum(means[i] for i in (3, 4, 5, 6, 7, 8)) - sum(means[i] for i in (0, 1, 2, 9, 10, 11))
        south = latitude < 0 if latitude is not None else half < 0
        hemisphere = "south" if south else "north"
    return Climate(
        tuple(map(float, means)), tuple(map(float, rain)), latitude, longitude, hemisphere, "typed-months"
    )


def climate_from_warmest_coldest(
    warmest_c: float, coldest_c: float, hemisphere: str, latitude: float | None = None
) -> Climate:
    """Climate of a cosine year from the means of the warmest and the coldest month (C).

    T(d) = (Tw + Tc)/2 + (Tw - Tc)/2 cos(2 pi (d - dw)/365), dw the middle of July (north) or January (south). Daily
    normals made this way miss the table's by 1.3 C on average. Raises ValueError where the warmest is colder.
    """
    if warmest_c < coldest_c:
        raise ValueError(
            f"warmest month {warmest_c} C is colder than the coldest, {coldest_c} C: change them over"
        )
    peak = dates.middle_of_month(1 if hemisphere == "south" else 7)
    day = np.arange(1, dates.YEAR + 1)
    year = (warmest_c + coldest_c) / 2 + (warmest_c - coldest_c) / 2 * np.cos(
        2 * np.pi * (day - peak) / dates.YEAR
    )
    ends = np.cumsum(dates.MONTH_LENGTHS)
    means = tuple(float(part.mean()) for part in np.split(year, ends[:-1]))
    return Climate(means, (), latitude, None, hemisphere, "typed-two-months")


def climate_stretched(climate: Climate, warmest_c: float, coldest_c: float) -> Climate:
    """The year of a climate drawn so that its warmest and coldest months have the given means (C).

    The shape of the year stays; where it has none (all months alike), a cosine year is taken. Raises ValueError where
    the warmest is colder.
    """
    plain = climate_from_warmest_coldest(warmest_c, coldest_c, climate.hemisphere, climate.latitude)
    span = climate.warmest - climate.coldest
    if span <= 0:
        means = plain.means
    else:
        means = tuple(
            coldest_c + (m - climate.coldest) / span * (warmest_c - coldest_c) for m in climate.means
        )
    return dataclasses.replace(climate, means=means, source="typed-two-months", note="")


def raised(climate: Climate, metres_higher: float, numbers: ClimateNumbers) -> Climate:
    """The climate of ground that lies higher (or, negative, lower) than the place the normals belong to."""
    change = -numbers.lapse_c_per_100_m * metres_higher / 100
    note = f"{climate.note}; {metres_higher:+.0f} m".lstrip("; ")
    return dataclasses.replace(climate, means=tuple(m + change for m in climate.means), note=note)


def daily_normals(means: Sequence[float]) -> Floats:
    """365 daily normals whose month means are exactly the given twelve.

    A periodic cubic spline through the running total at the ends of the months; its day-to-day differences are the
    normals (area-matching splines).
    """
    month = np.asarray(means, dtype=np.float64)
    length = np.asarray(dates.MONTH_LENGTHS, dtype=np.float64)
    ends = np.concatenate([[0], np.cumsum(dates.MONTH_LENGTHS)])
    mean = float((length * month).sum() / dates.YEAR)
    total = np.concatenate([[0.0], np.cumsum(length * (month - mean))])
    total[-1] = 0.0
    matrix, right = np.zeros((12, 12)), np.zeros(12)
    for i in range(12):
        before, after = length[i - 1], length[i]
        matrix[i, i - 1] += before
        matrix[i, i] += 2 * (before + after)
        matrix[i, (i + 1) % 12] += after
        fall = (total[i] - (total[i - 1] if i else total[11])) / before
        right[i] = 6 * ((total[i + 1] - total[i]) / after - fall)
    bend = np.linalg.solve(matrix, right)
    curve = np.zeros(dates.YEAR + 1)
    for i in range(12):
        day = np.arange(ends[i], ends[i + 1] + 1)
        to_end, from_start = ends[i + 1] - day, day - ends[i]
        b0, b1 = bend[i], bend[(i + 1) % 12]
        curve[day] = (
            b0 * to_end**3 / (6 * length[i])
            + b1 * from_start**3 / (6 * length[i])
            + (total[i] / length[i] - b0 * length[i] / 6) * to_end
            + (total[i + 1] / length[i] - b1 * length[i] / 6) * from_start
        )
    return np.asarray(mean + np.diff(curve), dtype=np.float64)


def spread(climate: Climate, numbers: ClimateNumbers) -> float:
    """Standard deviation of single days about the normal, C: a + b x (warmest - coldest month mean)."""
    return numbers.spread_start + numbers.spread_share * (climate.warmest - climate.coldest)


class Year:
    """The 365 daily normals of a climate, with the days on which they cross a level."""

    def __init__(self, climate: Climate, numbers: ClimateNumbers) -> None:
        self.climate = climate
        self.normals = daily_normals(climate.means)
        self.normals.setflags(write=False)
        self.spread = spread(climate, numbers)
        self.hottest = int(np.argmax(self.normals)) + 1
        self.coldest = int(np.argmin(self.normals)) + 1
        self.peak = float(self.normals.max())
        self.low = float(self.normals.min())

    def normal(self, day: int) -> float:
        """Daily normal, C, of a day of the year."""
        return float(self.normals[dates.wrap(day) - 1])

    def mean(self, start: int, days: int) -> float:
        """Mean of the normals of `days` days from a start day, that day counted, C."""
        return float(self.normals[(start - 1 + np.arange(max(1, days))) % dates.YEAR].mean())

    def falls_below(self, level: float) -> int | None:
        """First day after the hottest whose normal is below a level; None where the normals do not cross it."""
        if not self.low < level <= self.peak:
            return None
        order = (self.hottest - 1 + np.arange(dates.YEAR)) % dates.YEAR
        return int(order[int(np.argmax(self.normals[order] < level))]) + 1

    def rises_to(self, level: float) -> int | None:
        """First day after the coldest whose normal reaches a level; None where the normals do not cross it."""
        if not self.low < level <= self.peak:
            return None
        order = (self.coldest - 1 + np.arange(dates.YEAR)) % dates.YEAR
        return int(order[int(np.argmax(self.normals[order] >= level))]) + 1


def frost_level(latitude: float | None, numbers: ClimateNumbers) -> float:
    """Daily normal, C, at which the median first and last frost fall: a - b x |latitude|, one level in the tropics."""
    degrees = abs(numbers.latitude_when_unknown if latitude is None else latitude)
    if degrees < numbers.tropics_latitude:
        return numbers.frost_tropics
    return numbers.frost_start - numbers.frost_per_degree * degrees


def frost(
    year: Year, numbers: ClimateNumbers, typed_first: int | None = None, typed_last: int | None = None
) -> Frost:
    """Median first, last and killing frost.

    A typed day shifts the crossing: the normal of that day becomes the frost level of its season, and the killing
    frost moves with it.
    """
    level = frost_level(year.climate.latitude, numbers)
    autumn = level if typed_first is None else year.normal(typed_first)
    typed = typed_first is not None or typed_last is not None
    if level > year.peak and not typed:
        kind = "always"
    elif typed or year.low < level - numbers.frost_some_years_band:
        kind = "usual"
    else:
        kind = "some-years" if year.low < level + numbers.frost_some_years_band else "rare"
    return Frost(
        kind,
        typed_first if typed_first is not None else year.falls_below(level),
        typed_last if typed_last is not None else year.rises_to(level),
        year.falls_below(autumn - numbers.killing_frost_below),
        0.0 if typed else numbers.frost_doubt_mean_days,
        0.0 if typed else numbers.frost_doubt_wide_days,
        numbers.frost_year_spread_days,
    )


def koppen(means: Sequence[float], rain: Sequence[float], hemisphere: str) -> str:
    """Köppen-Geiger class of twelve means (C) and rains (mm), January first.

    Rules of Hydrology and Earth System Sciences 11, 2007, 1633-1644 (the 0 C border between C and D).
    """
    warm = range(3, 9) if hemisphere == "north" else (0, 1, 2, 9, 10, 11)
    summer_months = list(warm)
    winter_months = [i for i in range(12) if i not in summer_months]
    total, hot, cold = sum(rain), max(means), min(means)
    limit = _dry_limit(means, rain, summer_months)
    if hot < 10:
        return "ET" if hot > 0 else "EF"
    if total < 10 * limit:
        return "B" + ("W" if total < 5 * limit else "S") + ("h" if sum(means) / 12 >= 18 else "k")
    if cold >= 18:
        driest = min(rain)
        return "Af" if driest >= 60 else "Am" if driest >= 100 - total / 25 else "Aw"
    summer = [rain[i] for i in summer_months]
    winter = [rain[i] for i in winter_months]
    if min(summer) < 40 and min(summer) < max(winter) / 3:
        season = "s"
    elif min(winter) < max(summer) / 10:
        season = "w"
    else:
        season = "f"
    if hot >= 22:
        heat = "a"
    elif sum(m >= 10 for m in means) >= 4:
        heat = "b"
    else:
        heat = "d" if cold < -38 else "c"
    return ("C" if cold > 0 else "D") + season + heat


def _dry_limit(means: Sequence[float], rain: Sequence[float], summer_months: Sequence[int]) -> float:
    """Köppen's dryness threshold: yearly rain under ten times this is dry."""
    total, mean = sum(rain), sum(means) / 12
    summer = sum(rain[i] for i in summer_months)
    if total and summer >= 0.7 * total:
        return 2 * mean + 28
    if total and total - summer >= 0.7 * total:
        return 2 * mean
    return 2 * mean + 14


def is_dry(means: Sequence[float], rain: Sequence[float], hemisphere: str) -> bool | None:
    """Whether a climate is dry by Köppen's rule; None where the rain is not known."""
    if not rain:
        return None
    summer = list(range(3, 9)) if hemisphere == "north" else [0, 1, 2, 9, 10, 11]
    return sum(rain) < 10 * _dry_limit(means, rain, summer)


def _code(hot: float, cold: float, dry: bool, n: ClimateNumbers) -> str:
    if hot < n.too_cold_warmest:
        return "too-cold"
    if cold >= n.tropical_coldest:
        return "warm-arid" if dry else "tropical"
    if dry:
        if hot >= n.arid_warm_warmest and cold >= n.arid_warm_coldest:
            return "warm-arid"
        warm = hot >= n.arid_transition_warmest and hot + cold >= n.arid_transition_sum
        return "transition" if warm else "cool-semi-arid"
    if hot >= n.humid_warm_warmest and cold >= n.humid_warm_coldest:
        return "warm-humid"
    if (
        (hot >= n.transition_warmest and hot + cold >= n.transition_sum)
        or (hot >= n.mild_warmest and cold >= n.mild_coldest)
        or (hot >= n.highland_warmest and cold >= n.highland_coldest)
    ):
        return "transition"
    return "cool-humid"


def climate_class(
    climate: Climate, numbers: ClimateNumbers, lawns_go_brown: bool | None = None
) -> ClimateClass:
    """Climate code with the neighbour that comes out when the months are a little warmer, colder, wetter or drier.

    `lawns_go_brown` is the user's answer whether unwatered lawns turn brown for two months or more in summer: yes
    counts as dry, no as humid. Where neither rain nor an answer is known the place is taken as humid.
    """
    hot, cold = climate.warmest, climate.coldest
    dry = (
        is_dry(climate.means, climate.rain, climate.hemisphere) if lawns_go_brown is None else lawns_go_brown
    )
    code = _code(hot, cold, bool(dry), numbers)
    neighbour = None
    step = numbers.class_doubt_c
    tries = [
        (hot + a, cold + b, bool(dry))
        for a, b in ((step, step), (-step, -step), (step, 0), (-step, 0), (0, step), (0, -step))
    ]
    if lawns_go_brown is None and climate.rain:
        for share in (1 - numbers.class_doubt_rain_share, 1 + numbers.class_doubt_rain_share):
            other = is_dry(climate.means, [r * share for r in climate.rain], climate.hemisphere)
            tries.insert(0, (hot, cold, bool(other)))
    elif lawns_go_brown is None:
        tries.insert(0, (hot, cold, True))
    for other_hot, other_cold, other_dry in tries:
        other_code = _code(max(other_hot, other_cold), other_cold, other_dry, numbers)
        if other_code != code:
            neighbour = other_code
            break
    name = koppen(climate.means, climate.rain, climate.hemisphere) if climate.rain else ""
    return ClimateClass(code, neighbour, dry, name)
