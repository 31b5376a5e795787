"""Guess first: a step with its conclusion kept back, and the true one among near ones of other rules to
choose from.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from decide.decision.consultation import Consultation
from decide.engine.language import VERDICTS, Fact, Rule
from decide.explain.why import title
from decide.knowledge.speaker import VERDICT_NAMES
from decide.knowledge.tables import Knowledge
from decide.lesson.chain import conclusion
from decide.lesson.lines import known_lines
from decide.lesson.steps import Lesson, Step
from decide.model.words import capital

CHOICES: Final = 4
# The near ones that are drawn from; more would bring far ones in.
_NEAR: Final = 6
_FATES: Final = ("yes", "likely", "partly", "no")


@dataclass(frozen=True)
class Guess:
    """A step to be guessed: what may be concluded, and which of it is true (its place in `choices`)."""

    step: Step
    choices: tuple[str, ...]
    answer: int
    knowledge: Knowledge = field(repr=False, compare=False)

    def lines(self) -> list[str]:
        """The facts and the choices in lines, the answer kept back."""
        asked = [f"  {letter}) {choice}" for letter, choice in zip("abcd", self.choices, strict=False)]
        k = self.knowledge
        return [*known_lines(k, self.step), f"  {k.text('lesson-what-follows')}", *asked]

    def said(self, answer: str) -> bool | None:
        """Whether a letter or number names the true one; None where it names none of them."""
        word = answer.strip().lower().rstrip(").")
        places = {
            **{letter: place for place, letter in enumerate("abcd")},
            **{str(place + 1): place for place in range(CHOICES)},
        }
        place = places.get(word)
        return None if place is None or place >= len(self.choices) else place == self.answer


def guess(consultation: Consultation, lesson: Lesson, number: int, seed: int = 0) -> Guess:
    """The question of a step: the same choices in the same order for the same seed. DecideError where
    there is no such step.
    """
    step = lesson.step(number)
    draw = random.Random(f"{seed}/{step.key}")
    said_here = {
        one.concludes for one in lesson.steps if one.subject == step.subject and one.section == step.section
    }
    near = list(dict.fromkeys(said for said in _near(consultation, lesson, step) if said not in said_here))[
        :_NEAR
    ]
    choices = [step.concludes, *draw.sample(near, min(CHOICES - 1, len(near)))]
    draw.shuffle(choices)
    return Guess(step, tuple(choices), choices.index(step.concludes), consultation.knowledge)


def _near(c: Consultation, lesson: Lesson, step: Step) -> Iterator[str]:
    """Conclusions that might have followed and do not, the nearest first."""
    if step.section == "choice":
        yield from _other_choices(c, step)
        return
    if step.section == "fate":
        head = step.concludes.partition(": ")[0]
        yield from (f"{head}: {c.knowledge.text(f'lesson-fate-{level}')}" for level in _FATES)
        return
    rule = c.book.rules[step.rule]
    if step.act == "verdict":
        yield from (
            c.knowledge.text("lesson-verdict", verdict=VERDICT_NAMES[verdict])
            for verdict in VERDICTS[rule.about]
        )
        return
    true = {(one.act, one.target, one.grade) for one in lesson.steps if one.subject == step.subject}
    facts: dict[str, Fact] = {
        read.name: read.value for one in lesson.steps if one.subject == step.subject for read in one.facts
    }
    others = [
        (_far(rule, other), place, other) for place, other in enumerate(c.book.base.rules)
        if other.layer == rule.layer and (other.then.act, other.then.target, other.then.grade) not in true
    ]  # fmt: skip
    seen: set[tuple[str, str, str]] = set()
    for _, _, other in sorted(others, key=lambda row: row[:2]):
        then = (other.then.act, other.then.target, other.then.grade)
        if then not in seen:
            seen.add(then)
            yield conclusion(c, other, facts)


def _far(rule: Rule, other: Rule) -> tuple[bool, bool, bool, int]:
    """How far another rule is: another kind of conclusion, another criterion, another subject of
    knowledge, fewer facts in common.
    """
    shared = {name for one in rule.when for name in one.facts} & {
        name for one in other.when for name in one.facts
    }
    return (
        other.then.act != rule.then.act,
        other.then.target != rule.then.target,
        other.subject != rule.subject,
        -len(shared),
    )


def _other_choices(c: Consultation, step: Step) -> Iterator[str]:
    """What else the zone might have been told: the best of each other way."""
    named = {w.draft.code for w in c.chosen[step.zone].named}
    head, colon, _ = step.concludes.partition(": ") if len(c.zones) > 1 else ("", "", "")
    seen: set[tuple[str, str, str]] = set()
    for w in c.ranked:
        d = w.draft
        if d.zone == step.zone and d.code not in named and (d.remedy, d.method, d.plant) not in seen:
            seen.add((d.remedy, d.method, d.plant))
            yield f"{head}{colon}{capital(title(c, d))}"
    nothing = c.knowledge.text("lesson-nothing")
    remedies = [c.knowledge.text(code) for code in c.knowledge.texts if code.startswith("remedy-")]
    for said in (nothing[:1].lower() + nothing[1:], *remedies):
        yield f"{head}{colon}{said}" if colon else capital(said)
