"""A fixed slice of the sweep, what it found once, and its own harness."""

from __future__ import annotations

import datetime as dt
import tomllib
from typing import Any

import pytest

from decide.answer.assemble import advice_of
from decide.model.reading import situation_from_dict
from tests.shared import adviser, case_codes, consulted
from tests.sweep import judge as judging
from tests.sweep.__main__ import KEPT, SAID_EVERY, Tally
from tests.sweep.judge import Row, as_toml, found_by, judge, smaller
from tests.sweep.properties import PROPERTIES, Finding, Judged, Property
from tests.sweep.situations import less, levels, pair, parts_of, readable, situation
from tests.sweep.words import Said, lesson_text, spoiled, wrong_in

SLICE, EACH = 96, 24

MONTHS = [1, 2, 6, 10, 15, 19, 21, 20, 16, 11, 5, 2]
# Situations as small as the sweep made them, each with the property that did not hold of it and its aim.
FOUND: dict[str, tuple[str, str, dict[str, Any]]] = {
    "a need to count insects stands without a day while it is waited for": (
        "checker",
        "",
        {
            "place": {"hemisphere": "north", "monthly_mean_c": MONTHS, "monthly_rain_mm": [60] * 12},
            "dates": {"today": "2026-04-14"},
            "zone": [{"name": "outfield", "pests": ["digging animals"]}],
            "now": {"ground": "snow"},
        },
    ),
    "a need to wet the soil again stands without a day while it is waited for": (
        "checker",
        "",
        {
            "place": {},
            "dates": {"today": "2026-09-20"},
            "zone": [{"name": "halfway", "water_drop": "stays"}],
            "now": {"ground": "snow"},
        },
    ),
    "a rope of the stopgap is no contradiction to what follows it": (
        "checker",
        "",
        {
            "place": {"name": "Rome"},
            "dates": {"today": "2026-01-31", "can_close": "no"},
            "zone": [{"name": "halfway", "pests": ["mole crickets"]}],
            "wishes": {"method": "thin-sod"},
        },
    ),
    "without its size a ball field is as large as its infield": (
        "silence",
        "field.area_m2",
        {
            "place": {"name": "Cincinnati", "country": "us", "region": "Ohio"},
            "dates": {"today": "2026-04-05", "play_by": "2026-06-01"},
            "field": {"length_m": 90, "width_m": 80},
            "use": [{"sport": "baseball", "hours_per_week": 8}],
            "means": {"water": "in-ground sprinklers", "equipment_own": ["spreader", "roller"], "contractor": True},
            "zone": [{"name": "whole field", "bare_percent": 50, "bare_pattern": "scattered"}],
        },
    ),
    "a grass that nobody named excuses none from the heat of the place": (
        "silence",
        "zone.whole-field.grass",
        {
            "place": {"name": "St Louis", "country": "us"},
            "dates": {"today": "2026-07-20"},
            "zone": [{"name": "whole field", "bare_percent": 80, "grass": [{"grass": "common-bermudagrass", "share_percent": 100, "state": "green"}]}],
        },
    ),
    "water counts until somebody tells that there is some": (
        "silence",
        "means.water",
        {
            "place": {"name": "Bowling Green", "region": "Kentucky"},
            "dates": {"today": "2026-06-12"},
            "means": {"water": "none"},
            "zone": [{"name": "whole field", "bare_percent": 80}],
        },
    ),
    "weed killers count until somebody tells that it is no school": (
        "silence",
        "site.school",
        {
            "place": {"name": "Albany", "region": "us-ny"},
            "dates": {"today": "2026-04-14"},
            "site": {"school": True},
            "zone": [{"name": "pitch", "bare_percent": 60}],
        },
    ),
    "a contractor of whom nobody told may ask more than the budget": (
        "silence",
        "means.contractor",
        {
            "place": {"name": "Roanoke"},
            "dates": {"today": "2026-09-03"},
            "field": {"length_m": 80, "width_m": 12},
            "means": {"contractor": True, "budget": 2500},
            "zone": [{"name": "whole field", "bare_percent": 90}],
        },
    ),
    "a field whose size nobody told may be larger than the budget bears": (
        "silence",
        "field.area_m2",
        {
            "place": {"name": "State College"},
            "dates": {"today": "2026-05-25"},
            "field": {"length_m": 110, "width_m": 65},
            "use": [{"sport": "american-football", "months": ["aug", "sep", "oct", "nov"], "hours_per_week": 6, "players": "adult"}],
            "means": {"contractor": True, "budget": 9000},
            "zone": [{"name": "whole field", "bare_percent": 90}],
        },
    ),
    "a date of which nobody said whether it can move may be firm": (
        "silence",
        "dates.play_by_firm",
        {
            "place": {"name": "San Diego"},
            "dates": {"today": "2026-06-15", "play_by": "2026-08-29", "play_by_firm": True},
            "zone": [{"name": "south goal"}],
        },
    ),
    "what is usual lifts a rule only until it is told": (
        "silence",
        "zone.whole-field.bare_percent",
        {
            "place": {"name": "Lincoln", "country": "gb"},
            "dates": {"today": "2026-05-05", "play_by": "2026-09-10", "no_play": [{"from": "2026-05-05", "until": "2026-09-09"}]},
            "zone": [{"name": "whole field", "bare_percent": 65, "bare_pattern": "scattered", "grass": [{"grass": "perennial-ryegrass", "state": "green"}]}],
        },
    ),
    "a contractor brings hands, whatever tools there are beside": (
        "silence",
        "means.equipment_own",
        {
            "place": {"name": "Muncie"},
            "dates": {"today": "2026-08-12"},
            "means": {"equipment_own": ["roller"], "contractor": True, "helpers": 6},
            "zone": [{"name": "pitch", "area_m2": 6000, "bare_percent": 90}],
        },
    ),
    "tools of one's own make nothing worse where a contractor is at hand": (
        "means",
        '{"means.equipment_own": ["roller"]}',
        {
            "place": {"name": "Muncie"},
            "dates": {"today": "2026-08-12"},
            "means": {"equipment_own": [], "contractor": True, "helpers": 6},
            "zone": [{"name": "pitch", "area_m2": 6000, "bare_percent": 90}],
        },
    ),
    "sod of which nobody said where it grew may lie on sand as a layer": (
        "silence",
        "offer",
        {
            "place": {"name": "Vlissingen"},
            "dates": {"today": "2026-10-01"},
            "field": {"rootzone": "sand-built", "soil": "sand"},
            "offer": [{"what": "sod", "grass": "tall fescue", "grown_on": "clay", "lead_days": 10}],
            "zone": [{"name": "whole field", "bare_percent": 80}],
        },
    ),
    "feed that frozen or soaked ground would rule out names them": (
        "checker",
        "",
        {
            "place": {"name": "Campinas", "country": "br"},
            "dates": {"today": "2026-08-04"},
            "zone": [{"name": "outfield"}],
            "proposal": [{"step": "fertilise"}],
        },
    ),
    "what is sown under play is late by a later date only where it was late before": (
        "later",
        "30",
        {
            "place": {"name": "York", "country": "gb"},
            "dates": {"today": "2026-08-20", "play_by": "2026-09-10", "no_play": [{"from": "2026-08-01", "until": "2026-11-30"}]},
            "zone": [{"name": "goalmouths", "bare_percent": 40, "bare_pattern": "scattered"}],
            "use": [{"sport": "football", "hours_per_week": 4}],
        },
    ),
    "a goal stands where a part is named after it, whatever is played": (
        "silence",
        "site.goals_anchored",
        {
            "place": {"name": "Hamburg", "country": "de"},
            "dates": {"today": "2026-04-27"},
            "site": {"goals_anchored": False},
            "use": [{"sport": "cricket"}],
            "zone": [{"name": "goalmouths"}],
        },
    ),
    "days without work put off the cuts, and with them the days of use": (
        "checker",
        "",
        {
            "place": {"name": "Leeds"},
            "dates": {"today": "2026-08-02", "no_work": [{"from": "2026-08-07", "until": "2026-08-27"}]},
            "zone": [{"name": "halfway", "pests": ["mole crickets"], "bare_percent": 50}],
        },
    ),
    "what is proposed is proposed on the other half of the earth too": (
        "mirrored",
        "",
        {
            "place": {"hemisphere": "south", "monthly_mean_c": [17, 17, 14, 11, 7, 5, 5, 5, 7, 9, 12, 15], "monthly_rain_mm": [60] * 12},
            "dates": {"today": "2026-04-10"},
            "zone": [{"name": "halfway"}],
            "proposal": [{"step": "sow", "grass": "common-bermudagrass"}],
        },
    ),
    "what is offered and begun sooner is told with one space between sentences": (
        "texts",
        "",
        {
            "place": {"name": "Macon", "country": "us"},
            "dates": {"today": "2026-12-30"},
            "zone": [{"name": "halfway"}],
            "offer": [{"what": "seed", "grass": "japanese-zoysiagrass"}],
        },
    ),
    "a sample goes to a clinic before anything is used, where nobody may spray": (
        "checker",
        "",
        {
            "place": {"hemisphere": "north", "monthly_mean_c": MONTHS, "monthly_rain_mm": [60] * 12},
            "dates": {"today": "2026-08-08"},
            "zone": [{"name": "outfield", "disease_signs": ["bronze rounds"], "bare_percent": 20}],
            "limits": {"pesticides": "banned"},
        },
    ),
    "a repair that follows a stopgap is ruled out by nothing but the date that cannot move": (
        "nothing-refused",
        "",
        {
            "place": {"name": "Augsburg"},
            "dates": {"today": "2026-10-25", "play_by": "2026-11-15", "play_by_firm": True},
            "zone": [{"name": "goal areas", "bare_percent": 90}],
            "means": {"budget": 800},
        },
    ),
    "a start that its own work comes too late for is no worse by a later date": (
        "later",
        "30",
        {
            "place": {"name": "Madrid"},
            "dates": {"today": "2026-06-05", "play_by": "2026-06-10"},
            "zone": [{"name": "halfway", "weeds_percent": 100}],
            "means": {"water": "bowser"},
        },
    ),
    "a rule on watering that is not known is the one that its days tell of": (
        "dont-know",
        "limits.water_law",
        {
            "place": {"name": "Perth"},
            "dates": {"today": "2026-10-20"},
            "zone": [{"name": "outfield", "bare_percent": 30}],
            "limits": {"water_days": ["mon"]},
        },
    ),
    "thick sod lies shut until its tests pass, so ground that cannot be shut is roped": (
        "checker",
        "",
        {
            "place": {"name": "Cape Town", "country": "za"},
            "dates": {"today": "2026-02-22", "can_close": "no"},
            "zone": [{"name": "centre", "bare_percent": 60, "bare_pattern": "solid"}],
            "wishes": {"grass": "kikuyugrass", "method": "thick-sod"},
        },
    ),
}  # fmt: skip


