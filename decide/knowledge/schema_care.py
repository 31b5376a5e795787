"""The rows of the care tables: events, tasks, watering, the year, supplies, checks before opening and signs
of failure.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Final, Literal

from pydantic import Field

from decide.knowledge.schema import (
    Conditional,
    Key,
    Keys,
    Keys_,
    Kinds,
    Row,
    Sentence,
    Words,
    listed,
)
from decide.model.planned import Round, Stage, Who


class Check(Row):
    """A test that says whether the ground may be opened; under `least` it fails whatever its rule."""

    check: Sentence
    how: Sentence
    who: Literal["volunteer", "instrument"]
    rule: Literal["at-least", "at-most", "none-may"]
    pass_light: str = Field(default="", alias="pass-light")
    pass_full: str = Field(default="", alias="pass-full")
    least: str = ""
    spots: str = ""
    holds: str
    counts: Keys = ()
    made_from: Kinds = Field(alias="made-from")
    methods: Words = ()
    sources: Keys


class Sign(Row):
    """A sign of failure, what to do about it today, and what the season hangs on; `mended_by` are entries
    that settle it.
    """

    sign: Sentence
    look_at: Sentence = Field(alias="look-at")
    do: Sentence
    saved_if: Sentence = Field(alias="saved-if")
    lost_if: Sentence = Field(alias="lost-if")
    mended_by: Keys = Field(default=(), alias="mended-by")
    made_from: Words = Field(alias="made-from")
    stage: Literal["start", "grow", "play", "any"]
    cautions: Keys = ()
    sources: Keys


Remedy = Literal[
    "recover", "establish", "carry-on", "use-less", "mend-first", "move-play", "call-expert", "wait", "tend"
]
Event = Literal[
    "today", "start", "wetting", "emergence", "rooted", "first-cut", "cover", "light-use", "full-play",
    "full-fixtures", "recovered", "growing", "growth", "stand-wakes",
]  # fmt: skip
Growth = Literal["none", "some", "hard", "stress"]
ValueName = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9\-]*(\[[a-z][a-z0-9.\-]*\])?$")]


class EventRow(Row):
    """A day that tasks hang on: its name, and why a task of that very day is done then.

    `ends` and `opens` are its places among the days that stand in for an end that is not known, and from
    which the year after is counted.
    """

    name: Sentence
    why: Sentence
    bare: bool = False
    ends: int | None = None
    opens: int | None = None


class Already(Row):
    """What was done before the plan and is waited for: the fact that tells how many weeks ago, and what
    waits.
    """

    fact: Key
    ground: Sentence


class After(Row):
    """A task that another waits for, and the days from its end."""

    task: Key
    wait: ValueName | None = None


# The event of a calendar that a task stands in, where its row names none.
ROUNDS: Final[Mapping[Stage, Round]] = {
    "before": "ready", "clear": "ground", "bed": "ground", "establish": "start", "grow": "care",
    "open": "open-light", "keep": "rest",
}  # fmt: skip


class TaskTemplate(Conditional):
    """A task of the plan, without its dates; every day, hour and amount is the name of a value."""

    title: Sentence
    text: Sentence
    stage: Stage
    round: Round | None = None
    remedies: Annotated[tuple[Remedy, ...], listed]
    methods: Keys = ()
    made_from: Words = Field(default=(), alias="made-from")
    variants: Keys = ()
    needs: Keys = ()
    anchor: Event
    from_: ValueName | None = Field(default=None, alias="from")
    until: Event | None = None
    last: ValueName | None = None
    days: ValueName | None = None
    every: ValueName | None = None
    soonest: ValueName | None = None
    keeps: ValueName | None = None
    before_start: ValueName | None = Field(default=None, alias="before-start")
    already: Already | None = None
    lead: ValueName | None = None
    lead_fact: Key = Field(default="", alias="lead-fact")
    lead_offer: bool = Field(default=False, alias="lead-offer")
    after: Annotated[tuple[After, ...], listed] = ()
    starts: bool = False
    holds: bool = True
    shut: bool = False
    grows: bool = False
    stays: bool = False
    once: bool = False
    pays: bool = False
    feeds: ValueName | None = None
    after_feed: ValueName | None = Field(default=None, alias="after-feed")
    hours_low: ValueName | None = Field(default=None, alias="hours-low")
    hours_high: ValueName | None = Field(default=None, alias="hours-high")
    tools: Keys = ()
    who: Who
    cautions: Keys = ()
    cautions_if: Keys = Field(default=(), alias="cautions-if")
    sources: Keys

    @property
    def in_round(self) -> Round:
        """The event of a calendar that it stands in."""
        return self.round or ROUNDS[self.stage]

    @property
    def values(self) -> tuple[str, ...]:
        """The values that it names, as written."""
        named = (
            self.from_,
            self.last,
            self.days,
            self.every,
            self.soonest,
            self.keeps,
            self.after_feed,
            self.before_start,
            self.lead,
            self.feeds,
            self.hours_low,
            self.hours_high,
        )
        return tuple(name for name in (*named, *(each.wait for each in self.after)) if name is not None)


# How fast a new bed dries.
BedWeather = Literal["hot", "mild", "cool"]


class WaterStage(Row):
    """How new ground is watered from one day of it to another."""

    stage: Sentence
    round: Round = "care"
    made_from: Kinds = Field(alias="made-from")
    opens: Event
    after_opening: bool = Field(default=False, alias="after-opening")
    closes: Event
    closes_else: Event | None = Field(default=None, alias="closes-else")
    kind: Literal["wet", "once", "deep"]
    rain: Literal["days", "sum"] = "days"
    work_stage: Literal["establish", "grow"] = Field(alias="work-stage")
    who: Who
    share: ValueName | None = None
    roots: ValueName | None = None
    wettings: Mapping[BedWeather, ValueName] = {}
    fewest: Mapping[BedWeather, ValueName] = {}
    days: Mapping[BedWeather, ValueName] = {}
    least: ValueName | None = None
    most: ValueName | None = None
    text: Sentence
    unwatered: Sentence
    cautions: Keys = ()
    cautions_if: Keys = Field(default=(), alias="cautions-if")
    sources: Keys

    @property
    def values(self) -> tuple[str, ...]:
        """The values that it names, as written."""
        named = (
            self.share,
            self.roots,
            *self.wettings.values(),
            *self.fewest.values(),
            *self.days.values(),
            self.least,
            self.most,
        )
        return tuple(name for name in named if name is not None)


class YearTask(Conditional):
    """What is done in the months of a year that grow so, with play or without."""

    title: Sentence
    text: Sentence
    season: Literal["cool", "warm", "any"] = "any"
    grows: Annotated[tuple[Growth, ...], listed]
    play: Literal["in", "out", "any"]
    window: bool = False
    only_without: Key = Field(default="", alias="only-without")
    cautions: Keys = ()
    cautions_if: Keys = Field(default=(), alias="cautions-if")
    sources: Keys


class FeedLaw(Row):
    """What was read of a region's law on feeding turf: the closed part of the year, the most of one feed."""

    name: str
    closed_from: str = Field(alias="closed-from", pattern=r"^\d\d-\d\d$")
    closed_until: str = Field(alias="closed-until", pattern=r"^\d\d-\d\d$")
    dose: ValueName | None = None
    sources: Keys


