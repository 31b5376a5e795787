"""Decisions that universities and public bodies of the cool and transition parts of North America print, held to the whole adviser."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from decide.answer.assemble import advice_of
from decide.decision.consultation import Consultation
from decide.decision.rank import RANK, VERDICT_ORDER, Weighed
from decide.facts.draft import planted
from decide.model.reading import situation_from_dict
from tests.shared import adviser

# Long: the fast run leaves these to .ci/run.
pytestmark = pytest.mark.slow

GOOD = ("advised", "sound")
BAD = ("risky", "not-advised", "ruled-out")
WEST_LAFAYETTE = ("West Lafayette", "Indiana")
COLUMBIA = ("Columbia", "Missouri")


def consult(
    place: tuple[str, str], today: str, play_by: str, *, zone: dict[str, Any] | None = None, **more: Any
) -> Consultation:
    """A field of bare loam that is shut from today until it is wanted, with sprinklers, a contractor and no spray history."""
    base: dict[str, Any] = {
        "place": {"name": place[0], "region": place[1], "country": "ca" if place[1] == "Ontario" else "us"},
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
            "sun_hours": 9,
        },
        "zone": [
            {"name": "field", "bare_percent": 92, "bare_pattern": "solid", "grass": [], "in_play": False}
            | (zone or {})
        ],
        "means": {
            "water": "in-ground sprinklers",
            "equipment_own": ["spreader", "roller", "mower"],
            "contractor": True,
        },
        "history": {"herbicides": []},
    }
    for table, keys in more.items():
        base[table] = (base.get(table) or {}) | keys if isinstance(keys, dict) else keys
    return adviser().consult(situation_from_dict(base))


def options(
    c: Consultation, plant: str, method: str = "broadcast-seed", variant: str = "plain"
) -> list[Weighed]:
    """The options of a plant and method in the order of the advice."""
    found = [
        w for w in c.ranked if (w.draft.plant, w.draft.method, w.draft.variant) == (plant, method, variant)
    ]
    assert found
    return found


def now(c: Consultation, plant: str, method: str = "broadcast-seed") -> Weighed:
    """The option that starts on the day of the advice."""
    draft = planted(c.knowledge, next(iter(c.zones)), method, plant, "plain", c.filled.today)
    return c.weigh([draft])[draft.code]


def rules(w: Weighed) -> set[str]:
    return {rule.id for rule, _ in w.firings}


def test_bermudagrass_by_the_first_of_june_plays_that_autumn() -> None:
    """Aggressive bermudagrass grow-in, University of Missouri: started by 1 June it is ready for play in autumn."""
    w = now(consult(COLUMBIA, "2026-06-01", "2026-09-20"), "common-bermudagrass")
    assert w.verdict in GOOD
    assert w.grades["ready-in-time"] != "weak"


@pytest.mark.parametrize(("day", "verdicts"), [("2026-06-25", GOOD), ("2026-07-25", BAD)])
def test_bermudagrass_seed_stops_in_mid_july(day: str, verdicts: tuple[str, ...]) -> None:
    """Aggressive bermudagrass grow-in, University of Missouri: the last start from seed or sprigs is 15 July."""
    c = consult(COLUMBIA, day, "2027-06-01")
    assert now(c, "common-bermudagrass").verdict in verdicts
    assert now(c, "hybrid-bermudagrass", "sprigs").verdict in verdicts


@pytest.mark.parametrize(("day", "verdicts"), [("2026-07-29", GOOD), ("2026-08-20", BAD)])
def test_bermudagrass_sod_until_the_end_of_july(day: str, verdicts: tuple[str, ...]) -> None:
    """Aggressive bermudagrass grow-in, University of Missouri: sod by 31 July, and three weeks before use."""
    w = now(consult(COLUMBIA, day, "2026-10-01"), "hybrid-bermudagrass", "thin-sod")
    assert w.verdict in verdicts
    rooted = w.facts["option.full-play-days.early"]
    assert isinstance(rooted, float)
    assert rooted >= 21


def test_bluegrass_of_late_august_is_usable_about_the_end_of_may() -> None:
    """Time is running out, Purdue University: sown from 15 August to 15 September it is usable about the end of May."""
    c = consult(WEST_LAFAYETTE, "2026-08-28", "2027-08-20", dates={"first_use": "training"})
    w = now(c, "kentucky-bluegrass")
    assert w.verdict in GOOD
    early, late = (w.facts[f"option.light-use-days.{end}"] for end in ("early", "late"))
    assert isinstance(early, float)
    assert isinstance(late, float)
    start = dt.date(2026, 8, 28)
    assert start + dt.timedelta(days=early) <= dt.date(2027, 5, 31) <= start + dt.timedelta(days=late)


@pytest.mark.parametrize("plant", ["tall-fescue", "perennial-ryegrass", "kentucky-bluegrass"])
def test_october_sowing_is_a_thin_stand_at_best(plant: str) -> None:
    """Time is running out, Purdue University: after about 1 October a thin stand by winter at best, winterkill at worst."""
    assert now(consult(WEST_LAFAYETTE, "2026-10-12", "2027-08-20"), plant).verdict in BAD


def test_ryegrass_is_not_sown_in_november() -> None:
    """How late can you seed?, Purdue University: ryegrass sown in November sprouted and died."""
    assert (
        now(consult(WEST_LAFAYETTE, "2026-11-10", "2027-08-20"), "perennial-ryegrass").verdict == "ruled-out"
    )


def test_dormant_bluegrass_works_and_its_losses_are_told() -> None:
    """How late can you seed?, Purdue University: nearly as good as September. Dormant seeding, Iowa State University: much is lost."""
    w = options(consult(WEST_LAFAYETTE, "2026-11-28", "2027-09-20"), "kentucky-bluegrass", variant="dormant")[
        0
    ]
    assert w.verdict in GOOD
    assert "dormant-sowing-losses" in rules(w)


def test_dormant_beats_spring_for_bluegrass() -> None:
    """How late can you seed?, Purdue University: dormant sowing came better than spring sowing."""
    dormant = options(
        consult(WEST_LAFAYETTE, "2026-11-28", "2027-09-20"), "kentucky-bluegrass", variant="dormant"
    )[0]
    spring = now(consult(WEST_LAFAYETTE, "2027-04-20", "2027-09-20"), "kentucky-bluegrass")
    assert VERDICT_ORDER.index(dormant.verdict) <= VERDICT_ORDER.index(spring.verdict)
    assert RANK[dormant.grades["chemicals"]] > RANK[spring.grades["chemicals"]]


@pytest.mark.parametrize(("play_by", "fescue"), [("2026-08-03", ("ruled-out",)), ("2026-09-07", GOOD)])
def test_tall_fescue_wants_fourteen_weeks(play_by: str, fescue: tuple[str, ...]) -> None:
    """Tall fescue and ryegrass trial, Pennsylvania State University: play after ten weeks ryegrass, after fourteen fescue too."""
    c = consult(("State College", "Pennsylvania"), "2026-05-25", play_by, dates={"play_by_firm": True})
    assert now(c, "tall-fescue").verdict in fescue
    assert now(c, "perennial-ryegrass").verdict in GOOD


def test_bluegrass_seed_wants_nine_months() -> None:
    """Seeding rates and play, Cornell University: bluegrass nine to twelve months before full play, ryegrass under three."""
    c = consult(("Ithaca", "New York"), "2026-05-01", "2026-08-10", dates={"play_by_firm": True})
    assert now(c, "kentucky-bluegrass").verdict == "ruled-out"
    assert now(c, "perennial-ryegrass").verdict in GOOD


def test_spring_sowing_for_autumn_football_is_ryegrass() -> None:
    """Mixtures by date, University of Wisconsin, 2008: in spring only ryegrass or a mixture rich in it was fit by autumn."""
    c = consult(("Madison", "Wisconsin"), "2026-04-20", "2026-08-28", dates={"play_by_firm": True})
    assert now(c, "ryegrass-with-bluegrass").verdict in GOOD
    # It comes after the date wanted, which speaks against it as much.
    assert now(c, "bluegrass-with-ryegrass").verdict in (*BAD, "late")


@pytest.mark.parametrize(("day", "plant", "out"), [
    ("2026-06-10", "common-bermudagrass", False), ("2026-08-20", "common-bermudagrass", True),
    ("2026-07-10", "japanese-zoysiagrass", True),
])  # fmt: skip
def test_heat_before_frost(day: str, plant: str, out: bool) -> None:
    """Seeding dates of bermudagrass and zoysiagrass, 2004, Indiana: over 950 and 1,750 degree-days before the first frost."""
    w = now(consult(WEST_LAFAYETTE, day, "2027-07-15"), plant)
    assert (w.verdict == "ruled-out") is out


def test_in_play_broadcast_not_slits() -> None:
    """In-season seeding, Ohio State University: broadcast ryegrass each week; slits tear worn ground under traffic."""
    thin = {
        "in_play": True,
        "bare_percent": 40,
        "bare_pattern": "scattered",
        "grass": [{"grass": "perennial ryegrass", "state": "green"}],
    }
    c = consult(
        ("Columbus", "Ohio"), "2026-09-05", "2026-10-20", zone=thin, dates={"can_close": "no", "no_play": []}
    )
    assert now(c, "perennial-ryegrass").verdict in GOOD
    assert now(c, "perennial-ryegrass", "slit-seed").verdict in BAD
    assert now(c, "kentucky-bluegrass").verdict in BAD


@pytest.mark.parametrize(
    ("method", "weeks", "out"),
    [("broadcast-seed", 5, True), ("broadcast-seed", 30, False), ("slit-seed", 5, True)],
)
def test_pre_emergents_stop_seed_too(method: str, weeks: int, out: bool) -> None:
    """Intervals after pre-emergents for bluegrass, Weed Technology, 2005: six weeks broadcast and eleven slit after a pyridine."""
    today = dt.date(2026, 8, 25)
    spray = [{"class": "pyridine-pre", "date": (today - dt.timedelta(weeks=weeks)).isoformat()}]
    c = consult(WEST_LAFAYETTE, today.isoformat(), "2027-08-20", history={"herbicides": spray})
    assert (now(c, "kentucky-bluegrass", method).verdict == "ruled-out") is out


def test_sod_is_no_way_round_a_pre_emergent() -> None:
    """Rooting of sod after pre-emergents, 1994: residue in the bed cripples new roots."""
    c = consult(
        WEST_LAFAYETTE,
        "2026-04-25",
        "2026-08-20",
        history={"herbicides": [{"class": "mitosis-long", "date": "2026-04-05"}]},
    )
    assert now(c, "kentucky-bluegrass", "thin-sod").verdict in BAD


def test_december_sod_beats_summer_sod() -> None:
    """Sod dates, University of Connecticut, 2007 and 2011: early December holds for May; from June to August rooting is flat."""
    winter = now(
        consult(("New Haven", "Connecticut"), "2026-12-03", "2027-06-01"), "kentucky-bluegrass", "thin-sod"
    )
    summer = now(
        consult(("New Haven", "Connecticut"), "2026-07-12", "2027-06-01"), "kentucky-bluegrass", "thin-sod"
    )
    assert winter.verdict in GOOD
    assert summer.verdict in BAD


def test_summer_seed_and_pythium() -> None:
    """Summer seeding, Ohio State University, 2024: nights over 70 F bring Pythium; late summer is better."""
    c = consult(("Louisville", "Kentucky"), "2026-07-05", "2027-06-01")
    assert now(c, "perennial-ryegrass").verdict in BAD
    assert "seedling-blight-caution" in rules(now(c, "perennial-ryegrass"))


def test_thin_bluegrass_in_september_recovers() -> None:
    """Recovery of worn fields, extension page of 2024: a spreading grass at half cover wants rest, feed and coring, not a new start."""
    thin = {
        "bare_percent": 50,
        "bare_pattern": "scattered",
        "grass": [{"grass": "kentucky bluegrass", "state": "green"}],
    }
    c = consult(("Ann Arbor", "Michigan"), "2026-09-01", "2027-05-01", zone=thin)
    assert advice_of(c).decision == "recover"


def test_worn_crown_first() -> None:
    """Playing fields of schools, Pennsylvania, 2019, and reversed crowns, University of Missouri: the shape before any grass."""
    c = consult(
        ("Pittsburgh", "Pennsylvania"),
        "2026-06-08",
        "2026-08-24",
        zone={"bare_percent": 55},
        field={"crown": "dished"},
    )
    assert advice_of(c).decision in ("mend the cause first", "call an expert")


@pytest.mark.parametrize(("place", "school", "barred"), [
    (("Syracuse", "New York"), True, True), (("Hartford", "Connecticut"), True, True), (("London", "Ontario"), False, True),
    (("Dayton", "Ohio"), True, False),
])  # fmt: skip
def test_school_and_province_law(place: tuple[str, str], school: bool, barred: bool) -> None:
    """Laws of New York (2010) and Connecticut (2010) on school ground, and of Ontario (2009) on lawns and parks."""
    c = consult(place, "2026-08-20", "2027-08-20", site={"school": school})
    assert ("pesticides-barred" in {caution.code for caution in advice_of(c).cautions}) is barred


def test_bermudagrass_in_utah() -> None:
    """State list of noxious weeds, Utah, 2002: bermudagrass outside one county."""
    assert now(
        consult(("Salt Lake City", "Utah"), "2026-06-10", "2027-06-10"), "common-bermudagrass"
    ).verdict in ("not-advised", "ruled-out")


def test_winter_grass_for_spring_baseball_not_for_autumn_football() -> None:
    """Panel on winter overseeding, University of Kentucky, 2009: two to three weeks of rest; not on fields in use in autumn."""
    thin = {
        "bare_percent": 40,
        "bare_pattern": "scattered",
        "grass": [{"grass": "common bermudagrass", "state": "green"}],
    }

    def over(**more: Any) -> Weighed:
        c = consult(("Richmond", "Virginia"), "2026-09-26", "2027-03-10", zone=thin, **more)
        return options(c, "perennial-ryegrass", variant="winter-overseed")[0]

    assert over().verdict in GOOD
    autumn = [
        {
            "sport": "football",
            "months": ["aug", "sep", "oct", "nov"],
            "hours_per_week": 10,
            "players": "adult",
        }
    ]
    assert over(
        dates={"play_by": "2026-10-05", "no_play": [{"from": "2026-09-26", "until": "2026-10-04"}]},
        use=autumn,
    ).verdict in (*BAD, "late")


def test_one_hose_does_not_water_a_pitch() -> None:
    """Watering of pitches, United Kingdom, 2012: one light wetting of a whole pitch takes fifteen to twenty-four hours by hose."""
    means = {"water": "hand hose", "flow_l_min": 18, "wettings_weekday": 1}
    c = consult(("Kokomo", "Indiana"), "2026-07-25", "2027-05-01", means=means)
    assert now(c, "tall-fescue").verdict in ("not-advised", "ruled-out")


def test_thick_sod_offers_speed_only() -> None:
    """Thick sod, growers' round table, 2013: with no hurry for play it has no advantage."""
    c = consult(("Indianapolis", "Indiana"), "2026-09-08", "2027-08-20")
    thick, thin = (
        next(w for w in options(c, "kentucky-bluegrass", way) if w.draft.start_kind == "earliest")
        for way in ("thick-sod", "thin-sod")
    )
    assert c.ranked.index(thin) < c.ranked.index(thick)