# What is found and not mended yet, by number: the property, and what is wrong.
OPEN: dict[int, tuple[str, str]] = {}


@pytest.mark.slow
@pytest.mark.parametrize("first", range(0, SLICE, EACH))
def test_slice(first: int) -> None:
    rows = [judge(number) for number in range(first, first + EACH)]
    still = {(row.number, each.prop) for row in rows for each in row.found}
    known = {(number, prop) for number, (prop, _) in OPEN.items() if first <= number < first + EACH}
    assert known <= still, "what is mended goes from the list"
    found = [(row.number, each) for row in rows for each in row.found if (row.number, each.prop) not in known]
    said = "\n".join(f"{n}: {each.prop}: {each.cause}: {each.said} ({each.aim})" for n, each in found)
    assert not found, said


@pytest.mark.slow
@pytest.mark.parametrize("name", FOUND)
def test_what_was_found_is_mended(name: str) -> None:
    prop, aim, answers = FOUND[name]
    assert [(each.cause, each.said) for each in found_by(prop, answers, aim)] == []


# ---------- the harness ----------
def test_what_is_ruled_out_by_more_than_its_date_is_found() -> None:
    """The same repair with a word of its reason gone, and ruled out by more: both are seen."""
    _, _, answers = FOUND[
        "a repair that follows a stopgap is ruled out by nothing but the date that cannot move"
    ]
    judged = Judged(adviser(), answers)
    (answer,) = judged.advice.programme
    option = judged.advice.option(answer.option)
    assert option is not None
    assert option.verdict == "ruled-out"
    late = next(row for row in option.reasons if row.grade == "ruled-out")

    def found(**changes: Any) -> list[str]:
        other = option.model_copy(update=changes)
        advice = judged.advice.model_copy()
        object.__setattr__(advice, "option", lambda code: other if code == option.code else None)
        planted = Judged(adviser(), answers)
        planted.__dict__["advice"] = advice
        return [cause for cause, _ in PROPERTIES["nothing-refused"].check(planted, "")]

    assert found() == []
    assert found(verdict_reason="The date cannot move.") == ["option ruled-out"]
    assert found(reasons=[late, late.model_copy(update={"criterion": "risk"})]) == ["option ruled-out"]


