"""Signs of failure: the facts of each, and what the rules say of them for a zone in which new grass was
begun.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Final, Literal

from decide.facts.declare import Facts, Sheet
from decide.facts.draft import Draft, begun
from decide.facts.filled import Filled
from decide.facts.option import Measures
from decide.facts.progress import done_on
from decide.measure import dates
from decide.model.situation import of_zone

Outlook = Literal["can be saved", "may be saved", "lost", "not in danger"]
# What the rules conclude of a sign, the worst first, and how the advice calls it.
OUTLOOKS: Final[Mapping[str, Outlook]] = {
    "lost": "lost", "may-be-saved": "may be saved", "can-be-saved": "can be saved",
    "not-in-danger": "not in danger",
}  # fmt: skip


@dataclass(frozen=True)
class SignHere:
    """A sign in one zone, as it was seen last; `mended` is the day on which the record says that it was made
    good.
    """

    sign: str
    zone: str
    date: dt.date
    extent: float | None
    mended: dt.date | None

    @property
    def code(self) -> str:
        """Stable, one for a sign and a zone."""
        return f"{self.sign}/{self.zone}"


def signs_here(filled: Filled) -> list[SignHere]:
    """Every sign of every zone, the last time that it was seen, in the order of zones and signs."""
    found: dict[tuple[str, str], SignHere] = {}
    for zone in filled.zones:
        for row in sorted(filled.situation.seen, key=lambda row: row.date):
            if of_zone(row.zone, zone, filled.zones):
                mended = [
                    day_
                    for name in filled.library.knowledge.rescue[row.sign].mended_by
                    if (day_ := done_on(filled, name, zone, row.date)) is not None
                ]
                found[zone, row.sign] = SignHere(
                    row.sign, zone, row.date, row.extent_percent, max(mended, default=None)
                )
    return list(found.values())


def _spare(filled: Filled, measures: Measures, key: str, start: dt.date) -> float | None:
    """Days between readiness for the use wanted first, in a slow year, and the date wanted; None where either
    is not known.
    """
    told = filled.situation.dates
    if told.play_by is None or filled.site is None:
        return None
    late = measures.readiness(key, start)["light-use" if told.first_use == "training" else "full-play"].late
    return None if late is None else (told.play_by - start).days - late


_SPARE: Final = ("dates.play_by", "season", "ongoing")


# ---------- signs ----------
@dataclass
class Here:
    """A sign with its facts so far."""

    filled: Filled
    sign: SignHere
    measures: Measures
    facts: Facts = field(default_factory=dict)

    @cached_property
    def begun(self) -> Draft | None:
        """What was begun where it was seen."""
        draft = begun(self.filled, self.sign.zone)
        return None if draft is None or draft.start is None else draft


SIGN: Final = Sheet[Here]()


def sign_facts(filled: Filled, sign: SignHere, measures: Measures) -> Facts:
    """All facts about a sign beside those of the site."""
    here = Here(filled, sign, measures)
    SIGN.measure(here)
    return here.facts


@SIGN.fact("sign.sign", "sign.extent", keys=["seen"])
def _seen(here: Here) -> tuple[str, float | None]:
    return here.sign.sign, here.sign.extent


@SIGN.fact("sign.grass", keys=["ongoing"], also=["zone.name", "seen"])
def _grass(here: Here) -> str | None:
    return None if here.begun is None else here.begun.plant


@SIGN.fact("sign.days-since-start", keys=["ongoing", "today"], also=["zone.name", "seen"])
def _days_since(here: Here) -> int | None:
    start = None if here.begun is None else here.begun.start
    return None if start is None else (here.filled.today - start).days


@SIGN.fact("sign.window-today", keys=["ongoing", "season", "today"], also=["zone.name", "seen"])
def _window(here: Here) -> str | None:
    if here.begun is None or here.filled.site is None:
        return None
    today = dates.day_of_year(here.filled.today)
    return here.filled.windows(here.begun.key, here.begun.variant).quality_on(today)


@SIGN.fact("sign.growing", keys=["ongoing", "season", "today"], also=["zone.name", "seen"])
def _growing(here: Here) -> str | None:
    site = here.filled.site
    if here.begun is None or site is None:
        return None
    season = here.measures.of_plant(here.begun.plant, here.begun.method)["option.season-type"]
    return "yes" if site.grows(str(season), dates.day_of_year(here.filled.today)) else "no"


@SIGN.fact("sign.spare-again", keys=[*_SPARE, "today"], also=["zone.name", "seen", "dates.first_use"])
def _again(here: Here) -> float | None:
    begun_ = here.begun
    return None if begun_ is None else _spare(here.filled, here.measures, begun_.key, here.filled.today)


# ---------- what they mean for the zone ----------
@dataclass
class Progress:
    """A zone with its facts so far, and its signs with what the rules say of each."""

    filled: Filled
    zone: str
    signs: Sequence[tuple[SignHere, Mapping[str, bool]]]
    measures: Measures
    facts: Facts = field(default_factory=dict)

    @cached_property
    def begun(self) -> Draft | None:
        """What was begun there."""
        return begun(self.filled, self.zone)


PROGRESS: Final = Sheet[Progress]()


def outlook_of(derived: Mapping[str, bool]) -> str:
    """What the rules conclude of a sign: the worst that they say; "" where none speaks."""
    return next((outlook for outlook in OUTLOOKS if derived.get(f"sign.season-{outlook}") is True), "")


def progress_facts(
    filled: Filled, zone: str, signs: Sequence[tuple[SignHere, Mapping[str, bool]]], measures: Measures
) -> Facts:
    """Facts of a zone that follow from what was begun there and from what the rules say of its signs."""
    here = Progress(filled, zone, signs, measures)
    PROGRESS.measure(here)
    return here.facts


@PROGRESS.fact("zone.ongoing", keys=["ongoing"], also=["zone.name"])
def _ongoing(here: Progress) -> bool:
    return here.begun is not None


@PROGRESS.fact("zone.ongoing-made-from", keys=["ongoing"], also=["zone.name"])
def _made_from(here: Progress) -> str | None:
    return None if here.begun is None else here.filled.library.knowledge.methods[here.begun.method].made_from


_SAID: Final = tuple(f"sign.season-{outlook}" for outlook in OUTLOOKS)


@PROGRESS.fact("zone.ongoing-season", keys=["ongoing"], also=["zone.name"], facts=_SAID)
def _outlook(here: Progress) -> str | None:
    if here.begun is None:
        return None
    said = [outlook_of(derived) or "may-be-saved" for _, derived in here.signs]
    return next((outlook for outlook in OUTLOOKS if outlook in said), "not-in-danger")


def _to_begin_again(here: Progress) -> list[float]:
    """The shares of the zone on which a sign means to begin again."""
    return [
        sign.extent
        for sign, derived in here.signs
        if derived.get("sign.begin-again") is True and sign.extent is not None
    ]


@PROGRESS.fact(
    "zone.begin-again-percent", keys=["ongoing"], also=["zone.name", "seen"], facts=["sign.begin-again"]
)
def _begin_again(here: Progress) -> float | None:
    return None if here.begun is None else max(_to_begin_again(here), default=0.0)


@PROGRESS.fact(
    "zone.again-spare",
    keys=[*_SPARE, "today"],
    also=["zone.name", "dates.first_use", "seen"],
    facts=["sign.begin-again"],
)
def _again_spare(here: Progress) -> float | None:
    if here.begun is None or not _to_begin_again(here):
        return None
    return _spare(here.filled, here.measures, here.begun.key, here.filled.today)


@PROGRESS.fact("zone.ongoing-spare", keys=_SPARE, also=["zone.name", "dates.first_use"])
def _ongoing_spare(here: Progress) -> float | None:
    begun_ = here.begun
    if begun_ is None or begun_.start is None:
        return None
    return _spare(here.filled, here.measures, begun_.key, begun_.start)
