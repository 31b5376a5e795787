"""Questions: their order, what is passed over, and that passing over is right."""

from __future__ import annotations

import copy
import datetime as dt
import json

import pytest

from decide.consult import Adviser
from decide.decision.diagnosis import diagnose
from decide.model.reading import read_situation, situation_from_dict
from decide.model.written import DONT_KNOW, coded
from decide.questions import next as q
from decide.questions import open as open_
from decide.questions import unknown
from decide.questions import weights as weigh
from decide.questions.answers import as_answers, as_situation
from decide.questions.base import Base
from decide.questions.sensitivity import with_plain_engine
from tests.questions import talks
from tests.shared import case_of

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


@pytest.fixture(scope="module")
def asker(adviser: Adviser) -> q.Asker:
    return q.Asker(adviser, TODAY)


def keys(rows):
    return [(asked.key, asked.zone) for asked in rows]


# ---------- open questions ----------
def test_the_stated_order_is_kept(adviser):
    orders = [asked.question.order for asked in open_.open_questions(adviser.knowledge, {})]
    assert orders == sorted(orders)
    assert orders[0] == min(row.order for row in adviser.knowledge.questions)


def test_zone_questions_are_asked_of_each_zone_that_is_not_kept_off(adviser):
    answers = {
        "zone": [
            {"name": "wings"},
            {"name": "square", "keep_off": True},
            {"name": "middle", "bare_percent": DONT_KNOW},
        ]
    }
    rows = keys(open_.open_questions(adviser.knowledge, answers))
    assert [zone for key, zone in rows if key == "zone.bare_percent"] == ["wings"]
    assert [zone for key, zone in rows if key == "zone.bare_pattern"] == ["wings", "middle"]
    assert ("zone", None) not in rows


def test_a_question_is_asked_only_where_the_earlier_answer_is_the_one_it_is_for(adviser):
    def asked(**answers):
        return {key for key, _ in keys(open_.open_questions(adviser.knowledge, answers))}

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
    assert key in {asked.key for asked in open_.open_questions(adviser.knowledge, {})}
    assert key not in {asked.key for asked in open_.open_questions(adviser.knowledge, answers)}


def test_an_answer_goes_where_a_situation_file_has_it(adviser):
    for asked in open_.open_questions(adviser.knowledge, FIELD):
        for value in open_.possible_answers(asked, adviser.base.facts, TODAY):
            before = copy.deepcopy(FIELD)
            after = open_.put_answer(FIELD, asked, value)
            assert before == FIELD
            assert open_.answer(after, asked) == value
            assert asked not in open_.open_questions(adviser.knowledge, after)
            trial = as_situation(after, TODAY)
            assert trial is not None or asked.key in ("zone.weeds_percent", "field.area_m2"), (
                asked.key,
                value,
            )


def test_a_situation_and_its_answers_are_one(adviser):
    situation = situation_from_dict({**FIELD, "dates": {**FIELD["dates"], "today": TODAY.isoformat()}})
    assert situation_from_dict(as_answers(situation)) == situation
    assert read_situation(json.dumps(as_answers(situation))) == situation


# ---------- choosing ----------
def codes(groups):
    return [group.code for group in groups]


def test_town_trouble_and_date_come_first_then_danger(adviser):
    groups = open_.open_groups(adviser.knowledge, {})
    assert codes(groups)[:4] == ["town", "where", "when", "danger"]
    told = {
        "place": {"name": "York"},
        "zone": [{"name": "wings", "bare_percent": 40, "bare_pattern": "solid"}],
    }
    assert codes(open_.open_groups(adviser.knowledge, told))[0] == "when"
    core = [group for group in groups if group.core]
    assert core == groups[: len(core)]


def test_until_the_core_is_answered_nothing_is_tried(adviser):
    asker = q.Asker(adviser, TODAY)
    answers = {}
    seen = []
    while (group := asker.next_group(answers)) is not None and group.core:
        seen.append(group.code)
        for asked in group.asked:
            value = {"zone": [{"name": "whole field"}], "place.name": "York"}.get(asked.key, DONT_KNOW)
            answers = open_.put_answer(answers, asked, value)
            if not any(each.core for each in open_.open_groups(adviser.knowledge, answers)):
                break
        if not any(each.core for each in open_.open_groups(adviser.knowledge, answers)):
            break
    assert asker.trials == 0
    assert len(seen) == len(set(seen)) == sum(row.core for row in adviser.knowledge.together.values())


