"""The rows of the knowledge folder, field by field: what a table may hold, and of which type."""

from __future__ import annotations

from typing import Annotated, Final, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

Seen = Literal["opened", "excerpt", "memory", "own"]
Level = Literal["low", "moderate", "high"]
# What goes into the ground, as growth is measured by it.
Start = Literal["seed", "sod", "thick-sod", "sprigs", "plugs"]
MADE_FROM: Final = ("seed", "sod", "vegetative")
CostClass = Literal["cheap", "low", "middle", "dear", "dearest"]
FIXED_SOURCES: Final = ("common-practice", "memory", "calculated", "definition", "own-rule")


class Row(BaseModel):
    """A table of the knowledge: unknown keys are errors."""

    # Where the knowledge was kept nothing is checked again, and no model is built.
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False, defer_build=True)


Sentence = Annotated[str, Field(min_length=3)]
Key = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9.\-/]*$")]
listed = BeforeValidator(lambda v: tuple(v) if isinstance(v, list) else v)
Words = Annotated[tuple[str, ...], listed]
Kinds = Annotated[tuple[Literal["seed", "sod", "vegetative", "standing"], ...], listed]
Keys = Annotated[tuple[Key, ...], listed]
Keys_ = Annotated[tuple[Annotated[str, Field(pattern=r"^[a-z][a-z0-9._]*$")], ...], listed]


class Source(Row):
    """A publication, and how it was seen."""

    title: Sentence
    publisher: str
    year: Annotated[str, Field(pattern=r"^(\d{4}([-–]\d{2,4})?|undated)$")]
    seen: Seen
    where: str = ""
    note: str = ""


class Says(Row):
    """What one source says of one number; or, with `like`, the key of the same value whose number is taken,
    `times` so much. `sought` says what was searched where no published figure was found.
    """

    source: Key
    value: float | int | None = None
    like: Key = ""
    times: Annotated[float | int, Field(gt=0)] = 1
    key: Key = ""
    unit: str = ""
    seen: Seen | None = None
    use: bool = False
    why: str = ""
    note: str = ""
    sought: str = ""
    place: str = ""
    currency: str = ""
    year: str = ""


class ValueRow(Row):
    """A number, or a family of numbers by a key, with all that sources say of it."""

    meaning: Sentence
    unit: str
    by: str = ""
    says: Annotated[tuple[Says, ...], listed]
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

    It leads up to the limit; with `beyond` it begins at the limit, and the rule itself speaks only from its
    end on.
    """

    fact: Key
    by: Sentence
    beyond: bool = False


class RuleRow(Row):
    """A rule, as written; decide.knowledge.compile makes a Rule of it.

    `sound-if` ends a sentence that begins with "sound if": what must hold for the rule not to speak. `bends`
    makes softer rules for the stretch before the limit.
    """

    id: Key
    about: Literal["site", "sign", "zone", "option", "step"]
    when: Words
    then: dict[str, str]
    because: Sentence
    sources: Keys
    unless: Annotated[tuple[Unless, ...], listed] = ()
    sound_if: str = Field(default="", alias="sound-if")
    bends: Bends | None = None


class UsualRow(Row):
    """How a fact is read in the order of the options while nobody told it; the verdict names it all the same.

    With `by` the reading hangs on the level of another fact, and there is none at other levels. With `quiet`
    the order is silent on rules that hang on it.
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


class PartArea(Row):
    """A kind of part whose own name tells how large it is: as a value, a kind of field or the whole one.

    With `goals` a goal stands there.
    """

    words: Words
    goals: bool = False
    area: Key = ""
    field: Key = ""
    whole: bool = False
    sources: Keys


class DrawnPlace(Row):
    """Where a part is drawn on the plan of its field, by its name.

    Boxes are from, to, from, to in percent: of the length, then of the width.
    """

    words: Words
    whole: bool = False
    boxes: Annotated[tuple[Annotated[tuple[float, float, float, float], listed], ...], listed]
    sources: Keys


