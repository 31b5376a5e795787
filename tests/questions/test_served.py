"""What is asked and told for nothing, and what rules read and nobody is asked, is told."""

from __future__ import annotations

import functools
from collections import Counter
from dataclasses import replace

import pytest

from decide.knowledge.audit_code import Code, read_code
from decide.knowledge.audit_found import check_columns, standing
from decide.knowledge.compile import compile_rules
from decide.knowledge.finding import Finding
from decide.knowledge.load import read_knowledge
from decide.knowledge.schema_audit import ApartRow
from decide.knowledge.tables import Knowledge
from decide.questions.served import unserved


@functools.cache
def code() -> Code:
    return read_code()


@functools.cache
def knowledge() -> Knowledge:
    return read_knowledge()


def found(k: Knowledge, by: Code | None = None) -> dict[tuple[str, str], Finding]:
    return {(each.kind, each.of): each for each in unserved(k, compile_rules(knowledge()), by or code())}


@pytest.mark.slow
def test_every_finding_of_the_real_knowledge_stands_with_a_reason():
    """Soil temperature and the last rain are among what nobody is asked."""
    kinds = ("unaskable", "key-unread", "question-idle")
    wrong, stands = standing(knowledge(), found(knowledge()).values(), kinds)
    assert wrong == []
    assert {"site.soil-temp-c", "site.rain-24h-mm"} <= {each.of for each, _ in stands}


@pytest.mark.slow
def test_without_its_question_a_fact_cannot_be_brought():
    asked = tuple(q for q in knowledge().questions if q.key != "zone.bare_shape")
    new = found(replace(knowledge(), questions=asked))
    one = new["unaskable", "zone.bare-shape"]
    assert one.wrong.startswith("no question brings zone.bare-shape, which rule '")
    assert (one.proof, one.instead) == (
        "it comes of zone.bare_shape alone",
        "Write a question for zone.bare_shape",
    )


@pytest.mark.slow
def test_a_key_that_nothing_reads_and_its_question_are_told():
    blind = replace(code(), judged=code().judged - {"hose_reach_m"})
    new = found(knowledge(), blind)
    assert str(new["key-unread", "means.hose_reach_m"]) == (
        "situation: nothing reads the key means.hose_reach_m. Take it out, or write what reads it"
    )
    assert str(new["question-idle", "means.hose_reach_m"]).endswith(
        "the answer to means.hose_reach_m moves nothing. Take the question out, or write what reads its answer"
    )


def test_a_column_that_nothing_reads_is_told():
    blind = Code(Counter(), (), frozenset({"because"}))
    assert [str(each) for each in check_columns(blind, [ApartRow])] == [
        "nothing reads the column facts of ApartRow. Take it out, or write what reads it"
    ]


def test_what_no_question_can_leave_open_is_never_said():
    """A rule on the slope, which nobody is asked for, would want the ground level."""
    rows = tuple(
        rule.model_copy(update={"sound_if": "the ground is nearly level"})
        if rule.id == "slope-washes-seed"
        else rule
        for rule in knowledge().rules
    )
    k = replace(knowledge(), rules=rows)
    new = {(each.kind, each.of): each for each in unserved(k, compile_rules(k), code())}
    one = new["unsaid", "slope-washes-seed sound-if"]
    assert one.wrong == (
        "rule 'slope-washes-seed': 'the ground is nearly level' is never said: no question can make the rule speak"
    )
    assert one.proof == "no question brings site.slope-percent"
    assert one.instead == "Take `sound-if` out, or write a question"
    assert not [of for kind, of in found(knowledge()) if kind == "unsaid"]
