"""What is known of the money: material, contractor, hire and work, and what has no price yet."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal, get_args

from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.model.planned import Money, MoneyRow, Purchase, Task
from decide.model.row import Cost
from decide.model.words import capital
from decide.model.written import coded
from decide.plan.compare import compared, failure_of
from decide.plan.days import days_taken
from decide.plan.jobs import WEEK, Job, jobs_of, sentences
from decide.plan.lots import MEASURE_FIRST, holds, orders_of, total
from decide.plan.prices import cost_of, currency, one_price, years
from decide.plan.waits import code_of

Kind = Literal["material", "hire", "labour", "contractor", "water"]


def make_money(
    c: Consultation,
    options: Sequence[Weighed],
    tasks: Sequence[Task],
    shopping: Sequence[Purchase],
    *,
    beside: bool = True,
) -> Money:
    """What is known of the cost: by kind and currency, options side by side, the cost of failure, and what
    has no price. Pure.

    Without `beside` nothing is said of other options and of failure.
    """
    jobs = jobs_of(c, options)
    areas, hire = _areas(c, jobs), _hire(c, jobs, tasks)
    fetched = _to_fetch(c, jobs)
    parts = [
        _material(c, shopping),
        _contractor(c, jobs, tasks),
        ([], [*_by_size(c, jobs), *areas, *fetched]),
        hire,
        _labour(c, tasks),
    ]
    rows = [row for found, _ in parts for row in found]
    return Money(
        rows=rows,
        totals=_totals(c, rows),
        unknown=list(dict.fromkeys(said for _, unknown in parts for said in unknown)),
        to_get=list(dict.fromkeys([*fetched, *hire[1]])),
        to_measure=areas,
        compared=[row for zone in c.zones for row in compared(c, zone, tasks)] if beside else [],
        failure=[
            failure_of(c, job, job.draft.start, tasks)
            for job in jobs
            if beside and job.draft.remedy == "establish" and job.draft.start is not None
        ],
    )


# Rows of money that are known, and sentences on what is not.
KnownAndNot = tuple[list[MoneyRow], list[str]]


def _in_zone(c: Consultation, item: str, zone: str) -> str:
    """An item with its zone, where there are several."""
    return item if not zone or len(c.zones) == 1 else c.knowledge.text("money-in-zone", item=item, zone=zone)


def _row(what: str, zone: str, kind: Kind, cost: Cost) -> MoneyRow:
    return MoneyRow(
        what=what,
        zone=zone,
        kind=kind,
        low=cost.low,
        high=cost.high,
        currency=cost.currency,
        year=cost.year,
        how=cost.how,
    )


def _material(c: Consultation, shopping: Sequence[Purchase]) -> KnownAndNot:
    rows: list[MoneyRow] = []
    unknown: list[str] = []
    for row in shopping:
        no_price = c.knowledge.supplies[row.supply].no_price
        if row.cost is not None:
            rows.append(_row(row.item, row.zone, "material", row.cost))
        elif no_price and row.packs != 0:
            item = _in_zone(c, row.item, row.zone)
            unknown.append(c.knowledge.text("money-no-price", item=item, ask=no_price))
    return rows, unknown


def _contractor(c: Consultation, jobs: Sequence[Job], tasks: Sequence[Task]) -> KnownAndNot:
    """Work that a contractor would do in place of one's own."""
    rows: list[MoneyRow] = []
    unknown: list[str] = []
    for lots in orders_of(c, jobs, tasks):
        first = lots[0]
        if first.supply.kind != "contractor":
            continue
        known = cost_of(c, lots, *total(lots))
        zone = first.job.name if len(lots) == 1 else ""
        if known is not None:
            how = c.knowledge.text("money-in-place-of-own-work", how=known.cost.how)
            rows.append(_row(first.item, zone, "contractor", known.cost.model_copy(update={"how": how})))
        else:
            said = c.knowledge.text("money-no-range", item=_in_zone(c, first.item, zone))
            unknown.append(f"{said} {one_price(c, first)}{first.supply.no_price}")
    return rows, unknown


def _by_size(c: Consultation, jobs: Sequence[Job]) -> list[str]:
    """That the budget was held against prices of another country, where no price of the place is known."""
    found: list[str] = []
    for job in jobs:
        if "option.budget-short.low" not in job.facts or "option.cost.low" in job.facts:
            continue
        k = c.knowledge
        year, rates = k.value("cost-year", job.draft.method), k.value("currency-year")
        way = _in_zone(c, capital(c.say.method(job.draft.method)), job.name)
        if c.filled.country == "us":
            found.append(k.text("money-for-size-here", way=way))
            continue
        found.append(
            k.text("money-for-size", way=way)
            if year is None or rates is None
            else k.text("money-for-size-dated", way=way, year=f"{year:.0f}", rates=f"{rates:.0f}")
        )
    return found


