"""Choice → what to buy, with the arithmetic shown."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.measure import seed
from decide.model.planned import Purchase, Task
from decide.model.words import capital
from decide.plan.amounts import Amount, Want, amount_of, bushel
from decide.plan.days import money_until
from decide.plan.jobs import ONE, cautions_for, jobs_of, read_value, sentences
from decide.plan.lots import Lot, orders_of, total
from decide.plan.offers import density_of, exact, per_unit
from decide.plan.prices import Packs, cost_of

# As much as the sum of the lots may differ from the amount of their ground reckoned as one.
_ALIKE = 0.001


def make_shopping(c: Consultation, options: Sequence[Weighed], tasks: Sequence[Task]) -> list[Purchase]:
    """What to buy for the options that are chosen, in the order of the knowledge.

    `tasks` is their plan, or nothing. Pure.
    """
    left: dict[int, float] = {}
    return [
        _purchase(c, lots, left)
        for lots in orders_of(c, jobs_of(c, options), tasks)
        if lots[0].supply.kind == "material"
    ]


def sources_of(shopping: Iterable[Purchase]) -> frozenset[str]:
    """The sources that a shopping list names."""
    return frozenset(source for row in shopping for source in row.sources)


def _purchase(c: Consultation, lots: Sequence[Lot], left: dict[int, float]) -> Purchase:
    """One row; `left` is what is over of each seller's packs after the rows before it."""
    first = lots[0]
    supply, unit = first.supply, first.amount.unit
    # The row holds what is ordered, so packs are counted from the same figure.
    low, high = (round(end, 3) for end in total(lots))
    said = _arithmetic(c, lots, low, high)
    ask = [sentences(c, supply.ask, first.job.facts)] if supply.ask else []
    packs, pack = _packs(c, first, high, left), ""
    if packs is not None:
        pack = _pack_named(c, first, packs.size)
        said.append(
            c.knowledge.text("shopping-packs", n=packs.count, pack=pack)
            if packs.count
            else c.knowledge.text("shopping-left-over", pack=supply.pack)
        )
    elif supply.ask_size:
        ask.append(supply.ask_size)
    ask += _seller_short(c, first, high)
    uses = sorted((task for lot in lots for task in lot.tasks), key=lambda task: (task.from_, task.code))
    known = None if packs is not None and not packs.count else cost_of(c, lots, low, high, packs)
    return Purchase(
        code=f"{first.key}/{'+'.join(lot.job.code for lot in lots)}",
        supply=first.key,
        zone="" if len(lots) > 1 else first.job.name,
        item=first.item,
        amount=high,
        amount_low=low if low < high else None,
        unit=unit,
        packs=None if packs is None else packs.count,
        pack=pack,
        how=" ".join(said),
        ask=" ".join(ask),
        for_task=uses[0].code if uses else "",
        order_by=_order_by(c, first, uses),
        cost=known.cost if known else None,
        cautions=cautions_for(c, supply.cautions, supply.cautions_if, (lot.job for lot in lots)),
        sources=sorted({*supply.sources, *(known.sources if known else ())}),
    )


def _packs(c: Consultation, lot: Lot, high: float, left: dict[int, float]) -> Packs | None:
    """The packs that an order takes beside what is left over of the seller's; None where their size was not
    told.
    """
    offer = lot.offer
    if offer is None:
        return None
    per = per_unit(offer, lot.amount.unit, density_of(c, lot.supply, lot.job))
    if per is None:
        return None
    size = None if offer.pack is None else offer.pack * per
    if size is None and lot.supply.bushels is not None and offer.bushel_l is not None:
        size = per
    if not size:
        return None
    seller = (c.filled.situation.offer or []).index(offer)
    over = left.get(seller, 0.0)
    count = seed.packs(max(0.0, high - over), size)
    left[seller] = over + count * size - high
    return Packs(count, size)


def _pack_named(c: Consultation, lot: Lot, size: float) -> str:
    held = bushel(c, 1000 * size) if lot.supply.bushels is not None else exact(c, size, lot.amount.unit)
    return c.knowledge.text("shopping-pack-of", pack=lot.supply.pack, size=held)


def _seller_short(c: Consultation, lot: Lot, high: float) -> list[str]:
    """Where the rest is to come from when the seller has less than is ordered."""
    offer = lot.offer
    if offer is None or offer.amount is None:
        return []
    per = per_unit(offer, lot.amount.unit, density_of(c, lot.supply, lot.job))
    if per is None or offer.amount * per >= high:
        return []
    return [c.knowledge.text("shopping-seller-short", there=exact(c, offer.amount * per, lot.amount.unit))]


def _arithmetic(c: Consultation, lots: Sequence[Lot], low: float, high: float) -> list[str]:
    """The arithmetic of all jobs, then what is said of the whole."""
    first, k = lots[0], c.knowledge
    note = [first.supply.note] if first.supply.note else []
    if len(lots) == 1 or first.supply.once:
        said = k.text("shopping-sum", sum=capital(first.amount.said))
        return [said, *first.amount.after, *note]
    said_each = [k.text("shopping-sum-of", zone=lot.job.name, sum=lot.amount.said) for lot in lots]
    together = k.text("shopping-together", amount=exact(c, high, first.amount.unit, low))
    whole = _as_one(c, lots)
    if whole is not None:
        return [*said_each, together, *whole.after, *note]
    same = set.intersection(*(set(lot.amount.after) for lot in lots))
    of_each = [
        k.text("shopping-of", zone=lot.job.name, said=line)
        for lot in lots
        for line in lot.amount.after
        if line not in same
    ]
    return [*said_each, together, *(line for line in first.amount.after if line in same), *of_each, *note]


def _as_one(c: Consultation, lots: Sequence[Lot]) -> Amount | None:
    """The amount of all jobs as if they were one; None where they differ in more than their area."""
    first = lots[0]
    if any(lot.job.area is None for lot in lots):
        return None
    job = replace(first.job, area=sum(lot.job.area or 0.0 for lot in lots))
    made = amount_of(Want(c, first.supply, job, first.offer, [task for lot in lots for task in lot.tasks]))
    if made is None:
        return None
    ends = zip((made.low, made.high), total(lots), strict=True)
    return made if all(math.isclose(one, sum_, rel_tol=_ALIKE) for one, sum_ in ends) else None


def _order_by(c: Consultation, lot: Lot, uses: Sequence[Task]) -> str | None:
    """The day of first use less the time until delivery: what the seller told, else the usual; no later than
    the money may be spent.
    """
    if not uses:
        return None
    lead = None if lot.offer is None else lot.offer.lead_days
    if lead is None:
        lead = read_value(c, lot.supply.lead, lot.job.facts, "day")
    if lead is None:
        return None
    ends = [dt.date.fromisoformat(uses[0].from_) - math.ceil(lead) * ONE, money_until(c)]
    last = min(day for day in ends if day is not None)
    return max(last, c.filled.today).isoformat()
