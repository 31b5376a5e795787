"""Decisions on sports fields in print, each as a situation with its checks, held to the whole adviser."""

from __future__ import annotations

import random
from typing import Any, Final

import pytest

from tests.published.decisions.score import read_statements, result_of, score
from tests.published.decisions.situations import CASES, Check, Kind
from tests.shared import adviser

# Statements that the advice is known not to meet, each with the reason in words. One that is met is taken out.
EXPECTED_SHORT: Final[dict[str, str]] = {
    "osu-slit-elsewhere": "85 percent living turf away from the goals is told to be left to rest; no sowing is offered there, so none is ranked",
    "nysipm-dormant-head-start": "a date in June was put to it, and bluegrass of early March does not meet it; spring ryegrass does",
    "handbook-cover-over-75": "at 88 percent cover nothing is sown, and a sowing on 15 November falls in the week before the dormant window opens",
    "vt-repair-in-autumn": "bluegrass at 70 percent cover is told to recover; seed of October would meet its first winter young",
    "stma-sprig-after-last-frost": "sprigs are held back until the soil is warm, some weeks after the last frost; other universities print those weeks",
    "lsu-wait-for-warm-soil": "sprigs of April are told as sound a month before mid-May, because the place is warm enough by its normals",
    "tahlequah-shade-no-bermuda": "under four hours of sun no turf is named: two other sources put the floor there, and this statement is a newspaper column",
    "vce-under-half-weeds": "the patches are named and sown, but coring in passes is said of turf that recovers, not of a repair",
    "kansas-column-no-scalp": "the months of the column reach beyond the window of winter grass that other print of the transition gives",
}
# The fast run takes a tenth of them, always the same; .ci/run takes all.
FAST: Final = frozenset(random.Random(75).sample(sorted(CASES), len(CASES) // 10))


def parameters() -> list[Any]:
    return [pytest.param(code, id=code, marks=() if code in FAST else pytest.mark.slow) for code in CASES]


@pytest.mark.slow
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
