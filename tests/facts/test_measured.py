"""Facts of zones: what was done before counts where it was done, and a lone part of the field is not the field."""

from __future__ import annotations

import pytest

from decide.decision.diagnosis import diagnose
from decide.model.reading import situation_from_dict

SITUATION = {
    "dates": {"today": "2026-05-12"},
    "place": {"name": "York", "country": "gb"},
    "use": [{"sport": "football", "hours_per_week": 4, "months": ["sep"], "players": "adult"}],
}


def diagnosed(adviser, names, **tables):
    return diagnose(
        adviser, situation_from_dict({**SITUATION, **tables, "zone": [{"name": name} for name in names]})
    )


# Ten weeks before the day; by hand.
SPRAYED = {
    "herbicides": [{"class": "auxin-phenoxy", "date": "2026-03-03", "zone": "field"}],
    "sown": [{"date": "2026-03-03", "zone": "field"}],
}


def test_history_of_a_zone_called_field_is_its_own_where_there_is_such_a_zone(adviser):
    zones = diagnosed(adviser, ["field", "goalmouths"], history=SPRAYED).zone_facts
    assert zones["field"]["zone.weeks-since.auxin-phenoxy"] == 10
    assert zones["field"]["zone.weeks-since-sown"] == 10
    assert zones["goalmouths"]["zone.sprayed.auxin-phenoxy"] is False
    assert "zone.weeks-since.auxin-phenoxy" not in zones["goalmouths"]
    assert zones["goalmouths"]["zone.weeks-since-sown"] > 10


@pytest.mark.parametrize("word", ["field", "whole field", "all"])
def test_history_of_the_field_is_that_of_every_zone_where_no_zone_has_that_name(adviser, word):
    rows = {name: [{**row, "zone": word} for row in listed] for name, listed in SPRAYED.items()}
    for facts in diagnosed(adviser, ["middle", "goalmouths"], history=rows).zone_facts.values():
        assert facts["zone.weeks-since.auxin-phenoxy"] == 10
        assert facts["zone.weeks-since-sown"] == 10


def test_a_lone_part_is_not_as_large_as_the_field(adviser):
    """A wet corner of a field of 7,000 m² was once planned as 7,000 m²."""
    assert diagnosed(adviser, ["wet corner"], field={"area_m2": 7000}).filled.areas == {}
    assert diagnosed(adviser, ["wet corner"]).filled.areas == {}
    assert diagnosed(adviser, ["whole field"], field={"area_m2": 7000}).filled.areas == {"whole-field": 7000}
    assert diagnosed(adviser, ["Pitch"], field={"area_m2": 7000}).filled.areas == {"pitch": 7000}


@pytest.mark.parametrize(
    ("country", "town", "day", "season"),
    [("gb", "York", "2026-05-31", "spring"), ("gb", "York", "2026-06-01", "summer"), ("nz", "Hamilton", "2026-05-31", "autumn"),
     ("nz", "Hamilton", "2026-06-01", "winter")],
)  # fmt: skip
def test_the_season_of_a_step_is_that_of_its_half_of_the_earth(adviser, country, town, day, season):
    place, step = {"name": town, "country": country}, {"step": "aerate", "start": day}
    c = adviser.consult(
        situation_from_dict({**SITUATION, "place": place, "zone": [{"name": "field"}], "proposal": [step]})
    )
    assert c.steps[0].facts["step.season"] == season
    assert (
        "step.season"
        not in adviser.consult(
            situation_from_dict(
                {"dates": SITUATION["dates"], "zone": [{"name": "field"}], "proposal": [step]}
            )
        )
        .steps[0]
        .facts
    )
