"""The answers as one nested table in the layout of a situation file: reading, writing, checking, showing them."""

from __future__ import annotations

import copy
import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from decide.parse.months import say_day
from decide.parse.results import DONT_KNOW, FieldShare, Sum
from decide.parse.wording import say_value
from decide.shell.tools import Answers, Question

WHOLE_FIELD: Final = "whole field"
_SHOWN: Final = ("sport", "hours_per_week", "months", "players", "class", "date")
_HIDDEN: Final = ("latitude", "longitude", "hemisphere")
DROP: Final = object()


def zones(answers: Answers) -> list[dict[str, Any]]:
    """The zones that were named, in order."""
    found = answers.get("zone")
    return [zone for zone in found if isinstance(zone, dict)] if isinstance(found, list) else []


def zone_of(answers: Answers, name: str | None) -> dict[str, Any] | None:
    """The zone of that name; the only one where no name is given."""
    rows = zones(answers)
    if name is None:
        return rows[0] if len(rows) == 1 else None
    return next((zone for zone in rows if zone.get("name") == name), None)


def get(answers: Answers, question: Question) -> Any:
    """The answer to a question, or None."""
    if question.part is not None:
        row, key = question.part
        rows = _rows(answers, question.key, question.zone)
        return rows[row].get(key) if row < len(rows) else None
    if question.key.startswith("zone."):
        zone = zone_of(answers, question.zone)
        return None if zone is None else zone.get(question.key.removeprefix("zone."))
    found = at(answers, question.key)
    if found is None and question.kind == "place" and isinstance(at(answers, "place.latitude"), float):
        return answers["place"]
    return found


def at(answers: Answers, key: str) -> Any:
    """The value under a dotted key, or None."""
    found: Any = answers
    for part in key.split("."):
        if not isinstance(found, dict) or part not in found:
            return None
        found = found[part]
    return found


def _rows(answers: Answers, key: str, zone: str | None) -> list[dict[str, Any]]:
    if key.startswith("zone."):
        place = zone_of(answers, zone)
        found = None if place is None else place.get(key.removeprefix("zone."))
    else:
        found = at(answers, key)
    return [row for row in found if isinstance(row, dict)] if isinstance(found, list) else []


def _set(answers: Answers, key: str, value: Any) -> None:
    *tables, last = key.split(".")
    inner: dict[str, Any] = answers
    for name in tables:
        below = inner.get(name)
        if not isinstance(below, dict):
            below = inner[name] = {}
        inner = below
    if value is DROP:
        inner.pop(last, None)
    else:
        inner[last] = value


def put(answers: Answers, question: Question, value: Any) -> None:
    """Writes an answer in place, in the layout of the situation file."""
    key = question.key
    if question.part is not None:
        row, name = question.part
        rows = _rows(answers, key, question.zone)
        for number, table in enumerate(rows):
            if number == row or row < 0:
                table[name] = value
    elif key == "zone":
        _put_zones(answers, value)
    elif key.startswith("zone."):
        zone = zone_of(answers, question.zone)
        if zone is None:
            zone = {"name": question.zone or WHOLE_FIELD}
            answers.setdefault("zone", []).append(zone)
        name = key.removeprefix("zone.")
        if name == "area_m2":
            zone.pop("share_percent", None)
            if (
                zone.get("name") == WHOLE_FIELD
                and len(zones(answers)) == 1
                and not isinstance(value, FieldShare)
            ):
                _set(answers, "field.area_m2", value)
        if isinstance(value, FieldShare):
            zone.pop(name, None)
            zone["share_percent"] = value.percent
        elif name == "grass" and isinstance(value, list):
            before = (
                {row["grass"]: row for row in zone.get(name, []) if isinstance(row, dict)}
                if isinstance(zone.get(name), list)
                else {}
            )
            zone[name] = [before.get(grass, {"grass": grass}) for grass in value]
        else:
            zone[name] = value
    elif key == "offer" and isinstance(value, list):
        before = {row.get("what"): row for row in _rows(answers, key, None)}
        answers[key] = [before.get(what, {"what": what}) for what in value]
    elif key == "place.name" and isinstance(value, dict):
        kept = {name: inner for name, inner in (answers.get("place") or {}).items() if name not in _OF_PLACE}
        answers["place"] = {**kept, **value}
    elif isinstance(value, Sum):
        _set(answers, key, value.amount)
        if value.currency is not None:
            _set(answers, key.rpartition(".")[0] + ".currency", value.currency)
    else:
        _set(answers, key, value)
        lone = zones(answers)
        if key == "field.area_m2" and len(lone) == 1 and lone[0].get("name") == WHOLE_FIELD:
            lone[0]["area_m2"] = value


