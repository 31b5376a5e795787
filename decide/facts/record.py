"""One row of the record appended to a situation file: validated first, every earlier byte kept, the file
replaced in one step.
"""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

import tomlkit
from pydantic import Field, ValidationError

from decide.facts.progress import begins, known_entries
from decide.knowledge.tables import Knowledge
from decide.model.contradictions import contradictions
from decide.model.errors import DecideError, SituationError, meant
from decide.model.files import plain_bytes, write_whole
from decide.model.reading import MOST_BYTES, read_situation
from decide.model.situation import EVERYWHERE, Situation
from decide.model.toml_lines import TomlError, toml_table
from decide.model.units import convert
from decide.model.work import Checked, Done, Ongoing, Seen
from decide.model.written import Part, clean, coded

Table = Literal["done", "check", "seen", "ongoing"]
_A: Mapping[Table, str] = {
    "done": "a thing done",
    "check": "a check",
    "seen": "a sign",
    "ongoing": "a start of new grass",
}


@dataclass(frozen=True)
class Entry:
    """What a person wants to write down, as they typed it."""

    what: str
    on: dt.date
    zone: str | None = None
    amount: float | None = None
    unit: str | None = None
    passed: bool | None = None
    note: str | None = None
    by: str | None = None
    grass: str | None = None
    method: str | None = None


def table_of(knowledge: Knowledge, what: str) -> tuple[Table, str]:
    """The table that an entry belongs to and its code; SituationError, with the nearest, where there is no
    such entry.

    What begins new grass stands under what is ongoing: the advice goes on from it. Then tasks, steps and
    entries of the diary come before checks, and checks before signs.
    """
    code = coded(clean(what))
    if begins(knowledge, code):
        return "ongoing", code
    tables: tuple[tuple[Table, tuple[str, ...]], ...] = (
        ("done", known_entries(knowledge)),
        ("check", tuple(knowledge.opening)),
        ("seen", tuple(knowledge.rescue)),
    )
    for table, known in tables:
        if code in known:
            return table, code
    every = [word for _, known in tables for word in known]
    raise SituationError(
        f"{what!r} is nothing that can be written down",
        instead=meant(code, every)
        or "Name a task of the plan, a step as mow, a check as tug, or a sign as washout",
    )


def row_of(knowledge: Knowledge, entry: Entry) -> tuple[Table, dict[str, Any]]:
    """The row of an entry by key, without what was not told; SituationError where a part does not belong to
    it.
    """
    table, code = table_of(knowledge, entry.what)
    told = {
        "zone": entry.zone,
        "grass": entry.grass,
        "method": entry.method,
        "passed": entry.passed,
        "note": entry.note,
        "by": entry.by,
    }
    takes = {
        "done": ("zone", "passed", "note", "by"),
        "check": ("zone", "passed"),
        "seen": ("zone",),
        "ongoing": ("zone", "grass", "method"),
    }[table]
    given = {
        key: clean(value) if isinstance(value, str) else value
        for key, value in told.items()
        if value is not None
    }
    for key in given:
        if key not in takes:
            raise SituationError(f"--{key} does not belong to {_A[table]}", instead="Take it out")
    if entry.unit is not None and entry.amount is None:
        raise SituationError("--unit stands without --amount", instead="Write both, or neither")
    if table == "ongoing":
        return table, _begun(knowledge, entry, code)
    row: dict[str, Any] = {
        {"done": "task", "check": "check", "seen": "sign"}[table]: code,
        "date": entry.on,
        **given,
    }
    if table == "done":
        row |= {
            key: value
            for key, value in (
                ("amount", entry.amount),
                ("unit", None if entry.unit is None else clean(entry.unit)),
            )
            if value is not None
        }
    elif entry.amount is not None:
        row["value" if table == "check" else "extent_percent"] = _measured(
            knowledge, table, code, entry.amount, entry.unit
        )
    if table == "check" and "value" not in row and "passed" not in row:
        raise SituationError(
            f"the check {code!r} has no outcome",
            instead="Write --amount with what was counted or measured, or --passed yes or no",
        )
    return table, row


