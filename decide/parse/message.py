"""Reads a message in a person's own words for everything that it tells of the field."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from decide.parse.heard import Heard
from decide.parse.question import Question
from decide.parse.results import Setting
from decide.parse.speech import Speech


def read_message(
    text: str,
    setting: Setting,
    speech: Speech,
    *,
    answers: Mapping[str, Any],
    question: Question | None = None,
) -> Heard:
    """What a cleaned line tells, whatever was asked; what it asks is not read here."""
    return Heard()
