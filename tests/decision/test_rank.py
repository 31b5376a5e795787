"""Grades at both ends by hand, what verdicts and roles read of them, and the order of the options."""

from __future__ import annotations

import itertools
import random

import pytest

from decide.decision.diagnosis import diagnose
from decide.decision.rank import (
    LIKE_TO_LIKE,
    USABLE,
    VERDICT_ORDER,
    WISH,
    Reading,
    Weighed,
    best,
    bound,
    criteria_order,
    end_of,
    ends_at,
    first_difference,
    role_facts,
    sort_key,
    verdict_facts,
    worst,
)
from decide.engine import plain
from decide.engine.language import ADVERSE, CRITERIA, GRADES, VERDICTS, Conclusion, Fact, Rule, Subject
from decide.facts.draft import Draft, planted
from decide.model.reading import situation_from_dict
from tests.decision.fields import SHUT, changed, consulted, shut
from tests.decision.made import DAY, made
from tests.engine.small import base, rule

SUN, BARE, WATER = "zone.sunny", "zone.bare", "site.water"


def marks(grade: str, *when: str, unless: str = "", criterion: str = "risk", name: str = "") -> Rule:
    """A rule about an option that marks, or rules out where the grade is "out"."""
    then = Conclusion("rule-out", criterion) if grade == "out" else Conclusion("mark", criterion, grade)
    return rule(
        name or f"{grade}-{'-'.join(when)}", "option", when, then, {"but": [unless]} if unless else None
    )


def judged(
    rules: tuple[Rule, ...],
    told: dict[str, Fact],
    usual: dict[str, Fact] | None = None,
    closed: tuple[str, ...] = (),
    quiet: tuple[str, ...] = (),
) -> Weighed:
    """An option with the grades that `rules` give it on what is told, and on the usual reading of what is not."""
    made_of = base(*rules)

    def reading(facts: dict[str, Fact]) -> Reading:
        found = plain.judge(made_of, "option", [Subject("it", facts)])
        return Reading(
            [(made_of.rule(f.rule), f) for f in found.firings],
            [(made_of.rule(c.rule), c) for c in found.could],
        )

    known = reading(told)
    w = Weighed(Draft("a", "establish"), told, firings=known.firings, could=known.could)
    bound(w, reading({**(usual or {}), **told}), lambda name: name in closed, frozenset(quiet))
    return w


def ends(w: Weighed, criterion: str = "risk") -> tuple[str, str]:
    return w.grades[criterion], w.bests[criterion]


def names(rules: list[Rule]) -> list[str]:
    return [each.id for each in rules]


# ---------- both ends ----------
def test_a_criterion_of_which_nothing_is_said_is_unknown_at_both_ends():
    assert ends(judged((marks("weak", f"{SUN} is true"),), {SUN: False})) == ("unknown", "unknown")
    assert ends(judged((marks("weak", f"{SUN} is true"),), {SUN: True}), "money") == ("unknown", "unknown")


@pytest.mark.parametrize("grade", [*ADVERSE, "doubtful", "fair", "strong"])
def test_what_is_told_has_one_grade(grade):
    assert ends(judged((marks(grade, f"{SUN} is true"),), {SUN: True})) == (grade, grade)


def test_of_two_marks_the_worse_holds():
    assert ends(
        judged((marks("strong", f"{SUN} is true"), marks("doubtful", f"{BARE} > 0")), {SUN: True, BARE: 3.0})
    ) == ("doubtful", "doubtful")


def test_silence_is_read_at_both_ends():
    w = judged((marks("weak", f"{SUN} is true", name="shade"),), {})
    assert ends(w) == ("weak", "unknown")
    assert (names(w.open), names(w.remote), names(w.rests_on)) == (["shade"], [], ["shade"])


def test_silence_beside_what_is_sure():
    w = judged((marks("fair", f"{BARE} > 0"), marks("weak", f"{SUN} is true")), {BARE: 3.0})
    assert ends(w) == ("weak", "fair")


