"""What if, what would it take, how sure, says who: what moves, by which rules, and that the data are the same at every level."""

from __future__ import annotations

import pytest

from decide.answer.assemble import advice_of
from decide.explain import how_sure, matters_next, says_who, what_if, would_take
from decide.explain.changes import value_of, with_changes
from decide.explain.dials import BEHIND, changeable_keys, dials
from decide.explain.how_sure import with_number
from decide.explain.reasons import Teller
from decide.explain.runs import Runs
from decide.model.errors import DecideError
from decide.questions.answers import as_answers
from decide.questions.choice import choice_of
from decide.questions.sensitivity import with_plain_engine
from tests.shared import case_of


# ---------- what if ----------
@pytest.fixture(scope="module")
def hoseless(adviser):
    """A ball field without a hose, where water moves the choice."""
    return with_plain_engine(adviser).consult(case_of("na-bowling-green-no-hose").situation)


@pytest.mark.slow
def test_water_moves_the_choice_by_the_rules_on_water(hoseless):
    """Without water sod is weak in what can be done (common practice, no source); with sprinklers that rule is silent."""
    changes = {"means.water": "in-ground sprinklers", "means.wettings_weekday": 6}
    told = what_if(hoseless, changes)
    (move,) = told.zones
    assert move.moved
    watered, dry = Runs(hoseless).whole(changes), hoseless
    (here,), (there,) = dry.chosen.values(), watered.chosen.values()
    assert (move.before.option, move.after.option) == (here.option.draft.code, there.option.draft.code)
    assert (move.before.verdict, move.after.verdict) == (here.option.verdict, there.option.verdict)
    parted = {(row.rule, row.fires) for row in move.parted}
    assert any(
        fires == "no longer"
        and any(
            held.fact == "site.water" for row in move.parted if row.rule == rule for held in row.reason.when
        )
        for rule, fires in parted
    )
    assert {row.code for row in advice_of(watered).cautions} - {
        row.code for row in advice_of(dry).cautions
    } == set(told.cautions_added)


@pytest.mark.slow
def test_every_rule_by_which_they_part_fires_on_one_side_only(dry):
    changes = {
        "means.water": "in-ground sprinklers",
        "means.wettings_weekday": 6,
        "zone.bare_percent": 20,
        "zone.bare_pattern": "scattered",
    }
    told = what_if(dry, changes)
    other = Runs(dry).whole(changes)
    assert told.zones[0].parted
    for row in told.zones[0].parted:
        if not row.option:
            sides = [
                {
                    rule.id
                    for rule, _ in (
                        *c.zone_layer.fired.get("whole-field", []),
                        *c.site_layer.fired.get("site", []),
                    )
                }
                for c in (dry, other)
            ]
        else:
            found = [c.weighed.get(row.option) for c in (dry, other)]
            if None in found:
                continue
            sides = [
                {reason.rule for reason in Teller(c).reasons(w)}
                for c, w in zip((dry, other), found, strict=True)
            ]
            if row.fires.endswith("open"):
                assert row.rule not in sides[0] | sides[1]
                rests = [{rule.id for rule in w.rests_on} for w in found]
                assert (row.rule in rests[0], row.rule in rests[1]) == (
                    (True, False) if row.fires == "no longer open" else (False, True)
                )
                continue
        assert (row.rule in sides[0], row.rule in sides[1]) == (
            (True, False) if row.fires == "no longer" else (False, True)
        )


@pytest.mark.slow
def test_nothing_moves_where_nothing_is_read(dry):
    told = what_if(dry, {"means.water": "none"})
    assert not told.moved
    assert "Nothing moves" in told.text
    assert told.zones[0].before == told.zones[0].after


@pytest.mark.slow
def test_one_zone_alone_can_be_changed(parts):
    told = what_if(parts, {"zone.goalmouths.bare_percent": 0, "zone.goalmouths.bare_pattern": "scattered"})
    moved = {zone.zone for zone in told.zones if zone.moved}
    assert moved == {"goalmouths"}


@pytest.mark.slow
def test_levels_leave_the_data_alone_and_ids_stand_at_the_deepest_only(hoseless):
    rows = [what_if(hoseless, {"means.water": "hand hose"}, level) for level in (1, 2, 3)]
    assert rows[0].zones == rows[1].zones == rows[2].zones
    ids = {row.rule for row in rows[0].zones[0].parted}
    assert ids
    assert not any(rule in rows[0].text or rule in rows[1].text for rule in ids)
    assert all(f"Rule: {rule}." in rows[2].text for rule in ids)


