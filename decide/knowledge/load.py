"""The knowledge folder, read strictly into typed tables; every mistake is an error with file, line and what to write instead."""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from graphlib import CycleError, TopologicalSorter
from pathlib import Path
from typing import Annotated, Any, Final, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, TypeAdapter, ValidationError

from decide.knowledge.texts import LOCALE, Language, TextRow, say
from decide.model.errors import DecideError, KnowledgeError, meant
from decide.model.files import data_folder
from decide.model.situation import HERBICIDE_CLASSES, METHODS, MONTHS, OFFER_KINDS, STEPS
from decide.model.toml_lines import Lines
from decide.model.units import convert, dimension, is_unit
from decide.model.version import VERSION

Seen = Literal["opened", "excerpt", "memory", "own"]
Level = Literal["low", "moderate", "high"]
MADE_FROM: Final = ("seed", "sod", "vegetative")
CLIMATES: Final = (
    "cool-humid",
    "cool-semi-arid",
    "transition",
    "warm-humid",
    "warm-arid",
    "tropical",
    "too-cold",
)
FITS: Final = ("fits", "marginal", "no")
FIXED_SOURCES: Final = ("common-practice", "memory", "calculated", "own-rule")


class Row(BaseModel):
    """A table of the knowledge: unknown keys are errors."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False)


Sentence = Annotated[str, Field(min_length=3)]
Key = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9.\-/]*$")]
_listed = BeforeValidator(lambda v: tuple(v) if isinstance(v, list) else v)
Words = Annotated[tuple[str, ...], _listed]
_Kinds = Annotated[tuple[Literal["seed", "sod", "vegetative", "standing"], ...], _listed]
Keys = Annotated[tuple[Key, ...], _listed]
Keys_ = Annotated[tuple[Annotated[str, Field(pattern=r"^[a-z][a-z0-9._]*$")], ...], _listed]


class Source(Row):
    """A publication, and how it was seen."""

    title: Sentence
    publisher: str
    year: Annotated[str, Field(pattern=r"^(\d{4}([-–]\d{2,4})?|undated)$")]
    seen: Seen
    where: str = ""
    note: str = ""


class Says(Row):
    """What one source says of one number."""

    source: Key
    value: float | int
    key: Key = ""
    unit: str = ""
    seen: Seen | None = None
    use: bool = False
    why: str = ""
    note: str = ""
    place: str = ""
    currency: str = ""
    year: str = ""


class ValueRow(Row):
    """A number, or a family of numbers by a key, with all that sources say of it."""

    meaning: Sentence
    unit: str
    by: str = ""
    says: Annotated[tuple[Says, ...], _listed]
    no_data: Keys = Field(default=(), alias="no-data")


class Conditional(Row):
    """A row that stands where all of `when` hold, and not all of `unless`."""

    when: Words = ()
    unless: Words = ()


class Unless(Row):
    """An exception to a rule, as written."""

    name: Key
    when: Words
    because: Sentence


class Bends(Row):
    """The stretch in which a rule's judgement goes over step by step: of which fact, and how wide.

    It leads up to the limit; with `beyond` it begins at the limit, and the rule itself speaks only from its end on.
    """

    fact: Key
    by: Sentence
    beyond: bool = False


class RuleRow(Row):
    """A rule, as written; decide.knowledge.compile makes a Rule of it.

    `sound-if` ends a sentence that begins with "sound if": what must hold for the rule not to speak. `bends` makes softer rules
    for the stretch before the limit.
    """

    id: Key
    about: Literal["site", "sign", "zone", "option", "step"]
    when: Words
    then: dict[str, str]
    because: Sentence
    sources: Keys
    unless: Annotated[tuple[Unless, ...], _listed] = ()
    sound_if: str = Field(default="", alias="sound-if")
    bends: Bends | None = None


class UsualRow(Row):
    """How a fact is read in the order of the options while nobody told it; the verdict names it all the same.

    With `by` the reading hangs on the level of another fact, and there is none at other levels. With `quiet` the order is
    silent on rules that hang on it.
    """

    is_: str | bool | float | int | dict[str, str | float | int] | None = Field(default=None, alias="is")
    by: Key = ""
    quiet: bool = False
    because: Sentence
    sources: Keys


class PartName(Row):
    """A kind of part that its own name tells: a word of it stands in the name."""

    words: Words
    unless: Words = ()
    sources: Keys


class MeanwhileRow(Conditional):
    """What is done with a part this season while its real remedy is not yet possible."""

    text: Sentence
    kind: Literal["cause", "season", "upkeep"]
    order: int
    sources: Keys


class FactRow(Row):
    """A fact that is measured or concluded, as declared; `members` are its `.member` facts, if it has any.

    `changeable` says that the person can change the answers behind it, in its declared steps; `asked` are the keys whose
    answers bring it.
    """

    meaning: Sentence
    kind: Literal["measured", "derived", "diagnosis"]
    type: Literal["number", "level", "true"] = "true"
    unit: str = ""
    levels: Words = ()
    range: Annotated[tuple[float | int, ...], _listed] = ()
    step: float | int | None = None
    members: Words = ()
    changeable: bool = False
    asked: Keys_ = ()


class Grass(Row):
    """A grass: names and classes, no numbers."""

    name: str
    also: Words = ()
    season_type: Literal["cool", "warm"] = Field(alias="season-type")
    habit: Literal["spreading", "bunch"]
    spread_by: Words = Field(default=(), alias="spread-by")
    sport: Literal["yes", "margins", "no", "cover-only"]
    wear: Level
    recovery: Level
    shade: Level
    salt: Level
    drought: Level
    cold: Level
    heat: Level
    life: Literal["perennial", "annual"]
    blends: Keys = ()
    made_by: Keys = Field(alias="from")
    climates: dict[str, Literal["fits", "marginal", "no"]]
    sources: dict[str, Keys]
    note: str = ""


class Share(Row):
    """A part of a mixture; `share` names the value that holds its percent by weight."""

    grass: Key
    share: Key


class Mixture(Row):
    """A mixture of species by weight."""

    name: str
    also: Words = ()
    parts: Annotated[tuple[Share, ...], _listed]
    stands_as: Key = Field(alias="stands-as")
    limit: str = ""
    sources: Keys


class MethodStep(Conditional):
    """One step of the work; in the table a plain text, or a text with when it is said and when not."""

    text: Sentence


_Steps = Annotated[
    tuple[MethodStep, ...],
    BeforeValidator(
        lambda steps: (
            tuple({"text": step} if isinstance(step, str) else step for step in steps)
            if isinstance(steps, list)
            else steps
        )
    ),
]


class MethodRow(Row):
    """A way to establish grass; every entry of `needs_machine` is needed, any one of a list inside it will do."""

    name: str
    also: Words = ()
    made_from: Literal["seed", "sod", "vegetative"] = Field(alias="made-from")
    needs_machine: Annotated[tuple[str | list[str], ...], _listed] = Field(default=(), alias="needs-machine")
    by_hand: Literal["yes", "small-areas", "no"] = Field(alias="by-hand")
    disturbs: str
    season_types: Words = Field(alias="season-types")
    slope_holding: Level = Field(alias="slope-holding")
    cost_class: Literal["cheap", "low", "middle", "dear", "dearest"] = Field(alias="cost-class")
    cost_currency: str = Field(default="USD", alias="cost-currency")
    cover_needed: str = Field(default="none", alias="cover-needed")
    variants: Words = ("plain",)
    steps: _Steps = ()
    fails_when: str = Field(default="", alias="fails-when")
    sources: dict[str, Keys]

    @property
    def machines(self) -> tuple[tuple[str, ...], ...]:
        """The machines that are needed: one of each group."""
        return tuple((need,) if isinstance(need, str) else tuple(need) for need in self.needs_machine)


class Variant(Row):
    """A way to vary a method: on purpose dormant, over standing grass in winter, or with seed started before."""

    name: str
    methods: Words
    grasses: Words
    text: Sentence
    sources: Keys


class Tool(Row):
    """A machine or a tool."""

    name: str
    also: Words = ()
    does: str
    sources: Keys


class Sport(Row):
    """A kind of sports ground: who plays on it and where play wears it first."""

    name: str
    also: Words = ()
    sport: Key
    kind: Literal["adult", "youth", "keep-off"] = Field(alias="class")
    goals: bool = True
    wears_first: Words = Field(default=(), alias="wears-first")
    sources: Keys


class CautionRow(Row):
    """A danger or a legal duty, and who decides."""

    text: Sentence
    who_decides: Sentence = Field(alias="who-decides")
    order: int = 5
    sources: Keys


class Need(Row):
    """A step or a means that must come with the choice."""

    text: Sentence
    sources: Keys
    order: int = 5


class CauseRow(Row):
    """A cause of bare ground."""

    name: str
    fact: Key
    look_at: Sentence = Field(alias="look-at")
    mend_first: Sentence = Field(alias="mend-first")
    bare_again_unless: Sentence = Field(alias="will-be-bare-again-unless")
    sources: Keys
    order: int = 5


class Word(Row):
    """A word of the trade, explained."""

    also: Words = ()
    meaning: Sentence
    sources: Keys = ()


class Check(Row):
    """A test that says whether the ground may be opened."""

    check: Sentence
    how: Sentence
    who: Literal["volunteer", "instrument"]
    rule: Literal["at-least", "at-most", "none-may"]
    pass_light: str = Field(default="", alias="pass-light")
    pass_full: str = Field(default="", alias="pass-full")
    spots: str = ""
    holds: str
    counts: Keys = ()
    made_from: _Kinds = Field(alias="made-from")
    methods: Words = ()
    sources: Keys


class Sign(Row):
    """A sign of failure, what to do about it today, and what the season hangs on; `mended_by` are entries that settle it."""

    sign: Sentence
    look_at: Sentence = Field(alias="look-at")
    do: Sentence
    saved_if: Sentence = Field(alias="saved-if")
    lost_if: Sentence = Field(alias="lost-if")
    mended_by: Keys = Field(default=(), alias="mended-by")
    made_from: Words = Field(alias="made-from")
    stage: Literal["start", "grow", "play", "any"]
    sources: Keys


class Choice(Row):
    """One answer that a question offers."""

    value: str | bool | int | float | list[str]
    say: Words = ()
    name: str = ""


class Only(Row):
    """A question is asked only where an earlier answer is this."""

    key: str
    holds: str | bool | list[str | bool] = Field(alias="is")


class Question(Row):
    """A question of the talk; `changeable` says that the answer is in the person's own hands, not in those of place or past."""

    key: str
    id: Key = ""
    ask: Sentence
    why: Sentence
    kind: str
    choices: Annotated[tuple[Choice, ...], _listed] = ()
    unit: str = ""
    help: str = ""
    always: bool = False
    only_if: Annotated[tuple[Only, ...], _listed] = Field(default=(), alias="only-if")
    order: int
    details: bool = False
    changeable: bool = False


