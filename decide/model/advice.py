"""The advice: the typed contract that people and programs read; `Advice.model_json_schema()` is its JSON
Schema.
"""

from __future__ import annotations

import datetime as dt
import json
from typing import Any, Final, Literal

from pydantic import BaseModel, ConfigDict, Field

SCHEMA: Final = "advice/1"

Verdict = Literal["advised", "sound", "risky", "late", "not-advised", "ruled-out"]
Judgement = Literal["sound", "sound-if", "not-advised", "ruled-out"]
Grade = Literal["lost", "poor", "weak", "unknown", "doubtful", "fair", "strong"]
# What one reason says of an option; a reason is never of unknown grade.
ReasonGrade = Literal["ruled-out", "lost", "poor", "weak", "doubtful", "fair", "strong"]
Decision = Literal[
    "recover", "repair", "renovate", "stopgap then renovate", "use less", "mend the cause first", "move play",
    "call an expert", "wait", "carry on", "none sound", "left alone", "nothing to do",
]  # fmt: skip
Stage = Literal["before", "clear", "bed", "establish", "grow", "open", "keep"]
Who = Literal["volunteer", "licensed-person", "contractor", "owner", "laboratory", "utility-service"]


class Row(BaseModel):
    """A row of the advice; rows never change once made."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    def date(self, name: str) -> dt.date | None:
        """The date in a field whose JSON is ISO text, as `task.date("until")`; None where there is none.

        ValueError where the field holds no date, AttributeError where there is no such field.
        """
        text = getattr(self, name)
        try:
            return None if text is None else dt.date.fromisoformat(text)
        except (TypeError, ValueError):
            raise ValueError(f"{name} holds no date but {text!r}") from None


class Cited(Row):
    """The knowledge that the advice was made with."""

    version: str
    digest: str
    engines: list[str] = Field(description="engines that gave this advice and agreed on it")


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


class Doing(Row):
    """A thing to do or to keep off today."""

    code: str
    text: str
    who_decides: str = ""


class CauseFound(Row):
    """A cause of bare ground in a zone."""

    code: str
    zone: str
    text: str
    sure: bool = Field(description="false where an exception to it is still unknown")
    look_at: str
    bare_again_unless: str
    rules: list[str]
    sources: list[str]


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


class DayRange(Row):
    """An early and a late date, never one number; None where no date can be given."""

    early: str | None
    late: str | None


class GradeRow(Row):
    """The grade of one criterion at its worst end, the first reason for it, and the best end over what is not
    told.
    """

    grade: Grade
    reason: str
    best: Grade = "unknown"


class Water(Row):
    """Water that the new ground needs in its first weeks."""

    litres_a_day: float
    hours_a_day: float | None
    visits_a_day: float


class Cost(Row):
    """What it costs, as a range, in money of a year."""

    low: float
    high: float
    currency: str
    year: str
    how: str


class Hours(Row):
    """Hours of work, as a range."""

    low: float
    high: float


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
    reasons: list[Reason]
    cautions: list[str]
    needs: list[str]
    rests_on: list[str] = Field(
        default_factory=list,
        description="what must hold for the verdict, where it hangs on something that was not told",
    )
    unknown: list[str] = Field(default_factory=list, description="facts that could still rule it out")
    water: Water | None = None
    cost: Cost | None = None
    labour_hours: Hours | None = None


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
    text: str
    who_decides: str
    sources: list[str]


class NeedRow(Row):
    """A step or a means that must come with the choice."""

    code: str
    zone: str
    text: str
    sources: list[str]


class OpeningCheck(Row):
    """A check that says whether the ground may be opened."""

    check: str
    how: str
    n: int | None
    unit: str
    pass_light: str
    pass_full: str
    instrument: bool
    sources: list[str]


class RescueSign(Row):
    """A sign of failure."""

    sign: str
    look_at: str
    do: str
    sources: list[str]


class Task(Row):
    """One dated thing to do in a zone, from the first survey to the year after opening."""

    code: str = Field(description="template/zone, the same from run to run")
    template: str = Field(description="key of the task in the knowledge")
    zone: str
    stage: Stage
    task: str = Field(description="what to do, in a few words")
    text: str = Field(description="how it is done")
    from_: str = Field(alias="from", description="first day, ISO")
    until: str = Field(description="last day, ISO; the same day where it is done in one")
    latest: str | None = Field(default=None, description="last day to begin that still keeps the start date")
    order_by: str | None = Field(
        default=None, description="last day to ask, order or book, where that takes time"
    )
    why_then: str = Field(default="", description="which date or waiting time sets the day")
    after: list[str] = Field(default_factory=list, description="codes of the tasks that it waits for")
    every_days: float | None = None
    times: int | None = None
    needs: list[str] = Field(default_factory=list, description="codes of tools and machines")
    who: Who | Literal[""] = ""
    hours: Hours | None = Field(default=None, description="hours of work in all, of one person")
    amount: float | None = None
    unit: str = ""
    done: str | None = Field(default=None, description="day on which the record says it was done")
    cautions: list[str] = Field(default_factory=list)
    sources: list[str] = Field(default_factory=list)

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)


class Week(Row):
    """The work and water of one week, all zones together."""

    monday: str
    tasks: list[str] = Field(description="codes of the tasks of that week")
    hours: Hours
    hours_there_are: float | None = Field(description="told hours of all hands; None where not told")
    hours_short: float | None = Field(description="high hours less those there are, where above 0")
    litres: float | None = None
    water_hours: float | None = Field(default=None, description="hours that the water must run")
    visits: float | None = Field(default=None, description="visits a weekday that the wetting needs")
    visits_short: float | None = None


class Watering(Row):
    """How one zone is watered in one stage: amounts less the rain of a normal year."""

    zone: str
    stage: str
    from_: str = Field(alias="from")
    until: str
    times_a_day: float = Field(description="wettings on a day without rain; below 1 for every so many days")
    mm_each: float
    mm_a_week: float = Field(description="need of the turf less the rain of a normal year")
    litres_each: float | None
    minutes_each: float | None = Field(description="with the flow told")
    text: str
    sources: list[str] = Field(default_factory=list)

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)


class Clash(Row):
    """What does not fit between today and the start, and the first start that would."""

    zone: str
    tasks: list[str]
    days_short: int
    first_start: str | None
    text: str


class Purchase(Row):
    """One thing to buy or have delivered."""

    code: str = Field(description="supply/zone")
    supply: str = Field(description="key of the supply in the knowledge")
    zone: str
    item: str
    amount: float = Field(description="what to order, spare counted")
    amount_low: float | None = Field(default=None, description="low end, where published rates differ")
    unit: str = Field(description="kg, m2, m3, l, m, each")
    packs: int | None = Field(
        default=None, description="whole bags, rolls or pallets of the size that the seller gives"
    )
    pack: str = ""
    how: str = Field(description="the arithmetic, in words and numbers")
    ask: str = Field(default="", description="what to ask the seller")
    for_task: str = ""
    order_by: str | None = None
    cost: Cost | None = None
    cautions: list[str] = Field(default_factory=list)
    sources: list[str] = Field(default_factory=list)


class MoneyRow(Row):
    """One line of the money: a range with its year and currency, or said to be unknown."""

    what: str
    zone: str
    kind: Literal["material", "hire", "labour", "contractor", "water"]
    low: float | None
    high: float | None
    currency: str
    year: str
    how: str


class Failure(Row):
    """What a failure would cost."""

    zone: str
    what: str
    low: float | None
    high: float | None
    currency: str
    days_lost: int | None
    text: str


class Compared(Row):
    """The cost of one option beside others."""

    option: str
    zone: str
    title: str
    verdict: Verdict
    low: float | None
    high: float | None
    currency: str
    hours: Hours | None
    full_play_late: str | None


class Money(Row):
    """The cost that can be put to a committee: what is known, and what is not."""

    rows: list[MoneyRow]
    totals: list[MoneyRow] = Field(description="one a kind and currency, of what is known")
    unknown: list[str] = Field(description="what has no price yet, and whom to ask")
    compared: list[Compared]
    failure: list[Failure]


class PlayHours(Row):
    """Hours of play a week that the ground can take from a day on."""

    zone: str
    from_: str = Field(alias="from")
    hours: float
    text: str

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)


class YearRow(Row):
    """What keeps the ground alive through the year after opening."""

    from_: str = Field(alias="from")
    until: str
    task: str
    text: str
    sources: list[str] = Field(default_factory=list)

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)


class CheckDone(Row):
    """An opening check that was recorded, against its marks."""

    zone: str
    check: str
    on: str
    found: str
    light: Literal["pass", "fail", "unknown"]
    full: Literal["pass", "fail", "unknown"]


class OpenNow(Row):
    """Whether a zone may be opened on today's record: "not yet, because ..."."""

    zone: str
    light: Literal["yes", "not yet", "unknown"]
    full: Literal["yes", "not yet", "unknown"]
    because: list[str]
    checks: list[CheckDone]