def _begun(knowledge: Knowledge, entry: Entry, code: str) -> dict[str, Any]:
    """The row of new grass that was begun: where, how, which grass, and when."""
    task = knowledge.tasks.get(code)
    if code in knowledge.usual_methods:
        usual = knowledge.usual_methods[code]
        fits = [method for method, row in knowledge.methods.items() if row.begun_by == code]
    else:
        fits = (
            [code]
            if code in knowledge.methods
            else list(task.methods if task is not None and task.methods else knowledge.methods)
        )
        usual = fits[0] if len(fits) == 1 else ""
    method = usual if entry.method is None else coded(clean(entry.method))
    if method not in fits:
        raise SituationError(
            "the method is not told"
            if entry.method is None
            else f"--method {entry.method!r} is none of {code}",
            instead=f"Write --method with one of: {', '.join(fits)}",
        )
    plant = coded(clean(entry.grass or ""))
    if plant not in knowledge.plants:
        near = meant(plant, knowledge.plants) if plant else ""
        raise SituationError(
            f"{entry.grass!r} is no grass or mixture here"
            if plant
            else f"{clean(entry.what)!r} begins new grass, and which grass is not told",
            instead=near or 'Write --grass, such as --grass "perennial ryegrass"',
        )
    plant = knowledge.plants[plant]
    row: dict[str, Any] = {} if entry.zone is None else {"zone": clean(entry.zone)}
    row |= {"method": method, "mixture" if plant in knowledge.mixtures else "grass": plant}
    if task is not None and len(task.variants) == 1 and task.variants[0] != "plain":
        row["variant"] = task.variants[0]
    row["start"] = entry.on
    if entry.amount is not None:
        if knowledge.methods[method].made_from != "sod":
            raise SituationError(
                f"--amount does not belong to {_A['ongoing']} by {method}",
                instead="Take it out; of sod it is the thickness of its soil",
            )
        row["thickness_mm"] = _converted(entry.amount, entry.unit or "mm", "mm", "the thickness of sod")
    return row


def _written(unit: str) -> str:
    """A unit as people write it, by its usual sign."""
    return {"%": "percent", "inch": "in", "inches": "in"}.get(clean(unit).lower(), clean(unit))


def _measured(knowledge: Knowledge, table: Table, code: str, amount: float, unit: str | None) -> float:
    """A figure in the unit of its check, or in percent for a sign."""
    name = knowledge.opening[code].pass_light if table == "check" else ""
    own = "percent" if table == "seen" else knowledge.values[name].unit if name else "count"
    return amount if unit is None else _converted(amount, unit, own, code)


def _converted(amount: float, unit: str, own: str, what: str) -> float:
    """A figure in another unit than the one that people wrote; SituationError where the two do not fit."""
    try:
        return round(convert(amount, _written(unit), own), 6)
    except DecideError as error:
        raise SituationError(f"--unit {unit}: {error.wrong}", instead=f"{what} is told in {own}") from None


def toml_row(table: Table, row: Mapping[str, Any], newline: str = "\n") -> str:
    """A row as TOML text; a text can hold no quote, line end or control character that TOML would read."""
    written = tomlkit.dumps({table: [{key: _writable(value) for key, value in row.items()}]})
    return written.replace("\n", newline)


def _writable(value: Any) -> Any:
    """A value of a row as it is written: a whole number without a point, a text in one clean line."""
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value if isinstance(value, (bool, int, float, dt.date)) else clean(str(value))


