"""The tasks before the start, each put as late as it should be and as early as it must."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from decide.decision.consultation import Consultation
from decide.plan.days import days_taken, end_of, first_day, last_day, money_until
from decide.plan.jobs import ONE, days_of
from decide.plan.placing import DatedTask, done_day, recorded, repeat
from decide.plan.starts import Preparation, no_sooner
from decide.plan.waits import Node, gap_after


def place_before(c: Consultation, before: Preparation) -> dict[Node, DatedTask]:
    """The tasks before the starts with their days."""
    latest = _latest(c, before)
    placed: dict[Node, DatedTask] = {}
    for node in before.order:
        if node not in before.soonest:
            continue
        if (done := done_day(c, node, before.nodes[node])) is not None:
            placed[node] = recorded(c, node, before.nodes[node], done)
        else:
            placed[node] = _place(c, before, node, placed, latest)
    return placed


def _latest(c: Consultation, before: Preparation) -> dict[Node, dt.date]:
    """The last day to begin each task that the start waits for, backward from the starts; what is paid for is
    no later than the money may be spent.
    """
    until = money_until(c)
    latest: dict[Node, dt.date] = {}
    for node in reversed(before.order):
        task, jobs = c.knowledge.tasks[node[0]], before.nodes[node]
        ends: list[dt.date] = []
        if task.holds:
            ends = [
                before.starts[job.code]
                - gap_after(c, node, before.nodes, days_of(c, task.before_start, job)) * ONE
                for job in jobs
            ]
        ends += [
            latest[n] - gap_after(c, node, before.nodes, each[node]) * ONE
            for n, each in before.waits.items()
            if node in each and n in latest
        ]
        if not ends:
            continue
        if task.pays and until is not None:
            ends.append(until)
        first = last_day(c, task, jobs, min(ends))
        for _ in range(days_taken(c, task, jobs) - 1):
            first = last_day(c, task, jobs, first - ONE)
        latest[node] = first
    return latest


def _place(
    c: Consultation,
    before: Preparation,
    node: Node,
    placed: Mapping[Node, DatedTask],
    latest: Mapping[Node, dt.date],
) -> DatedTask:
    task, jobs, today = c.knowledge.tasks[node[0]], before.nodes[node], c.filled.today
    asked = [
        (placed[n].last + gap_after(c, n, before.nodes, days) * ONE, n)
        for n, days in before.waits[node].items()
        if n in placed
    ]
    at, cause = max(asked, default=(today, None))
    floor = today
    if task.soonest is not None:
        floor = min(before.starts[job.code] for job in jobs) - days_of(c, task.soonest, jobs[0]) * ONE
    if node in latest:
        floor = min(floor, latest[node])
    stale = no_sooner(c, before, node, min(before.starts[job.code] for job in jobs))
    floor = floor if stale is None else max(floor, stale)
    first = first_day(c, task, jobs, max(at, floor, today)) or before.soonest[node][0]
    last = end_of(c, task, jobs, first)
    row = DatedTask(
        node,
        task,
        jobs[0],
        first,
        last,
        max(latest[node], first) if node in latest else None,
        after=[n for n in before.waits[node] if n in placed],
    )
    if task.last is not None:
        row.last = last_day(c, task, jobs, max(last, first + days_of(c, task.last, jobs[0]) * ONE))
    repeat(c, row, jobs)
    row.why = _why(c, row, at, cause, floor, before.starts[jobs[0].code])
    return row


def _why(
    c: Consultation, row: DatedTask, at: dt.date, cause: Node | None, floor: dt.date, start: dt.date
) -> str:
    """What set the first day: of the days on which work is allowed, after another task, so long before the
    start, or at once.
    """
    k, today = c.knowledge, c.filled.today
    if row.task.pays and row.first == c.filled.situation.means.budget_from and row.first > max(at, floor):
        return k.text("plan-why-money")
    if row.first > max(at, floor, today):
        return k.text("plan-why-first-free-day")
    if cause is not None and at >= floor and at > today:
        return k.text("plan-why-after-task", task=k.tasks[cause[0]].title)
    if floor > today:
        return k.text("plan-why-before-start", n=(start - row.first).days, start=start)
    if not row.task.holds or row.latest is None:
        return k.text("plan-why-no-wait")
    return k.text("plan-why-at-once") if row.latest <= row.first else k.text("plan-why-soon")
