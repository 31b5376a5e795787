"""The short form of an advice as a document: what several rows say alike stands once, and reading it back
gives each row its own again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any, Final, Self, Union

from pydantic import BeforeValidator, Field, ValidationError, model_validator

from decide.model.row import Row

Table = dict[str, Any]

# Rows of several parts that differ in nothing but the part and these fields are written as one.
_OWN: Final[Mapping[str, frozenset[str]]] = {
    "causes": frozenset(),
    "ailments": frozenset(),
    "diagnosis": frozenset(),
    "needs": frozenset(),
    "options": frozenset({"code", "title", "cost", "water", "labour_hours", "odds"}),
    "programme": frozenset(
        {"area_m2", "option", "stopgap", "least_bad", "runner_up", "text", "better_than", "window"}
    ),
    "plan": frozenset({"code", "from", "until", "latest", "order_by", "after", "hours", "amount"}),
    "watering": frozenset({"from", "until", "litres_each", "litres_a_week", "minutes_each"}),
    "hours_per_week_after_opening": frozenset({"from"}),
    "compared": frozenset({"option", "low", "high", "hours"}),
    "failure": frozenset({"low", "high", "text"}),
}
_OF_MONEY: Final = ("compared", "failure")


class Alike(Row):
    """Rows of a list that say the same of several parts of the field, in a short document.

    The row of `zones[n]` is the one at place `rows[n]` of the list when each part has its own; it holds all
    of `same`, and of each field in `each` what stands there at place n.
    """

    zones: list[str]
    rows: list[int] = Field(description="places in the list of single rows, from 0")
    same: dict[str, Any]
    each: dict[str, list[Any]] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _as_many(self) -> Self:
        if any(len(held) != len(self.zones) for held in (self.rows, *self.each.values())):
            raise ValueError("`rows` and each list of `each` must be as long as `zones`")
        return self


def once(row: type[Row]) -> BeforeValidator:
    """What lets a list of such rows be read where several of them are written as one."""
    return BeforeValidator(single, json_schema_input_type=list[Union[row, Alike]])  # type: ignore[valid-type]  # noqa: UP007  # a type known when it runs


def single(rows: Any) -> Any:
    """The rows of a list, each by itself again; what is no such list is left as it is."""
    if not isinstance(rows, list) or not any(isinstance(row, dict) and "same" in row for row in rows):
        return rows
    placed: dict[int, Any] = {}
    alone: list[Any] = []
    for row in rows:
        if not (isinstance(row, dict) and "same" in row):
            alone.append(row)
            continue
        alike = _alike(row)
        for n, place in enumerate(alike.rows):
            if place in placed:
                raise ValueError(f"two rows at place {place}")
            each = {name: held[n] for name, held in alike.each.items()}
            placed[place] = {**alike.same, "zone": alike.zones[n], **each}
    rest = iter(alone)
    count = len(placed) + len(alone)
    if any(not 0 <= place < count for place in placed):
        raise ValueError(f"`rows` must be places from 0 to {count - 1}")
    return [placed[place] if place in placed else next(rest) for place in range(count)]


def _alike(row: Table) -> Alike:
    try:
        return Alike.model_validate(row)
    except ValidationError as wrong:
        first = wrong.errors()[0]
        raise ValueError(f"{'.'.join(map(str, first['loc']))}: {first['msg']}") from None


def single_codes(codes: Any) -> Any:
    """The codes of tasks, each by itself, where "cut/north+south" names the task of two parts."""
    if not isinstance(codes, list) or not any(isinstance(code, str) and "+" in code for code in codes):
        return codes
    return [one for code in codes for one in (_parted(code) if isinstance(code, str) else (code,))]


def _parted(code: str) -> Iterator[str]:
    task, _, parts = code.partition("/")
    return (f"{task}/{part}" for part in parts.split("+")) if parts else iter((code,))


def reasons_again(document: Table) -> Table:
    """A document in which options and steps hold their reasons, where it names them by their keys."""
    reasons = document.get("reasons")
    if not isinstance(reasons, dict) or not all(isinstance(row, dict) for row in reasons.values()):
        return document
    found = dict(document)
    for name in ("options", "proposals"):
        if isinstance(document.get(name), list):
            found[name] = [_with_reasons(row, reasons) for row in single(document[name])]
    return found


def _with_reasons(row: Any, reasons: Mapping[str, Table]) -> Any:
    if not isinstance(row, dict) or not isinstance(row.get("reasons"), list):
        return row
    found = dict(row)
    unknown = [key for key in row["reasons"] if isinstance(key, str) and key not in reasons]
    if unknown:
        raise ValueError(f"{unknown[0]!r} is no key of `reasons`")
    found["reasons"] = [reasons[key] if isinstance(key, str) else key for key in row["reasons"]]
    if isinstance(row.get("grades"), dict):
        found["grades"] = {name: _with_text(grade, reasons) for name, grade in row["grades"].items()}
    return found


def _with_text(grade: Any, reasons: Mapping[str, Table]) -> Any:
    reason = reasons.get(grade["reason"]) if isinstance(grade, dict) and "reason" in grade else None
    return grade if reason is None else {**grade, "reason": reason.get("text", "")}


# ---------- writing ----------
def shortened(document: Table) -> Table:
    """The short form of a document that holds the named options: no trace, each reason once under a key, rows
    of parts that say the same once, and no source that it does not cite.
    """
    found = _Reasons(document["reasons"])
    told: Table = {
        **document,
        "options": [found.keyed(row) for row in document["options"]],
        "proposals": [found.keyed(row) for row in document["proposals"]],
        "reasons": found.rows,
        "weeks": [{**week, "tasks": list(_joined(week["tasks"]))} for week in document["weeks"]],
        "trace": [],
    }
    if (money := document["money"]) is not None:
        told["money"] = {**money, **{name: _once(money[name], _OWN[name]) for name in _OF_MONEY}}
    for name in _OWN.keys() - _OF_MONEY:
        told[name] = _once(told[name], _OWN[name])
    cited = set(_cited(told))
    told["sources"] = [row for row in document["sources"] if row["key"] in cited]
    return told


class _Reasons:
    """Reasons under keys, each once: a rule's first sentence under its name, its second as NAME/2."""

    def __init__(self, rows: Mapping[str, Table]) -> None:
        self.rows: dict[str, Table] = dict(rows)
        self._keys = {repr(row): key for key, row in rows.items()}

    def keyed(self, row: Table) -> Table:
        """A row with keys in place of its reasons, and of what its grades repeat of them."""
        keys = [self._key(reason) for reason in row["reasons"]]
        found = {**row, "reasons": keys}
        if "grades" in row:
            by_text = {self.rows[key]["text"]: key for key in reversed(keys)}
            found["grades"] = {
                name: {**grade, "reason": by_text.get(grade["reason"], grade["reason"])}
                for name, grade in row["grades"].items()
            }
        return found

    def _key(self, reason: Table) -> str:
        said = repr(reason)
        if said not in self._keys:
            name = key = reason["rules"][0]
            count = 1
            while key in self.rows:
                count += 1
                key = f"{name}/{count}"
            self._keys[said] = key
            self.rows[key] = reason
        return self._keys[said]


