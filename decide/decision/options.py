"""The options of a zone: remedy, and for new grass method × grass × start date; made from tables and windows,
never judged here.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from decide.facts.declare import Sheet
from decide.facts.draft import Draft, begun, can_be_had, can_work, is_free, lead_days, lead_grass, planted
from decide.facts.filled import Filled, zone_of
from decide.measure import dates
from decide.measure.window import OPEN_QUALITIES, Windows

MOST_ROWS: Final = 400

# What the list of options is made of.
LISTED: Final = Sheet[Any]()


def _first(filled: Filled, day: dt.date, last: dt.date) -> dt.date | None:
    """The first day from `day` to `last` on which work is allowed."""
    while day <= last:
        if can_work(filled, day):
            return day
        day += dt.timedelta(days=1)
    return None


def _first_free(filled: Filled, zone: str, day: dt.date, last: dt.date) -> dt.date | None:
    """The first day from `day` to `last` on which work is allowed and nobody plays."""
    while day <= last:
        if can_work(filled, day) and is_free(filled, zone, day):
            return day
        day += dt.timedelta(days=1)
    return None


@LISTED.quantity("delivery-days", keys=["offer"], values=["lead-order", "thick-sod-least"])
def delivery_days(filled: Filled, draft: Draft) -> int:
    """Days until seed, sod or plants can be there: what the quickest fitting seller says, else what is usual
    for the method.
    """
    return lead_days(filled, draft)


@LISTED.quantity("owner-days", keys=["site.owner_agrees", "site.weeks_until_yes"])
def owner_days(filled: Filled) -> int:
    """Days until the owner's answer is there, as told; 0 where the owner agrees or nobody told."""
    site = filled.situation.site
    return (
        0
        if site.owner_agrees is True or site.weeks_until_yes is None
        else math.ceil(7 * site.weeks_until_yes)
    )


def _rainy_days(filled: Filled, draft: Draft, all_windows: Windows, there: dt.date) -> Iterator[dt.date]:
    """Where nobody can water: in each open window the first day on which usual rain covers what turf uses, as
    far as that is known.
    """
    doubt = filled.library.constants.water.doubt_share
    season = filled.library.knowledge.grasses[lead_grass(filled.library.knowledge, draft.plant)].season_type
    for window in all_windows.windows:
        if window.quality not in OPEN_QUALITIES:
            continue
        opens = (
            there if window.holds(dates.day_of_year(there)) else dates.date_on_or_after(window.opens, there)
        )
        closes = dates.date_on_or_after(window.closes, opens)
        day = opens
        while day <= closes:
            at = dates.day_of_year(day)
            short, need = filled.rain_short(at, season), filled.need_mm_a_day(at, season)
            if short is not None and need is not None and short <= doubt * 7 * need:
                first = _first(filled, day, closes)
                if first is not None:
                    yield first
                break
            day += dt.timedelta(days=7)


def _first_with(filled: Filled, draft: Draft, earliest: dt.date, last: dt.date) -> Iterator[dt.date]:
    """The first day of work with water, and with what is ordered on the first day with money, where there is
    none before: each is a start of its own.
    """
    means = filled.situation.means
    paid = means.budget_from and means.budget_from + dt.timedelta(days=delivery_days(filled, draft))
    for there in (means.water_from, paid):
        first = None if there is None or there <= earliest else _first(filled, there, last)
        if first is not None:
            yield first


@LISTED.quantity(
    "starts",
    keys=["season", "latitude", "today", "dates.no_work", "dates.no_play", "zone.in_play", "use",
          "means.water"],
    also=["means.water_from", "means.budget_from"],
    facts=["delivery-days", "owner-days"],
)  # fmt: skip
def starts(filled: Filled, draft: Draft) -> list[tuple[dt.date, str]]:
    """The start days of one grass and method: the earliest, each opening within a year, the first day without
    play in each window, and the last safe day.

    The earliest is the first day on which what is sown or laid can be there; the last safe day stands even
    where it cannot.
    """
    today = filled.today
    year = today + dt.timedelta(days=364)
    there = today + dt.timedelta(days=max(delivery_days(filled, draft), owner_days(filled)))
    earliest = _first(filled, there, year)
    if earliest is None:
        return []
    found: dict[dt.date, str] = {earliest: "earliest"}
    if filled.site is None:
        return [(earliest, "earliest")]
    all_windows = filled.windows(draft.key, draft.variant)
    variant = filled.library.knowledge.variants[draft.variant]
    here = dates.day_of_year(today)
    for window in all_windows.windows:
        if window.quality not in variant.starts_in:
            continue
        opens = today if window.holds(here) else dates.date_on_or_after(window.opens, today)
        closes = dates.date_on_or_after(window.closes, opens)
        if closes < there:
            opens = dates.date_on_or_after(window.opens, there)
            closes = dates.date_on_or_after(window.closes, opens)
        day = _first(filled, max(opens, there), closes)
        if day is not None:
            found.setdefault(day, "window-opening")
        free = _first_free(filled, draft.zone, max(opens, there), closes)
        if free is not None and free <= year:
            found.setdefault(free, "window-opening")
    # What sleeps until its season needs no rain at its start.
    if filled.situation.means.water == "none" and not variant.sleeps:
        for day in _rainy_days(filled, draft, all_windows, there):
            found.setdefault(day, "window-opening")
    for first in _first_with(filled, draft, earliest, year):
        found.setdefault(first, "window-opening")
    last = all_windows.last_day(here)
    if last is not None and draft.variant == "plain":
        end = dates.date_on_or_after(last, today)
        if can_work(filled, end):
            found.setdefault(end, "last-safe")
    return sorted((day, kind) for day, kind in found.items() if day <= year)


