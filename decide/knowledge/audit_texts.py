"""What texts name there is, and sentences end as sentences do; sources and cases name only what stands."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from decide.engine.language import SCOPES, VERDICTS, FactType
from decide.engine.written import Numbers, parse_condition, parse_template
from decide.knowledge.compile import told_facts
from decide.knowledge.logic import Found
from decide.knowledge.schema import FIXED_SOURCES, Conditional
from decide.knowledge.tables import Knowledge
from decide.measure.numbers import EDGE_CODES
from decide.model.errors import KnowledgeError, meant
from decide.model.toml_file import toml_file
from decide.model.toml_lines import Lines
from decide.model.work import STEPS

ENDS = re.compile(r"[.?!]$")


def texts_in(row: object) -> Iterator[str]:
    if isinstance(row, str):
        yield row
    elif isinstance(row, BaseModel):
        yield from texts_in(row.model_dump())
    elif isinstance(row, Mapping):
        for each in row.values():
            yield from texts_in(each)
    elif isinstance(row, (list, tuple)):
        for each in row:
            yield from texts_in(each)


def conditionals(row: object) -> Iterator[Conditional]:
    """Every part of a row that has conditions, the row itself first."""
    if isinstance(row, Conditional):
        yield row
    parts = vars(row).values() if isinstance(row, BaseModel) else row if isinstance(row, tuple) else ()
    for part in parts:
        yield from conditionals(part)


def rows_of(k: Knowledge) -> Iterator[tuple[str, str, Any]]:
    """Rows that hold texts, sources and names of values: table, code, row (rules and values apart)."""
    tables: Mapping[str, Mapping[str, BaseModel]] = {
        "grasses": k.grasses, "mixtures": k.mixtures, "method": k.methods, "variant": k.variants,
        "equipment": k.equipment, "fields": k.fields, "cautions": k.cautions, "needs": k.needs,
        "causes": k.causes, "words": k.words,
        "opening": k.opening, "rescue": k.rescue, "better": k.better, "window": k.windows,
        "task": k.tasks, "watering": k.watering, "year": k.year, "supply": k.supplies,
        "usual": k.usual, "area": k.areas, "local-price": k.local_prices,
        "local-word": k.local_words,
        "meanwhile": k.meanwhile, "ailment": k.ailments, "shape": k.shapes,
        "remedy": k.remedies, "fate": k.fates, "sure": k.sure, "bar": k.bars,
        "reckoned": k.reckoned, "growth": k.growth, "play": k.play, "water-means": k.water_means,
        "failure": k.failure, "feed-law": k.feed_laws, "topic": k.topics,
    }  # fmt: skip
    for table, rows in tables.items():
        for code, row in rows.items():
            yield table, code, row
    for name, judgement in (("next-window", k.next_window), ("no-remedy", k.no_remedy)):
        if judgement is not None:
            yield name, name, judgement
    for question in k.questions:
        yield "question", question.id or question.key, question


def answers_for(k: Knowledge, table: str, code: str) -> bool:
    """Whether it is for these folders to mend what no longer serves: where folders are laid over, only what
    they wrote.
    """
    return not k.overrides or bool(k.folder_of(table, code))


def check_texts(k: Knowledge, facts: Mapping[str, FactType], numbers: Numbers) -> Found:
    """Holes and conditions outside the rules name what there is; sentences end."""
    for table, code, row in rows_of(k):
        where = k.where.get((table, code), "")
        conditions = [text for part in conditionals(row) for text in (*part.when, *part.unless)]
        for text in texts_in(row):
            if "{" in text and text not in conditions:
                try:
                    parse_template(text, facts, numbers, SCOPES)
                except KnowledgeError as error:
                    yield KnowledgeError(f"{code}: {error.wrong}", where=where, instead=error.instead)
        if table in (
            "cautions",
            "needs",
            "better",
            "task",
            "watering",
            "year",
            "usual",
            "meanwhile",
        ) and not ENDS.search(row.because if table == "usual" else row.text):
            yield KnowledgeError(
                f"{code}: the text does not end like a sentence",
                where=where,
                instead="End it with a full stop",
            )
        for text in conditions:
            try:
                parse_condition(text, facts, numbers)
            except KnowledgeError as error:
                yield KnowledgeError(f"{code}: {error.wrong}", where=where, instead=error.instead)
    for rule in k.rules:
        where = k.where.get(("rule", rule.id), "")
        for text in (rule.because, *(exception.because for exception in rule.unless)):
            if not ENDS.search(text):
                yield KnowledgeError(
                    f"rule {rule.id!r}: {text!r} does not end like a sentence",
                    where=where,
                    instead="End it with a full stop",
                )
            if not re.match(r"[A-Z0-9{\"“]", text):
                yield KnowledgeError(
                    f"rule {rule.id!r}: {text!r} does not begin like a sentence",
                    where=where,
                    instead="Begin with a capital",
                )
            if "  " in text or text != text.strip():
                yield KnowledgeError(
                    f"rule {rule.id!r}: {text!r} has spaces too many",
                    where=where,
                    instead="One space between words",
                )


def check_sources(k: Knowledge) -> Found:
    used: set[str] = {statement.source for value in k.values.values() for statement in value.statements}
    for rule in k.rules:
        used.update(rule.sources)
    for _, case, _ in cases_in(k):
        used.update(texts_in(case.get("sources", ())))
    for table, code, row in rows_of(k):
        named = set(texts_in(getattr(row, "sources", ())))
        used |= named
        for source in sorted(named - set(k.sources)):
            yield KnowledgeError(
                f"{code}: {source!r} is not a source",
                where=k.where.get((table, code), ""),
                instead=meant(source, k.sources),
            )
    for code, held in k.sources.items():
        # What a later folder calls its own is a club's own record.
        own = held.seen == "own" and not k.folder_of("source", code)
        unseen = own or (held.seen == "memory" and not held.note)
        if unseen and code not in FIXED_SOURCES:
            yield KnowledgeError(
                f"source {code!r} is cited but was not seen",
                where=k.where.get(("source", code), ""),
                instead='Write seen = "opened" or "excerpt", or "memory" with a note of what was searched',
            )
        if code not in used and code not in FIXED_SOURCES and answers_for(k, "source", code):
            yield KnowledgeError(
                f"source {code!r} is never named",
                where=k.where.get(("source", code), ""),
                instead="Take it out",
            )


def case_files(k: Knowledge) -> Iterator[tuple[str, Path]]:
    """The files of cases of all folders, each with its name as it is shown."""
    for folder in (k.folder, *k.over):
        for path in sorted((folder / "cases").glob("*.toml")):
            yield str(path) if k.over and folder != k.folder else f"cases/{path.name}", path


def cases_in(k: Knowledge) -> Iterator[tuple[str, Mapping[str, Any], Lines]]:
    """Cases as written: file, table, lines."""
    for name, path in case_files(k):
        text, data = toml_file(path, name)
        yield name, data, Lines(text)


def _signed(text: str) -> Iterator[tuple[str, str]]:
    """The codes that what is signed of a step names, each with what it is a code of."""
    verdict, *terms = text.split(";")
    yield "proposals", verdict.strip()
    for term in terms:
        word, *codes = term.split() or [""]
        if word in ("needs", "warns", "no"):
            yield from ((word, code) for code in codes)


def check_stale_cases(k: Knowledge) -> Found:
    """Cases name only what there is: a code that does not exist would be met for ever, or never."""
    plants = (*k.grasses, *k.mixtures)
    verdicts = tuple(dict.fromkeys(verdict for each in VERDICTS.values() for verdict in each))
    known: Mapping[str, tuple[str, Iterable[str]]] = {
        "cautions": ("caution", k.cautions), "no_cautions": ("caution", k.cautions),
        "needs": ("need", k.needs), "no_needs": ("need", k.needs),
        "causes": ("cause", k.causes), "no_causes": ("cause", k.causes),
        "no": ("need or caution", (*k.needs, *k.cautions)),
        "warns": ("caution", k.cautions), "sources": ("source", k.sources),
        "verdict": ("verdict", verdicts), "proposals": ("verdict", (*verdicts, "any")),
        "plant": ("grass or mixture", plants),
        "task": ("task", (*k.tasks, *k.watering)), "method": ("method", k.methods),
        "variant": ("variant", ("plain", *k.variants)),
    }  # fmt: skip

    def named(table: object, path: tuple[Any, ...]) -> Iterator[tuple[tuple[Any, ...], str, str]]:
        if isinstance(table, Mapping):
            for key, held in table.items():
                if key == "proposals":
                    yield from (
                        ((*path, key), name, word) for text in texts_in(held) for name, word in _signed(text)
                    )
                elif key in known:
                    yield from (((*path, key), key, word) for word in texts_in(held))
                elif key not in ("situation", "with", "values"):
                    yield from named(held, (*path, key))
        elif isinstance(table, list):
            for position, held in enumerate(table):
                yield from named(held, (*path, position))

    for file, case, lines in cases_in(k):
        for path, key, word in named(case, ()):
            what, names = known[key]
            if word not in names:
                keys = ".".join(each for each in path if isinstance(each, str))
                yield KnowledgeError(
                    f"{keys}: {word!r} is not a {what}",
                    where=f"{file}:{lines.find(path)}",
                    instead=meant(word, names),
                )


def _worded(k: Knowledge) -> Iterator[str]:
    """The texts that a folder may add: the words of a code that is said as it stands where it has none."""
    told = list(told_facts(k))
    for levels in (*(fact.levels for fact in told), *(fact.levels for fact in k.facts.values())):
        yield from (f"level-{code}" for code in levels or ())
    yield from (f"key-{fact.told}" for fact in told)
    yield from (f"level-{code}" for code in (*k.fields, *k.wishes))
    yield from (f"step-{code}" for code in STEPS)
    yield from (f"tool-{code}" for code in k.equipment)
    yield from (f"who-{row.who}" for row in k.tasks.values())


def check_added_texts(k: Knowledge) -> Found:
    """A text that a later folder adds is one that nothing says, but for the words of a code: what is said
    stands in the first folder.
    """
    worded = set(_worded(k))
    added = {
        each.code: each.where
        for each in k.overrides
        if (each.table, each.how) == ("text", "added") and each.code not in worded
    }
    for code, where in added.items():
        yield KnowledgeError(
            f"text {code!r} is read nowhere", where=where, instead=meant(code, k.texts.keys() - added.keys())
        )


def check_edges(k: Knowledge) -> Found:
    """Every reason of a window has its sentence, and no sentence stands for nothing."""
    for code in sorted(set(k.edges) ^ set(EDGE_CODES)) if k.edges else ():
        if code in EDGE_CODES:
            yield KnowledgeError(
                f"a window can open, close or be missing by {code!r}, which has no sentence",
                where="edges.toml",
                instead=f"Write [{code}]",
            )
        else:
            yield KnowledgeError(
                f"no window gives the reason {code!r}",
                where=k.where.get(("edge", code), ""),
                instead=meant(code, EDGE_CODES),
            )
    for code, edge in k.edges.items():
        if not ENDS.search(edge.says):
            yield KnowledgeError(
                f"{code}: the text does not end like a sentence",
                where=k.where.get(("edge", code), ""),
                instead="End it with a full stop",
            )
