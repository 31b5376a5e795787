"""What was done, checked or begun, told in a talk: it goes into the record of the field, from which the
advice goes on.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from decide.parse.heard import Ask
from decide.parse.months import say_day
from decide.shell import table
from decide.shell.asking import go_on
from decide.shell.keeping import keep
from decide.shell.state import Say, State, Turn
from decide.shell.telling import zone_named


def record(state: State, ask: Ask) -> list[Say]:
    """Writes down what was done or checked; DecideError where it cannot be."""
    entries = _entries(state, ask)
    if not entries:
        return [Say("What was done, and when? Say such as: sowed the goalmouths yesterday.", "error")]
    rows = [state.tools.record_row(state.advice, entry) for entry in entries]
    state.turns.append(Turn(table.copied(state.answers), state.question, state.opening))
    for name, row in rows:
        state.answers.setdefault(name, []).append(row)
    state.stale = True
    said = [Say(f"Written down: {_words(row)}.") for _, row in rows]
    return [*said, *keep(state), *(go_on(state) if not state.opening else [])]


def _entries(state: State, ask: Ask) -> list[dict[str, Any]]:
    """What is to be written down, a table each: what, day, zone, amount, whether it was passed."""
    slots = ask.slots
    several = slots.get("steps")
    what = several if isinstance(several, list) else [slots.get("step") or slots.get("check")]
    shared: dict[str, Any] = {"on": _day(slots.get("date"), state.today)}
    zone = slots.get("zone")
    if isinstance(zone, str):
        shared["zone"] = zone_named(state.answers, zone)
    if isinstance(slots.get("passed"), bool):
        shared["passed"] = slots["passed"]
    if isinstance(slots.get("value"), (int, float)):
        shared["amount"] = float(slots["value"])
    if "germination" in slots:
        shared["note"] = f"germination {slots['germination']} %"
    return [{"what": one, **shared} for one in what if isinstance(one, str)]


def _day(told: Any, today: dt.date) -> dt.date:
    """The day that was told, the last one of a span; today where none was, or where it is still to come."""
    last = told.get("to") if isinstance(told, Mapping) else told
    try:
        return min(today, dt.date.fromisoformat(last)) if isinstance(last, str) else today
    except ValueError:
        return today


def _words(row: Mapping[str, Any]) -> str:
    what = next(str(row[key]) for key in ("task", "check", "method", "sign") if key in row).replace("-", " ")
    day = row.get("date") or row.get("start")
    where = f" ({row['zone']})" if row.get("zone") else ""
    grass = f", {str(row.get('grass') or row.get('mixture')).replace('-', ' ')}" if "start" in row else ""
    passed = row.get("passed")
    found = "" if passed is None else ", passed" if passed else ", not passed"
    measured = f", {row['value']:g}" if "value" in row else ""
    on = say_day(dt.date.fromisoformat(day)) if isinstance(day, str) else ""
    return f"{what}{grass}{where}{measured}{found}, {on}"
