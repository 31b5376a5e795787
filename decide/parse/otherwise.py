"""Reads "3 more weeks and a hose" as changes of the situation: every part is read, or the part that is not is
named.
"""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from decide.parse import numbers
from decide.parse.dates import read_date
from decide.parse.matching import key_of
from decide.parse.numbers import NumberTrouble
from decide.parse.otherwise_means import hours, machines, money, offers, people, shares, wettings
from decide.parse.otherwise_reader import CAN, LEAD, NOT, Found, Reader, told
from decide.parse.places import read_place
from decide.parse.plain import fold
from decide.parse.results import Setting, Understood
from decide.parse.speech import Speech


@dataclass(frozen=True)
class Otherwise:
    """What some words change: keys with values, what was taken for granted, and the parts that were
    not read.
    """

    changes: Mapping[str, Any] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()


_SPAN: Final = (
    r"(?P<n>an?|one|two|three|four|five|six|seven|eight|nine|ten|twelve|[0-9]+)\s+"
    r"(?P<more>(?:more|extra|further|additional|less|fewer)\s+)?(?P<unit>day|week|fortnight|month)s?"
)
_DAYS: Final = {"day": 1, "week": 7, "fortnight": 14, "month": 30}
_IT: Final = r"(?:it|the (?:field|ground|pitch|place|goalmouths?|middle|zone|part)|them)"


def read_changes(text: str, setting: Setting, speech: Speech, answers: Mapping[str, Any]) -> Otherwise:
    """The changes that some words mean, part by part; a part that means nothing, or two things, is named as
    not read.

    What counts from the answer before stands as that: {"plus_days": 21}, {"plus": 5}.
    """
    r = Reader(answers, setting, speech)
    said = " ".join(fold(text).strip(" .?!").split())
    changes: dict[str, Any] = {}
    notes: list[str] = []
    unread: list[str] = []
    whole = _part(r, said) if re.search(r",|\band\b", said) else None
    if whole is not None:
        return Otherwise(whole[0], (whole[1],) if whole[1] else ())
    parts = [
        part.strip()
        for part in re.split(
            r"\s*[,;]\s*(?:and\s+|but\s+)?|\s+and\s+|\s+but\s+|\s+plus\s+|\s+with\s+(?=an?\b|no\b)", said
        )
        if part.strip()
    ]
    for part in parts:
        found = _part(r, part)
        bare = LEAD.sub("", part).strip() or part
        if found is None:
            unread.append(bare)
            continue
        new, note = found
        if any(key in changes and changes[key] != value for key, value in new.items()):
            unread.append(bare)
            continue
        changes.update(new)
        notes += [note] if note else []
    return Otherwise(changes, tuple(notes), tuple(unread))


def _part(r: Reader, part: str) -> Found:
    zone, rest = _zone(r, part)
    bare = LEAD.sub("", rest).strip()
    for reader in (
        _as_key, _shut, _time, _first_use, machines, offers, people, money, hours, wettings,
        shares, _place, _words,
    ):  # fmt: skip
        for said in dict.fromkeys((rest, bare)):
            try:
                found = reader(r, said) if said else None
            except NumberTrouble:
                found = None
            if found is not None:
                return _at(found, zone)
    return None


def _zone(r: Reader, part: str) -> tuple[str, str]:
    """The zone that a part names, and the words without it."""
    for code, zone in r.zones.items():
        name = re.escape(fold(zone).removesuffix("s"))
        cut = re.sub(rf"\s*\b(?:in|on|at|for|of)?\s*(?:the\s+)?{name}s?\b", " ", part)
        if cut != part and len(r.zones) > 1:
            return code, " ".join(cut.split())
    return "", part


def _at(found: tuple[dict[str, Any], str], zone: str) -> Found:
    """The changes in the zone that was named; None where a zone was named for what is not of a zone."""
    if not zone:
        return found
    if not any(key.startswith("zone.") for key in found[0]):
        return None
    return {
        (f"zone.{zone}.{key.removeprefix('zone.')}" if key.startswith("zone.") else key): value
        for key, value in found[0].items()
    }, found[1]


