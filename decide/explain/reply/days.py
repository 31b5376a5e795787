"""Answers on days: what is done when, when ground is begun and opened, how much it then bears, how it stands."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Final

from decide.answer.assemble import advice_of
from decide.explain.changes import KEYS, say_value, with_changes
from decide.explain.found import find
from decide.explain.reply.about import DAY, About, Reply, due, listing, meant, week
from decide.explain.reply.work import tasks_of
from decide.explain.runs import Runs
from decide.explain.why import title, verdict_words
from decide.explain.why_not import matching
from decide.model import advice as out
from decide.model.errors import DecideError
from decide.model.planned import Task
from decide.model.wording import number
from decide.model.words import capital
from decide.model.written import coded
from decide.parse.dates import read_date
from decide.parse.results import Setting, Understood
from decide.questions.answers import as_situation
from decide.plan.feasible import consult
from decide.questions.sensitivity import with_plain_engine

# How long the spans are that people name; a day of the week and "until …" are read by the calendar.
_SPANS: Final = {"day": 1, "today": 1, "week": 7, "fortnight": 14, "month": 31}
_WEEKDAYS: Final = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_SATURDAY: Final = 5
_TRAINING, _MATCHES = "training", "matches"


# ---------- what is done when ----------
def this_week(a: About) -> Reply:
    """The dangers of today and the tasks of the days that are meant."""
    if a.slot("span") == "overdue":
        return _overdue(a)
    first, last = span_of(a)
    tasks = due(_own(a), first, last)
    dangers = [doing.text for doing in a.advice.today[:1]] if first <= a.today else []
    head = a.text("reply-week", days=a.days(first.isoformat(), last.isoformat()))
    if not tasks:
        later = [task for task in _own(a) if task.from_ > last.isoformat() and task.done is None]
        rows = [a.text("reply-week-none", days=a.days(first.isoformat(), last.isoformat()))]
        rows += [a.text("reply-week-next"), a.line(later[0])] if later else []
        return Reply((*dangers, *rows), a.of_tasks(later[:1]))
    hours = _hours_there_are(a, tasks)
    lines = "\n".join(a.line(task) for task in tasks)
    return Reply((*hours, head, lines), a.caution([doing.code for doing in a.advice.today]) or a.of_tasks(tasks))


def _own(a: About) -> list[Task]:
    """The tasks of the plan, of one part where one was named."""
    zones = {"", "field", a.named.zone} if a.named is not None else None
    return [task for task in a.advice.plan if zones is None or task.zone in zones]


def _overdue(a: About) -> Reply:
    late = [
        task
        for task in _own(a)
        if task.done is None and task.every_days is None and (task.latest or task.until) < a.today.isoformat()
    ]
    head = a.text("reply-late" if late else "reply-late-none")
    return Reply((head, "\n".join(a.line(task) for task in late)), a.of_tasks(late))


def _hours_there_are(a: About, tasks: list[Task]) -> tuple[str, ...]:
    """The hours that were named, beside those of the tasks."""
    if not a.slot("hours"):
        return ()
    known = [task.hours for task in tasks if task.hours is not None]
    low, high = (number(float(f"{sum(ends):.2g}")) for ends in zip(*((h.low, h.high) for h in known), strict=True)) if known else ("0", "0")
    return (a.text("reply-week-hours", have=a.slot("hours"), low=low, high=high),)


def span_of(a: About) -> tuple[dt.date, dt.date]:
    """The days that are meant: a span by its name, a day, or until a day; without any the seven from today."""
    held, today = a.ask.slots.get("span"), a.today
    if isinstance(held, dict):
        first, last = (dt.date.fromisoformat(str(held.get(key, today))) for key in ("from", "to"))
        return first, max(first, last)
    said = a.slot("span").lower().strip()
    if said in _SPANS:
        return week(today, _SPANS[said])
    if said == "tomorrow":
        return week(today + DAY, 1)
    if "weekend" in said:
        saturday = today + (_SATURDAY - min(today.weekday(), _SATURDAY)) * DAY
        return max(saturday, today), saturday + DAY
    name = next((name for name in _WEEKDAYS if name in said), "")
    until = said.startswith(("until", "till", "to ", "by "))
    if name and not until:
        return week(today + ((_WEEKDAYS.index(name) - today.weekday()) % 7) * DAY, 1)
    day = a.day_slot() or a.day_slot("span")
    if day is None and said:
        setting = Setting(today, hemisphere=a.c.filled.hemisphere or None, country=a.c.filled.country or None)
        found = read_date(said.removeprefix("until ").removeprefix("till "), setting)
        day = dt.date.fromisoformat(str(found.value)) if isinstance(found, Understood) else None
        until = True
    if day is None or day < today:
        return week(today, _SPANS["week"])
    return (today, day) if until else (day, day)


def what_first(a: About) -> Reply:
    """What comes first; of two steps that are named, which."""
    if a.slot("a") and a.slot("b"):
        return _order(a)
    said = [f"{doing.text}" for doing in a.advice.today[:1]]
    pressing = [task for task in _own(a) if task.done is None and task.latest is not None]
    first = sorted(pressing or _own(a), key=lambda task: (task.latest or task.from_, task.from_, task.code))
    if not first:
        return Reply((*said, a.text("reply-nothing-to-do")), _danger(a))
    head = a.text("reply-first" if not said else "reply-first-after", task=first[0].task, day=a.day(first[0].from_), text=first[0].text)
    rest = [task for task in _own(a) if task.code != first[0].code and task.done is None]
    then = sorted(rest, key=lambda task: (task.from_, task.latest or "9", task.code))[:3]
    lines = [a.text("reply-then"), *(a.line(task) for task in then)] if then else []
    return Reply((*said, head, "\n".join(lines)), _danger(a) or a.of_tasks(first[:1]))


def _danger(a: About) -> str:
    """Who decides about the first danger of today."""
    return a.caution([doing.code for doing in a.advice.today])


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
    """When it is sown, laid or planted, and how late that can be left; of a way that is named, how it stands."""
    if a.slot("option") or a.day_slot() is not None:
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
            said.append(a.text("reply-start-latest", day=a.day(option.decide_by)))
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
        if row.grass in (grass, option.code.split("/")[3] if option.code.count("/") > 3 else "") and option.start and row.opens <= option.start <= row.closes:
            yield a.text("reply-start-window", name=row.name, quality=row.quality, days=a.days(row.opens, row.closes))
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
    season = a.advice.season
    windows = [
        a.text("reply-start-window", name=row.name, quality=row.quality, days=a.days(row.opens, row.closes))
        for row in (season.windows if season is not None else [])
        if row.grass in found.plants or (not found.plants and chosen is not None and row.grass == chosen.draft.plant)
    ]
    if not rows:
        return Reply(tuple(windows)) if windows else None
    w = rows[0]
    said = f"{note}{capital(title(a.c, w.draft))}. {verdict_words(a.c, w)}"
    option = a.advice.option(w.draft.code)
    latest = (
        [a.text("reply-start-latest", day=a.day(option.decide_by))] if option is not None and option.decide_by else []
    )
    return Reply((said, *latest, *windows[:2]), a.caution(option.cautions if option is not None else ()), w)


# ---------- when it is opened ----------
def when_can_we_play(a: About) -> Reply:
    """From when it bears training, matches and the full list, and whether by a day that is named."""
    said: list[str] = []
    if a.day_slot() is not None:
        said += _by_day(a, a.day_slot() or a.today)
    for answer in a.parts[: None if a.named is None else 1]:
        dates = _dates(a, answer)
        if dates:
            said.append(dates)
    if not said:
        said.append(a.text("reply-play-unknown" if not a.told("place.name") else "reply-play-as-it-is"))
    if a.advice.fate is not None and a.day_slot() is None:
        said.append(a.advice.fate.text)
    elif a.advice.fate is None:
        said.append(a.text("reply-no-date"))
    said.append(a.text("reply-date-no-test"))
    return Reply(tuple(said), a.caution(["who-opens-and-closes"], always=True), a.advice.fate)


def _dates(a: About, answer: out.Answer) -> str:
    """The days of use of one part; only the late ends where the slow case was asked for."""
    option = a.option(answer)
    rows: list[tuple[str, str]] = []
    if option is not None and option.full_play is not None:
        for name, held in (("light", option.light_use), ("matches", option.full_play), ("list", option.full_fixtures)):
            days = _late(a, held) if a.slot("case") == "slow" else a.range(held)
            rows += [(name, days)] if days else []
    else:
        opened = a.tasks(answer.zone, "open-recovered")
        rows += [("matches", a.days(task.from_, task.until)) for task in opened[:1]]
    wanted = {_TRAINING: "light", _MATCHES: "matches"}.get(a.slot("use"), "")
    rows = [row for row in rows if not wanted or row[0] == wanted] or rows
    if not rows:
        if answer.decision in ("nothing to do", "tend the turf"):
            return a.text("reply-play-stays", where=a.where(answer.zone))
        return a.text("reply-play-no-day", where=a.where(answer.zone), choice=answer.text)
    parts = [a.text(f"reply-play-{name}", days=days) for name, days in rows]
    return f"{a.where(answer.zone)}{capital('; '.join(parts))}."


def _late(a: About, held: out.DayRange | None) -> str:
    return a.text("reply-day-late", day=a.day(held.late)) if held is not None and held.late else ""


def _by_day(a: About, day: dt.date) -> list[str]:
    """What becomes of another date: the situation is judged with it."""
    if str(a.told("dates.play_by")) == day.isoformat() and a.advice.fate is not None:
        return [a.advice.fate.text]
    changes = {"dates.play_by": day.isoformat()}
    use = {_TRAINING: _TRAINING, _MATCHES: _MATCHES}.get(a.slot("use"))
    if use:
        changes["dates.first_use"] = use
    try:
        situation = as_situation(with_changes(Runs(a.c).answers, changes), a.today)
        if situation is None:
            return []
        made = consult(with_plain_engine(a.c.book), situation, system=a.c.system, weather=a.c.filled.weather)
    except DecideError:
        return []
    fate = advice_of(made).fate
    return [fate.text] if fate is not None else []


def how_much_play(a: About) -> Reply:
    """How many hours a week it bears, step by step; for wet ground, what closes it."""
    if "wet" in a.slot("about"):
        check = a.k.opening["footprint"]
        how = a.c.say.sentences(a.c.book.template(check.how), a.facts(a.parts[0]), a.c.types)
        return Reply((how,), a.caution(["who-opens-and-closes"], always=True))
    for answer in a.parts:
        rows = [row for row in a.advice.hours_per_week_after_opening if row.zone == answer.zone]
        if not rows:
            continue
        lines = "\n".join(f"- {a.text('reply-from', day=a.day(row.from_))}: {row.text}" for row in rows)
        head = a.text("reply-play-hours", where=a.where(answer.zone))
        asked = [a.text("reply-play-asked", asked=a.slot(name)) for name in ("hours",) if a.slot(name)]
        return Reply((*asked, head, lines), a.caution(["training-only-at-first", "who-opens-and-closes"], always=True))
    answer = a.parts[0]
    none = a.text("reply-no-play-hours", where=a.where(answer.zone))
    return Reply((none, *answer.meanwhile[:1]), a.caution(["who-opens-and-closes"], always=True))


def ready_check(a: About) -> Reply:
    """The checks before it is opened, or one of them."""
    named = {code: (row.check,) for code, row in a.k.opening.items()}
    code = meant(a.slot("check"), named) if a.slot("check") else ""
    who = a.caution(["who-opens-and-closes"], always=True)
    told = {row.check: row for row in a.advice.opening}
    if code:
        row = told.get(a.k.opening[code].check)
        how = row.how if row is not None else a.c.say.sentences(a.c.book.template(a.k.opening[code].how), a.facts(a.parts[0]), a.c.types)
        marks = a.text("reply-check-marks", light=row.pass_light, full=row.pass_full) if row is not None else ""
        return Reply((f"{a.k.opening[code].check}: {how}", marks), who)
    rows = [row for row in a.advice.opening if not row.instrument]
    if not rows:
        return Reply((a.text("reply-no-checks"),), who)
    names = [a.text("reply-check", check=row.check, full=row.pass_full) for row in rows]
    return Reply((a.text("reply-checks"), "\n".join(f"- {name}" for name in names)), who)


# ---------- how it stands ----------
def progress(a: About) -> Reply:
    """What was told, what was decided, what good signs are, and what is done and comes next."""
    key, about = a.slot("key"), a.slot("about")
    if key:
        held = a.told(key)
        zone = a.named or (a.parts[0] if key.startswith("zone.") else None)
        if held is None and zone is not None:
            held = a.told(f"zone.{coded(zone.zone)}.{key.rpartition('.')[2]}") or a.told(f"zone.{zone.zone}.{key.rpartition('.')[2]}")
        name = KEYS.get(key, key).split(";")[0].split(":")[0]
        said = say_value(a.c.say, a.c.types, key, held)
        return Reply((a.text("reply-told", key=capital(name), value=said),))
    if "grass" in about:
        answer = a.parts[0]
        return Reply((f"{a.where(answer.zone)}{answer.text}", answer.better_than))
    if "sign" in about or "height" in about:
        return _good_signs(a)
    said = [f"{a.where(answer.zone)}{answer.text}" for answer in a.parts]
    opened = [row for answer in a.parts for row in a.advice.open_now if row.zone == answer.zone]
    for row in opened[:1]:
        said += [a.text("reply-open-now", where=a.where(row.zone), light=row.light, full=row.full), *row.because[:1]]
    done = [task for task in a.advice.plan if task.done]
    if done:
        said.append(a.text("reply-done", what=listing([task.task for task in done[-3:]])))
    coming = due(_own(a), a.today, a.today + 365 * DAY)
    said += [a.text("reply-week-next"), a.line(coming[0])] if coming else []
    return Reply(tuple(said), a.of_tasks(coming[:1]))


def _good_signs(a: About) -> Reply:
    for answer in a.parts:
        option, w = a.option(answer), a.weighed(answer)
        if option is None or w is None or not w.draft.new_grass:
            continue
        said = []
        if option.germination is not None:
            said.append(a.text("reply-sign-up", where=a.where(answer.zone), days=a.range(option.germination)))
        height = a.value("first-mow-low", "first-mow-high", a.grass(answer))
        if option.first_mow is not None and height:
            said.append(a.text("reply-sign-cut", where="" if said else a.where(answer.zone), height=height, days=a.range(option.first_mow)))
        look = a.tasks(answer.zone, "look-and-photo", "look-under-sod")
        return Reply((*said, *(task.text for task in look[:1])), a.of_tasks(look))
    look = [task for answer in a.parts for task in a.tasks(answer.zone, "photo-of-recovery")]
    return Reply(tuple(task.text for task in look[:1]) or (a.text("reply-nothing-to-do"),), a.of_tasks(look))
