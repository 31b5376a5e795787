"""The rows by which options are chosen: remedies, the order and wishes, shapes of a programme, levels of the
advice.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field

from decide.knowledge.schema import Conditional, Key, Keys, Keys_, Row, Sentence, listed
from decide.model.row import Decision


class OrderRow(Row):
    """The stated order of the criteria; the first `before-wishes` of them stand before any wish."""

    criteria: Keys
    before_wishes: int = Field(default=0, alias="before-wishes", ge=0)
    sources: Keys


class Lead(Conditional):
    """The option that decides whether a shape fits: the first that has the role, where its conditions hold of
    it.
    """

    role: Key


class Pick(Row):
    """Which option takes a place of a shape.

    It is the `lead`, or the first that has one of `roles` (role by role) and all of `also`; `any` takes the
    first of all. With `follows` it must have the ground to itself after the stopgap. A place that `may-lack`
    can stay empty. `said-by` are the roles whose reason is told, the first that it has; left out, its
    `roles`.
    """

    lead: bool = False
    any_: bool = Field(default=False, alias="any")
    roles: Keys = ()
    also: Keys = ()
    follows: bool = False
    may_lack: bool = Field(default=False, alias="may-lack")
    said_by: Keys = Field(default=(), alias="said-by")


class Shape(Row):
    """A way to put a programme together; the shapes are tried in their order, and the first that can be
    filled is taken.

    `some` and `none` hold where some option, or no option, meets their conditions. `next-best` are the roles
    of which one must be held by the next best way; without them none is named.
    """

    order: int
    lead: Lead | None = None
    some: Conditional | None = None
    none: Conditional | None = None
    stopgap: Pick | None = None
    option: Pick | None = None
    least_bad: Pick | None = Field(default=None, alias="least-bad")
    after: Pick | None = None
    instead: Pick | None = None
    next_best: Keys = Field(default=(), alias="next-best")
    because: Sentence
    sources: Keys

    @property
    def roles(self) -> frozenset[str]:
        """Every role by which it picks."""
        picks = (self.stopgap, self.option, self.least_bad, self.after, self.instead)
        named = [
            role for pick in picks if pick is not None for role in (*pick.roles, *pick.also, *pick.said_by)
        ]
        return frozenset((*named, *self.next_best, *([] if self.lead is None else [self.lead.role])))


class Held(Conditional):
    """A judgement of its own: it holds where its conditions do."""

    because: Sentence
    sources: Keys


class DecisionRow(Conditional):
    """What the advice calls a remedy that is chosen, where the conditions hold."""

    says: Decision


class OpenRow(Conditional):
    """When a remedy is weighed that only an answer still missing could call for; `usual` reads what is usual
    where nobody told.
    """

    usual: bool = False


class RemedyRow(Row):
    """What can be done with a part of the field; where `alone` holds nothing else is weighed. `clears` is
    what must have come of it before the new grass that follows is begun.
    """

    order: int
    clears: str = ""
    decisions: Annotated[tuple[DecisionRow, ...], listed]
    open: OpenRow | None = None
    alone: Conditional | None = None
    because: Sentence
    sources: Keys


class LevelRow(Held):
    """A level that the advice gives: the first row, in their order, that holds; `says` it, with `asks` the
    questions still open.
    """

    order: int
    level: str
    says: str = ""
    asks: bool = False
    because: Sentence
    sources: Keys


class FateRow(LevelRow):
    """Whether the date wanted is met."""

    level: Literal["yes", "likely", "partly", "no"]


class SureRow(LevelRow):
    """How sure the choice is."""

    level: Literal["firm", "likely", "open"]


class WishRow(Row):
    """Which criterion a wish is about."""

    criterion: Key


class Limit(Row):
    """How many questions the talk asks after the town: for one part of the field, and more for each further
    part. Of `weighed` that could change the choice the one that could change it most is asked.
    """

    most: int = Field(gt=0)
    more_for_a_part: int = Field(alias="more-for-a-part", ge=0)
    weighed: int = Field(gt=0)


class Together(Row):
    """What is asked in one breath: keys of questions, and the words for all of them.

    `core` is asked of everybody; `late` comes last of the core and takes no part in weighing what else to
    ask. `ask_parts` has {parts} for the names of several parts of the field. `no` says what a plain "no"
    tells of each key.
    """

    order: int
    asks: Keys_
    core: bool = False
    late: bool = False
    ask: str = ""
    ask_parts: str = Field(default="", alias="ask-parts")
    why: str = ""
    help: str = ""
    no: dict[str, Any] = Field(default_factory=dict)
