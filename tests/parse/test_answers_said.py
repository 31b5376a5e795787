"""Answers in people's own words, hasty ones to questions of safety among them, are read or rightly asked back, and never misread."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.said.score import scored

ROWS = [
    json.loads(line)
    for line in (Path(__file__).parent / "answers_said.jsonl").read_text(encoding="utf-8").splitlines()
]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['question']}: {row['text'][:40]}")
def test_an_answer_is_read_or_asked_back(row: dict[str, object]) -> None:
    """Each was written with its meaning before its first run, of which 50 % were right, 27 % asked back, 18 %
    missed and 5 % misread; then the reading was mended by kind.
    """
    found = scored(row)
    assert found.verdict in ("right", "asked back"), (found.wrong, found.missing, found.heard)
