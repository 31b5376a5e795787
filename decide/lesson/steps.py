"""The steps of a lesson: each rule that fired on a subject, the facts that it read, and what it says."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final, Literal

from decide.engine.language import Fact
from decide.knowledge.tables import Knowledge
from decide.model.errors import DecideError

How = Literal["told", "computed", "assumed", "usual", "derived"]
Section = Literal["site", "sign", "zone", "option", "verdict", "part", "choice", "fate", "idea", "judgement"]
# What no step gave and no rule marks otherwise is known by what it stands for.
_STANDING: Final = ("could-fire", "unknown", "speaks", "free")


@dataclass(frozen=True)
class Read:
    """One fact that a step read: in words, how it is known, and the steps that gave it (none for what was
    there at the start).

    `asks` is what the rule asks of a number, in words.
    """

    name: str
    value: Fact
    text: str
    how: How
    steps: tuple[int, ...] = ()
    asks: str = ""


@dataclass(frozen=True)
class Step:
    """One rule that fired on one subject.

    `subject` is its code and `about` its name in words. `facts` are all that the rule's conditions read;
    `unless` its exceptions with their truth (False: does not hold; None: not known, so the rule stands for
    now). `rule` is empty in the choice of a zone and in the fate of the date, which follow from the order and
    the days and from no rule.
    """

    number: int
    section: Section
    stratum: int
    subject: str
    about: str
    rule: str
    act: str
    target: str
    grade: str
    facts: tuple[Read, ...]
    unless: tuple[tuple[str, bool | None], ...]
    because: str
    sources: tuple[str, ...]
    source_keys: tuple[str, ...]
    concludes: str
    role: str = ""
    zone: str = ""

    @property
    def key(self) -> tuple[str, str, str]:
        """What makes it this step: section, subject and rule."""
        return self.section, self.subject, self.rule


@dataclass(frozen=True)
class Lesson:
    """The steps of one consultation in the order of the engine, and the choices that they end in."""

    place: str
    today: str
    steps: tuple[Step, ...]
    choices: tuple[str, ...]
    knowledge: Knowledge = field(repr=False, compare=False)

    def step(self, number: int) -> Step:
        """The step of a number; DecideError where there is none."""
        if not 1 <= number <= len(self.steps):
            raise DecideError(
                f"there is no step {number}",
                where="lesson",
                instead=f"Write a number from 1 to {len(self.steps)}",
            )
        return self.steps[number - 1]

    def chain(self, number: int) -> tuple[int, ...]:
        """The steps that a step rests on, itself the last."""
        found: set[int] = set()
        todo = [number]
        while todo:
            one = todo.pop()
            if one not in found:
                found.add(one)
                todo += [before for read in self.step(one).facts for before in read.steps]
        return tuple(sorted(found))


def how_known(k: Knowledge, read: Read, named: Callable[[int], str] = str) -> str:
    """How a fact is known, in words; `named` is what a step is called."""
    if read.steps:
        return k.text("lesson-from-steps", n=len(read.steps), steps=", ".join(map(named, read.steps)))
    if read.how == "derived" and read.value in _STANDING:
        return k.text(f"lesson-known-{read.value}")
    return k.text(f"lesson-known-{read.how}")
