"""Makes day_range.npz, daily temperature ranges and a factor of water need: `python tests/climate/derive_range.py FOLDER`.

The range of a month is a polynomial of the second degree of 20 inputs, the logarithm of the factor a plane of seven; the
numbers of both stand in day_range_model.npz beside this script. Inputs outside what the fit met are held at its ends. What was fitted to what, and by how much it misses, stands in knowledge/climate/README.md.
"""

import importlib.util
import pathlib
import sys
import typing

import derive
import numpy as np
import numpy.typing as npt
from derive_heights import points

from decide.measure.packed import unpack_months, unpack_steps

Array = npt.NDArray[typing.Any]
Inputs = dict[str, Array]

HERE = pathlib.Path(__file__).resolve().parent
NEEDED = {**derive.NEEDED, "scipy": "", "pandas": "", "pvcz": "0.3.0"}
MONTH_DAYS = np.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
MIDDLES = np.array([16, 45, 75, 105, 136, 166, 197, 228, 258, 289, 319, 350])
# In the order of the model's numbers.
RANGE_INPUTS = (
    "rain-share", "rain-share-3", "rain-share-year", "mean", "year-range", "sea-50", "sea-200", "sea-12", "height", "sun-above",
    "log-rain-year", "daylight", "cold", "log-rain", "sunshine", "moisture", "humidity", "hottest-above", "coldest-below", "wind",
)  # fmt: skip
FACTOR_INPUTS = ("wind", "humidity", "rain-share-year", "mean", "sea-50", "sunshine", "height")
STEP_K, FACTOR_STEP = 0.5, 0.01
LEAST_K, MOST_K = 3.0, 22.0
LEAST_FACTOR, MOST_FACTOR = 0.6, 1.5
GROWS_FROM_C, ASLEEP_WEIGHT = 5, 0.02
SEAS = 12
AT_ONCE = 4000


def missing() -> list[str]:
    """Names of the inputs that are not installed."""
    return [name for name in NEEDED if importlib.util.find_spec(name) is None]


def sun(latitude: Array) -> tuple[Array, Array]:
    """Radiation above the air (MJ/m2/day) and hours of daylight in the middle of each month (FAO paper 56, 21 to 34)."""
    north = np.radians(np.asarray(latitude, float))[:, None]
    near = 1 + 0.033 * np.cos(2 * np.pi * MIDDLES / 365)
    tilt = 0.409 * np.sin(2 * np.pi * MIDDLES / 365 - 1.39)
    half = np.arccos(np.clip(-np.tan(north) * np.tan(tilt), -1, 1))
    part = half * np.sin(north) * np.sin(tilt) + np.cos(north) * np.cos(tilt) * np.sin(half)
    return 24 * 60 / np.pi * 0.0820 * near * part, 24 / np.pi * half


def hargreaves(mean: Array, wide: Array, latitude: Array) -> Array:
    """Reference evapotranspiration, mm a day, from mean (C) and daily range (K): FAO paper 56, 52."""
    root = np.sqrt(np.maximum(wide, 0))
    return np.maximum(0.0023 * (mean + 17.8) * root * 0.408 * sun(latitude)[0], 0)


class Ground:
    """What is known of any spot beside the tables: its distance from the sea, and five yearly numbers of a land table."""

    def __init__(self, world: derive.World) -> None:
        import pandas
        from scipy import ndimage
        from scipy.spatial import cKDTree

        # The polar rows are left out: no town looks to that sea.
        inhabited = slice(60, 620)
        label, waters = ndimage.label(world.land < 0.5)
        size = np.bincount(label.ravel())
        sea = np.zeros(waters + 1, bool)
        sea[np.argsort(size[1:])[-SEAS:] + 1] = True
        row, column = np.nonzero(sea[label][inhabited])
        self._sea = cKDTree(points(world.latitude[inhabited][row], world.longitude[column]))
        name = "PVCZ-2019_ver0p2_world_PV_climate_stressors_and_zones.pkl"
        table = pandas.read_pickle(derive.folder_of("pvcz") / name)
        self._near = cKDTree(points(*(table[key].to_numpy(float) for key in ("lat", "lon"))))
        self._land = {
            name: table[column].to_numpy(float)
            for name, column in (
                ("sunshine", "GHI_mean"),
                ("moisture", "specific_humidity_mean"),
                ("wind", "wind_speed_rms"),
                ("hottest", "T_ambient_max"),
                ("coldest", "T_ambient_min"),
            )
        }

    def inputs(self, latitude: Array, longitude: Array, metres: Array, mean: Array, rain: Array) -> Inputs:
        """The model's inputs by name, each spots x 12."""
        spots = points(latitude, longitude)
        sea = self._sea.query(spots)[0][:, None]
        which = self._near.query(spots)[1]
        land = {name: column[which][:, None] for name, column in self._land.items()}
        above, light = sun(latitude)
        # Oudin's formula, which needs the mean alone.
        need = np.maximum(0.408 * above * (mean + 5) / 100, 0.1) * MONTH_DAYS
        rain_3, need_3 = (
            (np.roll(each, 1, 1) + 2 * each + np.roll(each, -1, 1)) / 4 for each in (rain, need)
        )
        rain_year, need_year = rain.sum(1, keepdims=True), need.sum(1, keepdims=True)
        vapour = np.exp(17.27 * mean / (mean + 237.3))
        found = {
            "rain-share": rain / (rain + need),
            "rain-share-3": rain_3 / (rain_3 + need_3),
            "rain-share-year": rain_year / (rain_year + need_year),
            "mean": mean,
            "year-range": np.ptp(mean, axis=1)[:, None],
            "sea-12": np.exp(-sea / 12),
            "sea-50": np.exp(-sea / 50),
            "sea-200": np.exp(-sea / 200),
            "height": metres[:, None] / 1000,
            "sun-above": above,
            "daylight": light,
            "cold": 1 / (1 + np.exp(mean / 3)),
            "log-rain": np.log1p(rain),
            "log-rain-year": np.log1p(rain_year),
            "sunshine": land["sunshine"],
            "moisture": land["moisture"],
            "humidity": land["moisture"] / np.maximum(vapour, 0.05),
            "hottest-above": land["hottest"] - mean.max(1, keepdims=True),
            "coldest-below": mean.min(1, keepdims=True) - land["coldest"],
            "wind": land["wind"],
        }
        return {name: value * np.ones_like(mean) for name, value in found.items()}


