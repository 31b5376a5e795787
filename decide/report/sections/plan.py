"""What to do when: what does not fit, this week, the next dates.

With more depth every task, the weeks, water and play.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, get_args

from decide.model.planned import Stage, Task, Watering, Week
from decide.model.words import capital
from decide.report.blocks import Cell, Heading, Line, Span, Table, cell, labelled, line
from decide.report.phrases import day_of, day_span, estimate, hours_of, hours_words, known, sentence
from decide.report.sections.cautions import beside
from decide.report.telling import Telling, and_more
from decide.report.words import language, say, word

WEEK_SHOWN: Final = 5
STAGES: Final[tuple[Stage, ...]] = get_args(Stage)


def plan(t: Telling) -> Iterator[Heading | Line | Table]:
    """The plan in lines."""
    if not t.advice.plan:
        return
    yield from clashes(t)
    yield from _this_week(t)
    if t.short:
        yield from next_dates(t)
        return
    yield from begin_by(t)
    for stage in STAGES:
        tasks = [task for task in t.advice.plan if task.stage == stage]
        if tasks:
            yield Heading(word("stage", stage))
        for task in tasks:
            yield from task_lines(t, task)
    yield from weeks(t)
    yield from water(t)
    yield from after(t)


def clashes(t: Telling, mark: str = "!") -> Iterator[Line]:
    """What does not fit between today and the start."""
    for clash in t.advice.clashes:
        label = Span(f"{say('does-not-fit')}: ", "bad")
        yield line(label, *t.where([clash.zone]), sentence(clash.text), mark=mark)


def begin_by(t: Telling) -> Iterator[Line]:
    """The last day on which the whole plan can be begun."""
    if t.advice.plan_decide_by:
        by = say("to-keep-dates", day=day_of(t.advice.plan_decide_by))
        yield labelled(say("begin-by"), by, 0)


# ---------- dates ----------
def _this_week(t: Telling) -> Iterator[Line]:
    """The tasks of seven days, in a few lines."""
    yield line(Span(f"{say('this-week')}:", "strong") if t.week else t.idle)
    shown = most_pressing(t)[:WEEK_SHOWN] if t.short else t.week
    for task in shown:
        due = f"{t.of(task.zone)}, {due_words(task)}."
        yield line(Span(task.task, "strong"), due, depth=1, mark="-")
    yield from and_more(len(t.week) - len(shown), 1)


def most_pressing(t: Telling) -> list[Task]:
    """The tasks of seven days: what cannot wait until next week, then work on the ground, then what may be
    done ahead.
    """
    end = max((task.from_ for task in t.week), default="")
    return sorted(
        t.week,
        key=lambda task: (
            task.latest is None or task.latest > end,
            task.latest is not None or task.stage == "before",
            task.from_,
        ),
    )


def due_words(task: Task) -> str:
    """The days of a task, or the day by which it must be asked for."""
    if task.latest is not None and task.order_by == task.latest:
        return say("by-latest", day=day_of(task.latest))
    return day_span(task.from_, task.until)


def next_tasks(t: Telling) -> list[Task]:
    """The first task of each stage that is still to come, opening above all."""
    told = {task.code for task in t.week}
    rows: list[Task] = []
    for stage in STAGES:
        later = [
            task
            for task in t.advice.plan
            if task.stage == stage and task.code not in told and task.done is None
        ]
        opens = [task for task in later if task.template.startswith("open-")]
        bound = [task for task in later if task.latest is not None]
        once = [task for task in later if task.every_days is None]
        rows += (opens or bound or once or later)[:1]
    return sorted(rows, key=lambda task: task.from_)


def next_dates(t: Telling) -> Iterator[Line]:
    """The days of what comes after this week."""
    rows = next_tasks(t)
    if rows:
        yield line(Span(f"{say('then')}:", "strong"))
    for task in rows:
        days = f"{day_span(task.from_, task.until)}: "
        yield line(days, Span(task.task, "strong"), t.of(task.zone), ".", depth=1, mark="-")


# ---------- tasks ----------
def task_lines(t: Telling, task: Task) -> Iterator[Line]:
    """A task with its days, how it is done, who does it, and its dangers."""
    name = (Span(task.task, "strong"), f"{t.of(task.zone)}.")
    if task.done is not None:
        yield line(Span(f"{say('done-on', day=day_of(task.done))}: ", "good"), *name, mark="-")
        return
    days = Span(f"{day_span(task.from_, task.until)}: ", "strong")
    yield line(days, *name, " ", sentence(task.text), mark="-")
    notes = [task.why_then, *begin_notes(task), *often_notes(t, task)]
    if task.who:
        notes.append(say("who", who=word("who", task.who)))
    if has_hours(task):
        notes.append(say("work-of", hours=task_hours(task)))
    if task.amount is not None:
        notes.append(t.weight(task.amount, task.unit))
    notes += tools(task)
    yield line(" ".join(note for note in notes if note), depth=1)
    yield from beside(t, task.cautions)


def begin_notes(task: Task) -> list[str]:
    """The last day to begin a task, where it is not its first."""
    if task.latest is None or task.latest == task.from_:
        return []
    return [say("begin-by-day", day=day_of(task.latest))]


def often_notes(t: Telling, task: Task) -> list[str]:
    """How often a task is done, where its text does not say it."""
    if task.every_days is None or task.from_ == task.until or says_how_often(t, task):
        return []
    days = round(task.every_days)
    return [say("every-day") if days == 1 else say("every-days", days=days)]


def says_how_often(t: Telling, task: Task) -> bool:
    """Whether the text of a task says how often already, as that of watering does."""
    return any(row.text == task.text and row.zone == task.zone for row in t.advice.watering)


def has_hours(task: Task) -> bool:
    """Whether the hours of a task are worth a word."""
    return task.hours is not None and task.hours.high > 0


def task_hours(task: Task) -> str:
    """The hours of a task as a range, with their unit; "" where they are not known."""
    return "" if task.hours is None else hours_words(task.hours)


def tools(task: Task) -> list[str]:
    """The tools and machines of a task."""
    return [say("tools", tools=[language().named("tool", tool) for tool in task.needs])] if task.needs else []


# ---------- weeks, water, play and the year after ----------
def weeks(t: Telling) -> Iterator[Heading | Line | Table]:
    """Work and water by the week, and the weeks that are too much."""
    rows = t.advice.weeks
    if not rows:
        return
    yield Heading(say("by-week"))
    over = list(overloaded(t))
    yield from over
    helpers = known(t.advice, "means.helpers")
    if over and helpers not in ("", "0"):
        yield line(say("helper-shares") if helpers == "1" else say("helpers-share", helpers=helpers))
    wet, timed = any(week.litres for week in rows), any(week.water_hours for week in rows)
    head = [say("week-of"), say("hours-of-work")]
    if wet:
        head.append(say("water-gallons") if t.system == "us" else say("water-litres"))
    head += [say("hours-of-water")] if timed else []
    yield Table(tuple(head), tuple(_week_row(t, week, wet, timed) for week in rows))


def overloaded(t: Telling) -> Iterator[Line]:
    """The weeks that are too much for the hands and visits that there are."""
    for week in t.advice.weeks:
        if not (week.hours_short or week.visits_short):
            continue
        said = [say("week-of-day", day=day_of(week.monday))]
        if week.hours_short:
            hours, short = estimate(week.hours.high), estimate(week.hours_short)
            said.append(say("hours-too-many", n=round(week.hours.high, 1), hours=hours, short=short))
        if week.visits_short:
            said.append(say("visits-too-many", n=week.visits_short))
        yield line(Span(f"{say('too-much')}: ", "bad"), " ".join(said), mark="!")


def _week_row(t: Telling, week: Week, wet: bool, timed: bool) -> tuple[Cell, ...]:
    cells = [cell(Span(day_of(week.monday), "strong")), cell(hours_of(week.hours))]
    if wet:
        cells.append(cell(t.volume(week.litres) if week.litres else say("none")))
    if timed:
        cells.append(cell(estimate(week.water_hours) if week.water_hours else say("none")))
    return tuple(cells)


def water_words(t: Telling, row: Watering) -> str:
    """How one part is watered in one stage."""
    if row.litres_each is None:
        return row.text
    amount = t.litres(row.litres_each)
    if row.minutes_each:
        return f"{row.text} {say('each-time-minutes', amount=amount, minutes=estimate(row.minutes_each))}"
    return f"{row.text} {say('each-time', amount=amount)}"


def _watering(t: Telling, row: Watering) -> Line:
    days = Span(f"{day_span(row.from_, row.until)}: ", "strong")
    return line(days, *t.where([row.zone]), f"{capital(row.stage)}. {water_words(t, row)}", mark="-")


def water(t: Telling) -> Iterator[Heading | Line]:
    """How each part is watered, stage by stage."""
    if t.advice.watering:
        yield Heading(say("water-by-stage"))
        yield from (_watering(t, row) for row in t.advice.watering)


def after(t: Telling) -> Iterator[Heading | Line]:
    """Hours of play after opening, and the year after."""
    if t.advice.hours_per_week_after_opening:
        yield Heading(say("hours-of-play"))
    for play in t.advice.hours_per_week_after_opening:
        start = Span(f"{say('from-day', day=day_of(play.from_))}: ", "strong")
        yield line(start, *t.where([play.zone]), play.text, mark="-")
    if t.advice.year:
        yield Heading(say("year-after"))
    alike: dict[tuple[str, str], list[str]] = {}
    for year in t.advice.year:
        alike.setdefault((year.task, year.text), []).append(day_span(year.from_, year.until))
    for (title, text), spans in alike.items():
        yield line(Span(f"{title}: ", "strong"), f"{sentence(text)} ({'; '.join(spans)}.)", mark="-")


def week(t: Telling) -> Iterator[Line]:
    """The tasks of seven days whole, what cannot wait first."""
    for task in most_pressing(t):
        yield from task_lines(t, task)
    if not t.week:
        yield line(t.idle)
