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


def months_of_cell(table: Mapping[str, npt.NDArray[np.generic]], n: int) -> tuple[Floats, Floats]:
    """One row of `unpack_months`, without unpacking the others."""
    mean, deviation, rain = (_summed(table[name], n) for name in ("mean", "dev", "rain"))
    return (mean + deviation) / 5.0, (rain % 256 / 5.0) ** 2


def _summed(packed: npt.NDArray[np.generic], n: int) -> npt.NDArray[np.int64]:
    """The row of a cell, of numbers stored as differences from the row before, months first."""
    return np.asarray(packed[..., : n + 1].astype(np.int64).sum(axis=-1), dtype=np.int64)


def unpack_steps(packed: npt.NDArray[np.generic], step: float) -> Floats:
    """Numbers stored as differences from the row before, in steps."""
    return np.asarray(np.cumsum(packed.astype(np.int64)) * step, dtype=np.float64)


class Packed:
    """The packed tables of one folder; each file is read when first needed."""

    def __init__(self, folder: str | pathlib.Path) -> None:
        self._folder = pathlib.Path(folder)
        self._ranges: dict[str, tuple[npt.NDArray[np.generic], float, npt.NDArray[np.generic], float]] = {}

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

    def day_range(self, name: str, n: int) -> tuple[Floats, Floats]:
        """Of a cell of the "grid" or of the "place": mean daily range by month, K, and the factor that
        brings Hargreaves' equation to that of Penman and Monteith over the year.
        """
        ranges, step, factor, factor_step = self._day_ranges(name)
        return (
            np.asarray(_summed(ranges, n) % 256 * step, dtype=np.float64),
            np.asarray(_summed(factor, n) % 256 * factor_step, dtype=np.float64),
        )

    def _day_ranges(self, name: str) -> tuple[npt.NDArray[np.generic], float, npt.NDArray[np.generic], float]:
        if name not in self._ranges:
            with np.load(self._folder / "day_range.npz", allow_pickle=False) as table:
                self._ranges[name] = (
                    table[name],
                    float(table["step"]),
                    table[f"{name}_factor"],
                    float(table["factor_step"]),
                )
        return self._ranges[name]