@pytest.mark.parametrize(
    ("changes", "wrong"),
    [
        ({}, "nothing is changed"),
        ({"means.watr": "none"}, "means.water"),
        ({"zone.nowhere.bare_percent": 5}, "no zone 'nowhere'"),
        ({"means.water": "a river"}, "not one of its words"),
        ({"zone.bare_percent": 150}, "out of range"),
    ],
)
def test_a_change_that_cannot_be_is_said(dry, changes, wrong):
    with pytest.raises(DecideError, match=wrong):
        what_if(dry, changes)


def test_changes_leave_the_answers_alone_and_void_what_they_replace(dry):
    answers = as_answers(dry.filled.situation)
    before = repr(answers)
    after = with_changes(answers, {"field.area_m2": 4000.0})
    assert repr(answers) == before
    assert value_of(after, "field.area_m2") == 4000.0
    assert value_of(after, "field.length_m") is None
    assert value_of(with_changes(answers, {"use.hours_per_week": 2}), "use.hours_per_week") == 2


# ---------- what would it take ----------
@pytest.mark.slow
def test_a_hose_makes_sod_sound_where_there_is_no_water(dry):
    told = would_take(dry, "thin sod")
    assert told.kind == "found"
    assert any(set(way.as_changes) == {"means.water"} for way in told.ways)
    assert all(len(way.changes) == 1 for way in told.ways)


@pytest.mark.slow
def test_what_the_place_forbids_nothing_lifts(dry):
    """York's warmest month has about 17 °C; warm-season grass wants 27 to 35 °C: no answer of a club changes that."""
    told = would_take(dry, "sprigs")
    assert told.kind == "fixed"
    assert not told.ways
    assert "fits-place" in {reason.target for reason in told.fixed}


def test_only_what_is_marked_as_changeable_is_changed(dry, parts, adviser):
    allowed = set(changeable_keys(dry))
    assert not allowed & {
        "place.name",
        "field.soil",
        "zone.bare_percent",
        "zone.sun_hours",
        "history.herbicides",
        "means.flow_l_min",
        "zone.grass",
        "dates.today",
    }
    for c in (dry, parts):
        turned = {dial.key for dial in dials(c, as_answers(c.filled.situation), next(iter(c.zones)))}
        assert {f"zone.{key.split('.')[2]}" if key.startswith("zone.") else key for key in turned} <= allowed
    # the dry field is wanted by a date that is firm, the other is not
    assert "dates.play_by" not in {
        dial.key for dial in dials(dry, as_answers(dry.filled.situation), "whole-field")
    }
    assert "dates.play_by" in {
        dial.key for dial in dials(parts, as_answers(parts.filled.situation), "goalmouths")
    }


def test_every_measured_fact_that_is_marked_has_answers_behind_it_and_steps(adviser):
    marked = {name for name, row in adviser.knowledge.facts.items() if row.changeable}
    assert marked == set(BEHIND)
    assert all(adviser.base.facts[name].step for name in marked)
    assert {question.kind for question in adviser.knowledge.questions if question.changeable} <= {
        "yesno",
        "choice",
        "list",
        "number",
        "length",
        "money",
    }


@pytest.mark.slow
def test_the_least_steps_of_a_number(dry):
    """Of a number the smallest declared step that does is named: one less was run and does not do."""
    told = would_take(dry, "thin sod", goal="advised")
    for way in told.ways:
        for change in way.changes:
            if isinstance(change.after, float) and change.before is not None:
                kind = next(kind for kind in dry.types.values() if kind.told == change.key)
                less = {**way.as_changes, change.key: change.after - (kind.step or 1)}
                other = Runs(dry).whole(less)
                assert all(w.verdict != "advised" for w in other.ranked if w.draft.code == way.option)


def test_what_is_sound_takes_nothing(dry):
    first = dry.chosen["whole-field"].option
    told = would_take(dry, first.draft.method.replace("-", " "))
    assert told.kind == "already"
    assert "nothing" in told.text


@pytest.mark.slow
def test_a_remedy_that_the_ground_does_not_call_for(dry):
    told = would_take(dry, "let it recover")
    assert told.kind == "fixed"
    assert "does not call for it" in told.text


# ---------- how sure ----------
@pytest.fixture(scope="module")
def lines():
    return []


@pytest.fixture(scope="module")
def sure(dry, lines):
    return how_sure(dry, told=lines.append)


