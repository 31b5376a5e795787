"""A document as JSON text that is short and can still be read: one row a line."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any, Final

_ROW: Final = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def json_text(tables: Mapping[str, Any]) -> str:
    """The text of a document of JSON values: a line for each key, and for each row of a list.

    ValueError for a number that JSON does not have.
    """
    return _table(tables, _held) + "\n"


def _table(held: Mapping[str, Any], said: Callable[[Any], str]) -> str:
    return "{\n" + ",\n".join(f"{_ROW.encode(key)}:{said(one)}" for key, one in held.items()) + "\n}"


def _held(held: Any) -> str:
    if isinstance(held, list) and held:
        return "[\n" + ",\n".join(map(_ROW.encode, held)) + "\n]"
    if isinstance(held, dict) and held:
        return _table(held, _ROW.encode)
    return _ROW.encode(held)