# ---------- readers: the whole of a part, or None ----------
def _as_key(_: Reader, said: str) -> Found:
    """A key of the situation file with its value: means.water = "hand hose"."""
    match = re.fullmatch(r"([a-z_]+(?:\.[a-z0-9_\-]+)+)\s*(?:=|\bis\b|\bwere\b|\bto\b)\s*(.+)", said)
    if match is None:
        return None
    try:
        value = tomllib.loads(f"value = {match[2]}")["value"]
    except tomllib.TOMLDecodeError:
        value = match[2].strip("\"'")
    return {match[1]: value.isoformat() if isinstance(value, dt.date) else value}, ""


def _shut(r: Reader, said: str) -> Found:
    until = r"(?:\s+(?P<how>until|till|for|by)\s+(?P<when>.+))?"
    if re.fullmatch(
        rf"{NOT} (?:be )?(?:shut|close|closed|lock|keep (?:people|everybody|them) off) ?{_IT}?"
        r"|(?:it|the \w+) (?:stayed|stays|is|were|was) (?:in play|open|in use)"
        r"|(?:stayed|kept|stay) (?:in play|open|in use)",
        said,
    ):
        return {"zone.in_play": True, "dates.can_close": "no"}, ""
    match = re.fullmatch(
        rf"(?:{CAN}(?:shut|close|lock|fence)(?:ed|d)?(?: off| up)? {_IT}(?: off| up)?"
        r"|nobody (?:played|plays|could play|was on it)"
        rf"|{_IT} (?:was|were|could be|is) (?:shut|closed|locked)|shut|closed|locked"
        rf"|{CAN}(?:rest|rested) {_IT}){until}",
        said,
    )
    if match is None:
        return None
    changes: dict[str, Any] = {"zone.in_play": False, "dates.can_close": "locked"}
    last = _until(r, match["how"], match["when"])
    if match["when"] and last is None:
        return None
    if last is None:
        return changes, "I take it that it can be locked, and that no part of it stays in play."
    today = r.setting.today
    held = told(r.answers, "dates", "no_play") or []
    return {
        **changes,
        "dates.no_play": [*held, {"from": today.isoformat(), "until": last.isoformat()}],
    }, ""


def _until(r: Reader, how: str | None, when: str | None) -> dt.date | None:
    if not when:
        return None
    result = read_date(f"in {when}" if how == "for" else when, r.setting)
    return dt.date.fromisoformat(str(result.value)) if isinstance(result, Understood) else None


def _time(r: Reader, said: str) -> Found:
    if re.fullmatch(
        r"(?:the )?(?:date|day|deadline|match|opening) (?:could|can|might|may) "
        r"(?:move|slip|be moved|be later|change)"
        r"|(?:the )?(?:date|day|deadline) (?:was|were|is) (?:not firm|not fixed|free|open)",
        said,
    ):
        return {"dates.play_by_firm": False}, ""
    if re.fullmatch(
        r"(?:the )?(?:date|day|deadline) (?:was|were|is) (?:firm|fixed)"
        r"|(?:the )?(?:date|day|deadline) (?:could not|cannot|can't|couldn't) "
        r"(?:move|slip|be moved|change)",
        said,
    ):
        return {"dates.play_by_firm": True}, ""
    match = re.fullmatch(
        rf"(?:{CAN}(?:wait|waited|open|opened|start|started|play|played)\s+"
        r"|(?:the )?(?:date|day|deadline|opening|match) (?:was|were|is|came|could be)\s+"
        rf"|(?:to )?(?:be|come)\s+)?{_SPAN}"
        r"(?:\s+(?P<side>more|longer|later|extra|earlier|sooner|less|shorter|further))?"
        r"(?:\s+(?:of )?time)?",
        said,
    )
    if match:
        side = (match["side"] or match["more"] or "").strip()
        if not side:
            return None
        count = ((1.0,), 1) if match["n"] in ("a", "an") else numbers.figure(numbers.tokens(match["n"]), 0)
        if count is None:
            return None
        days = round(count[0][0] * _DAYS[match["unit"]]) * (
            -1 if side in ("earlier", "sooner", "less", "shorter", "fewer") else 1
        )
        return {"dates.play_by": {"plus_days": days}}, ""
    match = re.fullmatch(
        r"(?:(?:we|i|they|it|the (?:field|ground|pitch|date|day|deadline|match|opening))\s+)?"
        r"(?:(?:had|have|were|was|is|wanted|needed|want|need|could wait|waited|wait|open|opened|came"
        r"|moved|be)\s+)*(?:(?:wanted|needed|ready|it|set|moved|back)\s+)*"
        r"(?P<how>until|till|by|on|to|for)\s+(?P<when>.+)"
        r"|(?:the )?(?:date|day|deadline) (?:was|were|is) (?P<day>.+)",
        said,
    )
    if match:
        result = read_date(match["when"] or match["day"], r.setting)
        if isinstance(result, Understood):
            return {"dates.play_by": str(result.value)}, result.note
    return None


