"""What could come to count is named beside what counts."""

from __future__ import annotations

import pytest

from decide.decision.counting import counting
from decide.engine.language import Conclusion, CouldFire
from tests.decision.fields import SHUT, changed, consulted
from tests.decision.made import made
from tests.engine.small import rule

DRY = rule("dry", "site", ["site.water is none"], Conclusion("conclude", "site.essential-water"))
OTHER = rule("other", "site", ["site.water is none"], Conclusion("conclude", "site.soft"))
TOLD = {"pesticides": "allowed", "water_law": "none"}
AGAINST = [
    rule(f"against-{each}", "option", ["site.water is none"], Conclusion("mark", each, "weak"))
    for each in ("water", "work", "risk", "fits-place")
]


def _could(each):
    return each, CouldFire(each.id, "site", ("site.water",))


def test_only_rules_that_an_answer_brings_make_a_criterion_count_perhaps():
    found = counting({"site.essential-fits-place": True}, map(_could, (DRY, OTHER)), lambda name: False)
    assert (found.essential, found.perhaps) == ({"fits-place"}, {"water"})
    assert counting({}, [_could(DRY)], lambda name: True).perhaps == frozenset()
    assert counting({"site.essential-water": True}, [_could(DRY)], lambda name: False).perhaps == frozenset()


def test_a_verdict_rests_on_what_counts_and_on_what_would_make_it_count():
    found = counting({"site.essential-fits-place": True}, [_could(DRY)], lambda name: False)
    w = made()
    w.remote = AGAINST
    assert [each.id for each in found.rests_on(w)] == ["against-water", "against-risk", "against-fits-place"]
    assert [each.id for each in found.rests_on(made(grades={"water": "weak"}))] == ["dry"]
    assert found.rests_on(made(grades={"water": "weak"}, bests={"water": "fair"})) == []


@pytest.mark.parametrize(
    ("tables", "named"),
    [
        ({"limits": TOLD}, set()),
        ({"limits": TOLD, "means": {"water": None}}, {"water"}),
        ({"limits": TOLD, "site": {"school": None}}, {"chemicals"}),
    ],
)
def test_water_and_school_count_until_they_are_told(tables, named):
    perhaps = consulted(changed(SHUT, **tables)).counting.perhaps
    assert perhaps & {"water", "chemicals"} == named
