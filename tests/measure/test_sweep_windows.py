"""Windows over the land of the world: no error, no empty window without its reason, nothing sown into frozen ground.

The slow run takes every 40th land cell of the climate grid; python tests/test_sweep_windows.py 1 takes every cell.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[2]))

from decide.answer.planting_calendar import PlantingCalendar, planting_calendar
from decide.facts.complete import fill
from decide.facts.filled import Filled
from decide.facts.library import Library
from decide.knowledge.load import knowledge_folder, read_knowledge
from decide.knowledge.plants import constants_of, names_of
from decide.measure import soil, windows
from decide.measure.window import Windows
from decide.model.reading import read_situation

EVERY = 40
QUALITIES = ("good", "fair", "dormant")


def cells(every: int) -> Iterator[tuple[float, float]]:
    """Latitude and longitude of every n-th land cell of the climate grid."""
    with np.load(knowledge_folder() / "climate" / "climate_grid.npz", allow_pickle=False) as file:
        cell = np.cumsum(file["cell"].astype(np.int64))[::every]
        north, west, step, columns = (float(file[name]) for name in ("lat0", "lon0", "step", "ncol"))
    for number in cell.tolist():
        row, column = divmod(number, int(columns))
        yield north - row * step, (west + column * step + 180) % 360 - 180


def wrong(found: Windows, soil_c: list[float], seeded: bool) -> list[str]:
    """What is wrong with the windows of one grass and start."""
    said = []
    if bool(found.windows) == bool(found.empty_why):
        said.append("windows and a reason for none, or neither")
    if found.empty_why and found.empty_why not in windows.EMPTIES:
        said.append(f"reason {found.empty_why!r}")
    covered = np.zeros(365, dtype=int)
    for window in found.windows:
        if not {window.why_opens, window.why_closes} <= set(windows.EDGES) or window.quality not in QUALITIES:
            said.append(f"codes of {window}")
        days = (window.opens - 1 + np.arange(window.days)) % 365
        covered[days] += 1
        if seeded and window.quality != "dormant" and min(soil_c[d] for d in days) < 0:
            said.append(f"{window.quality} on frozen ground: {window.opens} to {window.closes}")
    if covered.max(initial=0) > 1:
        said.append("windows overlap")
    return said


def sweep(every: int) -> tuple[int, list[str], Counter[str]]:
    """Every grass and start, and winter overseeding, at every n-th cell: how many, what is wrong, and why windows are missing."""
    knowledge = read_knowledge()
    numbers, library = constants_of(knowledge), Library(knowledge)
    seen, bad, missing = 0, list[str](), Counter[str]()
    for latitude, longitude in cells(every):
        climate = library.tables.climate_at(latitude, longitude)
        season = library.season(climate, None, None)
        soil_c = [soil.soil_normal(season.site.year, day, numbers.soil).celsius for day in range(1, 366)]
        for key, variant in [
            *((key, "plain") for key in names_of(knowledge).keys),
            ("perennial-ryegrass/seed", "winter-overseed"),
            ("annual-ryegrass/seed", "winter-overseed"),
        ]:
            found = season.windows(key, variant)
            seen += 1
            missing[found.empty_why] += 1
            seeded = key.endswith(("/seed", "/sprigs", "/plugs"))
            bad += [
                f"{latitude:.2f} {longitude:.2f} {key} {variant}: {text}"
                for text in wrong(found, soil_c, seeded)
            ]
    return seen, bad, missing


@pytest.mark.slow
def test_windows_everywhere() -> None:
    seen, bad, missing = sweep(EVERY)
    assert seen > 50_000
    assert bad == []
    # Each reason is met somewhere: one that nothing gives would be a dead sentence.
    assert set(missing) - {""} == set(windows.EMPTIES)


def filled_at(library: Library, latitude: float, longitude: float) -> Filled:
    return fill(
        read_situation(
            f"[place]\nlatitude = {latitude:.2f}\nlongitude = {longitude:.2f}\n[dates]\ntoday = 2026-05-20\n"
        ),
        library,
    )


@pytest.mark.slow
def test_the_calendar_of_any_land_says_why() -> None:
    """Every row of the calendar has windows or a sentence, each edge its own, and frost its doubt."""
    library = Library(read_knowledge())
    for latitude, longitude in cells(10 * EVERY):
        found: PlantingCalendar = planting_calendar(filled_at(library, latitude, longitude))
        where = f"{latitude:.2f} {longitude:.2f}"
        assert found.rows or found.not_here, where
        for row in found.rows:
            assert bool(row.spans) != bool(row.none_why), where
            assert all(
                edge.why and "{" not in edge.why for span in row.spans for edge in (span.opens, span.closes)
            ), where
        assert (
            not found.frost.first or "off by" in found.frost.says or "Frost may come" in found.frost.says
        ), where


def test_the_cells_are_land_where_grass_may_grow() -> None:
    """The grid leaves out what lies south of 56 S or north of 70 N, so no cell may lie there."""
    found = list(cells(997))
    assert len(found) > 50
    assert all(-57 <= latitude <= 71 and -180 <= longitude <= 180 for latitude, longitude in found)


def main() -> None:
    every = int(sys.argv[1]) if len(sys.argv) > 1 else EVERY
    start = time.perf_counter()
    seen, bad, missing = sweep(every)
    print(f"{seen} windows at every {every}th cell in {time.perf_counter() - start:.0f} s; wrong: {len(bad)}")
    print("missing: " + ", ".join(f"{code or 'none'} {count}" for code, count in sorted(missing.items())))
    print("\n".join(bad[:40]))


if __name__ == "__main__":
    main()