@pytest.mark.parametrize("many", [2, 3, 7, 30])
def test_every_pair_comes_by_once(many: int) -> None:
    pairs = many * (many - 1) // 2
    found = {pair(number, many) for number in range(pairs)}
    assert found == {(low, high) for low in range(many) for high in range(low)}


def test_situations_go_by_their_number_and_can_be_read() -> None:
    for number in range(40):
        answers = situation(number)
        assert answers == situation(number)
        assert readable(answers)
    assert len({key for key, _ in levels()}) > 100


def test_a_situation_file_says_the_same() -> None:
    for number in (0, 1, 3):
        answers = situation(number)
        assert situation_from_dict(tomllib.loads(as_toml(answers))) == situation_from_dict(answers)


def test_every_part_can_be_left_out() -> None:
    answers = situation(3)
    for path in parts_of(answers):
        assert less(answers, path) != answers
    assert answers == situation(3)


def test_a_finding_is_made_smaller_and_an_exception_is_one(monkeypatch: pytest.MonkeyPatch) -> None:
    def check(judged: Any, _: str) -> Any:
        if judged.answers.get("means", {}).get("water") == "none":
            raise KeyError("no water")
        yield from ()

    monkeypatch.setitem(PROPERTIES, "planted", Property(check))
    answers = {**situation(0), "means": {"water": "none", "helpers": 3}, "site": {"school": True}}
    (found,) = found_by("planted", answers)
    assert found.cause == "KeyError in check"
    least = smaller(found).answers
    assert least["means"] == {"water": "none"}
    assert "site" not in least
    assert [each.prop for each in judging.found_by("planted", {**answers, "means": {}})] == []