class SignSeen(Row):
    """A sign of failure that was seen, what it means for the programme, and what to do."""

    zone: str
    sign: str
    on: str
    look_at: str
    do: str
    season: Literal["can be saved", "may be saved", "lost", "not in danger"]
    because: str
    sources: list[str]


class ProposalJudged(Row):
    """The user's own step, judged."""

    asked: str
    judgement: Judgement
    conditions: list[str]
    reasons: list[Reason]
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


class SeasonWeek(Row):
    """Seven days of a normal year."""

    first: str = Field(description="first of its days, ISO")
    mean_c: float = Field(description="mean of the daily normals")
    growth_cool: float = Field(
        description="growth of cool-season grass, as a share of its full growth, 0 to 1"
    )
    growth_warm: float = Field(
        description="growth of warm-season grass, as a share of its full growth, 0 to 1"
    )
    rain_mm: float | None = Field(description="rain of a normal year; None where it is not known")


class FrostDays(Row):
    """When the first or last frost falls: in about two years of three from `early` to `late`. `median` never
    stands alone.
    """

    early: str
    median: str
    late: str


class SeasonWindow(Row):
    """One time of the year in which a grass may be established, as one date to another, both counted."""

    grass: str = Field(description="code of the grass or mixture")
    start: str = Field(description="seed, sod, thick-sod, sprigs or plugs")
    name: str = Field(description="grass and start in words")
    quality: Literal["good", "fair", "dormant"]
    opens: str
    closes: str
    why_opens: str = Field(description="code")
    why_closes: str = Field(description="code")


