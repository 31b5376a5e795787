"""Two fields side by side: the first rule where they part, and the one that bears on the choice."""

from __future__ import annotations

import pytest

from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.lesson.compare import compare, parting_lines
from decide.model.reading import read_situation

from .conftest import FIELD


def test_the_same_field_does_not_part(field: Consultation) -> None:
    parting = compare(field, field)
    assert parting.first is None
    assert parting.all == ()
    assert parting.same_choice
    assert "same way" in "\n".join(parting_lines(parting, ("one", "two")))


@pytest.mark.slow
def test_a_field_without_water_parts_at_the_water(field: Consultation, dry: Consultation) -> None:
    """Nothing but the means of watering differs, so every rule that parts reads it or what follows from it; new sod and plants cannot be soaked."""
    parting = compare(field, dry)
    assert parting.first is not None
    assert parting.first.section == "site"
    assert {held.fact for pair in parting.first.conditions for held in pair} == {"site.water"}
    assert parting.first.fires == 2
    assert [held.value for held in parting.first.conditions[0]] == ["in-ground-sprinklers", "none"]


def test_the_rule_that_bears_most_names_other_facts_where_choices_differ(
    field: Consultation, dry: Consultation
) -> None:
    parting = compare(field, dry)
    if not parting.same_choice:
        assert parting.decisive is not None
        assert parting.decisive.conditions
        assert all(one.holds != two.holds for one, two in parting.decisive.conditions)


def test_a_part_with_sound_turf_parts_at_its_diagnosis(field: Consultation, adviser: Adviser) -> None:
    """With a tenth bare in place of nine tenths nothing is made anew: the zone's own rules part before any option's do."""
    sound = adviser.consult(read_situation(FIELD.replace("bare_percent = 90", "bare_percent = 10")))
    parting = compare(field, sound)
    assert parting.first is not None
    assert parting.first.section == "zone"
    assert not parting.same_choice
    assert parting.decisive is not None
    assert parting.decisive.rule in ("establish-to-renovate", "renovate-no-turf", "establish-to-repair")
    assert parting.decisive.fires == 1
    text = "\n".join(parting_lines(parting, ("worn", "sound")))
    assert f"rule {parting.first.rule} fires in" in text
    assert "worn: " in text
    assert "sound: " in text


def test_each_that_parts_differs_in_a_condition(field: Consultation, dry: Consultation) -> None:
    for row in compare(field, dry).all:
        assert row.conditions, row.rule
        assert all(one.fact == two.fact and one.condition == two.condition for one, two in row.conditions)


def test_turned_round_it_is_the_same_rule(field: Consultation, dry: Consultation) -> None:
    one, two = compare(field, dry), compare(dry, field)
    assert one.first is not None
    assert two.first is not None
    assert (one.first.rule, one.first.fires) == (two.first.rule, 3 - two.first.fires)
    assert {row.rule for row in one.all} == {row.rule for row in two.all}