def test_what_is_always_asked_stands_in_the_core(adviser):
    core = {key for row in adviser.knowledge.together.values() if row.core for key in row.asks}
    assert {row.key for row in adviser.knowledge.questions if row.always} <= core


def test_of_one_breath_only_the_rest_is_asked_again(adviser, asker):
    answers = copy.deepcopy(FIELD)
    del answers["site"]["services_marked"], answers["site"]["grazed"]
    group = asker.next_group(answers)
    assert group.code == "plants"  # how many weeds was not told
    for zone in answers["zone"]:
        zone["weeds_percent"] = DONT_KNOW
    group = asker.next_group(answers)
    assert [asked.key for asked in group.asked] == ["site.grazed", "site.services_marked"]
    assert not group.whole
    rest = open_.put_answer(answers, group.asked[0], DONT_KNOW)
    assert [asked.key for asked in asker.next_group(rest).asked] == ["site.services_marked"]


def test_what_one_answer_opens_is_asked_in_the_same_breath(adviser):
    [when] = [group for group in open_.open_groups(adviser.knowledge, {}) if group.code == "when"]
    assert [asked.key for asked in when.asked] == ["dates.play_by", "dates.first_use", "dates.play_by_firm"]
    told = {"dates": {"play_by": DONT_KNOW}}
    assert "when" not in codes(open_.open_groups(adviser.knowledge, told))


def test_parts_are_asked_about_together(adviser):
    answers = {"zone": [{"name": "wings"}, {"name": "square", "keep_off": True}, {"name": "middle"}]}
    [where] = [group for group in open_.open_groups(adviser.knowledge, answers) if group.code == "where"]
    assert [(asked.key, asked.zone) for asked in where.asked] == [
        (key, zone) for key in ("zone.bare_percent", "zone.bare_pattern") for zone in ("wings", "middle")
    ]


WEIGHED = {**FIELD, "zone": [{**zone, "weeds_percent": 10.0} for zone in FIELD["zone"]]}


@pytest.mark.slow
def test_of_a_few_that_could_change_the_choice_the_one_that_could_change_it_most_is_asked(adviser):
    """Judged in full with each of the answers that differ most."""
    asker = q.Asker(adviser, TODAY)
    group = asker.next_group(WEIGHED)
    assert group is not None
    assert not group.core
    tried = {key for _, key, _ in asker._ends}
    assert tried <= {
        asked.key for each in open_.open_groups(adviser.knowledge, WEIGHED) for asked in each.asked
    }
    plain = with_plain_engine(adviser)
    late = open_.without_late(adviser.knowledge, WEIGHED)
    base = Base(plain.consult(as_situation(late, TODAY)))

    def moved(asked):
        return sum(
            Base(plain.consult(situation)).first != base.first
            for value in open_.ends(asked, adviser.base.facts, TODAY)
            if (situation := as_situation(open_.put_answer(late, asked, value), TODAY)) is not None
        )

    assert any(moved(asked) for asked in group.asked if asked.key in tried)


def test_looking_ahead_asks_the_same_without_waiting(adviser):
    before = copy.deepcopy(WEIGHED)
    del before["site"]["school"], before["site"]["grazed"]  # the last of the core is still in hand
    plain, ahead = q.Asker(adviser, TODAY), q.Asker(adviser, TODAY)
    assert sum(1 for _ in ahead.steps(before)) > 2
    trials = ahead.trials
    assert trials > 0
    assert ahead.next_group(WEIGHED) == plain.next_group(WEIGHED)
    assert ahead.trials == trials == plain.trials


class Ahead(q.Asker):
    """An asker that looks ahead after each question, as far as the person reads: not at all, a bit, or to the end."""

    asked = 0

    def next_group(self, answers, details=False):
        group = super().next_group(answers, details)
        self.asked += 1
        for step, _ in enumerate(self.steps(answers)):
            if step >= (0, 3, 1000)[self.asked % 3]:
                break
        return group


def asked_in_order(adviser, club):
    """What a club is asked with and without looking ahead, and what it has told by then."""
    told = [talks.talk(adviser, club, asker(adviser, club.today)) for asker in (q.Asker, Ahead)]
    return [(each.asked, each.left, each.answers) for each in told]


