"""Rows of the knowledge as plain columns that JSON can hold, and the same rows made of such columns again.

Every class that is packed is a declared one of this program: a dataclass or a model. Rows are grouped by
class and by how deep others lie in them, so that all rows of a group are made at once from whole columns.
Equal rows become one.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from importlib import import_module
from itertools import islice, repeat
from pathlib import Path, PurePath
from types import GetSetDescriptorType, MemberDescriptorType
from typing import Any, Final

from pydantic import BaseModel

_PLAIN: Final = (str, int, float, bool, type(None))
_SEQUENCES: Final[Mapping[str, type]] = {"tuple": tuple, "list": list, "set": set, "frozenset": frozenset}
_HOUSE: Final = "decide."


class PackError(ValueError):
    """What cannot be packed, or was not packed by this module."""


def pack(root: object) -> dict[str, Any]:
    """`root` with all that lies in it, as plain tables; PackError where a part of it is of no known kind."""
    packer = _Packer()
    packer.sign(root)
    return {
        "tables": [packer.table(rows, cls) for (cls, _), rows in sorted(packer.rows.items(), key=_by_depth)],
        "root": packer.column([root]),
    }


def unpack(packed: Mapping[str, Any]) -> Any:
    """What `pack` packed. PackError or another of Python's own errors where it never packed this."""
    made: list[list[Any]] = []
    for table in packed["tables"]:
        cls = _house_class(table["class"])
        columns = [_column(shape, data, made) for shape, data in table["columns"]]
        made.append(_built(cls, table["count"], table["names"], columns, table["told"]))
    shape, data = packed["root"]
    [root] = _column(shape, data, made)
    return root


def _by_depth(item: tuple[tuple[type, int], object]) -> tuple[int, str]:
    (cls, depth), _ = item
    return depth, _name(cls)


def _name(cls: type) -> str:
    return f"{cls.__module__}:{cls.__qualname__}"


def _house_class(name: str) -> type:
    module, _, qualified = name.partition(":")
    if not module.startswith(_HOUSE):
        raise PackError(f"{name} is no class of this program")
    cls = getattr(import_module(module), qualified)
    if not isinstance(cls, type) or not _declared(cls):
        raise PackError(f"{name} is no declared class")
    return cls


def _declared(cls: type) -> bool:
    """Whether the class says itself of which fields it consists."""
    return cls.__module__.startswith(_HOUSE) and (is_dataclass(cls) or issubclass(cls, BaseModel))


def _names(cls: Any) -> list[str]:
    """The fields that make a row of the class."""
    if issubclass(cls, BaseModel):
        if cls.__private_attributes__ or cls.model_config.get("extra") == "allow":
            raise PackError(f"{_name(cls)} holds more than its fields")
        return list(cls.model_fields)
    return [field.name for field in fields(cls) if field.init]


# ---------- packing ----------
class _Packer:
    """Rows by class and depth while they are packed; a row is known again by what it consists of."""

    def __init__(self) -> None:
        self.rows: dict[tuple[type, int], dict[Any, Any]] = {}
        self._signed: dict[int, tuple[Any, tuple[Any, int]]] = {}
        self._order: dict[tuple[type, int], int] = {}

    def sign(self, held: Any) -> tuple[Any, int]:
        """What tells `held` from all that differs from it, and how deep rows lie in it."""
        kind = type(held)
        if kind is str or held is None:
            return held, 0
        if kind in _PLAIN:
            if kind is float and not math.isfinite(held):
                raise PackError(f"{held} is no number")
            return (kind, repr(held)), 0
        if isinstance(held, PurePath):
            return ("path", str(held)), 0
        if kind in _SEQUENCES.values():
            signed = [self.sign(each) for each in _in_order(held)]
            return (kind.__name__, *(sign for sign, _ in signed)), max((d for _, d in signed), default=0)
        if kind is dict:
            signed = [self.sign(each) for pair in held.items() for each in pair]
            return ("dict", *(sign for sign, _ in signed)), max((d for _, d in signed), default=0)
        if id(held) not in self._signed:
            self._signed[id(held)] = (held, self._sign_row(held, kind))
        return self._signed[id(held)][1]

    def _sign_row(self, held: Any, kind: type) -> tuple[Any, int]:
        if not _declared(kind):
            raise PackError(f"{kind.__name__} is neither plain nor a declared class")
        signed = [self.sign(getattr(held, name)) for name in _names(kind)]
        depth = 1 + max((d for _, d in signed), default=0)
        rows = self.rows.setdefault((kind, depth), {})
        # A short name stands for the row where others hold it.
        body = (tuple(sign for sign, _ in signed), _told(held))
        number, _ = rows.setdefault(body, (len(rows), held))
        return ("row", kind, depth, number), depth

    def _row(self, held: Any) -> tuple[tuple[type, int], int]:
        """The group of a row, and its number there."""
        (_, kind, depth, number), _ = self._signed[id(held)][1]
        return (kind, depth), number

    def table(self, rows: Mapping[Any, Any], cls: type) -> dict[str, Any]:
        """The columns of a group of rows."""
        held = [row for _, row in rows.values()]
        names = _names(cls)
        told = [_told(row) for row in held]
        sets = list(dict.fromkeys(told))
        return {
            "class": _name(cls),
            "count": len(held),
            "names": names,
            "columns": [self.column([getattr(row, name) for row in held]) for name in names],
            "told": [sets, [sets.index(each) for each in told]] if issubclass(cls, BaseModel) else None,
        }

    def column(self, held: Sequence[Any]) -> list[Any]:
        """The shape of a column, and its values as plain data of that shape."""
        by_shape: dict[Any, list[Any]] = {}
        which = [self._kind(each) for each in held]
        for kind, each in zip(which, held, strict=True):
            by_shape.setdefault(kind, []).append(each)
        if len(by_shape) > 1:
            kinds = list(by_shape)
            inner = [self._of_one_kind(kind, by_shape[kind]) for kind in kinds]
            return [
                ["mixed", *(shape for shape, _ in inner)],
                [[kinds.index(kind) for kind in which], *(data for _, data in inner)],
            ]
        return self._of_one_kind(next(iter(by_shape), "plain"), held)

    def _kind(self, held: Any) -> Any:
        kind = type(held)
        if kind in _PLAIN:
            return "plain"
        if kind is dict or kind in _SEQUENCES.values():
            return kind.__name__
        return "path" if isinstance(held, PurePath) else self._row(held)[0]

    def _of_one_kind(self, kind: Any, held: Sequence[Any]) -> list[Any]:
        if kind == "plain":
            first = held[0] if held else None
            if len(held) > 1 and all(
                type(each) is type(first) and repr(each) == repr(first) for each in held
            ):
                return ["same", [first, len(held)]]
            return ["plain", list(held)]
        if kind == "path":
            return ["path", [str(each) for each in held]]
        if kind == "dict":
            keys = self.column([key for each in held for key in each])
            values = self.column([value for each in held for value in each.values()])
            return [["dict", keys[0], values[0]], [[len(each) for each in held], keys[1], values[1]]]
        if kind in _SEQUENCES:
            shape, data = self.column([inner for each in held for inner in _in_order(each)])
            return [[kind, shape], [[len(each) for each in held], data]]
        if not self._order:
            self._order = {group: n for n, (group, _) in enumerate(sorted(self.rows.items(), key=_by_depth))}
        return [["row", self._order[kind]], [self._row(each)[1] for each in held]]