class GrowthRow(Row):
    """How grass of a season type grows on a day as warm, or as rich in heat, as its values say."""

    season: Literal["cool", "warm", "any"]
    air: ValueName | None = None
    heat: ValueName | None = None
    because: Sentence
    sources: Keys


class PlayStep(Row):
    """A step of opening to play: its day, the remedies that it is of, and the share of all hours; all of them
    without one.
    """

    name: Sentence
    event: Event
    remedies: Annotated[tuple[Remedy, ...], listed]
    share: ValueName | None = None
    sources: Keys


class WaterMeans(Row):
    """A means of watering: whether somebody comes for each wetting, how long it may run in a day, what its
    hours of work are, what is needed for it, and what it brings along.
    """

    by_hand: bool = Field(alias="by-hand")
    waters: bool = True
    hours: ValueName
    work: Literal["flow", "visits", "none"] | None = None
    visit: ValueName | None = None
    tools: Keys = ()
    brings: Keys = ()
    because: Sentence
    sources: Keys


class Rootzone(Row):
    """What a field was built of, the soil that it counts as for water, and its class for hours of use."""

    soil: Key
    ground: Key
    because: Sentence
    sources: Keys


class SoilKind(Row):
    """A soil that counts as sand, loam or clay where only these are told apart."""

    counts_as: Literal["sand", "loam", "clay"] = Field(alias="counts-as")
    because: Sentence
    sources: Keys