class OrderRow(Row):
    """The stated order of the criteria; the first `before-wishes` of them stand before any wish."""

    criteria: Keys
    before_wishes: int = Field(default=0, alias="before-wishes", ge=0)
    sources: Keys


class WishRow(Row):
    """Which criterion a wish is about."""

    criterion: Key


class Better(Conditional):
    """What would be better than a step that is not sound; `step` names one step or several."""

    step: Key | Keys
    text: Sentence
    sources: Keys
    order: int = 5


Stage = Literal["before", "clear", "bed", "establish", "grow", "open", "keep"]
Remedy = Literal[
    "recover", "establish", "carry-on", "use-less", "mend-first", "move-play", "call-expert", "wait"
]
Event = Literal[
    "today", "start", "wetting", "emergence", "rooted", "first-cut", "cover", "light-use", "full-play", "full-fixtures", "recovered", "growing", "growth",
]  # fmt: skip
Who = Literal["volunteer", "licensed-person", "contractor", "owner", "laboratory", "utility-service"]
ValueName = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9\-]*(\[[a-z][a-z0-9.\-]*\])?$")]


class After(Row):
    """A task that another waits for, and the days from its end."""

    task: Key
    wait: ValueName | None = None


class TaskTemplate(Conditional):
    """A task of the plan, without its dates; every day, hour and amount is the name of a value."""

    title: Sentence
    text: Sentence
    stage: Stage
    remedies: Annotated[tuple[Remedy, ...], _listed]
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
    before_start: ValueName | None = Field(default=None, alias="before-start")
    lead: ValueName | None = None
    lead_fact: Key = Field(default="", alias="lead-fact")
    lead_offer: bool = Field(default=False, alias="lead-offer")
    after: Annotated[tuple[After, ...], _listed] = ()
    starts: bool = False
    holds: bool = True
    shut: bool = False
    grows: bool = False
    once: bool = False
    feeds: ValueName | None = None
    hours_low: ValueName | None = Field(default=None, alias="hours-low")
    hours_high: ValueName | None = Field(default=None, alias="hours-high")
    tools: Keys = ()
    who: Who
    cautions: Keys = ()
    cautions_if: Keys = Field(default=(), alias="cautions-if")
    sources: Keys

    @property
    def values(self) -> tuple[str, ...]:
        """The values that it names, as written."""
        named = (
            self.from_,
            self.last,
            self.days,
            self.every,
            self.soonest,
            self.before_start,
            self.lead,
            self.feeds,
            self.hours_low,
            self.hours_high,
        )
        return tuple(name for name in (*named, *(each.wait for each in self.after)) if name is not None)


