"""An option before it is judged, and what a situation says of it: play, work, offers, wishes."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass
from typing import Final

from decide.facts.filled import Filled, zone_of
from decide.knowledge.tables import Knowledge
from decide.model.situation import of_zone
from decide.model.written import MONTHS, coded

# Remedies whose grass is new: put in now, or begun already and carried on with.
NEW_GRASS: Final = ("establish", "carry-on")


@dataclass(frozen=True, slots=True)
class Draft:
    """An option before it is judged. `plant` is a grass or a mixture; `open` is False where it cannot be had
    that way.

    `planted_as` is what goes into the ground, as growth is measured by it.
    """

    zone: str
    remedy: str
    method: str = ""
    plant: str = ""
    variant: str = "plain"
    start: dt.date | None = None
    start_kind: str = "none"
    open: bool = True
    planted_as: str = ""

    @property
    def code(self) -> str:
        """Stable, lower-case, hyphenated."""
        words = [
            self.zone,
            self.remedy,
            self.method,
            self.plant,
            self.variant if self.variant != "plain" else "",
        ]
        return "/".join(
            [*(word for word in words if word), *([self.start.isoformat()] if self.start else [])]
        )

    @property
    def key(self) -> str:
        """Grass and start, as the growth measures name them."""
        return f"{self.plant}/{self.planted_as}"

    @property
    def new_grass(self) -> bool:
        """Whether it is of new grass, put in now or begun already."""
        return self.remedy in NEW_GRASS


def planted(
    knowledge: Knowledge,
    zone: str,
    method: str,
    plant: str,
    variant: str = "plain",
    start: dt.date | None = None,
    start_kind: str = "none",
    *,
    remedy: str = "establish",
    open: bool = True,
) -> Draft:
    """The option of new grass by a method that the knowledge has."""
    return Draft(
        zone, remedy, method, plant, variant, start, start_kind, open, knowledge.methods[method].start
    )


def lead_grass(knowledge: Knowledge, plant: str) -> str:
    """The grass that a stand of `plant` will behave like."""
    return knowledge.mixtures[plant].stands_as if plant in knowledge.mixtures else plant


def begun(filled: Filled, zone: str) -> Draft | None:
    """The new grass that was begun in a zone, as an option whose start has passed; None where nothing was."""
    knowledge = filled.library.knowledge
    for row in filled.situation.ongoing:
        if of_zone(row.zone, zone, filled.zones):
            plant = knowledge.plants[coded(row.mixture or row.grass or "")]
            return planted(
                knowledge,
                zone,
                row.method,
                plant,
                row.variant or "plain",
                row.start,
                "begun",
                remedy="carry-on",
            )
    return None


def can_be_had(knowledge: Knowledge, plant: str, method: str) -> bool:
    """Whether a grass or mixture can be had for a method."""
    return method in knowledge.grasses[lead_grass(knowledge, plant)].made_by


def play_months(filled: Filled) -> set[str] | None:
    """Months with play, or None where no use is told."""
    uses = filled.situation.use
    if uses is None or all(use.months is None for use in uses):
        return None
    return {month for use in uses for month in use.months or []}


def is_free(filled: Filled, zone: str, day: dt.date) -> bool | None:
    """Whether nobody is to play in the zone on that day; None where nothing is told of it."""
    if zone_of(filled, zone).in_play is True:
        return False
    if any(span.start <= day <= span.until for span in filled.situation.dates.no_play or []):
        return True
    if zone_of(filled, zone).in_play is False:
        return True
    months = play_months(filled)
    if months is None:
        return None
    return MONTHS[day.month - 1] not in months


def can_work(filled: Filled, day: dt.date) -> bool:
    """Whether work is allowed on that day."""
    return not any(span.start <= day <= span.until for span in filled.situation.dates.no_work or [])


def days_off(filled: Filled, start: dt.date) -> tuple[tuple[int, int], ...]:
    """The spans in which nobody works, in days from a start, in their order; those before it are left out."""
    spans = filled.situation.dates.no_work or []
    ends = sorted(((span.start - start).days, (span.until - start).days) for span in spans)
    return tuple((first, last) for first, last in ends if last >= 0)


def wished(filled: Filled, draft: Draft) -> str:
    """Whether the person had this grass or method in mind, or wants to avoid it."""
    wishes = filled.situation.wishes
    names = filled.library.knowledge.plants
    avoid = {names.get(word, word) for word in wishes.avoid or []}
    if draft.plant in avoid or draft.method in avoid:
        return "avoid"
    asked = names.get(wishes.grass, wishes.grass) if wishes.grass else None
    if asked is None and wishes.method is None:
        return "neither"
    if asked in (None, draft.plant) and wishes.method in (None, draft.method):
        return "wished"
    return "neither"


def offers(filled: Filled, draft: Draft) -> list[int] | None:
    """Positions of the offers that fit the option; None where nobody told of offers."""
    told, knowledge = filled.situation.offer, filled.library.knowledge
    if told is None or (told and not any(offer.what in knowledge.plant_offers for offer in told)):
        return None
    names = knowledge.plants
    least = filled.library.number("thick-sod-least")
    fitting = []
    for position, offer in enumerate(told):
        if offer.what not in knowledge.methods[draft.method].offered_as:
            continue
        plant = offer.mixture or offer.grass
        if plant is not None and names.get(coded(plant), plant) != draft.plant:
            continue
        if offer.thickness_mm is not None and least is not None:
            thick = offer.thickness_mm >= least
            if thick != (draft.planted_as == "thick-sod"):
                continue
        fitting.append(position)
    return fitting


def lead_days(filled: Filled, draft: Draft) -> int:
    """Days from order to delivery: what the quickest fitting seller says, else what is usual for the
    method.
    """
    told = filled.situation.offer or []
    leads = [lead for n in offers(filled, draft) or [] if (lead := told[n].lead_days) is not None]
    return math.ceil(min(leads) if leads else filled.library.number("lead-order", draft.method) or 0)