_OF_PLACE: Final = ("name", "country", "region", "latitude", "longitude", "hemisphere")


def _put_zones(answers: Answers, value: Any) -> None:
    names = [WHOLE_FIELD] if value == DONT_KNOW or not isinstance(value, list) else value
    before = {zone.get("name"): zone for zone in zones(answers)}
    rows = [before.get(name, {"name": name}) for name in names]
    lone = zones(answers)
    if len(rows) == 1 and len(lone) == 1 and rows[0] is not lone[0]:
        rows = [{**lone[0], "name": names[0]}]
    answers["zone"] = rows


def answered(answers: Answers, questions: tuple[Question, ...]) -> list[Question]:
    """The questions that have an answer ("don't know" counts), zone questions once for each zone."""
    out: list[Question] = []
    for question in questions:
        if question.key.startswith("zone."):
            out += [
                question.at(zone["name"])
                for zone in zones(answers)
                if get(answers, question.at(zone["name"])) is not None
            ]
        elif get(answers, question) is not None:
            out.append(question)
    return out


def count(answers: Answers, questions: tuple[Question, ...]) -> int:
    """How many answers there are."""
    return len(answered(answers, questions))


def shown(question: Question, value: Any) -> str:
    """An answer in the words of its question."""
    if value == DONT_KNOW:
        return DONT_KNOW
    words = {_hashable(choice.value): choice.shown for choice in (*question.choices, *question.more)}

    def one(item: Any) -> str:
        if isinstance(item, dict):
            keys = [key for key in _SHOWN if key in item] + [
                key for key in item if key not in (*_SHOWN, *_HIDDEN)
            ]
            return ", ".join(_inner(words, key, item[key]) for key in keys)
        found = words.get(_hashable(item))
        return found if found is not None else say_value(item, question.unit)

    if question.key == "zone" and isinstance(value, list):
        return ", ".join(str(zone.get("name", "")) if isinstance(zone, dict) else str(zone) for zone in value)
    if question.kind == "months":
        return say_value(value)
    if question.kind == "date" and isinstance(value, str):
        return _date_words(value)
    if question.kind == "yesno":
        return say_value(value)
    if isinstance(value, list):
        parts = [one(item) for item in value]
        return ("; " if any("," in part for part in parts) else ", ").join(parts) or "none"
    if question.kind == "place" and isinstance(value, dict):
        return str(value["name"]) if "name" in value else say_value(value)
    return one(value)


def _inner(words: dict[Any, str], key: str, value: Any) -> str:
    if key == "date" and isinstance(value, str):
        return _date_words(value)
    if key == "hours_per_week":
        return say_value(value, "h/week")
    found = words.get(_hashable(value))
    return found if found is not None else say_value(value)


def _date_words(value: str) -> str:
    try:
        return say_day(dt.date.fromisoformat(value))
    except ValueError:
        return value


def _hashable(value: Any) -> Any:
    return (
        tuple(value)
        if isinstance(value, list)
        else (type(value).__name__, value)
        if isinstance(value, bool)
        else value
        if isinstance(value, (str, int, float))
        else None
    )


def label(question: Question) -> str:
    """The question with the zone that it is about."""
    if question.zone is not None and question.zone != WHOLE_FIELD:
        return f"{question.zone}: {question.ask}"
    return question.ask


def missing_part(answers: Answers, questions: tuple[Question, ...]) -> Question | None:
    """What is still missing in a row of uses, sprays or grasses: hours, months, class, date, state; None where nothing is."""
    by_key = {question.key: question for question in questions}
    for row, use in enumerate(_rows(answers, "use", None)):
        asked = by_key.get("use")
        if asked is not None:
            sport = shown(asked, use["sport"]) if "sport" in use else "this use"
            for key, make in _USE_PARTS.items():
                if key not in use:
                    return make(asked, row, sport)
    for row, spray in enumerate(_rows(answers, "history.herbicides", None)):
        asked = by_key.get("history.herbicides")
        if asked is not None:
            if "class" not in spray:
                return Question(
                    asked.key,
                    "spray-kind",
                    "What was it for?",
                    asked.why,
                    "choice",
                    asked.choices,
                    asked.more,
                    help=asked.help,
                    part=(row, "class"),
                )
            if "date" not in spray:
                return Question(
                    asked.key, "spray-date", "When was that, roughly?", asked.why, "date", part=(row, "date"),
                    help="A month will do. Say don't know, and I count from today, the most careful reading.",
                )  # fmt: skip
    for zone in zones(answers):
        rows = _rows(answers, "zone.grass", zone.get("name"))
        asked = by_key.get("zone.grass")
        if asked is not None and rows and any("state" not in grass for grass in rows):
            return Question(
                asked.key, "grass-state", "Is that grass green now, asleep, or dead?",
                "Sleeping grass comes back on its own. Dead grass does not.", "choice", _STATES, zone=zone.get("name"), part=(-1, "state"),
                help="Cut through a brown plant at the soil. White and firm inside means asleep. Brown and dry means dead.",
            )  # fmt: skip
    return None


