"""Published statements about single steps: what each source says of a case, and the judgement that it asks for."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

import pytest

from decide.model.reading import read_situation
from tests.shared import adviser, sampled


def judgement_of(situation: dict[str, Any]) -> str:
    """The judgement on the only proposal of `situation`."""
    (step,) = adviser().consult(read_situation(json.dumps(situation))).steps
    return step.verdict


@dataclass(frozen=True)
class Statement:
    """What one source says of a step, in our words; the case; and the judgements that agree with it."""

    id: str
    source: str
    says: str
    situation: dict[str, Any]
    expect: tuple[str, ...]


ALBANY = {"country": "us", "region": "us-ny", "latitude": 42.65, "longitude": -73.75}
BURLINGTON = {"country": "us", "region": "us-vt", "latitude": 44.48, "longitude": -73.21}
TRENTON = {"country": "us", "region": "us-nj", "latitude": 40.22, "longitude": -74.77}
HARRISBURG = {"country": "us", "region": "us-pa", "latitude": 40.27, "longitude": -76.88}
COLUMBUS = {"country": "us", "region": "us-oh", "latitude": 39.96, "longitude": -83.0}
MACON = {"country": "us", "region": "us-ga", "latitude": 32.84, "longitude": -83.63}
RALEIGH = {"country": "us", "region": "us-nc", "latitude": 35.78, "longitude": -78.64}
DOVER = {"country": "us", "region": "us-de", "latitude": 39.16, "longitude": -75.52}
JACKSON = {"country": "us", "region": "us-ms", "latitude": 32.3, "longitude": -90.18}
DENVER = {"country": "us", "region": "us-co", "latitude": 39.74, "longitude": -104.99}
TUCSON = {"country": "us", "region": "us-az", "latitude": 32.22, "longitude": -110.97}
LINCOLN = {"country": "us", "region": "us-ne", "latitude": 40.81, "longitude": -96.7}
AMES = {"country": "us", "region": "us-ia", "latitude": 42.03, "longitude": -93.62}
LAFAYETTE = {"country": "us", "region": "us-in", "latitude": 40.42, "longitude": -86.9}
MANHATTAN = {"country": "us", "region": "us-ks", "latitude": 39.18, "longitude": -96.57}
READING = {"country": "gb", "latitude": 51.45, "longitude": -0.97}

BLUEGRASS = {"grass": "kentucky-bluegrass", "share_percent": 100, "state": "green"}
BERMUDA_BROWN = {"grass": "common-bermudagrass", "share_percent": 100, "state": "dormant"}
BERMUDA_GREEN = {"grass": "common-bermudagrass", "share_percent": 100, "state": "green"}


def case(
    place: dict[str, Any],
    today: str,
    proposal: dict[str, Any],
    ground: str = "open",
    **tables: dict[str, Any],
) -> dict[str, Any]:
    """A situation of one zone of sound bluegrass, with `tables` laid over it."""
    zone = {
        "name": "middle",
        "bare_percent": 5,
        "weeds_percent": 5,
        "grass": [BLUEGRASS],
        "in_play": False,
        **tables.get("zone", {}),
    }
    situation: dict[str, Any] = {
        "place": place,
        "dates": {"today": today, **tables.get("dates", {})},
        "site": {
            "school": False,
            "public": False,
            "goals_anchored": True,
            "services_marked": True,
            "dangers": ["none"],
            **tables.get("site", {}),
        },
        "field": {
            "area_m2": 7000,
            "soil": "loam",
            "rootzone": "native",
            "drainage": "good",
            "crown": "sound",
            **tables.get("field", {}),
        },
        "zone": [zone],
        "now": {"ground": ground, **tables.get("now", {})},
        "history": {
            "herbicides": [],
            "fertilizers": [],
            "sown": [],
            "sod_laid": [],
            **tables.get("history", {}),
        },
        "limits": {
            "pesticides": "allowed",
            "phosphorus_law": "allowed",
            "water_law": "none",
            **tables.get("limits", {}),
        },
        "proposal": [{"zone": "middle", "start": today, **proposal}],
    }
    return situation


STATEMENTS = (
    Statement(
        "roll-in-water",
        "Rolling natural grass infields, SportsField Management magazine, 2014",
        "A field on which water is seen or heard must not be rolled.",
        case(COLUMBUS, "2025-03-20", {"step": "roll", "tool": "light roller"}, "waterlogged"),
        ("ruled-out",),
    ),
    Statement(
        "roll-frost-heave",
        "Rolling athletic fields, Ohio State University, 2016",
        "A light roller on moist, not wet, soil smooths what frost has lifted.",
        case(COLUMBUS, "2025-04-05", {"step": "roll", "tool": "light roller"}, zone={"compaction": "firm"}),
        ("sound",),
    ),
    Statement(
        "roll-for-the-grade",
        "Rolling athletic fields, Ohio State University, 2016",
        "Rolling does not mend a poor grade.",
        case(COLUMBUS, "2025-04-05", {"step": "roll", "tool": "light roller"}, field={"crown": "dished"}),
        ("not-advised",),
    ),
    Statement(
        "heavy-roller-then-core",
        "Tall fescue monograph: rolling, Oregon State University, undated",
        "A heavy roller may level small bumps when coring follows.",
        case(COLUMBUS, "2025-04-20", {"step": "roll", "tool": "heavy roller"}, zone={"compaction": "firm"}),
        ("sound-if",),
    ),
    Statement(
        "new-york-january",
        "Environmental Conservation Law 17-2103, State of New York, undated copy",
        "No fertiliser on turf from 1 December to 1 April.",
        case(ALBANY, "2025-01-10", {"step": "fertilise"}),
        ("ruled-out",),
    ),
    Statement(
        "vermont-november",
        "Act 37 summary, Vermont Legislature, 2011",
        "No fertiliser on turf after 15 October or before 1 April.",
        case(BURLINGTON, "2025-11-20", {"step": "fertilise"}),
        ("ruled-out",),
    ),
    Statement(
        "new-jersey-january",
        "New Jersey Statutes 58:10A-62, 2024",
        "No nitrogen or phosphorus from 15 November to 1 March.",
        case(TRENTON, "2025-01-20", {"step": "fertilise"}),
        ("ruled-out",),
    ),
    Statement(
        "new-jersey-storm",
        "New Jersey Statutes 58:10A-62, 2024",
        "No feeding in or before heavy rain.",
        case(TRENTON, "2025-05-10", {"step": "fertilise", "storm_due": "yes"}),
        ("ruled-out",),
    ),
    Statement(
        "pennsylvania-february",
        "Act 83 of 2022, Penn State Extension, 2022",
        "No nitrogen or phosphorus on turf from 15 December to 1 March.",
        case(HARRISBURG, "2025-02-10", {"step": "fertilise"}),
        ("ruled-out",),
    ),
    Statement(
        "pennsylvania-too-much",
        "Fertilizer law: homeowners and residents, Pennsylvania Department of Agriculture, 2022",
        "At most 0.9 lb of total nitrogen on 1,000 square feet a time.",
        case(HARRISBURG, "2025-05-10", {"step": "fertilise", "amount": 1.2, "unit": "lb-1000ft2"}),
        ("ruled-out",),
    ),
    Statement(
        "brown-bermudagrass-fed",
        "Maintenance guidelines for a bermudagrass athletic field, University of Missouri, undated",
        "No feed on dormant bermudagrass.",
        case(MACON, "2025-01-15", {"step": "fertilise", "storm_due": "no"}, zone={"grass": [BERMUDA_BROWN]}),
        ("not-advised",),
    ),
    Statement(
        "feed-on-frozen-ground",
        "Act 83 of 2022, Penn State Extension, 2022",
        "No feed on frozen or snow-covered ground.",
        case(HARRISBURG, "2025-03-05", {"step": "fertilise"}, "frozen"),
        ("ruled-out",),
    ),
    Statement(
        "school-new-york",
        "Guidance for emergency pesticide determinations, New York State Department of Health, 2011",
        "No pesticide on school playing fields without a declared emergency.",
        case(
            ALBANY,
            "2025-06-10",
            {"step": "spray", "class": "auxin-phenoxy", "wind": "breeze", "mowings": 40},
            site={"school": True},
            limits={"pesticides": "licensed only"},
        ),
        ("ruled-out",),
    ),
    Statement(
        "calm-evening",
        "Watch winds and hit the sweet spot to apply herbicides, NC State Extension, 2018",
        "Still air at dusk is often an inversion in which spray drifts far.",
        case(
            RALEIGH,
            "2025-05-12",
            {
                "step": "spray",
                "class": "auxin-phenoxy",
                "wind": "calm",
                "time_of_day": "evening",
                "mowings": 40,
            },
        ),
        ("not-advised",),
    ),
    Statement(
        "auxin-in-heat",
        "Volatilization and drift of broadleaf weed killers, University of Delaware, 2008",
        "Not when 85 F or more is expected.",
        case(
            DOVER,
            "2025-07-12",
            {
                "step": "spray",
                "class": "auxin-phenoxy",
                "wind": "breeze",
                "time_of_day": "morning",
                "mowings": 40,
            },
            now={"day_temp_f": 90, "night_temp_f": 70},
        ),
        ("not-advised",),
    ),
    Statement(
        "preemergent-on-new-seed",
        "Preemergence herbicides for annual grassy weeds, Ohio State University, 2005",
        "Turf is new until it has been mown three times, and ordinary pre-emergents stop it.",
        case(
            COLUMBUS,
            "2025-05-05",
            {"step": "spray", "class": "mitosis-long", "wind": "breeze", "mowings": 1},
            history={"sown": [{"grass": "kentucky-bluegrass", "date": "2025-04-01", "zone": "middle"}]},
        ),
        ("ruled-out",),
    ),
    Statement(
        "three-way-after-one-cut",
        "Controlling broadleaf weeds in newly seeded areas, Purdue University, 2011",
        "Three-way broadleaf mixtures wait for two to three mowings of the new turf.",
        case(
            LAFAYETTE,
            "2025-05-20",
            {
                "step": "spray",
                "class": "auxin-phenoxy",
                "wind": "breeze",
                "time_of_day": "morning",
                "mowings": 1,
            },
            history={"sown": [{"grass": "kentucky-bluegrass", "date": "2025-04-10", "zone": "middle"}]},
        ),
        ("not-advised",),
    ),
    Statement(
        "phenylurea-on-bermudagrass",
        "Influence of selected herbicides on rooting of turfgrass sod, ASA/CSSA, 1974",
        "The phenylurea pre-emergent stopped the rooting of bermudagrass sod.",
        case(
            RALEIGH,
            "2025-05-20",
            {"step": "spray", "class": "phenylurea", "wind": "breeze", "time_of_day": "morning"},
            zone={"grass": [BERMUDA_GREEN]},
        ),
        ("ruled-out",),
    ),
    Statement(
        "waking-bermudagrass",
        "Spraying a non-selective on dormant bermudagrass, Mississippi State University, 2007",
        "On semi-dormant bermudagrass it delays green-up; only fully dormant turf is sprayed.",
        case(
            JACKSON,
            "2025-03-01",
            {
                "step": "spray",
                "class": "nonselective-systemic",
                "wind": "breeze",
                "time_of_day": "morning",
                "mowings": 40,
            },
            zone={
                "grass": [
                    {"grass": "common-bermudagrass", "share_percent": 60, "state": "dormant"},
                    {"grass": "common-bermudagrass", "share_percent": 40, "state": "green"},
                ]
            },
        ),
        ("not-advised",),
    ),
    Statement(
        "core-saturated",
        "Spring and fall sports, medium resources, Cornell University, undated",
        "No coring when the soil is too wet.",
        case(ALBANY, "2025-05-05", {"step": "aerate", "tool": "hollow tine"}, "waterlogged"),
        ("ruled-out",),
    ),
    Statement(
        "core-brown-turf",
        "PlantTalk 1514, Colorado State University, undated",
        "Lawns that are brown and dormant are not cored.",
        case(
            DENVER,
            "2025-07-20",
            {"step": "aerate", "tool": "hollow tine", "depth_mm": 75},
            zone={"grass": [{"grass": "kentucky-bluegrass", "share_percent": 100, "state": "dormant"}]},
        ),
        ("not-advised",),
    ),
    Statement(
        "core-in-season",
        "General guidelines for athletic field maintenance, University of Missouri, undated",
        "After hollow tines in season a field is shut for three to five days.",
        case(
            LAFAYETTE,
            "2025-05-10",
            {"step": "aerate", "tool": "hollow tine", "depth_mm": 75},
            zone={"in_play": True, "compaction": "firm"},
        ),
        ("sound-if",),
    ),
    Statement(
        "dethatch-at-overseeding",
        "The road back to bermuda, University of Arizona, 1995",
        "Heavy vertical cutting at overseeding weakens bermudagrass for the winter.",
        case(
            TUCSON,
            "2025-10-05",
            {"step": "dethatch", "tool": "scarifier"},
            zone={"grass": [BERMUDA_GREEN], "thatch_mm": 20},
        ),
        ("not-advised",),
    ),
    Statement(
        "dethatch-little",
        "Spring seeding of bare or thin turf areas, Nebraska Extension, 2023",
        "Power raking is for true thatch of more than half an inch.",
        case(LINCOLN, "2025-09-05", {"step": "dethatch", "tool": "scarifier"}, zone={"thatch_mm": 6}),
        ("not-advised",),
    ),
    Statement(
        "soil-on-sand",
        "Layering in soils, Louisiana State University AgCenter, 2005",
        "Fine soil over coarse holds water up.",
        case(
            AMES,
            "2025-06-01",
            {"step": "topdress", "material": "topsoil", "depth_mm": 5},
            field={"rootzone": "sand built", "soil": "sand"},
        ),
        ("ruled-out",),
    ),
    Statement(
        "half-inch-of-sand",
        "The art of topdressing, SportsTurf magazine (Iowa State University), 2017",
        "An eighth to a quarter of an inch a time.",
        case(
            AMES,
            "2025-06-01",
            {"step": "topdress", "material": "sand", "depth_in": 0.5},
            field={"rootzone": "sand built", "soil": "sand"},
        ),
        ("not-advised",),
    ),
    Statement(
        "sand-begun-on-clay",
        "The art of topdressing, SportsTurf magazine (Iowa State University), 2017",
        "Once begun, sand on soil is never stopped.",
        case(
            AMES,
            "2025-06-01",
            {"step": "topdress", "material": "sand", "depth_mm": 4},
            field={"soil": "clay"},
        ),
        ("sound-if",),
    ),
    Statement(
        "till-wet",
        "AY-3 Establishing Turfgrass Areas From Seed, Purdue University, 1998",
        "Soil is not tilled wet.",
        case(
            LAFAYETTE,
            "2025-08-10",
            {"step": "till"},
            "waterlogged",
            zone={"bare_percent": 90, "weeds_percent": 5},
        ),
        ("ruled-out",),
    ),
    Statement(
        "till-unmarked",
        "Call before you dig, City of East Grand Forks, undated",
        "Lines are marked before anybody digs.",
        case(
            LAFAYETTE,
            "2025-08-10",
            {"step": "till"},
            site={"services_marked": False},
            zone={"bare_percent": 90, "weeds_percent": 5},
        ),
        ("ruled-out",),
    ),
    Statement(
        "lime-at-6-8",
        "Liming turfgrass areas, Penn State Extension, 2002",
        "Cool-season grasses do best from pH 6.0 to 7.2, so pH 6.8 needs no lime.",
        case(HARRISBURG, "2025-09-15", {"step": "lime"}, field={"soil_ph": 6.8}),
        ("not-advised",),
    ),
    Statement(
        "lime-double",
        "Aggressive bermudagrass grow-in, University of Missouri, undated",
        "At most 50 lb of lime on 1,000 square feet at a time.",
        case(
            COLUMBUS,
            "2025-09-15",
            {"step": "lime", "amount": 100, "unit": "lb-1000ft2"},
            field={"soil_ph": 5.2},
        ),
        ("not-advised",),
    ),
    Statement(
        "water-before-the-game",
        "Irrigating soccer fields prior to play, Ohio State University, 2017",
        "On native soil watering stops 48 hours before a game.",
        case(
            COLUMBUS,
            "2025-09-12",
            {"step": "water", "time_of_day": "morning", "storm_due": "no"},
            dates={"play_by": "2025-09-13", "first_use": "matches"},
            zone={"compaction": "firm"},
        ),
        ("not-advised",),
    ),
    Statement(
        "mow-on-frost",
        "Frost already?, Kansas State University, undated",
        "No mowing on frosted turf.",
        case(MANHATTAN, "2025-11-05", {"step": "mow"}, "frozen"),
        ("not-advised",),
    ),
    Statement(
        "mow-very-wet",
        "March rugby diary, UK groundsmen's trade diary, 2020",
        "Mowing very wet turf smears and tears it.",
        case(READING, "2025-03-10", {"step": "mow"}, "waterlogged"),
        ("not-advised",),
    ),
    Statement(
        "warm-cover",
        "Growth covers can offer many advantages, SportsTurf magazine (Ohio State University), 2011",
        "A cover comes off when it is warm and wet below it.",
        case(
            COLUMBUS,
            "2025-05-25",
            {"step": "cover", "wind": "calm"},
            now={"day_temp_c": 29, "night_temp_c": 18},
        ),
        ("not-advised",),
    ),
    Statement(
        "bermudagrass-seed-on-frozen-ground",
        "Constructing Better Athletic Fields, Louisiana State University AgCenter, 2005",
        "Bermudagrass seed wants soil of 70 F.",
        case(
            LAFAYETTE,
            "2025-01-20",
            {"step": "sow", "grass": "common-bermudagrass", "method": "broadcast-seed"},
            "frozen",
            zone={"bare_percent": 80, "weeds_percent": 5, "grass": []},
        ),
        ("ruled-out",),
    ),
    Statement(
        "thin-sod-into-play",
        "Constructing Better Athletic Fields, Louisiana State University AgCenter, 2005",
        "Sod is left at least three weeks before use.",
        case(
            RALEIGH,
            "2025-06-05",
            {"step": "lay-sod", "grass": "hybrid-bermudagrass", "method": "thin-sod"},
            zone={"bare_percent": 60, "weeds_percent": 5, "in_play": True, "grass": [BERMUDA_GREEN]},
        ),
        ("ruled-out",),
    ),
    Statement(
        "open-loose-goals",
        "F1938 Guide for safer use of movable soccer goals, ASTM International, 2017",
        "Goals that tip kill; every goal is anchored.",
        case(
            COLUMBUS,
            "2025-09-12",
            {"step": "open-to-play", "tug": "holds", "cover_percent": 90},
            site={"goals_anchored": False},
        ),
        ("ruled-out",),
    ),
    Statement(
        "open-with-water",
        "Athletic field closure guidelines, Prince George's County parks, undated",
        "Closed while water is seen or heard at a step.",
        case(
            COLUMBUS,
            "2025-09-12",
            {"step": "open-to-play", "tug": "holds", "cover_percent": 90},
            "waterlogged",
        ),
        ("ruled-out",),
    ),
    Statement(
        "open-footprints",
        "Field closure guidelines, City of Woodbury, undated",
        "Closed where a shoe leaves a print.",
        case(COLUMBUS, "2025-09-12", {"step": "open-to-play", "tug": "holds", "cover_percent": 90}, "soft"),
        ("not-advised", "ruled-out"),
    ),
    Statement(
        "open-frozen",
        "Unplayable field guidelines, Sudbury youth soccer, undated",
        "A frozen field is not played.",
        case(COLUMBUS, "2025-12-12", {"step": "open-to-play", "tug": "holds", "cover_percent": 90}, "frozen"),
        ("ruled-out",),
    ),
    Statement(
        "open-after-rain",
        "Closures and notices, Queen Anne's County parks, undated",
        "Half an inch of rain in a day shuts a field until it has been looked at.",
        case(
            COLUMBUS,
            "2025-09-12",
            {"step": "open-to-play", "tug": "holds", "cover_percent": 90},
            now={"rain_24h_mm": 15},
        ),
        ("sound-if",),
    ),
    Statement(
        "open-thin-turf",
        "Overseeding for the transition zone, SportsTurf magazine (University of Tennessee), 2010",
        "More than 70 percent cover is acceptable for play.",
        case(
            COLUMBUS,
            "2025-09-12",
            {"step": "open-to-play", "tug": "holds", "cover_percent": 55},
            zone={"bare_percent": 40},
        ),
        ("not-advised",),
    ),
    Statement(
        "open-three-weeks-from-seed",
        "Ready to renovate?, Grounds Management Association, 2020",
        "Four to six weeks of rest at least after sowing.",
        case(
            READING,
            "2025-06-20",
            {"step": "open-to-play", "cover_percent": 95},
            history={"sown": [{"grass": "perennial-ryegrass", "date": "2025-05-30", "zone": "middle"}]},
        ),
        ("ruled-out",),
    ),
    Statement(
        "open-thin-sod-after-a-week",
        "Choosing and managing thick-cut sod, SportsTurf magazine, 2013",
        "Thin sod needs two weeks at best, three to four as a rule.",
        case(
            RALEIGH,
            "2025-06-12",
            {"step": "open-to-play", "method": "thin-sod", "cover_percent": 100},
            history={"sod_laid": [{"thickness_mm": 12, "date": "2025-06-05", "zone": "middle"}]},
        ),
        ("ruled-out",),
    ),
    Statement(
        "move-goals",
        "F1938 Guide for safer use of movable soccer goals, ASTM International, 2017",
        "A goal is anchored wherever it is put.",
        case(COLUMBUS, "2025-09-12", {"step": "move-goals"}),
        ("sound-if",),
    ),
    Statement(
        "clear-snow-for-nothing",
        "Let it snow, SportsField Management magazine, undated",
        "Snow on natural grass is best left to melt.",
        case(COLUMBUS, "2025-01-12", {"step": "clear-snow"}, "snow"),
        ("not-advised",),
    ),
)


@pytest.mark.parametrize("statement", sampled(STATEMENTS, 6, lambda s: s.id))
def test_step_as_published(statement: Statement) -> None:
    assert judgement_of(statement.situation) in statement.expect, f"{statement.source}: {statement.says}"


def test_enough_statements() -> None:
    assert len({s.id for s in STATEMENTS}) == len(STATEMENTS) >= 20
