"""The report's own words: headings, labels and short sentences, from the one table beside this module, or as
a folder of knowledge has them.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Final

from decide.knowledge.texts import TextRow
from decide.knowledge.wording import Language, Said, own_language
from decide.model.errors import KnowledgeError, meant

if TYPE_CHECKING:
    from decide.knowledge.tables import Knowledge

_TABLE: Final = tomllib.loads(files(__package__).joinpath("words.toml").read_text("utf-8"))
TEXTS: Final[Mapping[str, TextRow]] = {
    code: TextRow.model_validate(row) for code, row in _TABLE["texts"].items()
}
CODES: Final[Mapping[str, Mapping[str, str]]] = _TABLE["codes"]


@dataclass(frozen=True)
class Words:
    """All words of the report: a language with its texts, and the words of its codes by their kind."""

    language: Language
    codes: Mapping[str, Mapping[str, str]]


# Set only while a report is drawn, and seen only by who draws it: threads and tasks each have their own.
_SPOKEN: Final[ContextVar[Words | None]] = ContextVar("words of the report", default=None)


@cache
def _own() -> Words:
    """The words of the report as they travel with the package."""
    own = own_language()
    return Words(replace(own, texts={**own.texts, **TEXTS}), CODES)


def wrong_words(knowledge: Knowledge) -> Iterator[KnowledgeError]:
    """Each word that a folder writes for the report and no report says, or whose hole nothing fills."""

    def unknown(table: str, code: str, what: str, wanted: str, known: Iterable[str]) -> KnowledgeError:
        names = list(known)
        instead = meant(wanted, names) or f"Write one of: {', '.join(sorted(names)[:12])}"
        return KnowledgeError(what, where=knowledge.where.get((table, code), ""), instead=instead)

    for code, row in knowledge.headings.items():
        if code not in TEXTS:
            yield unknown("heading", code, f"the report has no text {code!r}", code, TEXTS)
            continue
        for hole in sorted(row.holes - TEXTS[code].holes):
            holes = TEXTS[code].holes
            yield unknown("heading", code, f"text {code!r}: there is no hole {hole!r}", hole, holes)
    for kind, labels in knowledge.labels.items():
        if kind not in CODES:
            yield unknown("labels", kind, f"the report words no codes of the kind {kind!r}", kind, CODES)
            continue
        for code in labels:
            if code not in CODES[kind]:
                yield unknown("labels", kind, f"{kind}: there is no code {code!r}", code, CODES[kind])


def words_of(knowledge: Knowledge) -> Words:
    """The report's words as the folders of a knowledge have them; KnowledgeError where one of them belongs to
    no report.
    """
    for error in wrong_words(knowledge):
        raise error
    codes = {kind: {**labels, **knowledge.labels.get(kind, {})} for kind, labels in CODES.items()}
    texts = {**own_language().texts, **knowledge.texts, **TEXTS, **knowledge.headings}
    return Words(replace(knowledge.language, texts=texts), codes)


@contextmanager
def spoken(knowledge: Knowledge | None) -> Iterator[None]:
    """While this lasts the report speaks as the knowledge has it; without one as it did before."""
    if knowledge is None:
        yield
        return
    before = _SPOKEN.set(words_of(knowledge))
    try:
        yield
    finally:
        _SPOKEN.reset(before)


def _words() -> Words:
    return _SPOKEN.get() or _own()


def language() -> Language:
    """The language that the report speaks now."""
    return _words().language


def say(code: str, **holes: Said) -> str:
    """A text with its holes filled; DecideError where there is no such text, or a hole is left."""
    return language().say(code, holes)


def word(kind: str, code: str, unworded: str | None = None) -> str:
    """The words of a code; one that has none is said as `unworded`, or as it stands."""
    return _words().codes[kind].get(code, code if unworded is None else unworded)
