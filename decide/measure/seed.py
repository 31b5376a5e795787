"""Arithmetic of seed and fertilizer: live seed, rates, mixtures, nutrients."""

import dataclasses
import math
from collections.abc import Mapping

WHOLE_PERCENT = 100


@dataclasses.dataclass(frozen=True)
class NutrientNumbers:
    """Share of phosphorus in phosphate (P2O5) and of potassium in potash (K2O)."""

    phosphorus_in_phosphate: float
    potassium_in_potash: float


def _share(name: str, share: float) -> float:
    if not 0 <= share <= 1:
        raise ValueError(f"{name} {share}: write a share from 0 to 1")
    return share


def pure_live_seed(purity: float, germination: float) -> float:
    """Share of a bag that is live seed of the kind: purity x germination, both shares 0..1."""
    return _share("purity", purity) * _share("germination", germination)


def bulk_rate(live_rate: float, live_share: float) -> float:
    """Rate of bag seed for a rate of pure live seed, in the same unit. Raises ValueError where
    nothing lives.
    """
    if _share("live share", live_share) == 0:
        raise ValueError("no live seed in the bag: take other seed")
    return live_rate / live_share


def seed_kg(rate_g_m2: float, area_m2: float) -> float:
    """Kilograms of seed for a rate and an area."""
    return rate_g_m2 * area_m2 / 1000


def seeds_per_area(rate_kg_per_area: float, seeds_per_kg: float) -> float:
    """Seeds on the unit of area that the rate belongs to."""
    return rate_kg_per_area * seeds_per_kg


def seed_shares(
    weights: Mapping[str, float], seeds_per_kg: Mapping[str, float | None]
) -> dict[str, float] | None:
    """Shares by number of seeds of a mixture given by weight; None where a grass's seed count is not
    known.
    """
    seeds: dict[str, float] = {}
    for grass, weight in weights.items():
        each = seeds_per_kg.get(grass)
        if each is None:
            return None
        seeds[grass] = weight * each
    total = sum(seeds.values())
    return {grass: n / total for grass, n in seeds.items()} if total > 0 else None


def product_rate(nutrient_rate: float, percent: float) -> float:
    """Rate of a fertilizer for a rate of one nutrient, by the percent printed on the bag (unit kept)."""
    if not 0 < percent <= WHOLE_PERCENT:
        raise ValueError(f"{percent} percent on the bag: write a number above 0, up to 100")
    return nutrient_rate * WHOLE_PERCENT / percent


def nutrient_in(product: float, percent: float) -> float:
    """Nutrient in an amount of product, in the same unit."""
    return product * percent / 100


def phosphorus(phosphate: float, numbers: NutrientNumbers) -> float:
    """Elemental phosphorus in phosphate (P2O5), in the same unit."""
    return phosphate * numbers.phosphorus_in_phosphate


def potassium(potash: float, numbers: NutrientNumbers) -> float:
    """Elemental potassium in potash (K2O), in the same unit."""
    return potash * numbers.potassium_in_potash


def packs(amount: float, pack: float) -> int:
    """Whole bags, rolls or pallets that hold an amount."""
    if pack <= 0:
        raise ValueError("the size of the pack must be above 0")
    return math.ceil(round(amount / pack, 9))


def of_other_seed(weight: float, live_share: float, counted_for: float) -> float:
    """Weight of a lot that holds as much live seed as a weight of seed whose live share the rate was counted
    for.

    Raises ValueError where nothing lives in the lot.
    """
    return bulk_rate(weight * _share("live share", counted_for), live_share)
