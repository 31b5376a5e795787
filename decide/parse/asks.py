"""Reads what a person asks or wishes: the kind of question, and what it names."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from decide.parse.heard import Ask
from decide.parse.question import Question
from decide.parse.results import Setting
from decide.parse.speech import Speech


def read_asks(
    text: str,
    setting: Setting,
    speech: Speech,
    *,
    answers: Mapping[str, Any],
    question: Question | None = None,
) -> tuple[Ask, ...]:
    """What a cleaned line asks, the most wanted first; empty where it only tells."""
    return ()
