"""The advice: the typed contract that people and programs read; `Advice.model_json_schema()` is its JSON
Schema.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from typing import Annotated, Any, Final, Literal

from pydantic import (
    BeforeValidator,
    ConfigDict,
    Field,
    WrapSerializer,
    WrapValidator,
    field_validator,
    model_validator,
)

from decide.model.document import json_text
from decide.model.field_plan import FieldPlan
from decide.model.ground import Ailment, CauseFound
from decide.model.made import Made
from decide.model.planned import Clash, Money, PlayHours, Purchase, Task, Watering, Week, YearRow
from decide.model.row import Cost, DayRange, Decision, Grade, Hours, Judgement, ReasonGrade, Row, Verdict
from decide.model.seasons import Season
from decide.model.short_form import once, reasons_again, shortened
from decide.model.watched import OpeningCheck, OpenNow, RescueSign, SignSeen

SCHEMA: Final = "advice/2"


class Cited(Row):
    """The knowledge that the advice was made with."""

    version: str
    digest: str
    engines: list[str] = Field(description="engines that gave this advice and agreed on what was checked")
    checked: int = Field(
        default=0,
        description="how many of the options every engine judged, and judged alike, besides the field, its "
        "parts and steps; none where there is one engine",
    )


class Known(Row):
    """One value of the situation, and how it is known."""

    key: str
    value: Any
    how: Literal["told", "computed", "assumed"]
    note: str = ""


class Reason(Row):
    """Why: a sentence, for or against, with the rule and the sources that gave it."""

    for_: bool = Field(alias="for", description="speaks plainly for it")
    grade: ReasonGrade = "weak"
    criterion: str = ""
    text: str
    rules: list[str]
    sources: list[str]
    open: list[str] = Field(default_factory=list, description="exceptions whose truth is unknown")

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)


# In the short form of a document keys of `reasons` stand in their place.
Reasons = Annotated[
    list[Reason], BeforeValidator(lambda held: held, json_schema_input_type=list[Reason | str])
]


class Doing(Row):
    """A thing to do or to keep off today."""

    code: str
    text: str
    who_decides: str = ""


class Diagnosis(Row):
    """What a zone needs."""

    code: str
    zone: str
    text: str
    rules: list[str]
    sources: list[str]


class Part(Row):
    """A species in a mixture."""

    grass: str
    percent_by_weight: float


class GradeRow(Row):
    """The grade of one criterion at its worst end, the first reason for it, and the best end over what is not
    told.
    """

    grade: Grade
    reason: str = Field(description="in the short form its key in `reasons`")
    best: Grade = "unknown"


class Water(Row):
    """Water that the new ground needs in its first weeks."""

    litres_a_day: float
    hours_a_day: float | None
    visits_a_day: float


class OddsRow(Row):
    """In how many years an option is ready by the date wanted: replayed through daily weather, or estimated
    from averages.
    """

    by: str = Field(description="the date wanted, ISO")
    use: Literal["light use", "full play"] = Field(description="what it must bear by then")
    years: int | None = Field(description="years that were replayed; None for an estimate")
    ready: float = Field(description="share of years, 0 to 1")
    ready_least: float = Field(description="the same for a stand that needs the most heat on record")
    ready_most: float = Field(description="the same for a stand that needs the least")
    killed: float = Field(description="share of years in which its first winter or frost kills it")
    washed_out: float | None = Field(
        description="share of years in which a heavy rain carries the seed off; None where it cannot be said"
    )
    how: Literal["replayed", "approximation"]
    note: str = ""


class Option(Row):
    """One way to answer a zone, judged; ruled-out ones keep all their reasons."""

    code: str
    zone: str
    remedy: str
    method: str | None = None
    grass: str | None = None
    mixture: list[Part] | None = None
    variant: str | None = None
    start: str | None = None
    start_kind: str | None = None
    decide_by: str | None = None
    germination: DayRange | None = Field(
        default=None, description="when seed is up; of sprigs and plugs: when new shoots show. None for sod"
    )
    first_mow: DayRange | None = Field(default=None, description="when it is cut for the first time")
    light_use: DayRange | None = None
    full_play: DayRange | None = None
    full_fixtures: DayRange | None = None
    claim: str | None = None
    odds: OddsRow | None = Field(
        default=None, description="odds of being ready by the date wanted; worked out for the leading options"
    )
    dies_by: str | None = Field(
        default=None, description="median day of the frost that takes it; never stands alone"
    )
    dies_between: DayRange | None = Field(default=None, description="that frost in about two years of three")
    readiness_note: str = Field(
        default="",
        description="how many places with published cases stand behind the dates of use, where they are few",
    )
    window: str | None = None
    verdict: Verdict
    verdict_reason: str = Field(default="", description="what the verdict rests on most")
    title: str
    grades: dict[str, GradeRow]
    reasons: Reasons
    cautions: list[str]
    needs: list[str]
    rests_on: list[str] = Field(
        default_factory=list,
        description="what must hold for the verdict, where it hangs on something that was not told",
    )
    unknown: list[str] = Field(default_factory=list, description="facts that could still rule it out")
    water: Water | None = None
    cost: Cost | None = None
    cost_class: str | None = Field(
        default=None,
        description="how dear its method usually is: cheap, low, middle, dear or dearest",
    )
    labour_hours: Hours | None = None


def _still_to_be_made(held: Any, read: Callable[[Any], Any]) -> Any:
    return held if isinstance(held, Made) else read(held)


# A list of options; rows that nobody reads are never made.
Options = Annotated[
    Sequence[Option],
    once(Option),
    WrapValidator(_still_to_be_made),
    WrapSerializer(lambda held, write: write(list(held))),
]


class WayWeighed(Row):
    """A way that was weighed, by the best of its options in each part of the field; ways of which the same is
    said stand in one row.
    """

    zones: list[str]
    remedy: str
    method: str | None = None
    plants: list[str] = Field(default_factory=list, description="grasses and mixtures")
    verdict: Verdict
    options: int = Field(description="how many options there are of it, with all dates and variants")
    against: list[str] = Field(
        default_factory=list,
        description="keys of `reasons`: what speaks against the best of them, the gravest first",
    )


class Window(Row):
    """The next real time to begin new grass in a zone, and what would be begun."""

    option: str
    opens: str = Field(description="the day of the start, ISO")
    closes: str | None = None
    decide_by: str | None = None
    light_use: DayRange | None = None
    full_play: DayRange | None = None
    text: str


class Fate(Row):
    """What becomes of the date wanted, in the zone where it stands worst, and from when each use is there in
    a slow year.
    """

    by: str
    firm: bool
    use: Literal["training", "matches", ""] = Field(
        description="the use that is wanted by then; empty where nobody told, and matches are judged"
    )
    level: Literal["yes", "likely", "partly", "no", "open"] = Field(
        description="yes: in a slow year too; likely: in most years; partly: training, but not matches; "
        "open: no day can be worked out"
    )
    zone: str = Field(description="empty where no day can be worked out")
    training_from: str | None = None
    matches_from: str | None = None
    zones: dict[str, Literal["yes", "likely", "partly", "no"]] = Field(default_factory=dict)
    text: str


class Answer(Row):
    """What the programme says of one zone.

    `rests_on` says under which conditions the choice is sound, `meanwhile` what is done this season until the
    real remedy is possible, `window` the next real time for new grass, `instead` the other side of a trade
    with its dates.
    """

    zone: str
    area_m2: float | None
    decision: Decision
    option: str | None
    stopgap: str | None = None
    least_bad: str | None = None
    runner_up: str | None = None
    text: str
    better_than: str = ""
    rests_on: list[str] = Field(default_factory=list)
    meanwhile: list[str] = Field(default_factory=list)
    window: Window | None = None
    instead: str = ""
    not_chosen: list[str] = Field(
        default_factory=list, description="why what was wished or offered is not the choice"
    )
    how: list[str] = Field(default_factory=list, description="how the work is done, in order")


class Caution(Row):
    """A danger or legal duty, and who decides."""

    code: str
    name: str = Field(default="", description="in a few words, for a list that names it")
    text: str
    who_decides: str
    sources: list[str]


class NeedRow(Row):
    """A step or a means that must come with the choice."""

    code: str
    zone: str
    text: str
    sources: list[str]


class ProposalJudged(Row):
    """The user's own step, judged."""

    asked: str
    judgement: Judgement
    conditions: list[str]
    reasons: Reasons
    cautions: list[str]
    better: list[str]