def _first_use(_: Reader, said: str) -> Found:
    match = re.fullmatch(
        r"(?:it (?:was|were|is) |wanted |needed |we |only |just |first |for |to )*"
        r"(?P<use>train|trained|training|light use|play matches|matches|games|fixtures|full play)"
        r"(?: only| first)?",
        said,
    )
    if match is None:
        return None
    return {
        "dates.first_use": "training"
        if match["use"] in ("train", "trained", "training", "light use")
        else "matches"
    }, ""


def _place(r: Reader, said: str) -> Found:
    match = re.fullmatch(
        r"(?:it |we |the field |the ground )?(?:were |was |is |lay |lived |are )?(?:in|near) "
        r"(?P<where>[a-z' .\-]{3,60})",
        said,
    )
    if match is None:
        return None
    result = read_place(match["where"], r.setting)
    if (
        not isinstance(result, Understood)
        or not isinstance(result.value, dict)
        or "latitude" not in result.value
    ):
        return None
    place = result.value
    return {
        "place.name": place["name"],
        "place.latitude": place["latitude"],
        "place.longitude": place["longitude"],
        "place.country": place["country"],
        "place.region": place.get("region"),
    }, ""


def _words(r: Reader, said: str) -> Found:
    """An answer in the words of one of the questions; None where two questions have it."""
    wanted = key_of(said)
    if not wanted:
        return None
    found: dict[str, Any] = {}
    for question in r.speech.questions:
        for choice in question.choices:
            own = [*choice.say, *([str(choice.value)] if isinstance(choice.value, str) else [])]
            if (
                question.kind in ("choice", "list")
                and any(key_of(name) == wanted and len(fold(name)) > 3 for name in own)
                and question.key != "offer"
            ):
                found.setdefault(question.key, choice.value)
    if wanted in (("no", "water"), ("water", "no")):
        found = {"means.water": "none"}
    banned = re.fullmatch(
        r"(?P<what>watering|weed ?killers?|pesticides|spraying) (?:was|were|is|are) (?P<not>not )?"
        r"(?P<how>banned|allowed)(?: here)?",
        said,
    )
    if banned:
        law = "limits.water_law" if banned["what"] == "watering" else "limits.pesticides"
        free = (banned["how"] == "allowed") is not bool(banned["not"])
        return {law: "banned" if not free else "none" if law == "limits.water_law" else "allowed"}, ""
    if len(found) != 1:
        found = {key: value for key, value in found.items() if key in ("means.water", "field.soil")}
    if len(found) != 1:
        return None
    (key, value), *_ = found.items()
    question = next(each for each in r.speech.questions if each.key == key)
    if question.kind == "list":
        table, _, inner = key.partition(".")
        held = told(r.answers, table, inner) or []
        value = (
            [{"grass": value, "state": "green"}]
            if key == "zone.grass"
            else ["none"]
            if value == "none"
            else [*[each for each in held if each not in ("none", value)], value]
        )
    return {key: value}, ""


def counted(changes: Mapping[str, Any], before: Mapping[str, Any]) -> dict[str, Any]:
    """Changes of which those that count from an answer are counted; `before` has the answers by the same
    keys. One that has none to count from is left out.
    """
    out: dict[str, Any] = {}
    for key, value in changes.items():
        now = before.get(key)
        if not isinstance(value, Mapping):
            out[key] = value
        elif "plus_days" in value and now is not None:
            day = now if isinstance(now, dt.date) else dt.date.fromisoformat(str(now))
            out[key] = (day + dt.timedelta(days=value["plus_days"])).isoformat()
        elif "plus" in value and isinstance(now, (int, float)):
            out[key] = max(0, now + value["plus"])
        elif "times" in value and isinstance(now, (int, float)):
            out[key] = now * value["times"]
        elif "without" in value and isinstance(now, (list, tuple)):
            out[key] = [each for each in now if each not in value["without"]]
    return out
