"""What is made of a place once: the latest eight are kept, and what is kept is not made again."""

from __future__ import annotations

import datetime as dt
from types import SimpleNamespace

import numpy as np
import pytest

from decide.facts import library as module
from decide.facts.library import Library, Placed
from decide.measure.places import Tables
from decide.measure.weather import DailyWeather
from tests.shared import knowledge

KEPT = 8


@pytest.fixture
def library() -> Library:
    return Library(knowledge())


def test_the_years_of_the_latest_eight_files_are_read_once(
    library: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    read: list[float] = []
    monkeypatch.setattr(
        module, "daily", SimpleNamespace(record=lambda weather, _: read.append(float(weather.low[0])))
    )
    files = [DailyWeather(dt.date(2001, 1, 1), *np.full((3, 2), n)) for n in range(KEPT + 1)]
    for file in files[:KEPT] * 2:
        library.record(file)
    assert read == [*range(KEPT)]
    # A ninth takes the place of the oldest, and of no other.
    for file in (files[KEPT], *files[1:KEPT], files[0]):
        library.record(file)
    assert read == [*range(KEPT + 1), 0]


def test_the_seasons_of_the_latest_eight_places_are_kept(library: Library, tables: Tables) -> None:
    climates = [tables.cell_climate_at(40.0 + n, 10.0) for n in range(KEPT + 1)]
    made = [library.season(climate, None, None) for climate in climates[:KEPT]]
    assert [library.season(climate, None, None) for climate in climates[:KEPT]] == made
    library.season(climates[KEPT], None, None)
    assert [library.season(climate, None, None) for climate in climates[1:KEPT]] == made[1:]
    assert library.season(climates[0], None, None) is not made[0]


def test_frost_days_that_were_told_make_another_season(library: Library, tables: Tables) -> None:
    climate = tables.cell_climate_at(45.0, 10.0)
    seasons = [library.season(climate, *days) for days in ((None, None), (290, None), (None, 110))]
    assert len({id(season) for season in seasons}) == 3
    assert [(s.site.frost.first, s.site.frost.last) for s in seasons[1:]] == [
        (290, seasons[0].site.frost.last), (seasons[0].site.frost.first, 110),
    ]  # fmt: skip


def test_what_the_latest_eight_told_places_come_to_is_kept(library: Library) -> None:
    found = [Placed(None, None, "", "", f"place {n}", ()) for n in range(KEPT + 1)]
    for n, each in enumerate(found):
        library.keep_placed((str(n), None), each)
    assert [*library.placed.values()] == found[1:]


def test_readiness_of_a_day_is_worked_out_once_for_each_share_of_growth(
    library: Library, tables: Tables
) -> None:
    season = library.season(tables.cell_climate_at(45.0, 10.0), None, None)
    full = season.readiness("perennial-ryegrass/seed", 240)
    assert season.readiness("perennial-ryegrass/seed", 240) is full
    slow = season.readiness("perennial-ryegrass/seed", 240, 0.7)
    # Less light and water put off the late day alone.
    assert [slow[stage].middle for stage in full] == [full[stage].middle for stage in full]
    assert (slow["full-play"].late or 0) > (full["full-play"].late or 0)
