"""Answers on play: from when it bears what, how much, by which checks, and how it stands today."""

from __future__ import annotations

import datetime as dt
from typing import Final

from decide.answer.assemble import advice_of
from decide.answer.teller import lower_first
from decide.explain.changes import key_words, say_value, with_changes
from decide.explain.reply.about import About, Reply, due, meant
from decide.explain.reply.days import own_tasks
from decide.explain.runs import Runs
from decide.model import advice as out
from decide.model.errors import DecideError
from decide.model.row import DayRange
from decide.model.words import capital
from decide.plan.feasible import consult
from decide.questions.answers import as_situation
from decide.questions.sensitivity import with_plain_engine

_TRAINING, _MATCHES = "training", "matches"
_MOST_DONE: Final = 3


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
    return Reply(tuple(said), a.caution([], "who-opens-and-closes"), a.advice.fate)


def _dates(a: About, answer: out.Answer) -> str:
    """The days of use of one part; only the late ends where the slow case was asked for."""
    option = a.option(answer)
    rows: list[tuple[str, str]] = []
    if option is not None and option.full_play is not None:
        for name, held in (
            ("light", option.light_use),
            ("matches", option.full_play),
            ("list", option.full_fixtures),
        ):
            days = a.slow(held) if a.slot("case") == "slow" else a.range(held)
            rows += [(name, days)] if days else []
    else:
        opened = a.tasks(answer.zone, "open-recovered")
        rows += [("matches", a.range(DayRange(early=task.from_, late=task.until))) for task in opened[:1]]
    wanted = {_TRAINING: "light", _MATCHES: "matches"}.get(a.slot("use"), "")
    rows = [row for row in rows if not wanted or row[0] == wanted] or rows
    if not rows:
        if answer.decision in ("nothing to do", "tend the turf"):
            return a.text("reply-play-stays", where=a.where(answer.zone))
        return a.text("reply-play-no-day", where=a.where(answer.zone), choice=answer.text)
    parts = [a.text(f"reply-play-{name}", days=days) for name, days in rows]
    return f"{a.where(answer.zone)}{capital('; '.join(parts))}."


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
        return Reply((how,), a.caution([], "who-opens-and-closes"))
    for answer in a.parts:
        rows = [row for row in a.advice.hours_per_week_after_opening if row.zone == answer.zone]
        if not rows:
            continue
        lines = "\n".join(f"- {a.text('reply-from', day=a.day(row.from_))}: {row.text}" for row in rows)
        head = a.text("reply-play-hours", where=a.where(answer.zone))
        asked = [a.text("reply-play-asked", asked=a.slot(name)) for name in ("hours",) if a.slot(name)]
        return Reply((*asked, head, lines), a.caution(["training-only-at-first"], "who-opens-and-closes"))
    answer = a.parts[0]
    known = "site.ground-class" in a.c.site
    none = a.text("reply-no-play-hours" if known else "reply-no-drainage", where=a.where(answer.zone))
    return Reply((none, *answer.meanwhile[:1]), a.caution([], "who-opens-and-closes"))


def ready_check(a: About) -> Reply:
    """The checks before it is opened, or one of them."""
    named = {code: (row.check,) for code, row in a.k.opening.items()}
    code = meant(a.slot("check"), named) if a.slot("check") else ""
    who = a.caution([], "who-opens-and-closes")
    told = {row.check: row for row in a.advice.opening}
    if code:
        row = told.get(a.k.opening[code].check)
        how = (
            row.how
            if row is not None
            else a.c.say.sentences(a.c.book.template(a.k.opening[code].how), a.facts(a.parts[0]), a.c.types)
        )
        marks = (
            a.text("reply-check-marks", light=row.pass_light, full=row.pass_full) if row is not None else ""
        )
        return Reply((f"{a.k.opening[code].check}: {how}", marks), who)
    rows = [row for row in a.advice.opening if not row.instrument]
    if not rows:
        return Reply((a.text("reply-no-checks"),), who)
    names = [a.text("reply-check", check=lower_first(row.check), full=row.pass_full) for row in rows]
    return Reply((a.text("reply-checks", checks="; ".join(names)),), who)


# ---------- how it stands ----------
def progress(a: About) -> Reply:
    """What was told, what was decided, what good signs are, and what is done and comes next."""
    about = a.slot("about")
    if a.slot("key"):
        return _told(a, a.slot("key"))
    if "grass" in about:
        return Reply((f"{a.where(a.parts[0].zone)}{a.parts[0].text}", a.parts[0].better_than))
    if "sign" in about or "height" in about:
        return _good_signs(a)
    said = [f"{a.where(answer.zone)}{answer.text}" for answer in a.parts]
    opened = [row for answer in a.parts for row in a.advice.open_now if row.zone == answer.zone]
    for row in opened[:1]:
        said += [
            a.text("reply-open-now", where=a.where(row.zone), light=row.light, full=row.full),
            *row.because[:1],
        ]
    done = [task for task in a.advice.plan if task.done]
    if done:
        said.append(a.text("reply-done", what=[task.task for task in done[-_MOST_DONE:]]))
    coming = [task for task in due(own_tasks(a), a.today, dt.date.max) if task.until >= a.today.isoformat()]
    said += [a.text("reply-week-next"), *a.lines(coming[:1])] if coming else []
    return Reply(tuple(said), a.of_tasks(coming[:1]))


def _told(a: About, key: str) -> Reply:
    """What was told of one key, in the part that is meant where it is of a part."""
    held = a.told(key)
    if held is None and key.startswith("zone."):
        zone = next((row for row in a.c.zones.values() if row.name == a.parts[0].zone), None)
        held = getattr(zone, key.removeprefix("zone."), None)
    name = key_words(a.k, key)
    return Reply((a.text("reply-told", key=capital(name), value=say_value(a.c.say, a.c.types, key, held)),))


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
            said.append(
                a.text(
                    "reply-sign-cut",
                    where="" if said else a.where(answer.zone),
                    height=height,
                    days=a.range(option.first_mow),
                )
            )
        look = a.tasks(answer.zone, "look-and-photo", "look-under-sod")
        return Reply((*said, *(task.text for task in look[:1])), a.of_tasks(look))
    look = [task for answer in a.parts for task in a.tasks(answer.zone, "photo-of-recovery")]
    return Reply(tuple(task.text for task in look[:1]) or (a.text("reply-nothing-to-do"),), a.of_tasks(look))
