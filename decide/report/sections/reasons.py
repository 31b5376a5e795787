"""How it followed: all options with their first reason, grades of the choice, rules behind them, trace."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, get_args

from decide.engine.language import CRITERIA
from decide.model.advice import Option
from decide.model.row import Grade
from decide.report.blocks import Heading, Line, Span, Style, Table, cell, line
from decide.report.choices import alike_but_start, chosen, first_reason, marked, without_start
from decide.report.phrases import days_of, sentence, value_said
from decide.report.sections.choice import SPEAKS_STYLES
from decide.report.telling import Telling
from decide.report.words import language, say, word

GROUPS: Final = ("advised", "sound", "sound-if", "risky", "late", "not-advised", "ruled-out")
_GRADE_STYLES: Final[dict[Grade, Style]] = {
    "strong": "good",
    "fair": "",
    "doubtful": "warn",
    "unknown": "warn",
    "weak": "bad",
    "poor": "bad",
    "lost": "bad",
}


def options(t: Telling) -> Iterator[Heading | Line]:
    """All options by verdict; those with one reason stand under it, starts of one way in one line."""
    for verdict in GROUPS:
        rows = [option for option in t.advice.options if marked(option.verdict, option.rests_on) == verdict]
        if rows:
            yield Heading(word("group", verdict))
            yield from _by_reason(t, rows)


def _by_reason(t: Telling, rows: list[Option]) -> Iterator[Line]:
    by_reason: dict[str, dict[tuple[str, str], list[str]]] = {}
    for alike in alike_but_start(rows):
        starts = days_of([option.start for option in alike if option.start])
        named = by_reason.setdefault(first_reason(alike[0]), {})
        named.setdefault((without_start(alike[0]), starts), []).append(alike[0].zone)
    for why, named in by_reason.items():
        yield line(Span(sentence(why), "strong"))
        for (title, starts), zones in named.items():
            when = f": {starts}" if starts else ""
            yield line(f"{title}{when}{t.of(language().listed(zones))}", depth=1, mark="-")


def grades(t: Telling) -> Iterator[Heading | Line | Table]:
    """The grades of the choice at both ends, with the first reason for each."""
    rows = chosen(t.advice)
    if rows:
        yield line(say("grades-order", grades=", ".join(language().grade(each) for each in get_args(Grade))))
    head = (say("criterion"), say("at-worst"), say("at-best"), say("reason"))
    for option in rows:
        yield Heading(option.title + t.of(option.zone))
        yield Table(
            head,
            tuple(
                (
                    cell(Span(_criterion(name), "strong")),
                    cell(Span(language().grade(row.grade), _GRADE_STYLES[row.grade])),
                    cell(Span(language().grade(row.best), _GRADE_STYLES[row.best])),
                    cell(row.reason or say("no-rule-spoke")),
                )
                for name, row in option.grades.items()
            ),
        )


def rules(t: Telling) -> Iterator[Heading | Line]:
    """Every reason of the choice with its rules and sources."""
    for option in chosen(t.advice):
        if option.reasons:
            yield Heading(option.title + t.of(option.zone))
        for reason in option.reasons:
            criterion = _criterion(reason.criterion)
            grade = "" if reason.grade == "ruled-out" else f" ({language().grade(reason.grade)})"
            label = f"{word('speaks', reason.grade)}{grade}{f', {criterion}' if criterion else ''}: "
            yield line(Span(label, SPEAKS_STYLES[reason.grade]), sentence(reason.text), mark="-")
            sources = ", ".join(reason.sources) or say("none")
            yield line(say("rules-and-sources", rules=", ".join(reason.rules), sources=sources), depth=1)
            if reason.open:
                yield line(say("open-exceptions", names=", ".join(reason.open)), depth=1)


def trace(t: Telling) -> Iterator[Line]:
    """Each step of the reasoning."""
    for row in t.advice.trace:
        facts = ", ".join(f"{name} = {value_said(value)}" for name, value in row.facts.items())
        follows = f"{facts} → " if facts else ""
        yield line(
            f"{row.step}. {say('trace-step', rule=row.rule, about=row.about)}: {follows}{row.concludes}"
        )


def _criterion(code: str) -> str:
    return language().criterion(code) if code in CRITERIA else code