def _once(rows: Sequence[Table], own: frozenset[str]) -> list[Table]:
    """Rows, those of several parts that say the same as one, at the place of the first."""
    groups: dict[str, list[int]] = {}
    for place, row in enumerate(rows):
        said = repr([held for name, held in row.items() if name != "zone" and name not in own])
        groups.setdefault(said, []).append(place)
    return [rows[places[0]] if len(places) == 1 else _one(rows, places, own) for places in groups.values()]


def _one(rows: Sequence[Table], places: list[int], own: frozenset[str]) -> Table:
    first = rows[places[0]]
    held = {name: [rows[place][name] for place in places] for name in first if name in own}
    differs = {name: each for name, each in held.items() if any(one != each[0] for one in each)}
    return {
        "zones": [rows[place]["zone"] for place in places],
        "rows": places,
        "same": {name: held for name, held in first.items() if name != "zone" and name not in differs},
        "each": differs,
    }


def _joined(codes: Iterable[str]) -> Iterator[str]:
    """Codes of tasks; those of one task in several parts, one after another, as one code."""
    for task, same in groupby(codes, lambda code: code.partition("/")[0]):
        parts = [code.partition("/")[2] for code in same]
        yield f"{task}/{'+'.join(parts)}"


def _cited(held: Any) -> Iterator[str]:
    """The keys of all sources that rows name."""
    if isinstance(held, list):
        for one in held:
            yield from _cited(one)
    elif isinstance(held, dict):
        for name, one in held.items():
            if name == "sources":
                yield from (key for key in one if isinstance(key, str))
            else:
                yield from _cited(one)