class WaterStage(Row):
    """How new ground is watered from one day of it to another."""

    stage: Sentence
    made_from: _Kinds = Field(alias="made-from")
    opens: Event
    after_opening: bool = Field(default=False, alias="after-opening")
    closes: Event
    kind: Literal["wet", "once", "deep"]
    share: ValueName | None = None
    roots: ValueName | None = None
    times_low: ValueName | None = Field(default=None, alias="times-low")
    times_high: ValueName | None = Field(default=None, alias="times-high")
    hot_low: ValueName | None = Field(default=None, alias="hot-low")
    hot_high: ValueName | None = Field(default=None, alias="hot-high")
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
            self.times_low,
            self.times_high,
            self.hot_low,
            self.hot_high,
            self.least,
            self.most,
        )
        return tuple(name for name in named if name is not None)


class YearTask(Conditional):
    """What is done in the months of a year that grow so, with play or without."""

    title: Sentence
    text: Sentence
    season: Literal["cool", "warm", "any"] = "any"
    grows: Annotated[tuple[Literal["none", "some", "hard", "stress"], ...], _listed]
    play: Literal["in", "out", "any"]
    window: bool = False
    only_without: Key = Field(default="", alias="only-without")
    cautions: Keys = ()
    cautions_if: Keys = Field(default=(), alias="cautions-if")
    sources: Keys


# What one supply's amount is worked out by; the arithmetic of each is in decide.plan.buy.
Quantity = Literal[
    "seed-by-rate", "parts-of-mixture", "sod-area", "sprigs-volume", "plugs-count", "nutrient-rate", "lime-rate", "depth-volume", "mass-rate", "per-area",
    "area", "edge", "count", "measure-first",
]  # fmt: skip


class Price(Row):
    """The values that hold the dated prices of a supply in one country."""

    country: Annotated[str, Field(pattern=r"^[a-z]{2}$")]
    low: ValueName
    high: ValueName


class Supply(Conditional):
    """A thing to buy: for which choices, how its amount is worked out, from which values, and what to ask the seller.

    Of the rows of one `group` the first that holds, and whose values have numbers, is bought. `main` is what the grass
    itself comes as. `tasks` are the tasks that use it; where there is a plan without any of them, it is not bought.
    `what` are the kinds of offer that are of it, `offered` keeps it to people who have such an offer. `share` is the fact
    of a part that says, in percent, how much of it the supply is for; all of it where no fact is named.
    """

    item: Sentence
    group: Key | None = None
    main: bool = False
    kind: Literal["material", "contractor"] = "material"
    remedies: Annotated[tuple[Remedy, ...], _listed]
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
    patches_low: ValueName | None = Field(default=None, alias="patches-low")
    patches_high: ValueName | None = Field(default=None, alias="patches-high")
    pack: str = "pack"
    prices: Annotated[tuple[Price, ...], _listed] = ()
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
            self.low, self.high, self.extra, self.spare_low, self.spare_high, self.analysis, self.most_once, self.density, self.mass, self.size,
            self.bushels, self.passes, self.patches_low, self.patches_high, self.lead, *(name for price in self.prices for name in (price.low, price.high)),
        )  # fmt: skip
        return tuple(name for name in named if name is not None)


class Patches(Conditional):
    """When the bare patches of a part can be told apart from turf that is kept."""

    sources: Keys


DayText = Annotated[str, Field(pattern=r"^(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$")]


class RegionalWindow(Row):
    """A local time in print that differs from what climate explains: where, for what, from when to when (MM-DD, both counted).

    `regions` are codes of a country or region ("au", "us-va"); `centre` is latitude and longitude, with `radius_km` round
    it. Where both are given both hold. `part` says which half of the year it speaks of: spring runs from the coldest to
    the hottest day. `quality` is best, or second where the page calls it a second choice.
    """

    id: Key
    regions: Keys = ()
    centre: Annotated[tuple[float, ...], _listed] = ()
    radius_km: float | int | None = Field(default=None, alias="radius-km")
    grasses: Keys
    starts: Annotated[tuple[Literal["seed", "sod", "thick-sod", "sprigs", "plugs"], ...], _listed]
    part: Literal["spring", "autumn", "year"]
    opens: DayText
    closes: DayText
    quality: Literal["best", "second"]
    note: Sentence
    sources: Keys


class EdgeRow(Row):
    """Why a window opens or closes, or why there is none; a sentence with holes for figures of the day and place."""

    of: Literal["edge", "none"]
    says: Sentence


EDGE_HOLES: Final = ("warmth", "last-frost", "first-frost", "weeks")


