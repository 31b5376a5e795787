"""The tasks from the start on, put on the days that follow from it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from decide.decision.consultation import Consultation
from decide.knowledge.schema_care import TaskTemplate
from decide.plan.days import end_of, first_day, last_day
from decide.plan.events import why_then
from decide.plan.feeding import Feeding
from decide.plan.jobs import ONE, Job, When, days_of
from decide.plan.placing import DatedTask, done_day, last_done, recorded, repeat
from decide.plan.waits import Node, Nodes, in_order, waits_of


@dataclass(frozen=True)
class Following:
    """What the tasks from the start on are placed by: all tasks of the plan, the events of each job, and the
    feeds.

    `ends` are the days on which later work takes the ground, by the code of the job that it ends.
    """

    nodes: Nodes
    events: Mapping[str, Mapping[str, When]]
    ends: Mapping[str, dt.date]
    feeding: Feeding


def place_after(c: Consultation, after: Following, placed: dict[Node, DatedTask]) -> None:
    """Add the tasks from the start on to those that are placed before it."""
    late = [node for node in after.nodes if c.knowledge.tasks[node[0]].anchor != "today"]
    waits = waits_of(c, after.nodes, late)
    for node in in_order(waits):
        row = _place(c, after, node, waits[node], placed)
        if row is not None:
            placed[node] = row


def _place(
    c: Consultation,
    after: Following,
    node: Node,
    waits: Mapping[Node, int],
    placed: Mapping[Node, DatedTask],
) -> DatedTask | None:
    """A task with its days; None where its day cannot be told, or it is not done at all."""
    task, jobs, today = c.knowledge.tasks[node[0]], after.nodes[node], c.filled.today
    if (done := done_day(c, node, jobs)) is not None:
        return recorded(c, node, jobs, done)
    hung = [
        (after.events[job.code][task.anchor], job) for job in jobs if task.anchor in after.events[job.code]
    ]
    if not hung:
        return None
    event, job = min(hung, key=lambda each: (each[0], each[1].code))
    first, last, why = _wanted(c, after, task, job, event, placed)
    for at, because in _held_up(c, after, node, job, waits, placed):
        if at > first:
            first, why = at, because or why
    free = first_day(c, task, jobs, max(first, today))
    if free is None:
        return None
    if free > first:
        why = (
            c.knowledge.text("plan-why-put-off-to-growth")
            if task.grows
            else c.knowledge.text("plan-why-put-off")
        )
    ends = after.ends.get(job.code)
    if _is_over(task, job, free, last, ends, today):
        return None
    least = max(last, end_of(c, task, jobs, free))
    last = last_day(c, task, jobs, least if ends is None else min(least, ends - ONE))
    row = DatedTask(node, task, job, free, max(last, free), why=why, after=[n for n in waits if n in placed])
    if task.starts:
        row.latest = free
        row.after += sorted(_held_for(c, after, job, placed))
    repeat(c, row, jobs)
    return row


def _held_up(
    c: Consultation,
    after: Following,
    node: Node,
    job: Job,
    waits: Mapping[Node, int],
    placed: Mapping[Node, DatedTask],
) -> Iterator[tuple[dt.date, str]]:
    """The days before which a task is not done, and why: other tasks, its own last time, the last feed."""
    k, task = c.knowledge, c.knowledge.tasks[node[0]]
    for n, days in waits.items():
        if n in placed:
            because = k.text("plan-why-after-task", task=placed[n].task.title)
            yield placed[n].first + days * ONE, because
    if task.every is not None and (done := last_done(c, node, after.nodes[node])) is not None:
        yield done + max(1, days_of(c, task.every, job)) * ONE, ""
    if task.after_feed is not None and (fed := after.feeding.last(job)) is not None:
        gap = days_of(c, task.after_feed, job)
        yield fed + gap * ONE, k.text("plan-why-after-feed", n=gap, fed=fed)


def _wanted(
    c: Consultation,
    after: Following,
    task: TaskTemplate,
    job: Job,
    event: When,
    placed: Mapping[Node, DatedTask],
) -> tuple[dt.date, dt.date, str]:
    """The first and the last day of a task by the day that it hangs on, and why then."""
    add = days_of(c, task.from_, job)
    first, late = event.early + add * ONE, event.late
    down = max(
        (row.last for row in placed.values() if row.task.starts and row.job.code == job.code), default=None
    )
    if down is not None and not c.knowledge.events[task.anchor].bare:
        # Nothing is looked at or opened before the last of it lies.
        first, late = max(first, down), max(late, down)
    last = (
        late + days_of(c, task.last, job) * ONE
        if task.last
        else _until(c, task, after.events[job.code]) or late + add * ONE
    )
    return first, last, why_then(c, task.anchor, add)


def _until(c: Consultation, task: TaskTemplate, events: Mapping[str, When]) -> dt.date | None:
    if task.until is None:
        return None
    rows = c.knowledge.events
    instead = sorted((row.ends, name) for name, row in rows.items() if row.ends is not None)
    known = [name for name in (task.until, *(name for _, name in instead)) if name in events]
    return events[known[0]].late if known else None


def _is_over(
    task: TaskTemplate, job: Job, free: dt.date, last: dt.date, ends: dt.date | None, today: dt.date
) -> bool:
    """Whether a task is not done at all: its time is over, or would be by the first day on which it may be
    done.
    """
    if job.draft.remedy == "carry-on" and last < today and not task.stays:
        # Its time has passed, and nobody wrote down whether it was done.
        return True
    # What would begin only after its own end, or after new work takes the ground.
    return (task.until is not None and last < free) or (ends is not None and free >= ends)


def _held_for(
    c: Consultation, after: Following, job: Job, placed: Mapping[Node, DatedTask]
) -> Sequence[Node]:
    """The tasks before the start that it waits for."""
    return [
        n
        for n in placed
        if c.knowledge.tasks[n[0]].anchor == "today"
        and c.knowledge.tasks[n[0]].holds
        and job in after.nodes[n]
    ]
