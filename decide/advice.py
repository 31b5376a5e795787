"""The advice: the typed contract that people and programs read; `Advice.model_json_schema()` is its JSON Schema."""

from __future__ import annotations

import json
from typing import Any, Final, Literal

from pydantic import BaseModel, ConfigDict, Field

SCHEMA: Final = "advice/1"

Verdict = Literal["advised", "sound", "risky", "not-advised", "ruled-out"]
Judgement = Literal["sound", "sound-if", "not-advised", "ruled-out"]
Grade = Literal["weak", "unknown", "fair", "strong"]
Decision = Literal[
    "recover", "repair", "renovate", "stopgap then renovate", "use less", "mend the cause first", "move play", "call an expert",
    "wait", "none sound", "left alone", "nothing to do",
]  # fmt: skip


class Row(BaseModel):
    """A row of the advice; rows never change once made."""

    model_config = ConfigDict(extra="forbid", frozen=True)


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
    grade: Literal["ruled-out", "weak", "fair", "strong"] = "weak"
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
    """The grade of one criterion and the first reason for it."""

    grade: Grade
    reason: str


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
    light_use: DayRange | None = None
    full_play: DayRange | None = None
    full_fixtures: DayRange | None = None
    claim: str | None = None
    dies_by: str | None = None
    window: str | None = None
    verdict: Verdict
    verdict_reason: str = Field(default="", description="what the verdict rests on most")
    title: str
    grades: dict[str, GradeRow]
    reasons: list[Reason]
    cautions: list[str]
    needs: list[str]
    unknown: list[str] = Field(default_factory=list, description="facts that could still rule it out")
    water: Water | None = None
    cost: Cost | None = None
    labour_hours: Hours | None = None


class Answer(Row):
    """What the programme says of one zone."""

    zone: str
    area_m2: float | None
    decision: Decision
    option: str | None
    stopgap: str | None = None
    least_bad: str | None = None
    text: str
    better_than: str = ""
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


class Advice(Row):
    """All that the tool says of one situation."""

    schema_: str = Field(default=SCHEMA, alias="schema")
    knowledge: Cited
    situation: list[Known]
    today: list[Doing]
    causes: list[CauseFound]
    diagnosis: list[Diagnosis]
    decision: Decision
    essential: list[str] = Field(default_factory=list, description="criteria in which an option must not be weak here")
    options: list[Option]
    programme: list[Answer]
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

    def option(self, code: str | None) -> Option | None:
        """The option of that code."""
        return next((option for option in self.options if option.code == code), None)
