"""The days of one option: when it is up, when it bears each use, when frost kills it, and how well that is
known.
"""

from __future__ import annotations

import datetime as dt
import math

from decide.answer.teller import Teller
from decide.decision.rank import Weighed
from decide.facts.draft import Draft, days_off
from decide.measure import dates, growth, readiness
from decide.model.row import DayRange


def ready_range(t: Teller, draft: Draft, stage: str) -> DayRange | None:
    if draft.start is None or t.filled.site is None:
        return None
    ready = t.c.measures.readiness(draft.key, draft.start, draft.zone)[stage]
    if ready.early is None and ready.late is None:
        return None
    # What was begun and is not yet open opens no sooner than today.
    first = t.filled.today if draft.remedy == "carry-on" else draft.start
    early, late = (
        None if d is None else max(first, draft.start + dt.timedelta(days=d)).isoformat()
        for d in (ready.early, ready.late)
    )
    return DayRange(early=early, late=late)


def up_and_cut(t: Teller, draft: Draft) -> tuple[DayRange | None, DayRange | None]:
    """When it is up and when it is cut first; None where its first winter kills it, for sod nothing
    comes up.
    """
    site, season = t.filled.site, t.filled.season
    if draft.start is None or site is None or season is None or not draft.new_grass:
        return None, None
    start = draft.start
    if t.k.variants[draft.variant].sleeps:
        window = t.filled.windows(draft.key, draft.variant).window_on(dates.day_of_year(start))
        start = (
            start
            if window is None or window.quality != "dormant"
            else dates.date_on_or_after(window.closes, start) + dt.timedelta(days=1)
        )
    elif (
        season.readiness(draft.key, dates.day_of_year(start))["light-use"].winter == "lost"
        and draft.plant not in t.filled.library.constants.plants.warm
    ):
        return None, None
    green, cut = season.up(draft.key, dates.day_of_year(start), days_off(t.filled, start))

    def span(days: readiness.Days) -> DayRange | None:
        early, _, late = (None if d is None else (start + dt.timedelta(days=d)).isoformat() for d in days)
        return None if early is None or late is None else DayRange(early=early, late=late)

    return None if readiness.made_from(growth.split_key(draft.key)[1]) == "sod" else span(green), span(cut)


def killed_between(t: Teller, start: dt.date | None) -> tuple[str | None, DayRange | None]:
    """The median day of the killing frost from a start on, and its span in about two years of three."""
    frost = t.filled.site.frost if t.filled.site is not None else None
    if start is None or frost is None or frost.killing is None:
        return None, None
    median = dates.date_on_or_after(frost.killing, start)
    doubt = dt.timedelta(days=math.ceil(math.hypot(frost.doubt_days, frost.year_days)))
    return median.isoformat(), DayRange(
        early=max(start, median - doubt).isoformat(), late=(median + doubt).isoformat()
    )


def recovery_range(t: Teller, w: Weighed) -> DayRange | None:
    days = [t.c.figure(w, f"zone.recovery-days.{part}") for part in ("early", "late")]
    if days == [None, None]:
        return None
    early, late = (None if d is None else (t.filled.today + dt.timedelta(days=d)).isoformat() for d in days)
    return DayRange(early=early, late=late)


def _from_places(t: Teller, places: int) -> str:
    say = t.k.text
    return (
        say("answer-no-case"),
        say("answer-one-place"),
        say("answer-two-places"),
        say("answer-three-places"),
    )[places]


def readiness_note(t: Teller, draft: Draft) -> str:
    """How many places with published cases stand behind the dates of use; "" where enough do or no day can be
    worked out.
    """
    if draft.start is None or t.filled.site is None or not draft.new_grass:
        return ""
    constants = t.filled.library.constants
    ready, places = t.c.measures.readiness(draft.key, draft.start), constants.plants.places[draft.key]
    said = []
    for stage, use in (("light-use", t.k.text("open-light")), ("full-play", t.k.text("open-full"))):
        if ready[stage].why == "no-data":
            said.append(t.k.text("answer-no-figure", use=use))
        elif places[stage] < constants.places_enough:
            said.append(f"{use}, {_from_places(t, places[stage])}")
    note = t.k.text("answer-few-cases", said="; ".join(said)) if said else ""
    vigour = t.c.measures.vigour(draft.key, draft.start, draft.zone)
    slow = t.k.text("answer-slow-growth", percent=f"{100 * vigour:.0f}") if vigour < 1 else ""
    return f"{note} {slow}".strip()