@pytest.mark.slow
def test_the_questions_after_the_core_come_in_the_same_order_with_and_without_looking_ahead(adviser):
    def asked(asker):
        answers, found = WEIGHED, []
        while len(found) < 3 and (group := asker.next_group(answers)) is not None:
            found.append((group.code, asker.left_at_most(answers)))
            for each in group.asked:
                answers = open_.put_answer(answers, each, DONT_KNOW)
        return found

    without = asked(q.Asker(adviser, TODAY))
    assert len(without) == 3
    assert asked(Ahead(adviser, TODAY)) == without


@pytest.mark.slow
@pytest.mark.parametrize("club", talks.clubs()[::4], ids=lambda club: club.name)
def test_a_talk_asks_the_same_in_the_same_order_with_and_without_looking_ahead(adviser, club):
    without, ahead = asked_in_order(adviser, club)
    assert len(without[0]) > 3
    assert ahead == without


def test_not_knowing_changes_nothing_and_nothing_is_tried_twice(adviser):
    asker = q.Asker(adviser, TODAY)
    group = asker.next_group(WEIGHED)
    trials = asker.trials
    assert group is not None
    assert asker.next_group(WEIGHED) == group
    assert asker.trials == trials
    again = WEIGHED
    for asked in group.asked:
        again = open_.put_answer(again, asked, DONT_KNOW)
    assert asker.next_group(again) != group
    assert asker._base(again) is asker._base(WEIGHED)


def test_a_consultation_of_what_is_known_already_keeps_what_was_tried_on_it(adviser):
    asker = q.Asker(adviser, TODAY)
    base = asker._base(WEIGHED)
    assert base is not None
    c = adviser.consult(base.c.filled.situation)
    asker.keep(c)
    assert asker._base(as_answers(c.filled.situation)) is base
    other = read_situation(b'place.name = "Dayton"\ndates.today = 2026-05-12\n[[zone]]\nname = "middle"\n')
    asker.keep(adviser.consult(other))
    assert asker._base(as_answers(other)) is not base


@pytest.mark.slow
def test_a_talk_ends_and_never_asks_more_than_was_said(adviser):
    asker = q.Asker(adviser, TODAY)
    answers = {"place": FIELD["place"], "zone": [{"name": zone["name"]} for zone in FIELD["zone"]]}
    left = []
    while (group := asker.next_group(answers)) is not None:
        left.append(asker.left_at_most(answers))
        for asked in group.asked:
            answers = open_.put_answer(answers, asked, DONT_KNOW)
    assert asker.left_at_most(answers) == 0
    assert all(most >= len(left) - place for place, most in enumerate(left))
    # A breath that is still open for another part keeps its place: the count may stand, and never grows.
    assert left == sorted(left, reverse=True)
    limit = adviser.knowledge.limit
    assert len(left) <= limit.most + limit.more_for_a_part
    assert {asked.key for asked in asker.details(answers)} > {"field.soil"}
    assert asker.next_group(answers, details=True) is not None


def test_a_message_that_tells_more_leaves_less_to_ask(adviser, asker):
    told = {"place": FIELD["place"], "zone": FIELD["zone"]}
    more = {**told, "dates": FIELD["dates"], "means": {**FIELD["means"], "wettings_weekday": 2}}
    assert (
        asker.left_at_most(more)
        < asker.left_at_most(told)
        < asker.left_at_most({"place": FIELD["place"]}) + 2
    )


@pytest.mark.slow
def test_a_sound_part_is_not_asked_about(adviser):
    """Nothing is asked beyond the core of a part for which nothing is to be done."""
    answers = copy.deepcopy(WEIGHED)
    answers["zone"].append(
        {"name": "wings", "bare_percent": 0.0, "bare_pattern": DONT_KNOW, "weeds_percent": 0.0, "grass": [{"grass": "perennial-ryegrass", "state": "green"}], "in_play": False}
    )  # fmt: skip
    asker = q.Asker(adviser, TODAY)
    base = asker._base(open_.without_late(adviser.knowledge, answers))
    assert not base.c.chosen["wings"].named
    seen = 0
    while (group := asker.next_group(answers)) is not None:
        assert "wings" not in {asked.zone for asked in group.asked}, group
        seen += 1
        for asked in group.asked:
            answers = open_.put_answer(answers, asked, DONT_KNOW)
    assert seen > 0