class LocalPrice(Row):
    """What a pair of prices outside the United States is a price of."""

    method: Key
    contractor: bool
    low: Key
    high: Key
    of: Sentence
    sources: Keys


class HandsRow(Row):
    """Whether the work of somebody is paid by the hour of one's own hands."""

    own: bool
    sources: Keys


class RecordedStep(Row):
    """What a step that the record holds counts as beside the tasks of the plan."""

    feeds: bool
    sources: Keys


class Topic(Row):
    """Something that people ask after as a danger, or whom to call about: what they call it, the told answers
    that bear on it, the cautions, checks and signs that belong to it, and a sentence of its own.
    """

    also: Words = ()
    known: Keys_ = ()
    cautions: Keys = ()
    checks: Keys = ()
    signs: Keys = ()
    say: str = ""
    who: str = ""
    sources: Keys


class Doing(Row):
    """A step as people name it, with the tasks of the plan that do it, the usual one first."""

    also: Words = ()
    tasks: Keys
    sources: Keys


class FailureRow(Row):
    """New grass that fails: the work and the stuff that are needed again, and the days until it shows."""

    work: Sentence
    stuff: str = ""
    shows: ValueName
    sources: Keys


# What one supply's amount is worked out by; the arithmetic of each is in decide.plan.amounts.
Quantity = Literal[
    "seed-by-rate", "parts-of-mixture", "sod-area", "sprigs-volume", "plugs-count", "nutrient-rate",
    "lime-rate", "depth-volume", "mass-rate", "per-area", "area", "edge", "count", "measure-first",
]  # fmt: skip


class Price(Row):
    """The values that hold the dated prices of a supply in one country."""

    country: Annotated[str, Field(pattern=r"^[a-z]{2}$")]
    low: ValueName
    high: ValueName


class Supply(Conditional):
    """A thing to buy: for which choices, how its amount is worked out, from which values, and what to ask the
    seller.

    Of the rows of one `group` the first that holds, and whose values have numbers, is bought. `main` is what
    the grass itself comes as. `tasks` are the tasks that use it; where there is a plan without any of them,
    it is not bought. `what` are the kinds of offer that are of it, `offered` keeps it to people who have such
    an offer. `share` is the fact of a part that says, in percent, how much of it the supply is for; all of it
    where no fact is named.
    """

    item: Sentence
    group: Key | None = None
    main: bool = False
    kind: Literal["material", "contractor"] = "material"
    remedies: Annotated[tuple[Remedy, ...], listed]
    methods: Keys = ()
    made_from: Words = Field(default=(), alias="made-from")
    variants: Keys = ()
    needs: Keys = ()
    tasks: Keys = ()
    what: Keys = ()
    offered: bool = False
    once: bool = False
    share: Key | None = None
    quantity: Quantity
    low: ValueName | None = None
    high: ValueName | None = None
    extra: ValueName | None = None
    extra_for: Keys = Field(default=(), alias="extra-for")
    spare_low: ValueName | None = Field(default=None, alias="spare-low")
    spare_high: ValueName | None = Field(default=None, alias="spare-high")
    analysis: Key | None = None
    phosphate: bool = True
    most_once: ValueName | None = Field(default=None, alias="most-once")
    density: ValueName | None = None
    mass: ValueName | None = None
    size: ValueName | None = None
    bushels: Key | None = None
    passes: ValueName | None = None
    passes_not_by: Keys = Field(default=(), alias="passes-not-by")
    pack: str = "pack"
    prices: Annotated[tuple[Price, ...], listed] = ()
    no_price: str = Field(default="", alias="no-price")
    lead: ValueName | None = None
    note: str = ""
    ask: str = ""
    ask_size: str = Field(default="", alias="ask-size")
    cautions: Keys = ()
    cautions_if: Keys = Field(default=(), alias="cautions-if")
    sources: Keys

    @property
    def values(self) -> tuple[str, ...]:
        """The values that it names, as written."""
        named = (
            self.low, self.high, self.extra, self.spare_low, self.spare_high, self.analysis, self.most_once,
            self.density, self.mass, self.size, self.bushels, self.passes, self.lead,
            *(name for price in self.prices for name in (price.low, price.high)),
        )  # fmt: skip
        return tuple(name for name in named if name is not None)


class Reckoning(Conditional):
    """Where one of the reckonings of the supplies holds."""

    sources: Keys
