"""Decisions on sports fields in print, each as a situation with its checks, held to the whole adviser."""

from __future__ import annotations

import random
from typing import Any, Final

import pytest

from tests.published.decisions.score import read_statements, result_of, score
from tests.published.decisions.situations import CASES, Check, Kind
from tests.shared import adviser

# Statements that the advice is known not to meet, each with the reason in words. One that is met is taken out.
EXPECTED_SHORT: Final[dict[str, str]] = {}
# The fast run takes a tenth of them, always the same; .ci/run takes all.
FAST: Final = frozenset(random.Random(75).sample(sorted(CASES), len(CASES) // 10))


def parameters() -> list[Any]:
    return [pytest.param(code, id=code, marks=() if code in FAST else pytest.mark.slow) for code in CASES]


@pytest.mark.parametrize("code", parameters())
def test_decision(code: str) -> None:
    sources, statements = read_statements()
    statement = statements[code]
    source = sources[statement.source]
    found = score(statement, CASES[code], adviser())
    if code in EXPECTED_SHORT:
        assert found.result != "pass", f"{code} is met now: take it out of EXPECTED_SHORT"
        return
    printed = f"{source.title}, {source.publisher}, {source.year}: {statement.statement}"
    assert found.result == "pass", f"{printed}\nNot met ({found.result}): {found.why}"


def test_every_statement_is_put_once_and_has_its_source() -> None:
    sources, statements = read_statements()
    assert list(statements) == list(CASES)
    assert {statement.source for statement in statements.values()} == set(sources)


def test_what_is_known_to_fail_is_a_statement_and_says_why() -> None:
    assert set(EXPECTED_SHORT) <= set(CASES)
    assert all(EXPECTED_SHORT.values())


@pytest.mark.parametrize(("kinds", "failed", "result"), [
    (("prefers", "warns"), (), "pass"), (("prefers", "warns"), (1,), "half"), (("prefers",), (0,), "fail"),
    (("prefers", "warns", "amount"), (0, 1), "fail"), (("rules out", "warns"), (1,), "half"),
    (("rules out", "warns"), (0,), "fail"), (("keeps shut", "warns"), (0,), "fail"),
])  # fmt: skip
def test_half_met_breaks_no_refusal(kinds: tuple[Kind, ...], failed: tuple[int, ...], result: str) -> None:
    checks = [Check(kind, "", lambda reading: True) for kind in kinds]
    assert result_of(checks, [checks[number] for number in failed]) == result
