"""How far a number reaches: counted over a case by hand, and what the numbers in use rest on."""

from __future__ import annotations

import pytest

from decide.cases.bank import consult_case
from decide.cases.reach import KINDS, Reach, kind_of, reach_lines, read_by_code, shares
from decide.knowledge.audit_code import read_code
from tests.shared import adviser, case_of


def test_a_rule_that_fires_counts_for_the_number_it_compares_with() -> None:
    c = consult_case(adviser(), case_of("na-lafayette-september-bluegrass"))
    reach = Reach()
    reach.add(c, [])
    name = "light-labour"
    readers = [rule.id for rule in adviser().base.rules if name in {one.value for one in rule.conditions}]
    fired = sum(rule.id in readers for w in c.weighed.values() for rule, _ in w.firings)
    assert fired, "a case without such a firing shows nothing"
    assert reach.marks_of(adviser().knowledge.values[name]) == fired
    assert not reach.options


@pytest.mark.slow
def test_a_number_that_a_measure_reads_counts_for_the_options_of_its_key() -> None:
    k = adviser().knowledge
    c = consult_case(adviser(), case_of("na-lafayette-september-bluegrass"))
    read = {value.name: value for value in read_by_code(k, read_code())}
    reach = Reach()
    reach.add(c, [read["heat-full-play-early"], read["soil-holds"]])
    begun = [w.draft for w in c.weighed.values() if w.draft.start is not None]
    own = sum(draft.key == "kentucky-bluegrass/seed" for draft in begun)
    assert 0 < reach.options["heat-full-play-early", "kentucky-bluegrass/seed"] == own < len(begun)
    assert reach.options_of(read["soil-holds"]) == len(begun)


def test_every_number_in_use_rests_on_one_thing() -> None:
    k = adviser().knowledge
    held = shares(k)
    assert set(held) <= set(KINDS)
    assert sum(held.values()) == sum(len(value.used) for value in k.values.values())
    assert held["memory"] == sum(
        kind_of(said) == "memory" for value in k.values.values() for said in value.used.values()
    )


def test_the_lines_say_what_a_number_rests_on_and_how_it_was_seen() -> None:
    c = consult_case(adviser(), case_of("na-lafayette-september-bluegrass"))
    k, reach = adviser().knowledge, Reach()
    reach.add(c, [])
    first, *rows = reach_lines(k, reach, 3)
    assert first.startswith(f"{sum(len(value.used) for value in k.values.values())} numbers in use: ")
    assert [row.partition(".")[0] for row in rows] == ["1", "2", "3"] * 2
    assert any("(excerpt)" in row or "(opened)" in row for row in reach_lines(k, reach, 40))
