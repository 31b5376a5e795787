"""Judgements on the smallest situations that call for them, by their meaning: each is one that nothing else holds fast."""

from __future__ import annotations

import datetime as dt

import pytest

from decide.answer.assemble import advice_of
from decide.decision.consultation import Consultation
from decide.model.reading import situation_from_dict
from decide.questions.base import Base
from decide.questions.sensitivity import Trier, with_plain_engine
from tests.shared import adviser, knowledge

BARE = {
    "place": {"name": "Lafayette", "country": "us", "region": "Indiana"},
    "dates": {"today": "2026-08-01", "can_close": "locked"},
    "field": {"area_m2": 6000, "bare_percent": 90, "bare_pattern": "solid", "grass": []},
    "means": {"water": "in-ground sprinklers"},
}


def consulted(**tables: object) -> Consultation:
    """The consultation on bare ground in Indiana with some tables in place of its own."""
    return adviser().consult(situation_from_dict({**BARE, **tables}))


def test_the_free_days_of_a_start_are_counted_from_that_start() -> None:
    """Nobody plays from August to the end of October, so a start in September has the days from it to the first of November."""
    shut = {"from": "2026-08-01", "until": "2026-10-31"}
    c = consulted(
        dates={**BARE["dates"], "no_play": [shut]},
        use=[{"sport": "football", "months": ["nov"], "hours_per_week": 6, "players": "youth"}],
    )
    starts = [
        w
        for w in c.weighed.values()
        if w.draft.start and dt.date(2026, 8, 10) < w.draft.start < dt.date(2026, 10, 20)
    ]
    assert starts
    for w in starts:
        assert w.draft.start is not None
        assert w.facts["option.free-days"] == (dt.date(2026, 11, 1) - w.draft.start).days


@pytest.mark.slow
@pytest.mark.parametrize(
    ("own", "hire", "contractor", "from_where"),
    [
        (["roller", "tractor"], [], False, "own"),
        (["roller"], ["tractor"], False, "hire"),
        (["tractor"], [], True, "contractor"),
        ([], ["tractor"], True, "contractor"),
        (["roller"], [], False, "missing"),
    ],
)
def test_machines_are_as_far_as_the_farthest(
    own: list[str], hire: list[str], contractor: bool, from_where: str
) -> None:
    """Thick sod wants a tractor and a roller: a work is as hard to come by as the machine that is hardest to come by."""
    c = consulted(
        means={
            "water": "in-ground sprinklers",
            "equipment_own": own,
            "equipment_hire": hire,
            "contractor": contractor,
        }
    )
    assert {w.facts["option.machine"] for w in c.weighed.values() if w.draft.method == "thick-sod"} == {
        from_where
    }


@pytest.mark.slow
def test_too_little_sun_and_too_little_rain_slow_growth_together() -> None:
    """Each takes its share of what the other leaves, so both together are slower than the worse of them."""

    def late(sun: float, water: str) -> float:
        c = consulted(field={**BARE["field"], "sun_hours": sun}, means={"water": water})
        rows = [w for w in c.weighed.values() if w.way[1:3] == ("broadcast-seed", "kentucky-bluegrass")]
        first = min(rows, key=lambda w: w.draft.code)
        return float(first.facts["option.full-play-days.late"])

    full, dark, dry = late(9, "in-ground sprinklers"), late(5, "in-ground sprinklers"), late(9, "none")
    assert full < min(dark, dry)
    assert late(5, "none") > max(dark, dry)


@pytest.mark.parametrize(
    ("rootzone", "drainage", "ground"),
    [("sand cap", "poor", "sand"), ("sand built", "good", "sand"), ("native", "poor", "poor")],
)
def test_a_sand_cap_plays_as_sand_whatever_is_under_it(rootzone: str, drainage: str, ground: str) -> None:
    c = consulted(field={**BARE["field"], "rootzone": rootzone, "drainage": drainage})
    assert c.site["site.ground-class"] == ground


@pytest.mark.slow
def test_of_two_sellers_the_slower_says_by_when_to_decide() -> None:
    def decide_by(*leads: int) -> dict[str, str | None]:
        offers = [{"what": "sod", "grass": "kentucky bluegrass", "lead_days": lead} for lead in leads]
        c = consulted(offer=offers)
        return {
            row.code: row.decide_by
            for row in advice_of(c).options
            if row.method == "thin-sod" and row.grass == "kentucky-bluegrass"
        }

    both, slow, fast = decide_by(3, 20), decide_by(20), decide_by(3)
    shared = both.keys() & slow.keys() & fast.keys()
    assert {code: both[code] for code in shared} == {code: slow[code] for code in shared}
    assert any(both[code] != fast[code] for code in shared)


def test_a_feed_of_ten_months_ago_counts_for_the_year() -> None:
    most = knowledge().value("nitrogen-year-high", "perennial-ryegrass")
    assert most is not None

    def starter(fed: str) -> float | None:
        history = {"herbicides": [], "fertilizers": [{"date": fed, "n_g_m2": most}]}
        wish = {"grass": "perennial ryegrass", "method": "broadcast-seed"}
        plan = advice_of(consulted(history=history, wishes=wish)).plan
        return next(row.amount for row in plan if row.template == "starter-feed")

    assert starter("2025-11-01") == 0
    assert (starter("2025-05-01") or 0) > 0


@pytest.mark.slow
@pytest.mark.parametrize(("slope", "halved"), [(4.9, False), (5, True), (8, True)])
def test_from_the_slope_that_is_stated_on_a_wetting_is_halved(slope: float, halved: bool) -> None:
    wish = {"grass": "kentucky bluegrass", "method": "broadcast-seed"}
    field = {**BARE["field"], "soil": "clay"}

    def most(percent: float) -> float:
        rows = advice_of(consulted(field={**field, "slope_percent": percent}, wishes=wish)).watering
        return max(row.mm_each or 0 for row in rows)

    assert (most(slope) < most(0)) == halved


def test_whether_a_contractor_can_be_had_moves_the_cost() -> None:
    """What is tried with another answer comes to what a whole consultation with it comes to."""
    means = {"water": "in-ground sprinklers", "contractor": False}
    c, answers = consulted(means=means), {**BARE, "means": {**means, "contractor": True}}
    whole = consulted(means=answers["means"])
    tried = Trier(with_plain_engine(adviser()), Base(c), c.filled.today).judged(
        situation_from_dict(answers), ("means.contractor",)
    )
    taken = {w.draft.code for chosen in whole.chosen.values() for w in chosen.told}
    assert taken
    assert {code: tried.weighed[code].cost for code in taken} == {
        code: whole.weighed[code].cost for code in taken
    }
    both = c.weighed.keys() & whole.weighed.keys() & tried.weighed.keys()
    moved = {
        code
        for code in both
        if whole.weighed[code].verdict not in ("not-advised", "ruled-out")
        and c.weighed[code].cost != whole.weighed[code].cost
    }
    assert moved
    assert {code: tried.weighed[code].cost for code in moved} == {
        code: whole.weighed[code].cost for code in moved
    }


@pytest.mark.parametrize(("slope", "warned"), [(1, False), (30, True)])
def test_a_caution_for_steep_ground_is_given_on_steep_ground_alone(slope: float, warned: bool) -> None:
    advice = advice_of(consulted(field={**BARE["field"], "slope_percent": slope}))
    assert ("machine-on-slope" in {caution.code for caution in advice.cautions}) == warned
