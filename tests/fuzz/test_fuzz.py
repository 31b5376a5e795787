"""A fixed slice of every kind of hostile input: none ends in a traceback, takes a second or grows without bound."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.fuzz.run import WARM, run

ROOT = Path(__file__).parents[2]
# Inputs of each target, so that all take about a minute of one core.
SLICE = {
    "situation": 6_000,
    "record": 2_500,
    "weather": 5_000,
    "overlay": 2_000,
    "many": 6_000,
    "saved": 1_200,
    "grammar": 1_200,
    "talk": 600,
}


@pytest.mark.slow
@pytest.mark.parametrize("target", SLICE)
def test_a_slice(target: str) -> None:
    # A process of its own, so that bounds and signals are its own.
    done = subprocess.run(
        [sys.executable, "-m", "tests.fuzz", target, "--count", str(SLICE[target]), "--seed", "16"],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr


def test_what_is_wrong_is_found_and_an_input_comes_again(monkeypatch: pytest.MonkeyPatch) -> None:
    from tests.fuzz import run as module

    seen: dict[int, list[float]] = {}

    def fed(draw: object) -> str:
        number = draw.random()  # type: ignore[attr-defined]
        seen.setdefault(len(seen), []).append(number)
        if number < 0.5:
            raise RuntimeError("wrong")
        return ""

    monkeypatch.setitem(module.TARGETS, "planted", fed)
    monkeypatch.setattr(module.resource, "setrlimit", lambda *_: None)
    outcome = run("planted", 40, 1)
    assert outcome.fed == 40
    assert sum(outcome.times.values()) == sum(numbers[0] < 0.5 for at, numbers in seen.items() if at >= WARM)
    (kind,) = outcome.wrong
    assert kind.startswith("RuntimeError at ")
    first = outcome.wrong[kind][0]
    assert run("planted", 1, 1, first=first).wrong
