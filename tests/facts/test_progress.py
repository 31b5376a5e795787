"""Opening checks against their marks, signs of failure and their season, and planning on with what was begun."""

from __future__ import annotations

import datetime as dt
import functools
import shutil
import tomllib
from pathlib import Path
from typing import Any

import pytest

from decide.answer.assemble import advice_of
from decide.decision.consultation import Consultation
from decide.knowledge.load import knowledge_folder, read_knowledge
from decide.knowledge.tables import Knowledge
from decide.model.errors import KnowledgeError, SituationError
from decide.model.reading import situation_from_dict
from decide.model.watched import OpenNow
from decide.report.papers import paper
from decide.report.text import render
from tests.shared import adviser, case_codes

HERE = Path(__file__).parents[1]
TODAY = dt.date(2026, 12, 20)


def knowledge() -> Knowledge:
    return adviser().knowledge


@functools.cache
def written(code: str) -> str:
    return (knowledge_folder() / "cases" / f"{code}.toml").read_text(encoding="utf-8")


def told(code: str) -> dict[str, Any]:
    """The situation of a case, to be changed."""
    return tomllib.loads(written(code))["situation"]


def consult(table: dict[str, Any]) -> Consultation:
    return adviser().consult(situation_from_dict(table))


def opened(table: dict[str, Any]) -> OpenNow:
    return advice_of(consult(table)).open_now[0]


def passing() -> dict[str, Any]:
    """Young ryegrass at Christchurch in which every check passes (its marks: 85 %, 150 mm, 6 cuts, 100 mm of roots)."""
    return told("ongoing-young-turf-passes")


def with_check(check: str, **row: Any) -> dict[str, Any]:
    table = passing()
    table["check"] = [each for each in table["check"] if each["check"] != check]
    if row:
        table["check"].append({"check": check, "date": dt.date(2026, 12, 19), **row})
    return table


# ---------- opening ----------
def test_turf_that_passes_every_check_opens() -> None:
    found = opened(passing())
    assert (found.light, found.full, found.because) == ("yes", "yes", [])
    assert {row.light for row in found.checks} == {"pass"}


@pytest.mark.parametrize(
    ("check", "row", "light", "full", "because"),
    [
        # Marks: 70 % for light use (University of Tennessee, overseeding in the transition zone, 2010), 85 % for full play (from memory).
        ("cover-count", {"value": 78}, "yes", "not yet", "Living cover by photo and grid: 78%; at least 85% before full play."),
        ("cover-count", {"value": 69.9}, "not yet", "not yet", None),
        ("cover-count", {"value": 85}, "yes", "yes", None),
        ("cover-count", {"passed": True}, "not yet", "not yet", None),
        # Widest bare patch: 300 mm for light use, 150 mm for full play (from memory).
        ("bare-patch", {"value": 200}, "yes", "not yet", "Widest bare patch: 200 mm; at most 150 mm before full play."),
        ("bare-patch", {"value": 301}, "not yet", "not yet", None),
        ("roots", {"value": 75}, "yes", "not yet", None),
        ("screwdriver", {"value": 60}, "not yet", "not yet", None),
        ("footprint", {"value": 12}, "not yet", "not yet", None),
        ("tug", {"passed": False}, "not yet", "not yet", "Tug test: failed on 19 December 2026."),
        ("tug", {"value": 0}, "yes", "yes", None),
        ("tug", {"value": 2}, "not yet", "not yet", "Tug test: 2 failed on 19 December 2026."),
        ("fork-drop", {"passed": False}, "not yet", "not yet", None),
        ("dangers", {"passed": False}, "not yet", "not yet", None),
        ("tug", {}, "not yet", "not yet", "Not done yet: Tug test."),
        # Drop hammer: under 100 Gmax (15th International Conference on the Engineering of Sport, 2024).
        ("drop-hammer", {"value": 99}, "yes", "yes", None),
        ("drop-hammer", {"value": 120}, "not yet", "not yet", None),
        # 70 to 85 is asked of natural football pitches: congress paper on hardness, 2024.
        ("drop-hammer", {"value": 62}, "not yet", "not yet", "Hardness by drop hammer of 2.25 kg: 62 Gmax; at least 70 Gmax before light use."),
        # Studded disc: 20 N m acceptable, 25 preferred (ASTM STP 1073, 1990, from memory).
        ("traction", {"value": 22}, "yes", "not yet", None),
        ("traction", {"value": 19}, "not yet", "not yet", None),
    ],
)  # fmt: skip
def test_a_check_against_its_marks(
    check: str, row: dict[str, Any], light: str, full: str, because: str | None
) -> None:
    found = opened(with_check(check, **row))
    assert (found.light, found.full) == (light, full), found.because
    if because is not None:
        assert because in found.because


