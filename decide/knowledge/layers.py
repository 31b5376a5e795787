"""Folders of the knowledge laid one over another: every row key by key, the word of the last folder
standing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, NamedTuple, get_origin

from pydantic import BaseModel, ValidationError

from decide.knowledge.bounds import ENDING, hidden
from decide.knowledge.kept import BESIDE
from decide.knowledge.rule_words import words_of_raw
from decide.knowledge.schema import FactRow, UsualRow
from decide.knowledge.tables import How, Override
from decide.model.errors import KnowledgeError, meant
from decide.model.toml_file import toml_file
from decide.model.toml_lines import Lines
from decide.model.version import KNOWLEDGE_FORM
from decide.model.written import coded

_LONGEST_SHOWN: Final = 40


class _File(NamedTuple):
    """A file of a folder: its name as it is shown, its tables, and their lines."""

    name: str
    data: Mapping[str, Any]
    lines: Lines


class _Place(NamedTuple):
    """Where a row stands, or one key of it."""

    file: _File
    path: tuple[Any, ...]
    layer: int

    def where(self, within: Sequence[Any] = ()) -> str:
        """File and line of what lies `within` the row."""
        line = self.file.lines.find((*self.path, *within))
        return f"{self.file.name}:{line}" if line else self.file.name


@dataclass
class _Written:
    """A row as all folders together have it: `last` wrote to it last, `keys` tells who wrote each key."""

    raw: Any
    last: _Place
    keys: dict[str, _Place]


def _plain_source(
    error: Mapping[str, Any], code: str, row: type[BaseModel], sources: Sequence[str]
) -> tuple[str, str] | None:
    """An error in the sources of the row `code` in words; None where it is another."""
    kind, loc = error["type"], error["loc"]
    if (
        kind == "missing"
        and loc == ("sources",)
        and get_origin(row.model_fields["sources"].annotation) is dict
    ):
        table = f"Write a table [{code}.sources] with a list for each key, "
        return "'sources' is missing", table + 'wear = ["memory"], or all = ["memory"]'
    if kind == "string_pattern_mismatch" and {"source", "sources"} & set(loc):
        written = str(error.get("input"))
        name = ".".join(map(str, loc))
        return f"{name}: {written!r} is not the name of a source", meant(coded(written), sources)
    return None


def _plain(error: Mapping[str, Any], row: type[BaseModel]) -> tuple[str, str]:
    """A validation error of a row in words: what is wrong, and what to write instead."""
    kind, loc = error["type"], error["loc"]
    # A field of two types adds the name of the type that was tried.
    if loc and loc[-1] in ("float", "int", "str", "bool"):
        loc = loc[:-1]
    name = ".".join(str(part) for part in loc)
    ctx = error.get("ctx") or {}
    known = [f.alias or key for key, f in row.model_fields.items()]
    if kind == "extra_forbidden":
        return f"unknown key {name!r}", meant(str(loc[-1]), known)
    if kind == "missing":
        return f"{name!r} is missing", f"Write {name} = …"
    if kind == "literal_error":
        return f"{name} is {error.get('input')!r}", f"Write one of: {ctx.get('expected', '')}".replace(
            "'", ""
        )
    if kind == "finite_number":
        return f"{name} is not a finite number", "Write a plain number"
    if kind in ("float_type", "int_type"):
        return f"{name} is {error.get('input')!r}, not a number", "Write a plain number"
    if kind == "string_type":
        shown = error.get("input")
        return f"{name} is {str(shown)!r}, not a text", "Write it in quotes"
    if kind == "string_pattern_mismatch":
        return f"{name} is {error.get('input')!r}", "It does not have the form " + str(ctx.get("pattern", ""))
    return f"{name}: {str(error['msg']).lower()}", ""


class Layers:
    """The folders while they are read; `where` gives file and line of each row, `overrides` what later
    folders changed.

    `stated` tells, of each value that a later folder states, which folder each statement is of ("" the first
    one).
    """

    def __init__(self, folders: Sequence[Path]) -> None:
        self.folders = tuple(folders)
        self.where: dict[tuple[str, str], str] = {}
        self.overrides: list[Override] = []
        self.stated: dict[str, list[str]] = {}
        self._read: dict[Path, tuple[_File, str]] = {}
        self._names = tuple(folder.resolve().name for folder in self.folders)

    @property
    def texts(self) -> Iterator[str]:
        """Names and texts of all files that were read, in a fixed order, for a digest."""
        for number, folder in enumerate(self.folders):
            for path, (_, text) in sorted(self._read.items()):
                if path.is_relative_to(folder):
                    yield f"{f'{number}/' if number else ''}{path.relative_to(folder).as_posix()}\n{text}"

    def table(
        self,
        table: str,
        pattern: str,
        row: type[BaseModel],
        *,
        inside: str = "",
        without: str = "",
        only: str = "",
    ) -> dict[str, Any]:
        """The rows of a table by code, out of all files of `pattern`."""
        rows: dict[str, _Written] = {}
        for layer in range(len(self.folders)):
            here: dict[str, _Place] = {}
            for file in self._files(layer, pattern):
                top = (
                    file.data.get(inside, {})
                    if inside
                    else {key: raw for key, raw in file.data.items() if key != without and only in ("", key)}
                )
                for code, raw in _rows(top, row):
                    place = _Place(file, ((inside,) if inside else ()) + tuple(code.split(".")), layer)
                    if code in here:
                        raise KnowledgeError(
                            f"{code!r} stands twice",
                            where=place.where(),
                            instead=f"The other is at {here[code].where()}",
                        )
                    here[code] = place
                    rows[code] = self._laid(table, code, rows.get(code), raw, place)
        return self._made(table, row, rows)

    def array(self, table: str, pattern: str, header: str, row: type[BaseModel]) -> list[Any]:
        """The rows of an array of tables; a later folder may switch rules off, by their ids under `off`."""
        rows: dict[str, _Written] = {}
        for layer in range(len(self.folders)):
            here: dict[str, _Place] = {}
            files = list(self._files(layer, pattern))
            for file in files:
                for key in file.data:
                    if key == "off" and layer and table == "rule":
                        self._switched_off(_Place(file, ("off",), layer), file.data["off"], rows)
                    elif key != header:
                        raise KnowledgeError(
                            f"unknown table {key!r}",
                            where=f"{file.name}:{file.lines.find((key,)) or file.lines.find((key, 0))}",
                            instead=f"Write [[{header}]]",
                        )
            for file in files:
                for position, raw in enumerate(file.data.get(header, [])):
                    place = _Place(file, (header, position), layer)
                    named = raw.get("id") or raw.get("key") if isinstance(raw, dict) else None
                    code = str(named or len(rows))
                    if code in here:
                        raise KnowledgeError(
                            f"{table} {code!r} stands twice",
                            where=place.where(),
                            instead=f"The other is at {here[code].where()}",
                        )
                    here[code] = place
                    rows[code] = self._laid(table, code, rows.get(code), raw, place)
        return list(self._made(table, row, rows).values())

    def check_forms(self) -> None:
        """KnowledgeError where a folder says that its tables are of another form than is read here."""
        for layer in range(len(self.folders)):
            for file in self._files(layer, "folder.toml"):
                for table in file.data:
                    if table != "folder":
                        where = _Place(file, (table,), layer).where()
                        raise KnowledgeError(
                            f"unknown table {table!r}", where=where, instead="Write [folder]"
                        )
                told = file.data.get("folder", {})
                if not isinstance(told, dict):
                    raise KnowledgeError("folder is no table", where=file.name, instead="Write [folder]")
                for key, form in told.items():
                    self._check_form(key, form, _Place(file, ("folder", key), layer).where())

    def _check_form(self, key: str, form: object, where: str) -> None:
        if key != "form":
            raise KnowledgeError(f"unknown key {key!r}", where=where, instead=meant(key, ["form"]))
        if isinstance(form, bool) or not isinstance(form, int) or form < 1:
            instead = f"Write form = {KNOWLEDGE_FORM}"
            raise KnowledgeError(f"form is {form!r}", where=where, instead=instead)
        if form != KNOWLEDGE_FORM:
            raise KnowledgeError(
                f"this folder is written in form {form}, and form {KNOWLEDGE_FORM} is read here",
                where=where,
                instead="Use a newer version of decide"
                if form > KNOWLEDGE_FORM
                else "DEVELOPERS.md says what each form changed",
            )

    def check_files(self) -> None:
        """KnowledgeError where a later folder has a file that no table is read from."""
        for folder in self.folders[1:]:
            for path in sorted(folder.rglob(f"*{ENDING}")):
                name = path.relative_to(folder).as_posix()
                if any(map(hidden, name.split("/"))):
                    continue
                if path not in self._read and not name.startswith(BESIDE):
                    known = {
                        read.relative_to(self.folders[0]).as_posix()
                        for read in self._read
                        if read.is_relative_to(self.folders[0])
                    }
                    raise KnowledgeError(
                        "no table is read from a file of this name",
                        where=str(path),
                        instead=meant(name, known),
                    )

    def _files(self, layer: int, pattern: str) -> Iterator[_File]:
        folder = self.folders[layer]
        for path in sorted(folder.glob(pattern)):
            if hidden(path.name):
                continue
            if path not in self._read:
                name = path.relative_to(folder).as_posix()
                self._read[path] = _parsed(path, f"{folder}/{name}" if layer else name)
            yield self._read[path][0]

    def _laid(self, table: str, code: str, old: _Written | None, raw: Any, place: _Place) -> _Written:
        """The row after a folder has written to it."""
        keys = dict.fromkeys(raw if isinstance(raw, dict) else (), place)
        if old is None or not (isinstance(raw, dict) and isinstance(old.raw, dict)):
            if place.layer:
                changed = () if old is None else ((("", _shown(old.raw), _shown(raw))),)
                self._overridden(table, code, "added" if old is None else "changed", changed, place)
            made = _Written(raw, place, keys)
            before: dict[str, Any] = {}
        else:
            before = old.raw
            if table == "value":
                raw, said = self._restated(code, before, raw, place)
            else:
                said = [
                    (key, _shown(before.get(key)), _shown(new))
                    for key, new in raw.items()
                    if before.get(key) != new
                ]
            if said:
                self._overridden(table, code, "changed", said, place, before)
            made = _Written({**before, **raw}, place, {**old.keys, **keys})
        return made

    def _overridden(
        self,
        table: str,
        code: str,
        how: How,
        changed: Sequence[tuple[str, str, str]],
        place: _Place,
        before: Any = None,
    ) -> None:
        was = words_of_raw(before) if table == "rule" and isinstance(before, dict) else ()
        self.overrides.append(
            Override(table, code, how, tuple(changed), self._names[place.layer], place.where(), was)
        )

    def _restated(
        self, name: str, before: Mapping[str, Any], raw: Mapping[str, Any], place: _Place
    ) -> tuple[dict[str, Any], list[tuple[str, str, str]]]:
        """A value's keys with its statements added to those before, which go out of use for the same keys;
        and what changed.
        """
        unit = before.get("unit", "")
        old = [{"unit": unit, **said} for said in before.get("says", ())]
        new = raw.get("says", [])
        bare = raw.get("no-data", [])
        if not (
            isinstance(new, list) and isinstance(bare, list) and all(isinstance(said, dict) for said in new)
        ):
            return dict(raw), []
        keys = [said.get("key", "") for said in new]
        kept = [said for said in old if said.get("key", "") not in bare]
        used = {
            said.get("key", ""): said
            for said in old
            if said.get("use") or [each.get("key", "") for each in old].count(said.get("key", "")) == 1
        }
        # What the later folder alone states of a key needs no mark to be the one in use.
        stated = [
            said if "use" in said or keys.count(key) > 1 else {**said, "use": True}
            for key, said in zip(keys, new, strict=True)
        ]
        out = [{**said, "use": False} if said.get("key", "") in keys else said for said in kept]
        by = self.stated.get(name, [""] * len(old))
        self.stated[name] = [self._names[place.layer]] * len(new) + [
            folder for folder, said in zip(by, old, strict=True) if said in kept
        ]
        changed = []
        for key, said in zip(keys, stated, strict=True):
            if said.get("use"):
                had = used.get(key)
                shown = "" if had is None else _number(had, unit)
                changed.append((key, shown, _number(said, raw.get("unit", unit))))
        changed += [(key, _number(used[key], unit), "no data") for key in bare if key in used]
        changed += [
            (key, _shown(before.get(key)), _shown(held))
            for key, held in raw.items()
            if key not in ("says", "no-data") and before.get(key) != held
        ]
        no_data = [key for key in before.get("no-data", ()) if key not in keys and key not in bare]
        return {**raw, "says": [*stated, *out], "no-data": [*no_data, *bare]}, changed

    def _switched_off(self, place: _Place, ids: object, rows: dict[str, _Written]) -> None:
        """Take the rules out that a later folder switches off."""
        if not isinstance(ids, list) or not all(isinstance(code, str) for code in ids):
            raise KnowledgeError(
                "off is not a list of rules", where=place.where(), instead='Write off = ["rule-id"]'
            )
        for code in ids:
            if code not in rows:
                raise KnowledgeError(
                    f"there is no rule {code!r} to switch off",
                    where=place.where(),
                    instead=meant(code, rows),
                )
            self._overridden("rule", code, "off", (), place, rows.pop(code).raw)

    def _made(self, table: str, row: type[BaseModel], rows: Mapping[str, _Written]) -> dict[str, Any]:
        """The rows as their type has them; KnowledgeError at the first that does not fit."""
        made: dict[str, Any] = {}
        for code, written in rows.items():
            self.where[table, code] = written.last.where()
            try:
                made[code] = row.model_validate(written.raw)
            except ValidationError as error:
                first = error.errors(include_url=False)[0]
                sources = [name for of, name in self.where if of == "source"]
                wrong, instead = _plain_source(first, code, row, sources) or _plain(first, row)
                place = written.keys.get(str(first["loc"][0]), written.last) if first["loc"] else written.last
                if first["type"] == "missing" and place.layer and first["loc"] != ("sources",):
                    instead = f"{instead}. {meant(code, [name for name in rows if name != code])}".rstrip(
                        ". "
                    )
                raise KnowledgeError(
                    f"{'.'.join(str(p) for p in place.path)}: {wrong}",
                    where=place.where(first["loc"]),
                    instead=instead,
                ) from None
        return made


def _number(said: Mapping[str, Any], unit: str) -> str:
    """A number as it is written, with its unit, or whose it is."""
    return f"as {said['like']}" if "like" in said else f"{said.get('value')} {said.get('unit', unit)}"


def _shown(held: object) -> str:
    """A short value as written, or nothing where it is a longer thing."""
    if isinstance(held, bool):
        return str(held).lower()
    return (
        str(held)
        if isinstance(held, (int, float)) or (isinstance(held, str) and len(held) <= _LONGEST_SHOWN)
        else ""
    )


def _parsed(path: Path, name: str) -> tuple[_File, str]:
    """A file and its text; KnowledgeError where it cannot be read, or a line of it cannot be told."""
    text, data = toml_file(path, name)
    lines = Lines(text)
    heads = {path[:1] for path in lines.at}
    for header in data:
        if (header,) not in heads:
            raise KnowledgeError(
                f"the header of {header!r} is written in a way that gives no line",
                where=name,
                instead=f"Write [{header}]",
            )
    return _File(name, data, lines), text


def _rows(top: Mapping[str, Any], row: type[BaseModel]) -> Iterator[tuple[str, Any]]:
    """Rows of a table; [site.water] is one row called "site.water", however TOML nests it."""
    known = {f.alias or key for key, f in row.model_fields.items()}
    for code, raw in top.items():
        if row in (FactRow, UsualRow) and isinstance(raw, dict):
            inner = {key: deep for key, deep in raw.items() if isinstance(deep, dict) and key != "is"}
            own = {key: deep for key, deep in raw.items() if key not in inner}
            if own or not inner:
                yield code, own
            for name, deep in _rows(inner, row):
                yield f"{code}.{name}", deep
        elif (
            isinstance(raw, dict)
            and raw
            and not (set(raw) & known)
            and all(isinstance(deep, dict) for deep in raw.values())
        ):
            for name, deep in _rows(raw, row):
                yield f"{code}.{name}", deep
        else:
            yield code, raw
