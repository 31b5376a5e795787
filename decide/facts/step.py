"""The facts of each step that somebody means to do, beside those of its zone and site."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from decide.engine.language import FactType
from decide.facts.declare import Facts, Sheet
from decide.facts.draft import Draft, lead_grass, planted
from decide.facts.filled import Filled
from decide.facts.law import closed_to_feed, feed_law
from decide.facts.option import Measures
from decide.facts.start import northern_month, season_of_year
from decide.facts.told import told_facts
from decide.facts.zone import ESTABLISHING
from decide.knowledge.tables import Knowledge
from decide.measure import dates
from decide.model.errors import SituationError, meant
from decide.model.situation import of_zone
from decide.model.units import convert, units_of
from decide.model.work import HERBICIDE_CLASSES, Proposal
from decide.model.written import MONTHS, coded


@dataclass
class Here:
    """A step with its facts so far, those of its zone, and those of the option that it amounts to, if it is
    one.
    """

    filled: Filled
    proposal: Proposal
    types: Mapping[str, FactType]
    zone: Mapping[str, Any]
    draft: Draft | None = None
    option: Mapping[str, Any] = field(default_factory=dict)
    facts: Facts = field(default_factory=dict)

    @property
    def start(self) -> dt.date:
        """The day of the step: today where none is told."""
        return self.proposal.start or self.filled.today

    @property
    def ahead(self) -> float:
        """Weeks from today to the step."""
        return (self.start - self.filled.today).days / 7


STEP: Final = Sheet[Here]()


def step_facts(
    filled: Filled, proposal: Proposal, zone: Facts, types: Mapping[str, FactType],
    draft: Draft | None, measures: Measures,
) -> Facts:  # fmt: skip
    """All facts about a proposal beside those of its zone and site."""
    told = told_facts(types.values(), "step", {"proposal": proposal})
    option = {} if draft is None else measures.option(draft, zone)
    here = Here(filled, proposal, types, zone, draft, option, told)
    STEP.measure(here)
    return here.facts


def proposal_zones(filled: Filled, proposal: Proposal) -> Sequence[str]:
    """The zones that a proposal is about."""
    codes = [coded(zone.name) for zone in filled.situation.zone]
    if proposal.zone is not None and coded(proposal.zone) in codes:
        return [coded(proposal.zone)]
    return [code for code in codes if of_zone(proposal.zone, code, codes)]


def proposal_draft(filled: Filled, proposal: Proposal, zone: str, standing: Facts) -> Draft | None:
    """The option that a proposal to establish grass amounts to; None for another step, or where no grass is
    named.

    Seed goes by the variant whose own time holds the day: dormant seed in the cold, winter grass over a
    warm-season one.
    """
    knowledge, main = filled.library.knowledge, standing.get("zone.main-grass")
    if proposal.step not in ESTABLISHING:
        return None
    named = proposal.mixture or proposal.grass
    plant = (
        knowledge.plants.get(coded(named), "")
        if named
        else (main if isinstance(main, str) and main in knowledge.grasses else "")
    )
    if named and not plant:
        raise SituationError(
            f"proposal: {named!r} is not a grass or mixture here",
            where="situation",
            instead=meant(named, knowledge.plants),
        )
    if not plant:
        return None
    method = proposal.method or _meant_method(knowledge, proposal)
    start = proposal.start or filled.today
    open_ = method in knowledge.grasses[lead_grass(knowledge, plant)].made_by
    draft = planted(knowledge, zone, method, plant, "plain", start, open=open_)
    return dataclasses.replace(draft, variant=_proposed_variant(filled, proposal, draft, standing))


def _meant_method(knowledge: Knowledge, proposal: Proposal) -> str:
    """The method that a step begins with the machine that is told, else the usual one that it begins."""
    begun = "sow" if proposal.step == "overseed" else proposal.step
    machine = coded(proposal.tool or "")
    return next(
        (
            code
            for code, row in knowledge.methods.items()
            if row.begun_by == begun and any(machine in group for group in row.machines)
        ),
        knowledge.usual_methods[begun],
    )


def _proposed_variant(filled: Filled, proposal: Proposal, draft: Draft, standing: Facts) -> str:
    """The variant that covers a stand of its season, or that sleeps where the day lies in its time; else
    plain.
    """
    standing_type = standing.get("zone.main-season-type")
    for code, variant in filled.library.knowledge.variants.items():
        if draft.method not in variant.methods or draft.plant not in variant.grasses:
            continue
        if variant.cover_over:
            fits = proposal.step == "overseed" and standing_type == variant.cover_over
        elif variant.sleeps and filled.site is not None and draft.start is not None:
            windows = filled.windows(draft.key, code)
            fits = windows.quality_on(dates.day_of_year(draft.start)) in variant.starts_in
        else:
            fits = False
        if fits:
            return code
    return draft.variant


# ---------- what and when ----------
@STEP.fact("step.feed-closed", keys=["proposal", "region", "today"])
def _feed_closed(here: Here) -> bool | None:
    law = feed_law(here.filled)
    return None if law is None else closed_to_feed(law, here.start)


@STEP.fact("step.step", keys=["proposal"])
def _step(here: Here) -> str:
    return here.proposal.step


@STEP.fact("step.days-from-today", keys=["proposal", "today"])
def _days(here: Here) -> int:
    return (here.start - here.filled.today).days


@STEP.fact("step.month", keys=["proposal", "today"])
def _month(here: Here) -> str:
    return MONTHS[here.start.month - 1]


@STEP.fact("step.northern-month", keys=["proposal", "today", "hemisphere"])
def _northern_month(here: Here) -> str | None:
    return northern_month(here.start, here.filled.hemisphere)


@STEP.fact("step.season", keys=["proposal", "today", "hemisphere"])
def _season(here: Here) -> str | None:
    return season_of_year(here.start, here.filled.hemisphere)


@STEP.fact("step.class", keys=["proposal"])
def _class(here: Here) -> str | None:
    return here.proposal.kind


@STEP.fact("step.amount-g-m2", keys=["proposal"])
def _amount(here: Here) -> float | None:
    told = (here.proposal.unit or "").replace("-", "")
    unit = next((unit for unit in units_of("rate") if coded(unit).replace("-", "") == told), None)
    amount = here.proposal.amount
    return None if amount is None or unit is None else convert(amount, unit, "g/m2")


# ---------- the grass ----------
@STEP.fact("step.method", keys=["proposal"])
def _method(here: Here) -> str | None:
    return here.proposal.method if here.draft is None else here.draft.method


@STEP.fact("step.grass", keys=["proposal"])
def _grass(here: Here) -> str | None:
    return None if here.draft is None else here.draft.plant


@STEP.fact("step.season-type", keys=["proposal"], facts=["zone.main-season-type", "option.season-type"])
def _season_type(here: Here) -> Any:
    """Of the grass that is put in, else of the one that stands there."""
    own = "option.season-type"
    return here.zone.get("zone.main-season-type") if here.draft is None else here.option.get(own)


@STEP.fact("step.air-c", keys=["proposal", "season", "today", "now.day_temp_c", "now.night_temp_c"])
def _air(here: Here) -> float | None:
    """Told where it is done today, else usual for the day."""
    site, now = here.filled.site, here.filled.now
    if site is None:
        return None
    if here.start == here.filled.today and now.day_temp_c is not None and now.night_temp_c is not None:
        return (now.day_temp_c + now.night_temp_c) / 2
    return site.year.normal(dates.day_of_year(here.start))


@STEP.fact("step.heat-standing", keys=["proposal", "season", "today"], facts=["zone.main-season-type"])
def _heat(here: Here) -> float | None:
    site, standing = here.filled.site, here.zone.get("zone.main-season-type")
    return (
        None if site is None or standing is None else site.heat_today(standing, dates.day_of_year(here.start))
    )


# ---------- what was done before ----------
@STEP.fact("step.weeks-since", keys=["proposal", "today"], facts=["zone.weeks-since", "zone.sprayed"])
def _weeks_since(here: Here) -> dict[str, float | None]:
    """What is known not to have been used is as long ago as the fact can say."""
    found: dict[str, float | None] = {}
    for kind in HERBICIDE_CLASSES:
        weeks = here.zone.get(f"zone.weeks-since.{kind}")
        if weeks is not None:
            found[kind] = weeks + here.ahead
        elif here.zone.get(f"zone.sprayed.{kind}") is False:
            found[kind] = here.types[f"step.weeks-since.{kind}"].high
    return found


def _since_start(here: Here, name: str) -> float | None:
    weeks = here.zone.get(name)
    return None if weeks is None else weeks + here.ahead


@STEP.fact("step.weeks-since-sown", keys=["proposal", "today"], facts=["zone.weeks-since-sown"])
def _sown(here: Here) -> float | None:
    return _since_start(here, "zone.weeks-since-sown")


@STEP.fact("step.weeks-since-sod", keys=["proposal", "today"], facts=["zone.weeks-since-sod"])
def _sod(here: Here) -> float | None:
    return _since_start(here, "zone.weeks-since-sod")