@pytest.mark.slow
def test_an_answer_that_only_adds_a_caution_does_not_change_the_choice(adviser):
    """Whether it is school ground, or grazed, bears on the cautions alone; judged in full with each answer, the choice stays."""
    asker = q.Asker(adviser, TODAY)
    untold = {**copy.deepcopy(FIELD), "site": {}}
    rows = [
        row
        for row in open_.open_questions(adviser.knowledge, untold)
        if row.key in ("site.school", "site.grazed")
    ]
    only_cautions = [
        row
        for row in rows
        if asker.matters(untold, row) is True and asker.changes_choice(untold, row) is False
    ]
    assert only_cautions
    base = asker._base(untold)
    for asked in only_cautions:
        wholes = [
            Base(
                with_plain_engine(adviser).consult(
                    as_situation(open_.put_answer(untold, asked, value), TODAY)
                )
            )
            for value in (True, False)
        ]
        assert all(whole.first == base.first for whole in wholes)
        assert any(whole.cautions - base.cautions for whole in wholes)
    shade = next(row for row in open_.open_questions(adviser.knowledge, FIELD) if row.key == "zone.sun_hours")
    assert asker.matters(FIELD, shade) is True
    assert asker.changes_choice(FIELD, shade) is True  # in deep shade nothing is to be sown


def test_no_place_gives_no_trial(adviser, asker):
    answers = {key: value for key, value in FIELD.items() if key != "place"}
    row = next(row for row in open_.open_questions(adviser.knowledge, answers) if row.key == "means.budget")
    assert asker.matters(answers, row) is None


def test_answers_that_cannot_be_read_stop_no_talk(adviser, asker):
    answers = {**FIELD, "place": {"name": "No Such Town At All"}}
    assert asker.next_question(answers) is not None
    row = next(row for row in open_.open_questions(adviser.knowledge, answers) if row.key == "means.budget")
    assert asker.matters(answers, row) is None


# ---------- what is left open ----------
def plain(key):
    return key if not key.startswith("zone.") else f"zone.{key.rpartition('.')[2]}"


def consulted(adviser, code):
    return with_plain_engine(adviser).consult(case_of(code).situation)


def test_orienting_questions_are_questions(adviser):
    assert set(q.ORIENTING) <= {row.key for row in adviser.knowledge.questions}


def test_unknown_rows_are_questions_whose_answers_rules_wait_for(adviser):
    c = with_plain_engine(adviser).consult(
        situation_from_dict({**FIELD, "dates": {**FIELD["dates"], "today": TODAY.isoformat()}})
    )
    rows = unknown.unknown_rows(c)
    assert 0 < len(rows) <= unknown.MOST_UNKNOWN
    assert len({row.key for row in rows}) == len(rows)
    asked = {row.key for row in adviser.knowledge.questions}
    for row in rows:
        assert plain(row.key) in asked
        assert row.changes_first_choice is None


@pytest.mark.slow
def test_what_changes_the_first_choice_comes_first(adviser):
    for code in ("na-akron-sod-comes-too-late", "sparse-us-dubuque-bluegrass-six-weeks"):
        c = consulted(adviser, code)
        told = unknown.unknown_rows(c, q.Asker(adviser, c.filled.today))
        answers = [row.changes_first_choice for row in told]
        assert True in answers
        assert answers == sorted(answers, key=lambda said: {True: 0, None: 1, False: 2}[said])


def brought(c, asked):
    """The facts of site, zones and what is told that are known once a question is answered, by answering it, each with its zone."""
    answers = as_answers(c.filled.situation)
    found = set()
    values = open_.possible_answers(asked, c.types, c.filled.today)
    for value in values[:2]:
        situation = as_situation(open_.put_answer(answers, asked, value), c.filled.today)
        if situation is None:
            continue
        half = diagnose(c.book, situation)
        for zone in c.zones:
            found |= {
                (name, zone)
                for name in half.site.keys() - c.site.keys()
                | half.zone_facts[zone].keys() - c.zone_facts[zone].keys()
            }
        for zone, chosen in c.chosen.items():
            for w in chosen.told:
                found |= {
                    (name, zone)
                    for name in half.measures.option(w.draft, half.zone_facts[w.draft.zone]).keys()
                    - w.facts.keys()
                }
    return found


