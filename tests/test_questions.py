"""Questions: their order, what is passed over, and that passing over is right."""

from __future__ import annotations

import copy
import datetime as dt
import json

import pytest

from decide import questions as q
from decide import trials as t
from decide.consult import Adviser
from decide.situation import DONT_KNOW, read_situation, situation_from_dict

TODAY = dt.date(2026, 5, 12)
FIELD = {
    "place": {"name": "York", "country": "gb"},
    "dates": {"play_by": "2026-08-25", "first_use": DONT_KNOW, "play_by_firm": DONT_KNOW, "can_close": "locked"},
    "site": {"dangers": ["none"], "goals_anchored": True, "in_use_now": False, "school": True, "public": False, "services_marked": True, "near_water_m": 300.0, "grazed": False},
    "use": [{"sport": "football", "months": ["sep", "oct", "nov", "mar", "apr"], "hours_per_week": 5.0, "players": "youth"}],
    "zone": [
        {
            "name": "goalmouths", "area_m2": 200.0, "bare_percent": 90.0, "bare_pattern": "solid", "bare_shape": DONT_KNOW, "began": DONT_KNOW, "in_play": False,
            "grass": [{"grass": "perennial-ryegrass", "state": "green"}],
        },
        {
            "name": "middle", "area_m2": 1500.0, "bare_percent": 25.0, "bare_pattern": "scattered", "bare_shape": DONT_KNOW, "began": DONT_KNOW, "in_play": False,
            "grass": [{"grass": "perennial-ryegrass", "state": "green"}],
        },
    ],
    "means": {"water": "hand hose"},
    "history": {"herbicides": []},
}  # fmt: skip


# The same field with the answers open that move starts, dates and water.
OPEN = {
    **FIELD, "dates": {"can_close": "locked"}, "means": {},
    "zone": [{key: value for key, value in zone.items() if key not in ("in_play", "grass")} for zone in FIELD["zone"]],
}  # fmt: skip


@pytest.fixture(scope="module")
def asker(adviser: Adviser) -> q.Asker:
    return q.Asker(adviser, TODAY)


def keys(rows):
    return [(asked.key, asked.zone) for asked in rows]


# ---------- open questions ----------
def test_the_stated_order_is_kept(adviser):
    orders = [asked.question.order for asked in q.open_questions(adviser.knowledge, {})]
    assert orders == sorted(orders)
    assert orders[0] == min(row.order for row in adviser.knowledge.questions)


def test_zone_questions_are_asked_of_each_zone_that_is_not_kept_off(adviser):
    answers = {"zone": [{"name": "wings"}, {"name": "square", "keep_off": True}, {"name": "middle", "bare_percent": DONT_KNOW}]}
    rows = keys(q.open_questions(adviser.knowledge, answers))
    assert [zone for key, zone in rows if key == "zone.bare_percent"] == ["wings"]
    assert [zone for key, zone in rows if key == "zone.bare_pattern"] == ["wings", "middle"]
    assert ("zone", None) not in rows


def test_a_question_is_asked_only_where_the_earlier_answer_is_the_one_it_is_for(adviser):
    def asked(**answers):
        return {key for key, _ in keys(q.open_questions(adviser.knowledge, answers))}

    assert "now.flooded_days" not in asked()
    assert "now.flooded_days" not in asked(site={"dangers": ["glass"]})
    assert "now.flooded_days" in asked(site={"dangers": ["glass", "flood water"]})
    assert "means.wettings_weekday" not in asked(means={"water": "none"})
    assert "means.wettings_weekday" in asked(means={"water": "hand hose"})
    assert "means.wettings_weekday" in asked(means={"water": DONT_KNOW})
    assert "dates.play_by_firm" not in asked()
    assert "dates.play_by_firm" not in asked(dates={"play_by": DONT_KNOW})
    assert "dates.play_by_firm" in asked(dates={"play_by": "2026-08-25"})


@pytest.mark.parametrize(
    ("key", "answers"),
    [
        ("site.school", {"site": {"school": DONT_KNOW}}),
        ("site.school", {"site": {"school": False}}),
        ("place.name", {"place": {"latitude": 40, "longitude": -80}}),
        ("place.name", {"place": {"name": DONT_KNOW}}),
        ("field.area_m2", {"field": {"length_m": 90, "width_m": 60}}),
        ("zone.area_m2", {"zone": [{"name": "a", "share_percent": 5}]}),
        ("history.herbicides", {"history": {"herbicides": []}}),
        ("use", {"use": []}),
        ("zone", {"zone": DONT_KNOW}),
    ],
)
def test_what_was_answered_is_not_asked_again(adviser, key, answers):
    assert key in {asked.key for asked in q.open_questions(adviser.knowledge, {})}
    assert key not in {asked.key for asked in q.open_questions(adviser.knowledge, answers)}


