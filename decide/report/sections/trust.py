"""How far to trust a page: what is not known, how sure it is, what was assumed, and the sources."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from decide.model import advice as model
from decide.model.words import capital
from decide.model.written import coded
from decide.report.blocks import Group, Line, Span, Style, line
from decide.report.phrases import day_of, key_in_words, sentence, value_in_words
from decide.report.telling import Telling, and_more
from decide.report.words import language, say, word

QUESTIONS_SHOWN: Final = 6
# The key under which the advice says what was done about height.
_CORRECTION: Final = "correction for height"
_SURE_STYLES: Final[dict[str, Style]] = {"firm": "good", "likely": "warn", "open": "warn"}


def ruler() -> Line:
    """What rules over every page."""
    return line(Span(say("ruler"), "strong"))


def unknown(t: Telling) -> Iterator[Line]:
    """Questions without an answer, by whether an answer could change the choice."""
    rows = t.advice.unknown
    could = [row for row in rows if row.changes_first_choice is True]
    untried = [row for row in rows if row.changes_first_choice is None]
    settled = [row for row in rows if row.changes_first_choice is False]
    yield from _questions(say("could-change-choice"), could)
    yield from _questions(say("not-tried"), untried, QUESTIONS_SHOWN if t.short else None)
    if t.short and settled:
        yield line(say("settled", n=len(settled)))
    else:
        yield from _questions(say("no-change"), settled)


def _questions(title: str, rows: Sequence[model.UnknownRow], most: int | None = None) -> Iterator[Line]:
    if not rows:
        return
    yield line(f"{title}:")
    shown = rows[:most]
    for row in shown:
        yield line(sentence(row.text), depth=1, mark="-")
    yield from and_more(len(rows) - len(shown), 1)


def trust(t: Telling) -> Iterator[Line]:
    """How sure the first choice is, how long it holds, and what it was made with."""
    a = t.advice
    level = Span(f"{word('sure', a.sure.level)}. ", _SURE_STYLES[a.sure.level])
    yield line(level, sentence(a.sure.why))
    for row in a.situation:
        # Less than half a degree is no news to a volunteer; the full advice lists it.
        if t.short and row.key == _CORRECTION and round(float(str(row.value))):
            yield line(capital(sentence(row.note)))
    assumed = sum(row.how == "assumed" for row in a.situation)
    if assumed and t.short:
        yield line(say("assumed-count", n=assumed))
    if a.valid_until:
        yield line(say("valid-until", day=day_of(a.valid_until)))
    digest = f" ({a.knowledge.digest})" if t.depth == "reasons" else ""
    yield line(say("knowledge-version", version=f"{a.knowledge.version}{digest}") + _agreed(a))
    yield ruler()


def _agreed(a: model.Advice) -> str:
    """On how much of it more than one engine agreed; "" where there was one."""
    n, checked = len(a.knowledge.engines), a.knowledge.checked
    if n == 1:
        return ""
    if not checked:
        return f" {say('engines-agreed', n=n)}"
    return f" {say('engines-agreed-on', n=n, checked=checked, options=a.options_judged or len(a.options))}"


def assumed(t: Telling) -> Iterator[Line]:
    """What was assumed or worked out."""
    names = {coded(answer.zone): answer.zone for answer in t.advice.programme}
    for row in t.advice.situation:
        if row.how == "told":
            continue
        note = row.note.replace("-", " ") if row.key == "climate" else row.note
        how = say("assumed") if row.how == "assumed" else say("worked-out")
        value = value_in_words(row.key, row.value)
        yield line(f"{_key(row.key, names)}: {value}, {how}{f' ({note})' if note else ''}.", mark="-")


def _key(key: str, names: dict[str, str]) -> str:
    """A key of the situation in words, a part by its own name."""
    table, *parts = key.split(".")
    of_part = table == "zone" and bool(parts[1:]) and parts[0] in names
    if of_part:
        own = ".".join(parts[1:])
        said = language().key(f"zone.{own}") or own.replace(".", " ").replace("_", " ")
        return f"{names[parts[0]]}: {said}"
    meant = language().key(key)
    return capital(meant) if meant else key_in_words(key)


def _by(row: model.SourceRow) -> str:
    by = sentence(", ".join(part for part in (row.publisher, row.year) if part))
    return f"{sentence(row.title)} {by} {capital(word('seen', row.seen))}."


def sources(t: Telling) -> Iterator[Line]:
    """The sources, and how each was seen."""
    for row in t.advice.sources:
        key = f"[{row.key}] " if t.depth == "reasons" else ""
        yield line(f"{key}{_by(row)}{f' {row.where}' if row.where else ''}", mark="-")


def sources_by_key(t: Telling) -> Iterator[Group]:
    """The sources under their keys, to which other lines lead."""
    rows = tuple(
        line(Span(row.key, "strong"), f": {_by(row)} {row.where}", mark="-", anchor=row.key)
        for row in t.advice.sources
    )
    if rows:
        yield Group("small", rows)
