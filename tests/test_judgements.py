"""Judgements on the smallest situations that call for them, by their meaning: each is one that nothing else holds fast."""

from __future__ import annotations

import datetime as dt

from decide.decision.consultation import Consultation
from decide.model.reading import situation_from_dict
from tests.shared import adviser

BARE = {
    "place": {"name": "Lafayette", "country": "us", "region": "Indiana"},
    "dates": {"today": "2026-08-01", "can_close": "locked"},
    "field": {"area_m2": 6000, "bare_percent": 90, "bare_pattern": "solid", "grass": []},
    "means": {"water": "in-ground sprinklers"},
}


def consulted(**tables: object) -> Consultation:
    """The consultation on bare ground in Indiana with some tables in place of its own."""
    return adviser().consult(situation_from_dict({**BARE, **tables}))


def test_the_free_days_of_a_start_are_counted_from_that_start() -> None:
    """Nobody plays from August to the end of October, so a start in September has the days from it to the first of November."""
    shut = {"from": "2026-08-01", "until": "2026-10-31"}
    c = consulted(
        dates={**BARE["dates"], "no_play": [shut]},
        use=[{"sport": "football", "months": ["nov"], "hours_per_week": 6, "players": "youth"}],
    )
    starts = [
        w
        for w in c.weighed.values()
        if w.draft.start and dt.date(2026, 8, 10) < w.draft.start < dt.date(2026, 10, 20)
    ]
    assert starts
    for w in starts:
        assert w.draft.start is not None
        assert w.facts["option.free-days"] == (dt.date(2026, 11, 1) - w.draft.start).days