def test_an_answer_goes_where_a_situation_file_has_it(adviser):
    for asked in q.open_questions(adviser.knowledge, FIELD):
        for value in q.possible_answers(asked, adviser.base.facts, TODAY):
            before = copy.deepcopy(FIELD)
            after = q.put(FIELD, asked, value)
            assert before == FIELD
            assert q.answer(after, asked) == value
            assert asked not in q.open_questions(adviser.knowledge, after)
            trial = t.as_situation(after, TODAY)
            assert trial is not None or asked.key in ("zone.weeds_percent", "field.area_m2"), (asked.key, value)


def test_a_situation_and_its_answers_are_one(adviser):
    situation = situation_from_dict({**FIELD, "dates": {**FIELD["dates"], "today": TODAY.isoformat()}})
    assert situation_from_dict(t.as_answers(situation)) == situation
    assert read_situation(json.dumps(t.as_answers(situation))) == situation


# ---------- choosing ----------
def test_before_place_and_zone_nothing_is_tried(adviser):
    asker = q.Asker(adviser, TODAY)
    answers = {}
    seen = []
    while (asked := asker.next_question(answers)) is not None and not (asker._can_try(answers)):
        seen.append(asked)
        value = {"zone": [{"name": "whole field"}], "place.name": "York"}.get(asked.key, DONT_KNOW)
        answers = q.put(answers, asked, value)
    assert asker.trials == 0
    assert seen[0].key == "site.dangers"
    assert all(each.key in q.ORIENTING or each.question.always for each in seen)
    assert seen[-1].key == "place.name"


def test_questions_that_are_always_asked_are_asked(adviser, asker):
    answers = copy.deepcopy(FIELD)
    del answers["site"]["services_marked"], answers["site"]["grazed"]
    first = asker.next_question(answers)
    assert first.key == "site.services_marked"
    assert asker.next_question(q.put(answers, first, DONT_KNOW)).key == "site.grazed"


@pytest.mark.slow
def test_a_question_that_cannot_change_anything_is_passed_over_and_kept_for_the_details(adviser):
    asker = q.Asker(adviser, TODAY)
    asked = asker.next_question(FIELD)
    before = [row for row in q.open_questions(adviser.knowledge, FIELD) if not row.question.details]
    before = before[: before.index(asked)] if asked is not None else before
    assert [asker.matters(FIELD, row) for row in before] == [False] * len(before)
    assert {(row.key, row.zone) for row in before} <= set(keys(asker.details(FIELD)))
    left = [row for row in q.open_questions(adviser.knowledge, FIELD) if not row.question.details]
    assert asker.left_at_most(FIELD) == len(left) - len(before)
    assert asker.next_question(FIELD, details=True) == q.open_questions(adviser.knowledge, FIELD)[0]


@pytest.mark.slow
def test_nothing_is_tried_twice_and_not_knowing_changes_nothing(adviser):
    asker = q.Asker(adviser, TODAY)
    asked = asker.next_question(FIELD)
    tried = asker.trials
    assert asked is not None
    assert tried > 0
    assert asker.next_question(FIELD) == asked
    assert asker.trials == tried
    again = q.put(FIELD, asked, DONT_KNOW)
    following = asker.next_question(again)
    assert following != asked
    assert asker._base(again) is asker._base(FIELD)


@pytest.mark.slow
def test_a_talk_ends_and_never_asks_more_than_was_said(adviser):
    asker = q.Asker(adviser, TODAY)
    answers = copy.deepcopy(FIELD)
    left = []
    for _ in range(80):
        asked = asker.next_question(answers)
        if asked is None:
            break
        left.append(asker.left_at_most(answers))
        answers = q.put(answers, asked, DONT_KNOW)
    assert asker.next_question(answers) is None
    assert asker.left_at_most(answers) == 0
    assert all(most >= len(left) - place for place, most in enumerate(left))
    assert left == sorted(left, reverse=True)


@pytest.mark.slow
def test_an_answer_that_only_adds_a_caution_does_not_change_the_choice(adviser):
    """Whether weed killers are allowed bears on advice to call for drainage with a caution alone."""
    asker = q.Asker(adviser, TODAY)
    wet = {**copy.deepcopy(FIELD), "field": {"water_stands_hours": 48}}
    rows = {row.key: row for row in q.open_questions(adviser.knowledge, wet)}
    asked = rows["limits.pesticides"]
    assert asker.matters(wet, asked) is True
    assert asker.changes_choice(wet, asked) is False
    assert asker.matters(FIELD, rows["zone.sun_hours"]) is True
    assert asker.changes_choice(FIELD, rows["zone.sun_hours"]) is True  # in deep shade nothing is to be sown


def test_no_place_gives_no_trial(adviser, asker):
    answers = {key: value for key, value in FIELD.items() if key != "place"}
    row = next(row for row in q.open_questions(adviser.knowledge, answers) if row.key == "means.budget")
    assert asker.matters(answers, row) is None


