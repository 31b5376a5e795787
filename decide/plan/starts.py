"""The day on which each job starts: the choice's own where all that comes before it can be done, else the
first that fits.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final

from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.measure import dates
from decide.model.planned import Clash
from decide.plan.days import allowed_start, days_taken, end_of, first_day
from decide.plan.jobs import ONE, WEEK, Job, days_of, job_of, read_value
from decide.plan.placing import done_day
from decide.plan.waits import Node, Nodes, Waits, code_of, gap_after, in_order, nodes_of, waits_of

# Each round may push a start past one season of play; the years planned for hold no more.
FRESH_ROUNDS: Final = 8


@dataclass
class Preparation:
    """The tasks before the starts: how soon each can be done, what holds it up, and the starts that follow
    from that.

    `moved` are those that days without work or with play put off.
    """

    nodes: Nodes
    waits: Waits
    order: list[Node]
    soonest: dict[Node, tuple[dt.date, dt.date]] = field(default_factory=dict)
    held_by: dict[Node, Node | None] = field(default_factory=dict)
    moved: set[Node] = field(default_factory=set)
    starts: dict[str, dt.date] = field(default_factory=dict)
    clashes: list[Clash] = field(default_factory=list)

    def chain(self, last: Node | None) -> list[Node]:
        """The tasks of which each waited for the one before, in order."""
        found: list[Node] = []
        while last is not None:
            found.append(last)
            last = self.held_by.get(last)
        return found[::-1]


def first_start(c: Consultation, w: Weighed) -> dt.date:
    """The first day from an option's start on by which all that must come before it can be done.

    In a later window where its own has closed by then.
    """
    job = job_of(c, w)
    return starts_of(c, [job]).starts[job.code]


def starts_of(c: Consultation, jobs: Sequence[Job], nodes: Nodes | None = None) -> Preparation:
    """What comes before the starts of some jobs, each task as soon as it can be done, and the starts."""
    nodes = nodes_of(c, jobs) if nodes is None else nodes
    early = {node: each for node, each in nodes.items() if c.knowledge.tasks[node[0]].anchor == "today"}
    waits = {
        node: {n: days for n, days in each.items() if n in early}
        for node, each in waits_of(c, nodes, early).items()
    }
    before = Preparation(early, waits, in_order(waits))
    for node in before.order:
        _soonest(c, before, node)
    for job in jobs:
        before.starts[job.code] = _start(c, before, job)
    return before


def _soonest(c: Consultation, before: Preparation, node: Node) -> None:
    """Write down how soon a task can be done after those that it waits for."""
    task, jobs = c.knowledge.tasks[node[0]], before.nodes[node]
    if (done := done_day(c, node, jobs)) is not None:
        before.soonest[node], before.held_by[node] = (done, done), None
        return
    asked = [
        (before.soonest[n][1] + gap_after(c, n, before.nodes, days) * ONE, n)
        for n, days in before.waits[node].items()
        if n in before.soonest
    ]
    at, before.held_by[node] = max(asked, default=(c.filled.today, None))
    at = max(at, c.filled.today)
    first = first_day(c, task, jobs, at)
    if first is None:
        return
    before.soonest[node] = (first, end_of(c, task, jobs, first))
    if first > at:
        before.moved.add(node)


def _start(c: Consultation, before: Preparation, job: Job) -> dt.date:
    """The day on which a job starts; a clash where that is later than the choice's own."""
    wanted = job.draft.start or c.filled.today
    if job.draft.remedy == "carry-on":
        return wanted
    first, cause, wait = _ready(c, before, job, {node: row[1] for node, row in before.soonest.items()})
    at = max(wanted, first)
    for _ in range(FRESH_ROUNDS):
        # A bed is not made before a season of play and sown after it.
        ends = _fresh(c, before, job, at)
        ready, held, gap = _ready(c, before, job, ends)
        if ready <= at:
            break
        before.moved.update(node for node, end in ends.items() if end > before.soonest[node][1])
        first, cause, wait, at = ready, held, gap, ready
    waited, ground = _already(c, job)
    if waited > first:
        first, cause = waited, None
    start = allowed_start(c, job, max(wanted, first))
    if job.draft.remedy != "establish" or start <= wanted:
        return start
    chain = before.chain(cause)
    if cause is not None:
        because = _because(c, before, chain, wait)
    else:
        because = ground and c.knowledge.text("plan-clash-already", ground=ground, until=waited)
    if start > max(wanted, first) or before.moved.intersection(chain):
        because = f"{because} {c.knowledge.text('plan-clash-days-between')}".strip()
    moved, where = _where_it_fits(c, job, wanted, start)
    short = (start - wanted).days
    said = [
        c.knowledge.text("plan-clash-too-soon", wanted=wanted, n=short),
        because,
        f"{where}{_too_late(c, job, moved)}",
    ]
    before.clashes.append(
        Clash(
            zone=job.name,
            tasks=[code_of(node) for node in chain],
            days_short=short,
            first_start=moved.isoformat(),
            text=" ".join(said),
        )
    )
    return moved


