"""A rule with a stretch before its limit judges as the rules that a person would write out by hand, in both engines."""

from __future__ import annotations

from typing import Any

import pytest
from small import FACTS, NUMBERS, base, rule, subject

from decide.engine import durable, plain
from decide.engine.language import Conclusion, Rule
from decide.knowledge.compile import bent, compile_rule
from decide.knowledge.schema import RuleRow
from decide.model.errors import KnowledgeError

ENGINES = [
    pytest.param(plain.judge, id="plain"),
    pytest.param(
        durable.judge,
        id="durable",
        marks=pytest.mark.skipif(not durable.available(), reason="durable-rules is not installed here"),
    ),
]
STEP = 0.001


def written(when: list[str], then: dict[str, str], **more: Any) -> list[Rule]:
    """A rule as the file has it, with those of its stretch."""
    about = (
        "option"
        if any("option." in text for text in when)
        else "zone"
        if then.keys() & {"caution"}
        else "option"
    )
    row = RuleRow.model_validate(
        {
            "id": "it",
            "about": about,
            "when": when,
            "then": then,
            "because": "Because.",
            "sources": ["own-rule"],
            **more,
        }
    )
    return bent(row, compile_rule(row, FACTS, NUMBERS, ""), FACTS)


def by_hand(*rows: tuple[str, list[str]], target: str = "risk") -> list[Rule]:
    """Rules that mark, or rule out where the grade is "out"."""
    return [
        rule(f"hand-{n}", "option", when, Conclusion("rule-out", target) if grade == "out" else Conclusion("mark", target, grade))
        for n, (grade, when) in enumerate(rows)
    ]  # fmt: skip


def says(judge: Any, rules: list[Rule], **facts: Any) -> list[tuple[str, str]]:
    """What fires, by what it does and its grade."""
    made = base(*rules)
    return sorted(
        (made.rule(each.rule).then.act, made.rule(each.rule).then.grade)
        for each in judge(made, "option", [subject(**facts)]).firings
    )


