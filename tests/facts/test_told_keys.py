"""Facts that follow from what people say beside the questions: hours of play, days of work, ground of a part."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from decide.consult import Adviser
from decide.decision.diagnosis import Diagnosis, diagnose
from decide.explain.why_not import why_not
from decide.facts.new_grass import hours_of_day
from decide.facts.play import free_days
from decide.facts.start import Plant, machine
from decide.model.reading import situation_from_dict

TODAY = {"today": "2026-06-01"}
LEEDS = {"name": "Leeds", "country": "gb"}


def told(adviser: Adviser, **tables: Any) -> Diagnosis:
    tables.setdefault("dates", TODAY)
    return diagnose(adviser, situation_from_dict({"place": LEEDS, **tables}))


@pytest.mark.parametrize(
    ("field", "use", "hours"),
    [
        ({}, [{"sport": "football", "games_per_week": 3}], 6),
        ({}, [{"sport": "football", "games_per_week": 3, "hours_per_week": 5}], 5),
        ({"unbooked_hours_week": 4}, [{"sport": "football", "games_per_week": 3}], 10),
        ({"play_hours_week": 20}, [{"sport": "football"}, {"sport": "rugby"}], 20),
        ({"play_hours_week": 20, "unbooked_hours_week": 4}, [{"sport": "football"}], 24),
        ({"play_hours_week": 20}, None, 20),
        ({}, [{"sport": "football"}, {"sport": "rugby", "hours_per_week": 4}], None),
        ({"unbooked_hours_week": 4}, None, None),
    ],
)
def test_hours_of_play(
    adviser: Adviser, field: dict[str, float], use: list[dict[str, Any]] | None, hours: float | None
) -> None:
    tables: dict[str, Any] = {"field": field} | ({} if use is None else {"use": use})
    assert told(adviser, **tables).site.get("site.hours-peak") == hours


def test_a_total_is_played_only_in_the_months_of_play(adviser: Adviser) -> None:
    use = [{"sport": "football", "months": ["jan"]}]
    half = told(
        adviser,
        field={"play_hours_week": 9},
        use=use,
        zone=[{"name": "a", "grass": [{"grass": "perennial ryegrass"}]}],
    )
    assert half.site["site.hours-peak"] == 9
    assert half.zone_facts["a"]["zone.hours-growing"] == 0


@pytest.mark.parametrize(
    ("weeks", "in_play", "days"), [(3, None, 21), (3, False, 21), (3, True, 0), (None, None, None)]
)
def test_it_is_shut_no_longer_than_it_can_be(
    adviser: Adviser, weeks: float | None, in_play: bool | None, days: float | None
) -> None:
    zone: dict[str, Any] = {"name": "a"} | ({} if in_play is None else {"in_play": in_play})
    dates = TODAY | ({} if weeks is None else {"can_close_weeks": weeks})
    half = told(adviser, dates=dates, zone=[zone])
    assert free_days(half.filled, "a", half.filled.today) == days


def test_a_part_tells_its_own_ground(adviser: Adviser) -> None:
    half = told(
        adviser,
        field={"soil": "sand", "drainage": "good", "water_stands_hours": 1},
        zone=[{"name": "a"}, {"name": "b", "soil": "silt", "drainage": "poor", "water_stands_hours": 48}],
    )
    assert {name: half.site[name] for name in ("site.soil", "site.drainage", "site.ground-class")} == {
        "site.soil": "sand", "site.drainage": "good", "site.ground-class": "good",
    }  # fmt: skip
    assert not {name for name in half.zone_facts["a"] if name.startswith("site.")}
    own = {name: held for name, held in half.zone_facts["b"].items() if name.startswith("site.")}
    assert own == {
        "site.soil": "loam", "site.soil-kind": "silt", "site.drainage": "poor", "site.ground-class": "poor",
        "site.water-stands-hours": 48,
    }  # fmt: skip
    assert half.zone_facts["b"]["zone.cause-drainage"] is True
    assert half.zone_facts["a"].get("zone.cause-drainage") is not True


@pytest.mark.parametrize(
    ("told_soil", "counts"), [("silt", "loam"), ("peat", "loam"), ("chalk", "loam"), ("clay", "clay")]
)
def test_a_soil_counts_as_the_nearest_of_three(adviser: Adviser, told_soil: str, counts: str) -> None:
    half = told(adviser, field={"soil": told_soil})
    assert (half.site["site.soil"], half.site["site.soil-kind"]) == (counts, told_soil)


def test_a_spray_of_an_unknown_day_is_one_of_today(adviser: Adviser) -> None:
    half = told(adviser, history={"herbicides": [{"class": "mitosis-short"}]}, zone=[{"name": "a"}])
    assert half.zone_facts["a"]["zone.weeks-since.mitosis-short"] == 0


def test_no_more_water_than_the_tank_brings(adviser: Adviser) -> None:
    means: dict[str, Any] = {"water": "bowser", "water_litres_day": 2000}
    assert told(adviser, means=means).site["site.water-litres-day"] == 2000
    means |= {"flow_l_min": 10, "watering_hours_day": 1}
    assert told(adviser, means=means).site["site.water-litres-day"] == 600


def test_a_broken_machine_is_none(adviser: Adviser) -> None:
    means: dict[str, Any] = {"equipment_own": ["slit-seeder"], "equipment_hire": [], "contractor": False}
    whole = told(adviser, means=means).filled
    broken = told(adviser, means=means | {"equipment_broken": ["slit-seeder"]}).filled
    assert machine(Plant(whole, "perennial-ryegrass", "slit-seed")) == "own"
    assert machine(Plant(broken, "perennial-ryegrass", "slit-seed")) == "missing"


@pytest.mark.parametrize(
    ("day", "hours"),
    [({}, 20), ({"people": 30}, 120), ({"hours": 6}, 30), ({"people": 30, "hours": 6}, 180)],
)
def test_hours_of_a_day_of_work(adviser: Adviser, day: dict[str, float], hours: float) -> None:
    """Five people and four hours where nobody told."""
    half = told(adviser, means={"work_days": [{"date": "2026-06-06", **day}]})
    assert hours_of_day(half.filled, (half.filled.situation.means.work_days or [])[0]) == hours


def test_the_first_day_with_water_is_a_start(adviser: Adviser) -> None:
    half = told(
        adviser,
        means={"water": "hand hose", "water_from": "2026-08-20"},
        zone=[{"name": "a", "bare_percent": 90}],
    )
    days = {draft.start for draft in half.options() if draft.remedy == "establish"}
    assert dt.date(2026, 8, 20) in days


def test_what_is_ordered_on_the_first_day_with_money_is_a_start(adviser: Adviser) -> None:
    offer = [{"what": "seed", "lead_days": 3}]
    means = {"budget_from": "2026-08-20"}
    half = told(adviser, means=means, offer=offer, zone=[{"name": "a", "bare_percent": 90}])
    drafts = [draft for draft in half.options() if draft.method == "broadcast-seed" and draft.start]
    waits = {
        draft.start: half.measures.option(draft, half.zone_facts["a"])["option.money-days-wait"]
        for draft in drafts
    }
    assert waits[dt.date(2026, 8, 23)] == 0
    assert all(wait == (dt.date(2026, 8, 23) - start).days for start, wait in waits.items() if start)


@pytest.mark.parametrize(
    ("matches_by", "missed"),
    [("2026-09-01", "full"), ("2027-06-01", "light")],
)
def test_of_two_dates_the_one_that_is_missed_by_more_counts(
    adviser: Adviser, matches_by: str, missed: str
) -> None:
    dates = {"today": "2026-08-20", "play_by": "2026-09-01", "matches_by": matches_by}
    half = told(adviser, dates=dates, zone=[{"name": "a", "bare_percent": 90}])
    draft = next(d for d in half.options() if d.method == "slit-seed" and d.start is not None)
    facts = half.measures.option(draft, half.zone_facts["a"])
    assert facts["option.spare.late"] == facts[f"option.spare-{missed}.late"]
    assert facts["option.spare-light.late"] != facts["option.spare-full.late"]


@pytest.mark.parametrize("grass", ["bentgrass", "annual-bluegrass"])
def test_a_grass_that_only_stands_is_never_planted(adviser: Adviser, grass: str) -> None:
    zone = [{"name": "a", "bare_percent": 30, "grass": [{"grass": grass, "state": "green"}]}]
    half = told(adviser, zone=zone)
    assert half.zone_facts["a"]["zone.main-grass"] == grass
    drafts = half.options()
    assert drafts
    assert grass not in {draft.plant for draft in drafts}
    said = why_not(adviser.consult(half.filled.situation), grass)
    assert "is not planted for play" in said.text
