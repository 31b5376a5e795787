"""What may take which part in a programme, by the rules themselves: a high risk, a cover that comes too late, ground that stays bad."""

from __future__ import annotations

import pytest

from decide.decision.rank import role_facts
from decide.engine.language import ROLE, Fact, Subject
from decide.engine.plain import judge
from tests.decision.made import made
from tests.shared import adviser

# New grass that is good in everything, late by no rule and cheap enough.
GOOD: dict[str, Fact] = {
    "option.remedy": "establish", "option.variant": "plain", "option.ruled-out-by": "nothing", "option.verdict": "late",
    "option.in-time": "good", "option.lasting": "good", "option.stood": "good", "option.else-essential": "good",
    "option.risk-end": "good", "option.cost-class": "low",
}  # fmt: skip
# What may be a part though it is not sound by itself: each must still be done at a bearable risk.
PARTS = ("stopgap", "lasting", "after-mending", "cheaper-later")


def roles(**ends: Fact) -> set[str]:
    """The roles that the rules give an option like GOOD but for some facts."""
    facts = {**GOOD, **{f"option.{name.replace('_', '-')}": held for name, held in ends.items()}}
    derived = judge(adviser().base, "option-role", [Subject("it", facts)]).derived["it"]
    return {name.removeprefix(ROLE) for name, holds in derived.items() if holds}


def test_good_new_grass_may_take_every_part():
    assert roles() >= set(PARTS)


@pytest.mark.parametrize("part", PARTS)
def test_at_a_high_risk_no_part_is_taken(part):
    assert part in roles(risk_end="open")
    assert part not in roles(risk_end="weak")


@pytest.mark.parametrize("part", PARTS)
def test_a_risk_that_is_high_at_both_ends_is_what_counts_as_high(part):
    """By the meaning of the ends: weak where even the best end speaks against it, open where only the worst does."""
    for worst, best, taken in (("poor", "weak", False), ("poor", "fair", True), ("fair", "fair", True)):
        w = made(grades={"risk": worst}, bests={"risk": best}, verdict="late")
        end = role_facts(w, frozenset())["option.risk-end"]
        assert (part in roles(risk_end=end)) == taken


def test_cover_that_comes_too_late_brings_nothing():
    assert "stopgap" not in roles(in_time="weak")
    assert "lasting" in roles(in_time="weak")


def test_what_the_use_wears_out_is_no_part():
    assert not roles(stood="weak") & {"stopgap", "lasting"}


def test_what_does_not_last_is_no_lasting_part():
    assert "lasting" not in roles(lasting="weak")
    assert "stopgap" in roles(lasting="weak")


@pytest.mark.parametrize(
    ("why", "parts"), [("nothing", {"stopgap", "lasting"}), ("the-date", {"lasting"}), ("more", set())]
)
def test_what_is_ruled_out_is_a_part_only_where_the_date_alone_does_it(why, parts):
    assert roles(ruled_out_by=why) & {"stopgap", "lasting"} == parts