@dataclass(frozen=True, slots=True)
class Statement:
    """A number as one source gives it, in the value's unit; `used` where it is the one in use."""

    value: str
    key: str
    amount: float
    printed: float
    unit: str
    source: str
    seen: Seen
    used: bool
    why: str
    note: str
    place: str = ""
    currency: str = ""
    year: str = ""

    @property
    def published_price(self) -> bool:
        """Whether a source prints it with its year: nothing that is remembered or of our own making."""
        return self.seen in ("opened", "excerpt", "own") and self.source != "own-rule" and bool(self.year)


@dataclass(frozen=True, slots=True)
class Value:
    """A value: its unit, its statements, and the number in use for each key ("" for a single number)."""

    name: str
    meaning: str
    unit: str
    by: str
    statements: tuple[Statement, ...]
    used: Mapping[str, Statement]
    no_data: tuple[str, ...]
    subject: str
    where: str


@dataclass(frozen=True)
class Knowledge:
    """All that the knowledge folder says. `where` gives file and line of a row, by table and code."""

    folder: Path
    sources: Mapping[str, Source]
    values: Mapping[str, Value]
    facts: Mapping[str, FactRow]
    rules: tuple[RuleRow, ...]
    grasses: Mapping[str, Grass]
    mixtures: Mapping[str, Mixture]
    methods: Mapping[str, MethodRow]
    variants: Mapping[str, Variant]
    equipment: Mapping[str, Tool]
    fields: Mapping[str, Sport]
    cautions: Mapping[str, CautionRow]
    needs: Mapping[str, Need]
    causes: Mapping[str, CauseRow]
    words: Mapping[str, Word]
    opening: Mapping[str, Check]
    rescue: Mapping[str, Sign]
    better: Mapping[str, Better]
    usual: Mapping[str, UsualRow]
    meanwhile: Mapping[str, MeanwhileRow]
    parts: Mapping[str, PartName]
    windows: Mapping[str, RegionalWindow]
    edges: Mapping[str, EdgeRow]
    questions: tuple[Question, ...]
    order: tuple[str, ...]
    before_wishes: int
    wishes: Mapping[str, str]
    tasks: Mapping[str, TaskTemplate] = field(default_factory=dict)
    watering: Mapping[str, WaterStage] = field(default_factory=dict)
    year: Mapping[str, YearTask] = field(default_factory=dict)
    supplies: Mapping[str, Supply] = field(default_factory=dict)
    patches: Patches | None = None
    texts: Mapping[str, TextRow] = field(default_factory=dict)
    locale: str = LOCALE
    where: Mapping[tuple[str, str], str] = field(default_factory=dict)
    digest: str = ""
    version: str = ""

    def value(self, name: str, key: str = "") -> float | None:
        """The number in use of value `name` (for `key`, in a family), in the value's unit; None where there is no data."""
        statement = self.statement(name, key)
        return None if statement is None else statement.amount

    def statement(self, name: str, key: str = "") -> Statement | None:
        """The statement in use of value `name` for `key`; KnowledgeError where there is no such value."""
        if name not in self.values:
            raise KnowledgeError(f"there is no value {name!r}", instead=meant(name, self.values))
        return self.values[name].used.get(key)

    def text(self, code: str, /, **words: str | float) -> str:
        """The sentence `code` with its holes filled, numbers worded; DecideError where there is none, or a hole is left open."""
        return say(self.texts, self.locale, code, words)

    @cached_property
    def plants(self) -> Mapping[str, str]:
        """Every name of a grass or mixture, as a code, with the code that it stands for."""
        from decide.model.situation import coded

        names: dict[str, str] = {}
        plants: list[tuple[str, Grass | Mixture]] = [*self.grasses.items(), *self.mixtures.items()]
        for code, row in plants:
            for name in (code, row.name, *row.also):
                names.setdefault(coded(name), code)
        return names


_TABLES: Final[Mapping[str, type[Row]]] = {
    "grasses": Grass, "mixtures": Mixture, "equipment": Tool, "fields": Sport, "cautions": CautionRow, "needs": Need,
    "causes": CauseRow, "words": Word, "better": Better,
}  # fmt: skip


def _plain(error: Mapping[str, Any], row: type[BaseModel]) -> tuple[str, str]:
    """A validation error of a row in words: what is wrong, and what to write instead."""
    kind, loc = error["type"], error["loc"]
    # A field of two types adds the name of the type that was tried.
    if loc and loc[-1] in ("float", "int", "str", "bool"):
        loc = loc[:-1]
    name = ".".join(str(part) for part in loc)
    ctx = error.get("ctx") or {}
    known = [f.alias or key for key, f in row.model_fields.items()]
    if kind == "extra_forbidden":
        return f"unknown key {name!r}", meant(str(loc[-1]), known)
    if kind == "missing":
        return f"{name!r} is missing", f"Write {name} = …"
    if kind == "literal_error":
        return f"{name} is {error.get('input')!r}", f"Write one of: {ctx.get('expected', '')}".replace(
            "'", ""
        )
    if kind == "finite_number":
        return f"{name} is not a finite number", "Write a plain number"
    if kind in ("float_type", "int_type"):
        return f"{name} is {error.get('input')!r}, not a number", "Write a plain number"
    if kind == "string_type":
        shown = error.get("input")
        return f"{name} is {str(shown)!r}, not a text", "Write it in quotes"
    if kind == "string_pattern_mismatch":
        return f"{name} is {error.get('input')!r}", "It does not have the form " + str(ctx.get("pattern", ""))
    return f"{name}: {str(error['msg']).lower()}", ""


