"""Answers in people's own words, hasty ones to questions of safety among them, are read or rightly asked back, and never misread."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.said.score import Scored, scored


def read(name: str) -> list[Scored]:
    lines = (Path(__file__).parent / f"{name}.jsonl").read_text(encoding="utf-8").splitlines()
    return [scored(json.loads(line)) for line in lines]


@pytest.mark.slow
@pytest.mark.parametrize("name", ["answers_said", "answers_said_late"])
def test_answers_are_read_or_asked_back(name: str) -> None:
    """All were written with their meaning before their first run, the late ones when the first ones were read:
    of the first 116, 50 % were right, 27 % asked back, 18 % missed and 5 % misread, of the late 100 it was 57,
    31, 6 and 6; then the reading was mended by kind.
    """
    found = read(name)
    wrong: list[Any] = [(one.row["text"], one.wrong) for one in found if one.wrong]
    assert not wrong
    assert sum(one.verdict in ("right", "asked back") for one in found) >= 0.98 * len(found)
