"""What the advice says of a new stand's days: up, first cut, use, frost that takes it, and how few cases stand behind them."""

from __future__ import annotations

import datetime as dt

import pytest

from decide import situation_from_dict
from decide.consult import Adviser
from decide.model import advice as model
from decide.model.row import DayRange
from decide.report.season_picture import season_sentences
from decide.report.text import render

pytestmark = pytest.mark.slow


def asked(adviser: Adviser, place: str, today: str) -> model.Advice:
    return adviser.advise(situation_from_dict({
        "place": {"name": place}, "dates": {"today": today, "play_by": "2027-08-20"}, "field": {"area_m2": 6000},
        "zone": [{"name": "middle", "area_m2": 6000, "bare_percent": 95}],
    }))  # fmt: skip


@pytest.fixture(scope="module")
def lafayette(adviser: Adviser) -> model.Advice:
    return asked(adviser, "West Lafayette, US", "2026-08-20")


def early(days: DayRange | None) -> str:
    assert days is not None
    assert days.early is not None
    return days.early


def new(advice: model.Advice) -> list[model.Option]:
    return [option for option in advice.options if option.remedy == "establish" and option.start]


def test_up_then_cut_then_use(lafayette: model.Advice) -> None:
    options = new(lafayette)
    assert len(options) > 20
    assert any(option.germination and option.first_mow and option.light_use for option in options)
    for option in options:
        if option.germination is not None and option.first_mow is not None:
            assert option.start is not None
            assert option.start <= early(option.germination) <= early(option.first_mow)
            assert (option.germination.late or "") <= (option.first_mow.late or "")
        if (
            option.first_mow is not None
            and option.light_use is not None
            and option.light_use.early
            and option.germination is not None
        ):
            assert early(option.first_mow) <= option.light_use.early


def test_sod_does_not_come_up(lafayette: model.Advice) -> None:
    sod = [option for option in new(lafayette) if option.method in ("thin-sod", "thick-sod")]
    assert sod
    assert all(option.germination is None and option.first_mow is not None for option in sod)


def test_ryegrass_of_late_august_by_hand(lafayette: model.Advice) -> None:
    """63.9 K-day above 3.6 at 22 C are four days, at 20 C five; first cut after 1.5 weeks, which no heat shortens."""
    option = next(
        o
        for o in new(lafayette)
        if o.grass == "perennial-ryegrass"
        and o.method == "broadcast-seed"
        and o.variant == "plain"
        and (o.start or "") < "2026-09-05"
    )
    start = dt.date.fromisoformat(option.start or "")
    assert 3 <= (dt.date.fromisoformat(early(option.germination)) - start).days <= 5
    assert 10 <= (dt.date.fromisoformat(early(option.first_mow)) - start).days <= 12


def test_what_dies_in_winter_is_not_cut(adviser: Adviser) -> None:
    """HortScience 35, 2000: ryegrass of November is lost in Indiana; bluegrass sleeps and comes up in spring."""
    advice = asked(adviser, "West Lafayette, US", "2026-11-22")
    rye = [
        o
        for o in new(advice)
        if o.grass == "perennial-ryegrass"
        and o.method == "broadcast-seed"
        and (o.start or "") < "2026-12-15"
        and o.variant == "plain"
    ]
    assert rye
    assert all(o.germination is None and o.first_mow is None for o in rye)
    asleep = [o for o in new(advice) if o.variant == "dormant" and o.grass == "kentucky-bluegrass"]
    assert asleep
    assert all(early(o.germination) > "2027-03-01" for o in asleep)


@pytest.mark.parametrize(
    ("grass", "method", "says"),
    [
        ("perennial-ryegrass", "broadcast-seed", "light use, from one place; full play, from one place"),
        (
            "tall-fescue",
            "broadcast-seed",
            "light use, none of this grass and start; full play, from two places",
        ),
        (
            "tall-fescue",
            "thin-sod",
            "light use, none of this grass and start; full play, none of this grass and start",
        ),
        ("fine-fescue", "broadcast-seed", "full play, no figure was found"),
    ],
)
def test_few_cases_are_owned(lafayette: model.Advice, grass: str, method: str, says: str) -> None:
    option = next(
        o for o in new(lafayette) if o.grass == grass and o.method == method and o.variant == "plain"
    )
    assert says in option.readiness_note
    assert option.readiness_note.endswith("Go by the checks, not by the calendar.")


