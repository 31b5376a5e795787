"""An option before it is judged, and what a situation says of it: play, work, offers, wishes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from decide.facts.complete import Filled, zone_of
from decide.knowledge.tables import Knowledge
from decide.model.situation import of_zone
from decide.model.written import MONTHS, coded

START_KINDS: Final = {
    "broadcast-seed": "seed", "slit-seed": "seed", "hydromulch": "seed", "thin-sod": "sod", "thick-sod": "thick-sod",
    "sprigs": "sprigs", "plugs": "plugs",
}  # fmt: skip


# The steps that put new grass into ground, and the method that is usual for each; overseeding into play begins no programme.
BEGINNINGS: Final[Mapping[str, str]] = {
    "sow": "broadcast-seed",
    "lay-sod": "thin-sod",
    "sprig": "sprigs",
    "plug": "plugs",
}


# Remedies whose grass is new: put in now, or begun already and carried on with.
NEW_GRASS: Final = ("establish", "carry-on")


# What an offer of planting material is of, and the start that it serves.
OFFERED_PLANTS: Final[Mapping[str, str]] = {
    "seed": "seed",
    "hydromulch": "seed",
    "sod": "sod",
    "sprigs": "sprigs",
    "plugs": "plugs",
}


@dataclass(frozen=True, slots=True)
class Draft:
    """An option before it is judged. `plant` is a grass or a mixture; `open` is False where it cannot be had that way."""

    zone: str
    remedy: str
    method: str = ""
    plant: str = ""
    variant: str = "plain"
    start: dt.date | None = None
    start_kind: str = "none"
    open: bool = True

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
        return f"{self.plant}/{START_KINDS[self.method]}"

    @property
    def new_grass(self) -> bool:
        """Whether it is of new grass, put in now or begun already."""
        return self.remedy in NEW_GRASS


def lead_grass(knowledge: Knowledge, plant: str) -> str:
    """The grass that a stand of `plant` will behave like."""
    return knowledge.mixtures[plant].stands_as if plant in knowledge.mixtures else plant


def begun(filled: Filled, zone: str) -> Draft | None:
    """The new grass that was begun in a zone, as an option whose start has passed; None where nothing was."""
    plants = filled.library.knowledge.plants
    for row in filled.situation.ongoing:
        if of_zone(row.zone, zone, filled.zones):
            plant = plants[coded(row.mixture or row.grass or "")]
            return Draft(zone, "carry-on", row.method, plant, row.variant or "plain", row.start, "begun")
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
    told = filled.situation.offer
    if told is None or (told and not any(offer.what in OFFERED_PLANTS for offer in told)):
        return None
    names = filled.library.knowledge.plants
    least = filled.library.number("thick-sod-least")
    fitting = []
    for position, offer in enumerate(told):
        kind = OFFERED_PLANTS.get(offer.what)
        ours = START_KINDS[draft.method].removeprefix("thick-")
        if kind != ours or (offer.what == "hydromulch" and draft.method != "hydromulch"):
            continue
        plant = offer.mixture or offer.grass
        if plant is not None and names.get(coded(plant), plant) != draft.plant:
            continue
        if offer.thickness_mm is not None and least is not None:
            thick = offer.thickness_mm >= least
            if thick != (draft.method == "thick-sod"):
                continue
        fitting.append(position)
    return fitting
