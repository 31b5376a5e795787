"""Two invented fields from which the tests of decisions vary: one that can be sown at once, and one that must be cleared first."""

from __future__ import annotations

import copy
from functools import cache
from typing import Any

from decide.decision.consultation import Consultation
from decide.model.reading import situation_from_dict
from tests.shared import adviser

SHUT: dict[str, Any] = {
    "place": {"name": "York", "country": "gb"},
    "dates": {"today": "2026-05-12", "play_by": "2026-09-20", "can_close": "locked", "no_play": [{"from": "2026-05-01", "until": "2027-06-01"}]},
    "site": {"owner_agrees": True, "services_marked": True, "goals_anchored": True, "dangers": ["none"], "school": False, "public": False},
    "field": {"length_m": 90, "width_m": 55, "soil": "loam", "drainage": "good"},
    "zone": [{"name": "whole field", "bare_percent": 60, "bare_pattern": "solid", "grass": [{"grass": "perennial ryegrass", "share_percent": 100, "state": "green"}]}],
    "use": [{"sport": "football", "months": ["oct", "nov", "dec", "jan", "feb", "mar", "apr"], "hours_per_week": 4, "players": "adult"}],
    "means": {"water": "in-ground sprinklers", "equipment_own": ["mower", "rake", "spreader", "roller"], "equipment_hire": [], "contractor": False},
    "history": {"herbicides": []},
}  # fmt: skip
WEEDY: dict[str, Any] = {
    **SHUT,
    "place": {"name": "Columbus", "region": "Ohio", "country": "us"},
    "dates": {"today": "2026-08-10", "play_by": "2027-08-01", "can_close": "locked", "no_play": [{"from": "2026-08-01", "until": "2027-07-31"}]},
    "zone": [{"name": "whole field", "bare_percent": 20, "weeds_percent": 70, "weeds": ["broadleaf", "crabgrass"], "grass": [{"grass": "tall fescue", "share_percent": 100, "state": "green"}]}],
    "limits": {"pesticides": "allowed"},
    "means": {**SHUT["means"], "licensed_applicator": True},
    "wishes": {"grass": "tall fescue", "method": "broadcast-seed"},
}  # fmt: skip


def changed(base: dict[str, Any], **tables: Any) -> dict[str, Any]:
    """The situation with keys of its tables changed, None taking one out; a list replaces the table."""
    data = copy.deepcopy(base)
    for table, keys in tables.items():
        held = {**data.get(table, {}), **keys} if isinstance(keys, dict) else keys
        data[table] = (
            {key: value for key, value in held.items() if value is not None}
            if isinstance(held, dict)
            else held
        )
    return data


def consulted(data: dict[str, Any]) -> Consultation:
    return adviser().consult(situation_from_dict(data))


@cache
def shut(play_by: str, first_use: str = "matches") -> Consultation:
    """The field that is shut until next summer, wanted by a day."""
    return consulted(changed(SHUT, dates={"play_by": play_by, "first_use": first_use}))


@cache
def weedy() -> Consultation:
    return consulted(WEEDY)
