"""The numbers that the measures read: all there, all read, and as the other tables have it."""

import dataclasses

import pytest

from decide.measure import numbers as needed
from tests.shared import names


def test_every_name_is_asked_for_and_no_other(knowledge) -> None:
    asked = set()

    def value(name: str, key: str) -> float | None:
        asked.add(name)
        return knowledge.value(name, key)

    needed.constants(value, names())
    assert asked == needed.NEEDED


def test_every_number_of_these_files_is_read(knowledge) -> None:
    mine = {
        n
        for n, v in knowledge.values.items()
        if v.subject in ("climate", "readiness", "germination", "water-need", "quantities")
    }
    assert len(mine) > 100
    assert mine <= needed.NEEDED


def test_every_key_of_these_files_is_one_the_measures_know(knowledge) -> None:
    families = {"grass-start": names().keys, "grass": names().plants, "season-type": ("cool", "warm")}
    for name in needed.NEEDED:
        value = knowledge.values[name]
        for key in value.used:
            assert key in families.get(value.by, (key,)), (name, key)


def test_grasses_and_methods_are_those_of_the_tables(knowledge) -> None:
    assert {*names().cool, *names().warm} == {code for code, row in knowledge.grasses.items() if row.made_by}
    assert "perennial-ryegrass" in names().cool
    assert names().mixtures["bluegrass-with-ryegrass"] == "kentucky-bluegrass"
    assert names().like["manilagrass"] == "japanese-zoysiagrass"
    assert names().methods[0] == "broadcast-seed"
    assert "hybrid-bermudagrass/plugs" in names().keys


def test_a_missing_number_is_named() -> None:
    with pytest.raises(ValueError, match="'place-reach' has no data"):
        needed.constants(lambda name, key: None, names())


def test_constants_cannot_be_changed(numbers) -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        numbers.sand_density = 2
    with pytest.raises(TypeError):
        numbers.plants.needs["a"] = {}


def test_claims_are_not_the_early_end(numbers) -> None:
    """Four weeks for ryegrass is a claim; the least published need has a floor of six weeks to full play."""
    assert numbers.claims["perennial-ryegrass/seed"] == (4, 4)
    assert numbers.claims["kentucky-bluegrass/seed"] == (10, 12)
    assert numbers.plants.needs["perennial-ryegrass/seed"]["full-play"].floor_weeks == 6
    assert numbers.claims["kentucky-bluegrass/thick-sod"] == (0, 0)


def test_ends_of_each_need_are_in_order(numbers) -> None:
    for key, stages in numbers.plants.needs.items():
        for stage, need in stages.items():
            if need.heat_middle is not None:
                assert need.heat_early <= need.heat_middle <= need.heat_late, (key, stage)
            else:
                assert need.weeks_early <= need.weeks_late, (key, stage)
