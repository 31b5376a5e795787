"""A row of the advice, and what rows of several kinds hold: ranges of days, costs, hours."""

from __future__ import annotations

import datetime as dt
from typing import Literal

from pydantic import BaseModel, ConfigDict


class Row(BaseModel):
    """A row of the advice; rows never change once made."""

    # JSON has no infinite numbers; models are built when first used, for few commands use all of them.
    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, defer_build=True)

    def date(self, name: str) -> dt.date | None:
        """The date in a field whose JSON is ISO text, as `task.date("until")`; None where there is none.

        ValueError where the field holds no date, AttributeError where there is no such field.
        """
        text = getattr(self, name)
        try:
            return None if text is None else dt.date.fromisoformat(text)
        except (TypeError, ValueError):
            raise ValueError(f"{name} holds no date but {text!r}") from None


class DayRange(Row):
    """An early and a late date, never one number; None where no date can be given."""

    early: str | None
    late: str | None


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


Verdict = Literal["advised", "sound", "risky", "late", "not-advised", "ruled-out"]


Judgement = Literal["sound", "sound-if", "not-advised", "ruled-out"]


Grade = Literal["lost", "poor", "weak", "unknown", "doubtful", "fair", "strong"]


# What one reason says of an option; a reason is never of unknown grade.
ReasonGrade = Literal["ruled-out", "lost", "poor", "weak", "doubtful", "fair", "strong"]


Decision = Literal[
    "recover", "repair", "renovate", "stopgap then renovate", "use less", "mend the cause first", "move play",
    "call an expert", "wait", "tend the turf", "carry on", "none sound", "left alone", "nothing to do",
]  # fmt: skip
