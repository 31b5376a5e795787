"""Columns of a table whose names are dotted keys → the tables of a situation."""

from __future__ import annotations

import datetime as dt
import math
import re
import types
import typing
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Final, Literal, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from decide.many.line import ID
from decide.model.errors import SituationError, meant
from decide.model.reading import keys_of
from decide.model.situation import Situation
from decide.model.written import DONT_KNOW, clean, twin_of

Kind = Literal["text", "number", "truth", "texts", "numbers", "rows", "names"]
APART: Final = ";"
NOTHING: Final = "none"
LEFT_OUT: Final = "#"
_TRUE: Final = ("true", "yes", "wahr", "vrai")
_FALSE: Final = ("false", "no", "falsch", "faux")
_NUMBER: Final = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")
# A comma before three digits may part thousands, unless the figure begins with 0.
_COMMA: Final = re.compile(r"([+-]?)(\d+),(\d+)")
_THOUSANDS: Final = 3
_ROW_DIGITS: Final = 5
_WHOLE_DIGITS: Final = 15


@dataclass(frozen=True)
class Column:
    """A column: the path of its key, list positions from 0, and what its cells hold; `rows` is a list of
    tables that a cell can only say to be empty, `names` one whose tables need no more than a name.
    """

    name: str
    path: tuple[str | int, ...]
    kind: Kind
    inner: str = ""


def columns_of(names: Sequence[str], where: str, *, whole: bool = False) -> list[Column | None]:
    """The columns that the names of a table's head mean; None for one that is left out, by a # before its
    name or because it has none. With `whole` a column may be a whole table, as where tables lie in tables.

    SituationError for a name that is no key, one that stands there twice, and one that another contradicts.
    """
    found = [_column(name.strip(), where, whole) for name in names]
    seen: dict[tuple[str | int, ...], Column] = {}
    for column in found:
        if column is None:
            continue
        if column.path in seen:
            raise SituationError(
                f"the column {column.name!r} is there twice", where=where, instead="Take one of them out"
            )
        seen[column.path] = column
    for column in seen.values():
        for end in range(1, len(column.path)):
            other = seen.get(column.path[:end])
            if other is not None and other.kind == "names":
                raise SituationError(
                    f"the columns {other.name!r} and {column.name!r} say the same in two ways",
                    where=where,
                    instead="Keep one of the ways",
                )
    if not seen:
        raise SituationError(
            "no column is a key",
            where=where,
            instead="Write keys as the names of the columns: place.name, dates.play_by, zone.1.bare_percent",
        )
    return found


def _column(name: str, where: str, whole: bool) -> Column | None:
    if not name or name.startswith(LEFT_OUT):
        return None
    if name == ID:
        return Column(name, (ID,), "text")
    path: list[str | int] = []
    model: type[BaseModel] | None = Situation
    rows = False
    kind: Kind = "text"
    inner = ""
    for part in name.split("."):
        if rows:
            if not (part.isascii() and part.isdecimal() and len(part) < _ROW_DIGITS and int(part) >= 1):
                raise SituationError(
                    f"the column {name!r} lacks the number of its row",
                    where=where,
                    instead=f"Write {_dotted(path)}.1 for the first, and its key after it",
                )
            path.append(int(part) - 1)
            rows = False
            continue
        if model is None:
            raise SituationError(
                f"the column {name!r} goes on after its key",
                where=where,
                instead=f"Several in one cell are parted by {APART}",
            )
        path.append(part)
        field = _field(model, part, whole=path == ["field", part])
        if field is None:
            known = keys_of(model)
            raise SituationError(
                f"the column {name!r} is no key",
                where=where,
                instead=f"{meant(part, known) or 'Known keys: ' + ', '.join(sorted(known))} "
                f"A column of your own is left out where its name begins with {LEFT_OUT}",
            )
        kind, model, rows, inner = _held(field)
    ends_at_row = isinstance(path[-1], int)
    if model is not None and (ends_at_row or not (rows or (whole and len(path) == 1))):
        raise SituationError(
            f"the column {name!r} is a whole {'row' if ends_at_row else 'table'}",
            where=where,
            instead=f"Write one of its keys after it: {name}.{sorted(keys_of(model))[0]}",
        )
    return Column(name, tuple(path), kind, inner)


def _dotted(path: Sequence[str | int]) -> str:
    return ".".join(str(part + 1) if isinstance(part, int) else part for part in path)


def _field(model: type[BaseModel], key: str, *, whole: bool) -> FieldInfo | None:
    """The field of a key, as itself or as its twin in other units; keys of a zone may stand under `field`."""
    fields = {field.alias or name: field for name, field in model.model_fields.items()}
    if key not in fields and (found := twin_of(key, fields)) is not None:
        return fields[found[0]]
    if key not in fields and whole:
        zone = Situation.model_fields["zone"]
        inner = next(_models(zone.annotation))
        return None if key == "name" else _field(inner, key, whole=False)
    return fields.get(key)


def _held(field: FieldInfo) -> tuple[Kind, type[BaseModel] | None, bool, str]:
    """What a field holds, the model below it, whether that is a list of rows, and the one key that a row
    needs.
    """
    kinds = set(_kinds(field.annotation))
    model = next(_models(field.annotation), None)
    if model is None:
        if "list" in kinds:
            return ("numbers" if kinds & {"float", "int"} else "texts"), None, False, ""
        return (
            "truth" if "bool" in kinds else "number" if kinds & {"float", "int"} else "text",
            None,
            False,
            "",
        )
    if "list" not in kinds:
        return "text", model, False, ""
    needed = [each.alias or name for name, each in model.model_fields.items() if each.is_required()]
    if len(needed) == 1 and set(_kinds(model.model_fields[needed[0]].annotation)) == {"str"}:
        return "names", model, True, needed[0]
    return "rows", model, True, ""