def test_what_may_be_good_lifts_the_best_end_alone():
    w = judged((marks("strong", f"{SUN} is true"),), {})
    assert ends(w) == ("unknown", "strong")
    assert w.rests_on == []


def test_what_may_rule_out_is_lost_at_the_worst_end():
    w = judged((marks("out", f"{SUN} is true", name="shade"), marks("fair", f"{BARE} > 0")), {BARE: 3.0})
    assert ends(w) == ("lost", "fair")
    assert (w.ruled_out, names(w.rests_on)) == ("could-fire", ["shade"])


def test_what_rules_out_is_lost_unless_a_mark_says_how_bad_it_is():
    out = marks("out", f"{SUN} is true")
    assert ends(judged((out,), {SUN: True})) == ("lost", "lost")
    w = judged((out, marks("poor", f"{BARE} > 0")), {SUN: True, BARE: 3.0})
    assert ends(w) == ("poor", "poor")
    assert w.ruled_out == "fired"


# ---------- the usual reading ----------
def test_the_usual_reading_of_silence_is_one_grade_and_the_verdict_still_rests_on_the_unusual():
    w = judged(
        (marks("weak", f"{SUN} is true", name="shade"), marks("fair", f"{BARE} > 0")),
        {BARE: 3.0},
        usual={SUN: False},
    )
    assert ends(w) == ("fair", "fair")
    assert (names(w.open), names(w.remote), names(w.rests_on)) == ([], ["shade"], ["shade"])


def test_what_is_usual_lifts_a_rule_and_the_verdict_still_rests_on_the_unusual():
    rules = (marks("weak", f"{BARE} > 0", unless=f"{SUN} is true", name="bare"), marks("fair", f"{BARE} > 0"))
    w = judged(rules, {BARE: 3.0}, usual={SUN: True})
    assert (ends(w), names(w.open), names(w.remote)) == (("fair", "fair"), [], ["bare"])
    assert judged(rules, {BARE: 3.0}, usual={SUN: True}, closed=(SUN,)).remote == []
    assert judged(rules, {BARE: 3.0, SUN: True}).rests_on == []


def test_what_is_usually_bad_is_bad_and_stands_open():
    w = judged((marks("weak", f"{SUN} is true", name="shade"),), {}, usual={SUN: True})
    assert ends(w) == ("weak", "weak")
    assert (names(w.open), names(w.remote)) == (["shade"], [])


def test_what_is_told_beats_the_usual_reading():
    rules = (marks("weak", f"{SUN} is true", name="shade"), marks("fair", f"{BARE} > 0"))
    w = judged(rules, {SUN: True, BARE: 3.0}, usual={SUN: False})
    assert (ends(w), w.rests_on) == (("weak", "weak"), [])
    w = judged(rules, {SUN: False, BARE: 3.0}, usual={SUN: True})
    assert (ends(w), w.rests_on) == (("fair", "fair"), [])


def test_a_usual_reading_of_one_of_two_facts_leaves_the_other_open():
    w = judged((marks("weak", f"{SUN} is true", f"{WATER} is none", name="dry"),), {}, usual={WATER: "none"})
    assert (ends(w), names(w.open)) == (("weak", "unknown"), ["dry"])


# ---------- quiet and closed facts ----------
def test_the_order_is_silent_on_a_quiet_fact_and_the_verdict_is_not():
    rules = (marks("weak", f"{SUN} is true", name="shade"), marks("fair", f"{BARE} > 0"))
    w = judged(rules, {BARE: 3.0}, quiet=(SUN,))
    assert (ends(w), names(w.open), names(w.remote)) == (("fair", "fair"), [], ["shade"])
    assert ends(judged(rules, {BARE: 3.0, SUN: True}, quiet=(SUN,))) == ("weak", "weak")


def test_a_rule_on_what_no_answer_can_bring_is_as_if_it_were_not_there():
    w = judged(
        (
            marks("weak", f"{SUN} is true"),
            marks("out", f"{SUN} is true", f"{WATER} is none"),
            marks("fair", f"{BARE} > 0"),
        ),
        {BARE: 3.0},
        closed=(SUN,),
    )
    assert (ends(w), w.rests_on) == (("fair", "fair"), [])


