"""The whole bank, case by case: every lesson stands on facts before it, and what it comes to is what the advice says."""

from __future__ import annotations

import html5lib
import pytest

from decide.answer.assemble import advice_of
from decide.cases.outcome import outcome
from decide.lesson.guess import guess
from decide.lesson.make import lesson
from decide.lesson.page import lesson_page
from tests.shared import case_codes, consulted

GRADED = (
    "option.essential",
    "option.in-time",
    "option.lasting",
    "option.else-essential",
    "option.stood",
    "option.risk-end",
    "option.worst-other",
    "option.time",
)


@pytest.mark.slow
@pytest.mark.xdist_group("bank")
@pytest.mark.parametrize("code", case_codes()[::9])
def test_every_lesson_holds(code: str) -> None:
    c = consulted(code)
    whole = lesson(c)
    for step in whole.steps:
        assert all(number < step.number for read in step.facts for number in read.steps)
        assert len(set(guess(c, whole, step.number).choices)) >= 2
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
    parser.parse(lesson_page(whole))
    assert parser.errors == []
    found, advice = outcome(c), advice_of(c)
    assert found.decision == advice.decision
    assert list(found.decisions.values()) == [answer.decision for answer in advice.programme]
    assert [step.zone for step in whole.steps if step.section == "choice"] == list(c.zones)