def _use_hours(asked: Question, row: int, sport: str) -> Question:
    return Question(
        "use", "hours", f"How many hours a week is it used for {sport}?", asked.why, "number", unit="h/week", part=(row, "hours_per_week"),
        help="Add up training, matches and booked play in a usual week. A guess is better than nothing.",
    )  # fmt: skip


def _use_months(asked: Question, row: int, sport: str) -> Question:
    return Question(
        "use", "months", f"In which months is it used for {sport}?", asked.why, "months", part=(row, "months"),
        help="Say September to May, or all year but July.",
    )  # fmt: skip


def _use_players(asked: Question, row: int, sport: str) -> Question:
    return Question(
        "use",
        "players",
        f"Who plays {sport}: adults or youth?",
        asked.why,
        "choice",
        _PLAYERS,
        part=(row, "players"),
    )


def _use_sport(asked: Question, row: int, _sport: str) -> Question:
    return Question(
        "use",
        "sport",
        "Which sport is it?",
        asked.why,
        "choice",
        asked.choices,
        asked.more,
        part=(row, "sport"),
    )


def _choices(*rows: tuple[str, tuple[str, ...]]) -> tuple[Any, ...]:
    from decide.parse.results import AnswerChoice

    return tuple(AnswerChoice(value, say) for value, say in rows)


_PLAYERS: Final = _choices(
    ("adult", ("adults", "adult", "men", "women", "seniors", "grown-ups")),
    ("youth", ("youth", "children", "kids", "juniors", "pupils", "school", "under 16")),
)
_STATES: Final = _choices(
    ("green", ("green", "growing", "alive")),
    ("dormant", ("asleep: brown, white inside", "asleep", "dormant", "sleeping", "brown but alive")),
    ("dead", ("dead: brown all through", "dead", "brown and dry", "gone")),
)
_USE_PARTS: Final = {
    "sport": _use_sport,
    "hours_per_week": _use_hours,
    "months": _use_months,
    "players": _use_players,
}


@dataclass(frozen=True)
class Conflict:
    """Two answers that cannot both hold: what to ask back, and what each reading changes (key → value or DROP)."""

    code: str
    text: str
    readings: tuple[tuple[str, tuple[tuple[str, Any], ...]], ...]