class MeanwhileRow(Conditional):
    """What is done with a part this season while its real remedy is not yet possible."""

    text: Sentence
    kind: Literal["cause", "season", "upkeep"]
    order: int
    sources: Keys


class AilmentRow(Conditional):
    """What lives in standing turf: how to be sure of it, why it is here, what to do, when to leave it, what a
    treatment is worth, and what may be done without one where pesticides are barred.
    """

    name: str
    tell: Sentence
    why: Sentence
    do: Sentence
    leave: str = ""
    treat: str = ""
    without: str = ""
    order: int
    sources: Keys


class FactRow(Row):
    """A fact that is measured or concluded, as declared; `members` are its `.member` facts, if it has any.

    `levels_of` are the tables whose codes are levels, before its own. `changeable` says that the person
    can change the answers behind it, in its declared steps; `unasked`: keys not asked for its sake.
    """

    meaning: Sentence
    kind: Literal["measured", "derived", "diagnosis"]
    type: Literal["number", "level", "true"] = "true"
    unit: str = ""
    levels: Words = ()
    levels_of: Annotated[
        tuple[Literal["grasses", "mixtures", "methods", "variants", "rescue"], ...], listed
    ] = Field(default=(), alias="levels-of")
    range: Annotated[tuple[float | int, ...], listed] = ()
    step: float | int | None = None
    members: Words = ()
    changeable: bool = False
    unasked: Keys_ = ()


class Grass(Row):
    """A grass: names and classes, no numbers; `like` is the grass whose numbers for windows stand in where it
    has none.
    """

    name: str
    also: Words = ()
    season_type: Literal["cool", "warm"] = Field(alias="season-type")
    like: Key = ""
    habit: Literal["spreading", "bunch"]
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
    parts: Annotated[tuple[Share, ...], listed]
    stands_as: Key = Field(alias="stands-as")
    sources: Keys


class MethodStep(Conditional):
    """One step of the work; in the table a plain text, or a text with when it is said and when not."""

    text: Sentence


