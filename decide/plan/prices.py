"""What an order costs: by the seller's own price, else by dated prices in print, else by local prices of a
square metre.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from decide.decision.consultation import Consultation
from decide.facts.cost import budget_currency, local_price, local_rows, price_of_plant
from decide.knowledge.schema_care import Price
from decide.knowledge.tables import Statement
from decide.measure import seed
from decide.model.errors import DecideError
from decide.model.row import Cost
from decide.model.units import convert
from decide.plan.jobs import Job, shown
from decide.plan.lots import Lot, counted_as_nitrogen
from decide.plan.offers import JOB, density_of, per_unit


@dataclass(frozen=True)
class Packs:
    """A whole number of packs, and how much of the row's unit is in one."""

    count: int
    size: float


@dataclass(frozen=True)
class Costed:
    """A cost, and the sources that it is from."""

    cost: Cost
    sources: tuple[str, ...] = ()


def currency(c: Consultation) -> str:
    """Told, or that of the country; nothing where neither is known."""
    return budget_currency(c.filled) or ""


def cost_of(
    c: Consultation, lots: Sequence[Lot], low: float, high: float, packs: Packs | None = None
) -> Costed | None:
    """The cost of an amount of an order; None where no price of it is known."""
    first = lots[0]
    told = _told(c, first, low, high, packs)
    if told is not None:
        return told
    if counted_as_nitrogen(first.supply, first.offer):
        return None
    for price in _of_country(c, first):
        if (known := _published(c, price, first, low, high)) is not None:
            return known
    return _local(c, lots, low, high)


def _told(c: Consultation, lot: Lot, low: float, high: float, packs: Packs | None) -> Costed | None:
    """By the price that the seller told."""
    offer = lot.offer
    if offer is None or offer.price is None:
        return None
    if offer.unit == JOB:
        ends, how = (offer.price, offer.price), c.knowledge.text("money-price-of-job")
    else:
        per = per_unit(offer, lot.amount.unit, density_of(c, lot.supply, lot.job))
        if not per:
            return None
        if packs is not None:
            least = min(packs.count, seed.packs(low, packs.size))
            low, high = least * packs.size, packs.count * packs.size
        ends, how = (low * offer.price / per, high * offer.price / per), c.knowledge.text("money-price-told")
    return Costed(
        Cost(
            low=round(ends[0], 2),
            high=round(ends[1], 2),
            currency=currency(c),
            year=str(c.filled.today.year),
            how=how,
        )
    )


def _of_country(c: Consultation, lot: Lot) -> Iterator[Price]:
    """The printed prices of the country of the place."""
    return (price for price in lot.supply.prices if price.country == c.filled.country)


def _statement(c: Consultation, written: str, job: Job) -> Statement | None:
    name, _, index = written.rstrip("]").partition("[")
    used = c.knowledge.values[name].used
    return used.get(index) or used.get(str(job.facts.get(index, "")) if index else "")


def _published(c: Consultation, price: Price, lot: Lot, low: float, high: float) -> Costed | None:
    """The cost by two dated prices; none that is remembered or of our own making counts."""
    unit = {"kg": "money/kg", "m2": "money/m2", "m3": "money/m3", "m": "money/m"}.get(lot.amount.unit)
    ends = [_shares(c, name, lot) for name in (price.low, price.high)]
    if unit is None or None in ends:
        return None
    density = density_of(c, lot.supply, lot.job)
    each: list[float] = []
    rows: list[Statement] = []
    for end in ends:
        sum_ = 0.0
        for share, row in end or ():
            one = _price_in(c, row, unit, density)
            if one is None:
                return None
            sum_ += share * one
            rows.append(row)
        each.append(sum_)
    places = list(dict.fromkeys(row.place for row in rows if row.place))
    known = (
        c.knowledge.text("money-published-in", places=places)
        if places
        else c.knowledge.text("money-published")
    )
    year = years(row.year for row in rows)
    cost = Cost(
        low=round(low * min(each), 2),
        high=round(high * max(each), 2),
        currency=rows[0].currency,
        year=year,
        how=c.filled.with_age(known, year),
    )
    return Costed(cost, tuple(sorted({row.source for row in rows})))


def _shares(c: Consultation, written: str, lot: Lot) -> list[tuple[float, Statement]] | None:
    """The printed prices that an end of a range is made of, each with its share: seed of a mixture is priced
    by its grasses.
    """
    name, _, index = written.rstrip("]").partition("[")
    if index == "option.lead-grass" and lot.supply.quantity in ("seed-by-rate", "parts-of-mixture"):
        return price_of_plant(c.filled.library, name, lot.job.draft.plant)
    found = _statement(c, written, lot.job)
    return [(1.0, found)] if found is not None and found.published_price else None


def _price_in(c: Consultation, row: Statement, unit: str, density: float | None) -> float | None:
    """A printed price in a unit; one by weight stands for one by volume where the density is known."""
    held = c.knowledge.values[row.value].unit
    try:
        return convert(row.amount, held, unit)
    except DecideError:
        return None if density is None else convert(row.amount, held, "money/t") * density


def years(named: Iterator[str] | Sequence[str]) -> str:
    """A year, or the first and the last of several."""
    found = sorted(set(named))
    return found[0] if len(found) == 1 else f"{found[0]}-{found[-1]}"


def _local(c: Consultation, lots: Sequence[Lot], low: float, high: float) -> Costed | None:
    """The cost of the grass itself, or of a contractor's work, by the prices of a square metre that are
    printed in the country of the place.
    """
    first = lots[0]
    contractor, areas = first.supply.kind == "contractor", [lot.job.area for lot in lots]
    if not (first.supply.main or contractor) or not c.holds(
        c.knowledge.reckoned["local-prices"], first.job.facts
    ):
        return None
    each = local_price(c.filled, first.job.draft, contractor)
    rows = local_rows(c.filled, first.job.draft, contractor)
    by_ground = first.amount.unit == "m2"
    if each is None or rows is None or (not by_ground and None in areas):
        return None
    # Seed is priced by the lawn that it is for, sod and work by what is ordered.
    ends = (low, high) if by_ground else (sum(area for area in areas if area is not None),) * 2
    cost = Cost(
        low=round(ends[0] * each[0], 2),
        high=round(ends[1] * each[1], 2),
        currency=each[2],
        year=each[3],
        how=each[4],
    )
    return Costed(cost, tuple(sorted({row.source for row in rows})))


def one_price(c: Consultation, lot: Lot) -> str:
    """The one dated price where the other end of the range has none; nothing where there is none."""
    for price in _of_country(c, lot):
        for name in (price.low, price.high):
            found = _statement(c, name, lot.job)
            if found is not None and found.published_price:
                unit = c.knowledge.values[found.value].unit
                return c.knowledge.text(
                    "money-one-price",
                    price=f"{found.currency} {shown(c, found.amount, unit)}",
                    place=found.place,
                    year=found.year,
                )
    return ""
