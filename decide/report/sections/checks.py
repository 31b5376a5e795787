"""Checks before a field is opened, and signs that it fails with what to do."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from decide.model.watched import OpeningCheck, RescueSign
from decide.report.blocks import TO_DO, Cell, Line, Span, Table, cell, cited, line
from decide.report.choices import picked
from decide.report.phrases import sentence
from decide.report.telling import Telling
from decide.report.words import say

# More parts than this have no column of their own in the table of checks.
MOST_PARTS: Final = 3


def checks(t: Telling) -> Iterator[Line | Table]:
    """The checks in a table."""
    if t.advice.opening:
        yield line(say("checks-rule"))
        yield Table(_head(), tuple(_row(check) for check in t.advice.opening))


def checks_to_tick(t: Telling) -> Iterator[Line | Table]:
    """The checks with columns to write in what was found in each part."""
    if not t.advice.opening:
        return
    zones = [answer.zone for answer in t.advice.programme if picked(t.advice, answer)]
    apart = t.many and 1 < len(zones) <= MOST_PARTS
    columns = tuple(say("found-in", zone=zone) for zone in zones) if apart else (say("found"),)
    ticks = tuple(
        (Span(TO_DO, "tick"), Span(f" {use}")) for use in (say("tick-light-use"), say("tick-full-play"))
    )
    yield line(say("checks-rule-and-write"))
    yield Table(
        (*_head(), *columns),
        tuple((*_row(check), *[ticks] * len(columns)) for check in t.advice.opening),
        say("opening-checks"),
        "checks",
        len(columns),
    )


def _head() -> tuple[str, ...]:
    return say("check"), say("how"), say("light-use"), say("full-play")


def _row(check: OpeningCheck) -> tuple[Cell, ...]:
    name = say("with-instrument", check=check.check) if check.instrument else check.check
    spots = f" {say('at-places', n=check.n)}" if check.n and str(check.n) not in check.how else ""
    return (
        cell(Span(name, "strong")),
        cell(sentence(check.how) + spots, cited(check.sources)),
        cell(check.pass_light),
        cell(check.pass_full),
    )


def rescue(t: Telling) -> Iterator[Table]:
    """Signs of failure, what to look at, and what to do."""
    if t.advice.rescue:
        head = (say("sign"), say("look"), say("do"))
        yield Table(head, tuple(_sign(row) for row in t.advice.rescue), say("signs-of-failure"))


def _sign(row: RescueSign) -> tuple[Cell, ...]:
    name = cell(Span(sentence(row.sign), "strong"))
    return name, cell(sentence(row.look_at)), cell(sentence(row.do), cited(row.sources))