def terms(inputs: Inputs, names: tuple[str, ...], span: Array, *, second: bool) -> Array:
    """The terms of a model, spots and months x terms: a constant, the inputs scaled, and their products where it is of
    the second degree. `span` holds middle, scale, lowest and highest of each input.
    """
    middle, scale, low, high = span
    columns = [np.clip(inputs[name], low[k], high[k]).ravel() for k, name in enumerate(names)]
    x = (np.stack(columns, 1) - middle) / scale
    if second:
        i, j = np.triu_indices(x.shape[1])
        x = np.hstack([x, x[:, i] * x[:, j]])
    return np.hstack([np.ones((len(x), 1)), x])


def predict(model: dict[str, Array], inputs: Inputs) -> tuple[Array, Array]:
    """Daily range (K) and factor by month, spots x 12, from the model's numbers."""
    spots = inputs["mean"].shape[0]
    wide, log = np.empty((spots, 12)), np.empty((spots, 12))
    for at in range(0, spots, AT_ONCE):
        part = {name: value[at : at + AT_ONCE] for name, value in inputs.items()}
        rows = terms(part, RANGE_INPUTS, model["range_span"], second=True)
        wide[at : at + AT_ONCE] = (rows @ model["range"]).reshape(-1, 12)
        rows = terms(part, FACTOR_INPUTS, model["factor_span"], second=False)
        log[at : at + AT_ONCE] = (rows @ model["factor"]).reshape(-1, 12)
    return np.clip(wide, LEAST_K, MOST_K), np.exp(log)


def year_factor(mean: Array, wide: Array, monthly: Array, latitude: Array) -> Array:
    """One factor a spot: the monthly ones by the water that each month uses while grass grows."""
    grows = np.where(mean > GROWS_FROM_C, 1, ASLEEP_WEIGHT)
    weight = hargreaves(mean, wide, latitude) * MONTH_DAYS * grows
    factor = (weight * monthly).sum(1) / np.maximum(weight.sum(1), 1e-9)
    return np.clip(factor, LEAST_FACTOR, MOST_FACTOR)


def pack(values: Array, step: float) -> Array:
    """Steps as differences from the row before, months first."""
    whole = np.round(values / step).astype(np.int16)
    none = np.zeros((1, *whole.shape[1:]), np.int16)
    return (np.diff(whole, axis=0, prepend=none) % 256).astype(np.uint8).T.copy()


def spots(folder: pathlib.Path) -> dict[str, tuple[Array, ...]]:
    """Latitude, longitude, height (m), means and rain of the cells of each table; a town's cell stands at the height of
    its first town.
    """
    found: dict[str, tuple[Array, ...]] = {}
    with np.load(folder / "climate_grid.npz") as grid, np.load(folder / "heights.npz") as heights:
        key, columns, step = (
            np.cumsum(grid["cell"].astype(np.int64)),
            int(grid["ncol"]),
            float(grid["step"]),
        )
        latitude = float(grid["lat0"]) - key // columns * step
        longitude = -180 + step / 2 + key % columns * step
        metres = unpack_steps(heights["grid"], float(heights["step"]))
        found["grid"] = (latitude, longitude, metres, *unpack_months(grid))
    with np.load(folder / "places.npz") as towns, np.load(folder / "town_heights.npz") as heights:
        index = np.cumsum(towns["dcell"].astype(np.int64))
        first = np.unique(index, return_index=True)[1]
        cell = np.cumsum(towns["cell"].astype(np.int64))[index[first]]
        latitude = 90 - cell // 1440 * 0.25 + towns["dlat"][first] / 100.0
        longitude = -180 + cell % 1440 * 0.25 + towns["dlon"][first] / 100.0
        metres = unpack_steps(heights["height"], float(heights["step"]))[first]
        found["place"] = (latitude, longitude, metres, *unpack_months(towns))
    return found


def table() -> derive.Packed:
    """The arrays of the file."""
    ground = Ground(derive.read_world())
    with np.load(HERE / "day_range_model.npz") as file:
        model = {name: file[name] for name in file.files}
    made = {"step": np.array(STEP_K), "factor_step": np.array(FACTOR_STEP)}
    for name, (latitude, longitude, metres, mean, rain) in spots(
        HERE.parents[1] / "knowledge" / "climate"
    ).items():
        wide, monthly = predict(model, ground.inputs(latitude, longitude, metres, mean, rain))
        made[name] = pack(wide, STEP_K)
        made[f"{name}_factor"] = pack(year_factor(mean, wide, monthly, latitude), FACTOR_STEP)
    return made


if __name__ == "__main__":
    if len(sys.argv) != 2:
        raise SystemExit("Write the folder for the table: python tests/climate/derive_range.py FOLDER")
    np.savez_compressed(pathlib.Path(sys.argv[1]) / "day_range.npz", **table())  # type: ignore[arg-type]
