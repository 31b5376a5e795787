"""What a first message is read to tell, as keys with their values."""

from __future__ import annotations

import datetime as dt
from typing import Any

from decide.parse.heard import Heard
from decide.parse.message import read_message
from decide.parse.results import Setting
from tests.said.score import found_places, speech

TODAY = dt.date(2026, 5, 20)  # a Wednesday


def heard(text: str) -> Heard:
    """How a first message is heard."""
    return read_message(text, Setting(TODAY, find_place=found_places), speech(), answers={})


def told(text: str) -> dict[str, Any]:
    """Keys with their values, a part's name after the key."""
    return {f"{one.key}[{one.zone}]" if one.zone else one.key: one.value for one in heard(text).told}
