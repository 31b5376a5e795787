"""Two answers that cannot both hold: what to ask back, and what each reading changes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from decide.parse.months import say_day
from decide.shell.table import DROP, WHOLE_FIELD, at, set_key, zone_of, zones
from decide.shell.tools import Answers

Edits = tuple[tuple[str, Any], ...]
_ALL: Final = 100  # per cent


@dataclass(frozen=True)
class Conflict:
    """Two answers that cannot both hold: what to ask back, and what each reading changes (key → value or
    DROP).
    """

    code: str
    text: str
    readings: tuple[tuple[str, Edits], ...]


def conflicts(answers: Answers, today: dt.date) -> Iterator[Conflict]:
    """What in the answers cannot all be true."""
    yield from _dry_and_watered(answers)
    yield from _past(answers, today)
    yield from _locked_and_in_play(answers)
    yield from _more_than_all(answers)
    yield from _larger_than_the_field(answers)


def _dry_and_watered(answers: Answers) -> Iterator[Conflict]:
    told = answers.get("means")
    means: dict[str, Any] = told if isinstance(told, dict) else {}
    tools = means.get("equipment_own")
    own: list[Any] = tools if isinstance(tools, list) else []
    if means.get("water") != "none":
        return

    def without(tool: str) -> Edits:
        return (("means.equipment_own", [held for held in own if held != tool]),)

    if _positive(means.get("flow_l_min")) or _positive(means.get("hose_reach_m")) or "hose" in own:
        told_of = tuple((f"means.{name}", DROP) for name in ("flow_l_min", "hose_reach_m") if name in means)
        yield Conflict(
            "water-hose",
            "You said that the field cannot be watered, but also that there is a hose or a tap. Which holds?",
            (
                ("it can be watered with a hose", (("means.water", "hand hose"),)),
                ("it cannot be watered", (*told_of, *(without("hose") if "hose" in own else ()))),
            ),
        )
    if "travelling-sprinkler" in own:
        yield Conflict(
            "water-sprinkler",
            "You said that the field cannot be watered, but also that there is a travelling sprinkler. "
            "Which holds?",
            (
                ("it can be watered with the sprinkler", (("means.water", "travelling sprinkler"),)),
                ("it cannot be watered", without("travelling-sprinkler")),
            ),
        )


def _past(answers: Answers, today: dt.date) -> Iterator[Conflict]:
    """A date wanted that is past already."""
    told = at(answers, "dates.play_by")
    try:
        day = dt.date.fromisoformat(told) if isinstance(told, str) else today
    except ValueError:
        return
    if day < today:
        later = _later_year(day, today)
        yield Conflict(
            "play-by-past",
            f"{say_day(day)} is already past. Which day is meant?",
            (
                (say_day(later), (("dates.play_by", later.isoformat()),)),
                ("another day", (("dates.play_by", DROP),)),
            ),
        )


def _later_year(day: dt.date, today: dt.date) -> dt.date:
    """The next such day from today on."""
    for year in range(today.year, today.year + 9):
        try:
            later = day.replace(year=year)
        except ValueError:
            continue
        if later >= today:
            return later
    return today


def _locked_and_in_play(answers: Answers) -> Iterator[Conflict]:
    if at(answers, "dates.can_close") != "locked":
        return
    for zone in zones(answers):
        if zone.get("in_play") is True:
            name = zone.get("name", WHOLE_FIELD)
            yield Conflict(
                f"shut-in-play:{name}",
                f"You said that the ground can be locked, but also that play must go on ({name}). Which "
                "holds?",
                (
                    (f"play stops ({name})", ((f"zone:{name}.in_play", False),)),
                    ("play goes on there, the rest can be locked", ()),
                ),
            )


def _more_than_all(answers: Answers) -> Iterator[Conflict]:
    """Shares that make more than the whole: bare ground and weeds of a part, the parts of the field."""
    for zone in zones(answers):
        bare, weeds = _amount(zone.get("bare_percent")), _amount(zone.get("weeds_percent"))
        name = zone.get("name", WHOLE_FIELD)
        if bare + weeds > _ALL and max(bare, weeds) <= _ALL:
            left, left_bare = round(_ALL - bare, 3), round(_ALL - weeds, 3)
            yield Conflict(
                f"bare-weeds:{name}",
                f"Bare ground and weeds together make {bare + weeds:g} % ({name}). Which number is right?",
                (
                    (
                        f"bare {bare:g} %, so weeds at most {left:g} %",
                        ((f"zone:{name}.weeds_percent", left),),
                    ),
                    (
                        f"weeds {weeds:g} %, so bare at most {left_bare:g} %",
                        ((f"zone:{name}.bare_percent", left_bare),),
                    ),
                ),
            )
    shares = {
        zone.get("name"): zone["share_percent"]
        for zone in zones(answers)
        if _positive(zone.get("share_percent"))
    }
    together = sum(map(float, shares.values()))
    if together > _ALL:
        last = list(shares)[-1]
        yield Conflict(
            "shares",
            f"The parts together make {together:g} % of the field. Shall I ask for the size of the last "
            "part again?",
            (
                (f"yes, ask again for {last}", ((f"zone:{last}.share_percent", DROP),)),
                (
                    "no, ask again for all parts",
                    tuple((f"zone:{name}.share_percent", DROP) for name in shares),
                ),
            ),
        )


def _larger_than_the_field(answers: Answers) -> Iterator[Conflict]:
    whole = _amount(at(answers, "field.area_m2"))
    for zone in zones(answers):
        name, area = zone.get("name", WHOLE_FIELD), _amount(zone.get("area_m2"))
        if 0 < whole < area:
            yield Conflict(
                f"larger:{name}",
                f"{name} is {area:,g} m², but the field is {whole:,g} m². Which shall I ask again?",
                (
                    (f"the size of {name}", ((f"zone:{name}.area_m2", DROP),)),
                    ("the size of the field", (("field.area_m2", DROP),)),
                ),
            )


def _positive(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and value > 0


def _amount(value: Any) -> float:
    return float(value) if _positive(value) else 0.0


def edit(answers: Answers, edits: Edits) -> None:
    """Applies what a reading of a conflict changes."""
    for key, value in edits:
        if key.startswith("zone:"):
            name, _, inner = key.removeprefix("zone:").rpartition(".")
            zone = zone_of(answers, name)
            if zone is not None:
                set_key(zone, inner, value)
        else:
            set_key(answers, key, value)
