"""Why: the reasons are the rules that fired, and better is the first place where two options differ."""

from __future__ import annotations

import itertools

import pytest

from decide.answer.assemble import advice_of
from decide.decision.rank import first_difference, sort_key
from decide.engine.language import GRADES
from decide.engine.plain import standing
from decide.explain import better, meaning, say_why, say_why_not, why, why_not
from decide.explain.reasons import Teller, ends_words, part_facts, part_rules
from decide.explain.why import passed, placed
from decide.model.errors import DecideError
from decide.questions.sensitivity import with_plain_engine
from tests.shared import case_of

# Programmes of every shape: a stopgap of grass and one that carries play, what comes after, the other side of a trade, nothing sound, nothing to do.
PROGRAMMES = (
    "uk-october-stopgap", "sparse-gb-cardiff-december", "sparse-ca-abbotsford-wet-end", "sparse-us-boise-soft-date", "sparse-us-fairbanks-firm-date", "sparse-us-san-jose-too-many-hours",
)  # fmt: skip


@pytest.fixture(scope="module", params=PROGRAMMES)
def case(request, adviser):
    return with_plain_engine(adviser).consult(case_of(request.param).situation)


def graded_by(c, w):
    """The rules that grade an option or rule it out, by what is known and by what is taken as usual: two runs of the engine, by hand."""
    facts = [w.facts, {**c.usual_facts[w.draft.zone], **w.facts}]
    rules = [
        rule for rule in c.book.base.rules if rule.about == "option" and rule.then.act in ("mark", "rule-out")
    ]
    return [{rule.id for rule in rules if standing(rule, held).fires is True} for held in facts]


def test_the_reasons_are_the_rules_that_fired(dry, parts):
    for consultation in (dry, parts):
        for zone, chosen in consultation.chosen.items():
            told = why(consultation, zone)
            w = chosen.option or chosen.least_bad
            if w is None:
                continue
            assert (told.kind, told.option, told.verdict) == ("chosen", w.draft.code, w.verdict)
            known, usual = graded_by(consultation, w)
            about = {
                rule.id
                for rule, _ in consultation.zone_layer.fired[zone]
                if rule.then.target == f"zone.remedy-{w.draft.remedy}"
            }
            assert {reason.rule for reason in told.reasons} == known | usual | about
            assert about
            for reason in told.reasons:
                assert reason.usual is (reason.rule in usual - known)
                assert reason.text in told.text
                assert all(held.holds is True for held in reason.when)