class _Folder:
    """One knowledge folder while it is read."""

    def __init__(self, folders: Iterable[Path]) -> None:
        self.folders = tuple(folders)
        self.where: dict[tuple[str, str], str] = {}
        self.texts: list[tuple[str, str]] = []

    def files(self, pattern: str) -> Iterator[tuple[str, dict[str, Any], Lines]]:
        for folder in self.folders:
            for path in sorted(folder.glob(pattern)):
                name = path.relative_to(folder).as_posix()
                try:
                    text = path.read_text(encoding="utf-8")
                except UnicodeDecodeError:
                    raise KnowledgeError(
                        "this is not UTF-8 text", where=name, instead="Save it as UTF-8"
                    ) from None
                self.texts.append((name, text))
                try:
                    data = tomllib.loads(text)
                except tomllib.TOMLDecodeError as error:
                    line = re.search(r"line (\d+)", str(error))
                    said = re.sub(r"\s*\(at .*\)$", "", str(error))
                    raise KnowledgeError(
                        f"not TOML: {said}", where=f"{name}:{line[1]}" if line else name
                    ) from None
                lines = Lines(text)
                for header in data:
                    if not any(path[:1] == (header,) for path in lines.at):
                        raise KnowledgeError(
                            f"the header of {header!r} is written in a way that gives no line",
                            where=name,
                            instead=f"Write [{header}]",
                        )
                yield name, data, lines

    def table(
        self,
        table: str,
        pattern: str,
        row: type[BaseModel],
        *,
        inside: str = "",
        without: str = "",
        only: str = "",
    ) -> dict[str, Any]:
        adapter = TypeAdapter(row)
        out: dict[str, Any] = {}
        for name, data, lines in self.files(pattern):
            top = (
                data.get(inside, {})
                if inside
                else {key: raw for key, raw in data.items() if key != without and only in ("", key)}
            )
            for code, raw in self._rows(top, row):
                path = ((inside,) if inside else ()) + tuple(code.split("."))
                where = f"{name}:{lines.find(path)}"
                if code in out:
                    raise KnowledgeError(
                        f"{code!r} stands twice",
                        where=where,
                        instead=f"The other is at {self.where[table, code]}",
                    )
                out[code] = self._row(adapter, row, raw, where, lines, path, name)
                self.where[table, code] = where
        return out

    def _rows(self, top: Mapping[str, Any], row: type[BaseModel]) -> Iterator[tuple[str, Any]]:
        """Rows of a table; [site.water] is one row called "site.water", however TOML nests it."""
        known = {f.alias or key for key, f in row.model_fields.items()}
        for code, raw in top.items():
            if row in (FactRow, UsualRow) and isinstance(raw, dict):
                inner = {key: deep for key, deep in raw.items() if isinstance(deep, dict) and key != "is"}
                own = {key: deep for key, deep in raw.items() if key not in inner}
                if own or not inner:
                    yield code, own
                for name, deep in self._rows(inner, row):
                    yield f"{code}.{name}", deep
            elif (
                isinstance(raw, dict)
                and raw
                and not (set(raw) & known)
                and all(isinstance(deep, dict) for deep in raw.values())
            ):
                for name, deep in self._rows(raw, row):
                    yield f"{code}.{name}", deep
            else:
                yield code, raw

    def _row(
        self,
        adapter: TypeAdapter[Any],
        row: type[BaseModel],
        raw: Any,
        where: str,
        lines: Lines,
        path: tuple[Any, ...],
        name: str,
    ) -> Any:
        try:
            return adapter.validate_python(raw)
        except ValidationError as error:
            first = error.errors(include_url=False)[0]
            wrong, instead = _plain(first, row)
            line = lines.find((*path, *first["loc"]))
            raise KnowledgeError(
                f"{'.'.join(str(p) for p in path)}: {wrong}",
                where=f"{name}:{line}" if line else where,
                instead=instead,
            ) from None

    def array(self, table: str, pattern: str, header: str, row: type[BaseModel]) -> list[Any]:
        adapter = TypeAdapter(row)
        out: list[Any] = []
        for name, data, lines in self.files(pattern):
            for key in data:
                if key != header:
                    raise KnowledgeError(
                        f"unknown table {key!r}",
                        where=f"{name}:{lines.find((key,)) or lines.find((key, 0))}",
                        instead=f"Write [[{header}]]",
                    )
            for position, raw in enumerate(data.get(header, [])):
                path = (header, position)
                where = f"{name}:{lines.find(path)}"
                made = self._row(adapter, row, raw, where, lines, path, name)
                code = getattr(made, "id", "") or str(len(out))
                if (table, code) in self.where:
                    raise KnowledgeError(
                        f"{table} {code!r} stands twice",
                        where=where,
                        instead=f"The other is at {self.where[table, code]}",
                    )
                self.where[table, code] = where
                out.append(made)
        return out


def _families(grasses: Mapping[str, Any], mixtures: Mapping[str, Any]) -> dict[str, tuple[str, ...]]:
    plants = (*grasses, *mixtures)
    methods = METHODS
    kinds = ("seed", "sod", "thick-sod", "sprigs", "plugs")
    return {
        "grass": plants,
        "method": methods,
        "grass-start": tuple(f"{plant}/{kind}" for plant in plants for kind in kinds),
        "climate": CLIMATES,
        "herbicide": HERBICIDE_CLASSES,
        "month": MONTHS,
        "soil": ("sand", "loam", "clay"),
        "made-from": MADE_FROM,
    }


