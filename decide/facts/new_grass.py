"""The facts of new grass: what it asks of hands, water, machines and money, and what stands against its
start.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final

from decide.facts.cost import COST_KEYS, COST_VALUES, budget_ends, cost
from decide.facts.declare import Facts, Sheet
from decide.facts.draft import Draft, lead_days, offers, wished
from decide.facts.filled import Filled
from decide.facts.play import FREE_DAYS, FREE_DAYS_MOVED_BY, days_to_play, free_days
from decide.facts.wetting import (
    DOSE_MOVED_BY,
    DOSE_VALUES,
    SPELL_KEYS,
    SPELL_VALUES,
    WEEK,
    Dose,
    Spell,
    first_dose,
    first_spell,
    hours_a_day,
    soil_for_water,
    wakes,
)
from decide.measure import water
from decide.model.situation import Offer
from decide.model.spans import WorkDay
from decide.model.work import HERBICIDE_CLASSES


class Common:
    """What options have in common, measured once."""

    def __init__(self, filled: Filled) -> None:
        self.filled = filled
        self._free: dict[tuple[str, dt.date], float | None] = {}
        self._to_play: dict[tuple[str, dt.date], float | None] = {}
        self._doses: dict[tuple[str, dt.date, str], Dose | None] = {}
        self._spells: dict[dt.date, Spell | None] = {}
        self._wakes: dict[tuple[str, str, dt.date], dt.date] = {}
        self._soils: dict[str, str] = {}
        # Days by which preparation puts the start of an option off, by its code; measured for the leading
        # ones.
        self.start_short: dict[str, int] = {}

    def dose(self, draft: Draft, facts: Facts) -> Dose | None:
        """The first wettings of an option on a day without rain; None where they are not known."""
        assert draft.start is not None
        filled, made_from = self.filled, str(facts["option.made-from"])
        if filled.site is None:
            return None
        began = draft.key, draft.variant, draft.start
        if began not in self._wakes:
            self._wakes[began] = wakes(filled, *began)
        if draft.zone not in self._soils:
            self._soils[draft.zone] = soil_for_water(filled, draft.zone)[0]
        key = draft.method, self._wakes[began], self._soils[draft.zone]
        if key not in self._doses:
            self._doses[key] = first_dose(filled, made_from, facts, key[1], draft.zone, self.spell)
        return self._doses[key]

    def spell(self, start: dt.date) -> Spell | None:
        """The usual weather of the days whose wettings are judged."""
        if start not in self._spells:
            self._spells[start] = first_spell(self.filled, start)
        return self._spells[start]

    def free_days(self, zone: str, start: dt.date) -> float | None:
        """Days from a start until somebody plays again, or until the date wanted where that is earlier."""
        if (zone, start) not in self._free:
            self._free[zone, start] = free_days(self.filled, zone, start)
        return self._free[zone, start]

    def days_to_play(self, zone: str, start: dt.date) -> float | None:
        """Days from a start until somebody plays again, whatever date is wanted."""
        if (zone, start) not in self._to_play:
            self._to_play[zone, start] = days_to_play(self.filled, zone, start)
        return self._to_play[zone, start]


@dataclass
class Here:
    """An option with its facts so far, and those of site and zone that it reads."""

    filled: Filled
    draft: Draft
    measures: Common
    site: Mapping[str, Any]
    zone: Mapping[str, Any]
    facts: Facts = field(default_factory=dict)

    def number(self, name: str) -> float | None:
        """A fact that is a number."""
        held = self.facts.get(name)
        return held if isinstance(held, float) else None

    @property
    def is_dated(self) -> bool:
        """Whether it has a start."""
        return self.draft.start is not None

    @cached_property
    def dose(self) -> Dose | None:
        """The first wettings, those of a day without rain: no rain of a month takes a dry day away."""
        return None if self.draft.start is None else self.measures.dose(self.draft, self.facts)

    @cached_property
    def litres(self) -> float | None:
        """Litres of a day without rain, those counted that do not arrive."""
        if self.area is None or self.dose is None:
            return None
        return water.litres_to_send(
            self.area, self.dose.depth, self.filled.library.constants.water.efficiency
        )

    @cached_property
    def area(self) -> float | None:
        """The area to be done, where it is known when it is begun."""
        return None if self.draft.start is None else self.filled.areas.get(self.draft.zone)

    @cached_property
    def offered(self) -> list[int] | None:
        """The places of the offers that fit; None where nobody told of offers."""
        return None if self.draft.start is None else offers(self.filled, self.draft)

    @property
    def offer(self) -> Offer | None:
        """The first offer that fits."""
        return (self.filled.situation.offer or [])[self.offered[0]] if self.offered else None


# New grass, begun already or to come.
NEW: Final = Sheet[Here]()
# New grass that is to come.
COMING: Final = Sheet[Here]()
# What a measurement reads of a draft where it looks for offers, and where for prices.
OFFERED: Final = ("draft.method", "draft.plant", "draft.planted_as", "is_dated")
PRICED: Final = (*OFFERED, "draft.variant", "draft.zone")


# ---------- new grass ----------
@NEW.fact("option.remedy", of=["draft.remedy"])
def _remedy(here: Here) -> str:
    return here.draft.remedy


@NEW.fact("option.variant", "option.start-kind", of=["draft.variant", "draft.start_kind"])
def _kind(here: Here) -> tuple[str, str]:
    return here.draft.variant, here.draft.start_kind


@NEW.fact("option.area-m2", keys=["areas"], of=["draft.zone", "is_dated"])
def _area(here: Here) -> float | None:
    return here.area


@NEW.fact("option.free-days", keys=FREE_DAYS, also=FREE_DAYS_MOVED_BY, of=["draft.zone", "draft.start"])
def _free(here: Here) -> float | None:
    start = here.draft.start
    return None if start is None else here.measures.free_days(here.draft.zone, start)


@NEW.fact(
    "option.days-to-play",
    keys=[key for key in FREE_DAYS if key != "dates.play_by"],
    also=FREE_DAYS_MOVED_BY,
    of=["draft.zone", "draft.start"],
)
def _to_play(here: Here) -> float | None:
    start = here.draft.start
    return None if start is None else here.measures.days_to_play(here.draft.zone, start)


def _free_short(here: Here, late: str) -> float | None:
    days, free = here.number(late), here.number("option.free-days")
    return None if days is None or free is None else days - free


@NEW.fact("option.free-short-light", facts=["option.free-days", "option.light-use-days"])
def _short_light(here: Here) -> float | None:
    return _free_short(here, "option.light-use-days.late")


@NEW.fact("option.free-short-full", facts=["option.free-days", "option.full-play-days"])
def _short_full(here: Here) -> float | None:
    return _free_short(here, "option.full-play-days.late")


@NEW.fact("option.closed-short", keys=["dates.can_close_weeks"], facts=["option.light-use-days"])
def _closed_short(here: Here) -> float | None:
    weeks, light = here.filled.situation.dates.can_close_weeks, here.number("option.light-use-days.late")
    return None if weeks is None or light is None else light - WEEK * weeks


# ---------- new grass that is to come ----------
@COMING.fact("option.method-open", of=["draft.open"])
def _open(here: Here) -> str:
    return "yes" if here.draft.open else "no"


@COMING.fact(
    "option.wished",
    also=["wishes.avoid", "wishes.grass", "wishes.method"],
    of=["draft.plant", "draft.method"],
)
def _wished(here: Here) -> str:
    return wished(here.filled, here.draft)


@COMING.fact(
    "option.matches-standing",
    facts=["zone.main-grass", "option.lead-grass"],
    of=["draft.zone", "draft.plant"],
)
def _matches(here: Here) -> str | None:
    """Whether new grass is the one that stands there, goes into it without showing, or is another."""
    main, lead = here.zone.get("zone.main-grass"), here.facts["option.lead-grass"]
    if main is None or main == "unknown":
        return None
    if lead == main:
        return "same"
    return "blends" if lead in here.filled.library.knowledge.grasses[main].blends else "other"


@COMING.quantity(
    "dose", keys=SPELL_KEYS, also=DOSE_MOVED_BY,
    facts=["option.made-from", "option.method"], values=DOSE_VALUES,
)  # fmt: skip
def _dose(here: Here) -> Dose | None:
    return here.dose


@COMING.fact(
    "option.visits-needed",
    facts=["dose"],
    of=["dose"],
)
def _visits(here: Here) -> float | None:
    dose = here.dose
    return None if dose is None else float(math.ceil(dose.a_day))


@COMING.fact("option.dry-days-week", keys=SPELL_KEYS, values=SPELL_VALUES, of=["draft.start"])
def _dry_days(here: Here) -> float | None:
    """Of the days whose weather decides the first wettings."""
    start = here.draft.start
    in_ = None if start is None else here.measures.spell(start)
    return None if in_ is None else WEEK * in_.dry


@COMING.fact(
    "option.visits-short",
    keys=["means.water", "means.wettings_weekday"],
    facts=["option.visits-needed"],
    of=["dose"],
)
def _visits_short(here: Here) -> float | None:
    needed, m = here.number("option.visits-needed"), here.filled.situation.means
    if needed is None:
        return None
    if m.water == "in-ground sprinklers" and m.wettings_weekday is None:
        return 0.0
    if m.water == "none":
        return needed
    return None if m.wettings_weekday is None else water.visits_short(needed, m.wettings_weekday)


@COMING.quantity("litres", keys=["areas"], facts=["dose"])
def _litres(here: Here) -> float | None:
    return here.litres


@COMING.fact(
    "option.litres-day",
    facts=["litres"],
    of=["litres"],
)
def _litres_day(here: Here) -> float | None:
    return here.litres


@COMING.fact(
    "option.litres-short",
    facts=["litres", "site.water-litres-day"],
    of=["litres"],
)
def _litres_short(here: Here) -> float | None:
    litres, there = here.litres, here.site.get("site.water-litres-day")
    return None if litres is None or there is None else litres - there


@COMING.fact(
    "option.water-hours-day",
    keys=["means.water", "means.flow_l_min"],
    facts=["litres"],
    of=["litres", "is_dated"],
)
def _water_hours(here: Here) -> float | None:
    m = here.filled.situation.means
    if here.draft.start is None:
        return None
    if m.water == "none":
        return 0.0
    litres = here.litres
    return None if litres is None or not m.flow_l_min else water.hours_for(litres, m.flow_l_min)


@COMING.fact(
    "option.water-hours-short", also=["means.watering_hours_day", "means.water", "limits.water_hours"],
    facts=["option.water-hours-day"], values=["hours-of-a-day", "hose-hours"], of=["litres", "is_dated"],
)  # fmt: skip
def _water_hours_short(here: Here) -> float | None:
    hours, there = here.number("option.water-hours-day"), hours_a_day(here.filled)
    return None if hours is None or there is None else hours - there


@COMING.fact(
    "option.water-area-m2", keys=["means.flow_l_min"],
    also=["means.watering_hours_day", "limits.water_hours"], facts=["dose"],
    values=["hours-of-a-day", "hose-hours"], of=["dose"],
)  # fmt: skip
def _water_area(here: Here) -> float | None:
    """The area that the flow keeps wet in the hours in which it may run."""
    dose, flow, hours = here.dose, here.filled.situation.means.flow_l_min, hours_a_day(here.filled)
    if dose is None or flow is None or hours is None:
        return None
    efficiency = here.filled.library.constants.water.efficiency
    return water.litres_a_day(flow, hours) * efficiency / dose.depth


@COMING.fact("option.water-days-short", keys=["means.water_from"], of=["draft.start"])
def _water_days_short(here: Here) -> int | None:
    first, start = here.filled.situation.means.water_from, here.draft.start
    return None if first is None or start is None else (first - start).days


@COMING.fact(
    "option.labour-hours",
    keys=["areas"],
    values=["method-labour-low", "method-labour-high"],
    of=["draft.zone", "draft.method", "is_dated"],
)
def _labour(here: Here) -> dict[str, float] | None:
    number, method = here.filled.library.number, here.draft.method
    low, high = number("method-labour-low", method), number("method-labour-high", method)
    if here.area is None or low is None or high is None:
        return None
    return {"low": low * here.area / 1000, "high": high * here.area / 1000}


def hours_of_day(filled: Filled, day: WorkDay) -> float:
    """Hours of work that a day on which many hands come brings."""
    people, each = (filled.library.number(f"work-day-{what}") or 0.0 for what in ("people", "hours"))
    return (people if day.people is None else day.people) * (each if day.hours is None else day.hours)


def _work_days(filled: Filled, start: dt.date, weeks: float) -> float:
    """Hours of the days on which many hands come together, in the weeks before a start and the week
    after it.
    """
    days = [(day.date, hours_of_day(filled, day)) for day in filled.situation.means.work_days or []]
    return sum(
        hours for date, hours in days if filled.today <= date and -WEEK * weeks <= (date - start).days < WEEK
    )


@COMING.fact(
    "option.hours-short", keys=["means.work_hours_per_week", "means.helpers", "today"],
    also=["means.work_days"], facts=["option.labour-hours"],
    values=["helper-hours", "work-spread-weeks", "work-day-people", "work-day-hours"],
    of=["draft.zone", "draft.method", "draft.start"],
)  # fmt: skip
def _hours_short(here: Here) -> dict[str, float | None] | None:
    """Hours of work beyond those that all hands have in the weeks up to the start, one week at least, with
    days of work that were told.
    """
    number, m, start = here.filled.library.number, here.filled.situation.means, here.draft.start
    each, most, a_week = number("helper-hours"), number("work-spread-weeks"), m.work_hours_per_week
    if a_week is None and m.helpers is not None and each is not None:
        a_week = m.helpers * each
    if a_week is None and m.work_days:
        a_week = 0.0
    if a_week is None or most is None or start is None:
        return None
    there = a_week * min(most, max(1.0, (start - here.filled.today).days / WEEK))
    there += _work_days(here.filled, start, most)
    hours = {end: here.number(f"option.labour-hours.{end}") for end in ("low", "high")}
    return {end: None if each is None else each - there for end, each in hours.items()}


@COMING.fact("option.money-days-short", keys=["means.budget_until"], of=["draft.start"])
def _money_days_short(here: Here) -> int | None:
    last, start = here.filled.situation.means.budget_until, here.draft.start
    return None if last is None or start is None else (start - last).days


@COMING.fact(
    "option.money-days-wait",
    keys=["means.budget_from"],
    also=["offer"],
    values=["lead-order", "thick-sod-least"],
    of=[*OFFERED, "draft.start"],
)
def _money_days_wait(here: Here) -> int | None:
    first, start = here.filled.situation.means.budget_from, here.draft.start
    if first is None or start is None:
        return None
    return (first - start).days + lead_days(here.filled, here.draft)


@COMING.fact("option.cost", keys=COST_KEYS, also=["today", "means.contractor"], values=COST_VALUES, of=PRICED)
def _cost(here: Here) -> dict[str, float] | None:
    found = None if here.draft.start is None else cost(here.filled, here.draft)
    return None if found is None else {"low": found[0], "high": found[1]}


@COMING.fact(
    "option.budget-short",
    keys=["means.budget", *COST_KEYS, "assumed_areas", "means.contractor"],
    also=["today"],
    facts=["option.machine", "option.by-hand", "option.hours-short"],
    values=[*COST_VALUES, "sod-spare-low", "sod-spare-high", "currency-per-dollar", "hand-area"],
    of=[*PRICED, "draft.start"],
)
def _budget_short(here: Here) -> dict[str, float] | None:
    budget = here.filled.situation.means.budget
    if budget is None or here.draft.start is None:
        return None
    most = here.filled.library.number("hand-area", here.draft.method)
    by_hand = here.facts["option.by-hand"] != "no" and most is not None and (here.area or 0) <= most
    machine = by_hand or here.facts.get("option.machine") in ("own", "hire")
    own_hands = machine and (here.number("option.hours-short.low") or 0) <= 0
    ends = budget_ends(here.filled, here.draft, budget, own_hands)
    return None if ends is None else {"low": ends[0] - budget, "high": ends[1] - budget}


# ---------- what puts it off ----------
@COMING.fact("option.start-short")
def _start_short(here: Here) -> int | None:
    return here.measures.start_short.get(here.draft.code)


@COMING.fact(
    "option.weeks-since", keys=["today"], facts=["zone.weeks-since"], of=["draft.zone", "draft.start"]
)
def _weeks_since(here: Here) -> dict[str, float] | None:
    start = here.draft.start
    if start is None:
        return None
    ahead = (start - here.filled.today).days / 7
    held = {kind: here.zone.get(f"zone.weeks-since.{kind}") for kind in HERBICIDE_CLASSES}
    return {kind: weeks + ahead for kind, weeks in held.items() if isinstance(weeks, float)}