def test_a_finding_grows_old() -> None:
    # What was found of the ground's firmness stands for a day, of the turf for two weeks (own choice).
    table = passing()
    for row in table["check"]:
        row["date"] = dt.date(2026, 12, 17)
    found = opened(table)
    assert (found.light, found.full) == ("not yet", "not yet")
    assert [text for text in found.because if text.startswith("Too old")] == [
        "Too old to count, do it again: Screwdriver pushed in by hand (17 December 2026); Boot print that stays (17 December 2026); "
        "Fork that bounces (17 December 2026); Dangers met on a walk over it (17 December 2026)."
    ]


def test_cuts_are_counted_from_the_record_one_a_day_and_since_the_start() -> None:
    table = passing()
    table["done"] = [{"task": "mow", "date": dt.date(2026, 12, day)} for day in (1, 1, 8)] + [
        {"task": "mow", "date": dt.date(2026, 9, 1)}
    ]
    found = opened(table)
    # Three cuts come before light use (a lawn care page), six before full play (from memory).
    assert (found.light, found.full) == ("not yet", "not yet")
    assert "Cuts so far: 2; at least 3 before light use." in found.because


def test_thick_sod_is_kicked_not_pulled() -> None:
    table = passing()
    table["ongoing"][0] |= {"method": "thick-sod"}
    missing = next(text for text in opened(table).because if text.startswith("Not done yet"))
    assert "Kick and twist on thick turf" in missing
    assert "Tug test" not in missing


def test_danger_keeps_it_shut_whatever_the_checks_say() -> None:
    table = passing()
    table["site"] = {**table["site"], "goals_anchored": False}
    found = opened(table)
    assert (found.light, found.full) == ("not yet", "not yet")
    assert "not anchored" in found.because[0]


def test_turf_that_is_neither_young_nor_checked_says_nothing_of_opening() -> None:
    table = passing()
    del table["ongoing"], table["check"], table["done"]
    assert advice_of(consult(table)).open_now == []


def test_turf_sown_within_a_year_is_young_without_a_programme() -> None:
    table = passing()
    table["history"] = {"sown": [{"grass": "perennial ryegrass", "date": dt.date(2026, 9, 20)}]}
    del table["ongoing"]
    found = opened(table)
    assert (found.light, found.full) == ("yes", "yes")


# ---------- signs ----------
def test_enough_signs_each_with_all_that_is_to_be_said() -> None:
    signs = knowledge().rescue
    assert len(signs) >= 25
    assert set(signs) == set(knowledge().rescue)
    judged = {
        word
        for rule in knowledge().rules
        if rule.about == "sign"
        for text in rule.when
        if text.startswith("sign.sign ")
        for word in text.replace("{", " ").replace("}", " ").replace(",", " ").split()
    }
    assert set(signs) <= judged, "every sign is named by a rule"


@pytest.mark.parametrize(
    ("extent", "season", "again"),
    [(9, "can be saved", False), (10, "can be saved", True), (49, "can be saved", True), (50, "may be saved", True), (None, "may be saved", False)],
)  # fmt: skip
def test_the_season_by_how_much_is_gone(extent: float | None, season: str, again: bool) -> None:
    # A tenth and a half are own marks; the window at West Lafayette is open on 1 September (Purdue: mid August to mid September).
    table = told("ongoing-washed-out-seed")
    table["seen"][0].pop("extent_percent")
    if extent is not None:
        table["seen"][0]["extent_percent"] = extent
    advice = advice_of(consult(table))
    assert advice.signs_seen[0].season == season
    assert any(task.template == "make-good-gaps" for task in advice.plan) is again


def test_what_was_made_good_is_past() -> None:
    table = told("ongoing-washed-out-seed")
    table["done"] = [{"task": "make-good-gaps", "date": dt.date(2026, 9, 1)}]
    advice = advice_of(consult(table))
    assert (advice.signs_seen[0].season, advice.signs_seen[0].because) == (
        "not in danger",
        "The record says that it was made good on 1 September 2026.",
    )
    assert not any(need.code == "make-good-gaps" for need in advice.needs)


