"""Choices that nothing tells apart are told, and those that a rule, a row, a number or code tells apart are not."""

from __future__ import annotations

import functools
from collections.abc import Iterable
from dataclasses import replace

from decide.engine.base import build
from decide.engine.language import Rule
from decide.knowledge.audit_code import Code, read_code
from decide.knowledge.compile import compile_rules
from decide.knowledge.schema import Choice
from decide.knowledge.tables import Knowledge
from decide.questions.alike import alike
from tests.shared import knowledge


@functools.cache
def code() -> Code:
    return read_code()


def found(k: Knowledge, without: Iterable[str] = ()) -> list[str]:
    """What is told of some questions, with some rules taken out."""
    base = compile_rules(knowledge())
    gone = {*without}
    rules: list[Rule] = [rule for rule in base.rules if rule.id not in gone]
    return [str(each) for each in alike(k, build(rules, base.facts) if gone else base, code())]


def listed(key: str, *values: object) -> Knowledge:
    """The knowledge with one question alone, all or some choices of which are listed."""
    (question,) = (q for q in knowledge().questions if q.key == key)
    choices = tuple(
        Choice(value=c.value, say=c.say) for c in question.choices if not values or c.value in values
    )
    return replace(knowledge(), questions=(question.model_copy(update={"choices": choices}),), where={})


def test_no_choice_that_is_asked_for_is_like_another():
    assert found(knowledge()) == []


def test_numbers_on_one_side_of_all_limits_are_alike_where_nothing_says_them():
    assert found(listed("field.water_stands_hours")) == [
        "nothing tells 1 and 6 of field.water_stands_hours apart. Make one choice of them, or write what tells them apart"
    ]


def test_levels_with_the_same_rows_are_alike():
    assert found(listed("field.rootzone")) == [
        "nothing tells 'sand cap' and 'sand built' of field.rootzone apart. "
        "Make one choice of them, or write what tells them apart"
    ]


def test_a_choice_is_told_apart_by_its_rule_alone():
    few = listed("history.herbicides", "accase", "contact-acid")
    assert found(few) == []
    assert found(few, ["spray-grass-killer"]) == [
        "nothing tells 'accase' and 'contact-acid' of history.herbicides apart. "
        "Make one choice of them, or write what tells them apart"
    ]


def test_twin_rules_tell_nothing_apart():
    """Two levels that each have a rule which says the same are one answer."""
    base = compile_rules(knowledge())
    few = listed("zone.stones", "some", "many")
    mine = [r for r in base.rules if any(c.fact == "zone.stones" for c in r.conditions)]
    assert mine
    assert len(found(few, [r.id for r in mine])) == 1
    one = next(c for r in mine for c in r.when if c.fact == "zone.stones" and c.op in ("is", "in"))
    rule = replace(mine[0], unless=())
    twins = [
        replace(rule, id=f"twin-{level}", when=(replace(one, op="is", levels=(level,), text=f"{level}"),))
        for level in ("some", "many")
    ]
    rest = [r for r in base.rules if r not in mine]
    assert len([*alike(few, build([*rest, *twins], base.facts), code())]) == 1
    apart = [twins[0], replace(twins[1], because=rest[0].because)]
    assert [*alike(few, build([*rest, *apart], base.facts), code())] == []
