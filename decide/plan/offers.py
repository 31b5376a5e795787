"""What sellers offer: which offer a supply is counted by, and how much of a row's unit one of the seller's
units is.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Final

from decide.decision.consultation import Consultation
from decide.facts.draft import offers
from decide.knowledge.schema_care import Supply
from decide.model.situation import Offer
from decide.model.units import convert, dimension, is_unit
from decide.plan.jobs import Job, read_value

# What the rows of the shopping list are counted in, as the table of units names them.
COUNTED_IN: Final[Mapping[str, str]] = {
    "kg": "kg",
    "m2": "m2",
    "m3": "m3",
    "l": "litre",
    "m": "m",
    "each": "count",
}
# What sellers call a unit, and lots of so many of one.
_SOLD_BY: Final[Mapping[str, tuple[str, float]]] = {
    "square-metre": ("m2", 1),
    "square-foot": ("ft2", 1),
    "square-yard": ("yd2", 1),
    "1000-ft2": ("ft2", 1000),
    "1000ft2": ("ft2", 1000),
    "l": ("litre", 1),
    "plug": ("count", 1),
    "piece": ("count", 1),
    "each": ("count", 1),
}
# A bushel is as large as its seller says.
_BUSHELS: Final = ("bu", "bushel")
JOB: Final = "job"


def exact(c: Consultation, value: float, unit: str, low: float | None = None) -> str:
    """An amount as it stands in the arithmetic, in the reader's units; with `low`, a range."""
    return c.knowledge.language.exactly(value, COUNTED_IN.get(unit, unit), c.system, low)


def density_of(c: Consultation, supply: Supply, job: Job) -> float | None:
    """Tonnes of a supply in a cubic metre; None where its row names none."""
    return read_value(c, supply.density, job.facts, "g/cm3")


def per_unit(offer: Offer, unit: str, density: float | None) -> float | None:
    """How much of a row's unit one of the seller's units is; None where that was not told."""
    if offer.unit is None:
        return None
    name, times = _SOLD_BY.get(offer.unit, (offer.unit, 1.0))
    if name in _BUSHELS:
        if offer.bushel_l is None:
            return None
        name, times = "litre", offer.bushel_l
    measured = dimension(name) if is_unit(name) else ""
    if measured == dimension(COUNTED_IN[unit]):
        return convert(times, name, COUNTED_IN[unit])
    if measured == dimension("t") and density is not None and unit == "m3":
        return convert(times, name, "t") / density
    return None


def offer_for(c: Consultation, supply: Supply, job: Job) -> Offer | None:
    """The seller to count by: the cheapest for one unit where prices are told, else the first."""
    density = density_of(c, supply, job)
    best: Offer | None = None
    cheapest = math.inf
    for offer in _fitting(c, supply, job):
        each = next((per for unit in COUNTED_IN if (per := per_unit(offer, unit, density)) is not None), None)
        price = offer.price / each if offer.price is not None and each else math.inf
        if best is None or price < cheapest:
            best, cheapest = offer, price
    return best


def _fitting(c: Consultation, supply: Supply, job: Job) -> Iterator[Offer]:
    """The offers of a supply that serve a job, those of the planting material itself first."""
    told = c.filled.situation.offer or []
    of_it = [offer for offer in told if offer.what in supply.what]
    if job.draft.remedy == "establish" and any(kind in c.knowledge.plant_offers for kind in supply.what):
        ours = [told[n] for n in offers(c.filled, job.draft) or [] if told[n].what in supply.what]
        of_it = [*ours, *(offer for offer in of_it if offer.what not in c.knowledge.plant_offers)]
    for offer in of_it:
        if supply.quantity == "nutrient-rate" and not _feeds(offer, supply.phosphate):
            continue
        if supply.kind == "contractor" and offer.unit != JOB and per_unit(offer, "m2", None) is None:
            continue
        yield offer


def _feeds(offer: Offer, phosphate: bool) -> bool:
    """Whether it is a feed of nitrogen, with phosphate or without as the supply wants it."""
    return offer.analysis is not None and offer.analysis[0] > 0 and (offer.analysis[1] == 0) != phosphate
