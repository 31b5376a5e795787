"""The tasks of a plan put together: the same work on the same days in several parts is one job."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from decide.model.planned import Task
from decide.model.row import Hours
from decide.report.phrases import day_of, sentence
from decide.report.sections.plan import often_notes
from decide.report.telling import Telling
from decide.report.words import say

# Hours under which no figure is told.
HALF: Final = 0.5


@dataclass(frozen=True)
class Work:
    """One job in one part or in several: tasks that differ in nothing but their part and their amounts."""

    tasks: tuple[Task, ...]

    @property
    def task(self) -> Task:
        """What holds for all of its tasks."""
        return self.tasks[0]

    @cached_property
    def zones(self) -> list[str]:
        """The parts that it is done in; none where it is done once for the field."""
        return list(dict.fromkeys(task.zone for task in self.tasks if task.zone))

    @cached_property
    def cautions(self) -> list[str]:
        """The codes of its cautions, each once."""
        return list(dict.fromkeys(code for task in self.tasks for code in task.cautions))

    @cached_property
    def tools(self) -> list[str]:
        """The codes of its tools and machines, each once."""
        return list(dict.fromkeys(code for task in self.tasks for code in task.needs))

    @cached_property
    def hours(self) -> Hours | None:
        """Hours of work in all its parts; None where those of a part are not known."""
        known = [task.hours for task in self.tasks if task.hours is not None]
        if len(known) < len(self.tasks):
            return None
        return Hours(low=sum(row.low for row in known), high=sum(row.high for row in known))

    @cached_property
    def amount(self) -> float | None:
        """What it takes in all its parts, in the unit of its tasks; None where a part's is not known."""
        known = [task.amount for task in self.tasks if task.amount is not None]
        return sum(known) if len(known) == len(self.tasks) else None


def same_work(tasks: Iterable[Task]) -> list[Work]:
    """The tasks put together, in their order; what is done otherwise or on another day stays apart."""
    found: dict[tuple[object, ...], list[Task]] = {}
    for task in tasks:
        key = (
            task.template, task.task, task.text, task.from_, task.until, task.latest, task.order_by, task.who,
            task.every_days, task.unit, task.done,
        )  # fmt: skip
        found.setdefault(key, []).append(task)
    return [Work(tuple(rows)) for rows in found.values()]


def hours_told(work: Work, figures: Callable[[Hours], str]) -> str:
    """The hours of a job, as `figures` says them; "" where they are not known, or there are none."""
    hours = work.hours
    if hours is None or hours.high <= 0:
        return ""
    return say("short-work") if hours.high < HALF else figures(hours)


def how_words(t: Telling, work: Work, every: int | None = None) -> str:
    """How a job is done: by when what it needs is ordered, how often, how much.

    That it comes back each so many days is left out where those are `every`, which is said already.
    """
    task = work.task
    said = [sentence(task.text)]
    if task.order_by is not None and task.order_by != task.latest:
        said.append(say("order-by-day", day=day_of(task.order_by)))
    said += often_notes(t, task) if task.every_days is None or round(task.every_days) != every else []
    if work.amount is not None:
        said.append(t.weight(work.amount, task.unit))
    return " ".join(said)
