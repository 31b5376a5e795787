"""Every peer of the benchmark fires the same rules as the plain evaluator: on the demo field, on cases, and on random rule bases."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decide.engine import durable, plain
from decide.engine.base import RuleBase
from decide.engine.language import Subject
from decide.knowledge.load import knowledge_folder
from decide.model.reading import read_situation
from tests.bench.calls import Call, calls_of, more_rules, more_subjects, with_more_facts
from tests.bench.peers import clips_engine, columns
from tests.bench.peers.clips_engine import Clips
from tests.bench.peers.generated import Generated, GeneratedThree
from tests.engine.random_bases import base_of, subjects_of
from tests.shared import PEERS, adviser, case_of

CASES = ("ongoing-wrong-grass", "sparse-my-johor-bahru-no-date", "ar-buenos-aires-spring")
with_clips = pytest.mark.skipif(not clips_engine.available(), reason=f"clipspy is not installed: {PEERS}")


@pytest.fixture(scope="module")
def calls() -> tuple[Call, ...]:
    demo = read_situation((knowledge_folder() / "demo.toml").read_bytes())
    return tuple(
        call
        for situation in (demo, *(case_of(code).situation for code in CASES))
        for call in calls_of(adviser(), situation)
    )


def fired(base: RuleBase, layer: str, subjects: Sequence[Subject]) -> list[tuple[str, str]]:
    return [(each.rule, each.subject) for each in plain.judge(base, layer, subjects).firings]


def could(base: RuleBase, layer: str, subjects: Sequence[Subject]) -> list[tuple[str, str]]:
    return [(each.rule, each.subject) for each in plain.judge(base, layer, subjects).could]


def of_real_rules(calls: Sequence[Call]) -> Iterator[tuple[RuleBase, Call]]:
    return ((adviser().base, call) for call in calls)


def of_random_rules(seed: int) -> tuple[RuleBase, list[Call]]:
    base = base_of(seed)
    return base, [Call(layer, tuple(subjects_of(base, layer, seed))) for layer in ("site", "zone")]


def test_the_calls_hold_what_a_peer_could_get_wrong(calls: Sequence[Call]) -> None:
    base = adviser().base
    judged = [plain.judge(base, layer, subjects) for layer, subjects in calls]
    assert {layer for layer, _ in calls} >= {"site", "zone", "option", "option-verdict", "option-role"}
    assert sum(len(each.firings) for each in judged) > 5_000
    assert sum(len(each.could) for each in judged) > 2_000
    assert any(firing.open for each in judged for firing in each.firings)
    assert any(not truth for each in judged for told in each.derived.values() for truth in told.values())


@pytest.mark.slow
@pytest.mark.parametrize("layout", ["rule", "stratum"])
def test_generated_python_with_two_values_on_real_rules(calls: Sequence[Call], layout) -> None:
    peer = Generated(adviser().base, layout)
    for base, (layer, subjects) in of_real_rules(calls):
        assert peer.fires(layer, subjects) == fired(base, layer, subjects), layer


def test_generated_python_with_three_values_on_real_rules(calls: Sequence[Call]) -> None:
    peer = GeneratedThree(adviser().base)
    for base, (layer, subjects) in of_real_rules(calls):
        assert peer.judge(layer, subjects) == plain.judge(base, layer, subjects), layer


@pytest.mark.slow
@pytest.mark.skipif(not durable.available(), reason="durable-rules is not installed here")
def test_durable_rules_on_real_rules(calls: Sequence[Call]) -> None:
    with durable.Durable(adviser().base) as peer:
        for base, (layer, subjects) in of_real_rules(calls):
            found = [(each.rule, each.subject) for each in peer.judge(layer, subjects).firings]
            assert found == fired(base, layer, subjects), layer


def test_columns_on_real_rules(calls: Sequence[Call]) -> None:
    for base, (layer, subjects) in of_real_rules(calls):
        assert columns.every_row(columns.judge(base, layer, subjects)) == plain.judge(
            base, layer, subjects
        ), layer


@with_clips
@pytest.mark.parametrize("way", [pytest.param("text", marks=pytest.mark.slow), "fields"])
def test_clips_on_real_rules(calls: Sequence[Call], way) -> None:
    peer = Clips(adviser().base, way)
    for base, (layer, subjects) in of_real_rules(calls):
        assert peer.fires(layer, subjects) == fired(base, layer, subjects), layer
    peer.close()


@pytest.mark.slow
@with_clips
def test_clips_says_what_could_fire_on_real_rules(calls: Sequence[Call]) -> None:
    peer = Clips(adviser().base, could=True)
    for base, (layer, subjects) in of_real_rules(calls):
        found = peer.both(layer, subjects)
        assert found == (fired(base, layer, subjects), could(base, layer, subjects)), layer
    peer.close()


def check_generated(seed: int) -> None:
    base, calls = of_random_rules(seed)
    rule, stratum, three = Generated(base, "rule"), Generated(base, "stratum"), GeneratedThree(base)
    for layer, subjects in calls:
        wanted = fired(base, layer, subjects)
        assert rule.fires(layer, subjects) == wanted
        assert stratum.fires(layer, subjects) == wanted
        assert three.judge(layer, subjects) == plain.judge(base, layer, subjects)


def check_clips(seed: int) -> None:
    base, calls = of_random_rules(seed)
    text, fields = Clips(base, "text"), Clips(base, "fields", could=True)
    for layer, subjects in calls:
        wanted = fired(base, layer, subjects)
        assert text.fires(layer, subjects) == wanted
        assert fields.both(layer, subjects) == (wanted, could(base, layer, subjects))
    text.close()
    fields.close()


@pytest.mark.slow
@settings(max_examples=150, deadline=None)
@given(st.integers(0, 1_000_000))
def test_generated_python_on_random_rules(seed: int) -> None:
    check_generated(seed)


@pytest.mark.slow
@with_clips
@settings(max_examples=60, deadline=None)
@given(st.integers(0, 1_000_000))
def test_clips_on_random_rules(seed: int) -> None:
    check_clips(seed)


@pytest.mark.slow
def test_generated_python_on_two_thousand_random_rule_bases() -> None:
    for seed in range(2_000):
        check_generated(seed)


@with_clips
@pytest.mark.slow
def test_clips_on_a_thousand_random_rule_bases() -> None:
    for seed in range(1_000):
        check_clips(seed)


def test_a_wrong_translation_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """An unknown exception that lifts, and an unknown condition that holds, show within the sample."""
    from tests.bench.peers.generated import Source

    monkeypatch.setattr(Source, "true", Source.possible)

    def sweep() -> None:
        for seed in range(40):
            check_generated(seed)

    with pytest.raises(AssertionError):
        sweep()


def test_more_rules_are_as_many_rules_of_their_own(calls: Sequence[Call]) -> None:
    """Each copy fires what the base fires, under names of its own."""
    base = adviser().base
    doubled = more_rules(base, 2)
    assert len(doubled.rules) == 2 * len(base.rules) == len({rule.id for rule in doubled.rules})
    for (layer, subjects), (_, wide) in zip(calls[:4], with_more_facts(calls[:4], 2), strict=True):
        one, two = plain.judge(base, layer, subjects), plain.judge(doubled, layer, wide)
        assert {(each.rule, each.subject) for each in two.firings} == {
            (rule, each.subject) for each in one.firings for rule in (each.rule, f"{each.rule}~1")
        }
        assert len(two.could) == 2 * len(one.could)


def test_more_subjects_are_judged_as_one_is(calls: Sequence[Call]) -> None:
    base = adviser().base
    some = [call for call in calls if call.layer == "option"][:1]
    (layer, subjects), (_, many) = some[0], more_subjects(some, 3)[0]
    assert len(many) == 3 * len(subjects) == len({each.name for each in many})
    assert len(fired(base, layer, many)) == 3 * len(fired(base, layer, subjects))


def test_the_judge_is_left_as_it_was() -> None:
    calls_of(adviser(), case_of(CASES[0]).situation)
    assert "judge" not in vars(adviser().judge)