def _areas(c: Consultation, jobs: Sequence[Job]) -> list[str]:
    """The parts that must be measured before anything can be counted."""
    return [
        c.knowledge.text("money-measure-area", zone=job.name)
        for job in jobs
        if job.area is None and job.draft.remedy == "establish"
    ]


def _to_fetch(c: Consultation, jobs: Sequence[Job]) -> list[str]:
    """What is wanted of which the amount must be measured first."""
    first = [supply for supply in c.knowledge.supplies.values() if supply.quantity == MEASURE_FIRST]
    return [sentences(c, supply.ask, job.facts) for job in jobs for supply in first if holds(c, supply, job)]


def _hire(c: Consultation, jobs: Sequence[Job], tasks: Sequence[Task]) -> KnownAndNot:
    """Machines of the plan that are not at hand and can be hired, each once, for the days that its tasks
    take.
    """
    means, k = c.filled.situation.means, c.knowledge
    offered = [offer for offer in c.filled.situation.offer or [] if offer.what == "hire" and offer.tool]
    own = {coded(tool) for tool in means.equipment_own or []}
    hired = {coded(tool) for tool in means.equipment_hire or []} | {coded(o.tool or "") for o in offered}
    days: dict[str, int] = {}
    for task in tasks:
        for tool in task.needs:
            if tool in hired and tool not in own:
                days[tool] = max(days.get(tool, 0), _days(c, task, jobs))
    rows: list[MoneyRow] = []
    unknown: list[str] = []
    for tool, count in sorted(days.items()):
        name = k.equipment[tool].name if tool in k.equipment else tool.replace("-", " ")
        times = {"day": count, "week": math.ceil(count / WEEK), "job": 1, "each": 1}
        each = [
            offer.price * times[offer.unit]
            for offer in offered
            if coded(offer.tool or "") == tool and offer.price is not None and offer.unit in times
        ]
        if each:
            rows.append(
                _told_row(
                    c,
                    k.text("money-hire", tool=name),
                    "hire",
                    (min(each), max(each)),
                    k.text("money-hire-told", n=count),
                )
            )
        else:
            unknown.append(k.text("money-hire-unknown", tool=name, n=count))
    return rows, unknown


def _told_row(c: Consultation, what: str, kind: Kind, ends: tuple[float, float], how: str) -> MoneyRow:
    """A row at a price that was told, of this year and in the money of the place."""
    return MoneyRow(
        what=what,
        zone="",
        kind=kind,
        low=round(ends[0], 2),
        high=round(ends[1], 2),
        currency=currency(c),
        year=str(c.filled.today.year),
        how=how,
    )


def _days(c: Consultation, task: Task, jobs: Sequence[Job]) -> int:
    """Days of work that a task of the plan takes in one go."""
    template = c.knowledge.tasks.get(task.template)
    of_it = [
        job for job in jobs if task.code in (code_of((task.template, job.code)), code_of((task.template, "")))
    ]
    return days_taken(c, template, of_it) if template is not None and of_it else 1


def _labour(c: Consultation, tasks: Sequence[Task]) -> KnownAndNot:
    """Hours of one's own hands by the plan, at the wage that was told."""
    k, wage = c.knowledge, c.filled.situation.means.wage_per_hour
    hours = [task.hours for task in tasks if task.hours is not None and k.hands[task.who].own]
    low, high = sum(each.low for each in hours), sum(each.high for each in hours)
    if high <= 0:
        return [], []
    said = k.text("money-hours-of-work", low=round(low), high=round(high))
    if wage is None:
        return [], [k.text("money-no-wage", hours=said)]
    how = k.text("money-hours-by-wage", hours=said, wage=wage)
    return [_told_row(c, k.text("money-work"), "labour", (low * wage, high * wage), how)], []


def _totals(c: Consultation, rows: Sequence[MoneyRow]) -> list[MoneyRow]:
    """One row for each kind and currency."""
    found: list[MoneyRow] = []
    kinds: tuple[Kind, ...] = get_args(Kind)
    for kind in kinds:
        for money in sorted({row.currency for row in rows if row.kind == kind}):
            held = [row for row in rows if row.kind == kind and row.currency == money]
            cost = Cost(
                low=round(sum(row.low or 0 for row in held), 2),
                high=round(sum(row.high or 0 for row in held), 2),
                currency=money,
                year=years([year for row in held for year in row.year.split("-")]),
                how=c.knowledge.text("money-sum-of-prices", n=len(held)),
            )
            found.append(_row(kind, "", kind, cost))
    return found
