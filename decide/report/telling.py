"""An advice with what the way of telling it hangs on: how deep it goes, and in which units."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from decide.model import advice as model
from decide.model.advice import Advice
from decide.model.planned import Task
from decide.model.units import System, convert
from decide.plan.tasks import this_week
from decide.report.blocks import Line, Span, line
from decide.report.choices import picked
from decide.report.phrases import date_of, estimate, known, sentence, system_of
from decide.report.words import language, say

# Says a sentence of the knowledge by its code, its holes filled.
Tell = Callable[..., str]
Depth = Literal["short", "full", "reasons"]


@dataclass(frozen=True)
class Telling:
    """One advice, told at a depth in a system of units.

    `cautions_apart` says that the page has a place of its own where every caution stands whole.
    """

    advice: Advice
    depth: Depth
    system: System
    cautions_apart: bool = False

    @property
    def short(self) -> bool:
        """Whether only what fits on a page is told."""
        return self.depth == "short"

    @property
    def many(self) -> bool:
        """Whether the field has several parts, so that each is named."""
        return len(self.advice.programme) > 1

    @cached_property
    def cautions(self) -> dict[str, model.Caution]:
        """The cautions by their codes."""
        return {row.code: row for row in self.advice.cautions}

    @cached_property
    def places(self) -> dict[str, list[str]]:
        """For each caution, the parts whose choice it belongs to; a caution is printed in full once."""
        found: dict[str, list[str]] = {}
        for answer in self.advice.programme:
            for option in picked(self.advice, answer):
                for code in option.cautions:
                    zones = found.setdefault(code, [])
                    if answer.zone not in zones:
                        zones.append(answer.zone)
        return found

    @cached_property
    def today(self) -> dt.date | None:
        """The day of the advice."""
        return date_of(known(self.advice, "dates.today"))

    @cached_property
    def week(self) -> list[Task]:
        """The tasks of the seven days from the day of the advice."""
        return this_week(self.advice, self.today) if self.today is not None else []

    @property
    def idle(self) -> str:
        """That no task falls in this week; what is dangerous today is done all the same."""
        return say("nothing-else-this-week") if self.advice.today else say("nothing-this-week")

    def where(self, zones: Iterable[str]) -> tuple[Span, ...]:
        """The parts that a sentence is about, where the field has several."""
        named = list(dict.fromkeys(zone for zone in zones if zone))
        return (Span(f"{language().listed(named)}: ", "strong"),) if self.many and named else ()

    def of(self, zone: str) -> str:
        """The part that a name belongs to, where the field has several."""
        return f" ({zone})" if self.many and zone else ""

    def area(self, area_m2: float | None) -> str:
        """An area in the reader's units."""
        if area_m2 is None:
            return ""
        in_feet = self.system == "us"
        return f"{estimate(convert(area_m2, 'm2', 'ft2'))} ft²" if in_feet else f"{estimate(area_m2)} m²"

    def volume(self, litres: float) -> str:
        """An amount of water as a figure in the reader's units."""
        return estimate(convert(litres, "litre", "gal") if self.system == "us" else litres)

    def litres(self, litres: float) -> str:
        """An amount of water in the reader's units."""
        amount = self.volume(litres)
        if self.system == "us":
            return say("gallons", n=round(convert(litres, "litre", "gal"), 1), amount=amount)
        return say("litres", n=round(litres, 1), amount=amount)

    def weight(self, amount: float, unit: str) -> str:
        """An amount of a task in the reader's units; a unit with more words keeps them ("kg of nitrogen")."""
        own, _, of = unit.partition(" of ")
        if self.system == "us" and own == "kg":
            own, amount = "lb", convert(amount, "kg", "lb")
        said = language().with_unit(estimate(amount), amount, own)
        return f"{say('of-nitrogen', amount=said) if of else said}."


def telling(advice: Advice, depth: Depth, system: System | None, *, cautions_apart: bool = False) -> Telling:
    """An advice to be told; without a system the country of the advice decides."""
    return Telling(advice, depth, system or system_of(advice), cautions_apart)


def decides(who: str, depth: int, more: int = 0) -> list[Line]:
    """Who decides about a danger, where somebody does."""
    return [line(say("who-decides", who=sentence(who)), depth=depth, more=more)] if who else []


def and_more(count: int, depth: int) -> list[Line]:
    """How many lines of a list only the full advice has."""
    return [line(say("and-more", n=count), depth=depth, mark="-")] if count else []