def _kinds(annotation: Any) -> Iterator[str]:
    origin = get_origin(annotation)
    if origin is Literal:
        yield "str"
    elif origin in (typing.Union, types.UnionType, Annotated):
        for inner in get_args(annotation):
            if isinstance(inner, type) or get_origin(inner):
                yield from _kinds(inner)
    elif origin is list:
        yield "list"
        yield from _kinds(get_args(annotation)[0])
    elif isinstance(annotation, type) and annotation is not type(None):
        yield annotation.__name__


def _models(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from _models(inner)


# ---------- rows ----------
def table_from(
    columns: Sequence[Column | None], cells: Iterable[Any], *, comma: bool = False
) -> dict[str, Any]:
    """The nested table that a row's cells say; an empty cell says nothing.

    Cells are texts, or in tables with types values of their own. With `comma` a figure may have a decimal
    comma. SituationError where a cell stands under no name, or a row of a list is told and the one before it
    is not.
    """
    top: dict[str | int, Any] = {}
    for column, cell in zip(columns, cells, strict=False):
        value = told(cell)
        if value is None or column is None:
            continue
        if isinstance(value, str):
            value = _read(value, column, comma=comma)
        here = top
        for part in column.path[:-1]:
            here = here.setdefault(part, {})
            if not isinstance(here, dict):
                raise SituationError(
                    f"{column.name} is told beside a list that is told whole",
                    instead="Empty one of the cells",
                )
        if column.path[-1] in here:
            raise SituationError(f"{column.name} is told in two ways", instead="Empty one of the cells")
        here[column.path[-1]] = value
    named = _listed(top, "")
    return named if isinstance(named, dict) else {}


def told(value: Any) -> Any:
    """What a cell says, in values of JSON; None where it says nothing."""
    if isinstance(value, str):
        return value if value.strip() else None
    if isinstance(value, float):
        return None if math.isnan(value) else value
    if isinstance(value, dt.datetime):
        return value.date().isoformat()
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, dt.time):
        return value.strftime("%H:%M")
    if isinstance(value, Mapping):
        held = {key: inner for key, each in value.items() if (inner := told(each)) is not None}
        return held or None
    if isinstance(value, (list, tuple)):
        return [inner for each in value if (inner := told(each)) is not None]
    if isinstance(value, bytes):
        return value.decode("utf-8", "replace")
    return value if value is None or isinstance(value, (bool, int)) else _plain(value)


def _plain(value: Any) -> Any:
    """A number of a kind that JSON does not know, as a decimal fraction; else its text."""
    try:
        return float(value)
    except (TypeError, ValueError):
        return str(value)


def _listed(table: Any, name: str) -> Any:
    """The table with lists in the place of tables whose keys are positions."""
    if not isinstance(table, dict):
        return table
    if not any(isinstance(key, int) for key in table):
        return {key: _listed(value, f"{name}.{key}".lstrip(".")) for key, value in table.items()}
    for at, key in enumerate(sorted(table)):
        if at != key:
            raise SituationError(
                f"{name}.{key + 1} is told and {name}.{at + 1} is not", instead="Fill the first ones first"
            )
    return [_listed(table[key], f"{name}.{key + 1}") for key in sorted(table)]


def _read(text: str, column: Column, *, comma: bool) -> Any:
    """The value that a cell's text says for its column; the text itself where it says none, so that it is
    refused by name.
    """
    text = text.strip()
    if column.path == (ID,) or clean(text).lower().replace("’", "'") in (
        DONT_KNOW,
        "dont know",
        "do not know",
    ):
        return text
    parts = [part.strip() for part in text.split(APART) if part.strip()]
    match column.kind:
        case "number":
            return _number(text, column, comma=comma)
        case "truth":
            word = text.lower()
            return True if word in _TRUE else False if word in _FALSE else text
        case "texts":
            return parts
        case "numbers":
            return [_number(part, column, comma=comma) for part in parts]
        case "names":
            return [] if text.lower() == NOTHING else [{column.inner: part} for part in parts]
        case "rows":
            if text.lower() != NOTHING:
                raise SituationError(
                    f"{column.name}: {clean(text)[:40]!r} is not {NOTHING!r}",
                    instead=f"Write {NOTHING} where there is none, else a column for each key, as "
                    f"{column.name}.1.…",
                )
            return []
    return text


def _number(text: str, column: Column, *, comma: bool) -> float | int | str:
    """A number; a whole one without a point."""
    if comma and (found := _COMMA.fullmatch(text)):
        sign, whole, rest = found.groups()
        if len(rest) == _THOUSANDS and whole.lstrip("0"):
            raise SituationError(
                f"{column.name}: {text!r} can be read as thousands and as a fraction",
                instead=f"Write {sign}{whole}{rest}, or {sign}{whole},{rest}0",
            )
        text = f"{sign}{whole}.{rest}"
    if not _NUMBER.fullmatch(text):
        return text
    value = float(text)
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= _WHOLE_DIGITS else value
