"""Answers on days: what is done when, what comes first, when new grass is begun."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Final

from decide.answer.teller import lower_first
from decide.explain.found import find
from decide.explain.reply.about import DAY, About, Reply, due, week
from decide.explain.reply.work import tasks_of
from decide.explain.why import title, verdict_words
from decide.explain.why_not import explained, matching
from decide.model import advice as out
from decide.model.planned import Task
from decide.model.words import capital
from decide.model.written import coded
from decide.parse import weekdays
from decide.parse.dates import read_date
from decide.parse.results import Setting, Understood

# How long the spans are that people name; a day of the week and "until …" are read by the calendar.
_SPANS: Final = {"day": 2, "today": 1, "tomorrow": 1, "week": 7, "fortnight": 14, "month": 31}
_LATER: Final = {"tomorrow": 1}
# What the windows of the season call a way of beginning; the others are seed.
_STARTS: Final = {"thin-sod": "sod", "thick-sod": "thick-sod", "sprigs": "sprigs", "plugs": "plugs"}


# ---------- what is done when ----------
def this_week(a: About) -> Reply:
    """The dangers of today and the tasks of the days that are meant."""
    if a.slot("span") == "overdue":
        return _overdue(a)
    first, last = span_of(a)
    tasks = due(own_tasks(a), first, last)
    dangers = [doing.text for doing in a.advice.today[:1]] if first <= a.today else []
    head = a.text("reply-week", days=a.days(first.isoformat(), last.isoformat()))
    if not tasks:
        later = [task for task in own_tasks(a) if task.from_ > last.isoformat() and task.done is None]
        rows = [a.text("reply-week-none", days=a.days(first.isoformat(), last.isoformat()))]
        rows += [a.text("reply-week-next"), *a.lines(later[:1])] if later else []
        return Reply((*dangers, *rows), a.of_tasks(later[:1]))
    hours = _hours_there_are(a, tasks)
    lines = "\n".join(a.lines(tasks))
    return Reply(
        (*hours, head, lines), a.caution([doing.code for doing in a.advice.today]) or a.of_tasks(tasks)
    )


def own_tasks(a: About) -> list[Task]:
    """The tasks of the plan, of one part where one was named."""
    zones = {"", "field", a.named.zone} if a.named is not None else None
    return [task for task in a.advice.plan if zones is None or task.zone in zones]


def _overdue(a: About) -> Reply:
    late = [
        task
        for task in own_tasks(a)
        if task.done is None and task.every_days is None and (task.latest or task.until) < a.today.isoformat()
    ]
    head = a.text("reply-late" if late else "reply-late-none")
    return Reply((head, "\n".join(a.lines(late))), a.of_tasks(late))


def _hours_there_are(a: About, tasks: list[Task]) -> tuple[str, ...]:
    """The hours that were named, beside those of the tasks."""
    if not a.slot("hours"):
        return ()
    known = [task.hours for task in tasks if task.hours is not None and task.every_days is None]
    low, high = (
        a.k.language.number(float(f"{sum(ends):.2g}"))
        for ends in ([hours.low for hours in known], [hours.high for hours in known])
    )
    return (a.text("reply-week-hours", have=a.slot("hours"), low=low, high=high),)


def span_of(a: About) -> tuple[dt.date, dt.date]:
    """The days that are meant: a span by its name, a day, or until a day; else the seven from today."""
    held, today = a.ask.slots.get("span"), a.today
    if isinstance(held, dict):
        first, last = (dt.date.fromisoformat(str(held.get(key, today))) for key in ("from", "to"))
        return first, max(first, last)
    said = a.slot("span").lower().strip()
    until = said.startswith(("until", "till", "to ", "by "))
    name = next((name for name in weekdays.NAMES if name in said), "")
    if "weekend" in said:
        saturday = today + (weekdays.SATURDAY - min(today.weekday(), weekdays.SATURDAY)) * DAY
        return max(saturday, today), saturday + DAY
    if name and not until:
        return week(today + ((weekdays.NAMES.index(name) - today.weekday()) % 7) * DAY, 1)
    day = a.day_slot() or a.day_slot("span") or _said_day(a, said)
    if said in _SPANS or day is None or day < today:
        return week(today + _LATER.get(said, 0) * DAY, _SPANS.get(said, _SPANS["week"]))
    return (today, day) if until or a.day_slot() is None else (day, day)


def _said_day(a: About, said: str) -> dt.date | None:
    """A day in words, as in "until 8 june"; None where none is read."""
    if not said or said in _SPANS:
        return None
    setting = Setting(a.today, hemisphere=a.c.filled.hemisphere or None, country=a.c.filled.country or None)
    found = read_date(said.removeprefix("until ").removeprefix("till "), setting)
    return dt.date.fromisoformat(str(found.value)) if isinstance(found, Understood) else None


def what_first(a: About) -> Reply:
    """What comes first; of two steps that are named, which."""
    if a.slot("a") and a.slot("b"):
        return _order(a)
    said = [f"{doing.text}" for doing in a.advice.today[:1]]
    first = first_tasks(a)
    if not first:
        return Reply((*said, a.text("reply-nothing-to-do")), _danger(a))
    head = a.text(
        "reply-first" if not said else "reply-first-after",
        task=lower_first(first[0].task) if said else first[0].task,
        day=a.day(first[0].from_),
        text=first[0].text,
    )
    rest = [task for task in own_tasks(a) if task.code != first[0].code and task.done is None]
    then = sorted(rest, key=lambda task: (task.from_, task.latest or "9", task.code))[:3]
    lines = [a.text("reply-then"), *a.lines(then)] if then else []
    return Reply((*said, head, "\n".join(lines)), _danger(a) or a.of_tasks(first[:1]))


def first_tasks(a: About) -> list[Task]:
    """What is still to do, what cannot wait first."""
    pressing = [task for task in own_tasks(a) if task.done is None and task.latest is not None]
    return sorted(
        pressing or own_tasks(a), key=lambda task: (task.latest or task.from_, task.from_, task.code)
    )


def _danger(a: About) -> str:
    """Who decides about the first danger of today, which is told in full beside it."""
    who = [doing.who_decides for doing in a.advice.today[:1] if doing.who_decides]
    return a.text("judgement-who-decides", who=who[0]) if who else ""


def _order(a: About) -> Reply:
    """Of two steps, which the plan puts first."""
    found = []
    for name in ("a", "b"):
        templates = tasks_of(a, a.slot(name))
        tasks = [task for answer in a.parts for task in a.tasks(answer.zone, *templates)]
        if not tasks:
            return Reply((a.text("reply-order-not-planned", step=a.slot(name).replace("-", " ")),))
        found.append(min(tasks, key=lambda task: (task.from_, task.code)))
    one, two = sorted(found, key=lambda task: task.from_)
    word = "reply-order-same" if one.from_ == two.from_ else "reply-order"
    said = a.text(word, one=one.task, day=a.day(one.from_), two=two.task, other=a.day(two.from_))
    return Reply((said, one.why_then, one.text), a.of_tasks([one, two]))


# ---------- when it is begun ----------
def when_to_start(a: About) -> Reply:
    """When it is sown, laid or planted, and how late that can be left; how a way stands that is named."""
    about, day = a.slot("about"), a.day_slot()
    own = a.option(a.parts[0])
    soon = (
        about == "earliest" and day is not None and own is not None and (own.start or "9") <= day.isoformat()
    )
    if (a.slot("option") or day is not None) and about != "latest" and not soon:
        named = _start_of_way(a)
        if named is not None:
            return named
    for answer in a.parts:
        option = a.option(answer)
        if option is None or option.start is None:
            continue
        head = a.text("reply-start", where=a.where(answer.zone), way=_way(a, answer), day=a.day(option.start))
        said = [head]
        if option.decide_by:
            said.insert(
                0 if about == "latest" else 1, a.text("reply-start-latest", day=a.day(option.decide_by))
            )
        said += _window(a, option)
        return Reply(tuple(said), a.caution(option.cautions))
    answer = a.parts[0]
    if answer.window is not None:
        return Reply((f"{a.where(answer.zone)}{answer.window.text}",))
    return Reply((a.text("reply-no-start", where=a.where(answer.zone), choice=answer.text),))


def _way(a: About, answer: out.Answer) -> str:
    """What is chosen for a part, without its day."""
    w = a.weighed(answer)
    assert w is not None
    draft = w.draft
    return capital(a.c.say.way(draft.remedy, draft.plant, draft.method, draft.variant))


def _window(a: About, option: out.Option) -> Iterator[str]:
    """The time of the year in which such grass is begun here."""
    season = a.advice.season
    grass = option.grass or (option.mixture[0].grass if option.mixture else "")
    for row in season.windows if season is not None else ():
        if (
            row.grass in (grass, option.code.split("/")[3] if option.code.count("/") > 3 else "")
            and option.start
            and row.opens <= option.start <= row.closes
        ):
            yield a.text(
                "reply-start-window", name=row.name, quality=row.quality, days=a.days(row.opens, row.closes)
            )
            return


def _start_of_way(a: About) -> Reply | None:
    """How a way stands that is named, or the choice on a day that is named."""
    words = a.slot("option")
    answer = a.parts[0]
    chosen = a.weighed(answer)
    if not words and chosen is not None and chosen.draft.method:
        words = f"{chosen.draft.plant} {chosen.draft.method}"
    if a.day_slot() is not None:
        words = f"{words} {a.day_slot()}"
    found = find(a.c, words)
    if found.nothing:
        return None
    zones = [coded(part.zone) for part in a.parts]
    note, rows = matching(a.c, found, zones)
    own = a.way(answer, words)
    rows = [own] if own is not None and own is chosen else rows
    if not rows:
        return None
    w = rows[0]
    season = a.advice.season
    kind = _STARTS.get(w.draft.method, "seed")
    windows = [
        a.text("reply-start-window", name=row.name, quality=row.quality, days=a.days(row.opens, row.closes))
        for row in (season.windows if season is not None else [])
        if row.grass == w.draft.plant and row.start == kind
    ]
    said = f"{note}{capital(title(a.c, w.draft))}. {verdict_words(a.c, w)}"
    if w.verdict in ("ruled-out", "not-advised"):
        rows_of = explained(a.c, w).text.split("\n")
        said = "\n".join([said, *(row for row in rows_of[1:] if row.startswith("- "))])
    option = a.advice.option(w.draft.code)
    latest = (
        [a.text("reply-start-latest", day=a.day(option.decide_by))]
        if option is not None and option.decide_by
        else []
    )
    return Reply((said, *latest, *windows[:2]), a.caution(option.cautions if option is not None else ()), w)