def _value(
    name: str,
    row: ValueRow,
    where: str,
    subject: str,
    sources: Mapping[str, Source],
    families: Mapping[str, tuple[str, ...]],
) -> Value:
    def wrong(text: str, instead: str = "") -> KnowledgeError:
        return KnowledgeError(f"value {name!r}: {text}", where=where, instead=instead)

    if not is_unit(row.unit):
        try:
            convert(1, row.unit, row.unit)
        except DecideError as error:
            raise wrong(error.wrong, error.instead) from None
    if not row.says:
        raise wrong("says nothing", "Write at least one row with its source")
    known = families.get(row.by, ())
    by_key: dict[str, list[Says]] = {}
    for said in row.says:
        if bool(said.key) != bool(row.by):
            raise wrong(
                "a row has a key but the value has no `by`" if said.key else "a row has no key",
                f"The value is by {row.by!r}" if row.by else "Write by = …",
            )
        if known and said.key not in known:
            raise wrong(f"{said.key!r} is not a {row.by}", meant(said.key, known))
        if said.source not in sources:
            raise wrong(f"there is no source {said.source!r}", meant(said.source, sources))
        if not math.isfinite(said.value):
            raise wrong("holds a number that is not finite")
        by_key.setdefault(said.key, []).append(said)
    for key in row.no_data:
        if known and key not in known:
            raise wrong(f"no-data names {key!r}, which is not a {row.by}", meant(key, known))
        if key in by_key:
            raise wrong(f"{key!r} has a number and stands under no-data too", "Take it out of one of them")
    statements: list[Statement] = []
    used: dict[str, Statement] = {}
    for key, rows in by_key.items():
        chosen = rows if len(rows) == 1 else [said for said in rows if said.use]
        label = f" for {key!r}" if key else ""
        if len(chosen) != 1:
            raise wrong(
                f"{len(chosen)} of {len(rows)} rows{label} are in use", "Mark exactly one with use = true"
            )
        if len(rows) > 1 and not chosen[0].why:
            raise wrong(
                f"the row in use{label} does not say why it was chosen", 'Write why = "…" beside use = true'
            )
        for said in rows:
            unit = said.unit or row.unit
            try:
                amount = convert(float(said.value), unit, row.unit)
            except DecideError as error:
                raise wrong(f"a row{label} is in {unit!r}: {error.wrong}", error.instead) from None
            made = Statement(
                name, key, amount, float(said.value), unit, said.source, said.seen or sources[said.source].seen, said is chosen[0], said.why, said.note,
                said.place, said.currency, said.year,
            )  # fmt: skip
            statements.append(made)
            if made.used:
                used[key] = made
    return Value(name, row.meaning, row.unit, row.by, tuple(statements), used, row.no_data, subject, where)


def _ordered(values: Mapping[str, Value]) -> None:
    """A range is two values; its low end is not above its high end."""
    for low, high in (("-low", "-high"), ("-early", "-late")):
        for name, value in values.items():
            other = values.get(name.removesuffix(low) + high) if name.endswith(low) else None
            if other is None or other.unit != value.unit:
                continue
            for key, statement in value.used.items():
                top = other.used.get(key)
                if top is not None and statement.amount > top.amount:
                    label = f" for {key!r}" if key else ""
                    raise KnowledgeError(
                        f"value {name!r}{label} ({statement.amount:g}) is above {other.name!r} ({top.amount:g})",
                        where=value.where,
                        instead="Write the smaller number at the low end",
                    )


def knowledge_folder() -> Path:
    """The folder that travels with the package, or the checkout's own."""
    return data_folder()


def read_knowledge(*folders: Path | str) -> Knowledge:
    """The knowledge of `folders` (of the package's own where none is given), each adding to those before it."""
    from hashlib import sha256

    paths = [Path(folder) for folder in folders] or [knowledge_folder()]
    for path in paths:
        if not path.is_dir():
            raise KnowledgeError("there is no such folder", where=str(path))
    read = _Folder(paths)
    sources: dict[str, Source] = read.table("source", "sources.toml", Source)
    for code in FIXED_SOURCES:
        if code not in sources:
            raise KnowledgeError(
                f"the source {code!r} is missing", where="sources.toml", instead=f"Write [{code}]"
            )
    tables = {name: read.table(name, f"{name}.toml", row) for name, row in _TABLES.items()}
    methods = read.table("method", "methods.toml", MethodRow, without="variants")
    variants = read.table("variant", "methods.toml", Variant, inside="variants")
    families = _families(tables["grasses"], tables["mixtures"])
    values: dict[str, Value] = {}
    for name, row in read.table("value", "values/*.toml", ValueRow).items():
        where = read.where["value", name]
        subject = where.partition(":")[0].removeprefix("values/").removesuffix(".toml")
        values[name] = _value(name, row, where, subject, sources, families)
    _ordered(values)
    knowledge = Knowledge(
        folder=paths[0],
        sources=sources,
        values=values,
        facts=read.table("fact", "facts.toml", FactRow),
        rules=tuple(read.array("rule", "rules/*.toml", "rule", RuleRow)),
        grasses=tables["grasses"],
        mixtures=tables["mixtures"],
        methods=methods,
        variants=variants,
        equipment=tables["equipment"],
        fields=tables["fields"],
        cautions=tables["cautions"],
        needs=tables["needs"],
        causes=tables["causes"],
        words=tables["words"],
        opening=read.table("opening", "care/opening.toml", Check),
        rescue=read.table("rescue", "care/rescue.toml", Sign),
        better=tables["better"],
        usual=read.table("usual", "usual.toml", UsualRow),
        parts=read.table("part", "parts.toml", PartName),
        meanwhile=read.table("meanwhile", "meanwhile.toml", MeanwhileRow),
        windows={row.id: row for row in read.array("window", "windows.toml", "window", RegionalWindow)},
        edges=read.table("edge", "edges.toml", EdgeRow),
        questions=tuple(read.array("question", "questions.toml", "question", Question)),
        order=(order := _order(read.table("order", "weighing.toml", OrderRow, only="order"))).criteria,
        before_wishes=order.before_wishes,
        wishes={
            code: row.criterion
            for code, row in read.table("wish", "weighing.toml", WishRow, inside="wish").items()
        },
        tasks=read.table("task", "care/tasks.toml", TaskTemplate),
        watering=read.table("watering", "care/watering.toml", WaterStage),
        year=read.table("year", "care/year.toml", YearTask),
        supplies=read.table("supply", "care/supplies.toml", Supply, without="patches"),
        texts=read.table("text", "texts/*.toml", TextRow, without="language"),
        locale=next(
            iter(read.table("language", "texts/*.toml", Language, only="language").values()), Language()
        ).locale,
        patches=read.table("patches", "care/supplies.toml", Patches, only="patches").get("patches"),
        where=read.where,
        digest=sha256("\n".join(f"{name}\n{text}" for name, text in sorted(read.texts)).encode()).hexdigest()[
            :16
        ],
        version=VERSION,
    )
    _check(knowledge)
    return knowledge


def _order(rows: Mapping[str, OrderRow]) -> OrderRow:
    if "order" not in rows:
        raise KnowledgeError(
            "the order of the criteria is missing",
            where="weighing.toml",
            instead="Write [order] with criteria = […]",
        )
    return rows["order"]