def test_one_closed_fact_closes_the_whole_rule():
    rules = (marks("weak", f"{SUN} is true", f"{WATER} is none", name="dry"),)
    assert ends(judged(rules, {}, closed=(SUN,))) == ("unknown", "unknown")
    assert ends(judged(rules, {SUN: True}, closed=(SUN,))) == ("weak", "unknown")


# ---------- exceptions ----------
def test_a_mark_that_an_answer_may_lift_speaks_at_the_worst_end():
    rules = (marks("weak", f"{BARE} > 0", unless=f"{SUN} is true", name="bare"), marks("fair", f"{BARE} > 0"))
    w = judged(rules, {BARE: 3.0})
    assert (ends(w), names(w.open)) == (("weak", "fair"), ["bare"])
    assert (ends(judged(rules, {BARE: 3.0, SUN: True}))) == ("fair", "fair")
    w = judged(rules, {BARE: 3.0, SUN: False})
    assert (ends(w), w.open) == (("weak", "weak"), [])


@pytest.mark.parametrize("how", ["closed", "quiet"])
def test_a_mark_that_no_answer_will_lift_is_sure(how):
    rules = (marks("weak", f"{BARE} > 0", unless=f"{SUN} is true"),)
    assert ends(judged(rules, {BARE: 3.0}, **{how: (SUN,)})) == ("weak", "weak")


def test_a_rule_out_that_an_answer_may_lift_is_lost_at_both_ends_and_named():
    w = judged((marks("out", f"{BARE} > 0", unless=f"{SUN} is true", name="bare"),), {BARE: 3.0})
    assert (ends(w), w.ruled_out, names(w.rests_on)) == (("lost", "lost"), "fired", ["bare"])


def test_the_gravest_condition_is_named_first():
    rules = (
        marks("weak", f"{SUN} is true", name="weak"), marks("out", f"{SUN} is true", name="out"), marks("poor", f"{SUN} is true", name="poor"),
        marks("poor", f"{WATER} is none", name="far", criterion="water"),
    )  # fmt: skip
    assert names(judged(rules, {}, usual={WATER: "can"}).rests_on) == ["out", "poor", "weak", "far"]


def test_the_worst_end_is_never_above_the_best_and_an_answer_never_leaves_the_two():
    """On random rules and facts: every way to answer what is not told gives a grade between the ends of silence."""
    dice = random.Random(5)
    pool = [
        marks(grade, *when, unless=unless, name=f"{grade}-{n}-{m}")
        for n, when in enumerate(([f"{SUN} is true"], [f"{BARE} > value:much-bare"], [f"{BARE} <= value:much-bare"], [f"{SUN} is not true", f"{WATER} is none"]))
        for m, (grade, unless) in enumerate((("weak", ""), ("poor", f"{WATER} is can"), ("fair", ""), ("strong", ""), ("doubtful", f"{WATER} is none")))
    ]  # fmt: skip
    values: dict[str, list[Fact]] = {SUN: [True, False], BARE: [10.0, 60.0], WATER: ["none", "can"]}
    open_ones = 0
    for _ in range(150):
        rules = tuple(dice.sample(pool, dice.randint(1, 6)))
        told = {name: dice.choice(held) for name, held in values.items() if dice.random() < 0.5}
        silent = judged(rules, told)
        low, high = ends(silent)
        assert GRADES.index(low) <= GRADES.index(high)
        open_ones += low != high
        missing = [name for name in values if name not in told]
        for answer in itertools.product(*(values[name] for name in missing)):
            one, two = ends(judged(rules, {**told, **dict(zip(missing, answer, strict=True))}))
            assert one == two
            assert GRADES.index(low) <= GRADES.index(one) <= GRADES.index(high)
    assert open_ones > 30


