"""How sure the advice is of its choice: open while an answer could rule it out, likely while something could not be judged, else firm."""

from __future__ import annotations

import itertools

import pytest

from decide.answer.assemble import advice_of, chosen_options
from decide.answer.teller import Teller
from decide.answer.trust import sure_of
from decide.decision.consultation import Consultation
from tests.decision.fields import SHUT, changed, consulted
from tests.decision.made import made
from tests.shared import adviser

FACTS = ("place-known", "chosen-usable", "chosen-could-be-ruled-out", "chosen-unjudged")


@pytest.mark.parametrize("held", list(itertools.product((True, False), repeat=4)))
def test_the_level_says_what_could_still_change_the_choice(held):
    """Firm is only what nothing can change; what an answer could take away is open, whatever else is known."""
    place, usable, could, unjudged = held
    facts = {f"site.{name}": value for name, value in zip(FACTS, held, strict=True)}
    level = next(row.level for row in adviser().knowledge.sure.values() if adviser().holds(row, facts))
    assert level == ("open" if not place or not usable or could else "likely" if unjudged else "firm")


def could_be_ruled_out(c: Consultation) -> bool:
    return any(rule.then.act == "rule-out" for w in chosen_options(c) for rule, _ in w.could)


def test_what_a_missing_answer_could_rule_out_is_open_and_the_answer_is_asked_for():
    """Deep shade lets no grass live: while nobody told the hours of sun, no sowing is sure."""
    shade = consulted(SHUT)
    assert could_be_ruled_out(shade)
    sure = advice_of(shade).sure
    assert sure.level == "open"
    assert "sun" in sure.why
    told = consulted(changed(SHUT, zone=[{**SHUT["zone"][0], "sun_hours": 9}]))
    assert not could_be_ruled_out(told)
    assert advice_of(told).sure.level != "open"


def test_without_a_place_nothing_is_sure():
    sure = advice_of(consulted(changed(SHUT, place={"name": None, "country": None}))).sure
    assert sure.level == "open"
    assert "town" in sure.why


def test_one_part_without_a_sound_choice_leaves_the_whole_open():
    """What may be used in one part says nothing of the other; what is sure of each is sure of both."""
    teller = Teller(consulted(SHUT))
    good, bad = made(verdict="sound"), made(verdict="not-advised")
    assert sure_of(teller, [good, good]).level == "firm"
    assert sure_of(teller, [good, bad]).level == sure_of(teller, [bad, good]).level == "open"
    assert sure_of(teller, [good, made(verdict="sound", grades={"lasts": "unknown"})]).level == "likely"
