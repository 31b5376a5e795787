"""A finished consultation with some answers changed: how a change is written, said, and run again."""

from __future__ import annotations

import copy
import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, Final, get_args

from pydantic import BaseModel

from decide.decision.diagnosis import Diagnosis
from decide.engine.language import FactType
from decide.knowledge.speaker import Speaker
from decide.knowledge.tables import Knowledge
from decide.model.errors import DecideError, meant
from decide.model.situation import Situation, Zone
from decide.model.written import DONT_KNOW, coded
from decide.parse.otherwise_reader import HOURS_OF_USE
from decide.questions.answers import Answers

Changes = Mapping[str, Any]
# What a new answer makes void: other ways in which the same thing was told.
_VOID: Final[Mapping[str, tuple[str, ...]]] = {
    "field.area_m2": ("field.length_m", "field.width_m"), "zone.area_m2": ("zone.share_percent",),
    "zone.share_percent": ("zone.area_m2",),
    "place.name": (
        "place.latitude", "place.longitude", "place.hemisphere", "place.country", "place.region",
        "place.monthly_mean_c", "place.monthly_rain_mm", "place.warmest_month_c", "place.coldest_month_c",
        "place.altitude_m", "place.last_frost", "place.first_frost",
    ),
}  # fmt: skip
_OF_WATER: Final = (
    "means.flow_l_min",
    "means.hose_reach_m",
    "means.wettings_weekday",
    "means.wettings_weekend",
    "means.watering_hours_day",
    "means.water_quality",
)


# Where the meaning of a key is no name for it.
_ABOUT: Final = {
    "zone.bare_pattern": "the bare ground lies", "means.budget": "money",
    "dates.play_by": "the field is wanted by", "dates.play_by_firm": "the date is firm",
    "dates.can_close": "the ground can be shut", "means.flow_l_min": "flow of the tap",
    "dates.no_play": "nobody plays", "means.helpers": "helpers",
}  # fmt: skip


@dataclass(frozen=True)
class Change:
    """One answer that is another: its key in the situation file, the value before (None: not told) and after,
    and both in words.
    """

    key: str
    before: Any
    after: Any
    text: str