def test_the_grades_follow_from_the_reasons(dry, parts):
    """Worst end: the worst of what is sure, what a rule that could fire says, and nothing known; best end: the worst of what is sure."""
    for c in (dry, parts):
        tell = Teller(c)
        for w in c.ranked[:: max(1, len(c.ranked) // 25)]:
            fired = {reason.rule: reason for reason in tell.reasons(w)}
            for criterion in c.order:
                given = [
                    reason.grade
                    for reason in fired.values()
                    if reason.target == criterion and reason.grade != "ruled-out"
                ]
                given += (
                    ["lost"]
                    if not given and any(reason.target == criterion for reason in fired.values())
                    else []
                )
                maybe = [
                    "lost" if rule.then.act == "rule-out" else rule.then.grade
                    for rule in w.open
                    if rule.then.target == criterion and rule.id not in fired
                ]
                worst = min([*given, *maybe, *([] if given else ["unknown"])], key=GRADES.index)
                assert GRADES.index(w.grades[criterion]) <= GRADES.index(w.bests[criterion])
                if not any(
                    exceptions is None
                    for reason in fired.values()
                    if reason.target == criterion
                    for _, exceptions in reason.exceptions
                ):
                    assert GRADES.index(w.grades[criterion]) <= GRADES.index(worst), (w.draft.code, criterion)
                    assert not given or w.bests[criterion] == min(given, key=GRADES.index), (
                        w.draft.code,
                        criterion,
                    )


def test_levels_add_conditions_then_sources(dry):
    one, two, three = (why(dry, level=level) for level in (1, 2, 3))
    assert one.reasons == two.reasons == three.reasons
    assert "the rule asks for" not in one.text
    assert "the rule asks for" in two.text
    assert "Source: " not in two.text
    assert "Source: " in three.text
    quoted = [said for reason in three.reasons for held in reason.when for said in held.numbers]
    assert quoted
    assert all(said.text(dry.knowledge) in three.text for said in quoted)
    for reason in three.reasons:
        for held in reason.when:
            assert sum(said.used for said in held.numbers) <= 1


def test_a_part_that_is_left_alone_says_so(parts):
    told = why(parts, "cricket square")
    assert told.kind == "left-alone"
    assert [reason.rule for reason in told.reasons] == ["kept-off-on-purpose"]
    with pytest.raises(DecideError, match="no zone"):
        why(parts, "middel")


@pytest.mark.slow
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
    pairs = [
        (a, b) for a, b in itertools.pairwise(dry.ranked) if first_difference(a, b, dry.order) in a.grades
    ]
    assert pairs
    for one, two in pairs[:10]:
        told = better(dry, one, two)
        ends = [ends_words(dry.knowledge, w.grades[told.place], w.bests[told.place]) for w in (one, two)]
        assert f"it is {ends[0]}, and the other is {ends[1]}" in told.text
        row = next(row for row in told.criteria if row.criterion == told.place)
        assert (row.one, row.best_one, row.other, row.best_other) == (
            one.grades[told.place],
            one.bests[told.place],
            two.grades[told.place],
            two.bests[told.place],
        )
        assert all(reason.target == told.place for reason in told.reasons)


def test_both_ends_of_a_grade_are_said_and_what_the_best_hangs_on(parts):
    """Where an answer that is missing leaves a grade open, both ends are said, and the condition of the best end."""
    tell = Teller(parts)
    open_ = [
        (w, criterion)
        for w in parts.ranked
        for criterion in parts.order
        if w.grades[criterion] != w.bests[criterion] and tell.hangs_on(w, criterion)
    ]
    assert open_
    for w, criterion in open_[:: max(1, len(open_) // 8)]:
        other = next(one for one in parts.ranked if one is not w)
        told = better(parts, w, other, level=2)
        assert (
            f"at worst {w.grades[criterion].replace('unknown', 'not known')}, at best {w.bests[criterion].replace('unknown', 'not known')}"
            in told.text
        )
        assert any(f"only if {tell.hangs_on(w, criterion)[0]}" in line for line in told.text.splitlines())
    assert ends_words(parts.knowledge, "fair", "fair") == "fair"
    assert ends_words(parts.knowledge, "weak", "fair") == "at worst weak, at best fair"
    assert ends_words(parts.knowledge, "unknown", "unknown") == "not known"


def test_what_a_verdict_rests_on_is_said(parts):
    for zone in parts.zones:
        told, chosen = why(parts, zone, 2), parts.chosen[zone].option
        if chosen is None:
            continue
        assert told.rests_on == Teller(parts).rests_on(chosen)
        assert all(f"- {condition}." in told.text for condition in told.rests_on)
        assert bool(told.rests_on) == ("only if:" in told.text)
        option = next(option for option in advice_of(parts).options if option.code == chosen.draft.code)
        assert bool(option.rests_on) == bool(told.rests_on)


# ---------- the programme ----------
@pytest.mark.slow
def test_every_part_of_the_programme_is_told_with_the_rule_that_gives_it(case):
    for zone, chosen in case.chosen.items():
        rows = {row.place: row for row in placed(case, zone)}
        named = {
            "stopgap": chosen.stopgap, "choice": chosen.option, "least bad": chosen.least_bad, "after": chosen.after, "instead": chosen.instead, "next best": chosen.runner_up,
        }  # fmt: skip
        assert {place: row.option for place, row in rows.items()} == {
            place: w.draft.code for place, w in named.items() if w is not None
        }
        if not rows:
            continue
        told = why(case, zone)
        assert told.programme == tuple(rows.values())
        for place, row in rows.items():
            w = named[place]
            assert row.verdict == w.verdict
            if row.reason is not None:
                rule = case.book.rules[row.reason.rule]
                assert standing(rule, part_facts(case, w)).fires is True
                assert rule.then.target.removeprefix("option.role-") in w.roles
            if place in ("stopgap", "after", "instead"):
                assert row.reason is not None
                assert row.title in told.text
                assert row.reason.text in told.text


def test_parts_are_those_that_the_rules_give(case):
    for w in case.ranked[:: max(1, len(case.ranked) // 25)]:
        assert {rule.then.target.removeprefix("option.role-") for rule in part_rules(case, w)} == w.roles


@pytest.mark.slow
def test_what_stands_before_the_choice_and_is_not_chosen_is_explained(case):
    """Wherever an option stands before the choice, the text says why it is not the choice; nowhere else."""
    for w in case.ranked:
        chosen = case.chosen[w.draft.zone]
        before = (
            chosen.option is not None
            and w not in chosen.named
            and sort_key(w, case.order) < sort_key(chosen.option, case.order)
        )
        assert bool(passed(case, w)) == before
        if before and chosen.option is not None:
            assert "stands before it" in passed(case, w)


def test_asking_why_not_the_stopgap_says_that_it_is_in_the_programme(case):
    for zone, chosen in case.chosen.items():
        for place, w in (("stopgap", chosen.stopgap), ("comes after", chosen.after)):
            if w is not None and w.draft.remedy != "establish":
                assert (
                    "It is in the programme" in why_not(case, w.draft.remedy.replace("-", " "), zone).text
                ), place


def test_as_one_text(parts):
    said = say_why(parts)
    assert all(zone.name.lower() in said.lower() for zone in parts.zones.values())
    assert say_why(parts, "the middle") == why(parts, "middle").text
    assert "bermuda" in say_why_not(parts, "bermuda").lower()
    assert say_why_not(parts, " ") == said


@pytest.mark.parametrize(
    ("word", "head"),
    [
        ("aerate", "Aerate:"),
        ("CORE", "Aerate:"),
        ("aerrate", "Aerate:"),
        ("annual meadow-grass", "Annual bluegrass:"),
    ],
)
def test_words_are_explained(adviser, word, head):
    told = meaning(adviser.knowledge, word)
    assert told is not None
    assert told.startswith(head)


@pytest.mark.parametrize("word", ["", "q", "zzzzzz", "\x1b[31m", "x" * 5000])
def test_unknown_words_are_not(adviser, word):
    assert meaning(adviser.knowledge, word) is None
