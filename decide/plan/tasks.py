"""Choice → plan: what is done when, from the first walk to the year after opening, and what does not fit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, get_args

from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.facts.draft import can_work
from decide.facts.wetting import water_means
from decide.model import advice as out
from decide.model.planned import Clash, PlayHours, Stage, Task, Watering, Week, YearRow
from decide.model.row import Hours
from decide.plan.after import Following, place_after
from decide.plan.before import place_before
from decide.plan.days import allowed_start, hours_of_go, last_working_day, next_working_day
from decide.plan.events import events_of, why_then
from decide.plan.feeding import Feeding, keep_law
from decide.plan.hours import play_hours
from decide.plan.jobs import ONE, WEEK, Job, cautions_for, jobs_of, read_value, sentences
from decide.plan.placing import DatedTask
from decide.plan.starts import starts_of
from decide.plan.waits import Node, Nodes, code_of, nodes_of
from decide.plan.watering import Wetting, wettings
from decide.plan.weeks import weeks_of
from decide.plan.year import opening_day, year_rows

STAGES: Final[tuple[str, ...]] = get_args(Stage)
NITROGEN: Final = "kg of nitrogen"


@dataclass
class Plan:
    """Everything that is to be done for the chosen options, dated; `cautions` are the codes that stand with
    it.
    """

    tasks: list[Task] = field(default_factory=list)
    weeks: list[Week] = field(default_factory=list)
    watering: list[Watering] = field(default_factory=list)
    clashes: list[Clash] = field(default_factory=list)
    decide_by: str | None = None
    hours: list[PlayHours] = field(default_factory=list)
    year: list[YearRow] = field(default_factory=list)
    cautions: frozenset[str] = frozenset()
    sources: frozenset[str] = frozenset()


def this_week(advice: out.Advice, on: dt.date) -> list[Task]:
    """The tasks that are to be done, begun or gone on with in the seven days from a day, in the order of
    their days.
    """
    end = on + (WEEK - 1) * ONE
    due = [
        task
        for task in advice.plan
        if task.done is None and task.from_ <= end.isoformat() and task.until >= on.isoformat()
    ]
    return sorted(due, key=lambda task: (task.from_, STAGES.index(task.stage), task.code))


def make_plan(c: Consultation, options: Sequence[Weighed]) -> Plan:
    """The plan of the options that are chosen; those that are only the least bad get none.

    Pure: no clock, no files.
    """
    jobs = jobs_of(c, options)
    if not jobs:
        return Plan()
    nodes = nodes_of(c, jobs)
    before = starts_of(c, jobs, nodes)
    placed = place_before(c, before)
    starts = before.starts
    events = {job.code: events_of(c, job, starts[job.code]) for job in jobs}
    # A stopgap's work goes on until new grass takes the ground; what is without it goes on beside it.
    ends = {job.zone: starts[job.code] for job in jobs if job.later and job.draft.new_grass}
    feeding = Feeding(c)
    place_after(c, Following(nodes, events, ends, feeding), placed)
    shut = keep_law(c, placed)
    keys = list(c.knowledge.tasks)
    rows = sorted(
        placed.values(),
        key=lambda row: (row.first, STAGES.index(row.task.stage), keys.index(row.node[0]), row.node),
    )
    dated = [(_task(c, row, nodes, placed, feeding.nitrogen(row)), row.times) for row in rows]
    watered = [
        (wetting, *_water_task(c, wetting))
        for job in jobs
        for wetting in wettings(c, job, events[job.code], ends.get(job.code))
    ]
    dry = [clash for w, _, _ in watered if (clash := _dry_days(c, w, starts[w.job.code])) is not None]
    tasks = sorted(
        [*(task for task, _ in dated), *(task for _, task, _ in watered)],
        key=lambda task: (task.from_, STAGES.index(task.stage)),
    )
    main = max(jobs, key=lambda job: (not job.later, job.area or 0.0, job.code))
    year, cautions = year_rows(c, main, opening_day(c, events[main.code]))
    watering = [] if not water_means(c.filled).waters else [w.row for w, _, _ in watered]
    return Plan(
        tasks=tasks,
        weeks=weeks_of(c, [each for each in dated if each[0].done is None], watered),
        watering=watering,
        clashes=[*before.clashes, *dry, *shut],
        decide_by=min((task.latest for task in tasks if task.latest is not None), default=None),
        hours=[
            row
            for job in jobs
            for row in play_hours(c, job, events[job.code])
            if job.code not in ends or row.from_ < ends[job.code].isoformat()
        ],
        year=year,
        cautions=frozenset(cautions.union(*(task.cautions for task in tasks))),
        sources=frozenset().union(
            *(row.sources for row in tasks),
            *(row.sources for row in watering),
            *(row.sources for row in year),
        ),
    )


# ---------- tasks ----------
def _task(
    c: Consultation,
    row: DatedTask,
    nodes: Nodes,
    placed: Mapping[Node, DatedTask],
    fed: tuple[float, str] | None,
) -> Task:
    """A task as the advice gives it; `fed` is its nitrogen in g/m2, with a sentence where it is cut."""
    task, job = row.task, row.job
    text = sentences(c, task.text, job.facts)
    quantity, unit = None, ""
    if fed is not None:
        text = f"{fed[1]} {text}".strip()
        if job.area is not None:
            quantity, unit = round(fed[0] * job.area / 1000, 2), NITROGEN
    order_by = _order_by(c, row, placed)
    return Task(
        **{"from": row.first.isoformat()},
        code=code_of(row.node),
        template=row.node[0],
        zone="" if task.once else job.name,
        stage=task.stage,
        round=task.in_round,
        task=task.title,
        text=text,
        until=row.last.isoformat(),
        latest=row.latest.isoformat() if row.latest else None,
        order_by=order_by.isoformat() if order_by else None,
        why_then=row.why,
        after=sorted(code_of(n) for n in row.after),
        every_days=row.every,
        times=len(row.times) if row.every is not None else None,
        needs=list(task.tools),
        who=task.who,
        hours=_hours(c, row, nodes[row.node]),
        amount=quantity,
        unit=unit,
        cautions=cautions_for(c, task.cautions, task.cautions_if, nodes[row.node]),
        sources=sorted(task.sources),
        done=row.done.isoformat() if row.done else None,
    )


def _order_by(c: Consultation, row: DatedTask, placed: Mapping[Node, DatedTask]) -> dt.date | None:
    """The last day to ask, order or book: of what itself takes that time, or the soonest of what the task
    waits for, as an order waits for the owner's yes.
    """
    if row.task.lead is not None or row.latest is None:
        return row.latest
    asked = [
        placed[n].latest for n in row.after if placed[n].task.lead is not None and placed[n].done is None
    ]
    known = [date for date in asked if date is not None]
    return max(c.filled.today, min(known)) if known else None


def _hours(c: Consultation, row: DatedTask, jobs: Sequence[Job]) -> Hours | None:
    """Hours of work in all goes."""
    found = hours_of_go(c, row.task, jobs)
    goes = len(row.times) if row.task.every is not None else 1
    return None if found is None else Hours(low=round(found[0] * goes, 2), high=round(found[1] * goes, 2))


# ---------- water ----------
def _water_task(c: Consultation, wetting: Wetting) -> tuple[Task, float | None]:
    """The task of a stage of watering, and the hours that it takes in a week."""
    k, row, stage = c.knowledge, wetting.row, c.knowledge.watering[wetting.key]
    means = water_means(c.filled)
    weekly = _water_hours(c, wetting)
    whole = None if weekly is None else round(weekly * ((wetting.last - wetting.first).days + 1) / WEEK, 2)
    first = next_working_day(c, wetting.first)
    return Task(
        **{"from": first.isoformat()},  # type: ignore[arg-type]  # `from` is a word of Python's own
        code=f"{wetting.key}/{wetting.job.code}",
        template=wetting.key,
        zone=wetting.job.name,
        stage=stage.work_stage,
        round=stage.round,
        task=k.text("water-task", stage=row.stage)
        if means.waters
        else k.text("water-task-rain", stage=row.stage),
        text=row.text,
        until=max(first, last_working_day(c, wetting.last)).isoformat(),
        why_then=why_then(c, stage.opens, 0),
        every_days=wetting.every_days if means.waters else None,
        needs=list(means.tools),
        who=stage.who,
        hours=None if whole is None else Hours(low=whole, high=whole),
        cautions=cautions_for(c, stage.cautions, stage.cautions_if, [wetting.job]),
        sources=row.sources,
    ), weekly


def _water_hours(c: Consultation, wetting: Wetting) -> float | None:
    """Hours of work a week that a stage of watering takes by the means that are there; None where they are
    not known.
    """
    means, row, flow = water_means(c.filled), wetting.row, c.filled.situation.means.flow_l_min
    if means.work == "flow":
        return WEEK * wetting.litres_day / flow / 60 if flow and wetting.litres_day is not None else None
    if means.work == "visits":
        return row.times_a_week * (read_value(c, means.visit, wetting.job.facts, "hour") or 0)
    return 0.0 if means.work == "none" else None


def _dry_days(c: Consultation, wetting: Wetting, start: dt.date) -> Clash | None:
    """A clash where the ground must stay wet and nobody may be there."""
    if (
        c.knowledge.watering[wetting.key].kind != "wet"
        or wetting.row.times_a_week <= 0
        or not water_means(c.filled).by_hand
    ):
        return None
    days = (wetting.first + n * ONE for n in range((wetting.last - wetting.first).days + 1))
    barred = [date for date in days if not can_work(c.filled, date)]
    if not barred:
        return None
    after = allowed_start(c, wetting.job, max(start, barred[-1] + ONE))
    return Clash(
        zone=wetting.job.name,
        tasks=[f"{wetting.key}/{wetting.job.code}"],
        days_short=len(barred),
        first_start=after.isoformat(),
        text=c.knowledge.text(
            "plan-clash-dry-days",
            until=wetting.last,
            n=len(barred),
            first=barred[0],
            start=after,
        ),
    )
