"""Order of options: like goes before another grass where all grades are equal, and a hybrid stand is mended with its like."""

from __future__ import annotations

import datetime as dt

import pytest

from decide.engine.language import CRITERIA
from decide.options import Draft
from decide.situation import situation_from_dict
from decide.weigh import LIKE_TO_LIKE, Weighed, first_difference, sort_key

DAY = dt.date(2026, 5, 25)


def weighed(plant, first, ready=None):
    facts = {"option.goes-first": True} if first else {}
    return Weighed(
        Draft("a", "establish", "thin-sod", plant, start=DAY), facts, grades=dict.fromkeys(CRITERIA, "fair"), verdict="sound", ready=ready
    )  # fmt: skip


def test_of_options_judged_alike_the_standing_grass_goes_before_the_alphabet_and_the_date(knowledge):
    order = knowledge.order
    common, hybrid = weighed("common-bermudagrass", False, DAY), weighed("hybrid-bermudagrass", True, DAY + dt.timedelta(days=3))
    assert sorted([common, hybrid], key=lambda w: sort_key(w, order)) == [hybrid, common]
    assert first_difference(hybrid, common, order) == LIKE_TO_LIKE
    hybrid.grades["lasts"] = "weak"
    assert sorted([common, hybrid], key=lambda w: sort_key(w, order)) == [common, hybrid]
    assert first_difference(common, hybrid, order) == "lasts"


@pytest.mark.parametrize(("standing", "wanted"), [("hybrid-bermudagrass", "weak"), ("common-bermudagrass", "strong")])
def test_common_bermudagrass_does_not_go_into_a_hybrid_stand(adviser, standing, wanted):
    """Common practice, no source: common bermudagrass is an off-type in a hybrid stand."""
    c = adviser.diagnose(
        situation_from_dict({
            "dates": {"today": DAY.isoformat(), "play_by": "2026-08-31"},
            "place": {"name": "Macon", "region": "Georgia", "country": "us"},
            "use": [{"sport": "football", "hours_per_week": 8, "months": ["sep", "oct"], "players": "youth"}],
            "zone": [{"name": "goalmouths", "bare_percent": 90, "bare_pattern": "solid", "grass": [{"grass": standing, "state": "green"}]}],
        })
    )  # fmt: skip
    option = c.weigh([Draft("goalmouths", "establish", "thin-sod", "common-bermudagrass", start=DAY)])
    (found,) = option.values()
    assert found.grades["fits-place"] == wanted
    assert found.facts.get("option.goes-first", False) is (standing == "common-bermudagrass")
