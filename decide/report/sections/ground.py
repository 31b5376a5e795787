"""The ground as it is: new grass that is under way, why it is bare, and what each part needs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from decide.model.ground import Ailment
from decide.model.watched import OpenNow, SignSeen
from decide.model.words import capital
from decide.report.blocks import Line, Span, Style, Table, cell, line
from decide.report.phrases import day_of, sentence
from decide.report.telling import Telling, and_more
from decide.report.words import say, word

REASONS_SHUT: Final = 4
# The causes that are living things.
_LIVES: Final = ("insects", "disease")
# What would save the season is told only where there is room for it.
_SAVED_IF: Final = " Saved if: "
_SEASON_STYLES: Final[dict[str, Style]] = {"lost": "bad", "may be saved": "warn"}


def how_it_goes(t: Telling) -> Iterator[Line | Table]:
    """New grass that is under way: signs that were seen, what to do today, and what still keeps it shut."""
    for row in t.advice.signs_seen:
        yield from _sign(t, row)
    for gate in t.advice.open_now:
        yield from _gate(t, gate)


def _sign(t: Telling, row: SignSeen) -> Iterator[Line]:
    season = word("season", row.season, say("season-is", state=row.season))
    seen = say("seen-on", sign=row.sign.rstrip("."), day=day_of(row.on))
    style = _SEASON_STYLES.get(row.season, "good")
    yield line(*t.where([row.zone]), f"{seen}: ", Span(f"{season}.", style), mark="-")
    yield line(say("look-at", what=sentence(row.look_at)), depth=1)
    yield line(Span(f"{say('do-today')}: ", "strong"), sentence(row.do), depth=1)
    yield line(sentence(row.because.partition(_SAVED_IF)[0] if t.short else row.because), depth=1)


def may_open(t: Telling, gate: OpenNow) -> Iterator[Span | str]:
    """Whether a part may be opened today, in the words of one line."""
    yield from t.where([gate.zone])
    for label, said in ((say("open-light"), gate.light), (say("open-full"), gate.full)):
        yield f"{label}: "
        yield Span(said, "good" if said == "yes" else "bad")
        yield ". "


def _gate(t: Telling, gate: OpenNow) -> Iterator[Line | Table]:
    yield line(*may_open(t, gate), say("no-test"), mark="-")
    shown = gate.because[-REASONS_SHUT:] if t.short else gate.because
    for reason in shown:
        yield line(sentence(reason), depth=1, mark="-")
    yield from and_more(len(gate.because) - len(shown), 1)
    if gate.checks and not t.short:
        head = (say("check"), say("on"), say("found"), say("light-use"), say("full-play"))
        yield Table(
            head,
            tuple(
                (
                    cell(Span(check.check, "strong")),
                    *map(cell, (day_of(check.on), check.found, check.light, check.full)),
                )
                for check in gate.checks
            ),
        )


def causes(t: Telling) -> Iterator[Line]:
    """Why it is bare; a cause of several parts is said once, and what lives in turf that is tended is said
    apart.
    """
    alike: dict[tuple[str, str, str, bool], list[str]] = {}
    tended = {answer.zone for answer in t.advice.programme if answer.decision == "tend the turf"}
    for cause in t.advice.causes:
        if cause.zone in tended and cause.code in _LIVES:
            continue
        key = (cause.bare_again_unless, cause.text, cause.look_at, cause.sure)
        alike.setdefault(key, []).append(cause.zone)
    for (unless, text, look_at, sure), zones in alike.items():
        yield line(Span(sentence(unless), "strong"), mark="-")
        yield line(*t.where(zones), sentence(text), depth=1)
        yield line(say("look-at", what=sentence(look_at)), depth=1)
        if not sure:
            yield line(say("not-certain"), depth=1)


def ailments(t: Telling) -> Iterator[Line]:
    """What lives in the turf, and what is done about it; what ails several parts alike is said once."""
    alike: dict[tuple[str, str], list[Ailment]] = {}
    for row in t.advice.ailments:
        alike.setdefault((row.code, row.do), []).append(row)
    for rows in alike.values():
        row = rows[0]
        yield line(
            *t.where(each.zone for each in rows), Span(f"{capital(row.name)}. ", "strong"), row.why, mark="-"
        )
        yield line(Span(f"{say('to-be-sure')}: ", "strong"), row.tell, depth=1)
        yield line(Span(f"{say('do-first')}: ", "strong"), row.do, depth=1)
        if row.leave:
            yield line(row.leave, depth=1)
        if row.treat:
            yield line(row.treat, depth=1)


def diagnosis(t: Telling) -> Iterator[Line]:
    """What each part needs."""
    alike: dict[str, list[str]] = {}
    for row in t.advice.diagnosis:
        alike.setdefault(row.text, []).append(row.zone)
    for text, zones in alike.items():
        yield line(*t.where(zones), sentence(text), mark="-")