class UnknownRow(Row):
    """A question that was not answered, and whether its answer could change the first choice."""

    key: str
    changes_first_choice: bool | None = Field(description="None where it was not tried")
    text: str


class Sure(Row):
    """How sure the first choice is."""

    level: Literal["firm", "likely", "open"]
    why: str


class SourceRow(Row):
    """A publication, and how it was seen."""

    key: str
    title: str
    publisher: str
    year: str
    seen: str
    where: str


class Traced(Row):
    """One step of the reasoning."""

    step: int
    rule: str
    about: str
    facts: dict[str, Any]
    concludes: str


class Advice(Row):
    """All that the tool says of one situation.

    `options` are all that were judged, the best first; each is told when it is first read. In the short JSON
    they are those that the advice names, and `ways` holds every way once.
    """

    schema_: str = Field(default=SCHEMA, alias="schema")
    knowledge: Cited
    situation: list[Known]
    today: list[Doing]
    causes: Annotated[list[CauseFound], once(CauseFound)]
    ailments: Annotated[list[Ailment], once(Ailment)] = Field(default_factory=list)
    diagnosis: Annotated[list[Diagnosis], once(Diagnosis)]
    decision: Decision
    fate: Fate | None = Field(
        default=None,
        description="what becomes of the date wanted; None where no date was told, or the place is not known",
    )
    essential: list[str] = Field(
        default_factory=list, description="criteria in which an option must not be weak here"
    )
    options: Options
    options_judged: int | None = Field(
        default=None, description="how many options were judged, where `options` may hold fewer"
    )
    ways: list[WayWeighed] = Field(default_factory=list, description="every way once, the best first")
    reasons: dict[str, Reason] = Field(
        default_factory=dict,
        description="what speaks against the ways, and in the short form all that is said of options and "
        "steps, each reason once",
    )
    programme: Annotated[list[Answer], once(Answer)]
    plan: Annotated[list[Task], once(Task)] = Field(default_factory=list)
    weeks: list[Week] = Field(default_factory=list)
    watering: Annotated[list[Watering], once(Watering)] = Field(default_factory=list)
    clashes: list[Clash] = Field(default_factory=list)
    plan_decide_by: str | None = Field(
        default=None, description="last day on which the whole plan can be begun"
    )
    shopping: list[Purchase] = Field(default_factory=list)
    money: Money | None = None
    hours_per_week_after_opening: Annotated[list[PlayHours], once(PlayHours)] = Field(default_factory=list)
    year: list[YearRow] = Field(default_factory=list)
    field_plan: FieldPlan | None = Field(
        default=None, description="the outline of the field, and where its parts lie on it"
    )
    season: Season | None = Field(default=None, description="None where the place is not known")
    open_now: list[OpenNow] = Field(default_factory=list)
    signs_seen: list[SignSeen] = Field(default_factory=list)
    needs: Annotated[list[NeedRow], once(NeedRow)]
    cautions: list[Caution]
    opening: list[OpeningCheck]
    rescue: list[RescueSign]
    proposals: list[ProposalJudged]
    unknown: list[UnknownRow]
    sure: Sure
    valid_until: str
    sources: list[SourceRow]
    trace: list[Traced]

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)

    @field_validator("schema_")
    @classmethod
    def _of_this_form(cls, written: str) -> str:
        if written != SCHEMA:
            raise ValueError(
                f"this advice has the form {written!r}, and {SCHEMA!r} is read here; make it again from its "
                "situation, with `decide advise FILE --json`"
            )
        return written

    @model_validator(mode="before")
    @classmethod
    def _with_its_reasons(cls, held: Any) -> Any:
        return reasons_again(held) if isinstance(held, dict) else held

    def as_dict(self, *, full: bool = False) -> dict[str, Any]:
        """The advice as plain tables, in the contract's own names: with the options that it names, or with
        `full` every option that was judged.

        ValueError where `full` is asked of an advice that was read from its short form.
        """
        if full and self.is_short:
            raise ValueError(
                f"this advice was read from its short form and holds {len(self.options)} of "
                f"{self.options_judged} options; make it again from its situation, or keep "
                "`decide advise FILE --json --all`"
            )
        rows = self.options if full else self.options_of(self._named())
        told = self.model_copy(update={"options": rows})
        return told.model_dump(mode="json", by_alias=True)

    def as_json(self, *, full: bool = False) -> str:
        """The advice as JSON text; the same advice gives the same bytes.

        It holds what `as_dict` holds; in the short form what several rows say alike stands once, and what
        only the whole form needs is left out. `Advice.model_validate_json` reads both.
        """
        held = self.as_dict(full=full)
        return json_text(held if full else shortened(held))

    @property
    def is_short(self) -> bool:
        """Whether options that were judged are not in it, because it was read from its short form."""
        return self.options_judged is not None and len(self.options) < self.options_judged

    def _named(self) -> set[str]:
        """Codes of the options that the programme and the season name."""
        codes = {
            code
            for row in self.programme
            for code in (
                row.option,
                row.stopgap,
                row.least_bad,
                row.runner_up,
                row.window and row.window.option,
            )
        }
        codes.update(row.option for row in (self.season.leading if self.season is not None else ()))
        return {code for code in codes if code}

    def choice(self, zone: str = "") -> Answer:
        """What the programme says of a zone; of the whole field where that is the only one. ValueError for no
        such zone.
        """
        for answer in self.programme:
            if answer.zone == zone or (not zone and len(self.programme) == 1):
                return answer
        names = ", ".join(repr(answer.zone) for answer in self.programme)
        raise ValueError(f"{zone!r} is no zone of this field. Write one of: {names}")

    def option(self, code: str | None) -> Option | None:
        """The option of that code."""
        return next(iter(self.options_of((code,) if code else ())), None)

    @property
    def option_codes(self) -> Sequence[str]:
        """The codes of the options, the best first."""
        return self.options.codes if isinstance(self.options, Made) else [row.code for row in self.options]

    def options_of(self, codes: Collection[str]) -> list[Option]:
        """The options of some codes, the best first."""
        if isinstance(self.options, Made):
            return self.options.of(codes)
        return [option for option in self.options if option.code in codes]
