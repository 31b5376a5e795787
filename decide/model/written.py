"""What people write in a situation, brought into one form: names as codes, days as dates, US units as metric,
"don't know" as nothing.
"""

from __future__ import annotations

import datetime as dt
import functools
import re
import types
import typing
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Final, Literal, get_args, get_origin

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    TypeAdapter,
    ValidationError,
    model_validator,
)
from pydantic.fields import FieldInfo

from decide.model.units import convert

MOST_TEXT: Final = 200
_HOUR_MINUTES: Final = 60
_DAY_MINUTES: Final = 24 * 60
DONT_KNOW: Final = "don't know"
Month = Literal["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
MONTHS: Final[tuple[str, ...]] = get_args(Month)


def clean(text: str) -> str:
    """User text without control characters, at most MOST_TEXT long, so that it can do no harm where it is
    shown.
    """
    kept = "".join(c if c.isprintable() else " " for c in text)
    return " ".join(kept.split())[:MOST_TEXT]


@functools.lru_cache(maxsize=8192)
def coded(text: str) -> str:
    """A name as a code: lower case, words joined by hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower().replace(".", "")).strip("-")


def _code(value: object) -> object:
    return coded(clean(value)) if isinstance(value, str) else value


def _text(value: object) -> object:
    return clean(value) if isinstance(value, str) else value


def _day(value: object) -> object:
    """A date is written as a TOML date or as "2026-05-20"."""
    if isinstance(value, dt.datetime):
        return value.date()
    if isinstance(value, str):
        try:
            return dt.date.fromisoformat(value.strip())
        except ValueError:
            raise ValueError("is not a date that can be read one way only; write it as 2026-05-20") from None
    return value


def _month_day(value: object) -> object:
    if isinstance(value, str):
        match = re.fullmatch(r"\s*(\d{1,2})-(\d{1,2})\s*", value)
        if match:
            try:
                dt.date(2001, int(match[1]), int(match[2]))
            except ValueError:
                pass
            else:
                return f"{int(match[1]):02d}-{int(match[2]):02d}"
        raise ValueError('is not a month and day; write it as "10-15" for 15 October')
    return value


def _clock(value: object) -> object:
    """A time of day is written as "18:00" or as a whole hour."""
    if isinstance(value, int) and not isinstance(value, bool):
        value = f"{value}:00"
    if isinstance(value, dt.time):
        value = value.strftime("%H:%M")
    match = re.fullmatch(r"\s*(\d{1,2}):(\d{2})\s*", value) if isinstance(value, str) else None
    if match and int(match[1]) * 60 + int(match[2]) <= _DAY_MINUTES and int(match[2]) < _HOUR_MINUTES:
        return f"{int(match[1]):02d}:{match[2]}"
    raise ValueError('is not a time of day; write it as "18:30"')


def _month(value: object) -> object:
    if isinstance(value, bool):
        return value
    if isinstance(value, int) and 1 <= value <= len(MONTHS):
        return MONTHS[value - 1]
    if isinstance(value, str):
        return clean(value).lower()[:3]
    return value


Code = Annotated[
    str, BeforeValidator(_code), Field(min_length=1, max_length=60, pattern=r"^[a-z0-9][a-z0-9\-]*$")
]


@dataclass(frozen=True)
class Of:
    """Marks a key that names a row of a table of the knowledge: any code is read here, and checked where the
    knowledge is known.
    """

    table: str
    noun: str

    @staticmethod
    def mark(field: FieldInfo) -> Of | None:
        """The mark of a field, on itself or on the items of its list; None where it has none."""
        return next(
            (each for each in (*field.metadata, *_marks(field.annotation)) if isinstance(each, Of)), None
        )


def _marks(annotation: Any) -> Iterator[Any]:
    yield from getattr(annotation, "__metadata__", ())
    for inner in get_args(annotation):
        yield from _marks(inner)


PlantName = Annotated[Code, Of("plants", "grass or mixture")]
MethodName = Annotated[Code, Of("methods", "method")]
MachineName = Annotated[Code, Of("equipment", "machine or tool")]
CauseName = Annotated[Code, Of("causes", "cause")]
Text = Annotated[str, BeforeValidator(_text), Field(max_length=MOST_TEXT)]
Day = Annotated[dt.date, BeforeValidator(_day)]
MonthDay = Annotated[str, BeforeValidator(_month_day)]
ClockTime = Annotated[str, BeforeValidator(_clock)]
MonthName = Annotated[Month, BeforeValidator(_month)]
Percent = Annotated[float, Field(ge=0, le=100)]


def between(low: float, high: float, step: float, about: str) -> Any:
    return Field(default=None, ge=low, le=high, description=about, json_schema_extra={"step": step})


def told(about: str) -> Any:
    return Field(default=None, description=about)


TWINS: Final = (
    ("_f", "_c", "F", "C"), ("_in", "_mm", "in", "mm"), ("_per_ft2", "_per_m2", "count/ft2", "count/m2"),
    ("_ft2", "_m2", "ft2", "m2"),
    ("_yd2", "_m2", "yd2", "m2"), ("_acre", "_m2", "acre", "m2"), ("_ft", "_m", "ft", "m"),
    ("_yd", "_m", "yd", "m"), ("_gal_min", "_l_min", "gal/min", "l/min"),
)  # fmt: skip


# One thing in another: only a row of TWINS that names both of them converts these.
_RATIOS: Final = ("_g_m2", "_per_m2", "_ds_m")


def twin_of(key: str, known: Mapping[str, Any]) -> tuple[str, str, str] | None:
    """The metric key among `known` that a US key says, its own unit and the metric one; None where it says
    none.
    """
    for us, metric, source, target in TWINS:
        twin = key.removesuffix(us) + metric
        if key.endswith(us) and twin in known and (metric in _RATIOS or not twin.endswith(_RATIOS)):
            return twin, source, target
    return None


def us_keys(known: Mapping[str, Any]) -> Iterator[tuple[str, str, str, str]]:
    """Every US key that is taken beside the metric ones: itself, the metric key, its own unit, the metric
    one.
    """
    for key in known:
        for us, metric, _, _ in TWINS:
            us_key = key.removesuffix(metric) + us
            if key.endswith(metric) and us_key not in known:
                found = twin_of(us_key, known)
                if found is not None and found[0] == key:
                    yield (us_key, *found)


def metric(keys: Mapping[str, Any], known: Mapping[str, Any]) -> dict[str, Any]:
    """The same table with every US key replaced by its metric twin, and its amount or list of amounts
    converted; what is no number stays as it is, for the reader to complain of.
    """
    out: dict[str, Any] = {}
    for key, value in keys.items():
        found = None if key in known else twin_of(key, known)
        if found is None:
            out[key] = value
            continue
        twin, source, target = found
        if twin in keys:
            raise ValueError(f"{key!r} and {twin!r} say the same thing twice; keep one of them")
        out[twin] = _converted(value, source, target)
    return out


# Reads an amount as the keys do, which take "75000" for a number too.
_AMOUNT: Final[TypeAdapter[float]] = TypeAdapter(float)


def _converted(value: object, source: str, target: str) -> object:
    if isinstance(value, list | tuple):
        return [_converted(item, source, target) for item in value]
    if isinstance(value, bool):
        return value
    try:
        amount = _AMOUNT.validate_python(value)
    except ValidationError:
        return value
    return round(convert(amount, source, target), 6)


def levels_of(annotation: Any) -> tuple[str, ...]:
    """The words that a field accepts, where it accepts words from a list (of itself or of its items)."""
    if get_origin(annotation) is Literal:
        return tuple(str(a) for a in get_args(annotation))
    for inner in get_args(annotation):
        if inner is not type(None) and (found := levels_of(inner)):
            return found
    return ()


def _tables(part: type[Part]) -> Iterator[type[Part]]:
    for table in part.__subclasses__():
        yield table
        yield from _tables(table)


def known(data: Mapping[str, Any]) -> dict[str, Any]:
    """What is told in a table, without what is "don't know"."""
    return {key: value for key, value in data.items() if not _is_dont_know(value)}


def _is_dont_know(value: Any) -> bool:
    words = (DONT_KNOW, "dont know", "do not know", "unknown?")
    return isinstance(value, str) and clean(value).lower().replace("’", "'") in words


class Part(BaseModel):
    """A table of the situation: every key may be left out, and every value may be "don't know"."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, allow_inf_nan=False, str_max_length=4 * MOST_TEXT, defer_build=True
    )

    @classmethod
    def model_json_schema(cls, *args: Any, **words: Any) -> dict[str, Any]:
        """The JSON Schema of the table, as pydantic makes it."""
        # Tables stand as defaults of others, and older versions of pydantic write none that is not built yet.
        for table in _tables(Part):
            table.model_rebuild()
        return super().model_json_schema(*args, **words)

    @model_validator(mode="before")
    @classmethod
    def _as_written(cls, data: Any) -> Any:
        if not isinstance(data, Mapping):
            return data
        fields = cls.model_fields
        out: dict[str, Any] = {}
        for key, value in known(metric(data, fields)).items():
            by_code, truth = _taken(cls, key) if key in fields else ({}, True)
            if by_code:
                if isinstance(value, str):
                    out[key] = by_code.get(coded(value), value)
                elif isinstance(value, list):
                    out[key] = [
                        by_code.get(coded(item), item) if isinstance(item, str) else item for item in value
                    ]
            if isinstance(value, bool) and not truth:
                raise ValueError(f"{key!r} takes no true or false")
            out.setdefault(key, value)
        return out


@functools.cache
def _taken(part: type[Part], key: str) -> tuple[Mapping[str, str], bool]:
    """The words that a field accepts by their codes, and whether it takes true and false."""
    annotation = part.model_fields[key].annotation
    return {coded(level): level for level in levels_of(annotation)}, bool in _plain_types(annotation)


def _plain_types(annotation: Any) -> set[Any]:
    if get_origin(annotation) in (typing.Union, types.UnionType, Annotated):
        return set().union(*(_plain_types(inner) for inner in get_args(annotation)))
    return {annotation}
