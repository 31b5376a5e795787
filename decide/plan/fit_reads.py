"""What the first start of an option hangs on, so that it is not looked for again where none of it moved."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from decide.decision.rulebook import Rulebook

# Answers that the days of work and play, the hands and the waits are read from; facts are named beside them.
START_KEYS: Final = (
    "dates.no_work", "dates.no_play", "zone.in_play", "use", "means.helpers", "offer", "done", "ongoing",
    "check", "place", "dates.today",
)  # fmt: skip
# What completes those answers.
START_QUANTITIES: Final = ("season", "areas")


def start_facts(book: Rulebook) -> frozenset[str]:
    """The facts that the tasks before a start read: their conditions, their waits, and the keys of their
    values.
    """
    return frozenset(_named(book))


def _named(book: Rulebook) -> Iterator[str]:
    yield from ("option.season-type", "zone.main-season-type", "option.made-from", "option.start-short")
    for task in book.knowledge.tasks.values():
        for text in (*task.when, *task.unless):
            yield from book.condition(text).facts
        for written in task.values:
            index = written.rstrip("]").partition("[")[2]
            if index:
                yield index
        if task.lead_fact:
            yield task.lead_fact
        if task.already is not None:
            yield task.already.fact
