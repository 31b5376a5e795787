"""Options measured together have the facts that each has alone: what a measurement declares to read of its subject is all
that it reads.
"""

from __future__ import annotations

import dataclasses

import pytest

from decide.decision.consultation import Consultation
from decide.facts.declare import Facts, Sheet
from decide.facts.new_grass import COMING, NEW
from decide.facts.option import Measures
from decide.facts.start import PLANT, START
from tests.shared import case_codes, consulted, sampled


def afresh(c: Consultation) -> Measures:
    """Measures that hold nothing measured yet."""
    made = Measures(dataclasses.replace(c.filled, measured={}))
    made.start_short = c.measures.start_short
    return made


@pytest.mark.slow
@pytest.mark.parametrize("code", sampled(case_codes(), 40))
def test_options_of_a_consultation(code):
    c = consulted(code)
    drafts = [w.draft for w in c.weighed.values()]
    together = [*zip(drafts, afresh(c).options(drafts, c.zone_facts), strict=True)]
    for draft, facts in together[:: 1 + len(drafts) // 40]:
        own = afresh(c).option(draft, c.zone_facts[draft.zone])
        assert (own, list(own)) == (facts, list(facts)), draft.code


def test_most_of_what_is_measured_is_alike_for_many():
    rows = [row for sheet in (PLANT, START, NEW, COMING) for row in sheet.order]
    assert sum(bool(row.of) for row in rows) > 0.8 * len(rows)


class Ball:
    def __init__(self, colour: str, weight: float) -> None:
        self.colour, self.weight = colour, weight
        self.facts: Facts = {}


def test_what_is_alike_is_measured_once():
    sheet, asked = Sheet[Ball](), list[str]()

    @sheet.fact("ball.colour", of=["colour"])
    def _colour(ball: Ball) -> str:
        asked.append(ball.colour)
        return ball.colour

    @sheet.fact("ball.heavy")
    def _heavy(ball: Ball) -> bool:
        return ball.weight > 1

    balls = [Ball("red", 1.0), Ball("blue", 2.0), Ball("red", 3.0)]
    sheet.measure_all(balls)
    assert asked == ["red", "blue"]
    assert [ball.facts for ball in balls] == [
        {"ball.colour": "red", "ball.heavy": False},
        {"ball.colour": "blue", "ball.heavy": True},
        {"ball.colour": "red", "ball.heavy": True},
    ]