def _check_windows(k: Knowledge) -> None:
    """Local windows name what there is and where they hold; reasons of edges have no hole that nobody fills."""
    for code, row in k.windows.items():
        where = k.where["window", code]
        for words, known, what in ((row.grasses, k.grasses, "grass"), (row.sources, k.sources, "source")):
            for word in words:
                if word not in known:
                    raise KnowledgeError(
                        f"{code}: {word!r} is not a {what}", where=where, instead=meant(word, known)
                    )
        if not row.regions and not row.centre:
            raise KnowledgeError(
                f"{code}: it does not say where it holds",
                where=where,
                instead="Write regions, or centre and radius-km",
            )
        if bool(row.centre) != (row.radius_km is not None) or len(row.centre) not in (0, 2):
            raise KnowledgeError(
                f"{code}: the place is half told",
                where=where,
                instead="Write centre = [latitude, longitude] and radius-km",
            )
        for name, text in (("opens", row.opens), ("closes", row.closes)):
            month, day = (int(part) for part in text.split("-"))
            if day > (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)[month - 1]:
                raise KnowledgeError(
                    f"{code}: {name} is {text!r}, a day that no common year has",
                    where=where,
                    instead="Write month and day, as 08-15",
                )
    for code, edge in k.edges.items():
        for hole in re.findall(r"\{([^}]*)\}", edge.says):
            if hole not in EDGE_HOLES:
                raise KnowledgeError(
                    f"{code}: {{{hole}}} is not a figure of a window",
                    where=k.where["edge", code],
                    instead=meant(hole, EDGE_HOLES),
                )


def _check(k: Knowledge) -> None:
    """Names that one table uses of another must be there."""

    def named(table: str, code: str, word: str, known: Iterable[str], what: str) -> None:
        names = list(known)
        if word not in names:
            raise KnowledgeError(
                f"{code}: {word!r} is not a {what}",
                where=k.where.get((table, code), ""),
                instead=meant(word, names),
            )

    for code, grass in k.grasses.items():
        for word in grass.made_by:
            named("grasses", code, word, k.methods, "method")
        for word in grass.climates:
            named("grasses", code, word, CLIMATES, "climate")
        for word in CLIMATES:
            if word not in grass.climates:
                raise KnowledgeError(
                    f"{code}: climates say nothing of {word!r}",
                    where=k.where["grasses", code],
                    instead="Write fits, marginal or no",
                )
        for keys in grass.sources.values():
            for word in keys:
                named("grasses", code, word, k.sources, "source")
    for code, mixture in k.mixtures.items():
        named("mixtures", code, mixture.stands_as, k.grasses, "grass")
        for part in mixture.parts:
            named("mixtures", code, part.grass, k.grasses, "grass")
            named("mixtures", code, part.share, k.values, "value")
    for code, method in k.methods.items():
        for keys in method.sources.values():
            for word in keys:
                named("method", code, word, k.sources, "source")
        for group in method.machines:
            for word in group:
                named("method", code, word, k.equipment, "machine")
    tables: tuple[tuple[str, Mapping[str, Any]], ...] = (
        ("mixtures", k.mixtures), ("variant", k.variants), ("equipment", k.equipment), ("fields", k.fields),
        ("cautions", k.cautions), ("needs", k.needs), ("causes", k.causes), ("opening", k.opening), ("rescue", k.rescue), ("better", k.better), ("usual", k.usual), ("meanwhile", k.meanwhile), ("part", k.parts),
        ("task", k.tasks), ("watering", k.watering), ("year", k.year), ("supply", k.supplies),
    )  # fmt: skip
    for table, rows in tables:
        for code, row in rows.items():
            for word in row.sources:
                named(table, code, word, k.sources, "source")
    _check_windows(k)
    for rule in k.rules:
        for word in rule.sources:
            named("rule", rule.id, word, k.sources, "source")
        if not rule.sources:
            raise KnowledgeError(
                f"rule {rule.id!r} has no source",
                where=k.where["rule", rule.id],
                instead='Write sources = ["…"]',
            )
    for code, check in k.opening.items():
        for word in (check.pass_light, check.pass_full, check.spots, check.holds):
            if word:
                named("opening", code, word, k.values, "value")
        _units(k, "opening", code, (check.holds,), ("time",))
        for word in check.counts:
            named("opening", code, word, (*k.tasks, *STEPS), "task or step")
    for code, sign in k.rescue.items():
        for word in sign.mended_by:
            named("rescue", code, word, (*k.tasks, *STEPS), "task or step")
    _check_plan(k, named)
    _check_supplies(k, named)


def _check_plan(k: Knowledge, named: Callable[[str, str, str, Iterable[str], str], None]) -> None:
    """Tasks, water stages and the year name only what there is, in units that fit, and no task waits for itself."""
    for code, task in k.tasks.items():
        where = k.where["task", code]
        for words, known, what in (
            (task.methods, k.methods, "method"), (task.variants, ("plain", *k.variants), "variant"), (task.made_from, MADE_FROM, "way of being made"),
            (task.needs, k.needs, "need"), (task.tools, k.equipment, "tool"), ([each.task for each in task.after], k.tasks, "task"),
        ):  # fmt: skip
            for word in words:
                named("task", code, word, known, what)
        days = (
            task.from_,
            task.last,
            task.days,
            task.every,
            task.soonest,
            task.before_start,
            task.lead,
            *(each.wait for each in task.after),
        )
        _units(k, "task", code, days, ("time",))
        _units(k, "task", code, (task.hours_low, task.hours_high), ("labour", "hour"))
        _units(k, "task", code, (task.feeds,), ("rate",))
        if (task.hours_low is None) != (task.hours_high is None):
            raise KnowledgeError(
                f"{code}: hours have one end only",
                where=where,
                instead="Write hours-low and hours-high, or neither",
            )
        if task.anchor != "today" and (task.soonest or task.before_start or task.lead):
            raise KnowledgeError(
                f"{code}: soonest, before-start and lead are for tasks before the start",
                where=where,
                instead='Write anchor = "today", or take them out',
            )
        if task.starts and task.anchor != "start":
            raise KnowledgeError(
                f"{code}: what starts a plan hangs on another day than the start",
                where=where,
                instead='Write anchor = "start"',
            )
    graph = {code: [each.task for each in task.after] for code, task in k.tasks.items()}
    try:
        tuple(TopologicalSorter(graph).static_order())
    except CycleError as error:
        ring: list[str] = error.args[1]
        raise KnowledgeError(
            f"tasks wait for one another: {' before '.join(ring)}",
            where=k.where["task", ring[0]],
            instead="Take one `after` out",
        ) from None
    for code, stage in k.watering.items():
        _units(k, "watering", code, (stage.share,), ("share",))
        _units(k, "watering", code, (stage.roots, stage.least, stage.most), ("length",))
        _units(
            k,
            "watering",
            code,
            (stage.times_low, stage.times_high, stage.hot_low, stage.hot_high),
            ("visits", "count"),
        )
    for code, row in k.year.items():
        if row.only_without:
            named("year", code, row.only_without, k.year, "row of the year")
    tables: tuple[tuple[str, Mapping[str, TaskTemplate | WaterStage | YearTask]], ...] = (
        ("task", k.tasks),
        ("watering", k.watering),
        ("year", k.year),
    )
    for table, rows in tables:
        for code, each in rows.items():
            for word in (*each.cautions, *each.cautions_if):
                named(table, code, word, k.cautions, "caution")
            if not each.sources:
                raise KnowledgeError(
                    f"{code}: has no source", where=k.where[table, code], instead='Write sources = ["…"]'
                )