WEAK, OUT = {"mark": "risk", "grade": "weak"}, {"rule-out": "risk"}
# A rule with a stretch, the same by hand, the fact that it is about, and the limits at which something changes.
SAME: dict[str, tuple[list[Rule], list[Rule], str, list[float]]] = {
    "below a limit": (
        written(["zone.bare < value:much-bare"], WEAK, bends={"fact": "zone.bare", "by": "10 percent"}),
        by_hand(("weak", ["zone.bare < 40 percent"]), ("doubtful", ["zone.bare >= 40 percent", "zone.bare < 45 percent"]), ("fair", ["zone.bare >= 45 percent", "zone.bare < 50 percent"])),
        "zone__bare", [40, 45, 50],
    ),
    "at or below a limit": (
        written(["zone.bare <= value:much-bare"], WEAK, bends={"fact": "zone.bare", "by": "10 percent"}),
        by_hand(("weak", ["zone.bare <= 40 percent"]), ("doubtful", ["zone.bare > 40 percent", "zone.bare <= 45 percent"]), ("fair", ["zone.bare > 45 percent", "zone.bare <= 50 percent"])),
        "zone__bare", [40, 45, 50],
    ),
    "above a limit": (
        written(["zone.bare > value:much-bare"], WEAK, bends={"fact": "zone.bare", "by": "10 percent"}),
        by_hand(("weak", ["zone.bare > 40 percent"]), ("doubtful", ["zone.bare <= 40 percent", "zone.bare > 35 percent"]), ("fair", ["zone.bare <= 35 percent", "zone.bare > 30 percent"])),
        "zone__bare", [40, 35, 30],
    ),
    "ruling out": (
        written(["zone.bare >= value:much-bare"], OUT, bends={"fact": "zone.bare", "by": "10 percent"}),
        by_hand(("out", ["zone.bare >= 40 percent"]), ("weak", ["zone.bare < 40 percent", "zone.bare >= 35 percent"]), ("doubtful", ["zone.bare < 35 percent", "zone.bare >= 30 percent"])),
        "zone__bare", [40, 35, 30],
    ),
    "poor": (
        written(["zone.bare > value:much-bare"], {"mark": "risk", "grade": "poor"}, bends={"fact": "zone.bare", "by": "10 percent"}),
        by_hand(("poor", ["zone.bare > 40 percent"]), ("weak", ["zone.bare <= 40 percent", "zone.bare > 35 percent"]), ("doubtful", ["zone.bare <= 35 percent", "zone.bare > 30 percent"])),
        "zone__bare", [40, 35, 30],
    ),
    "doubtful": (
        written(["zone.bare > value:much-bare"], {"mark": "risk", "grade": "doubtful"}, bends={"fact": "zone.bare", "by": "10 percent"}),
        by_hand(("doubtful", ["zone.bare > 40 percent"]), ("fair", ["zone.bare <= 40 percent", "zone.bare > 30 percent"])),
        "zone__bare", [40, 30],
    ),
    "beyond a limit": (
        written(["zone.bare > value:much-bare"], OUT, bends={"fact": "zone.bare", "by": "10 percent", "beyond": True}),
        by_hand(("out", ["zone.bare > 50 percent"]), ("weak", ["zone.bare <= 50 percent", "zone.bare > 45 percent"]), ("doubtful", ["zone.bare <= 45 percent", "zone.bare > 40 percent"])),
        "zone__bare", [40, 45, 50],
    ),
    "in another unit": (
        written(["option.weeks < 3 week"], WEAK, bends={"fact": "option.weeks", "by": "14 day"}),
        by_hand(("weak", ["option.weeks < 3 week"]), ("doubtful", ["option.weeks >= 3 week", "option.weeks < 4 week"]), ("fair", ["option.weeks >= 4 week", "option.weeks < 5 week"])),
        "option__weeks", [3, 4, 5],
    ),
    "with another condition": (
        written(["zone.sunny is true", "zone.bare < value:much-bare"], WEAK, bends={"fact": "zone.bare", "by": "10 percent"}),
        by_hand(
            ("weak", ["zone.sunny is true", "zone.bare < 40 percent"]), ("doubtful", ["zone.sunny is true", "zone.bare >= 40 percent", "zone.bare < 45 percent"]),
            ("fair", ["zone.sunny is true", "zone.bare >= 45 percent", "zone.bare < 50 percent"]),
        ),
        "zone__bare", [40, 45, 50],
    ),
}  # fmt: skip


@pytest.mark.parametrize("judge", ENGINES)
@pytest.mark.parametrize("name", SAME)
def test_a_stretch_is_the_rules_by_hand(judge, name):
    made, hand, fact, limits = SAME[name]
    for near in [*(limit + off for limit in limits for off in (-STEP, 0, STEP)), -99, 99]:
        for sunny in (
            ({}, {"zone__sunny": True}, {"zone__sunny": False}) if "another condition" in name else ({},)
        ):
            facts = {fact: round(float(near), 3), **sunny}
            assert says(judge, made, **facts) == says(judge, hand, **facts), facts


@pytest.mark.parametrize("judge", ENGINES)
def test_a_family_of_limits_moves_as_a_whole(judge):
    made = written(
        ["option.weeks < value:time[option.grass]"], WEAK, bends={"fact": "option.weeks", "by": "2 week"}
    )
    for grass, limit in (("rye", 3), ("blue", 8)):
        for weeks, grade in (
            (limit - STEP, "weak"),
            (limit, "doubtful"),
            (limit + 1, "fair"),
            (limit + 2, ""),
        ):
            found = says(judge, made, option__weeks=round(weeks, 3), option__grass=grass)
            assert found == ([("mark", grade)] if grade else [])
    assert (
        says(judge, made, option__weeks=1.0)
        == says(judge, made, option__weeks=1.0, option__grass="zoysia")
        == []
    )


