"""What is told of a field, in plain words, one thing a line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any, Final

from pydantic import BaseModel

from decide.decision.consultation import Consultation
from decide.knowledge.tables import Knowledge
from decide.lesson.chain import meaning
from decide.measure.dates import MONTH_CODES
from decide.model.situation import Situation, Use, Zone
from decide.model.words import capital
from decide.model.work import Proposal

# Keys, and tables, that have lines of their own.
_SAID: Final = frozenset({
    "place.name", "place.region", "place.country", "dates.today", "dates.play_by", "dates.play_by_firm",
    "dates.first_use", "dates.no_play", "use", "zone", "proposal", "history.herbicides", "wishes.first",
    "means.currency",
})  # fmt: skip
# Tables whose facts are said in sentences, or key by key.
_BY_THEMSELVES: Final = ("place.", "dates.")


def situation_lines(c: Consultation) -> Iterator[str]:
    """What a case tells, in plain words, one thing a line."""
    yield from (*ground_lines(c), *_site(c, c.filled.situation))
    yield from (_zone(c, code, zone) for code, zone in c.zones.items())
    yield from _rest(c)


def ground_lines(c: Consultation) -> Iterator[str]:
    """Place, day, dates and use."""
    k, s = c.knowledge, c.filled.situation
    place = c.filled.place_label or s.place.name
    if place:
        yield k.text("exercise-place", place=place)
    yield k.text("exercise-today", day=c.filled.today)
    yield from _dates(c, s)
    yield from (_use(c, use) for use in s.use or [])


def more_lines(c: Consultation) -> Iterator[str]:
    """All else that is told, but for the parts of the field: first what has words of its own, then every
    other key with its value.
    """
    s = c.filled.situation
    yield from (*_site(c, s), *_rest(c))
    facts = {kind.told for kind in c.types.values() if kind.kind == "told" and kind.scope == "site"}
    said = {key for key in facts if not key.startswith(_BY_THEMSELVES)} | _SAID
    for key, meant, value in _keys(c.knowledge, s):
        if key not in said and not any(key.startswith(f"{table}.") for table in _SAID):
            yield f"{capital(meant)}: {value}."


def zone_more_lines(c: Consultation, code: str) -> Iterator[str]:
    """All else that is told of a zone: every other key with its value."""
    facts = {kind.told for kind in c.types.values() if kind.kind == "told" and kind.scope == "zone"}
    for key, meant, value in _keys(c.knowledge, c.zones[code], "zone."):
        if key not in facts and key not in ("zone.name",) and not key.startswith("zone.grass"):
            yield f"{capital(meant)}: {value}."


def zone_line(c: Consultation, code: str) -> str:
    """What is told of a zone, in one line."""
    return _zone(c, code, c.zones[code])


def _rest(c: Consultation) -> Iterator[str]:
    k, s = c.knowledge, c.filled.situation
    for spray in s.history.herbicides or []:
        kind = k.language.named("level", spray.kind)
        if spray.date is None:
            yield k.text("exercise-sprayed-some-day", kind=kind)
        else:
            yield k.text("exercise-sprayed", day=spray.date, kind=kind)
    for wish in s.wishes.first or []:
        yield k.text("exercise-wish", wish=k.language.named("level", wish))
    yield from (_proposal(c, proposal) for proposal in s.proposal)


def _keys(k: Knowledge, model: BaseModel, path: str = "") -> Iterator[tuple[str, str, str]]:
    """Every told key with its meaning and its value in plain words, members of lists under the key of the
    list.
    """
    for name, info in type(model).model_fields.items():
        value = getattr(model, name)
        key = f"{path}{info.alias or name}"
        if isinstance(value, BaseModel):
            yield from _keys(k, value, f"{key}.")
        elif isinstance(value, list) and value and isinstance(value[0], BaseModel):
            for item in value:
                yield from _keys(k, item, f"{key}.")
        elif value is not None and value != []:
            yield key, (info.description or name).partition(";")[0], _said(k, value)


def _said(k: Knowledge, value: Any) -> str:
    if isinstance(value, bool):
        return k.text("yes" if value else "no")
    if isinstance(value, dt.date):
        return k.language.day(value)
    if isinstance(value, (list, tuple)):
        return k.language.listed([_said(k, each) for each in value])
    return f"{value:g}" if isinstance(value, float) else k.language.named("level", str(value))


def _month(k: Knowledge, code: str) -> str:
    return k.language.month_name(MONTH_CODES.index(code) + 1) if code in MONTH_CODES else code


def _dates(c: Consultation, s: Situation) -> Iterator[str]:
    k, dates = c.knowledge, s.dates
    if dates.play_by is not None:
        wanted = k.text(
            "exercise-wanted", use=k.language.named("level", dates.first_use or "play"), day=dates.play_by
        )
        firm = {True: k.text("exercise-date-firm"), False: k.text("exercise-date-soft"), None: ""}
        yield f"{wanted} {firm[dates.play_by_firm]}".strip()
    for span in dates.no_play or []:
        yield k.text("exercise-no-play", start=span.start, until=span.until)


def _use(c: Consultation, use: Use) -> str:
    k = c.knowledge
    said = k.text("exercise-use", sport=k.language.named("level", use.sport or "play"))
    if use.months:
        said = k.text(
            "exercise-use-months",
            use=said,
            months=[_month(k, each) for each in use.months],
        )
    if use.hours_per_week is not None:
        said = k.text("exercise-use-hours", use=said, hours=f"{use.hours_per_week:g}")
    players = f" ({k.language.named('level', use.players)})" if use.players else ""
    return f"{said}{players}."


def _zone(c: Consultation, code: str, zone: Zone) -> str:
    """What is told of a zone, in one line."""
    known = zone_lines(c, code)
    said = "; ".join(known) if known else c.knowledge.text("exercise-nothing-known")
    return f"{capital(zone.name)}: {said}."


def zone_lines(c: Consultation, code: str) -> list[str]:
    """What is told of a zone, one thing each; members of lists that are not there are not worth a word."""
    zone = c.zones[code]
    facts = c.zone_facts[code]
    known = [
        f"{meaning(c, kind.name)}: {c.say.fact(kind, facts[kind.name])}"
        for kind in c.types.values()
        if kind.kind == "told"
        and kind.scope == "zone"
        and facts.get(kind.name, False) is not False
        and _given(zone, kind.told)
    ]
    grasses = [
        f"{c.say.plant(str(one.grass).replace(' ', '-').lower())}{f' ({one.state})' if one.state else ''}"
        for one in zone.grass or []
    ]
    return known + ([c.knowledge.text("exercise-grasses", grasses=grasses)] if grasses else [])


def _site(c: Consultation, s: Situation) -> Iterator[str]:
    """The told facts of the site, those that come as lists gathered in one line."""
    gathered: dict[str, list[str]] = {}
    for kind in c.types.values():
        value = c.site.get(kind.name)
        if kind.kind != "told" or kind.scope != "site" or value is None or not _given(s, kind.told):
            continue
        if kind.told.startswith(_BY_THEMSELVES) or kind.told == "means.currency":
            continue
        head, colon, level = meaning(c, kind.name).partition(": ")
        if colon and isinstance(value, bool):
            gathered.setdefault(head, []).extend(
                [c.knowledge.language.named("level", level)] if value is True else []
            )
        else:
            currency = s.means.currency if kind.told == "means.budget" else None
            unit = f" {currency.upper()}" if currency else ""
            yield f"{capital(head)}: {c.say.fact(kind, value)}{unit}."
    for head, levels in gathered.items():
        if levels:
            yield f"{capital(head)}: {c.knowledge.language.listed(levels)}."


def _proposal(c: Consultation, proposal: Proposal) -> str:
    what = c.say.step(proposal.step)
    zone = f" ({proposal.zone})" if proposal.zone else ""
    if proposal.start:
        return c.knowledge.text("exercise-proposal-on", step=f"{what}{zone}", day=proposal.start)
    return c.knowledge.text("exercise-proposal", step=f"{what}{zone}")


def _given(holder: Any, told: str) -> bool:
    """Whether a key was told by the person."""
    table, _, key = told.rpartition(".")
    part = getattr(holder, table, None) if isinstance(holder, Situation) else holder
    return getattr(part, key, None) is not None
