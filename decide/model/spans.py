"""Spans of days and of hours, and days of work, as a situation tells them."""

from __future__ import annotations

from pydantic import Field, model_validator

from decide.model.written import ClockTime, Day, Part, between


class Span(Part):
    """Days from one date to another, both counted."""

    start: Day = Field(alias="from", description="first day")
    until: Day = Field(description="last day")

    @model_validator(mode="after")
    def _in_order(self) -> Span:
        if self.until < self.start:
            raise ValueError(
                f"runs backwards: from {self.start} until {self.until}; write the earlier date first"
            )
        return self


class Hours(Part):
    """Hours of the day from one time to another; past midnight where the second comes before the first."""

    start: ClockTime = Field(alias="from", description="first minute, as 18:00")
    until: ClockTime = Field(description="last minute, as 10:00")


class WorkDay(Part):
    """A day on which many hands come together."""

    date: Day = Field(description="the day")
    people: int | None = between(1, 500, 5, "people who come")
    hours: float | None = between(0.5, 24, 1, "hours that each of them works")
