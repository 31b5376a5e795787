"""One sheet to print and hang up: dangers of today, the choice, this week, what to get, every caution."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from decide.model import advice as model
from decide.model.advice import Option
from decide.model.planned import Task
from decide.model.row import DayRange
from decide.model.words import capital
from decide.report.blocks import (
    DONE,
    TO_DO,
    Block,
    Cell,
    Group,
    Heading,
    Line,
    Span,
    Table,
    cell,
    line,
    spans,
)
from decide.report.choices import (
    STANDBY_SHOWN,
    VERDICT_STYLES,
    begun_again,
    conditions_in_short,
    decide_words,
    marked,
    picked,
    role_of,
    short_verdict,
    stands_as,
    without_start,
)
from decide.report.phrases import between, day_of, opening_sentence, sentence
from decide.report.sections.ground import may_open
from decide.report.sections.plan import clashes, due_words, next_dates
from decide.report.sections.shopping import bought
from decide.report.telling import Telling
from decide.report.words import say, word

_NONE: Final = cell("–")


def sheet(t: Telling) -> Iterator[Block]:
    """Everything on the sheet, in the order of what cannot wait."""
    if t.advice.today:
        rows = [
            line(Span(sentence(row.text), "strong"), _who(row.who_decides), mark=f"{n}.")
            for n, row in enumerate(t.advice.today, start=1)
        ]
        yield Group("danger", (Heading(say("today-title")), *rows))
    yield from _state(t)
    yield _choices(t)
    yield from _listed(say("meanwhile"), list(_standby(t)))
    yield from _to_do(t)
    got = [line(Span(row.item, "strong"), f": {bought(t, row)}", mark=TO_DO) for row in t.advice.shopping]
    yield from _listed(say("to-get"), got)
    yield from _listed(say("take-care"), list(_cautions(t)))
    valid = t.advice.valid_until
    until = f" {say('valid-until-day', day=day_of(valid))}" if valid else ""
    yield line(Span(say("ruler"), "strong"), f"{until} {say('rests-on-pages')}")


def _who(who: str) -> str:
    return f" {say('who-decides', who=sentence(who))}" if who else ""


def _listed(title: str, rows: list[Line]) -> Iterator[Heading | Group]:
    """Short lines under a heading, in columns."""
    if rows:
        yield Heading(title)
        yield Group("columns", tuple(rows))


def _state(t: Telling) -> Iterator[Heading | Line]:
    """What was seen and what to do about it today, and whether each part may open."""
    if t.advice.signs_seen or t.advice.open_now:
        yield Heading(say("how-it-goes"))
    for row in t.advice.signs_seen:
        do = (Span(f"{say('do-today')}:", "strong"), f" {sentence(row.do)}")
        yield line(*t.where([row.zone]), f"{sentence(row.sign)} ", *do, mark="-")
    for gate in t.advice.open_now:
        yield line(*may_open(t, gate), mark="-")


def _choices(t: Telling) -> Table:
    head = (
        say("part"), say("do-this"), say("start"), say("light-use"), say("full-play"), say("decide-by"),
    )  # fmt: skip
    rows = tuple(row for answer in t.advice.programme for row in _answer(t, answer))
    return Table(head, rows, say("choices-caption"), "choices")


def _answer(t: Telling, answer: model.Answer) -> Iterator[tuple[Cell, ...]]:
    area = t.area(answer.area_m2)
    name = cell(answer.zone, *([Span(f" {area}", "soft")] if area else []))
    options = picked(t.advice, answer)
    for n, option in enumerate(options, start=1):
        # Where nothing is chosen, the line of the last way that stands there says so first.
        unchosen = answer.option is None and n == len(options)
        before = f"{opening_sentence(answer.text)} " if unchosen else ""
        yield (
            name,
            _way(answer, option, before),
            cell(day_of(option.start)) if option.start else _NONE,
            _days(option.light_use),
            _days(option.full_play),
            cell(decide_words(option) or "–"),
        )
    if not options:
        yield (name, cell(sentence(answer.text)), *[_NONE] * 4)


def _way(answer: model.Answer, option: Option, before: str) -> Cell:
    role = role_of(answer, option)
    stands = stands_as(option, role)
    verdict = Span(short_verdict(stands, option.rests_on), VERDICT_STYLES[marked(stands, option.rests_on)])
    words: list[Span | str] = [f"{before}{word('role', role)}: ", Span(without_start(option), "strong")]
    words += [" (", verdict, ")."]
    again = begun_again(answer, option)
    words += [f" {again}"] if again else []
    if option.rests_on:
        words.append(f" {say('only-if')}: {sentence(conditions_in_short(option.rests_on))}")
    return (spans(words),)


def _days(days: DayRange | None) -> Cell:
    return _NONE if days is None else cell(capital(between(days).rstrip(".")))


def _standby(t: Telling) -> Iterator[Line]:
    """The other side of each trade, what is done meanwhile, and the next real time for new grass."""
    for answer in t.advice.programme:
        window = answer.window.text if answer.window is not None else ""
        for text in (answer.instead, *answer.meanwhile[:STANDBY_SHOWN], window):
            if text:
                yield line(*t.where([answer.zone]), sentence(text), mark="-")


def _to_do(t: Telling) -> Iterator[Block]:
    if not t.advice.plan:
        return
    yield Heading(say("this-week"))
    yield from clashes(t, mark="")
    if t.week:
        yield Group("columns", tuple(_due(t, task) for task in t.week))
    else:
        yield line(say("nothing-this-week"))
    yield from _listed(say("next-dates"), [row for row in next_dates(t) if row.mark])


def _due(t: Telling, task: Task) -> Line:
    due = f"{t.of(task.zone)}, {due_words(task)}."
    return line(Span(task.task, "strong"), due, mark=DONE if task.done else TO_DO)


def _cautions(t: Telling) -> Iterator[Line]:
    """Each caution in its first sentence; those of today stand whole above, all after the sheet."""
    today = {row.code for row in t.advice.today}
    for row in t.advice.cautions:
        if row.code not in today:
            yield line(Span(opening_sentence(row.text), "strong"), _who(row.who_decides), mark="-")