def _ready(
    c: Consultation, before: Preparation, job: Job, ends: Mapping[Node, dt.date]
) -> tuple[dt.date, Node | None, int]:
    """The day on which a job can start where its tasks end on some days, the task that holds it, and the wait
    after that; today where nothing does.
    """
    first: tuple[dt.date, Node | None, int] = (c.filled.today, None, 0)
    for node, end in ends.items():
        task, jobs = c.knowledge.tasks[node[0]], before.nodes[node]
        if job in jobs and task.holds:
            gap = gap_after(c, node, before.nodes, days_of(c, task.before_start, job))
            if end + gap * ONE > first[0]:
                first = (end + gap * ONE, node, gap)
    return first


def _fresh(c: Consultation, before: Preparation, job: Job, start: dt.date) -> dict[Node, dt.date]:
    """The days on which the tasks before a start end where none is done so early that it is stale by then."""
    ends: dict[Node, dt.date] = {}
    for node in before.order:
        if job not in before.nodes[node] or node not in before.soonest:
            continue
        task, jobs = c.knowledge.tasks[node[0]], before.nodes[node]
        at, ends[node] = before.soonest[node]
        floor = no_sooner(c, before, node, start)
        if floor is None or done_day(c, node, jobs) is not None:
            continue
        waits = [
            ends[n] + gap_after(c, n, before.nodes, days) * ONE
            for n, days in before.waits[node].items()
            if n in ends
        ]
        first = first_day(c, task, jobs, max(at, floor, *waits))
        if first is not None:
            ends[node] = end_of(c, task, jobs, first)
    return ends


def no_sooner(c: Consultation, before: Preparation, node: Node, start: dt.date) -> dt.date | None:
    """The first day on which work on the ground may begin to be fresh at the start: as long before it as the
    work keeps, and the days of the work itself and of what follows on it. None of what does not go stale.
    """
    task, jobs = c.knowledge.tasks[node[0]], before.nodes[node]
    if task.soonest is None or task.stage not in ("clear", "bed"):
        return None
    return start - (days_of(c, task.keeps or task.soonest, jobs[0]) + _days_of_chain(c, before, node)) * ONE


def _days_of_chain(c: Consultation, before: Preparation, node: Node) -> int:
    """Days of work of a task and of the longest chain of tasks that wait for it."""
    after = [_days_of_chain(c, before, n) for n, each in before.waits.items() if node in each]
    return days_taken(c, c.knowledge.tasks[node[0]], before.nodes[node]) + max(after, default=0)


def _already(c: Consultation, job: Job) -> tuple[dt.date, str]:
    """The first day after the waits for what was done before the plan, and the ground that waits; today where
    none does.
    """
    found = [(c.filled.today, "")]
    for task in c.knowledge.tasks.values():
        weeks = None if task.already is None else job.facts.get(task.already.fact)
        wait = read_value(c, task.before_start, job.facts, "day")
        if task.already is not None and isinstance(weeks, float) and wait is not None:
            ready = c.filled.today + math.ceil(round(wait - weeks * WEEK, 1)) * ONE
            found.append((ready, task.already.ground))
    return max(found, key=lambda each: each[0])


def _because(c: Consultation, before: Preparation, chain: Sequence[Node], wait: int) -> str:
    """Which tasks, and which waiting time, put the start off; `wait` is that from the last of them to the
    start.
    """
    k = c.knowledge
    names = [k.text("plan-task-named", task=k.tasks[key].title) for key, _ in chain]
    gaps = [
        gap_after(c, node, before.nodes, before.waits[after].get(node, 0)) for node, after in pairwise(chain)
    ]
    gaps.append(wait)
    days = max(gaps)
    if len(names) == 1:
        return k.text("plan-clash-one-before", tasks=names[0], n=max(1, days))
    tasks = k.text("plan-then").join(names)
    if days <= 1:
        return k.text("plan-clash-some-before", tasks=tasks)
    longest = names[gaps.index(days)]
    return k.text("plan-clash-some-before-and-wait", tasks=tasks, n=days, longest=longest)


def _where_it_fits(c: Consultation, job: Job, wanted: dt.date, fits: dt.date) -> tuple[dt.date, str]:
    """The day on which the plan starts instead, inside a window where the wanted day was, and what is said of
    it.
    """
    k, draft = c.knowledge, job.draft
    if c.filled.site is None:
        return fits, k.text("plan-fits", start=fits)
    windows = c.filled.windows(draft.key, draft.variant)
    at = dates.day_of_year(fits)
    before, after = windows.quality_on(dates.day_of_year(wanted)), windows.window_on(at)
    if after is not None:
        closes = dates.date_on_or_after(after.closes, fits)
        return fits, k.text("plan-fits-in-window", start=fits, quality=after.quality, closes=closes)
    if before == "closed":
        return fits, k.text("plan-fits-no-window", start=fits)
    following = windows.next_opening(at, (before,)) or windows.next_opening(at)
    if following is None:
        return fits, k.text("plan-fits-too-late", start=fits)
    start = allowed_start(c, job, dates.date_on_or_after(following.opens, fits))
    return start, k.text("plan-fits-next-window", fits=fits, start=start)


def _too_late(c: Consultation, job: Job, start: dt.date) -> str:
    """Whether the later start misses the date wanted, at the late end."""
    told = c.filled.situation.dates
    if told.play_by is None or c.filled.site is None:
        return ""
    stage = "light-use" if told.first_use == "training" else "full-play"
    late = c.measures.readiness(job.draft.key, start, job.draft.zone)[stage].late
    if late is None or start + late * ONE <= told.play_by:
        return ""
    return " " + c.knowledge.text("plan-fits-misses-date", wanted=told.play_by)