@pytest.mark.parametrize("name", SAME)
def test_no_value_falls_between_two_grades_or_gets_both(name):
    made, _, fact, limits = SAME[name]
    inside = [value / 4 for value in range(round(min(limits) * 4) + 1, round(max(limits) * 4))]
    for value in inside:
        assert len(says(plain.judge, made, **{fact: value, "zone__sunny": True})) == 1, value


def test_what_is_not_told_could_fire_each_part_of_a_stretch():
    made = base(
        *written(["zone.bare < value:much-bare"], WEAK, bends={"fact": "zone.bare", "by": "10 percent"})
    )
    assert [(each.rule, each.unknown) for each in plain.judge(made, "option", [subject()]).could] == [
        ("it", ("zone.bare",)), ("it--doubtful", ("zone.bare",)), ("it--fair", ("zone.bare",)),
    ]  # fmt: skip


def test_the_parts_of_a_stretch_say_whose_they_are_and_that_they_are_only_near():
    whole, doubtful, fair = written(
        ["zone.bare < value:much-bare"],
        WEAK,
        bends={"fact": "zone.bare", "by": "10 percent"},
        **{"sound-if": "it is bare"},
    )
    assert (whole.bend_of, doubtful.bend_of, fair.bend_of) == ("", "it", "it")
    assert doubtful.because.text == "Because. It is close to the limit."
    assert whole.sound_if is not None
    assert doubtful.sound_if is fair.sound_if is None
    assert (
        written(
            ["zone.bare < value:much-bare"],
            OUT,
            bends={"fact": "zone.bare", "by": "10 percent"},
            **{"sound-if": "it is bare"},
        )[1].sound_if
        is not None
    )


def test_exceptions_go_along_and_no_exception_lifts_praise():
    made = written(
        ["zone.bare < value:much-bare"], WEAK, bends={"fact": "zone.bare", "by": "10 percent"}, unless=[{"name": "sun", "when": ["zone.sunny is true"], "because": "It is sunny."}]
    )  # fmt: skip
    assert [each.then.grade for each in made] == ["weak", "doubtful"]
    assert says(plain.judge, made, zone__bare=44.0) == [("mark", "doubtful")]
    assert says(plain.judge, made, zone__bare=44.0, zone__sunny=True) == []
    assert says(plain.judge, made, zone__bare=49.999) == [("mark", "doubtful")]


def test_a_doubt_with_an_exception_has_no_stretch():
    """It could only be fair, and an exception may not stand on praise."""
    doubt = {"mark": "risk", "grade": "doubtful"}
    unless = [{"name": "sun", "when": ["zone.sunny is true"], "because": "It is sunny."}]
    with pytest.raises(KnowledgeError, match="its stretch does not fit"):
        written(
            ["zone.bare < value:much-bare"],
            doubt,
            bends={"fact": "zone.bare", "by": "10 percent"},
            unless=unless,
        )


@pytest.mark.parametrize(
    ("when", "then", "bends"),
    [
        (
            ["zone.bare < value:much-bare"],
            {"mark": "risk", "grade": "fair"},
            {"fact": "zone.bare", "by": "10 percent"},
        ),
        (["zone.bare < value:much-bare"], {"caution": "care"}, {"fact": "zone.bare", "by": "10 percent"}),
        (["zone.bare < value:much-bare"], WEAK, {"fact": "option.weeks", "by": "10 week"}),
        (["zone.bare < value:much-bare", "zone.bare > 0"], WEAK, {"fact": "zone.bare", "by": "10 percent"}),
        (["zone.sunny is true"], WEAK, {"fact": "zone.sunny", "by": "10 percent"}),
        (["zone.bare < value:much-bare"], WEAK, {"fact": "zone.bare", "by": "a lot"}),
        (["zone.bare < value:much-bare"], WEAK, {"fact": "zone.bare", "by": "-10 percent"}),
    ],
)
def test_a_stretch_that_fits_nothing_is_refused(when, then, bends):
    with pytest.raises(KnowledgeError, match="its stretch does not fit"):
        written(when, then, bends=bends)
