"""Options judged as sets come out as each judged alone by the plain evaluator and graded by hand."""

from __future__ import annotations

import dataclasses

import pytest

from decide.decision.consultation import Consultation
from decide.decision.grades import column_of
from decide.decision.rank import Reading, Weighed, bound, role_facts, verdict_facts
from decide.engine import plain
from decide.engine.language import ROLE, Subject
from tests.shared import case_codes, consulted, sampled


def _read(c: Consultation, layer: str, w: Weighed, facts: dict) -> tuple[Reading, dict]:
    judged = plain.judge(c.book.base, layer, [Subject(w.draft.code, facts)], c.without)
    rules = c.book.rules
    reading = Reading(
        [(rules[each.rule], each) for each in judged.firings],
        [(rules[each.rule], each) for each in judged.could],
    )
    return reading, dict(judged.derived[w.draft.code])


def alone(c: Consultation, w: Weighed) -> Weighed:
    """An option weighed alone, row by row."""
    facts = c.option_facts(w.draft)
    told, derived = _read(c, "option", w, facts)
    one = Weighed(w.draft, {**facts, **derived}, told.firings, told.could, ready=w.ready, cost=w.cost)
    usual, _ = _read(c, "option", w, {**c.usual_facts[w.draft.zone], **one.facts})
    bound(one, usual, c.is_closed, c.book.quiet)
    verdict, _ = _read(
        c, "option-verdict", w, {**one.facts, **verdict_facts(one, c.essential, c.counting.perhaps)}
    )
    one.verdict, one.verdict_rule = verdict.firings[0][0].then.target, verdict.firings[0][0].id
    _, roles = _read(c, "option-role", w, {**one.facts, **role_facts(one, c.essential)})
    one.roles = frozenset(name.removeprefix(ROLE) for name, holds in roles.items() if holds)
    return one


def differing(one: Weighed, other: Weighed) -> list[str]:
    """The fields in which two options differ, their order too."""
    fields = [field.name for field in dataclasses.fields(Weighed)]
    return [name for name in fields if getattr(one, name) != getattr(other, name)]


# A zone whose soil is told stands beside what is told of the site.
OWN_SOIL = "key-us-natchez-silt"


@pytest.mark.slow
@pytest.mark.parametrize("code", [OWN_SOIL, *sampled(case_codes(), 60)])
def test_options_of_a_consultation(code):
    c = consulted(code)
    each = 1 + len(c.weighed) // 40
    # Weighed anew, since by how much a start comes too soon is measured once the leading options are known.
    for w in [*c.weigh(c.drafts).values()][::each]:
        assert differing(alone(c, w), w) == [], w.draft.code
        assert list(alone(c, w).facts) == list(w.facts)


def test_rows_are_made_for_what_somebody_reads():
    c = consulted(case_codes()[0])
    w = c.weigh(c.options())[c.ranked[-1].draft.code]
    assert callable(vars(w)["_firings"])
    assert w.firings == c.ranked[-1].firings
    assert not callable(vars(w)["_firings"])


def test_nothing_to_weigh_is_nothing():
    assert consulted(case_codes()[0]).weigh([]) == {}


def test_a_column_of_levels():
    assert column_of(["good", "weak", "good"]) == {"good": 0b101, "weak": 0b10}
