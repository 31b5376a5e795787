"""All that the knowledge says, in typed tables by code, and the numbers that are in use."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal

from decide.engine.language import ROLE
from decide.knowledge.schema import (
    AilmentRow,
    Better,
    CauseRow,
    CautionRow,
    DrawnPlace,
    EdgeRow,
    FactRow,
    Grass,
    LocalWord,
    MeanwhileRow,
    MethodRow,
    Mixture,
    Need,
    PartArea,
    PartName,
    Question,
    RegionalWindow,
    RuleRow,
    Seen,
    Source,
    SourceCountry,
    Sport,
    Tool,
    UsualRow,
    Variant,
    Word,
)
from decide.knowledge.schema_audit import (
    ApartRow,
    ColumnRow,
    MarkedRow,
    ReviewRow,
    RisingRow,
    StandingRow,
)
from decide.knowledge.schema_care import (
    Check,
    Doing,
    EventRow,
    FailureRow,
    FeedLaw,
    GrowthRow,
    HandsRow,
    LocalPrice,
    PlayStep,
    Reckoning,
    RecordedStep,
    Rootzone,
    Sign,
    SoilKind,
    Supply,
    TaskTemplate,
    Topic,
    WaterMeans,
    WaterStage,
    YearTask,
)
from decide.knowledge.schema_choice import FateRow, Held, Limit, RemedyRow, Shape, SureRow, Together
from decide.knowledge.texts import LanguageRow, TextRow
from decide.knowledge.wording import Language, Said, language_of
from decide.model.errors import KnowledgeError, meant
from decide.model.written import coded

if TYPE_CHECKING:
    from decide.engine.base import RuleBase


@dataclass(frozen=True, slots=True)
class Statement:
    """A number as one source gives it, in the value's unit; `used` where it is the one in use.

    `folder` is the name of the later folder that states it, "" where the first one does. `like` is the key
    that lends its number, "" where the number stands here; `sought` what was searched in vain for a printed
    figure.
    """

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
    folder: str = ""
    like: str = ""
    sought: str = ""

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


How = Literal["added", "changed", "off"]


@dataclass(frozen=True, slots=True)
class Override:
    """What a later folder of the knowledge did with a row: `added` or `changed` it, or switched it `off`.

    `keys` are what it changed: of a value the key of a family, of another row the name of a key, with the old
    and the new word ("" where there is none, or it is too long to be said). `folder` is the folder's name,
    `where` its file and line; `was` keeps of a rule what it did and read before, of a row of the
    talk which keys it told and tells.
    """

    table: str
    code: str
    how: How
    keys: tuple[tuple[str, str, str], ...]
    folder: str
    where: str
    was: tuple[str, ...] = ()

    def __str__(self) -> str:
        name = f"{NOUNS.get(self.table, self.table)} {self.code}"
        if self.how != "changed":
            return f"{name}: {'added' if self.how == 'added' else 'switched off'}, by {self.where}"
        if self.table == "value":
            said = [
                f"{f'{key}: ' if key else ''}{new}{f' instead of {old}' if old else ''}"
                for key, old, new in self.keys
            ]
        else:
            said = [
                f"{key} {new} instead of {old}".strip() if old and new else f"{key} changed".strip()
                for key, old, new in self.keys
            ]
        return f"{name}: {'; '.join(said)}, by {self.where}"


# What a row of a table is called.
NOUNS: Final[Mapping[str, str]] = {
    "grasses": "grass", "mixtures": "mixture", "equipment": "machine", "fields": "sport",
    "cautions": "caution", "needs": "need", "causes": "cause", "words": "word",
    "opening": "check before opening", "rescue": "sign", "better": "better step", "part": "part name",
    "watering": "watering stage", "year": "task of the year", "event": "day that tasks hang on",
    "water-means": "means of watering", "play": "step of opening", "topic": "topic of safety",
    "doing": "step", "talk": "words of the talk",
}  # fmt: skip


@dataclass(frozen=True)
class Knowledge:
    """All that the knowledge folder says, with the folders laid `over` it. `where` gives file and line of a
    row, by table and code.
    """

    folder: Path
    over: tuple[Path, ...]
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
    ailments: Mapping[str, AilmentRow] = field(default_factory=dict)
    together: Mapping[str, Together] = field(default_factory=dict)
    limit: Limit | None = None
    areas: Mapping[str, PartArea] = field(default_factory=dict)
    drawn: Mapping[str, DrawnPlace] = field(default_factory=dict)
    shapes: Mapping[str, Shape] = field(default_factory=dict)
    next_window: Held | None = None
    remedies: Mapping[str, RemedyRow] = field(default_factory=dict)
    no_remedy: Held | None = None
    fates: Mapping[str, FateRow] = field(default_factory=dict)
    sure: Mapping[str, SureRow] = field(default_factory=dict)
    bars: Mapping[str, Held] = field(default_factory=dict)
    tasks: Mapping[str, TaskTemplate] = field(default_factory=dict)
    watering: Mapping[str, WaterStage] = field(default_factory=dict)
    year: Mapping[str, YearTask] = field(default_factory=dict)
    feed_laws: Mapping[str, FeedLaw] = field(default_factory=dict)
    supplies: Mapping[str, Supply] = field(default_factory=dict)
    reckoned: Mapping[str, Reckoning] = field(default_factory=dict)
    events: Mapping[str, EventRow] = field(default_factory=dict)
    growth: Mapping[str, GrowthRow] = field(default_factory=dict)
    play: Mapping[str, PlayStep] = field(default_factory=dict)
    water_means: Mapping[str, WaterMeans] = field(default_factory=dict)
    rootzones: Mapping[str, Rootzone] = field(default_factory=dict)
    soils: Mapping[str, SoilKind] = field(default_factory=dict)
    local_prices: Mapping[str, LocalPrice] = field(default_factory=dict)
    hands: Mapping[str, HandsRow] = field(default_factory=dict)
    recorded: Mapping[str, RecordedStep] = field(default_factory=dict)
    failure: Mapping[str, FailureRow] = field(default_factory=dict)
    topics: Mapping[str, Topic] = field(default_factory=dict)
    doing: Mapping[str, Doing] = field(default_factory=dict)
    local_words: Mapping[str, LocalWord] = field(default_factory=dict)
    source_countries: Mapping[str, SourceCountry] = field(default_factory=dict)
    columns: Mapping[str, ColumnRow] = field(default_factory=dict)
    rising: Mapping[str, RisingRow] = field(default_factory=dict)
    apart: Mapping[str, ApartRow] = field(default_factory=dict)
    marked: Mapping[str, MarkedRow] = field(default_factory=dict)
    reviews: Mapping[str, ReviewRow] = field(default_factory=dict)
    standing: Mapping[str, StandingRow] = field(default_factory=dict)
    texts: Mapping[str, TextRow] = field(default_factory=dict)
    written_in: LanguageRow = field(default_factory=LanguageRow)
    # Words of the report that a folder has otherwise: its texts, and the words of its codes by their kind.
    headings: Mapping[str, TextRow] = field(default_factory=dict)
    labels: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    where: Mapping[tuple[str, str], str] = field(default_factory=dict)
    overrides: tuple[Override, ...] = ()
    digest: str = ""
    version: str = ""
    # The rules made of these very tables, where they are made; a copy with other tables starts without.
    compiled: RuleBase | None = field(default=None, init=False, compare=False, repr=False)

    def keep(self, base: RuleBase) -> None:
        """Hold the rules that were made of these tables, so that they are not made again."""
        object.__setattr__(self, "compiled", base)

    def value(self, name: str, key: str = "") -> float | None:
        """The number in use of value `name` (for `key`, in a family), in the value's unit; None where there
        is no data.
        """
        statement = self.statement(name, key)
        return None if statement is None else statement.amount

    def statement(self, name: str, key: str = "") -> Statement | None:
        """The statement in use of value `name` for `key`; KnowledgeError where there is no such value."""
        if name not in self.values:
            raise KnowledgeError(f"there is no value {name!r}", instead=meant(name, self.values))
        return self.values[name].used.get(key)

    def text(self, code: str, /, **words: Said) -> str:
        """The sentence `code` with its holes filled, numbers, days and lists worded; DecideError where there
        is none, or a hole is left open.
        """
        return self.language.say(code, words)

    @cached_property
    def language(self) -> Language:
        """The language of the texts, with all of them."""
        return language_of(self.written_in, self.texts)

    def folder_of(self, table: str, code: str) -> str:
        """The name of the later folder that wrote to a row last; "" where none did."""
        return next(
            (each.folder for each in reversed(self.overrides) if (each.table, each.code) == (table, code)), ""
        )

    @cached_property
    def roles(self) -> frozenset[str]:
        """The roles that the shapes of the programme name, in their places and in their conditions."""
        conditions = [
            text
            for shape in self.shapes.values()
            for part in (shape.lead, shape.some, shape.none)
            if part is not None
            for text in (*part.when, *part.unless)
        ]
        asked = re.findall(re.escape(ROLE) + r"([a-z\-]+)", "\n".join(conditions))
        return frozenset(asked).union(*(shape.roles for shape in self.shapes.values()))

    @cached_property
    def usual_methods(self) -> Mapping[str, str]:
        """The method that is meant where only the step is told that begins it."""
        return {row.begun_by: code for code, row in self.methods.items() if row.usual}

    @cached_property
    def plant_offers(self) -> frozenset[str]:
        """The kinds of offer that are of something to plant."""
        return frozenset(kind for row in self.methods.values() for kind in row.offered_as)

    @cached_property
    def planted(self) -> Mapping[str, Grass]:
        """The grasses that are planted; others only stand in old turf."""
        return {code: row for code, row in self.grasses.items() if row.made_by}

    @cached_property
    def plants(self) -> Mapping[str, str]:
        """Every name of a grass or mixture, as a code, with the code that it stands for."""
        names: dict[str, str] = {}
        plants: list[tuple[str, Grass | Mixture]] = [*self.grasses.items(), *self.mixtures.items()]
        for code, row in plants:
            for name in (code, row.name, *row.also):
                names.setdefault(coded(name), code)
        return names