Steps = Annotated[
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
    """A way to establish grass; every entry of `needs_machine` is needed, any one of a list inside it will
    do.

    `start` is what goes into the ground, as growth is measured by it. `begun_by` is the step that begins it;
    `usual` says that it is meant where only the step is told. `offered_as` are the kinds of offer that serve
    it.
    """

    name: str
    also: Words = ()
    made_from: Literal["seed", "sod", "vegetative"] = Field(alias="made-from")
    start: Start
    begun_by: Key = Field(alias="begun-by")
    usual: bool = False
    offered_as: Keys = Field(alias="offered-as")
    needs_machine: Annotated[tuple[str | list[str], ...], listed] = Field(default=(), alias="needs-machine")
    told_as: Literal["", "sown", "sod-laid"] = Field(default="", alias="told-as")
    told_from: str = Field(default="", alias="told-from")
    by_hand: Literal["yes", "small-areas", "no"] = Field(alias="by-hand")
    slope_holding: Level = Field(alias="slope-holding")
    cost_class: CostClass = Field(alias="cost-class")
    variants: Words = ("plain",)
    steps: Steps = ()
    sources: dict[str, Keys]

    @property
    def machines(self) -> tuple[tuple[str, ...], ...]:
        """The machines that are needed: one of each group."""
        return tuple((need,) if isinstance(need, str) else tuple(need) for need in self.needs_machine)


class Variant(Row):
    """A way to vary a method: on purpose dormant, over standing grass in winter, or with seed started before.

    It starts in windows of the qualities `starts-in`, with `only-now` as early as can be and never later.
    `cover-over` is the season of the standing turf over which it covers one winter and no more: it needs no
    climate that its grass lasts in.
    """

    name: str
    starts_in: Annotated[tuple[Literal["good", "fair", "dormant"], ...], listed] = Field(alias="starts-in")
    only_now: bool = Field(default=False, alias="only-now")
    cover_over: Literal["", "cool", "warm"] = Field(default="", alias="cover-over")
    methods: Words
    grasses: Words
    text: Sentence
    sources: Keys

    @property
    def sleeps(self) -> bool:
        """Whether it is sown to sleep until its season begins."""
        return "dormant" in self.starts_in


class Tool(Row):
    """A machine or a tool."""

    name: str
    also: Words = ()
    does: str
    sources: Keys


class Sport(Row):
    """A kind of sports ground: who plays on it."""

    name: str
    also: Words = ()
    sport: Key
    kind: Literal["adult", "youth", "keep-off"] = Field(alias="class")
    goals: bool = True
    shape: Literal["rectangle", "oval"] = "rectangle"
    sources: Keys


class CautionRow(Row):
    """A danger or a legal duty, and who decides; `name` is what a list calls it that has no room for more."""

    name: str = ""
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
    bare_again_unless: Sentence = Field(alias="will-be-bare-again-unless")
    sources: Keys
    order: int = 5


class Word(Row):
    """A word of the trade, explained."""

    also: Words = ()
    meaning: Sentence
    sources: Keys = ()


class LocalWord(Row):
    """Words of these texts as they are called in some countries."""

    countries: Keys
    say: dict[str, str]
    sources: Keys = ()


class SourceCountry(Row):
    """The words by which a source is known to speak of a country."""

    words: Words


class Choice(Row):
    """One answer that a question offers; `told_only` marks one that nobody leaves untold, so that it is never
    tried in place of silence.
    """

    value: str | bool | int | float | list[str]
    say: Words = ()
    name: str = ""
    told_only: bool = Field(default=False, alias="told-only")


class Only(Row):
    """A question is asked only where an earlier answer is this."""

    key: str
    holds: str | bool | list[str | bool] = Field(alias="is")


class Question(Row):
    """A question of the talk; `changeable` says that the answer is in the person's own hands, not in those of
    place or past.

    `words` are other names by which people call what it asks; `choices-from` names the table whose rows may
    be answered too; `areas` gives words that stand for an area, by the value that holds it in m².
    """

    key: str
    id: Key = ""
    words: Words = ()
    choices_from: Literal["", "grasses", "equipment", "methods"] = Field(default="", alias="choices-from")
    areas: dict[str, Key] = Field(default_factory=dict)
    ask: Sentence
    why: Sentence
    kind: str
    choices: Annotated[tuple[Choice, ...], listed] = ()
    unit: str = ""
    help: str = ""
    always: bool = False
    only_if: Annotated[tuple[Only, ...], listed] = Field(default=(), alias="only-if")
    order: int
    details: bool = False
    changeable: bool = False


class Better(Conditional):
    """What would be better than a step that is not sound; `step` names one step or several."""

    step: Key | Keys
    text: Sentence
    sources: Keys
    order: int = 5


DayText = Annotated[str, Field(pattern=r"^(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$")]


class RegionalWindow(Row):
    """A local time in print that differs from what climate explains: where, for what, from when to when
    (MM-DD, both counted).

    `regions` are codes of a country or region ("au", "us-va"); `centre` is latitude and longitude, with
    `radius_km` round it. Where both are given both hold. `part` says which half of the year it speaks of:
    spring runs from the coldest to the hottest day. `quality` is best, or second where the page calls it a
    second choice. `variant` is winter-overseed where it speaks of winter grass on a sleeping stand.
    """

    id: Key
    regions: Keys = ()
    centre: Annotated[tuple[float, ...], listed] = ()
    radius_km: float | int | None = Field(default=None, alias="radius-km")
    grasses: Keys
    starts: Annotated[tuple[Start, ...], listed]
    variant: Literal["plain", "winter-overseed"] = "plain"
    part: Literal["spring", "autumn", "year"]
    opens: DayText
    closes: DayText
    quality: Literal["best", "second"]
    note: Sentence
    sources: Keys


class EdgeRow(Row):
    """Why a window opens or closes, or why there is none; a sentence with holes for figures of the day and
    place.
    """

    of: Literal["edge", "none"]
    says: Sentence