def conflicts(answers: Answers, today: dt.date) -> Iterator[Conflict]:
    """What in the answers cannot all be true."""
    told = answers.get("means")
    means: dict[str, Any] = told if isinstance(told, dict) else {}
    water, tools = means.get("water"), means.get("equipment_own")
    own: list[Any] = tools if isinstance(tools, list) else []
    if water == "none":
        if _positive(means.get("flow_l_min")) or _positive(means.get("hose_reach_m")) or "hose" in own:
            edits: list[tuple[str, Any]] = [
                (f"means.{name}", DROP) for name in ("flow_l_min", "hose_reach_m") if name in means
            ]
            if "hose" in own:
                edits.append(("means.equipment_own", [tool for tool in own if tool != "hose"]))
            yield Conflict(
                "water-hose", "You said that the field cannot be watered, but also that there is a hose or a tap. Which holds?",
                (("it can be watered with a hose", (("means.water", "hand hose"),)), ("it cannot be watered", tuple(edits))),
            )  # fmt: skip
        if "travelling-sprinkler" in own:
            yield Conflict(
                "water-sprinkler", "You said that the field cannot be watered, but also that there is a travelling sprinkler. Which holds?",
                (
                    ("it can be watered with the sprinkler", (("means.water", "travelling sprinkler"),)),
                    ("it cannot be watered", (("means.equipment_own", [tool for tool in own if tool != "travelling-sprinkler"]),)),
                ),
            )  # fmt: skip
    play_by = at(answers, "dates.play_by")
    if isinstance(play_by, str):
        try:
            day = dt.date.fromisoformat(play_by)
        except ValueError:
            day = today
        if day < today:
            later = _later_year(day, today)
            yield Conflict(
                "play-by-past", f"{say_day(day)} is already past. Which day is meant?",
                ((say_day(later), (("dates.play_by", later.isoformat()),)), ("another day", (("dates.play_by", DROP),))),
            )  # fmt: skip
    if at(answers, "dates.can_close") == "locked":
        for zone in zones(answers):
            if zone.get("in_play") is True:
                name = zone.get("name", WHOLE_FIELD)
                yield Conflict(
                    f"shut-in-play:{name}", f"You said that the ground can be locked, but also that play must go on ({name}). Which holds?",
                    (
                        (f"play stops ({name})", ((f"zone:{name}.in_play", False),)),
                        ("play goes on there, the rest can be locked", ()),
                    ),
                )  # fmt: skip
    for zone in zones(answers):
        bare, weeds, name = (
            _amount(zone.get("bare_percent")),
            _amount(zone.get("weeds_percent")),
            zone.get("name", WHOLE_FIELD),
        )
        if bare + weeds > 100 and weeds <= 100 and bare <= 100:
            left, left_bare = round(100 - bare, 3), round(100 - weeds, 3)
            yield Conflict(
                f"bare-weeds:{name}", f"Bare ground and weeds together make {bare + weeds:g} % ({name}). Which number is right?",
                (
                    (f"bare {bare:g} %, so weeds at most {left:g} %", ((f"zone:{name}.weeds_percent", left),)),
                    (f"weeds {weeds:g} %, so bare at most {left_bare:g} %", ((f"zone:{name}.bare_percent", left_bare),)),
                ),
            )  # fmt: skip
    shares = [
        (zone.get("name"), zone["share_percent"])
        for zone in zones(answers)
        if _positive(zone.get("share_percent"))
    ]
    if sum(float(share) for _, share in shares) > 100:
        last = shares[-1]
        yield Conflict(
            "shares", f"The parts together make {sum(float(s) for _, s in shares):g} % of the field. Shall I ask for the size of the last part again?",
            ((f"yes, ask again for {last[0]}", ((f"zone:{last[0]}.share_percent", DROP),)), ("no, ask again for all parts", tuple((f"zone:{n}.share_percent", DROP) for n, _ in shares))),
        )  # fmt: skip
    whole = _amount(at(answers, "field.area_m2"))
    for zone in zones(answers):
        name, area = zone.get("name", WHOLE_FIELD), _amount(zone.get("area_m2"))
        if 0 < whole < area:
            yield Conflict(
                f"larger:{name}", f"{name} is {area:,g} m², but the field is {whole:,g} m². Which shall I ask again?",
                ((f"the size of {name}", ((f"zone:{name}.area_m2", DROP),)), ("the size of the field", (("field.area_m2", DROP),))),
            )  # fmt: skip


def _later_year(day: dt.date, today: dt.date) -> dt.date:
    for year in range(today.year, today.year + 9):
        try:
            later = day.replace(year=year)
        except ValueError:
            continue
        if later >= today:
            return later
    return today


def _positive(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and value > 0


def _amount(value: Any) -> float:
    return float(value) if _positive(value) else 0.0


def edit(answers: Answers, edits: tuple[tuple[str, Any], ...]) -> None:
    """Applies what a reading of a conflict changes."""
    for key, value in edits:
        if key.startswith("zone:"):
            name, _, inner = key.removeprefix("zone:").rpartition(".")
            zone = zone_of(answers, name)
            if zone is not None:
                _set(zone, inner, value)
        else:
            _set(answers, key, value)


def copied(answers: Answers) -> Answers:
    """A copy that shares nothing with `answers`."""
    return copy.deepcopy(answers)


def for_advice(answers: Answers, today: dt.date) -> Answers:
    """The answers as they are handed to the library: today's date filled in, rows without their key dropped."""
    out = copied(answers)
    dates = out.get("dates")
    if not isinstance(dates, dict):
        dates = out["dates"] = {}
    if dates.get("today") in (None, DONT_KNOW):
        dates["today"] = today.isoformat()
    sprays = _rows(out, "history.herbicides", None)
    for spray in sprays:
        if spray.get("class") in (None, DONT_KNOW):
            spray["class"] = "unknown"
        if spray.get("date") in (None, DONT_KNOW):
            spray["date"] = today.isoformat()
    return out
