"""The lines of a batch in the form that is wanted: JSON Lines as they are, CSV or Parquet made of them."""

from __future__ import annotations

import contextlib
import csv
import json
import os
import types
import typing
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Annotated, Any, Final, Literal, get_args, get_origin

from pydantic import BaseModel

from decide.many.records import Form, parquet_library
from decide.many.short import Short
from decide.model.row import Row

ROWS_IN_A_GROUP: Final = 1_000
OUTER, INNER = " | ", "; "
"""Several of one kind stand in one cell: parts of a field, and what is said several times of one part."""
# What spreadsheets would run as a formula.
_FORMULA: Final = frozenset("=+-@＝＋－＠")


class Wrong(Row):
    """One thing that is wrong with a line."""

    where: str
    wrong: str
    instead: str


class Line(Row):
    """What every line says before its advice."""

    line: int
    ok: bool
    id: str | None = None
    error: list[Wrong]


def write(lines: Path, out: Path, form: Form) -> None:
    """Put the lines of a finished batch in place of `out`, whole or not at all; OSError where that fails."""
    if form == "jsonl":
        os.replace(lines, out)
        return
    made = out.with_name(f"{out.name}.new")
    try:
        with lines.open("rb") as file:
            rows = (json.loads(line) for line in file)
            (_write_csv if form == "csv" else _write_parquet)(rows, made)
        os.replace(made, out)
    except BaseException:
        with contextlib.suppress(OSError):
            made.unlink(missing_ok=True)
        raise


# ---------- the tree of the models ----------
def _fields(model: type[BaseModel]) -> Iterator[tuple[str, Any]]:
    for name, field in model.model_fields.items():
        yield field.alias or name, field.annotation


def _bare(annotation: Any) -> Any:
    """The annotation without None and without marks."""
    origin = get_origin(annotation)
    if origin is Annotated:
        return _bare(get_args(annotation)[0])
    if origin in (typing.Union, types.UnionType):
        return _bare(next(each for each in get_args(annotation) if each is not type(None)))
    return annotation


def _models() -> tuple[type[BaseModel], ...]:
    return Line, Short


# ---------- CSV ----------
def _write_csv(rows: Iterable[Mapping[str, Any]], made: Path) -> None:
    """One row a line. Values of tables have columns with dotted names; parts of a field stand beside each
    other in one cell, in their order.
    """
    columns = [path for model in _models() for path in _paths(model)]
    with made.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.writer(file, lineterminator="\r\n")
        writer.writerow([".".join(path) for path in columns])
        for row in rows:
            writer.writerow([_cell(_at(row, path)) for path in columns])
        file.flush()
        os.fsync(file.fileno())


def _paths(model: type[BaseModel]) -> Iterator[tuple[str, ...]]:
    for name, annotation in _fields(model):
        held = _bare(annotation)
        inner = _bare(get_args(held)[0]) if get_origin(held) is list else held
        if isinstance(inner, type) and issubclass(inner, BaseModel):
            yield from ((name, *path) for path in _paths(inner))
        else:
            yield (name,)


def _at(value: Any, path: tuple[str, ...]) -> Any:
    """What stands at a path: a value, or a list of what stands there in each row of a list."""
    for place, name in enumerate(path):
        if isinstance(value, list):
            return [_at(each, path[place:]) for each in value]
        value = value.get(name) if isinstance(value, Mapping) else None
    return value


def _cell(value: Any, apart: str = OUTER) -> Any:
    if isinstance(value, bool):
        return "true" if value else "false"
    if value is None:
        return ""
    if isinstance(value, Mapping):
        value = [f"{key}: {each}" for key, each in value.items()]
    if isinstance(value, list):
        cells = [str(_cell(each, INNER)) for each in value]
        if len(value) == 1 and isinstance(value[0], (int, float)):
            return value[0]
        value = apart.join(cells) if any(cells) else ""
    if not isinstance(value, str):
        return value
    said = "".join(char if char.isprintable() else " " for char in value)
    return f"'{said}" if said.lstrip()[:1] in _FORMULA and said.strip() else said


# ---------- Parquet ----------
def _write_parquet(rows: Iterable[Mapping[str, Any]], made: Path) -> None:
    arrow = parquet_library()
    schema = arrow.schema(
        [arrow.field(name, _type(arrow, kind)) for model in _models() for name, kind in _fields(model)]
    )
    with arrow.parquet.ParquetWriter(made, schema) as writer:
        group: list[dict[str, Any]] = []
        for row in rows:
            group.append(dict(row))
            if len(group) == ROWS_IN_A_GROUP:
                writer.write_table(arrow.Table.from_pylist(group, schema=schema))
                group = []
        if group:
            writer.write_table(arrow.Table.from_pylist(group, schema=schema))


def _type(arrow: Any, annotation: Any) -> Any:
    held = _bare(annotation)
    origin = get_origin(held)
    if origin is list:
        return arrow.list_(_type(arrow, get_args(held)[0]))
    if origin is dict:
        return arrow.map_(arrow.string(), _type(arrow, get_args(held)[1]))
    if origin is Literal:
        return arrow.string()
    if isinstance(held, type) and issubclass(held, BaseModel):
        return arrow.struct([arrow.field(name, _type(arrow, kind)) for name, kind in _fields(held)])
    return {str: arrow.string, bool: arrow.bool_, int: arrow.int64, float: arrow.float64}[held]()
