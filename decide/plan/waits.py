"""Which tasks a plan has, and which of them wait for which, for how long."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from graphlib import TopologicalSorter

from decide.decision.consultation import Consultation
from decide.facts.draft import offers
from decide.knowledge.schema_care import TaskTemplate
from decide.plan.jobs import WEEK, Job, days_of, suits

# A task of the plan: its key in the knowledge, and the code of its job, or nothing where it is done once
# for the field.
Node = tuple[str, str]
Nodes = Mapping[Node, list[Job]]
Waits = dict[Node, dict[Node, int]]


def code_of(node: Node) -> str:
    """The code of a task in the advice."""
    return f"{node[0]}/{node[1] or 'field'}"


def nodes_of(c: Consultation, jobs: Sequence[Job]) -> dict[Node, list[Job]]:
    """Every task of the plan with the jobs that have it; one for the whole field where it is done once."""
    found: dict[Node, list[Job]] = {}
    for key, task in c.knowledge.tasks.items():
        for job in jobs:
            if suits(job, task) and c.holds(task, job.facts):
                found.setdefault((key, "" if task.once else job.code), []).append(job)
    return found


def waits_of(c: Consultation, nodes: Nodes, of: Iterable[Node]) -> Waits:
    """For each task `of` the plan those that it waits for, and days from their end.

    What is left out of the plan hands its own waits on.
    """
    return {node: _waits_for(c, node, nodes) for node in of}


def _waits_for(c: Consultation, node: Node, nodes: Nodes) -> dict[Node, int]:
    found: dict[Node, int] = {}
    for each, days in _waited_for(c, node, nodes, node[0], 0):
        found[each] = max(found.get(each, 0), days)
    return found


def _waited_for(
    c: Consultation, node: Node, nodes: Nodes, key: str, least: int
) -> Iterator[tuple[Node, int]]:
    """What a task waits for, and so many days; of a task that is not done here, what that would wait for."""
    codes = [job.code for job in nodes[node]]
    for each in c.knowledge.tasks[key].after:
        # What is done once for the field is waited for by the jobs that need it, not by
        # those beside them.
        shared = any(job.code in codes for job in nodes.get((each.task, ""), ()))
        there = [
            n
            for n in (*([(each.task, "")] if shared else []), *((each.task, code) for code in codes))
            if n in nodes
        ]
        days = max(least, days_of(c, each.wait, nodes[node][0]))
        yield from ((n, days) for n in there)
        if not there:
            yield from _waited_for(c, node, nodes, each.task, 0)


def in_order(waits: Mapping[Node, Iterable[Node]]) -> list[Node]:
    """The tasks so that each comes after those that it waits for."""
    graph = {node: list(each) for node, each in waits.items()}
    return [node for node in TopologicalSorter(graph).static_order() if node in graph]


def _lead(c: Consultation, task: TaskTemplate, job: Job) -> int:
    """Days until what is asked for is there; what the owner or the sellers told beats the usual figure."""
    told_weeks = c.site.get(task.lead_fact) if task.lead_fact else None
    if isinstance(told_weeks, float):
        return math.ceil(told_weeks * WEEK)
    if task.lead_offer and job.draft.remedy == "establish":
        told = c.filled.situation.offer or []
        leads = [lead for n in offers(c.filled, job.draft) or [] if (lead := told[n].lead_days) is not None]
        if leads:
            return math.ceil(min(leads))
    return days_of(c, task.lead, job)


def gap_after(c: Consultation, node: Node, nodes: Nodes, wait: int = 0) -> int:
    """Days from the last day of a task to the first on which another may begin that waits `wait`
    days for it.
    """
    task = c.knowledge.tasks[node[0]]
    return max(wait, _lead(c, task, nodes[node][0]), 1 if task.days else 0)