def test_whatever_an_answer_may_say_against_it_is_named_whatever_is_usual():
    """On random rules, facts and usual readings: no answer makes a rule speak that fires already, or is rested on."""
    dice = random.Random(7)
    pool = [
        marks(grade, when, unless=unless, name=f"{grade}-{n}")
        for n, (grade, when, unless) in enumerate(itertools.product(("out", "weak", "doubtful"), (f"{SUN} is true", f"{BARE} > 0"), ("", f"{WATER} is none", f"{SUN} is not true")))
    ]  # fmt: skip
    values: dict[str, list[Fact]] = {SUN: [True, False], BARE: [0.0, 60.0], WATER: ["none", "can"]}
    lifted = 0
    for _ in range(150):
        rules = tuple(dice.sample(pool, dice.randint(1, 5)))
        told = {name: dice.choice(held) for name, held in values.items() if dice.random() < 0.4}
        usual = {name: dice.choice(held) for name, held in values.items() if dice.random() < 0.6}
        silent = judged(rules, told, usual)
        known = {
            *names(silent.rests_on),
            *names(silent.doubts),
            *(rule.id for rule, found in silent.firings if not found.open),
        }
        lifted += any(found.open and rule in silent.remote for rule, found in silent.firings)
        missing = [name for name in values if name not in told]
        for answer in itertools.product(*(values[name] for name in missing)):
            found = judged(rules, {**told, **dict(zip(missing, answer, strict=True))})
            speaks = {rule.id for rule, _ in found.firings if rule.adverse or rule.then.grade == "doubtful"}
            sure = {rule.id for rule, _ in silent.firings if rule.then.grade == "doubtful"}
            assert speaks <= known | sure
    assert lifted > 5


def test_worst_and_best_go_by_the_order_of_grades():
    assert (worst(GRADES), best(GRADES)) == ("lost", "strong")
    assert (worst(["doubtful", "unknown"]), best(["weak", "unknown"])) == ("unknown", "unknown")
    assert worst([]) == best([]) == "unknown"


# ---------- what verdicts and roles read ----------
@pytest.mark.parametrize(
    ("low", "high", "end"),
    [
        ("strong", "strong", "good"), ("fair", "strong", "good"), ("doubtful", "strong", "soft"), ("doubtful", "doubtful", "soft"),
        ("unknown", "strong", "soft"), ("weak", "unknown", "open"), ("lost", "fair", "open"), ("poor", "weak", "weak"), ("lost", "lost", "weak"), ("weak", "weak", "weak"),
    ],
)  # fmt: skip
def test_two_ends_stand_together(low, high, end):
    assert end_of(low, high) == end


def test_the_verdict_reads_the_worst_of_what_is_essential_and_what_is_silent():
    essential = frozenset({"ready-in-time", "fits-place", "can-be-done"})
    w = made(
        grades={"fits-place": "weak", "money": "weak", "ready-in-time": "doubtful"},
        bests={"fits-place": "fair"},
    )
    facts = verdict_facts(w, essential)
    assert facts == {
        "option.rule-out": "none", "option.essential": "open", "option.time": "soft", "option.risk-end": "good", "option.open": "some", "option.soft": "some", "option.silence": "none",
    }  # fmt: skip
    assert verdict_facts(w, essential - {"ready-in-time"})["option.time"] == "free"
    # What counts less is soft at its worst end alone; what is bad at both ends stands open nowhere.
    lesser = verdict_facts(made(grades={"money": "weak"}), frozenset({"fits-place"}))
    assert (lesser["option.open"], lesser["option.soft"]) == ("none", "some")
    assert (
        verdict_facts(made(grades={"risk": "weak"}, bests={"risk": "fair"}), essential)["option.open"]
        == "some"
    )
    assert verdict_facts(made(), essential)["option.soft"] == "none"
    assert verdict_facts(made(), frozenset())["option.essential"] == "good"
    for criterion, said in (
        ("risk", "speaks"),
        ("money", "speaks"),
        ("can-be-done", "speaks"),
        ("lasts", "none"),
    ):
        w = made()
        w.remote = [marks("weak", f"{SUN} is true", criterion=criterion)]
        assert verdict_facts(w, essential)["option.silence"] == said
    for criterion, said in (("can-be-done", "speaks"), ("risk", "none")):
        w = made()
        w.doubts = [marks("doubtful", f"{SUN} is true", criterion=criterion)]
        assert verdict_facts(w, essential)["option.silence"] == said


