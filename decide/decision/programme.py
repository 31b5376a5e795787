"""The programme of a zone: what is chosen from its options in order, by the shapes of the knowledge and the
roles that rules give.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from decide.decision.rank import Weighed
from decide.engine.language import ROLE, Fact
from decide.knowledge.schema import Conditional
from decide.knowledge.schema_choice import Pick, Shape

Holds = Callable[[Conditional, Mapping[str, Fact]], bool]
PLACES: Final = ("stopgap", "option", "least_bad", "after", "instead")


@dataclass(frozen=True)
class Chosen:
    """What is chosen for one zone.

    `option` is the choice, `stopgap` what goes before it. Where nothing may be chosen `least_bad` is named.
    `after` is the new
    grass that follows once the cause is mended, or the next real window where nothing can be ready by the
    date. `instead` is
    the other side of a trade: what would be ready sooner at a risk, or later and lasting. `said_by` are the
    roles of each place
    whose reason is told.
    """

    option: Weighed | None
    stopgap: Weighed | None = None
    least_bad: Weighed | None = None
    runner_up: Weighed | None = None
    after: Weighed | None = None
    instead: Weighed | None = None
    said_by: Mapping[str, tuple[str, ...]] = field(default_factory=dict, compare=False)

    @property
    def named(self) -> list[Weighed]:
        """What the programme names, in the order of doing."""
        return [w for w in (self.stopgap, self.option, self.least_bad) if w is not None]

    @property
    def told(self) -> list[Weighed]:
        """All that a person reads of."""
        return [
            w
            for w in (self.stopgap, self.option, self.least_bad, self.after, self.instead, self.runner_up)
            if w is not None
        ]


def choose(ranked: Sequence[Weighed], shapes: Iterable[Shape], holds: Holds) -> Chosen:
    """The programme of one zone from its options in order, whose roles are known: the first shape that they
    fill.
    """
    found = (_filled(shape, ranked, holds) for shape in shapes)
    return next((chosen for chosen in found if chosen is not None), Chosen(None))


def part_of(w: Weighed) -> Mapping[str, Fact]:
    """What the conditions of a shape read of an option: its facts, remedy, verdict and roles."""
    roles = {ROLE + role: True for role in w.roles}
    return {**w.facts, **roles, "option.remedy": w.draft.remedy, "option.verdict": w.verdict}


def _filled(shape: Shape, ranked: Sequence[Weighed], holds: Holds) -> Chosen | None:
    """The options that fill the places of a shape; None where it cannot be filled."""
    lead = None
    if shape.lead is not None:
        lead = next((w for w in ranked if shape.lead.role in w.roles), None)
        if lead is None or not holds(shape.lead, part_of(lead)):
            return None
    if shape.some is not None and not any(holds(shape.some, part_of(w)) for w in ranked):
        return None
    if shape.none is not None and any(holds(shape.none, part_of(w)) for w in ranked):
        return None
    taken: dict[str, Weighed] = {}
    for place in PLACES:
        pick: Pick | None = getattr(shape, place)
        if pick is None:
            continue
        w = lead if pick.lead else _first(pick, ranked, taken.get("stopgap"))
        if w is not None:
            taken[place] = w
        elif not pick.may_lack:
            return None
    picks = {place: getattr(shape, place) for place in taken}
    return Chosen(
        taken.get("option"),
        taken.get("stopgap"),
        taken.get("least_bad"),
        after=taken.get("after"),
        instead=taken.get("instead"),
        runner_up=_next_best(shape, ranked, taken),
        said_by={"runner_up": shape.next_best}
        | {place: pick.said_by or pick.roles for place, pick in picks.items()},
    )


def _first(pick: Pick, ranked: Sequence[Weighed], stopgap: Weighed | None) -> Weighed | None:
    """The first option that may take a place, role by role."""
    fit = [
        w
        for w in ranked
        if w.roles.issuperset(pick.also)
        and not (pick.follows and stopgap is not None and not w.follows(stopgap))
    ]
    if pick.any_:
        return next(iter(fit), None)
    return next((w for role in pick.roles for w in fit if role in w.roles), None)


def _next_best(shape: Shape, ranked: Sequence[Weighed], taken: Mapping[str, Weighed]) -> Weighed | None:
    """The first other way that has one of the roles by which a next best is named."""
    ways = {w.way[:3] for place, w in taken.items() if place in ("option", "stopgap")}
    return next(
        (w for w in ranked if w.way[:3] not in ways and not w.roles.isdisjoint(shape.next_best)), None
    )