def test_a_run_says_each_cause_once_and_what_it_took() -> None:
    tally = Tally()
    finding = Finding("means", "why", "what", "aim", {})
    said = [
        tally.add(Row(number, {"means": 1}, [finding], seconds=0.5, memory=100 + number))
        for number in range(SAID_EVERY + 10)
    ]
    assert [len(each) for each in said] == [1] + [0] * (SAID_EVERY + 9)
    assert len(tally.kept["means", "why"]) == KEPT
    first, *_, each, memory = tally.table().splitlines()
    assert first.split() == ["means", "35", "tried", "35", "wrong"]
    assert "0.50 s of CPU each; a million: 5.8 days" in each
    assert memory.endswith(f"{99 + SAID_EVERY} MB after {SAID_EVERY}, {109 + SAID_EVERY} MB in all")


@pytest.mark.parametrize(
    "text",
    [
        "Sow at None a square metre.", "It is nan.", "The the bank.", "After 1 days it is cut.", "It takes 3 hour.",
        "Water it..", "Mow at {height}.", "Feed it , then wait.",
    ],
)  # fmt: skip
def test_wrong_words_are_seen(text: str) -> None:
    assert list(wrong_in(text))


@pytest.mark.parametrize(
    "text",
    ["None before a storm.", "From 0 to 1 days.", "In 1 day it is cut.", "It had had rain.", "0.1 hours"],
)
def test_right_words_are_left_alone(text: str) -> None:
    assert not list(wrong_in(text))


def test_a_day_is_written_as_one() -> None:
    assert tomllib.loads(as_toml({"dates": {"today": "2026-04-05"}}))["dates"]["today"] == dt.date(2026, 4, 5)


@pytest.mark.slow
@pytest.mark.parametrize("code", case_codes()[::12])
def test_no_output_of_a_case_has_holes_doubled_words_or_wrong_numbers(code: str) -> None:
    """Screen, page, minutes, tasks, shopping, calendar, JSON, short advice and the lesson, opened down to its rules."""
    c = consulted(code)
    assert list(spoiled(Said(advice_of(c), c))) == []
    assert list(wrong_in(lesson_text(c))) == []
