"""Why: the reasons are the rules that fired, and better is the first place where two options differ."""

from __future__ import annotations

import itertools

import pytest

from decide.errors import DecideError
from decide.explain import better, meaning, say_why, say_why_not, why
from decide.weigh import first_difference


def test_the_reasons_are_the_rules_that_fired(dry, parts):
    for consultation in (dry, parts):
        for zone, chosen in consultation.chosen.items():
            told = why(consultation, zone)
            w = chosen.option or chosen.least_bad
            if w is None:
                continue
            assert (told.kind, told.option, told.verdict) == ("chosen", w.draft.code, w.verdict)
            fired = {rule.id for rule, _ in w.firings if rule.then.act in ("mark", "rule-out")}
            about = {rule.id for rule, _ in consultation.zone_layer.fired[zone] if rule.then.target == f"zone.remedy-{w.draft.remedy}"}
            assert {reason.rule for reason in told.reasons} == fired | about
            assert about
            for reason in told.reasons:
                assert reason.text in told.text
                assert all(held.holds is True for held in reason.when)


def test_the_worst_mark_of_each_criterion_is_its_grade(dry):
    told = why(dry)
    w = dry.weighed[told.option]
    order = ("ruled-out", "weak", "fair", "strong")
    for criterion, grade in w.grades.items():
        given = [reason.grade for reason in told.reasons if reason.target == criterion and reason.grade]
        assert grade == (min(given, key=order.index).replace("ruled-out", "weak") if given else "unknown")


def test_levels_add_conditions_then_sources(dry):
    one, two, three = (why(dry, level=level) for level in (1, 2, 3))
    assert one.reasons == two.reasons == three.reasons
    assert "the rule asks for" not in one.text
    assert "the rule asks for" in two.text
    assert "Source: " not in two.text
    assert "Source: " in three.text
    quoted = [said for reason in three.reasons for held in reason.when for said in held.numbers]
    assert quoted
    assert all(said.text in three.text for said in quoted)
    for reason in three.reasons:
        for held in reason.when:
            assert sum(said.used for said in held.numbers) <= 1


def test_a_part_that_is_left_alone_says_so(parts):
    told = why(parts, "cricket square")
    assert told.kind == "left-alone"
    assert [reason.rule for reason in told.reasons] == ["kept-off-on-purpose"]
    with pytest.raises(DecideError, match="no zone"):
        why(parts, "middel")


def test_better_is_the_first_difference_whichever_way_round(dry):
    rows = [dry.ranked[place] for place in (0, 1, 5, 20, len(dry.ranked) - 1)]
    seen = set()
    for one, two in itertools.combinations(rows, 2):
        told, turned = better(dry, one, two), better(dry, two.draft.code, one.draft.code)
        assert told == turned
        assert (told.option, told.other) == (one.draft.code, two.draft.code)
        assert told.place == first_difference(one, two, dry.order)
        seen.add(told.place)
    assert "verdict" in seen
    with pytest.raises(DecideError, match="no option"):
        better(dry, "nothing", rows[0])


def test_better_on_a_criterion_names_it_with_both_grades(dry):
    pairs = [(a, b) for a, b in itertools.pairwise(dry.ranked) if first_difference(a, b, dry.order) in a.grades]
    assert pairs
    for one, two in pairs[:10]:
        told = better(dry, one, two)
        assert f"it is {one.grades[told.place]}, and the other is {two.grades[told.place]}" in told.text
        assert all(reason.target == told.place for reason in told.reasons)


def test_as_one_text(parts):
    said = say_why(parts)
    assert all(zone.name.lower() in said.lower() for zone in parts.zones.values())
    assert say_why(parts, "the middle") == why(parts, "middle").text
    assert "bermuda" in say_why_not(parts, "bermuda").lower()
    assert say_why_not(parts, " ") == said


@pytest.mark.parametrize(("word", "head"), [("aerate", "Aerate:"), ("CORE", "Aerate:"), ("aerrate", "Aerate:"), ("annual meadow-grass", "Annual bluegrass:")])
def test_words_are_explained(adviser, word, head):
    told = meaning(adviser.knowledge, word)
    assert told is not None
    assert told.startswith(head)


@pytest.mark.parametrize("word", ["", "q", "zzzzzz", "\x1b[31m", "x" * 5000])
def test_unknown_words_are_not(adviser, word):
    assert meaning(adviser.knowledge, word) is None