# Starts by all that they hang on: grass, variant, days until it is there, and whether the zone is played on.
Known = dict[tuple[str, str, int, bool | None], list[tuple[dt.date, str]]]


def _establish(filled: Filled, zone: str, standing: str, known: Known) -> Iterator[Draft]:
    knowledge = filled.library.knowledge
    climate = filled.climate

    def starts_of(draft: Draft) -> list[tuple[dt.date, str]]:
        """Ways to sow a grass that are there on the same day share their starts, and so do zones."""
        key = (draft.key, draft.variant, delivery_days(filled, draft), zone_of(filled, zone).in_play)
        if key not in known:
            known[key] = starts(filled, draft)
        return known[key]

    for plant in (*knowledge.grasses, *knowledge.mixtures):
        lead = lead_grass(knowledge, plant)
        if not knowledge.grasses[lead].made_by:
            continue
        # A grass that does not last in this climate gets one row, and may still cover one winter.
        lasts = climate is None or climate.fit(knowledge.grasses[lead].climates)[0] != "no"
        if not lasts:
            yield planted(knowledge, zone, knowledge.grasses[lead].made_by[0], plant)
        for method in knowledge.methods:
            if not can_be_had(knowledge, plant, method):
                if plant in knowledge.grasses and lasts:
                    yield planted(knowledge, zone, method, plant, open=False)
                continue
            draft = planted(knowledge, zone, method, plant)
            if lasts:
                for day, kind in starts_of(draft):
                    yield planted(knowledge, zone, method, plant, "plain", day, kind)
            for code, variant in knowledge.variants.items():
                if (
                    code == "plain"
                    or method not in variant.methods
                    or plant not in variant.grasses
                    or filled.site is None
                ):
                    continue
                if variant.cover_over != standing if variant.cover_over else not lasts:
                    continue
                varied = planted(knowledge, zone, method, plant, code)
                yield from _varied(filled, varied, starts_of(varied))


def _varied(filled: Filled, draft: Draft, possible: Sequence[tuple[dt.date, str]]) -> Iterator[Draft]:
    """The possible starts of a variant: only in windows of its own, cover for one winter only once."""
    variant = filled.library.knowledge.variants[draft.variant]
    for day, kind in possible:
        quality = filled.windows(draft.key, draft.variant).quality_on(dates.day_of_year(day))
        if quality in variant.starts_in and (kind == "earliest" or not variant.only_now):
            yield replace(draft, start=day, start_kind=kind)
            if variant.cover_over:
                return


_FIT_ORDER: Final = ("fits", "marginal", "near", "no")
_KIND_ORDER: Final = ("earliest", "window-opening", "last-safe", "none")


@LISTED.quantity(
    "options", keys=["zone.name", "ongoing", "season"], facts=["starts", "zone.main-season-type"]
)
def make_options(
    filled: Filled, remedies: Mapping[str, Sequence[str]], standing: Mapping[str, str]
) -> list[Draft]:
    """The options of every zone with the remedies that its diagnosis names, at most MOST_ROWS in all.

    Where there would be more, each zone keeps its share: remedies without new grass first, then grasses by
    how the
    tables fit them to the climate, and of each grass and method the earliest starts.
    """
    drafts: dict[str, list[Draft]] = {}
    known: Known = {}
    for zone, wanted in remedies.items():
        rows = drafts.setdefault(zone, [])
        for remedy in filled.library.knowledge.remedies:
            if remedy == "establish" and filled.site is None:
                # Without a place there is no climate and no date: any grass named would be a guess.
                continue
            if remedy in wanted and remedy == "carry-on":
                under_way = begun(filled, zone)
                rows += [] if under_way is None else [under_way]
            elif remedy in wanted and remedy == "establish":
                rows += _establish(filled, zone, standing.get(zone, ""), known)
            elif remedy in wanted:
                rows.append(Draft(zone, remedy))
    if sum(map(len, drafts.values())) > MOST_ROWS:
        share = MOST_ROWS // len(drafts)
        drafts = {zone: _thinned(filled, rows, share) for zone, rows in drafts.items()}
    return [draft for rows in drafts.values() for draft in rows]


def _thinned(filled: Filled, rows: Sequence[Draft], most: int) -> list[Draft]:
    """At most `most` of the rows of one zone, in their order."""
    knowledge = filled.library.knowledge
    climate = filled.climate
    turn: dict[tuple[str, str, str, str], int] = {}
    ranks: list[tuple[object, ...]] = []
    for place, row in enumerate(rows):
        if row.remedy != "establish":
            ranks.append((0, place))
            continue
        grass = knowledge.grasses[lead_grass(knowledge, row.plant)]
        fit = climate.fit(grass.climates)[0] if climate else "fits"
        group = (row.plant, row.method, row.variant, row.start_kind)
        turn[group] = turn.get(group, 0) + 1
        closed = 0 if row.open else 1
        ranks.append(
            (1, closed, _FIT_ORDER.index(fit), turn[group], _KIND_ORDER.index(row.start_kind), place)
        )
    kept = sorted(range(len(rows)), key=ranks.__getitem__)[:most]
    return [rows[place] for place in sorted(kept)]