def test_the_verdict_reads_what_could_come_to_count():
    essential, perhaps = frozenset({"fits-place"}), frozenset({"water"})
    assert verdict_facts(made(), essential, perhaps) == verdict_facts(made(), essential)
    for low, high in (("weak", "fair"), ("weak", "weak")):
        w = made(grades={"water": low}, bests={"water": high})
        assert verdict_facts(w, essential)["option.open"] == "none"
        assert verdict_facts(w, essential, perhaps)["option.open"] == "some"
        assert verdict_facts(w, essential, perhaps)["option.essential"] == "good"
    for name in ("remote", "doubts"):
        w = made()
        setattr(w, name, [marks("weak", f"{SUN} is true", criterion="water")])
        assert verdict_facts(w, essential)["option.silence"] == "none"
        assert verdict_facts(w, essential, perhaps)["option.silence"] == "speaks"


def test_roles_read_how_it_stands_without_the_date_and_without_lasting():
    essential = frozenset({"ready-in-time", "lasts", "fits-place"})
    w = made(verdict="late", grades={"ready-in-time": "lost", "lasts": "weak"}, bests={"lasts": "strong"})
    facts = role_facts(w, essential)
    assert (
        facts["option.verdict"],
        facts["option.in-time"],
        facts["option.lasting"],
        facts["option.else-essential"],
    ) == ("late", "weak", "open", "good")
    assert role_facts(made(grades={"fits-place": "weak"}), essential)["option.else-essential"] == "weak"
    for rules, by in (
        ((), "nothing"),
        (("ready-in-time",), "the-date"),
        (("ready-in-time", "fits-place"), "more"),
    ):
        w = judged(
            tuple(marks("out", f"{SUN} is true", criterion=criterion, name=criterion) for criterion in rules),
            {SUN: True},
        )
        assert role_facts(w, essential)["option.ruled-out-by"] == by


def test_what_verdicts_and_roles_read_is_declared_with_its_levels(knowledge):
    for essential in (frozenset(), frozenset(CRITERIA)):
        for low, high in itertools.combinations_with_replacement(GRADES, 2):
            w = made(grades=dict.fromkeys(CRITERIA, low), bests=dict.fromkeys(CRITERIA, high))
            for name, held in (*verdict_facts(w, essential).items(), *role_facts(w, essential).items()):
                assert held in knowledge.facts[name].levels


# ---------- the order ----------
def in_order(*options: Weighed, order: tuple[str, ...] = CRITERIA) -> list[Weighed]:
    return sorted(options, key=lambda w: sort_key(w, order))


def before(one: Weighed, other: Weighed, why: str, order: tuple[str, ...] = CRITERIA) -> None:
    """One stands before the other whichever was first, and the first difference says why."""
    assert in_order(one, other, order=order) == in_order(other, one, order=order) == [one, other]
    assert first_difference(one, other, order) == why


@pytest.mark.parametrize("criterion", [criterion for criterion in CRITERIA if criterion != "ready-in-time"])
def test_whatever_is_essential_counts(criterion):
    facts = verdict_facts(made(grades={criterion: "poor"}), frozenset({criterion}))
    assert facts["option.essential"] != "good"


def test_what_may_fail_goes_before_what_comes_too_late():
    # A risk may not come true; a date that is missed is missed.
    before(made(verdict="sound"), made(verdict="risky"), "verdict")
    before(made(verdict="risky"), made(verdict="late"), "verdict")
    before(made(verdict="late"), made(verdict="not-advised"), "verdict")


def test_verdicts_stand_in_their_order():
    assert set(VERDICT_ORDER) == set(VERDICTS["option"])
    for one, other in itertools.pairwise(VERDICT_ORDER):
        before(made(verdict=one, grades={CRITERIA[0]: "weak"}), made(verdict=other), "verdict")
    assert [verdict for verdict in VERDICT_ORDER if verdict in USABLE] == list(VERDICT_ORDER[: len(USABLE)])


