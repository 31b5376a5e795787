"""A task with its days: repeated, or recorded as done."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field

from decide.decision.consultation import Consultation
from decide.facts.progress import done_on
from decide.knowledge.schema_care import TaskTemplate
from decide.plan.days import days_taken, first_day
from decide.plan.jobs import ONE, Job, days_of
from decide.plan.waits import Node


@dataclass
class DatedTask:
    """A task of the plan with its days; `why` says what set the first of them, `done` when the record says it
    was done.
    """

    node: Node
    task: TaskTemplate
    job: Job
    first: dt.date
    last: dt.date
    latest: dt.date | None = None
    every: int | None = None
    times: list[dt.date] = field(default_factory=list)
    after: list[Node] = field(default_factory=list)
    why: str = ""
    done: dt.date | None = None


def done_day(c: Consultation, node: Node, jobs: Sequence[Job]) -> dt.date | None:
    """The day on which the record says that a task was done; None for what is done again and again."""
    return None if c.knowledge.tasks[node[0]].every is not None else last_done(c, node, jobs)


def last_done(c: Consultation, node: Node, jobs: Sequence[Job]) -> dt.date | None:
    """The last day on which the record says that a task was done.

    Before the start what comes before it, and of what was begun what came since.
    """
    since = None
    if c.knowledge.tasks[node[0]].anchor != "today":
        if jobs[0].draft.remedy != "carry-on":
            return None
        since = jobs[0].draft.start
    return done_on(c.filled, node[0], jobs[0].zone if node[1] else "", since)


def recorded(c: Consultation, node: Node, jobs: Sequence[Job], done: dt.date) -> DatedTask:
    """A task that the record says is done."""
    why = c.knowledge.text("plan-why-recorded")
    return DatedTask(node, c.knowledge.tasks[node[0]], jobs[0], done, done, times=[done], why=why, done=done)


def repeat(c: Consultation, row: DatedTask, jobs: Sequence[Job]) -> None:
    """Write down the days on which a task is done: every so many days, or its own days in a row."""
    task = row.task
    if task.every is not None:
        row.every = max(1, days_of(c, task.every, row.job))
        due = row.first
        while due <= row.last:
            done = first_day(c, task, jobs, due)
            if done is None or done > row.last:
                break
            row.times.append(done)
            due = max(due + row.every * ONE, done + ONE)
        return
    date: dt.date | None = row.first
    for _ in range(days_taken(c, task, jobs)):
        if date is not None:
            row.times.append(date)
            date = first_day(c, task, jobs, date + ONE)