def test_answers_that_cannot_be_read_stop_no_talk(adviser, asker):
    answers = {**FIELD, "place": {"name": "No Such Town At All"}}
    assert asker.next_question(answers) is not None
    row = next(row for row in q.open_questions(adviser.knowledge, answers) if row.key == "means.budget")
    assert asker.matters(answers, row) is None


# ---------- trials are exact ----------
def _tried_whole(adviser, base, answers, asked, value):
    """The same question put to a whole consultation."""
    situation = t.as_situation(q.put(answers, asked, value), TODAY)
    if situation is None:
        return None
    tried = t.Base(adviser.consult(situation))
    return tried.first != base.first or bool(tried.cautions - base.cautions)


@pytest.mark.slow
def test_a_quick_trial_says_what_a_whole_consultation_says(adviser, asker):
    """Every fifth answer of every question that is tried quickly, in a field with much still unknown, and every answer that moves options where they are open."""
    count = {True: 0, False: 0}
    place = 0
    for answers in (FIELD, OPEN):
        base = asker._base(answers)
        for asked in q.open_questions(adviser.knowledge, answers):
            if asked.key in t.OPTION_KEYS and asked.key not in t.MOVES:
                continue
            for value in q.possible_answers(asked, adviser.base.facts, TODAY):
                place += 1
                if place % 5 and (answers is FIELD or asked.key not in t.MOVES):
                    continue
                whole = _tried_whole(adviser, base, answers, asked, value)
                if whole is None:
                    continue
                assert asker._changes(base, answers, asked, value) is whole, (asked.key, asked.zone, value)
                count[whole] += 1
    assert min(count.values()) >= 5, count


@pytest.mark.slow
def test_answers_move_only_the_facts_of_options_that_are_declared(adviser, asker):
    """What the quick trial leans on: outside OPTION_KEYS no measure of an option moves, and inside only those in MOVES."""
    moved_by = {}
    # prices are known of the United States alone
    there = {**FIELD, "place": {"name": "Albany", "region": "New York", "country": "us"}, "means": {"water": "hand hose", "contractor": True, "wettings_weekday": 2}}
    for answers in (FIELD, there, OPEN):
        base = asker._base(answers).c
        drafts = base.drafts[:: max(1, len(base.drafts) // 40)]
        for asked in q.open_questions(adviser.knowledge, answers):
            if asked.key in t.OPTION_KEYS and asked.key not in t.MOVES:
                continue
            for value in q.possible_answers(asked, adviser.base.facts, TODAY)[:3]:
                situation = t.as_situation(q.put(answers, asked, value), TODAY)
                if situation is None:
                    continue
                half = adviser.diagnose(situation)
                for draft in drafts:
                    mine = base.measures.option(draft, base.zone_facts[draft.zone])
                    theirs = half.measures.option(draft, half.zone_facts[draft.zone])
                    moved = {name for name in mine.keys() | theirs.keys() if mine.get(name) != theirs.get(name)}
                    moved_by[asked.key] = moved_by.get(asked.key, set()) | moved
                    strange = {name for name in moved if not name.startswith(t.MOVES.get(asked.key, ()))}
                    assert not strange, (asked.key, value, strange)
    assert {key for key, moved in moved_by.items() if moved} >= {"means.wettings_weekday", "means.equipment_own", "means.budget", "offer"}


def test_declared_keys_are_keys_of_questions_or_of_the_situation(adviser):
    asked = {row.key for row in adviser.knowledge.questions}
    assert set(q.ORIENTING) <= asked
    assert set(t.MOVES) <= t.OPTION_KEYS
    assert t.OPTION_KEYS - asked <= {"dates.no_play", "dates.no_work"}
    for names in t.MOVES.values():
        for name in names:
            assert any(fact.startswith(name) for fact in adviser.base.facts), name


# ---------- what is left open ----------
@pytest.mark.slow
def test_unknown_rows_are_questions_whose_answers_rules_wait_for(adviser):
    c = adviser.consult(situation_from_dict({**FIELD, "dates": {**FIELD["dates"], "today": TODAY.isoformat()}}))
    rows = q.unknown_rows(c)
    assert 0 < len(rows) <= q.MOST_UNKNOWN
    assert len({row.key for row in rows}) == len(rows)
    asked = {row.key for row in adviser.knowledge.questions}
    for row in rows:
        plain = row.key if not row.key.startswith("zone.") else f"zone.{row.key.rpartition('.')[2]}"
        assert plain in asked
        assert row.changes_first_choice is None
    told = q.unknown_rows(c, q.Asker(adviser, TODAY))
    answers = [row.changes_first_choice for row in told]
    assert answers == sorted(answers, key=lambda said: {True: 0, None: 1, False: 2}[said])