def appended(data: bytes, knowledge: Knowledge, entry: Entry, name: str, today: dt.date) -> bytes:
    """The bytes of a situation file with one row more at their end; SituationError where file or row is not
    sound.

    `today` is the day that no row may lie after, where the file tells none.
    """
    before = read_situation(data, name)
    if data.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{"):
        raise SituationError(
            "this is a JSON file, to which no row can be appended",
            where=name,
            instead="Keep the situation as TOML: the record grows at its end",
        )
    table, row = row_of(knowledge, entry)
    day = before.dates.today or today
    if entry.on > day:
        told = f"dates.today in the file ({day})" if before.dates.today is not None else f"today ({day})"
        raise SituationError(
            f"{entry.on} lies after {told}",
            where=name,
            instead="Write --on with a day that has come"
            + (", or take dates.today out of the file" if before.dates.today else ""),
        )
    if "zone" in row and coded(row["zone"]) not in {*EVERYWHERE, *(coded(zone.name) for zone in before.zone)}:
        names = [zone.name for zone in before.zone]
        raise SituationError(
            f"zone {row['zone']!r} is not among the zones ({', '.join(names)})",
            where=name,
            instead=meant(row["zone"], names) or "Write one of those",
        )
    newline = "\r\n" if b"\r\n" in data else "\n"
    gap = (
        ""
        if not data or data.endswith(b"\n\n") or data.endswith(b"\r\n\r\n")
        else newline
        if data.endswith(b"\n")
        else 2 * newline
    )
    after = data + (gap + toml_row(table, row, newline)).encode()
    try:
        found = read_situation(after, name)
    except SituationError as error:
        if f"{table} = " in data.decode(errors="replace") or f"{table}=" in data.decode(errors="replace"):
            raise SituationError(
                f"{table} is written as a list in brackets, to which no row can be appended",
                where=name,
                instead=f"Write its rows as [[{table}]]",
            ) from None
        raise SituationError(error.wrong, where=name, instead=error.instead) from None
    _only_one_more(before, found, table, name)
    return after


def _only_one_more(before: Situation, after: Situation, table: Table, name: str) -> None:
    """Raise SituationError where the new file says anything else than the old one and one row more."""
    rows, more = getattr(before, table), getattr(after, table)
    same = after.model_copy(update={table: rows}) == before
    if not (same and len(more) == len(rows) + 1 and more[:-1] == rows):
        raise SituationError(
            "the row could not be appended without changing what the file says",
            where=name,
            instead="Write it into the file by hand",
        )


def record(path: Path, knowledge: Knowledge, entry: Entry, today: dt.date) -> bytes:
    """Append one row to the situation file at `path`; the file is whole at every moment. Gives the bytes that
    were added.
    """
    file = Path(os.path.realpath(path))
    try:
        data = plain_bytes(file, MOST_BYTES)
    except OSError as error:
        raise SituationError(
            error.strerror or "cannot be read", where=str(path), instead="Write the path of a situation file"
        ) from None
    after = appended(data, knowledge, entry, str(path), today)
    try:
        write_whole(file, after, mode=file.stat().st_mode & 0o777)
    except OSError as error:
        raise SituationError(
            error.strerror or "cannot be written",
            where=str(path),
            instead="See that the file and its folder may be written; nothing was changed",
        ) from None
    return after[len(data) :]


class Beside(Part):
    """A record kept in a file of its own, beside the situation."""

    ongoing: list[Ongoing] = Field(default_factory=list)
    done: list[Done] = Field(default_factory=list)
    check: list[Checked] = Field(default_factory=list)
    seen: list[Seen] = Field(default_factory=list)


def merged(situation: Situation, data: bytes, name: str) -> Situation:
    """The situation with the rows of a record file after its own; SituationError where that file is
    not one.
    """
    try:
        if len(data) > MOST_BYTES:
            raise TomlError(f"this has more than {MOST_BYTES:,} bytes")
        beside = Beside.model_validate(toml_table(data.decode("utf-8-sig")))
    except UnicodeDecodeError:
        raise SituationError("this is not UTF-8 text", where=name, instead="Save it as UTF-8") from None
    except TomlError as error:
        raise SituationError(
            f"not TOML: {error.said}",
            where=f"{name}, line {error.line}" if error.line else name,
            instead="Write [[done]], [[check]], [[seen]] and [[ongoing]]",
        ) from None
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        where = ".".join(str(part + 1) if isinstance(part, int) else str(part) for part in first["loc"])
        raise SituationError(
            f"{where}: {clean(str(first['msg']))}",
            where=name,
            instead=meant(str(first["loc"][0]), Beside.model_fields) if len(first["loc"]) == 1 else "",
        ) from None
    both = situation.model_copy(
        update={key: [*getattr(situation, key), *getattr(beside, key)] for key in Beside.model_fields}
    )
    for wrong in contradictions(both):
        raise SituationError(wrong, where=name)
    return both
