"""What an advice says of tasks, weeks, water, what to buy, money and the year after."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated, Literal

from pydantic import BeforeValidator, ConfigDict, Field

from decide.model.row import Cost, Hours, Row, Verdict
from decide.model.short_form import once, single_codes

Stage = Literal["before", "clear", "bed", "establish", "grow", "open", "keep"]


# What of a plan stands together in a calendar.
Round = Literal[
    "ready", "order", "ground", "start", "water-new", "water-young", "water-set", "look", "mow", "feed",
    "care", "open-light", "open-full", "rest",
]  # fmt: skip
Who = Literal["volunteer", "licensed-person", "contractor", "owner", "laboratory", "utility-service"]


class Task(Row):
    """One dated thing to do in a zone, from the first survey to the year after opening."""

    code: str = Field(description="template/zone, the same from run to run")
    template: str = Field(description="key of the task in the knowledge")
    zone: str
    stage: Stage
    round: Round = Field(default="care", description="which event of a calendar it stands in")
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
    tasks: Annotated[list[str], BeforeValidator(single_codes)] = Field(
        description="codes of the tasks of that week; in the short form TASK/PART+PART"
    )
    hours: Hours
    hours_there_are: float | None = Field(description="told hours of all hands; None where not told")
    hours_short: float | None = Field(description="high hours less those there are, where above 0")
    litres: float | None = None
    water_hours: float | None = Field(default=None, description="hours that the water must run")
    visits: float | None = Field(default=None, description="visits a weekday that the wetting needs")
    visits_short: float | None = None


class Watering(Row):
    """How one zone is watered in one stage: what a day without rain takes, and what a usual week comes to."""

    zone: str
    stage: str
    from_: str = Field(alias="from")
    until: str
    times_a_day: float = Field(description="wettings on a day without rain; below 1 for every so many days")
    mm_each: float
    times_a_week: float = Field(
        description="wettings of a usual week: of new ground on its days without rain, of turf that has set "
        "as far as a week's rain falls short"
    )
    mm_a_week: float = Field(description="times_a_week × mm_each")
    litres_each: float | None
    litres_a_week: float | None = Field(description="times_a_week × litres_each")
    minutes_each: float | None = Field(description="with the flow told")
    pieces: int = Field(
        default=1,
        description="parts of the zone that are watered, or begun, on days of their own, with the flow told",
    )
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
    to_get: list[str] = Field(
        default_factory=list,
        description="what has to be had too, of what has no price: machines to hire, what is fetched",
    )
    to_measure: list[str] = Field(
        default_factory=list,
        description="the parts whose area is not known, so that nothing is counted there",
    )
    compared: Annotated[list[Compared], once(Compared)]
    failure: Annotated[list[Failure], once(Failure)]


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


def hours_to_do(plan: Iterable[Task]) -> Hours | None:
    """The hours of work that are still to do, without the care of the year after opening; None where no task
    says its own.
    """
    rows = [task.hours for task in plan if task.hours and task.stage != "keep" and task.done is None]
    low, high = sum(row.low for row in rows), sum(row.high for row in rows)
    return Hours(low=low, high=high) if high > 0 else None