def test_the_latest_look_counts() -> None:
    table = told("ongoing-washed-out-seed")
    table["seen"].append({"sign": "washout", "date": dt.date(2026, 9, 1), "extent_percent": 5})
    found = advice_of(consult(table)).signs_seen
    assert [(row.on, row.season) for row in found] == [("2026-09-01", "can be saved")]


def test_a_lost_start_is_not_carried_on_with_and_counts_as_history() -> None:
    c = consult(told("ongoing-seedlings-frosted"))
    assert not any(w.draft.remedy == "carry-on" for w in c.ranked)
    # 25 September to 28 October is 33 days.
    assert c.zone_facts["whole-field"]["zone.weeks-since-sown"] == round(33 / 7, 3)


def test_a_sign_without_a_programme_asks_for_it() -> None:
    table = told("ongoing-washed-out-seed")
    del table["ongoing"]
    row = advice_of(consult(table)).signs_seen[0]
    assert row.season == "may be saved"
    assert "[[ongoing]]" in row.because


# ---------- planning on ----------
def test_readiness_counts_from_the_real_start() -> None:
    table = told("ongoing-washed-out-seed")
    c = consult(table)
    carried = next(w for w in c.ranked if w.draft.remedy == "carry-on")
    ready = c.measures.readiness("tall-fescue/seed", dt.date(2026, 8, 25))["full-play"]
    assert ready.late is not None
    assert (
        advice_of(c).option(carried.draft.code).full_play.late
        == (dt.date(2026, 8, 25) + dt.timedelta(days=ready.late)).isoformat()
    )  # type: ignore[union-attr]


def test_the_plan_goes_on_and_does_not_begin_again() -> None:
    advice = advice_of(consult(told("ongoing-washed-out-seed")))
    held = {task.template for task in advice.plan}
    assert not held & {"order-seed", "make-the-bed", "starter-feed", "sow-broadcast", "straw-on", "test-soil"}
    assert held >= {"first-cut", "cut-often", "open-light", "open-full"}
    assert all(task.until >= "2026-09-01" for task in advice.plan)
    assert all(row.from_ >= "2026-09-01" for row in advice.watering)


@pytest.mark.slow
def test_what_is_done_is_marked_and_the_rest_waits_for_its_day() -> None:
    table = told("plan-york-school-ryegrass")
    before = advice_of(consult(table))
    first = next(task for task in before.plan if task.template == "walk-and-measure")
    assert first.done is None
    today = table["dates"]["today"]
    table["done"] = [
        {"task": "walk-and-measure", "date": today},
        {"task": "test-soil", "date": today - dt.timedelta(days=3)},
    ]
    after = advice_of(consult(table))
    marked = {task.template: task.done for task in after.plan if task.done is not None}
    assert marked == {
        "walk-and-measure": today.isoformat(),
        "test-soil": (today - dt.timedelta(days=3)).isoformat(),
    }


def test_cuts_on_record_mark_the_first_cut_and_put_off_the_next() -> None:
    table = told("ongoing-young-turf-passes")
    plan = {task.template: task for task in advice_of(consult(table)).plan}
    assert plan["first-cut"].done == "2026-12-14"
    # The last cut was on 14 December; the next is due `every-cut` days later, and not before today.
    every = knowledge().value("every-cut")
    assert every is not None
    if "cut-often" in plan:
        assert (
            plan["cut-often"].from_
            >= max(TODAY, dt.date(2026, 12, 14) + dt.timedelta(days=every)).isoformat()
        )


def test_the_same_situation_gives_the_same_bytes() -> None:
    one, two = (advice_of(consult(told("ongoing-ten-signs"))).as_json() for _ in range(2))
    assert one == two


@pytest.mark.slow
def test_how_it_goes_is_said_before_what_to_do() -> None:
    text = render(advice_of(consult(told("ongoing-early-play-goalmouth"))), plain=True)
    assert 0 < text.lower().find("how it goes") < text.lower().find("what to do")
    assert "the season of this start is lost" in " ".join(text.split())


@pytest.mark.slow
def test_the_part_that_is_begun_again_is_named_on_every_page() -> None:
    advice = advice_of(consult(told("ongoing-washed-out-seed")))
    assert "About 30% of it is begun again now; in a slow year that part bears full play by" in " ".join(
        render(advice, plain=True).split()
    )
    assert "About 30% of it is begun again now" in paper("page", advice)


