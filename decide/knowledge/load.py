"""The knowledge folder, read strictly into typed tables; every mistake is an error with file, line and what to write instead."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, Final

from pydantic import BaseModel, TypeAdapter, ValidationError

from decide.knowledge.check import check_rows
from decide.knowledge.schema import (
    FIXED_SOURCES,
    Better,
    CauseRow,
    CautionRow,
    EdgeRow,
    FactRow,
    Grass,
    MeanwhileRow,
    MethodRow,
    Mixture,
    Need,
    OrderRow,
    PartName,
    Question,
    RegionalWindow,
    Row,
    RuleRow,
    Source,
    Sport,
    Tool,
    UsualRow,
    ValueRow,
    Variant,
    WishRow,
    Word,
)
from decide.knowledge.schema_care import Check, Patches, Sign, Supply, TaskTemplate, WaterStage, YearTask
from decide.knowledge.tables import Knowledge, Value
from decide.knowledge.texts import Language, TextRow
from decide.knowledge.values import check_ranges, key_families, value_of
from decide.model.errors import KnowledgeError, meant
from decide.model.files import data_folder
from decide.model.toml_lines import Lines
from decide.model.version import VERSION

_TABLES: Final[Mapping[str, type[Row]]] = {
    "grasses": Grass, "mixtures": Mixture, "equipment": Tool, "fields": Sport, "cautions": CautionRow, "needs": Need,
    "causes": CauseRow, "words": Word, "better": Better,
}  # fmt: skip


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


class _Folder:
    """One knowledge folder while it is read."""

    def __init__(self, folders: Iterable[Path]) -> None:
        self.folders = tuple(folders)
        self.where: dict[tuple[str, str], str] = {}
        self.texts: list[tuple[str, str]] = []

    def files(self, pattern: str) -> Iterator[tuple[str, dict[str, Any], Lines]]:
        for folder in self.folders:
            for path in sorted(folder.glob(pattern)):
                name = path.relative_to(folder).as_posix()
                try:
                    text = path.read_text(encoding="utf-8")
                except UnicodeDecodeError:
                    raise KnowledgeError(
                        "this is not UTF-8 text", where=name, instead="Save it as UTF-8"
                    ) from None
                self.texts.append((name, text))
                try:
                    data = tomllib.loads(text)
                except tomllib.TOMLDecodeError as error:
                    line = re.search(r"line (\d+)", str(error))
                    said = re.sub(r"\s*\(at .*\)$", "", str(error))
                    raise KnowledgeError(
                        f"not TOML: {said}", where=f"{name}:{line[1]}" if line else name
                    ) from None
                lines = Lines(text)
                for header in data:
                    if not any(path[:1] == (header,) for path in lines.at):
                        raise KnowledgeError(
                            f"the header of {header!r} is written in a way that gives no line",
                            where=name,
                            instead=f"Write [{header}]",
                        )
                yield name, data, lines

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
        adapter = TypeAdapter(row)
        out: dict[str, Any] = {}
        for name, data, lines in self.files(pattern):
            top = (
                data.get(inside, {})
                if inside
                else {key: raw for key, raw in data.items() if key != without and only in ("", key)}
            )
            for code, raw in self._rows(top, row):
                path = ((inside,) if inside else ()) + tuple(code.split("."))
                where = f"{name}:{lines.find(path)}"
                if code in out:
                    raise KnowledgeError(
                        f"{code!r} stands twice",
                        where=where,
                        instead=f"The other is at {self.where[table, code]}",
                    )
                out[code] = self._row(adapter, row, raw, where, lines, path, name)
                self.where[table, code] = where
        return out

    def _rows(self, top: Mapping[str, Any], row: type[BaseModel]) -> Iterator[tuple[str, Any]]:
        """Rows of a table; [site.water] is one row called "site.water", however TOML nests it."""
        known = {f.alias or key for key, f in row.model_fields.items()}
        for code, raw in top.items():
            if row in (FactRow, UsualRow) and isinstance(raw, dict):
                inner = {key: deep for key, deep in raw.items() if isinstance(deep, dict) and key != "is"}
                own = {key: deep for key, deep in raw.items() if key not in inner}
                if own or not inner:
                    yield code, own
                for name, deep in self._rows(inner, row):
                    yield f"{code}.{name}", deep
            elif (
                isinstance(raw, dict)
                and raw
                and not (set(raw) & known)
                and all(isinstance(deep, dict) for deep in raw.values())
            ):
                for name, deep in self._rows(raw, row):
                    yield f"{code}.{name}", deep
            else:
                yield code, raw

    def _row(
        self,
        adapter: TypeAdapter[Any],
        row: type[BaseModel],
        raw: Any,
        where: str,
        lines: Lines,
        path: tuple[Any, ...],
        name: str,
    ) -> Any:
        try:
            return adapter.validate_python(raw)
        except ValidationError as error:
            first = error.errors(include_url=False)[0]
            wrong, instead = _plain(first, row)
            line = lines.find((*path, *first["loc"]))
            raise KnowledgeError(
                f"{'.'.join(str(p) for p in path)}: {wrong}",
                where=f"{name}:{line}" if line else where,
                instead=instead,
            ) from None

    def array(self, table: str, pattern: str, header: str, row: type[BaseModel]) -> list[Any]:
        adapter = TypeAdapter(row)
        out: list[Any] = []
        for name, data, lines in self.files(pattern):
            for key in data:
                if key != header:
                    raise KnowledgeError(
                        f"unknown table {key!r}",
                        where=f"{name}:{lines.find((key,)) or lines.find((key, 0))}",
                        instead=f"Write [[{header}]]",
                    )
            for position, raw in enumerate(data.get(header, [])):
                path = (header, position)
                where = f"{name}:{lines.find(path)}"
                made = self._row(adapter, row, raw, where, lines, path, name)
                code = getattr(made, "id", "") or str(len(out))
                if (table, code) in self.where:
                    raise KnowledgeError(
                        f"{table} {code!r} stands twice",
                        where=where,
                        instead=f"The other is at {self.where[table, code]}",
                    )
                self.where[table, code] = where
                out.append(made)
        return out


def knowledge_folder() -> Path:
    """The folder that travels with the package, or the checkout's own."""
    return data_folder()