def test_how_it_stands_is_said_before_anything_is_tried(dry, monkeypatch):
    said = []

    def tried(*_):
        raise RuntimeError("tried")

    monkeypatch.setattr(Runs, "alters", tried)
    with pytest.raises(RuntimeError, match="tried"):
        how_sure(dry, told=said.append)
    assert len(said) == len(dry.zones)


@pytest.mark.slow
def test_the_lines_that_are_said_make_the_text(dry, sure, lines):
    assert "\n".join(lines) == sure.text
    assert len(lines) > len(dry.zones)


@pytest.mark.slow
def test_each_tip_tips_and_what_holds_holds(dry, sure):
    told = sure
    assert not told.holds
    first = {zone: choice_of(chosen) for zone, chosen in dry.chosen.items()}
    judged = [tip for tip in told.tips if tip.after is not None and tip.changes]
    assert judged
    for tip in judged[:4]:
        other = Runs(dry).whole({change.key: change.after for change in tip.changes})
        assert choice_of(other.chosen[tip.zone]) != first[tip.zone]
        chosen = other.chosen[tip.zone].option or other.chosen[tip.zone].least_bad
        assert tip.after.option == ("" if chosen is None else chosen.draft.code)
    assert told.held
    assert not {change.key for tip in told.tips for change in tip.changes if tip.kind == "answer"} & set(
        told.held
    )


@pytest.mark.slow
def test_disputed_numbers_are_those_of_several_sources(dry, sure):
    assert sure.disputed
    for name, key in sure.disputed:
        assert len({said.amount for said in dry.knowledge.values[name].statements if said.key == key}) > 1


def test_another_source_s_number_is_in_use_and_the_knowledge_stays(adviser):
    said = next(each for each in adviser.knowledge.values["cover-closed"].statements if not each.used)
    other = with_number(adviser, said)
    assert other.knowledge.value("cover-closed") == said.amount != adviser.knowledge.value("cover-closed")
    read = [
        rule.id
        for rule in adviser.base.rules
        if any(condition.value == "cover-closed" for condition in rule.conditions)
    ]
    assert read
    for rule in read:
        numbers = {
            condition.number
            for condition in other.rules[rule].conditions
            if condition.value == "cover-closed"
        }
        assert numbers == {said.amount}
        assert numbers != {
            condition.number
            for condition in adviser.rules[rule].conditions
            if condition.value == "cover-closed"
        }


# ---------- what matters next, says who ----------
@pytest.mark.slow
def test_what_matters_next_is_what_the_talk_would_ask(dry):
    told = matters_next(dry)
    assert told.missing
    assert told.next
    assert any(row.changes_choice for row in told.missing)


def test_says_who_gives_source_date_and_how_it_was_seen(dry):
    told = says_who(dry)
    assert told.found
    rules = {rule.id: rule for rule in dry.book.base.rules}
    for row in told.found:
        if row.kind == "rule":
            assert tuple(source.key for source in row.sources) == rules[row.name].sources
        for source in row.sources:
            assert source.seen in ("opened", "excerpt", "memory", "own")
            assert source.title == dry.knowledge.sources[source.key].title


def test_says_who_of_a_number_gives_what_every_source_says(dry):
    told = says_who(dry, "cover-closed", level=2)
    (row,) = told.found
    statements = dry.knowledge.values["cover-closed"].statements
    assert len(row.numbers) == len(statements)
    assert sum(said.used for said in row.numbers) == 1
    assert all(said.amount in told.text for said in row.numbers)


def test_says_who_finds_a_statement_by_its_words(dry):
    reason = next(row for row in says_who(dry).found if row.kind == "rule")
    again = says_who(dry, reason.text)
    assert again.found[0].name == reason.name
    assert not says_who(dry, "xyzzy plugh").found


# ---------- what trials have in common ----------
@pytest.mark.slow
def test_what_is_measured_once_for_many_trials_is_what_a_fresh_run_measures(dry, adviser):
    runs = Runs(dry)
    for changes in (
        {}, {"dates.first_use": "matches"}, {"dates.play_by": "2026-10-01"}, {"now.soil_temp_c": 22}, {"zone.sun_hours": 4}, {"means.water": "hand hose"},
        {"place.region": "Scotland"}, {"means.equipment_own": ["slit seeder"], "dates.play_by": "2026-10-01"},
    ):  # fmt: skip
        tried = runs.whole(changes)
        fresh = adviser.consult(tried.filled.situation)
        assert fresh.filled.measured is not tried.filled.measured
        assert {code: w.facts for code, w in tried.weighed.items()} == {
            code: w.facts for code, w in fresh.weighed.items()
        }