def test_a_sound_wish_stands_first_and_a_bad_one_does_not():
    before(made("tall-fescue", verdict="sound", option__wished="wished"), made(verdict="advised"), WISH)
    before(made(verdict="advised"), made("tall-fescue", verdict="risky", option__wished="wished"), "verdict")
    before(
        made("tall-fescue", verdict="advised", option__wished="wished"),
        made(verdict="sound", option__wished="wished"),
        "verdict",
    )


def test_the_worst_ends_decide_before_the_best_and_the_first_criterion_before_the_next():
    first, second = CRITERIA[:2]
    before(made(grades={second: "doubtful"}), made("tall-fescue", grades={first: "doubtful"}), first)
    before(
        made(grades={second: "fair"}, bests={second: "fair"}),
        made("tall-fescue", grades={second: "weak"}, bests={second: "strong"}),
        second,
    )
    one, other = made(bests={second: "strong"}), made("tall-fescue")
    before(one, other, second)
    assert (ends_at(one, other, second), ends_at(made(grades={first: "strong"}), other, first)) == (
        ("strong", "fair"),
        ("strong", "fair"),
    )
    before(
        made("tall-fescue", grades={first: "weak"}),
        made(grades={second: "weak"}),
        second,
        order=(second, first, *CRITERIA[2:]),
    )


@pytest.mark.parametrize(("low", "high"), list(itertools.pairwise(GRADES)))
def test_every_grade_stands_above_the_one_below(low, high):
    before(made(grades={"risk": high}), made("a-grass", grades={"risk": low}), "risk")


def test_of_options_judged_alike_the_standing_grass_goes_before_the_alphabet_and_the_date(knowledge):
    common, hybrid = (
        made("common-bermudagrass", ready=0),
        made("hybrid-bermudagrass", ready=3, option__goes_first=True),
    )
    before(hybrid, common, LIKE_TO_LIKE, knowledge.order)
    hybrid.grades["lasts"] = "weak"
    before(common, hybrid, "lasts", knowledge.order)


def test_then_the_date_the_cost_and_the_code_decide():
    before(made("tall-fescue", ready=3), made("a-grass", ready=4), "date")
    before(made("tall-fescue", ready=3, cost=9), made("a-grass", ready=3, cost=10), "cost")
    before(made("tall-fescue", cost=9), made("a-grass"), "cost")
    before(made("a-grass", ready=3, cost=9), made("tall-fescue", ready=3, cost=9), "code")


def test_the_first_difference_always_says_why_one_stands_before_another():
    """On random options: the order is whole, and sorting and explaining never disagree."""
    dice = random.Random(3)

    def some() -> Weighed:
        grades = {criterion: dice.choice(("weak", "fair", "strong")) for criterion in CRITERIA[:2]}
        return made(
            dice.choice(("a", "b", "c")), start=dice.choice((0, 7)), verdict=dice.choice(("advised", "sound", "risky")), grades=grades,
            bests={CRITERIA[0]: "strong"} if dice.random() < 0.5 else {}, ready=dice.choice((None, 3, 4)), cost=dice.choice((None, 1.0)),
            option__goes_first=dice.random() < 0.3, option__wished=dice.choice(("wished", "no")),
        )  # fmt: skip

    seen = set()
    for _ in range(3000):
        one, other = in_order(some(), some())
        why = first_difference(one, other, CRITERIA)
        seen.add(why)
        if why == "date":
            assert other.ready is None or (one.ready is not None and one.ready < other.ready)
        elif why == "cost":
            assert other.cost is None or (one.cost is not None and one.cost < other.cost)
        elif why in CRITERIA:
            better, worse = ends_at(one, other, why)
            assert GRADES.index(better) > GRADES.index(worse)
    assert seen >= {WISH, "verdict", *CRITERIA[:2], LIKE_TO_LIKE, "date", "cost", "code"}