def read_knowledge(*folders: Path | str) -> Knowledge:
    """The knowledge of `folders` (of the package's own where none is given), each adding to those before it."""
    from hashlib import sha256

    paths = [Path(folder) for folder in folders] or [knowledge_folder()]
    for path in paths:
        if not path.is_dir():
            raise KnowledgeError("there is no such folder", where=str(path))
    read = _Folder(paths)
    sources: dict[str, Source] = read.table("source", "sources.toml", Source)
    for code in FIXED_SOURCES:
        if code not in sources:
            raise KnowledgeError(
                f"the source {code!r} is missing", where="sources.toml", instead=f"Write [{code}]"
            )
    tables = {name: read.table(name, f"{name}.toml", row) for name, row in _TABLES.items()}
    methods = read.table("method", "methods.toml", MethodRow, without="variants")
    variants = read.table("variant", "methods.toml", Variant, inside="variants")
    families = key_families(tables["grasses"], tables["mixtures"])
    values: dict[str, Value] = {}
    for name, row in read.table("value", "values/*.toml", ValueRow).items():
        where = read.where["value", name]
        subject = where.partition(":")[0].removeprefix("values/").removesuffix(".toml")
        values[name] = value_of(name, row, where, subject, sources, families)
    check_ranges(values)
    knowledge = Knowledge(
        folder=paths[0],
        sources=sources,
        values=values,
        facts=read.table("fact", "facts.toml", FactRow),
        rules=tuple(read.array("rule", "rules/*.toml", "rule", RuleRow)),
        grasses=tables["grasses"],
        mixtures=tables["mixtures"],
        methods=methods,
        variants=variants,
        equipment=tables["equipment"],
        fields=tables["fields"],
        cautions=tables["cautions"],
        needs=tables["needs"],
        causes=tables["causes"],
        words=tables["words"],
        opening=read.table("opening", "care/opening.toml", Check),
        rescue=read.table("rescue", "care/rescue.toml", Sign),
        better=tables["better"],
        usual=read.table("usual", "usual.toml", UsualRow),
        parts=read.table("part", "parts.toml", PartName),
        meanwhile=read.table("meanwhile", "meanwhile.toml", MeanwhileRow),
        windows={row.id: row for row in read.array("window", "windows.toml", "window", RegionalWindow)},
        edges=read.table("edge", "edges.toml", EdgeRow),
        questions=tuple(read.array("question", "questions.toml", "question", Question)),
        order=(order := _order(read.table("order", "weighing.toml", OrderRow, only="order"))).criteria,
        before_wishes=order.before_wishes,
        wishes={
            code: row.criterion
            for code, row in read.table("wish", "weighing.toml", WishRow, inside="wish").items()
        },
        tasks=read.table("task", "care/tasks.toml", TaskTemplate),
        watering=read.table("watering", "care/watering.toml", WaterStage),
        year=read.table("year", "care/year.toml", YearTask),
        supplies=read.table("supply", "care/supplies.toml", Supply, without="patches"),
        texts=read.table("text", "texts/*.toml", TextRow, without="language"),
        locale=next(
            iter(read.table("language", "texts/*.toml", Language, only="language").values()), Language()
        ).locale,
        patches=read.table("patches", "care/supplies.toml", Patches, only="patches").get("patches"),
        where=read.where,
        digest=sha256("\n".join(f"{name}\n{text}" for name, text in sorted(read.texts)).encode()).hexdigest()[
            :16
        ],
        version=VERSION,
    )
    check_rows(knowledge)
    return knowledge


def _order(rows: Mapping[str, OrderRow]) -> OrderRow:
    if "order" not in rows:
        raise KnowledgeError(
            "the order of the criteria is missing",
            where="weighing.toml",
            instead="Write [order] with criteria = […]",
        )
    return rows["order"]
