"""The plan and the shopping list as tables to tick off, with the dangers of each row beside it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from decide.model.planned import Purchase, Task, Watering
from decide.model.words import capital
from decide.report.blocks import (
    Block,
    Cell,
    Heading,
    Paragraph,
    Span,
    Table,
    cell,
    cited,
    paragraphs,
    spans,
    tick,
)
from decide.report.phrases import day_of, day_span, opening_sentence, sentence
from decide.report.sections.plan import (
    STAGES,
    after,
    begin_by,
    begin_notes,
    clashes,
    has_hours,
    often_notes,
    task_hours,
    tools,
    water_words,
    weeks,
)
from decide.report.sections.shopping import amount, price_words
from decide.report.telling import Telling
from decide.report.words import say, word


def plan(t: Telling) -> Iterator[Block]:
    """The whole plan: a table for each stage, the weeks, water by stage, play and the year after."""
    if not t.advice.plan:
        return
    yield from clashes(t)
    yield from begin_by(t)
    head = (say("task"), say("when"), say("how"), say("who-with-what"), say("take-care"))
    for stage in STAGES:
        rows = tuple(_task(t, task) for task in t.advice.plan if task.stage == stage)
        if rows:
            yield Table(head, rows, word("stage", stage), "plan")
    yield from weeks(t)
    if t.advice.watering:
        yield Heading(say("water-by-stage"))
        stages = (say("stage"), say("when"), say("how"))
        yield Table(stages, tuple(_watering(t, row) for row in t.advice.watering))
    yield from after(t)


def _task(t: Telling, task: Task) -> tuple[Cell, ...]:
    when = [f"{day_span(task.from_, task.until)}.", *begin_notes(task)]
    if task.order_by is not None and task.order_by != task.latest:
        when.append(say("order-by-day", day=day_of(task.order_by)))
    when += often_notes(t, task)
    if task.done:
        when.append(f"{say('done-on', day=day_of(task.done))}.")
    who = [f"{capital(word('who', task.who))}."] if task.who else []
    if has_hours(task):
        who.append(f"{capital(task_hours(task))}.")
    how = [sentence(task.text), task.why_then]
    if task.amount is not None:
        how.append(t.weight(task.amount, task.unit))
    return (
        (spans((*tick(task.done is not None), task.task + t.of(task.zone))),),
        paragraphs(when),
        paragraphs(how, task.sources),
        paragraphs([*who, *tools(task)]),
        _beside(t, task.cautions),
    )


def _beside(t: Telling, codes: Iterable[str]) -> Cell:
    """The cautions of a task or a thing to buy, in their first sentence, with who decides."""
    said: list[Paragraph] = []
    for code in codes:
        row = t.cautions.get(code)
        if row is None:
            said.append((Span(sentence(code.replace("-", " ")), "warn"),))
        else:
            who = f" {say('who-decides', who=sentence(row.who_decides))}" if row.who_decides else ""
            said.append((Span(opening_sentence(row.text), "warn"), Span(who)))
    return tuple(said) or cell("–")


def _watering(t: Telling, row: Watering) -> tuple[Cell, ...]:
    name = capital(row.stage) + t.of(row.zone)
    return cell(name), cell(day_span(row.from_, row.until)), cell(water_words(t, row), cited(row.sources))


def shopping(t: Telling) -> Iterator[Table]:
    """What to buy, with its arithmetic and what to ask the seller."""
    head = (say("thing"), say("how-much"), say("order-by"), say("arithmetic-and-ask"), say("take-care"))
    rows = tuple(_purchase(t, row) for row in t.advice.shopping)
    if rows:
        yield Table(head, rows, say("to-buy-caption"), "buy")


def _purchase(t: Telling, row: Purchase) -> tuple[Cell, ...]:
    how = [sentence(row.how)]
    if row.cost is not None:
        how.append(price_words(row.cost))
    if row.ask:
        how.append(f"{say('ask')}: {sentence(row.ask)}")
    return (
        (spans((*tick(False), row.item + t.of(row.zone))),),
        cell(f"{amount(t, row)}."),
        cell(day_of(row.order_by) if row.order_by else "–"),
        paragraphs(how, row.sources),
        _beside(t, row.cautions),
    )
