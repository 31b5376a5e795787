"""The whole bank, case by case: every lesson stands on facts before it, and what it comes to is what the advice says."""

from __future__ import annotations

import html5lib
import pytest

from decide.answer.assemble import advice_of
from decide.cases.outcome import outcome
from decide.lesson.page import lesson_page
from decide.lesson.story import story
from tests.shared import case_codes, consulted

from .reading import grade

GRADED = (
    "option.essential",
    "option.in-time",
    "option.lasting",
    "option.else-essential",
    "option.stood",
    "option.risk-end",
    "option.time",
)


@pytest.mark.slow
@pytest.mark.xdist_group("bank")
@pytest.mark.parametrize("code", case_codes()[::9])
def test_every_lesson_holds(code: str) -> None:
    c = consulted(code)
    told = story(c)
    whole = told.whole
    assert 7 <= told.count <= 15
    assert set(told.names) == {step.number for step in whole.steps}
    assert grade("\n".join(line for scene in told.first for line in (*scene.tells, scene.so))) <= 8
    for scene in told.first:
        assert scene.tells
        assert scene.so
        assert scene.guess is None or set(scene.guess.rules) <= {step.rule for step in scene.steps}
    for step in whole.steps:
        assert all(number < step.number for read in step.facts for number in read.steps)
        for read in step.facts:
            if read.how == "derived" and not read.steps:
                # Nothing gave it: a grade that no mark sets, a rule-out that did not fire, a fact that no rule says is so, what nobody told.
                graded = read.name in GRADED and read.value in ("good", "soft")
                assert graded or read.value in (
                    False,
                    "none",
                    "nothing",
                    "could-fire",
                    "speaks",
                    "free",
                    "unknown",
                    "fair",
                ), (step.rule, read)
    parser = html5lib.HTMLParser(namespaceHTMLElements=False)
    parser.parse(lesson_page(told))
    assert parser.errors == []
    found, advice = outcome(c), advice_of(c)
    assert found.decision == advice.decision
    assert list(found.decisions.values()) == [answer.decision for answer in advice.programme]
    assert [step.zone for step in whole.steps if step.section == "choice"] == list(c.zones)
