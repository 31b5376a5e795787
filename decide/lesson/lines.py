"""A story in lines of plain text: its steps, what each opens to, the cautions; or a sheet to guess from."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import Final

from decide.knowledge.tables import Knowledge
from decide.lesson.steps import Read, Step, how_known
from decide.lesson.story import Scene, Story
from decide.model.words import capital

# What stands before an item of a list.
_MARK: Final = re.compile(r"- |[a-d]\) |\d+\.\d+ ")


def titled(step: Step) -> str:
    """What a step is about, with the role of an option."""
    return f"{capital(step.about)}{f' ({step.role})' if step.role else ''}"


def unless_lines(k: Knowledge, step: Step) -> list[str]:
    """The exceptions of a step with their truth."""
    return [
        k.text("lesson-unless-open", name=name.replace("-", " "))
        if holds is None
        else k.text("lesson-unless-not-so", name=name.replace("-", " "))
        for name, holds in step.unless
    ]


def read_line(told: Story, read: Read) -> str:
    """A fact, how it is known, and what the rule asks for."""
    how = how_known(told.knowledge, read, told.named)
    if read.asks:
        return told.knowledge.text("story-row-asks", text=read.text, how=how, asks=read.asks)
    return f"{read.text} ({how})"


# ---------- the story ----------
def opening_lines(told: Story) -> Iterator[str]:
    """What this is, and the dangers of today."""
    k = told.knowledge
    yield (
        k.text("story-head-at", place=told.place, n=told.count)
        if told.place
        else k.text("story-head", n=told.count)
    )
    yield from (k.text("story-danger", text=row.text, who=row.who) for row in told.danger)


def head_line(told: Story, scene: Scene) -> str:
    """The number and the question of a scene."""
    return told.knowledge.text("story-step", number=scene.number, n=told.count, asks=scene.asks)


def scene_lines(told: Story, scene: Scene) -> Iterator[str]:
    """What a scene says."""
    yield from scene.tells
    yield told.knowledge.text("story-so", so=scene.so)


def guess_lines(scene: Scene) -> Iterator[str]:
    """The question of a scene with its choices; nothing where there is none."""
    if scene.guess is not None:
        yield scene.guess.asks
        yield from (f"  {letter}) {choice}" for letter, choice in scene.guess.rows)


def row_lines(told: Story, step: Step) -> Iterator[str]:
    """A rule that fired: what it read, what it says, why, and its sources."""
    k = told.knowledge
    yield k.text("story-row", name=told.named(step.number), about=titled(step))
    yield from (f"  {read_line(told, read)}" for read in step.facts)
    yield from (f"  {line}" for line in unless_lines(k, step))
    if step.rule:
        yield f"  {k.text('lesson-rule', rule=step.rule)}"
    yield f"  {k.text('lesson-so', concludes=step.concludes)}"
    yield f"  {k.text('lesson-why', because=step.because)}"
    yield from (f"  {line}" for line in source_lines(k, step))


def rows_of(steps: Sequence[Step]) -> list[tuple[str, list[Step]]]:
    """Steps that follow one another, by what they are about."""
    return [(about, list(run)) for about, run in groupby(steps, titled)]


def behind_lines(told: Story, scene: Scene) -> Iterator[str]:
    """The rules behind a scene, a line each, and what else it opens to."""
    yield from (f"- {line}" for line in scene.more)
    for about, steps in rows_of(scene.steps):
        yield f"{about}:"
        for step in steps:
            yield f"  {told.named(step.number)} {step.concludes}{f' [{step.rule}]' if step.rule else ''}"


def source_lines(k: Knowledge, step: Step) -> list[str]:
    """The sources of a step."""
    return [k.text("lesson-source", source=source) for source in step.sources] or [k.text("lesson-no-source")]


def care_lines(told: Story) -> Iterator[str]:
    """The cautions, and who decides."""
    k = told.knowledge
    if told.care:
        yield k.text("story-care")
    yield from (k.text("story-care-row", text=row.text, who=row.who) for row in told.care)


def story_lines(told: Story, *, opened: bool = False) -> Iterator[str]:
    """The whole story; `opened` with every rule and source under its step."""
    k = told.knowledge
    yield from opening_lines(told)
    for scene in told.scenes:
        yield ""
        yield head_line(told, scene)
        yield from scene_lines(told, scene)
        if opened:
            yield from (f"  {line}" for line in scene.more)
            yield from (f"  {line}" for step in scene.steps for line in row_lines(told, step))
        elif scene.steps:
            yield f"  {k.text('story-behind', n=len(scene.steps))}"
    yield ""
    yield from care_lines(told)
    if opened and told.care_steps:
        yield k.text("story-care-rules")
        yield from (f"  {line}" for step in told.care_steps for line in row_lines(told, step))


def sheet_lines(told: Story) -> Iterator[str]:
    """The story as a sheet to guess from: what is asked is told at the end."""
    k = told.knowledge
    kept = [scene for scene in told.scenes if kept_back(scene)]
    yield from opening_lines(told)
    for scene in told.scenes:
        yield ""
        yield head_line(told, scene)
        yield from guess_lines(scene) if scene in kept else scene_lines(told, scene)
    yield ""
    yield from care_lines(told)
    yield ""
    yield k.text("story-answers")
    for scene in kept:
        yield ""
        yield head_line(told, scene)
        if scene.guess is not None:
            yield k.text("story-guess-answer", answer=scene.guess.choices[scene.guess.answer])
        yield from scene_lines(told, scene)


def kept_back(scene: Scene) -> bool:
    """Whether a scene is told only after the guesses; a worked loser names the choice."""
    return scene.guess is not None or scene.kind == "loser"


# ---------- width ----------
def wrapped(lines: Iterable[str], width: int) -> Iterator[str]:
    """Lines that are no wider than asked, what is carried over under its own text."""
    for line in lines:
        lead = len(line) - len(line.lstrip(" "))
        mark = _MARK.match(line[lead:])
        hang = lead + (len(mark[0]) if mark is not None else 0)
        yield from textwrap.wrap(
            line, width, subsequent_indent=" " * hang, break_long_words=True, break_on_hyphens=False
        ) or [""]
