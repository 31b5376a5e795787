"""Reads a situation from text or from a nested table; every mistake says its place and what to write
instead.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from enum import Enum
from typing import Any, Final, get_args

from pydantic import BaseModel, ValidationError

from decide.model.contradictions import contradictions
from decide.model.errors import SituationError, meant
from decide.model.situation import Situation
from decide.model.toml_lines import Lines, TomlError, toml_table, too_deep
from decide.model.written import clean, levels_of, us_keys

MOST_BYTES: Final = 1_000_000


def path_of(loc: tuple[Any, ...]) -> str:
    """A path in words: zone[1].grass."""
    text = ""
    for part in loc:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if text else str(part)
    return text


def model_at(loc: tuple[Any, ...], root: type[BaseModel] = Situation) -> type[BaseModel] | None:
    """The model that holds the last name of `loc`, from `root` down."""
    model = root
    for part in loc[:-1]:
        if isinstance(part, int):
            continue
        field = model.model_fields.get(str(part)) or next(
            (f for f in model.model_fields.values() if f.alias == part), None
        )
        if field is None:
            return None
        inner = _model_in(field.annotation)
        if inner is None:
            return None
        model = inner
    return model


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for part in get_args(annotation):
        if found := _model_in(part):
            return found
    return None


def keys_of(model: type[BaseModel]) -> list[str]:
    """The keys of a table, as they are written."""
    return [field.alias or name for name, field in model.model_fields.items()]


def told_loc(error: Mapping[str, Any]) -> tuple[Any, ...]:
    """The path of an error by keys alone, without the types that were tried on the way; a key that is unknown
    stays, whatever it is.
    """
    loc: tuple[Any, ...] = error["loc"]
    last = len(loc) - 1 if error["type"] == "extra_forbidden" else len(loc)
    return tuple(
        part
        for place, part in enumerate(loc)
        if place == last or not (isinstance(part, str) and ("[" in part or part in ("list", "float", "str")))
    )


def in_words(
    error: Mapping[str, Any], loc: tuple[Any, ...], root: type[BaseModel] = Situation
) -> tuple[str, str]:
    """What is wrong with one value and what to write instead, in plain words."""
    kind, value, extra = error["type"], error.get("input"), error.get("ctx") or {}
    shown = clean(str(value))[:40] if isinstance(value, (str, int, float, bool, dt.date)) else "this"
    model = model_at(loc, root)
    if kind == "extra_forbidden":
        known = keys_of(model) if model else []
        twins = [us_key for us_key, *_ in us_keys(dict.fromkeys(known))]
        key = str(loc[-1])
        return f"{key!r} is not a key here", meant(key, [*known, *twins]) or "Known keys: " + ", ".join(
            sorted(known)
        )
    if kind == "missing":
        return f"{loc[-1]!r} is missing", "Write it, or leave the whole table out"
    if kind == "literal_error":
        field = model.model_fields.get(str(loc[-1])) if model else None
        words = (
            levels_of(field.annotation)
            if field
            else tuple(re.findall(r"'([^']*)'", str(extra.get("expected", ""))))
        )
        return f"{shown!r} is not one of its words", meant(shown, words) or "Write one of: " + ", ".join(
            words
        )
    if kind in ("less_than_equal", "greater_than_equal", "less_than", "greater_than"):
        bound = extra.get("le", extra.get("ge", extra.get("lt", extra.get("gt"))))
        side = "at most" if "less" in kind else "at least"
        unit = str(loc[-1]).rpartition("_")[2]
        return f"{shown} is out of range", f"It is {side} {bound:g}; check the unit ({unit})"
    if kind in ("float_parsing", "float_type", "int_parsing", "int_type", "int_from_float"):
        return f"{shown!r} is not a number", "Write a plain number; the unit stands in the key's name"
    if kind in ("bool_parsing", "bool_type"):
        return f"{shown!r} is neither true nor false", "Write true or false without quotes"
    if kind in ("list_type",):
        return "this takes a list", 'Write it in brackets: ["…", "…"]'
    if kind == "too_long":
        return (
            f"this list has {extra.get('actual_length')} entries",
            f"It may have {extra.get('max_length')}; join those that are alike",
        )
    if kind == "too_short":
        return (
            f"this list has {extra.get('actual_length')} entries",
            f"It needs {extra.get('min_length', extra.get('max_length'))}",
        )
    if kind in ("model_type", "model_attributes_type", "dict_type"):
        return (
            f"{shown!r} stands where a table belongs",
            f"Write [{next(part for part in reversed(loc) if isinstance(part, str))}] on a line of its "
            "own and its keys below",
        )
    if kind == "finite_number":
        return "this is not a finite number", "Write a plain number"
    if kind == "value_error":
        first, _, rest = str(extra.get("error", "")).partition("; ")
        said = first if not isinstance(value, str) else f"{shown!r} {first}"
        return said, (rest[:1].upper() + rest[1:]) if rest else ""
    if kind == "string_pattern_mismatch":
        return f"{shown!r} does not have the right form", "See the key's meaning in the README"
    return f"{shown!r}: {str(error['msg']).lower()}", ""


def situation_from_dict(
    data: Mapping[str, Any], lines: Lines | None = None, name: str = "situation"
) -> Situation:
    """The situation that a nested table gives.

    SituationError says the first thing that is wrong and its place, and holds all that is wrong as
    `problems`. `lines` gives line numbers where the table was read from a file called `name`.
    """
    _check_keys(data, name)
    form = data.get("schema")
    if isinstance(form, str) and form.startswith("advice/"):
        raise SituationError(
            f"this is an advice ({clean(form)}) and no situation",
            where=name,
            instead="Give the situation from which it was made",
        )
    try:
        situation = Situation.model_validate(data)
    except ValidationError as error:
        problems = list(_problems(error, data, lines, name))
        first, more = problems[0], len(problems) - 1
        tail = f" ({more} more below it)" if more else ""
        raise SituationError(
            first.wrong, where=first.where, instead=(first.instead + tail).strip(), problems=problems
        ) from None
    except RecursionError:
        raise SituationError(
            "the tables are nested too deeply", where=name, instead="Write the keys as the README lists them"
        ) from None
    problems = []
    for wrong in contradictions(situation):
        said, _, instead = wrong.partition("; ")
        problems.append(SituationError(said, where=name, instead=instead[:1].upper() + instead[1:]))
    if problems:
        first = problems[0]
        raise SituationError(first.wrong, where=first.where, instead=first.instead, problems=problems)
    return situation


def situation_from_objects(**tables: object) -> Situation:
    """The situation that objects give: one for each table, as `place=`, `dates=`, `field=`, and lists for
    `zone=` and `use=`.

    Each may be a mapping, a dataclass, a named tuple or any object with attributes of the keys' names; None
    is left out. SituationError lists all that is wrong, one a line, and holds each as one of its `problems`.
    """
    try:
        return situation_from_dict({key: _plain(table) for key, table in tables.items() if table is not None})
    except SituationError as error:
        raise SituationError("\n".join(map(str, error.problems)), problems=error.problems) from None


def _plain(thing: object) -> object:
    """The nested tables, lists and values that an object stands for."""
    if isinstance(thing, Enum):
        return _plain(thing.value)
    if thing is None or isinstance(thing, (str, bool, int, float, dt.date, dt.time)):
        return thing
    if isinstance(thing, BaseModel):
        return _plain(thing.model_dump(exclude_unset=True, by_alias=True))
    if dataclasses.is_dataclass(thing):
        thing = {each.name: getattr(thing, each.name) for each in dataclasses.fields(thing)}
    elif hasattr(thing, "_asdict"):
        thing = thing._asdict()
    if isinstance(thing, Mapping):
        return {key: _plain(value) for key, value in thing.items() if value is not None}
    if isinstance(thing, Iterable):
        return [_plain(each) for each in thing]
    return _plain(vars(thing)) if hasattr(thing, "__dict__") else thing


def _check_keys(data: object, name: str) -> None:
    """SituationError where a table is none, or has a key that is no text."""
    if not isinstance(data, Mapping):
        raise SituationError(
            f"{clean(str(data))[:40]!r} stands where the tables belong",
            where=name,
            instead='Give a table, as {"place": {"name": "…"}}',
        )
    todo: list[object] = [data]
    while todo:
        one = todo.pop()
        if isinstance(one, Mapping):
            for key in one:
                if not isinstance(key, str):
                    raise SituationError(
                        f"the key {key!r} is no text", where=name, instead="Write the key's name"
                    )
            todo += one.values()
        elif isinstance(one, (list, tuple)):
            todo += one


def _problems(
    error: ValidationError, data: Mapping[str, Any], lines: Lines | None, name: str
) -> Iterator[SituationError]:
    """All that is wrong, each place once."""
    # Keys of a field that is not parted stand under [field], and are read as those of its one zone.
    whole = ("zone", 0) not in lines.at if lines else not data.get("zone")
    seen: set[tuple[Any, ...]] = set()
    for problem in error.errors(include_url=False):
        if problem["loc"] in seen:
            continue
        seen.add(problem["loc"])
        loc = told_loc(problem)
        wrong, instead = in_words(problem, loc)
        if whole and loc[:2] == ("zone", 0):
            loc = ("field", *loc[2:])
        line = lines.find(loc) if lines else 0
        path = path_of(loc)
        yield SituationError(
            f"{path}: {wrong}" if path else wrong,
            where=f"{name}, line {line}" if line else name,
            instead=instead,
        )


def read_situation(text: str | bytes, name: str = "situation") -> Situation:
    """The situation that a TOML or JSON text gives; SituationError where it is not one."""
    if len(text) > MOST_BYTES:
        raise SituationError(
            f"this has {len(text):,} bytes",
            where=name,
            instead="A situation file is a few thousand bytes of text",
        )
    if isinstance(text, bytes):
        text = text_of(text, name, "Write a TOML or JSON file")
    if not text.strip():
        raise SituationError(
            "this is empty",
            where=name,
            instead='Write at least [place] name = "…" and what is wrong with the field',
        )
    check_depth(text, name)
    lines: Lines | None = None
    try:
        if text.lstrip().startswith("{"):
            data = json.loads(text, parse_constant=no_constant, object_pairs_hook=_Table)
            _check_once(data, name)
        else:
            data = toml_table(text)
            lines = Lines(text)
    except json.JSONDecodeError as error:
        raise SituationError(
            f"this is not JSON: {error.msg}",
            where=f"{name}, line {error.lineno}",
            instead="Check commas and quotes there",
        ) from None
    except TomlError as error:
        said = clean(error.said)
        raise SituationError(
            f"this is not TOML: {said[:1].lower()}{said[1:]}",
            where=f"{name}, line {error.line}" if error.line else name,
            instead='Write key = value, texts in "quotes", dates as 2026-05-20',
        ) from None
    except (ValueError, RecursionError) as error:
        raise SituationError(
            f"this cannot be read: {clean(str(error))}", where=name, instead="Write it as TOML or JSON"
        ) from None
    if not isinstance(data, dict):
        raise SituationError(
            "this is not a table of keys", where=name, instead="Write the keys as the README lists them"
        )
    return situation_from_dict(data, lines, name)


def text_of(data: bytes, name: str, instead: str) -> str:
    """The text that some bytes are; SituationError where they are none, with what to write `instead`."""
    if b"\0" in data:
        raise SituationError("this is not text", where=name, instead=instead)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise SituationError("this is not UTF-8 text", where=name, instead="Save it as UTF-8") from None


def check_depth(text: str, name: str) -> None:
    """SituationError where brackets are nested too deeply to be read."""
    if too_deep(text):
        raise SituationError(
            "the brackets are nested too deeply",
            where=name,
            instead="Write the keys as the README lists them",
        )


class _Table(dict[str, Any]):
    """A table of JSON, with the first of its keys that stands in it twice."""

    def __init__(self, pairs: Iterable[tuple[str, Any]]) -> None:
        super().__init__()
        self.twice: str | None = None
        for key, value in pairs:
            if key in self and self.twice is None:
                self.twice = key
            self[key] = value


def _check_once(data: object, name: str) -> None:
    """SituationError where a key stands twice in a table, of which JSON keeps the last without a word."""
    todo: list[tuple[tuple[Any, ...], object]] = [((), data)]
    while todo:
        path, one = todo.pop()
        if isinstance(one, _Table):
            if one.twice is not None:
                raise SituationError(
                    f"{path_of((*path, clean(one.twice)))} stands twice",
                    where=name,
                    instead="Keep the one that is meant",
                )
            todo += [((*path, key), inner) for key, inner in one.items()]
        elif isinstance(one, list):
            todo += [((*path, place), inner) for place, inner in enumerate(one)]


def no_constant(word: str) -> float:
    """ValueError for what Python takes for a number and no reader of JSON has to: NaN, Infinity."""
    raise ValueError(f"{word} is not a number that can be used")