def test_wishes_come_to_the_front_but_not_before_what_stands_before_any_wish(knowledge):
    stated, kept = knowledge.order, knowledge.before_wishes
    assert 0 < kept < len(stated)
    assert criteria_order(knowledge, []) == stated
    for wish, criterion in knowledge.wishes.items():
        order = criteria_order(knowledge, [wish])
        assert sorted(order) == sorted(stated)
        assert order[:kept] == stated[:kept]
        assert criterion in order[: kept + 1]
    one, two = list(dict.fromkeys(knowledge.wishes.values()).keys() - set(stated[:kept]))[:2]
    wishes = {criterion: wish for wish, criterion in knowledge.wishes.items()}
    assert criteria_order(knowledge, [wishes[one], wishes[two]])[kept : kept + 2] == (one, two)
    assert criteria_order(knowledge, ["no such wish"]) == stated


# ---------- options as they are ----------
@pytest.mark.parametrize("standing", ["hybrid-bermudagrass", "common-bermudagrass"])
def test_common_bermudagrass_does_not_go_into_a_hybrid_stand(adviser, standing):
    """Common practice, no source: common bermudagrass is an off-type in a hybrid stand."""
    c = diagnose(
        adviser,
        situation_from_dict({
            "dates": {"today": DAY.isoformat(), "play_by": "2026-08-31"},
            "place": {"name": "Macon", "region": "Georgia", "country": "us"},
            "use": [{"sport": "football", "hours_per_week": 8, "months": ["sep", "oct"], "players": "youth"}],
            "zone": [{"name": "goalmouths", "bare_percent": 90, "bare_pattern": "solid", "grass": [{"grass": standing, "state": "green"}]}],
        })
    )  # fmt: skip
    (found,) = c.weigh(
        [planted(c.knowledge, "goalmouths", "thin-sod", "common-bermudagrass", start=DAY)]
    ).values()
    alike = standing == "common-bermudagrass"
    assert (found.grades["fits-place"] in ADVERSE) is not alike
    assert found.facts.get("option.goes-first", False) is alike


def test_the_usual_readings_of_a_field_are_of_what_nobody_told():
    c, told = shut("2026-09-20"), consulted(changed(SHUT, field={"soil": "clay", "drainage": None}))
    for each in (c, told):
        (usual,) = each.usual_facts.values()
        assert usual.keys().isdisjoint({**each.site, **next(iter(each.zone_facts.values()))})
        assert {
            name for name in usual if each.types[name].usual is None and not each.types[name].concluded
        } == set()
    rows, clay = c.knowledge.usual, next(iter(told.usual_facts.values()))
    assert clay["site.drainage"] == rows["site.drainage"].is_["clay"]
    assert "site.drainage" not in next(iter(c.usual_facts.values()))


def test_only_an_answer_that_is_still_asked_for_can_bring_a_fact():
    c = shut("2026-09-20")
    for name, closed in (
        ("zone.sun-hours", False),
        ("site.drainage", True),
        ("option.area-m2", True),
        ("option.budget-short.low", False),
        ("option.method", True),
    ):
        assert c.is_closed(name) is closed, name
    assert not consulted(changed(SHUT, field={"drainage": None})).is_closed("site.drainage")


@pytest.mark.parametrize(
    "place", [{"name": "York", "country": "gb"}, {"latitude": 53.96, "longitude": -1.08}]
)
def test_where_the_place_is_known_no_other_word_of_it_brings_a_climate(place):
    """By its town or by its coordinates: who told these has told the place."""
    c = consulted({**SHUT, "place": place})
    assert c.is_closed("site.climate")
    assert c.is_closed("option.soil-c")


def test_without_a_place_the_town_is_still_to_be_asked_for():
    c = consulted(changed(SHUT, place={"name": None, "country": None}))
    assert not c.is_closed("site.climate")
    assert not c.is_closed("option.soil-c")


def test_an_area_is_open_in_a_field_as_long_as_one_part_has_none_that_is_told():
    def field(**second):
        zone = SHUT["zone"][0]
        parts = [{**zone, "name": "middle", "area_m2": 900}, {**zone, "name": "bank", **second}]
        return consulted(changed(SHUT, zone=parts, field={"length_m": None, "width_m": None}))

    assert not field().is_closed("option.area-m2")
    assert field(area_m2=300).is_closed("option.area-m2")