# ---------- mistakes ----------
@pytest.mark.parametrize(
    ("key", "row", "says"),
    [
        ("done", {"task": "moww", "date": dt.date(2026, 9, 1)}, "situation: done[1].task: 'moww' is not a task or step here. Write 'mow'?"),
        ("check", {"check": "tugg", "date": dt.date(2026, 9, 1)}, "situation: check[1].check: 'tugg' is not a check here. Write 'tug'?"),
        ("seen", {"sign": "wash-out", "date": dt.date(2026, 9, 1)}, "situation: seen[1].sign: 'wash-out' is not a sign here. Write 'washout'?"),
        ("seen", {"sign": "washout", "date": dt.date(2026, 9, 2)}, "situation: seen[1] is of 2026-09-02, which lies after dates.today (2026-09-01). Write a day that has come"),
        ("check", {"check": "tug", "date": dt.date(2026, 9, 1), "zone": "wholefield"}, "situation: check[1]: zone 'wholefield' is not among the zones (whole field). Write 'whole-field'?"),
        (
            "ongoing", {"method": "broadcast-seed", "grass": "tall fescu", "start": dt.date(2026, 8, 25)},
            "situation: ongoing[1].grass: 'tall-fescu' is not a grass or mixture here. Write 'tall-fescue'?",
        ),
        (
            "ongoing", {"method": "sprigs", "grass": "hybrid bermudagrass", "variant": "dormnt", "start": dt.date(2026, 8, 25)},
            "situation: ongoing[1].variant: 'dormnt' is not a variant of sprigs. Write one of: plain",
        ),
        ("ongoing", {"method": "sprigs", "grass": "kikuyu", "thickness_mm": 20, "start": dt.date(2026, 8, 25)}, "situation: ongoing[1]: thickness_mm is of sod, and the method is sprigs. Take it out"),
    ],
)  # fmt: skip
def test_a_record_that_is_wrong_is_said(key: str, row: dict[str, Any], says: str) -> None:
    table = told("ongoing-washed-out-seed")
    table[key] = [row]
    with pytest.raises(SituationError) as error:
        consult(table)
    assert str(error.value).startswith(says)


def test_a_day_to_come_is_found_where_today_is_not_told() -> None:
    table = told("ongoing-washed-out-seed")
    table["dates"].pop("today")
    situation = situation_from_dict(table)
    situation = situation.model_copy(
        update={"dates": situation.dates.model_copy(update={"today": dt.date(2026, 8, 1)})}
    )
    with pytest.raises(SituationError, match="which lies after today"):
        adviser().consult(situation)


CHECK = """[tug]
check = "Tug test"
how = "Pull."
who = "volunteer"
rule = "none-may"
holds = "settle-days"
made-from = ["seed"]
sources = ["page"]
"""
SIGN = """[washout]
sign = "Seed is washed away."
look-at = "Where?"
do = "Rake."
saved-if = "It is early."
lost-if = "It is late."
made-from = ["seed"]
stage = "start"
sources = ["page"]
"""


@pytest.mark.parametrize(
    ("file", "text", "says"),
    [
        ("opening", CHECK.replace('holds = "settle-days"\n', ""), "care/opening.toml:1: tug: 'holds' is missing. Write holds = …"),
        ("opening", CHECK.replace("settle-days", "settle-dayz"), "care/opening.toml:1: tug: 'settle-dayz' is not a value. Write 'settle-days'?"),
        ("opening", CHECK.replace("settle-days", "rake-work"), "care/opening.toml:1: tug: value 'rake-work' is in h/1000m2. Name a value of time"),
        ("opening", CHECK + 'counts = ["mwo"]\n', "care/opening.toml:1: tug: 'mwo' is not a task or step. Write 'mow'?"),
        ("rescue", SIGN.replace('lost-if = "It is late."\n', ""), "care/rescue.toml:1: washout: 'lost-if' is missing. Write lost-if = …"),
        ("rescue", SIGN + 'mended-by = ["sew"]\n', "care/rescue.toml:1: washout: 'sew' is not a task or step. "),
    ],
)  # fmt: skip
def test_a_mistake_in_the_knowledge_is_found(tmp_path: Path, file: str, text: str, says: str) -> None:
    folder = tmp_path / "knowledge"
    shutil.copytree(HERE / "mistakes" / "good", folder)
    (folder / "care" / f"{file}.toml").write_text(text, encoding="utf-8")
    with pytest.raises(KnowledgeError) as error:
        read_knowledge(folder)
    assert str(error.value).startswith(says.strip())


def test_the_cases_of_what_goes_on_are_there() -> None:
    assert len([code for code in case_codes() if code.startswith("ongoing-")]) >= 6
