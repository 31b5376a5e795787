"""An advice as a story of about a dozen steps: what is known, what is wrong, what could be done, what falls
out and why, what is left, the choice, and what would change it; each stands on the rules of the derivation.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from decide.answer.assemble import advice_of
from decide.decision.consultation import Consultation
from decide.explain.why import zone_code
from decide.knowledge.tables import Knowledge
from decide.lesson.guess import Guess
from decide.lesson.make import lesson
from decide.lesson.scenes import SCENES, Kind
from decide.lesson.steps import Lesson, Step
from decide.lesson.telling import Telling
from decide.lesson.told import Told
from decide.lesson.turns import change
from decide.lesson.ways import fallen_out, loser_of, named_way
from decide.model.errors import DecideError


@dataclass(frozen=True)
class Scene:
    """One step of the story.

    `asks` is its question and heading, `tells` what is said of it, `so` what follows. `steps` are the rules
    that fired for it; `more` what else it opens to, a line each. `guess` is what a class may be asked first.
    """

    number: int
    kind: Kind
    asks: str
    tells: tuple[str, ...]
    so: str
    steps: tuple[Step, ...]
    more: tuple[str, ...]
    guess: Guess | None


@dataclass(frozen=True)
class Care:
    """A caution of this advice, and who decides."""

    text: str
    who: str


@dataclass(frozen=True)
class Story:
    """The scenes in order, with what stands beside them: the dangers of today, and the cautions with the
    rules that gave them.

    `part` is the part of the field that it tells of. Every step of `whole` stands in one scene of the `first`
    or in `care_steps`. The last scene tries other answers, which takes a while: it is made when asked for.
    """

    place: str
    today: str
    part: str
    first: tuple[Scene, ...]
    last: Callable[[], Scene] = field(repr=False, compare=False)
    danger: tuple[Care, ...]
    care: tuple[Care, ...]
    care_steps: tuple[Step, ...]
    whole: Lesson
    knowledge: Knowledge = field(repr=False, compare=False)

    @property
    def count(self) -> int:
        """How many scenes there are."""
        return len(self.first) + 1

    @cached_property
    def scenes(self) -> tuple[Scene, ...]:
        """All scenes."""
        return (*self.first, self.last())

    def scene(self, number: int) -> Scene:
        """The scene of a number; DecideError where there is none."""
        if not 1 <= number <= self.count:
            raise DecideError(
                f"there is no step {number}", where="lesson", instead=f"Write a number from 1 to {self.count}"
            )
        return self.first[number - 1] if number < self.count else self.scenes[-1]

    @cached_property
    def names(self) -> Mapping[int, str]:
        """What each step of the derivation is called: the number of its scene and its place in it."""
        found = {
            step.number: f"{scene.number}.{place}"
            for scene in self.first
            for place, step in enumerate(scene.steps, start=1)
        }
        return found | {step.number: f"C.{place}" for place, step in enumerate(self.care_steps, start=1)}

    def named(self, number: int) -> str:
        """What a step of the derivation is called."""
        return self.names[number]


def story(
    consultation: Consultation, part: str | None = None, seed: int = 0, way: str | None = None
) -> Story:
    """The story of one part of a field: of `part`, else of the first that gets new grass, else of the first
    that gets anything. The same seed draws the same choices to guess from. `way` names the way whose loss is
    worked through, as "thick sod". DecideError where there is no such part or way.
    """
    c = consultation
    zone = zone_code(c, part) if part else _told_of(c)
    loser = loser_of(c, zone) if way is None else named_way(c, zone, way)
    fallen = fallen_out(c, zone)
    whole = lesson(
        c,
        [] if loser is None else [loser.draft.code],
        [(group.first.draft.code, group.rule.id) for group in fallen],
    )
    t = Telling(c, zone, whole, loser, fallen, seed)
    told = [(kind, said) for kind, tell in SCENES.items() if (said := tell(t)) is not None]
    first = tuple(_scene(t, number, kind, said) for number, (kind, said) in enumerate(told, start=1))
    advice = advice_of(c)
    return Story(
        whole.place,
        whole.today,
        c.zones[zone].name,
        first,
        lambda: _scene(t, len(first) + 1, "change", change(t)),
        tuple(Care(row.text, row.who_decides) for row in advice.today),
        tuple(Care(row.text, row.who_decides) for row in advice.cautions),
        t.steps("care"),
        whole,
        c.knowledge,
    )


def _scene(t: Telling, number: int, kind: Kind, said: Told) -> Scene:
    here = t.here
    return Scene(
        number, kind, here(said.asks), tuple(map(here, said.tells)), here(said.so), t.steps(kind),
        tuple(map(here, said.more)), said.guess,
    )  # fmt: skip


def _told_of(c: Consultation) -> str:
    """The part that a story is told of where none is asked for."""
    new = [
        zone
        for zone, chosen in c.chosen.items()
        if chosen.option is not None and chosen.option.draft.new_grass
    ]
    return next(iter([*new, *(zone for zone, chosen in c.chosen.items() if chosen.named), *c.zones]))
