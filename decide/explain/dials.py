"""What of the answers a person can change, and to which other values."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from decide.decision.consultation import Consultation
from decide.engine.language import FactType
from decide.explain.changes import told_type, value_of
from decide.knowledge.schema import Question
from decide.model.written import DONT_KNOW, coded
from decide.parse.otherwise_reader import HOURS_OF_USE

# The told key behind a measured fact that is marked as changeable.
BEHIND: Final[Mapping[str, str]] = {
    "site.days-to-play-by": "dates.play_by",
    "site.hours-peak": HOURS_OF_USE,
    "option.free-days": "dates.no_play",
    "option.days-to-play": "dates.no_play",
}


@dataclass(frozen=True)
class Dial:
    """An answer that can be changed: its other values; those of `rows` stand in steps away from what is now,
    the least first.
    """

    key: str
    rows: tuple[tuple[Any, ...], ...]

    @property
    def probes(self) -> list[tuple[int, int]]:
        """Places in the rows that are run first: each level; of steps the 1st, 2nd, 4th, 8th … and
        the last.
        """
        found: list[tuple[int, int]] = []
        for number, row in enumerate(self.rows):
            places = {2**power - 1 for power in range(len(row).bit_length()) if 2**power <= len(row)} | {
                len(row) - 1
            }
            found += [(number, place) for place in sorted(places)]
        return found


# ---------- what can be changed ----------
def dials(c: Consultation, answers: Mapping[str, Any], zone: str) -> list[Dial]:
    """The answers that the person can change for a zone, with the values to run, by the marks of the
    knowledge.
    """
    found: list[Dial] = []
    for question in c.knowledge.questions:
        if question.changeable:
            key = (
                f"zone.{zone}.{question.key.removeprefix('zone.')}"
                if question.key.startswith("zone.")
                else question.key
            )
            rows = _rows(question, value_of(answers, key), c.types, key)
            found.append(Dial(key, rows))
    for name, key in BEHIND.items():
        row = c.knowledge.facts.get(name)
        if row is not None and row.changeable:
            found.append(Dial(key, _measured_rows(c, answers, key, c.types[name])))
    return [Dial(dial.key, tuple(row for row in dial.rows if row)) for dial in found if any(dial.rows)]


def _rows(
    question: Question, now: Any, types: Mapping[str, FactType], key: str
) -> tuple[tuple[Any, ...], ...]:
    if question.kind == "yesno":
        return tuple((value,) for value in (True, False) if value is not now)
    if question.kind == "list":
        return _more_of(question, now)
    if question.kind == "choice":
        return tuple((choice.value,) for choice in question.choices if choice.value not in (now, DONT_KNOW))
    kind = told_type(types, key)
    if kind is None or kind.low is None or kind.high is None or not kind.step:
        return ()
    at = float(now) if isinstance(now, (int, float)) else kind.low
    whole = question.key == "means.helpers"
    return tuple(
        tuple(int(each) if whole else each for each in row)
        for row in _steps(at, kind.low, kind.high, kind.step)
    )


def _steps(at: float, low: float, high: float, step: float) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """All values up and all values down from one, in steps, the ends included."""
    up = [at + step * n for n in range(1, int((high - at) / step) + 1)]
    down = [at - step * n for n in range(1, int((at - low) / step) + 1)]
    up += [high] if high > (up[-1] if up else at) else []
    down += [low] if low < (down[-1] if down else at) else []
    return tuple(up), tuple(down)


def _more_of(question: Question, now: Any) -> tuple[tuple[Any, ...], ...]:
    """One thing more than there is."""
    held = list(now) if isinstance(now, list) else []
    values = [choice.value for choice in question.choices if choice.value != "none"]
    if question.key == "offer":
        return tuple(
            ([*held, {"what": value}],)
            for value in values
            if not any(isinstance(each, Mapping) and each.get("what") == value for each in held)
        )
    plain = {coded(str(each)) for each in held}
    return tuple(([*held, value],) for value in values if coded(str(value)) not in plain)


def _measured_rows(
    c: Consultation, answers: Mapping[str, Any], key: str, kind: FactType
) -> tuple[tuple[Any, ...], ...]:
    assert kind.low is not None
    assert kind.high is not None
    assert kind.step is not None
    today, dates = c.filled.today, c.filled.situation.dates
    if key == "dates.play_by":
        if dates.play_by is None or dates.play_by_firm is True:
            return ()
        rows = _steps((dates.play_by - today).days, kind.low, kind.high, kind.step)
        return tuple(
            tuple((today + dt.timedelta(days=round(each))).isoformat() for each in row) for row in rows
        )
    if key == HOURS_OF_USE:
        now = value_of(answers, key)
        return () if now is None else _steps(now, kind.low, kind.high, kind.step)[1:]
    most = 364 if dates.play_by is None else max(0, (dates.play_by - today).days)
    held = [{"from": span.start.isoformat(), "until": span.until.isoformat()} for span in dates.no_play or []]
    weeks = range(round(kind.step), min(most, 364) + 1, round(kind.step))
    return (
        tuple(
            [*held, {"from": today.isoformat(), "until": (today + dt.timedelta(days=days)).isoformat()}]
            for days in weeks
        ),
    )


def changeable_keys(c: Consultation) -> Iterator[str]:
    """The keys that what would it take may change, for any zone."""
    yield from (question.key for question in c.knowledge.questions if question.changeable)
    yield from (
        key
        for name, key in BEHIND.items()
        if name in c.knowledge.facts and c.knowledge.facts[name].changeable
    )