@pytest.mark.slow
@pytest.mark.parametrize(
    "code", ["sparse-us-dubuque-bluegrass-six-weeks", "sparse-be-ghent-four-zones", "uk-october-stopgap"]
)
def test_every_question_that_brings_a_fact_which_a_rule_waits_for_is_known_to_bring_it(adviser, code):
    """What questions bring is declared with the facts; answering them shows that no such question is passed over."""
    c = consulted(adviser, code)
    waits = {(name, zone) for name, one, _ in weigh.undecided(c) for zone in ([one] if one else c.zones)}
    weights = weigh.weights(c)
    for asked in open_.open_questions(adviser.knowledge, as_answers(c.filled.situation)):
        found = brought(c, asked) & waits
        assert not found or (asked.key, "" if asked.zone is None else coded(asked.zone)) in weights, (
            asked.key,
            found,
        )


def rank_of(c, row):
    """The weight of a row by hand: stands open in what is told; decides on a remedy; tells where and how the field is; else."""
    zone = row.key.split(".")[1] if row.key.count(".") == 2 else next(iter(c.zones))
    key = plain(row.key)
    mine = [
        w
        for chosen in c.chosen.values()
        for w in chosen.told
        if not key.startswith("zone.") or w.draft.zone == zone
    ]
    for w in mine:
        usual = c.usual_facts[w.draft.zone]
        for rule in w.open:
            names = [name for each, could in w.could if each.id == rule.id for name in could.unknown]
            names = [name for name in names if name not in usual] or names
            names += [
                name
                for each, firing in w.firings
                if each.id == rule.id
                for one in each.unless
                if one.name in firing.open
                for x in one.when
                for name in x.facts
                if name not in w.facts
            ]
            if any(key in weigh.asked_for(c, name, w.draft.zone, usually=True) for name in names):
                return 1
        # The order is silent on these facts, and the choice rests on them where the criterion is essential.
        silent = [
            name for rule, could in w.could if rule.then.target in c.essential for name in could.unknown
            if (row := c.knowledge.usual.get(name)) is not None and row.quiet
        ]  # fmt: skip
        if any(key in weigh.asked_for(c, name, w.draft.zone, usually=True) for name in silent):
            return 1
    near = [
        name for code in ([zone] if key.startswith("zone.") else c.zones) for rule, could in c.zone_layer.could.get(code, [])
        if rule.then.target.startswith("zone.kind-") or rule.then.target in ("zone.new-grass-asked", "zone.remedy-recover")
        for name in could.unknown if name not in c.usual_facts[code] and key in weigh.asked_for(c, name, code, usually=True)
    ]  # fmt: skip
    return 2 if near else 3 if key in q.ORIENTING else 4


@pytest.mark.parametrize(
    "code",
    [
        "sparse-ca-moncton-thin-without-a-number",
        "sparse-be-ghent-four-zones",
        "sparse-us-dubuque-bluegrass-six-weeks",
        "na-boston-shade",
    ],
)
def test_what_stands_open_comes_first_then_remedies_then_what_orients_then_the_unusual(adviser, code):
    c = consulted(adviser, code)
    ranks = [rank_of(c, row) for row in unknown.unknown_rows(c)]
    assert ranks
    assert ranks == sorted(ranks)


def test_without_a_town_the_town_is_asked(adviser):
    """Without a place no grass and no day can be named, so that is what to find out."""
    rows = unknown.unknown_rows(consulted(adviser, "sparse-ie-loose-goals-no-town"))
    assert "place.name" in [row.key for row in rows]


@pytest.mark.parametrize(
    ("code", "first"),
    [("sparse-us-kalamazoo-sod-of-unknown-soil", True), ("sparse-nz-tauranga-offered-turf", False)],
)
def test_sod_on_offer_whose_soil_nobody_told_is_asked_about(adviser, code, first):
    rows = unknown.unknown_rows(consulted(adviser, code))
    offered = [row for row in rows if row.key == "offer"]
    assert bool(offered) or not first
    assert all("grown on" in row.text for row in offered)


def test_sod_whose_soil_is_told_is_not_asked_about(adviser):
    case = case_of("sparse-us-kalamazoo-sod-of-unknown-soil")
    answers = as_answers(case.situation)
    answers["offer"][0]["grown_on"] = "sand"
    rows = unknown.unknown_rows(with_plain_engine(adviser).consult(situation_from_dict(answers)))
    assert not any("grown on" in row.text for row in rows)


def test_an_asker_takes_over_what_was_judged(adviser):
    c = consulted(adviser, "sparse-us-holyoke-slow-yes")
    asker = q.Asker(adviser, c.filled.today)
    asker.keep(c)
    assert asker._base(as_answers(c.filled.situation)).c is c
