"""A case: a situation with what a specialist would sign of it, and why."""

from __future__ import annotations

import datetime as dt
from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError

from decide.cases.steps_signed import step_signed
from decide.decision.rank import Weighed
from decide.model.errors import KnowledgeError
from decide.model.situation import Situation
from decide.model.written import coded


def _signed_step(text: str) -> str:
    step_signed(text)
    return text


class Row(BaseModel):
    """A table of a case: unknown keys are errors."""

    model_config = ConfigDict(extra="forbid", frozen=True)


def wrong_row(error: ValidationError, row: type[BaseModel], where: str, name: str = "") -> KnowledgeError:
    """What is wrong first with a row of a kind, with its place, and the keys that such a row has."""
    first = error.errors(include_url=False)[0]
    wrong = ": ".join(filter(None, (name, ".".join(map(str, first["loc"])), first["msg"])))
    keys = ", ".join(field.alias or key for key, field in row.model_fields.items())
    return KnowledgeError(wrong, where=where, instead=f"Known: {keys}")


Words = Annotated[list[str], Field(default_factory=list)]


class Picks(Row):
    """Which options are meant: every key that is given must match; a list means any of them."""

    zone: str | None = None
    remedy: str | list[str] | None = None
    method: str | list[str] | None = None
    plant: str | list[str] | None = None
    variant: str | None = None
    start_from: str | None = Field(default=None, alias="from")
    start_until: str | None = Field(default=None, alias="until")

    def match(self, w: Weighed) -> bool:
        """Whether the option is one of those meant."""
        d = w.draft

        def fits(want: str | list[str] | None, held: str) -> bool:
            return want is None or held in ([want] if isinstance(want, str) else want)

        start = d.start.isoformat() if d.start else ""
        return (
            (self.zone is None or coded(self.zone) == d.zone)
            and fits(self.remedy, d.remedy)
            and fits(self.method, d.method)
            and fits(self.plant, d.plant)
            and fits(self.variant, d.variant)
            and (self.start_from is None or (start != "" and start >= self.start_from))
            and (self.start_until is None or (start != "" and start <= self.start_until))
        )

    def __str__(self) -> str:
        return ", ".join(
            f"{key} {value}" for key, value in self.model_dump(exclude_none=True, by_alias=True).items()
        )


class ZoneExpected(Row):
    """What the programme says of a zone."""

    zone: str = ""
    decision: str | list[str]
    choice: Picks | None = None
    stopgap: Picks | None = None
    refuse: list[Picks] = Field(default_factory=list)


class VerdictExpected(Row):
    """The verdict on the best-ranked of the options meant, or on all of them.

    What is late counts as not advised, and as risky where the date may move. What is not even offered counts
    as refused.
    """

    option: Picks
    verdict: list[str]
    grades: dict[str, str] = Field(default_factory=dict)
    every: bool = False


class TaskExpected(Row):
    """When a task of the plan is done: days by hand, right within so many days; `absent` says that it is not
    there.
    """

    task: str
    zone: str = ""
    start: dt.date | None = Field(default=None, alias="from")
    until: dt.date | None = None
    latest: dt.date | None = None
    within: int = Field(default=0, ge=0)
    absent: bool = False


class SignExpected(Row):
    """What a sign that was seen means for the season."""

    sign: str
    zone: str = ""
    season: str


class OpenExpected(Row):
    """Whether a zone may be opened today."""

    zone: str = ""
    light: str
    full: str


class Said(Row):
    """Words of which at least one must be said, in any case of letters."""

    any_of: list[str] = Field(alias="any", min_length=1)


class Expected(Row):
    """What a specialist signs.

    `fate` lists what may be said of the date wanted, `sure` of how sure the advice is; `asks` lists keys of
    which one must be among the first questions that the advice leaves open; `says` is looked for in all that
    the default text says, `never` in what it tells to do.
    """

    decision: str | None = None
    zones: list[ZoneExpected] = Field(default_factory=list)
    verdicts: list[VerdictExpected] = Field(default_factory=list)
    causes: Words
    cautions: Words
    no_causes: Words
    no_cautions: Words
    needs: Words
    no_needs: Words
    proposals: Annotated[list[Annotated[str, AfterValidator(_signed_step)]], Field(default_factory=list)]
    today: Words
    fate: Words
    sure: Words
    asks: Words
    says: list[Said] = Field(default_factory=list)
    never: Words
    signs: list[SignExpected] = Field(default_factory=list)
    open: list[OpenExpected] = Field(default_factory=list)
    plan: list[TaskExpected] = Field(default_factory=list)


class Case(Row):
    """A situation, what is signed of it, and why."""

    code: str
    title: str
    signed: str
    sources: list[str]
    situation: Situation
    expect: Expected