def test_three_places_are_enough_to_say_nothing(lafayette: model.Advice) -> None:
    assert {
        o.readiness_note
        for o in new(lafayette)
        if o.method == "thick-sod" and o.grass in ("kentucky-bluegrass", "perennial-ryegrass")
    } == {""}


def test_kikuyu_could_not_be_calibrated(adviser: Adviser) -> None:
    notes = {
        o.readiness_note
        for o in new(asked(adviser, "Newcastle, AU", "2026-10-20"))
        if o.grass == "kikuyugrass" and o.method in ("broadcast-seed", "sprigs", "thin-sod")
    }
    assert notes == {
        "Few published cases: light use, none of this grass and start; full play, none of this grass and start. Go by the checks, not by the calendar."
    }


def test_no_frost_day_stands_alone(adviser: Adviser) -> None:
    """Bermudagrass sown in mid-August in Ohio is killed by its first winter; the day of that frost has a span."""
    advice = asked(adviser, "Columbus, Ohio", "2026-08-18")
    dying = [o for o in advice.options if o.dies_by]
    assert dying
    for option in dying:
        assert option.dies_between is not None
        first, last = (
            dt.date.fromisoformat(early(option.dies_between)),
            dt.date.fromisoformat(option.dies_between.late or ""),
        )
        assert first <= dt.date.fromisoformat(option.dies_by or "") <= last
        assert (last - first).days >= 20
    answer = advice.programme[0].model_copy(
        update={"option": dying[0].code, "stopgap": None, "least_bad": None}
    )
    said = " ".join(render(advice.model_copy(update={"programme": [answer]}), depth="short").split())
    assert "It lives until: some day between" in said
    assert "in two years of three. Then frost takes it." in said
    for known in advice.situation:
        if known.key in ("place.first_frost", "place.last_frost"):
            assert "off by" in known.note
            assert "years differ" in known.note


def test_full_page_says_them_and_the_short_one_does_not(lafayette: model.Advice) -> None:
    full, short = render(lafayette, depth="full"), render(lafayette, depth="short")
    assert "First cut:" in full or "; first cut" in full
    assert "first cut between" not in short
    assert "Evidence:" not in short
    assert season_sentences(lafayette)


def placed(
    adviser: Adviser, **more: object
) -> dict[tuple[str | None, str | None, str | None, str | None], model.Option]:
    """Options of a dry place by grass, method, start and variant."""
    told = {
        "place": {"name": "Sacramento, US"}, "dates": {"today": "2026-05-05", "play_by": "2027-03-20"}, "field": {"area_m2": 6000},
        "zone": [{"name": "middle", "area_m2": 6000, "bare_percent": 95, **({"sun_hours": more["sun"]} if "sun" in more else {})}],
        **({"means": {"water": more["water"]}} if "water" in more else {}),
    }  # fmt: skip
    return {
        (o.grass, o.method, o.start, o.variant): o for o in new(adviser.advise(situation_from_dict(told)))
    }


@pytest.mark.parametrize(
    ("more", "share"),
    [({"sun": 4}, 67), ({"water": "none"}, 50), ({"sun": 8, "water": "in-ground sprinklers"}, 100)],
)
def test_shade_and_drought_put_off_the_late_days_alone(
    adviser: Adviser, more: dict[str, object], share: int
) -> None:
    """Four hours of the six that bermudagrass needs are 67 %; Sacramento's June has next to no rain: the least that is reckoned."""
    plain, short = placed(adviser), placed(adviser, **more)
    pairs = [
        (plain[key], short[key])
        for key in plain
        if key in short
        and key[0] in ("common-bermudagrass", "hybrid-bermudagrass")
        and (key[2] or "") < "2026-06-15"
    ]
    assert pairs
    for full, less in pairs:
        assert (f"{share}% of full growth" in less.readiness_note) == (share < 100)
        assert "of full growth" not in full.readiness_note
        for a, b in ((full.light_use, less.light_use), (full.full_play, less.full_play)):
            if a is None or b is None:
                continue
            assert a.early == b.early
            if a.late is not None:
                assert b.late is None or b.late >= a.late
    later = [
        full
        for full, less in pairs
        if full.full_play
        and less.full_play
        and full.full_play.late
        and (less.full_play.late or "9999") > full.full_play.late
    ]
    assert bool(later) == (share < 100)
