"""The judge: the plain engine judges, the second one checks what is shown, and where they differ it says on which rule."""

from __future__ import annotations

import pytest
from small import WORN, base, caution, concludes, subject

from decide.engine import durable, judge, plain
from decide.engine.judge import Held, Judge
from decide.model.errors import EngineError

needs_second = pytest.mark.skipif(not durable.available(), reason="durable-rules is not installed here")

RULES = base(
    *WORN,
    concludes("overuse", "zone.cause-overuse", "zone.bare > 40 percent"),
    caution("care", "zone", "zone.worn is true"),
    caution("kept", "zone", "zone.sunny is true", unless={"worn": ["zone.worn is not true"]}),
)
BARE = subject(zone__bare=50.0, zone__sunny=True)
FIRED = ("bare-worn", "overuse", "care", "kept")
CONCLUDED = {"zone.worn": True, "zone.cause-overuse": True}


def said_by(engines="both"):
    return Judge(RULES, engines)


def message(held, layer="zone"):
    """What is said where a consultation holds something else than the second engine finds."""
    judge = said_by()
    with pytest.raises(EngineError) as caught:
        judge.check(layer, [held])
    judge.close()
    return str(caught.value)


def test_the_rules_here_say_what_the_test_takes_them_to_say():
    judged = plain.judge(RULES, "zone", [BARE])
    assert tuple(firing.rule for firing in judged.firings) == FIRED
    assert judged.derived["it"] == CONCLUDED


def test_the_plain_engine_judges_whatever_is_asked_for():
    for engines in ("both", "plain"):
        found = said_by(engines).judge("zone", [BARE])
        oracle = plain.judge(RULES, "zone", [BARE])
        assert (found.firings, found.could, found.derived) == (oracle.firings, oracle.could, oracle.derived)
    assert said_by().judge("zone", [subject(zone__bare=5.0)]).could, "what could fire is never lost"


@pytest.mark.parametrize("name", ["durable", "fast", ""])
def test_the_second_engine_is_not_to_be_had_alone(name):
    with pytest.raises(EngineError, match=f'\'{name}\' is no choice of engines.*"both".*"plain"'):
        Judge(RULES, name)


@needs_second
def test_what_both_say_passes():
    judge = said_by()
    judge.check("zone", [Held(BARE, FIRED, CONCLUDED)])
    judge.check("zone", [])
    judge.check(
        "zone", [Held(subject("a", zone__bare=5.0), (), {}), Held(subject("b", zone__bare=20.0), ("bare-worn", "care"), {"zone.worn": True})]
    )  # fmt: skip
    judge.close()


@needs_second
@pytest.mark.parametrize(
    ("fired", "said"),
    [
        (("bare-worn", "overuse", "care"), "rule 'kept' for 'it': only the durable engine fires it"),
        ((*FIRED, "sun-worn"), "rule 'sun-worn' for 'it': only the plain engine fires it"),
        (("overuse", "bare-worn", "care", "kept"), "rule 'overuse' for 'it': they fire it at another place"),
    ],
)
def test_a_rule_on_which_they_differ_is_named(fired, said):
    assert said in message(Held(BARE, fired, CONCLUDED))


@needs_second
@pytest.mark.parametrize("concluded", [{"zone.worn": True}, {**CONCLUDED, "zone.cause-overuse": False}])
def test_a_conclusion_that_only_one_draws_is_named_by_its_rule(concluded):
    told = message(Held(BARE, FIRED, concluded))
    assert "rule 'overuse' for 'it': they conclude zone.cause-overuse differently" in told


@needs_second
def test_that_a_fact_is_false_must_agree_where_an_exception_asks_for_it():
    whole = subject(zone__bare=5.0, zone__sunny=False)
    said_by().check("zone", [Held(whole, (), {"zone.worn": False})])
    assert "they conclude zone.worn differently" in message(Held(whole, (), {}))
    # Nobody asks whether overuse is not the cause, so it may be false or unknown.
    said_by().check("zone", [Held(whole, (), {"zone.worn": False, "zone.cause-overuse": False})])


@needs_second
def test_where_only_conclusions_are_held_only_the_true_ones_are_compared():
    said_by().check("zone", [Held(BARE, None, CONCLUDED)])
    said_by().check("zone", [Held(subject(zone__bare=5.0, zone__sunny=False), None, {})])
    assert "they conclude zone.worn differently" in message(Held(BARE, None, {"zone.cause-overuse": True}))


@needs_second
def test_rules_switched_off_are_off_for_both():
    judge, off = said_by(), frozenset({"bare-worn", "sun-worn"})
    held = Held(BARE, ("overuse",), {"zone.cause-overuse": True, "zone.worn": False})
    judge.check("zone", [held], off)
    with pytest.raises(EngineError):
        judge.check("zone", [held])
    judge.close()


@pytest.mark.parametrize("engines", ["plain", "both"])
def test_without_a_second_engine_nothing_is_checked(monkeypatch, engines):
    if engines == "both":
        monkeypatch.setattr(judge, "available", lambda: False)
    alone = said_by(engines)
    assert (alone.names, alone.checks) == (["plain"], False)
    alone.check("zone", [Held(BARE, ("nothing",), {})])
    alone.close()