class NoWindow(Row):
    """A grass and start that has no window at this place, and why."""

    grass: str
    start: str
    name: str
    why: str = Field(description="code")


class Leading(Row):
    """An option that the season shows, and what it is to the choice of its zone."""

    option: str = Field(description="code of the option")
    zone: str
    role: Literal["stopgap", "chosen", "least-bad", "runner-up"]
    name: str = Field(description="grass and method in words, without a date")


class Season(Row):
    """A year of the place from this month on (longer where a date lies later): warmth, growth, frost,
    windows, leading options.
    """

    today: str
    first_day: str = Field(description="first day of the month of today, ISO")
    last_day: str = Field(description="last day shown, ISO")
    weeks: list[SeasonWeek]
    frost_kind: Literal["usual", "some-years", "rare", "always"]
    first_frost: FrostDays | None = Field(
        description="the next one whose median lies on or after the first day; it comes again each year"
    )
    last_frost: FrostDays | None = Field(description="as the first frost")
    windows: list[SeasonWindow]
    no_window: list[NoWindow] = Field(default_factory=list)
    deadline: str | None = Field(description="day by which play is wanted")
    leading: list[Leading]


class Advice(Row):
    """All that the tool says of one situation."""

    schema_: str = Field(default=SCHEMA, alias="schema")
    knowledge: Cited
    situation: list[Known]
    today: list[Doing]
    causes: list[CauseFound]
    diagnosis: list[Diagnosis]
    decision: Decision
    fate: Fate | None = Field(
        default=None,
        description="what becomes of the date wanted; None where no date was told, or the place is not known",
    )
    essential: list[str] = Field(
        default_factory=list, description="criteria in which an option must not be weak here"
    )
    options: list[Option]
    programme: list[Answer]
    plan: list[Task] = Field(default_factory=list)
    weeks: list[Week] = Field(default_factory=list)
    watering: list[Watering] = Field(default_factory=list)
    clashes: list[Clash] = Field(default_factory=list)
    plan_decide_by: str | None = Field(
        default=None, description="last day on which the whole plan can be begun"
    )
    shopping: list[Purchase] = Field(default_factory=list)
    money: Money | None = None
    hours_per_week_after_opening: list[PlayHours] = Field(default_factory=list)
    year: list[YearRow] = Field(default_factory=list)
    season: Season | None = Field(default=None, description="None where the place is not known")
    open_now: list[OpenNow] = Field(default_factory=list)
    signs_seen: list[SignSeen] = Field(default_factory=list)
    needs: list[NeedRow]
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

    def as_dict(self) -> dict[str, Any]:
        """The advice as plain tables, in the contract's own names."""
        return self.model_dump(mode="json", by_alias=True)

    def as_json(self) -> str:
        """The advice as JSON text; the same advice gives the same bytes."""
        return json.dumps(self.as_dict(), ensure_ascii=False, indent=1, allow_nan=False) + "\n"

    def choice(self, zone: str = "") -> Answer:
        """What the programme says of a zone; of the whole field where that is the only one. ValueError for no such zone."""
        for answer in self.programme:
            if answer.zone == zone or (not zone and len(self.programme) == 1):
                return answer
        names = ", ".join(repr(answer.zone) for answer in self.programme)
        raise ValueError(f"{zone!r} is no zone of this field. Write one of: {names}")

    def option(self, code: str | None) -> Option | None:
        """The option of that code."""
        return next((option for option in self.options if option.code == code), None)