# What the low and high values of a kind of amount may measure; no dimension where it takes none.
_MEASURED: Final[Mapping[str, tuple[str, ...]]] = {
    "seed-by-rate": ("rate",), "parts-of-mixture": ("rate",), "sod-area": (), "sprigs-volume": ("cover",), "plugs-count": ("length",), "nutrient-rate": ("rate",),
    "lime-rate": (), "depth-volume": ("length",), "mass-rate": ("rate",), "per-area": ("density", "cover"), "area": (), "edge": (), "count": (), "measure-first": (),
}  # fmt: skip
_PRICES: Final = ("price", "price-mass", "price-volume", "price-length", "money")


def _check_supplies(k: Knowledge, named: Callable[[str, str, str, Iterable[str], str], None]) -> None:
    """Supplies name only what there is, and the values that their kind of amount takes, in units that fit."""
    for code, row in k.supplies.items():
        where = k.where["supply", code]
        for words, known, what in (
            (row.methods, k.methods, "method"), (row.variants, ("plain", *k.variants), "variant"), (row.made_from, MADE_FROM, "way of being made"),
            (row.needs, k.needs, "need"), (row.tasks, k.tasks, "task"), (row.cautions, k.cautions, "caution"), (row.cautions_if, k.cautions, "caution"),
            (row.what, OFFER_KINDS, "kind of offer"),
        ):  # fmt: skip
            for word in words:
                named("supply", code, word, known, what)
        if row.share is not None and (row.share not in k.facts or k.facts[row.share].unit != "percent"):
            raise KnowledgeError(
                f"{code}: share = {row.share!r} is no fact in percent",
                where=where,
                instead='Write one, as share = "zone.begin-again-percent"',
            )
        takes = _MEASURED[row.quantity]
        if takes and (row.low is None or row.high is None):
            raise KnowledgeError(
                f"{code}: an amount by {row.quantity} needs two values",
                where=where,
                instead="Write low and high",
            )
        if not takes and (row.low is not None or row.high is not None):
            raise KnowledgeError(
                f"{code}: an amount by {row.quantity} reads neither low nor high",
                where=where,
                instead="Take them out",
            )
        _units(k, "supply", code, (row.low, row.high), takes)
        _units(k, "supply", code, (row.patches_low, row.patches_high, row.most_once), ("rate",))
        _units(k, "supply", code, (row.extra, row.spare_low, row.spare_high), ("share",))
        _units(k, "supply", code, (row.density,), ("bulk-density",))
        _units(k, "supply", code, (row.mass,), ("rate",))
        _units(k, "supply", code, (row.size,), ("length",))
        _units(k, "supply", code, (row.passes,), ("count",))
        _units(k, "supply", code, (row.lead,), ("time",))
        for name in (row.analysis, row.bushels):
            if name is not None:
                named("supply", code, name, k.values, "value")
        for price in row.prices:
            _units(k, "supply", code, (price.low, price.high), _PRICES)
        if row.offered and not row.what:
            raise KnowledgeError(
                f"{code}: is bought only where it is offered, and no kind of offer is of it",
                where=where,
                instead='Write what = ["…"]',
            )
        if row.quantity == "measure-first" and not row.ask:
            raise KnowledgeError(
                f"{code}: is to be measured first and does not say how",
                where=where,
                instead='Write ask = "…"',
            )
        if not row.sources:
            raise KnowledgeError(f"{code}: has no source", where=where, instead='Write sources = ["…"]')
    if k.patches is not None:
        for word in k.patches.sources:
            named("patches", "patches", word, k.sources, "source")


def _units(
    k: Knowledge, table: str, code: str, names: Iterable[str | None], dimensions: tuple[str, ...]
) -> None:
    """Values that a row names are there, are named with a key where they are families, and measure what they should."""
    for written in names:
        if written is None:
            continue
        where = k.where[table, code]
        name, _, index = written.rstrip("]").partition("[")
        if name not in k.values:
            raise KnowledgeError(
                f"{code}: there is no value {name!r}", where=where, instead=meant(name, k.values)
            )
        value = k.values[name]
        if bool(index) != bool(value.by):
            raise KnowledgeError(
                f"{code}: names value {name!r} {'with' if index else 'without'} a key", where=where,
                instead=f"Write {name}[…]: it is by {value.by}" if value.by else f"Write {name}: it is a single number",
            )  # fmt: skip
        if dimension(value.unit) not in dimensions:
            raise KnowledgeError(
                f"{code}: value {name!r} is in {value.unit}",
                where=where,
                instead=f"Name a value of {' or '.join(dimensions)}",
            )
