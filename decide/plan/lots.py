"""Lots: what each job wants of each supply, and what of that is ordered together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from decide.decision.consultation import Consultation
from decide.knowledge.schema_care import Supply
from decide.measure import area
from decide.model.planned import Task
from decide.model.situation import Offer
from decide.plan.amounts import Amount, Want, amount_of
from decide.plan.jobs import Job, sentences, suits
from decide.plan.offers import offer_for

# What is measured before anything can be counted or bought.
MEASURE_FIRST = "measure-first"


@dataclass(frozen=True)
class Lot:
    """One supply for one job: its amount, the offer that it is bought by, the tasks that use it."""

    key: str
    supply: Supply
    job: Job
    offer: Offer | None
    amount: Amount
    tasks: tuple[Task, ...]
    item: str


def holds(c: Consultation, supply: Supply, job: Job) -> bool:
    """Whether a job wants a supply."""
    if not suits(job, supply):
        return False
    told = c.filled.situation.offer or []
    if supply.offered and not any(offer.what in supply.what for offer in told):
        return False
    return c.holds(supply, job.facts)


def _on_its_ground(supply: Supply, job: Job) -> Job:
    """The job with the ground that a supply is for: all of it, or the share of it that a fact tells."""
    share = None if supply.share is None else job.facts.get(supply.share)
    if not isinstance(share, float) or job.area is None:
        return job
    return replace(job, area=area.share_of(job.area, share))


def lots_of(c: Consultation, job: Job, tasks: Sequence[Task], *, planned: bool = True) -> list[Lot]:
    """What one job wants: of each group the first row that holds and has an amount.

    `planned` leaves out what no task of the plan uses, where there is a plan.
    """
    by_code = {task.code: task for task in tasks}
    found: list[Lot] = []
    groups: set[str] = set()
    for key, supply in c.knowledge.supplies.items():
        if supply.group in groups or supply.quantity == MEASURE_FIRST or not holds(c, supply, job):
            continue
        codes = (f"{task}/{place}" for task in supply.tasks for place in (job.code, "field"))
        uses = [by_code[code] for code in codes if code in by_code]
        if planned and tasks and supply.tasks and not uses:
            continue
        offer, ground = offer_for(c, supply, job), _on_its_ground(supply, job)
        amount = amount_of(Want(c, supply, ground, offer, uses))
        if amount is None:
            continue
        if supply.group is not None:
            groups.add(supply.group)
        item = sentences(c, supply.item, job.facts)
        if counted_as_nitrogen(supply, offer):
            item = c.knowledge.text("shopping-counted-as-nitrogen", item=item)
        found.append(Lot(key, supply, ground, offer, amount, tuple(uses), item))
    return found


def counted_as_nitrogen(supply: Supply, offer: Offer | None) -> bool:
    """Whether the amount is that of the nitrogen alone, as no feed is known to count."""
    return supply.quantity == "nutrient-rate" and supply.analysis is None and offer is None


def orders_of(c: Consultation, jobs: Sequence[Job], tasks: Sequence[Task]) -> list[list[Lot]]:
    """Lots of the same thing from the same seller, of all jobs that want it; one order, one rounding up."""
    told, keys = c.filled.situation.offer or [], list(c.knowledge.supplies)
    found: dict[tuple[object, ...], list[Lot]] = {}
    for job in jobs:
        for lot in lots_of(c, job, tasks):
            seller = None if lot.offer is None else told.index(lot.offer)
            # What is one for the field serves the stopgap and what follows it.
            later = job.later and not lot.supply.once
            same = (later, keys.index(lot.key), lot.item, seller, lot.amount.unit)
            found.setdefault(same, []).append(lot)
    return [lots for _, lots in sorted(found.items(), key=lambda order: order[0][:3])]


def total(lots: Sequence[Lot]) -> tuple[float, float]:
    """The amount of an order, low and high."""
    ends = [lot.amount.low for lot in lots], [lot.amount.high for lot in lots]
    if lots[0].supply.once:
        return max(ends[0]), max(ends[1])
    return sum(ends[0]), sum(ends[1])
