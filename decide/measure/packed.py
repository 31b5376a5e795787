"""Reads the packed tables of a folder: monthly normals, daily ranges, heights of cells and of towns."""

import functools
import pathlib
from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from decide.measure.climate import Floats


def unpack_months(table: Mapping[str, npt.NDArray[np.generic]]) -> tuple[Floats, Floats]:
    """Temperatures (C) and rain (mm) of a packed table, one row a cell."""
    mean = np.cumsum(np.asarray(table["mean"], dtype=np.int64))
    deviation = np.cumsum(np.asarray(table["dev"], dtype=np.int64).T, axis=0)
    rain = np.cumsum(np.asarray(table["rain"], dtype=np.int64).T, axis=0) % 256
    return (mean[:, None] + deviation) / 5.0, (rain / 5.0) ** 2


def unpack_wrapped(packed: npt.NDArray[np.generic], step: float) -> Floats:
    """Numbers stored in bytes as differences from the row before, months first, in steps; one row a cell."""
    return np.asarray(np.cumsum(packed.T.astype(np.int64), axis=0) % 256 * step, dtype=np.float64)


def unpack_steps(packed: npt.NDArray[np.generic], step: float) -> Floats:
    """Numbers stored as differences from the row before, in steps."""
    return np.asarray(np.cumsum(packed.astype(np.int64)) * step, dtype=np.float64)


class Packed:
    """The packed tables of one folder; each file is read when first needed."""

    def __init__(self, folder: str | pathlib.Path) -> None:
        self._folder = pathlib.Path(folder)
        self._day_ranges: dict[str, tuple[Floats, Floats]] = {}

    def read(self, name: str) -> dict[str, npt.NDArray[np.generic]]:
        """The arrays of a file."""
        with np.load(self._folder / name, allow_pickle=False) as file:
            return {key: file[key] for key in file.files}

    @functools.cached_property
    def cell_heights(self) -> tuple[Floats, Floats]:
        """Mean height of the ground, m, of each cell of the grid and of each climate cell of the places."""
        table = self.read("heights.npz")
        step = float(table["step"])
        return unpack_steps(table["grid"], step), unpack_steps(table["place"], step)

    @functools.cached_property
    def town_heights(self) -> Floats:
        """Height of the ground, m, of each place of the table."""
        table = self.read("town_heights.npz")
        return unpack_steps(table["height"], float(table["step"]))

    def day_ranges(self, name: str) -> tuple[Floats, Floats]:
        """Of the cells of the "grid" or of each "place": mean daily range by month, K, and the factor that
        brings Hargreaves' equation to that of Penman and Monteith over the year.
        """
        if name not in self._day_ranges:
            with np.load(self._folder / "day_range.npz", allow_pickle=False) as table:
                self._day_ranges[name] = (
                    unpack_wrapped(table[name], float(table["step"])),
                    unpack_wrapped(table[f"{name}_factor"], float(table["factor_step"])),
                )
        return self._day_ranges[name]
