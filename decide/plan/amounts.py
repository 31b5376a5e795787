"""How much of a supply a job wants, low and high, with the arithmetic in words: one function for each kind of
amount.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from decide.decision.consultation import Consultation
from decide.facts.areas import places_of
from decide.knowledge.schema_care import Quantity, Supply
from decide.measure import area, seed
from decide.model.planned import Task
from decide.model.situation import Offer
from decide.model.units import convert
from decide.plan.jobs import Job, read_value, shown, unit_of
from decide.plan.offers import density_of, exact
from decide.plan.tasks import NITROGEN

NUTRIENTS: Final = ("nitrogen", "phosphate", "potash")
# As much as a plan's rounded figures may differ from the same figure reckoned anew.
_ALIKE: Final = 0.01


@dataclass(frozen=True)
class Amount:
    """How much of one supply one job wants, low and high, and the sentences that show the arithmetic."""

    low: float
    high: float
    unit: str
    said: str
    after: tuple[str, ...] = ()


@dataclass(frozen=True)
class Want:
    """One supply that one job wants, the offer that it is counted by, and the tasks of the plan
    that use it.
    """

    c: Consultation
    supply: Supply
    job: Job
    offer: Offer | None
    tasks: Sequence[Task]

    def value(self, written: str | None, unit: str) -> float | None:
        """The number of a value that the row names, in `unit`."""
        return read_value(self.c, written, self.job.facts, unit)

    def ends(self, unit: str) -> tuple[float, float] | None:
        """The rates that the row reads, low and high."""
        low, high = self.value(self.supply.low, unit), self.value(self.supply.high, unit)
        return None if low is None or high is None else (min(low, high), max(low, high))

    def exact(self, value: float, unit: str, low: float | None = None) -> str:
        """An amount as it stands in the arithmetic."""
        return exact(self.c, value, unit, low)

    def product(self, ground: float, rate: str, amount: str) -> str:
        """The arithmetic of a rate over some ground."""
        return self.c.knowledge.text(
            "amount-product", area=self.exact(ground, "m2"), rate=rate, amount=amount
        )


def amount_of(want: Want) -> Amount | None:
    """How much a job wants of a supply; None where its area or a number is not known."""
    return _KINDS[want.supply.quantity](want)


# ---------- by a rate ----------
def _by_rate(want: Want) -> Amount | None:
    """Kilograms for a rate over the ground."""
    rates, ground = want.ends("g/m2"), want.job.area
    if rates is None or ground is None:
        return None
    low, high = (seed.seed_kg(rate, ground) for rate in rates)
    said = want.product(ground, want.exact(rates[1], "g/m2", rates[0]), want.exact(high, "kg", low))
    return Amount(low, high, "kg", said)


def _seed(want: Want) -> Amount | None:
    counted, k = _by_rate(want), want.c.knowledge
    if counted is None:
        return None
    low, high, said = counted.low, counted.high, counted.said
    after: list[str] = []
    extra = want.value(want.supply.extra, "percent")
    if extra and want.job.draft.variant in want.supply.extra_for:
        low, high = area.with_spare(low, extra), area.with_spare(high, extra)
        said += k.text("amount-seed-dormant", extra=extra, amount=want.exact(high, "kg", low))
    purity, germination = k.value("seed-purity-good"), k.value("seed-germination-good")
    if purity is not None and germination is not None:
        good = seed.pure_live_seed(purity / 100, germination / 100)
        offer = want.offer
        if offer is not None and offer.purity and offer.germination:
            kilos = good * low, good * high
            live = seed.pure_live_seed(offer.purity / 100, offer.germination / 100)
            low, high = (seed.of_other_seed(kg, live, good) for kg in (low, high))
            said += k.text(
                "amount-seed-of-tag",
                alive=want.exact(kilos[1], "kg", kilos[0]),
                purity=purity,
                germination=germination,
                pure=f"{offer.purity / 100:.2f}",
                up=f"{offer.germination / 100:.2f}",
                amount=want.exact(high, "kg", low),
            )
        else:
            after.append(k.text("amount-seed-good", purity=purity, germination=germination))
    after += _passes(want, high)
    return Amount(low, high, "kg", said, tuple(after))


def _passes(want: Want, high: float) -> list[str]:
    """The setting for crossing passes."""
    passes, ground = want.value(want.supply.passes, "count"), want.job.area
    if not passes or ground is None or want.job.draft.method in want.supply.passes_not_by:
        return []
    each = want.exact(1000 * high / ground / passes, "g/m2")
    return [want.c.knowledge.text("amount-passes", passes=passes, each=each)]


def _mixture(want: Want) -> Amount | None:
    whole, k = _seed(want), want.c.knowledge
    mixture = k.mixtures.get(want.job.draft.plant)
    if whole is None or mixture is None:
        return whole
    shares = [(row.grass, k.value(row.share) or 0.0) for row in mixture.parts]
    grasses = [
        k.text(
            "amount-mixture-share",
            share=share,
            grass=want.c.say.plant(grass),
            amount=want.exact(whole.high * share / 100, "kg"),
        )
        for grass, share in shares
    ]
    return replace(whole, after=(k.text("amount-mixture", shares="; ".join(grasses)), *whole.after))


def _sprigs(want: Want) -> Amount | None:
    rates, ground, c = want.ends("litre/m2"), want.job.area, want.c
    if rates is None or ground is None:
        return None
    litres = [rate * ground for rate in rates]
    low, high = (volume / 1000 for volume in litres)
    spread = want.exact(rates[1], "litre/m2", rates[0])
    if c.system == "us":
        least, most = (convert(rate, "litre/m2", "bu/1000ft2") for rate in rates)
        spread = c.knowledge.language.exactly(most, "bu/1000ft2", "us", least)
    said = c.knowledge.text(
        "amount-sprigs", area=want.exact(ground, "m2"), rate=spread, amount=want.exact(high, "m3", low)
    )
    after: list[str] = []
    if want.supply.bushels is not None:
        value = c.knowledge.values[want.supply.bushels]
        sizes = sorted(convert(each.amount, value.unit, "litre") for each in value.used.values())
        counts = [
            c.knowledge.text(
                "amount-bushels-of",
                n=math.ceil(area.bushels_as(litres[1], size)),
                size=bushel(c, size),
            )
            for size in ([sizes[-1], sizes[0]] if sizes else [])
        ]
        after.append(c.knowledge.text("amount-bushels", counts=c.knowledge.language.listed(counts, "or")))
    return Amount(low, high, "m3", said, tuple(after))


def bushel(c: Consultation, litres: float) -> str:
    """The size of a bushel as its sellers give it."""
    return (
        c.knowledge.language.exactly(convert(litres, "litre", "ft3"), "ft3")
        if c.system == "us"
        else exact(c, litres, "litre")
    )


def _feed(want: Want) -> Amount | None:
    counted, k = _nitrogen(want), want.c.knowledge
    if counted is None or counted[0] <= 0:
        return None
    kilos, said = counted
    numbers = _analysis(want)
    if numbers is None:
        return None
    if not numbers:
        return Amount(kilos, kilos, "kg", said, (k.text("amount-feed-is-nitrogen"),))
    product = seed.product_rate(kilos, numbers[0])
    said = k.text(
        "amount-feed-product",
        nitrogen=said,
        percent=numbers[0],
        amount=want.exact(product, "kg"),
        label="-".join(want.c.knowledge.language.number(each) for each in numbers),
    )
    phosphate, potash = (seed.nutrient_in(product, percent) for percent in numbers[1:])
    n = want.c.filled.library.constants.nutrients
    held: list[str] = []
    if phosphate > 0:
        oxide, element = want.exact(phosphate, "kg"), want.exact(seed.phosphorus(phosphate, n), "kg")
        held.append(k.text("amount-feed-phosphate", oxide=oxide, element=element))
    if potash > 0:
        oxide, element = want.exact(potash, "kg"), want.exact(seed.potassium(potash, n), "kg")
        held.append(k.text("amount-feed-potash", oxide=oxide, element=element))
    after = (k.text("amount-feed-holds", nutrients="; ".join(held)),) if held else ()
    return Amount(product, product, "kg", said, after)


def _nitrogen(want: Want) -> tuple[float, str] | None:
    """Nitrogen in kg and its arithmetic: what the tasks of the plan give, else by the row's rate; None where
    neither is known.
    """
    k = want.c.knowledge
    given = [task.amount for task in want.tasks if task.unit == NITROGEN and task.amount is not None]
    if not given:
        counted = _by_rate(want)
        if counted is None or want.tasks:
            return None
        return counted.high, k.text("amount-of-nitrogen", amount=counted.said)
    kilos = sum(given)
    said = k.text("amount-of-nitrogen", amount=want.exact(kilos, "kg"))
    if len(given) > 1:
        said = k.text("amount-in-feeds", nitrogen=said, n=len(given))
    rate, ground = want.value(want.supply.high, "g/m2"), want.job.area
    if (
        ground is not None
        and rate is not None
        and math.isclose(kilos, seed.seed_kg(rate, ground), rel_tol=_ALIKE)
    ):
        said = want.product(ground, want.exact(rate, "g/m2"), said)
    return kilos, said


def _analysis(want: Want) -> tuple[float, ...] | None:
    """Percent of each nutrient in the feed, of the offer or of the usual feed; empty where it is counted as
    nitrogen.

    None where the usual feed has no numbers.
    """
    if want.offer is not None and want.offer.analysis is not None:
        return tuple(want.offer.analysis)
    if want.supply.analysis is None:
        return ()
    usual = [want.c.knowledge.value(want.supply.analysis, nutrient) for nutrient in NUTRIENTS]
    known = tuple(each for each in usual if each is not None)
    return known if len(known) == len(usual) else None


def _lime(want: Want) -> Amount | None:
    rate, ground, k = want.c.filled.situation.field.lime_g_m2, want.job.area, want.c.knowledge
    if not rate or ground is None:
        return None
    kilos = seed.seed_kg(rate, ground)
    after: list[str] = []
    most = want.value(want.supply.most_once, "g/m2")
    if most is not None and rate > most:
        goes = math.ceil(round(rate / most, 6))
        after.append(k.text("amount-lime-goes", most=want.exact(most, "g/m2"), n=goes))
    told = k.text("amount-of-report", rate=want.exact(rate, "g/m2"))
    return Amount(kilos, kilos, "kg", want.product(ground, told, want.exact(kilos, "kg")), tuple(after))


def _per_area(want: Want) -> Amount | None:
    assert want.supply.high is not None
    by_volume = unit_of(want.c, want.supply.high) != "count/m2"
    unit, each = ("l", "litre/m2") if by_volume else ("each", "count/m2")
    rates, ground = want.ends(each), want.job.area
    if rates is None or ground is None:
        return None
    low, high = (rate * ground for rate in rates)
    if not by_volume:
        low, high = float(math.ceil(round(low, 6))), float(math.ceil(round(high, 6)))
    said = want.product(ground, want.exact(rates[1], each, rates[0]), want.exact(high, unit, low))
    return Amount(low, high, unit, said)


# ---------- by the ground itself ----------
def _with_spare(want: Want, least: float) -> tuple[float, float, str]:
    """An amount with the spare of the row, and its words."""
    low = want.value(want.supply.spare_low, "percent") or 0.0
    high = want.value(want.supply.spare_high, "percent") or 0.0
    said = ""
    if low != high:
        said = want.c.knowledge.text("amount-spare-range", low=low, high=high)
    elif high:
        said = want.c.knowledge.text("amount-spare", spare=high)
    return area.with_spare(least, low), area.with_spare(least, high), said


def _ground(want: Want) -> Amount | None:
    ground, k = want.job.area, want.c.knowledge
    if ground is None:
        return None
    low, high, spare = _with_spare(want, ground)
    mass = want.value(want.supply.mass, "kg/m2")
    after = () if mass is None else (k.text("amount-weighs", mass=shown(want.c, mass * high, "kg")),)
    said = k.text(
        "amount-ground", area=want.exact(ground, "m2"), spare=spare, amount=want.exact(high, "m2", low)
    )
    return Amount(low, high, "m2", said, after)


def _plugs(want: Want) -> Amount | None:
    spacing, ground, k = want.ends("m"), want.job.area, want.c.knowledge
    if spacing is None or ground is None:
        return None
    many, few = (area.plugs(ground, gap) for gap in spacing)
    near, far = (want.exact(1000 * gap, "mm") for gap in spacing)
    whole = want.exact(ground, "m2")
    said = (
        k.text("amount-plugs-range", area=whole, near=near, many=many, far=far, few=few)
        if many != few
        else k.text("amount-plugs", area=whole, near=near, many=many)
    )
    after: list[str] = []
    size = want.value(want.supply.size, "m")
    if size is not None:
        sod = want.exact(area.plug_sod(many, size), "m2", area.plug_sod(few, size))
        after.append(k.text("amount-plugs-sod", size=want.exact(1000 * size, "mm"), sod=sod))
    return Amount(few, many, "each", said, tuple(after))


def _depth(want: Want) -> Amount | None:
    depth, ground = want.ends("mm"), want.job.area
    if depth is None or ground is None:
        return None
    low, high = (area.layer_m3(ground, each) for each in depth)
    after: list[str] = []
    density = density_of(want.c, want.supply, want.job)
    if density is not None:
        tonnes = [area.layer_tonnes(ground, each, density) for each in depth]
        mass = want.exact(tonnes[1], "t", tonnes[0])
        after.append(want.c.knowledge.text("amount-depth-weighs", mass=mass, density=density))
    said = want.product(ground, want.exact(depth[1], "mm", depth[0]), want.exact(high, "m3", low))
    return Amount(low, high, "m3", said, tuple(after))


def _edge(want: Want) -> Amount | None:
    ground = want.job.area
    if ground is None:
        return None
    places = places_of(want.c.filled, want.c.zones[want.job.zone])
    edge = area.square_edge(ground, places)
    low, high, spare = _with_spare(want, edge)
    said = want.c.knowledge.text(
        "amount-edge",
        n=places,
        area=want.exact(ground / places, "m2"),
        edge=want.exact(edge, "m"),
        spare=spare,
        amount=want.exact(high, "m", low),
    )
    return Amount(low, high, "m", said)


def _one(want: Want) -> Amount:
    return Amount(1.0, 1.0, "each", want.c.knowledge.text("amount-one"))


_KINDS: Final[Mapping[Quantity, Callable[[Want], Amount | None]]] = {
    "seed-by-rate": _seed,
    "parts-of-mixture": _mixture,
    "sod-area": _ground,
    "sprigs-volume": _sprigs,
    "plugs-count": _plugs,
    "nutrient-rate": _feed,
    "lime-rate": _lime,
    "depth-volume": _depth,
    "mass-rate": _by_rate,
    "per-area": _per_area,
    "area": _ground,
    "edge": _edge,
    "count": _one,
}
