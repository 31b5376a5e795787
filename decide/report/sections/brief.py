"""The first screen in pieces, each in forms from full to terse: danger, date, choice, week, cost, care."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, Literal

from decide.model.planned import MoneyRow, Task, hours_to_do
from decide.model.words import first_sentence
from decide.report.blocks import Line, Span, headed, line
from decide.report.fit import LAST, Form, Piece
from decide.report.phrases import (
    date_of,
    day_of,
    estimate,
    hours_words,
    known,
    money,
    opening_sentence,
    sentence,
    short_day,
    span_of,
)
from decide.report.sections.brief_choice import SOME_PARTS, named_parts
from decide.report.sections.opening import FATE_STYLES
from decide.report.sections.plan import most_pressing, next_tasks
from decide.report.telling import Tell, Telling
from decide.report.words import language, say, word

# How the rest of the advice is named: as a word of the talk, or as an option of the command.
Naming = Literal["talk", "command"]

# The code of what says that the field is shut today, and why.
SHUT: Final = "close-today"
# What is paid for one's own work first, then who does it instead.
_PAID: Final = ("material", "hire", "labour", "water", "contractor")


# ---------- what cannot wait ----------
def danger(t: Telling, tell: Tell) -> Piece:
    """What must be done or kept off today, with who decides."""
    rows = t.advice.today
    if not rows:
        return ()
    label = tell("screen-danger")
    every_who = dict.fromkeys(row.who_decides for row in rows if row.who_decides)
    who = [one for one in every_who if not any(one in other for other in every_who if other != one)]
    decides = say("who-decides", who=sentence("; ".join(who))) if who else ""
    whole = tuple(
        headed(
            label,
            sentence(row.text),
            f" {say('who-decides', who=sentence(row.who_decides))}" if row.who_decides else "",
            style="bad",
            mark="!",
        )
        for row in rows
    )
    # Shutting is said once, with each of its reasons; of what to do the first sentence.
    shut = [said for row in rows if row.code == SHUT for said in _sentences(row.text)]
    do = [opening_sentence(row.text) for row in rows if row.code != SHUT]
    texts = list(dict.fromkeys([*shut, *do]))

    rest = tell("screen-who-decides")
    names = {row.code: row.name for row in t.advice.cautions}

    def some(n: int) -> str:
        # What is to be done weighs more than one more reason to shut; each danger that is left out is named.
        kept = list(dict.fromkeys([*shut[:2], *do, *shut]))[:n]
        left = {
            opening_sentence(row.text): names[row.code]
            for row in rows
            if names.get(row.code) and opening_sentence(row.text) not in kept
        }
        more = sum(said not in left for said in texts if said not in kept)
        named = [tell("screen-dangers-named", names=[*left.values()])] if left else []
        return " ".join([*kept, *named, tell("screen-more-dangers", n=more) if more else rest])

    every = " ".join(dict.fromkeys(said for row in rows for said in _sentences(row.text)))
    merged = [(15, f"{every} {decides}"), (51, f"{' '.join(texts)} {decides} {tell('screen-danger-rest')}")]
    merged.append((LAST - len(texts), f"{' '.join(texts)} {rest}"))
    merged += [(LAST - n, some(n)) for n in range(len(texts) - 1, 0, -1)]
    return (
        Form(0, whole),
        *(Form(rank, (headed(label, said, style="bad", mark="!"),)) for rank, said in merged),
    )


def _sentences(text: str) -> list[str]:
    first = first_sentence(text)
    rest = text.removeprefix(first).strip()
    return [sentence(first), *([sentence(rest)] if rest else [])]


def under_way(t: Telling, tell: Tell) -> Piece:
    """New grass that is under way: what was seen and what to do about it today, and whether it may open."""
    signs = [
        (row, say("seen-on", sign=row.sign.rstrip("."), day=day_of(row.on)), word("season", row.season, ""))
        for row in t.advice.signs_seen
    ]
    gates: dict[str, list[str]] = {}
    for gate in t.advice.open_now:
        said = tell("screen-open-now", light=gate.light, full=gate.full)
        gates.setdefault(said, []).append(gate.zone)
    if not signs and not gates:
        return ()

    def lines(whole: bool) -> Iterator[Line]:
        for row, seen, season in signs:
            do = sentence(row.do) if whole else opening_sentence(row.do)
            end = f" {sentence(season)}" if season and whole else ""
            yield headed(seen, *t.where([row.zone]), Span(do, "warn"), end)
        for said, zones in gates.items():
            yield headed(tell("screen-may-open"), *t.where(zones), sentence(said))

    return Form(0, tuple(lines(True))), Form(50, tuple(lines(False)))


def fate(t: Telling, tell: Tell) -> Piece:
    """What becomes of the date that is wanted."""
    row = t.advice.fate
    if row is None:
        if known(t.advice, "dates.play_by"):
            return ()
        return (Form(0, (line(tell("screen-no-date")),)),)
    first = opening_sentence(row.text)
    head = Span(first, FATE_STYLES[row.level])
    rest = row.text.removeprefix(first)
    return Form(0, (line(head, rest),)), *([Form(67, (line(head),))] if rest else [])


def clashes(t: Telling, tell: Tell) -> Piece:
    """What does not fit between today and the start."""
    rows = t.advice.clashes
    if not rows:
        return ()
    label = say("does-not-fit")
    every = tuple(headed(label, *t.where([row.zone]), sentence(row.text), style="bad") for row in rows)
    more = f" {tell('screen-more-clashes', n=len(rows) - 1)}" if len(rows) > 1 else ""
    first = headed(label, *t.where([rows[0].zone]), opening_sentence(rows[0].text), more, style="bad")
    return Form(0, every), Form(54, (first,))


# ---------- work, cost, care ----------
def week(t: Telling, tell: Tell) -> Piece:
    """What is to be done in the seven days from today; else what comes next, or what is done meanwhile."""
    tasks = [task for task in most_pressing(t) if task.done is None]
    if not tasks:
        return _idle_week(t, tell)
    alike: dict[tuple[str, str], list[str]] = {}
    for task in tasks:
        alike.setdefault((task.task, _due(t, task)), []).append(task.zone)
    rows = [_task(t, tell, task, by, zones) for (task, by), zones in alike.items()]

    def said(n: int) -> Line:
        more = len(rows) - n
        shown = sentence("; ".join(rows[:n]))
        return headed(say("this-week"), shown, f" {tell('screen-more-tasks', n=more)}" if more else "")

    return tuple(
        Form(rank, (said(min(n, len(rows))),)) for rank, n in ((0, 5), (25, 4), (40, 3), (48, 2), (75, 1))
    )


def _due(t: Telling, task: Task) -> str:
    """The last day of a task that cannot wait until next week."""
    last = max((each.from_ for each in t.week), default="")
    return task.latest if task.latest is not None and task.latest <= last else ""


def _task(t: Telling, tell: Tell, task: str, by: str, zones: Sequence[str]) -> str:
    named = list(dict.fromkeys(zone for zone in zones if zone))
    some = bool(named) and t.many and len(named) < len(t.advice.programme)
    last = date_of(by)
    beside = [
        named_parts(t, tell, named, SOME_PARTS) if some else "",
        ""
        if last is None
        else tell("screen-today")
        if last == t.today
        else tell("screen-by", day=short_day(last)),
    ]
    said = ", ".join(words for words in beside if words)
    return tell("screen-task", task=task, beside=said) if said else task


def _idle_week(t: Telling, tell: Tell) -> Piece:
    later = next(iter(next_tasks(t)), None)
    meanwhile = [answer.meanwhile[0] for answer in t.advice.programme if answer.meanwhile]
    if later is not None:
        said = tell("screen-next", day=day_of(later.from_), task=later.task)
        lines = (line(t.idle), headed(say("then"), said))
        return Form(0, lines), Form(60, lines[:1])
    if not meanwhile:
        return ()
    whole, short = sentence(meanwhile[0]), opening_sentence(meanwhile[0])
    label = say("this-season")
    return Form(0, (headed(label, whole),)), Form(25, (headed(label, short),))


def takes(t: Telling, tell: Tell) -> Piece:
    """What it costs and takes: money, hours, water."""
    sums, days, work, water = _sums(t, tell), _money_days(t, tell), _work(t, tell), _water(t, tell)
    if not (sums or work or water):
        return ()
    forms = [
        [*sums, *days, *work, *water],
        [*sums[:2], *days, *work, *water],
        [*sums[:1], *days, *work[:1], *water],
        [*sums[:1], *days, *work[:1]],
    ]
    forms = [said for said in forms if said]
    ranks = (0, 42, 65, 68)
    return tuple(
        Form(rank, (headed(tell("screen-takes"), sentence("; ".join(said))),))
        for rank, said in zip(ranks, forms, strict=False)
    )


def _sums(t: Telling, tell: Tell) -> list[str]:
    sums = t.advice.money
    if sums is None:
        return []
    said = [total(tell, row) for row in sorted(sums.totals, key=lambda row: _PAID.index(row.kind))]
    said += beyond(t, tell, sums.totals)
    if not sums.unknown:
        return said
    return [*said, tell("screen-unpriced", n=len(sums.unknown))] if said else [tell("screen-no-price")]


def _money_days(t: Telling, tell: Tell) -> list[str]:
    """The days from and until which the money is there, as told."""
    told = {end: known(t.advice, f"means.budget_{end}") for end in ("from", "until")}
    return [tell(f"screen-money-{end}", day=day_of(day)) for end, day in told.items() if day]


def beyond(t: Telling, tell: Tell, totals: Sequence[MoneyRow]) -> list[str]:
    """What of the known cost the money that was told does not cover."""
    have, currency = known(t.advice, "means.budget"), known(t.advice, "means.currency")
    rows = [row for row in totals if row.low is not None and row.high is not None]
    if not rows or not have or any(row.currency != currency for row in rows):
        return []
    budget, low, high = float(have), sum(row.low or 0 for row in rows), sum(row.high or 0 for row in rows)
    if budget >= high:
        return []
    code = "screen-budget-low" if budget >= low else "screen-budget-short"
    return [tell(code, have=language().number(budget))]


def total(tell: Tell, row: MoneyRow) -> str:
    """What is known of the cost of one kind."""
    if row.low is None or row.high is None:
        return tell("screen-price", kind=word("kind", row.kind), price=say("not-known"))
    amount = span_of(estimate(row.low), estimate(row.high))
    return tell(
        "screen-price",
        kind=word("kind", row.kind),
        price=f"{amount} {money(row.currency) or say('your-money')}",
    )


def _work(t: Telling, tell: Tell) -> list[str]:
    hours = hours_to_do(t.advice.plan)
    over = sum(bool(week.hours_short or week.visits_short) for week in t.advice.weeks)
    opens = any(task.template.startswith("open-") for task in t.advice.plan)
    code = "screen-hours-to-opening" if opens else "screen-hours"
    said = [] if hours is None else [tell(code, hours=hours_words(hours))]
    return [*said, *([tell("screen-weeks-over", n=over)] if over else [])]


def water_of_a_week(t: Telling) -> str:
    """The most water that a week takes; "" where it is not known."""
    most = max((week.litres or 0.0 for week in t.advice.weeks), default=0.0)
    return t.litres(most) if most else ""


def _water(t: Telling, tell: Tell) -> list[str]:
    amount = water_of_a_week(t)
    if amount:
        return [tell("screen-water", amount=amount)]
    return [tell("screen-water-untold")] if t.advice.watering else []


def care(t: Telling, tell: Tell) -> Piece:
    """The gravest cautions in their first sentence, how many more there are, and what rules over the page."""
    today = {row.code for row in t.advice.today}
    rows = [row for row in t.advice.cautions if row.code not in today]
    if not rows:
        return (Form(0, (line(say("ruler")),)), Form(5, ()))
    label = say("take-care")

    def said(n: int, *more: str) -> Line:
        left = len(rows) - n
        kept = [opening_sentence(row.text) for row in rows[:n]]
        rest = tell("screen-more-cautions" if n else "screen-cautions", n=left)
        end = rest if left else tell("screen-who-decides")
        return headed(label, " ".join([*kept, end, *more]), style="warn")

    two = min(2, len(rows))
    return (
        Form(0, (said(two, say("ruler")),)),
        Form(5, (said(two),)),
        Form(20, (said(1),)),
        Form(66, (said(0),)),
    )


def change(t: Telling, tell: Tell) -> Piece:
    """How sure the choice is, and the answer that could change it."""
    a = t.advice
    sure = word("sure", a.sure.level)
    could = [row for row in a.unknown if row.changes_first_choice]
    untried = [row for row in a.unknown if row.changes_first_choice is None]
    if not could and not untried:
        return (Form(0, (headed(tell("screen-sure"), f"{sure}. {opening_sentence(a.sure.why)}"),)),)
    rows = could or untried
    # Firm is no word for what was not tried.
    label = tell("screen-could-change" if could else "screen-may-matter")
    asked = sentence(rows[0].text)
    more = f" {tell('screen-more-questions', n=len(rows) - 1)}" if len(rows) > 1 else ""
    return Form(0, (headed(label, f"{asked}{more}"),)), Form(22, (headed(label, asked),))


def ask_on(tell: Tell, naming: Naming) -> Piece:
    """How the rest is seen, and how to ask on."""
    return (
        Form(0, (line(tell(f"screen-ask-on-{naming}")),)),
        Form(44, (line(tell(f"screen-ask-on-{naming}-short")),)),
    )