def _in_order(held: Iterable[Any]) -> Iterable[Any]:
    """The members of a collection, those of a set in an order that does not change from run to run."""
    return sorted(held, key=repr) if isinstance(held, (set, frozenset)) else held


def _told(held: Any) -> tuple[str, ...]:
    """The fields of a model that were written and not left to their defaults."""
    return tuple(sorted(held.model_fields_set)) if isinstance(held, BaseModel) else ()


# ---------- unpacking ----------
def _column(shape: Any, data: Any, made: Sequence[list[Any]]) -> list[Any]:
    """The values of a column; `made` are the rows of the tables before it."""
    if isinstance(shape, str):
        return _PLAINLY[shape](data)
    kind, *inner = shape
    if kind == "row":
        return list(map(made[inner[0]].__getitem__, data))
    if kind == "mixed":
        which, *columns = data
        each = [iter(_column(of, column, made)) for of, column in zip(inner, columns, strict=True)]
        return [next(each[number]) for number in which]
    if kind == "dict":
        lengths, keys, values = data
        pairs = zip(_column(inner[0], keys, made), _column(inner[1], values, made), strict=True)
        return [dict(islice(pairs, length)) for length in lengths]
    make = _SEQUENCES[kind]
    lengths, members = data
    held = iter(_column(inner[0], members, made))
    return [make(islice(held, length)) for length in lengths]


# Columns in which no rows lie, by their shape.
_PLAINLY: Final[Mapping[str, Callable[[Any], list[Any]]]] = {
    "plain": list,
    "same": lambda data: [data[0]] * data[1],
    "path": lambda data: [Path(each) for each in data],
}


def _built(
    cls: type, count: int, names: Sequence[str], columns: Sequence[Sequence[Any]], told: Any
) -> list[Any]:
    """The rows of a class from the columns of its fields, without checking again what was checked."""
    if list(names) != _names(cls) or any(len(column) != count for column in columns):
        raise PackError(f"{_name(cls)} has other fields")
    rows: Iterator[tuple[Any, ...]] = zip(*columns, strict=True) if columns else repeat((), count)
    if issubclass(cls, BaseModel):
        sets = [set(each) for each in told[0]]
        return _blank(
            cls,
            count,
            {
                "__dict__": [dict(zip(names, row, strict=True)) for row in rows],
                "__pydantic_fields_set__": [sets[number] for number in told[1]],
                "__pydantic_extra__": [None] * count,
                "__pydantic_private__": [None] * count,
            },
        )
    if _made_by_hand(cls):
        return [cls(**dict(zip(names, row, strict=True))) for row in rows]
    if all(isinstance(getattr(cls, name, None), MemberDescriptorType) for name in names):
        return _blank(cls, count, dict(zip(names, columns, strict=True)))
    return _blank(cls, count, {"__dict__": [dict(zip(names, row, strict=True)) for row in rows]})


def _made_by_hand(cls: Any) -> bool:
    """Whether a dataclass does more when it is made than to hold its fields."""
    return hasattr(cls, "__post_init__") or any(not field.init for field in fields(cls))


def _blank(cls: type, count: int, attributes: Mapping[str, Sequence[Any]]) -> list[Any]:
    """New rows with their attributes set as they are, past what freezes them: by whole columns, which is
    what makes this fast.
    """
    made: list[Any] = list(map(object.__new__, repeat(cls, count)))
    for name, column in attributes.items():
        deque(map(_setter(cls, name), made, column), maxlen=0)
    return made


def _setter(cls: type, name: str) -> Callable[[Any, Any], None]:
    for base in cls.__mro__:
        held = base.__dict__.get(name)
        if isinstance(held, (MemberDescriptorType, GetSetDescriptorType)):
            return held.__set__
    raise PackError(f"{_name(cls)} has no place for {name}")
