"""The second opinion: it leaves the advice as it is, covers what is shown, and sees what is wrong in any layer of it."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator

import pytest

from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.decision.second import check_ground, check_options, check_steps, shown
from decide.engine.durable import Durable, available
from decide.model.errors import EngineError
from decide.report.text import render
from tests.shared import adviser, case_codes, case_of, consulted, knowledge

pytestmark = pytest.mark.skipif(not available(), reason="durable-rules is not installed here")

# Few and many zones, signs, steps and offers.
SAMPLE = (
    "na-maryland-other-sprays",
    "step-law-vermont",
    "life-kansas-many-signs",
    "us-burlington-soil-test-too-old",
)
# Steps that are options themselves, and young turf that is to be opened.
FIELD = "step-law-vermont"


@pytest.fixture(scope="module")
def both() -> Iterator[Adviser]:
    made = Adviser(knowledge(), "both")
    yield made
    made.close()


def without_engines(c: Consultation) -> dict[str, object]:
    """The advice but for the word on which engines gave it."""
    told: dict[str, object] = Adviser.advice(c).as_dict()
    del told["knowledge"]
    return told


def _same_advice(both: Adviser, code: str) -> None:
    one, two = adviser().consult(case_of(code).situation), both.consult(case_of(code).situation)
    assert without_engines(one) == without_engines(two)
    assert (one.checked, two.checked) == (0, len(shown(two.chosen.values(), two.ranked)))


@pytest.mark.slow
@pytest.mark.parametrize("code", SAMPLE)
def test_the_choice_of_engines_changes_no_advice(both: Adviser, code: str) -> None:
    _same_advice(both, code)


@pytest.mark.parametrize("code", [FIELD, "za-ladysmith-kikuyu-oversown"])
def test_the_advice_says_what_was_checked(both: Adviser, code: str) -> None:
    c = both.consult(case_of(code).situation)
    advice = Adviser.advice(c)
    assert (advice.knowledge.engines, advice.knowledge.checked) == (["plain", "durable"], c.checked)
    of = f"{c.checked} of {len(c.weighed)} options" if len(c.weighed) > 1 else "the one option"
    assert f"2 engines agreed on {of}." in render(advice, width=200)
    alone = Adviser.advice(consulted(code))
    assert (alone.knowledge.engines, alone.knowledge.checked) == (["plain"], 0)
    assert "engines" not in render(alone, width=200)


@pytest.mark.slow
@pytest.mark.parametrize("code", case_codes()[::6])
def test_the_choice_of_engines_changes_no_advice_of_the_bank(both: Adviser, code: str) -> None:
    _same_advice(both, code)


@pytest.mark.slow
@pytest.mark.xdist_group("bank")
def test_both_engines_agree_on_every_option_of_the_bank(both: Adviser) -> None:
    """More than an advice asks for: here every option of every case goes before the second engine."""
    for code in case_codes():
        c = consulted(code)
        with_both = _seen_by(both, c)
        check_ground(with_both)
        check_options(with_both, c.ranked)
        check_steps(with_both, [*c.steps, *c.opening_steps.values()])


def _seen_by(both: Adviser, c: Consultation) -> Consultation:
    """A consultation of the plain engine as if its book had both."""
    held: Consultation = object.__new__(Consultation)
    held.__dict__.update(c.__dict__)
    held.book = both
    return held


@pytest.mark.parametrize("code", SAMPLE)
def test_what_the_programme_tells_of_is_shown_and_one_of_each_way(code: str) -> None:
    c = consulted(code)
    told = {w.draft.code for w in shown(c.chosen.values(), c.ranked)}
    assert told >= {w.draft.code for chosen in c.chosen.values() for w in chosen.told}
    ways = {(w.draft.zone, w.draft.remedy, w.draft.method): w.draft.code for w in reversed(c.ranked)}
    assert told >= set(ways.values())
    assert told <= c.weighed.keys()
    assert len(told) < max(40, len(c.weighed) / 4), "no more than a person is told of"


def test_only_what_is_shown_goes_before_the_second_engine(
    monkeypatch: pytest.MonkeyPatch, both: Adviser
) -> None:
    seen: dict[str, set[str]] = {}
    real = Durable.judge

    def judge(self: Durable, layer: str, subjects: list, without: frozenset[str] = frozenset()) -> object:  # type: ignore[type-arg]
        seen.setdefault(layer, set()).update(subject.name for subject in subjects)
        return real(self, layer, subjects, without)

    monkeypatch.setattr(Durable, "judge", judge)
    c = both.consult(case_of(FIELD).situation)
    told = {w.draft.code for w in shown(c.chosen.values(), c.ranked)}
    assert seen["option"] == seen["option-verdict"] == seen["option-role"] == told
    assert (seen["site"], seen["zone"]) == ({"site"}, set(c.zones))
    assert "step" not in seen
    assert len(c.steps) == len(seen["step"]) == len(seen["step-verdict"]) > 0


def _other(
    wrong: Callable[[Consultation], None], check: Callable[[Consultation], None], both: Adviser
) -> str:
    """What is said of a consultation that was made wrong."""
    c = _seen_by(both, adviser().consult(case_of(FIELD).situation))
    assert c.steps
    check(c)
    wrong(c)
    with pytest.raises(EngineError) as caught:
        check(c)
    return str(caught.value)


def _options(c: Consultation) -> None:
    check_options(c, shown(c.chosen.values(), c.ranked))


def _steps(c: Consultation) -> None:
    check_steps(c, c.steps)


def _no_firing(c: Consultation) -> None:
    shown(c.chosen.values(), c.ranked)[0].firings.pop(0)


def _other_verdict(c: Consultation) -> None:
    w = shown(c.chosen.values(), c.ranked)[0]
    w.verdict_rule = next(
        rule.id for rule in c.book.base.rules if rule.then.act == "verdict" and rule.id != w.verdict_rule
    )


def _other_role(c: Consultation) -> None:
    w = shown(c.chosen.values(), c.ranked)[0]
    w.roles = w.roles - {min(w.roles)}


def _other_fact(c: Consultation) -> None:
    w = shown(c.chosen.values(), c.ranked)[0]
    concluded = [
        name
        for name, held in w.facts.items()
        if name.startswith("option.") and c.types[name].concluded and held is True
    ]
    w.facts = {name: held for name, held in w.facts.items() if name != concluded[0]}


def _other_zone(c: Consultation) -> None:
    zone, rows = next(iter(c.zone_layer.fired.items()))
    c.zone_layer = dataclasses.replace(c.zone_layer, fired={**c.zone_layer.fired, zone: rows[1:]})


def _other_site(c: Consultation) -> None:
    c.site = {name: not held if c.types[name].concluded else held for name, held in c.site.items()}


def _other_step(c: Consultation) -> None:
    c.steps[0].firings.pop()


def _other_step_verdict(c: Consultation) -> None:
    step = c.steps[0]
    step.verdict_rule = next(
        rule.id for rule in c.book.base.rules if rule.layer == "step-verdict" and rule.id != step.verdict_rule
    )


@pytest.mark.parametrize(
    ("wrong", "check"),
    [
        (_no_firing, _options), (_other_verdict, _options), (_other_role, _options), (_other_fact, _options),
        (_other_zone, check_ground), (_other_site, check_ground), (_other_step, _steps), (_other_step_verdict, _steps),
    ],
    ids=lambda each: each.__name__.strip("_"),
)  # fmt: skip
def test_whatever_is_wrong_in_what_is_shown_is_seen(wrong: Callable, check: Callable, both: Adviser) -> None:  # type: ignore[type-arg]
    assert _other(wrong, check, both).startswith("the two engines differ on rule ")


def test_a_fault_of_the_plain_engine_lets_no_advice_out(
    monkeypatch: pytest.MonkeyPatch, both: Adviser
) -> None:
    told = [w for chosen in consulted(FIELD).chosen.values() for w in chosen.told]
    rule, _ = told[0].firings[0]
    real = both.judge.judge

    def forgets(layer: str, subjects: list, without: frozenset[str] = frozenset()) -> object:  # type: ignore[type-arg]
        return real(layer, subjects, without | {rule.id})

    monkeypatch.setattr(both.judge, "judge", forgets)
    with pytest.raises(EngineError, match=f"differ on rule {rule.id!r}.*only the durable engine fires it"):
        both.consult(case_of(FIELD).situation)


def test_trials_ask_for_no_second_opinion(monkeypatch: pytest.MonkeyPatch, both: Adviser) -> None:
    from decide.questions.sensitivity import with_plain_engine

    monkeypatch.setattr(Durable, "judge", lambda *_: pytest.fail("a trial was checked"))
    assert with_plain_engine(both).consult(case_of(FIELD).situation).checked == 0