def _model(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((found for part in get_args(annotation) if (found := _model(part))), None)


def _known_keys() -> dict[str, str]:
    """Every key that can be changed, with what it is about."""
    known: dict[str, str] = {HOURS_OF_USE: "hours of play a week"}
    for name, field in Situation.model_fields.items():
        model = _model(field.annotation)
        if name == "proposal" or model is None:
            continue
        if name in ("use", "offer"):
            known[name] = {"use": "who plays, and when", "offer": "what can be bought"}[name]
            continue
        for key, inner in model.model_fields.items():
            if not (model is Zone and key == "name"):
                known[f"{name}.{key}"] = inner.description or key.replace("_", " ")
    return known | _ABOUT


KEYS: Final[Mapping[str, str]] = _known_keys()


def plain_key(key: str) -> str:
    """A key without its zone: zone.goalmouths.bare_percent is zone.bare_percent."""
    parts = key.split(".")
    return f"zone.{parts[-1]}" if parts[0] == "zone" and len(parts) == 3 else key


def key_words(k: Knowledge, key: str) -> str:
    """What a key is about, in a few words."""
    plain = plain_key(key)
    return (k.language.key(plain) or KEYS.get(plain, key)).split(";")[0].split(":")[0]


def check_key(key: str) -> None:
    """DecideError where no such answer can be changed."""
    if plain_key(key) not in KEYS:
        raise DecideError(
            f"there is no answer {key!r}",
            where="what if",
            instead=meant(key, KEYS) or "Write a key of the situation file, such as means.water",
        )


def value_of(answers: Mapping[str, Any], key: str) -> Any:
    """What was answered; None where nothing was."""
    if key == HOURS_OF_USE:
        hours = [use.get("hours_per_week") for use in answers.get("use") or [] if isinstance(use, dict)]
        known = [each for each in hours if isinstance(each, (int, float))]
        return max(known) if known else None
    parts = key.split(".")
    if parts[0] == "zone":
        rows = [
            zone
            for zone in answers.get("zone") or []
            if len(parts) == 2 or coded(str(zone.get("name", ""))) == parts[1]
        ]
        held = [zone.get(parts[-1]) for zone in rows if zone.get("keep_off") is not True or len(parts) == 3]
        return held[0] if held else None
    found: Any = answers
    for part in parts:
        found = found.get(part) if isinstance(found, Mapping) else None
    return None if found == DONT_KNOW else found


def with_changes(answers: Mapping[str, Any], changes: Changes) -> Answers:
    """A copy of the answers with these changed; a value of None takes the answer out. DecideError for a key
    that there is not.
    """
    out: Answers = copy.deepcopy(dict(answers))
    for key, value in changes.items():
        check_key(key)
        no_water = _OF_WATER if (plain_key(key), value) == ("means.water", "none") else ()
        for void in (*_VOID.get(plain_key(key), ()), *(each for each in no_water if each not in changes)):
            _set(
                out,
                f"zone.{key.split('.')[1]}.{void.rpartition('.')[2]}" if key.count(".") == 2 else void,
                None,
            )
        _set(out, key, value.isoformat() if isinstance(value, dt.date) else copy.deepcopy(value))
    return out


def _set(out: Answers, key: str, value: Any) -> None:
    if key == HOURS_OF_USE:
        for use in out.get("use") or [{}]:
            if value is not None and (
                use.get("hours_per_week") is None
                or use["hours_per_week"] > value
                or len(out.get("use") or []) == 1
            ):
                use["hours_per_week"] = value
        return
    parts = key.split(".")
    tables: Iterable[dict[str, Any]]
    if parts[0] == "zone":
        rows = out.get("zone") or []
        tables = [
            zone
            for zone in rows
            if (
                coded(str(zone.get("name", ""))) == parts[1]
                if len(parts) == 3
                else zone.get("keep_off") is not True
            )
        ]
        if not rows and len(parts) == 2:
            out["zone"] = tables = [{"name": "whole field"}]
        if not tables:
            raise DecideError(
                f"there is no zone {parts[1]!r}",
                where="what if",
                instead=meant(parts[1], [coded(str(zone.get("name", ""))) for zone in rows]),
            )
    elif len(parts) == 1:
        tables = [out]
    else:
        if not isinstance(out.get(parts[0]), dict):
            out[parts[0]] = {}
        tables = [out[parts[0]]]
    for table in tables:
        if value is None:
            table.pop(parts[-1], None)
        else:
            table[parts[-1]] = value


# ---------- in words ----------
def told_type(types: Mapping[str, FactType], key: str) -> FactType | None:
    """The told fact that an answer gives as it stands, if it gives one."""
    wanted = plain_key(key)
    return next((kind for kind in types.values() if kind.told == wanted), None)


def say_value(say: Speaker, types: Mapping[str, FactType], key: str, value: Any) -> str:
    """An answer in words."""
    if value is None:
        return say.knowledge.text("change-not-told")
    if key == HOURS_OF_USE:
        return f"{value:g}"
    if isinstance(value, bool):
        return say.knowledge.text("yes" if value else "no")
    if isinstance(value, str):
        try:
            return say.language.day(dt.date.fromisoformat(value))
        except ValueError:
            pass
    if isinstance(value, list):
        return (
            say.language.listed([_item(say, each) for each in value])
            if value
            else say.knowledge.text("change-none")
        )
    if isinstance(value, Mapping):
        return _item(say, value)
    kind = told_type(types, key)
    return (
        say.fact(kind, coded(value) if isinstance(value, str) else float(value))
        if kind is not None
        else say.language.named("level", str(value))
    )


def _item(say: Speaker, item: Any) -> str:
    if not isinstance(item, Mapping):
        return say.language.named("level", str(item))
    if "from" in item and "until" in item:
        start, until = (dt.date.fromisoformat(str(item[key])) for key in ("from", "until"))
        return say.language.range(say.language.day(start), say.language.day(until))
    return " ".join(
        say.language.named("level", str(each))
        for key, each in item.items()
        if key in ("what", "name", "sport", "grass", "hours_per_week")
    )


def say_change(c: Diagnosis, key: str, before: Any, after: Any) -> str:
    """A change in words: what it is about, and the new answer instead of the old one."""
    about, parts = key_words(c.knowledge, key), key.split(".")
    where = (
        f" ({c.zones[parts[1]].name})" if len(parts) == 3 and parts[1] in c.zones and len(c.zones) > 1 else ""
    )
    new, old = (say_value(c.say, c.types, key, value) for value in (after, before))
    if (
        isinstance(after, list)
        and isinstance(before, list)
        and after[: len(before)] == before
        and before
        and len(after) > len(before)
    ):
        return f"{about}{where}: " + c.knowledge.text(
            "change-also", new=say_value(c.say, c.types, key, after[len(before) :])
        )
    if before == after:
        return f"{about}{where}: {c.knowledge.text('change-as-now', new=new)}"
    return f"{about}{where}: {new}" + ("" if before is None else c.knowledge.text("change-instead", old=old))


def change_of(c: Diagnosis, answers: Mapping[str, Any], key: str, value: Any) -> Change:
    """A change with both values and its words. DecideError for a key that there is not."""
    check_key(key)
    before = value_of(answers, key)
    after = value.isoformat() if isinstance(value, dt.date) else value
    return Change(key, before, after, say_change(c, key, before, after))


def as_data(result: Any) -> Any:
    """A result as plain tables, for JSON: dates as texts, dataclasses as tables."""
    if is_dataclass(result) and not isinstance(result, type):
        return {
            field.name: as_data(getattr(result, field.name))
            for field in fields(result)
            if not field.name.startswith("_")
        }
    if isinstance(result, Mapping):
        return {
            str(key): as_data(value) for key, value in sorted(result.items(), key=lambda row: str(row[0]))
        }
    if isinstance(result, (set, frozenset)):
        return sorted(as_data(each) for each in result)
    if isinstance(result, (list, tuple)):
        return [as_data(each) for each in result]
    if isinstance(result, dt.date):
        return result.isoformat()
    return result
