"""A document as JSON text that is short and can still be read: one row a line."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, Final

_ROW: Final = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def json_text(tables: Mapping[str, Any]) -> str:
    """The text of a document of JSON values: a line for each key, and for each row of a list.

    ValueError for a number that JSON does not have.
    """
    return "{\n" + ",\n".join(f"{_ROW.encode(key)}:{_held(held)}" for key, held in tables.items()) + "\n}\n"


def _held(held: Any) -> str:
    if isinstance(held, list) and held:
        return "[\n" + ",\n".join(map(_ROW.encode, held)) + "\n]"
    if isinstance(held, dict) and held:
        return "{\n" + ",\n".join(f"{_ROW.encode(key)}:{_ROW.encode(row)}" for key, row in held.items()) + "\n}"
    return _ROW.encode(held)
