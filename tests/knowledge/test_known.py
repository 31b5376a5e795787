"""A situation may name any row of the knowledge, and no other; what is wrong is said with the nearest word."""

from __future__ import annotations

import pytest

from decide.knowledge.known import check_known
from decide.knowledge.load import read_knowledge
from decide.model.errors import SituationError
from decide.model.reading import situation_from_dict


@pytest.mark.parametrize(
    ("told", "says"),
    [
        (
            {"means": {"equipment_own": ["rake", "Slit Seedr"]}},
            "situation: means.equipment_own[2]: 'slit-seedr' is not a machine or tool here. Write 'slit-seeder'?",
        ),
        (
            {"offer": [{"what": "hire", "tool": "correr"}]},
            "situation: offer[1].tool: 'correr' is not a machine or tool here. Write 'corer'?",
        ),
        (
            {"zone": [{"name": "a", "cause": "over use"}]},
            "situation: zone[1].cause: 'over-use' is not a cause here. Write 'overuse'?",
        ),
        (
            {"wishes": {"method": "slit seeding"}},
            "situation: wishes.method: 'slit-seeding' is not a method here. Write 'slit-seed'?",
        ),
        (
            {"wishes": {"grass": "tal fescue"}},
            "situation: wishes.grass: 'tal-fescue' is not a grass or mixture here. Write 'tall-fescue'?",
        ),
        (
            {"proposal": [{"step": "sow", "mixture": "zz"}]},
            "situation: proposal[1].mixture: 'zz' is not a grass or mixture here. Known: {grasses}",
        ),
        (
            {
                "ongoing": [
                    {
                        "method": "broadcast-seed",
                        "grass": "tall fescue",
                        "start": "2026-04-01",
                        "thickness_mm": 20,
                    }
                ]
            },
            "situation: ongoing[1]: thickness_mm is of sod, and the method is broadcast-seed. Take it out",
        ),
    ],
)
def test_a_name_that_there_is_not_is_refused(knowledge, told, says):
    with pytest.raises(SituationError) as caught:
        check_known(knowledge, situation_from_dict(told))
    assert str(caught.value) == says.replace("{grasses}", ", ".join(knowledge.grasses))


def test_other_names_of_a_grass_are_known(knowledge):
    check_known(knowledge, situation_from_dict({"wishes": {"grass": "Smooth-stalked meadow-grass"}}))


def test_a_machine_of_a_folder_laid_over_is_known(tmp_path, knowledge):
    (tmp_path / "equipment.toml").write_text(
        '[steam-mower]\nname = "steam mower"\ndoes = "It cuts the grass."\nsources = ["common-practice"]',
        encoding="utf-8",
    )
    situation = situation_from_dict({"means": {"equipment_own": ["steam mower"]}})
    check_known(read_knowledge(..., tmp_path), situation)
    with pytest.raises(SituationError, match="'steam-mower' is not a machine"):
        check_known(knowledge, situation)
