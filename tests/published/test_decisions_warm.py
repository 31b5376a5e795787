"""Decisions that universities, councils and public bodies of warm-season places print, held to the whole adviser."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from decide.decision.consultation import Consultation
from decide.decision.rank import RANK, Weighed
from decide.facts.draft import planted
from decide.model.reading import situation_from_dict
from tests.shared import adviser

# Long: the fast run leaves these to .ci/run.
pytestmark = pytest.mark.slow

GOOD = ("advised", "sound")
BAD = ("risky", "not-advised", "ruled-out")
BATON_ROUGE = {"name": "Baton Rouge", "country": "us"}
FAYETTEVILLE = {"name": "Fayetteville", "region": "Arkansas", "country": "us"}
LEXINGTON = {"name": "Lexington", "region": "Kentucky", "country": "us"}
# Our window for winter grass opens there on 4 February, five weeks before the published time: a start three days before it is
# doubted and not refused. The air of the whole cell, which lies higher than the town, is what opens it.
BERMUDA = [{"grass": "common-bermudagrass", "share_percent": 100, "state": "green"}]


def consult(
    place: dict[str, Any], today: str, play_by: str, *, zone: dict[str, Any] | None = None, **more: Any
) -> Consultation:
    """A field of bare loam that is shut from today until it is wanted, with sprinklers, a contractor and no spray history."""
    base: dict[str, Any] = {
        "place": place,
        "dates": {
            "today": today,
            "play_by": play_by,
            "first_use": "matches",
            "can_close": "locked",
            "no_play": [{"from": today, "until": play_by}],
        },
        "site": {"goals_anchored": True, "dangers": ["none"]},
        "field": {
            "length_m": 100,
            "width_m": 60,
            "soil": "loam",
            "drainage": "good",
            "crown": "sound",
            "water_stands_hours": 2,
            "sun_hours": 10,
        },
        "zone": [
            {"name": "pitch", "bare_percent": 92, "bare_pattern": "solid", "grass": [], "in_play": False}
            | (zone or {})
        ],
        "means": {
            "water": "in-ground sprinklers",
            "equipment_own": ["spreader", "roller", "mower"],
            "contractor": True,
        },
        "history": {"herbicides": [], "sown": [], "sod_laid": []},
        "now": {"ground": "open"},
    }
    for table, keys in more.items():
        base[table] = {**base.get(table, {}), **keys} if isinstance(keys, dict) else keys
    return adviser().consult(situation_from_dict(base))


def now(c: Consultation, plant: str, method: str = "broadcast-seed") -> Weighed:
    """The option that starts on the day of the advice."""
    draft = planted(c.knowledge, next(iter(c.zones)), method, plant, "plain", c.filled.today)
    return c.weigh([draft])[draft.code]


def figure(w: Weighed, name: str) -> float:
    held = w.facts[name]
    assert isinstance(held, float)
    return held


def judged(c: Consultation) -> list[str]:
    return [step.verdict for step in c.steps]


@pytest.mark.parametrize(("day", "in_time"), [("2026-06-01", True), ("2026-08-01", False)])
def test_bermudagrass_seed_by_the_first_of_june_for_autumn(day: str, in_time: bool) -> None:
    """Constructing Better Athletic Fields, Louisiana State University AgCenter, 2005: three months; by 1 June for autumn use."""
    w = now(consult(BATON_ROUGE, day, "2026-09-12", dates={"play_by_firm": True}), "common-bermudagrass")
    assert (w.verdict in GOOD) is in_time


@pytest.mark.parametrize(("play_by", "verdicts"), [("2026-08-14", BAD), ("2026-09-15", GOOD)])
def test_sod_needs_three_weeks_before_use(play_by: str, verdicts: tuple[str, ...]) -> None:
    """Constructing Better Athletic Fields, Louisiana State University AgCenter, 2005: sod at least three weeks before use."""
    w = now(
        consult(BATON_ROUGE, "2026-07-31", play_by, dates={"play_by_firm": True}),
        "hybrid-bermudagrass",
        "thin-sod",
    )
    assert w.verdict in verdicts
    assert figure(w, "option.full-play-days.early") >= 21


def test_dormant_sod_is_a_risk() -> None:
    """Laying dormant sod in winter requires care, Louisiana State University AgCenter, 2016: growth stops near 60 F; it may die."""
    w = now(consult(BATON_ROUGE, "2026-01-12", "2026-09-12"), "hybrid-bermudagrass", "thin-sod")
    assert w.grades["risk"] == "weak"
    assert w.verdict in BAD


def test_spring_seed_survives_winter_better_than_july_seed() -> None:
    """Seeding date of bermudagrass in Arkansas, Acta Horticulturae 661, 2004: April and May are safer than June and July."""
    may, july = (
        now(consult(FAYETTEVILLE, day, "2027-08-20"), "common-bermudagrass")
        for day in ("2026-05-12", "2026-07-28")
    )
    assert may.verdict in GOOD
    assert RANK[may.grades["risk"]] > RANK[july.grades["risk"]]


@pytest.mark.parametrize(("day", "plant", "ruled_out"), [
    ("2026-06-08", "japanese-zoysiagrass", False), ("2026-08-01", "japanese-zoysiagrass", True),
    ("2026-07-10", "common-bermudagrass", False), ("2026-09-05", "common-bermudagrass", True),
])  # fmt: skip
def test_heat_before_frost_decides_on_seed(day: str, plant: str, ruled_out: bool) -> None:
    """Establishment of bermudagrass and zoysiagrass by seed, Crop Science, 2004: more than 950 and 1,750 degree-days before frost."""
    w = now(consult(LEXINGTON, day, "2027-08-20"), plant)
    assert (w.verdict == "ruled-out") is ruled_out


def test_zoysiagrass_without_sod_takes_a_year_or_more() -> None:
    """Establishing seeded zoysiagrass, University of Arkansas, undated: two years or more from sprigs, plugs or strips."""
    c = consult(FAYETTEVILLE, "2026-05-18", "2026-09-12", dates={"play_by_firm": True})
    assert {w.verdict for w in c.ranked if w.draft.plant == "japanese-zoysiagrass" and w.draft.method in ("sprigs", "plugs", "broadcast-seed")} <= {
        "not-advised", "ruled-out",
    }  # fmt: skip


def test_sprigs_close_in_five_to_seven_weeks() -> None:
    """Nitrogen and establishment of two hybrid bermudagrasses, Auburn University: over 95 percent cover in five to seven weeks."""
    w = now(
        consult({"name": "Auburn", "region": "Alabama", "country": "us"}, "2026-06-08", "2026-09-20"),
        "hybrid-bermudagrass",
        "sprigs",
    )
    assert w.verdict in GOOD
    assert figure(w, "option.light-use-days.early") >= 35


@pytest.mark.parametrize(("sport", "months", "verdicts"), [
    ("american football", ["aug", "sep", "oct", "nov"], ["not-advised"]), ("baseball", ["mar", "apr", "may"], ["sound"]),
])  # fmt: skip
def test_winter_grass_for_spring_sports_not_for_autumn_ones(
    sport: str, months: list[str], verdicts: list[str]
) -> None:
    """Like politics, all overseeding is local, University of Kentucky, 2009: not on fields of summer and autumn; worth it for baseball."""
    c = consult(
        LEXINGTON, "2026-09-20", "2027-03-06", zone={"bare_percent": 5, "bare_pattern": "scattered", "grass": BERMUDA, "thatch_mm": 4, "in_play": "don't know"},
        dates={"no_play": []}, use=[{"sport": sport, "months": months, "hours_per_week": 5, "players": "youth"}],
        proposal=[{"step": "overseed", "grass": "perennial-ryegrass", "start": "2026-09-24", "amount": 50, "unit": "g-m2", "wind": "breeze", "storm_due": "no"}],
    )  # fmt: skip
    assert judged(c) == verdicts


@pytest.mark.parametrize(
    ("grass", "risk"),
    [("centipedegrass", "weak"), ("japanese-zoysiagrass", "weak"), ("hybrid-bermudagrass", "strong")],
)
def test_only_bermudagrass_is_overseeded(grass: str, risk: str) -> None:
    """Overseeding with ryegrass, Clemson University, undated: never over centipedegrass, zoysiagrass or St. Augustinegrass."""
    c = consult(
        {"name": "Columbia", "region": "South Carolina", "country": "us"}, "2026-10-05", "2027-03-01",
        zone={"bare_percent": 20, "bare_pattern": "solid", "grass": [{"grass": grass, "share_percent": 100, "state": "green"}]},
        use=[{"sport": "baseball", "months": ["mar", "apr"], "hours_per_week": 4, "players": "youth"}],
        proposal=[{"step": "overseed", "grass": "perennial-ryegrass", "start": "2026-10-12"}],
    )  # fmt: skip
    (step,) = c.steps
    assert step.option is not None
    assert step.option.grades["risk"] == risk


@pytest.mark.parametrize(
    ("day", "verdict"),
    [
        ("2026-02-01", "not-advised"),
        ("2026-03-30", "sound"),
        ("2026-07-10", "not-advised"),
    ],
)
def test_overseeding_by_the_temperature_of_the_soil(day: str, verdict: str) -> None:
    """Temperaturas óptimas para resembrar, Universidad Nacional de Córdoba, 2013: soil of 18 to 21 C, mid-March to early April."""
    c = consult(
        {"name": "Córdoba", "country": "ar"}, "2026-01-20", "2026-12-01", zone={"bare_percent": 5, "bare_pattern": "scattered", "grass": BERMUDA, "thatch_mm": 4},
        use=[{"sport": "rugby", "months": ["dec"], "hours_per_week": 4, "players": "adult"}],
        proposal=[{"step": "overseed", "grass": "perennial-ryegrass", "start": day, "amount": 50, "unit": "g-m2", "wind": "breeze", "storm_due": "no"}],
    )  # fmt: skip
    assert judged(c) == [verdict]


def test_mid_october_is_the_time_on_the_aegean() -> None:
    """Effects of overseeding times on warm-season turfgrasses, Ege University, 2021: 15 October was the best of four dates."""
    windows = consult({"name": "Izmir", "country": "tr"}, "2026-08-01", "2027-08-01").filled.windows(
        "perennial-ryegrass/seed", "winter-overseed"
    )
    best = [windows.quality_on(dt.date(2026, month, 15).timetuple().tm_yday) for month in (8, 9, 10, 12)]
    assert best[2] == "good"
    assert best[0] == best[3] == "closed"


@pytest.mark.parametrize(("day", "verdicts"), [("2026-09-05", BAD), ("2026-11-05", GOOD)])
def test_couch_seed_in_november_at_melbourne(day: str, verdicts: tuple[str, ...]) -> None:
    """Warm-season grasses, a Melbourne water utility and council guide: sow in early November, not in early September."""
    assert (
        now(consult({"name": "Melbourne", "country": "au"}, day, "2027-05-01"), "common-bermudagrass").verdict
        in verdicts
    )


def test_two_weeks_between_seasons_are_too_short_for_seed() -> None:
    """Maintenance and change of season, Sutherland Shire Council, undated: two weeks between seasons; thick turf or nothing."""
    c = consult(
        {"name": "Sydney", "country": "au"}, "2026-03-16", "2026-03-30", dates={"play_by_firm": True},
        use=[{"sport": "football", "months": ["apr", "may", "jun", "jul", "aug"], "hours_per_week": 6, "players": "adult"}],
    )  # fmt: skip
    assert {w.verdict for w in c.ranked if w.draft.method in ("broadcast-seed", "slit-seed", "hydromulch", "sprigs", "plugs") and w.draft.start_kind == "earliest"} <= {
        "not-advised", "ruled-out",
    }  # fmt: skip
    assert now(c, "hybrid-bermudagrass", "thick-sod").verdict != "ruled-out"


@pytest.mark.parametrize(("water", "weak"), [("fresh", True), ("salty", False)])
def test_paspalum_in_the_wet_tropics_wants_salt(water: str, weak: bool) -> None:
    """Lost in a sea of grass, turf magazine of Malaysia, 2006: without salt it fell from 100 to 30 percent of the cover in three years."""
    c = consult(
        {"name": "Kuala Lumpur", "country": "my"}, "2026-05-04", "2026-12-01", means={"water_quality": water}
    )
    assert (now(c, "seashore-paspalum", "thin-sod").grades["lasts"] == "weak") is weak


@pytest.mark.parametrize(("town", "listed"), [("Tampa", True), ("San Diego", False)])
def test_listed_kikuyugrass_is_never_proposed(town: str, listed: bool) -> None:
    """68 FR 6653, United States, 2003: on the federal list. Pest rating proposal, California, 2019: grown there under conditions."""
    c = consult({"name": town, "country": "us"}, "2026-05-04", "2026-12-01")
    kikuyu = [w for w in c.ranked if w.draft.plant == "kikuyugrass" and w.draft.method == "thin-sod"]
    assert kikuyu
    assert all(w.verdict == "ruled-out" for w in kikuyu) is listed


@pytest.mark.parametrize("grass", ["st-augustinegrass", "centipedegrass"])
def test_lawn_grasses_do_not_make_a_field(grass: str) -> None:
    """Minimizing traffic damage to your Florida lawn (ENH152), University of Florida: the least tolerant of traffic."""
    c = consult(
        {"name": "Tampa", "country": "us"},
        "2026-05-04",
        "2026-12-01",
        use=[{"sport": "football", "months": ["dec"], "hours_per_week": 4, "players": "youth"}],
    )
    assert {w.verdict for w in c.ranked if w.draft.plant == grass} == {"ruled-out"}


@pytest.mark.parametrize(("day", "verdicts"), [("2026-01-15", BAD), ("2026-04-28", GOOD)])
def test_april_is_the_time_in_inland_california(day: str, verdicts: tuple[str, ...]) -> None:
    """Seeding date and irrigation system, Agronomy Journal 107, 2015: April sowing at Riverside is safe from frost and slow sprouting."""
    c = consult({"name": "Riverside", "region": "California", "country": "us"}, day, "2027-06-01")
    assert now(c, "common-bermudagrass").verdict in verdicts


@pytest.mark.parametrize(
    ("sprayed", "verdict"),
    [("2026-05-15", "ruled-out"), ("2026-04-28", "not-advised"), ("2026-04-01", "sound")],
)
def test_weeks_between_an_als_product_and_bermudagrass(sprayed: str, verdict: str) -> None:
    """Bermudagrass reseeding intervals, University of Georgia trials: 15 percent at once, 53 after two weeks, safe after four to six."""
    c = consult(
        {"name": "Macon", "country": "us"}, "2026-05-20", "2026-10-10", history={"herbicides": [{"class": "als", "date": sprayed}]},
        proposal=[{"step": "sow", "grass": "common-bermudagrass", "amount": 6, "unit": "g-m2", "wind": "breeze", "storm_due": "no"}],
    )  # fmt: skip
    assert judged(c) == [verdict]


def test_sod_is_no_way_round_an_autumn_pre_emergent() -> None:
    """Preemergence herbicides for annual bluegrass, University of Georgia: neither seed nor sod for several months."""
    c = consult(
        {"name": "Macon", "country": "us"},
        "2026-04-20",
        "2026-09-10",
        history={"herbicides": [{"class": "mitosis-long", "date": "2026-02-20"}]},
    )
    assert now(c, "hybrid-bermudagrass", "thin-sod").verdict in BAD
    assert now(c, "common-bermudagrass").verdict == "ruled-out"


def test_thin_spreading_turf_recovers_by_itself() -> None:
    """Recovery (questions and answers), a national turf survey of wear, 2024, and common practice: 40 to 60 percent in growth needs rest and feed."""
    c = consult(
        {"name": "Macon", "country": "us"}, "2026-05-26", "2026-08-20",
        zone={"bare_percent": 55, "bare_pattern": "scattered", "grass": [{"grass": "hybrid-bermudagrass", "share_percent": 100, "state": "green"}]},
        use=[{"sport": "football", "months": ["sep", "oct"], "hours_per_week": 6, "players": "youth"}],
    )  # fmt: skip
    chosen = c.chosen["pitch"].option
    assert chosen is not None
    assert chosen.draft.remedy == "recover"
