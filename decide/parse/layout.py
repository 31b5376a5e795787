"""An answer as it is read, laid out as the keys of a situation file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from decide.parse.results import OF_FINDING, FieldShare, Sum


def laid_out(key: str, value: Any) -> Iterator[tuple[str, Any]]:
    """Each key of the situation file that a value answers, with its plain value."""
    if isinstance(value, Sum):
        yield key, int(value.amount) if value.amount == int(value.amount) else value.amount
        if value.currency is not None:
            yield "means.currency", value.currency
    elif isinstance(value, FieldShare):
        yield "zone.share_percent", value.percent
    elif key == "place.name" and isinstance(value, Mapping):
        yield from ((f"place.{name}", inner) for name, inner in value.items() if name not in OF_FINDING)
    elif key == "zone.grass" and isinstance(value, list):
        yield key, [{"grass": one} if isinstance(one, str) else one for one in value]
    elif key == "offer" and isinstance(value, list):
        yield key, [{"what": one} if isinstance(one, str) else one for one in value]
    else:
        yield key, value
