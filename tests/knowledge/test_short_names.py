"""What short papers list: every caution by a name of its own, every task in an event of the calendar."""

from __future__ import annotations

from typing import get_args

from decide.model.planned import Round
from tests.shared import knowledge


def test_every_caution_has_a_short_name_of_its_own() -> None:
    names = [row.name for row in knowledge().cautions.values()]
    assert all(1 <= len(name.split()) <= 6 for name in names)
    assert len(set(names)) == len(names)


def test_every_event_of_a_calendar_holds_work() -> None:
    held = {row.in_round for row in knowledge().tasks.values()} | {
        row.round for row in knowledge().watering.values()
    }
    assert held == set(get_args(Round))


def test_water_of_new_ground_has_events_of_its_own() -> None:
    # By hand: standing turf is watered beside new ground, on other days.
    rows = {code: row.round for code, row in knowledge().watering.items()}
    assert {code for code, kind in rows.items() if not kind.startswith("water-")} == {"standing-turf"}
