"""The facts of each option: what it asks of hands, water, machines and money, and what stands against its
start.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final

from decide.facts.cost import COST_KEYS, COST_VALUES, cost, in_budget_money
from decide.facts.declare import Facts, Moving, Sheet
from decide.facts.draft import Draft, offers, wished
from decide.facts.filled import Filled
from decide.facts.play import FREE_DAYS, FREE_DAYS_MOVED_BY, free_days
from decide.facts.site import site_facts
from decide.facts.start import PLANT, START, Plant, Start, growth_share
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
from decide.measure import dates, readiness, seed, water
from decide.model.situation import Offer
from decide.model.spans import WorkDay
from decide.model.work import HERBICIDE_CLASSES


@dataclass
class Here:
    """An option with its facts so far, and those of site and zone that it reads."""

    filled: Filled
    draft: Draft
    measures: Measures
    site: Mapping[str, Any]
    zone: Mapping[str, Any]
    facts: Facts = field(default_factory=dict)

    def number(self, name: str) -> float | None:
        """A fact that is a number."""
        held = self.facts.get(name)
        return held if isinstance(held, float) else None

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


class Measures:
    """What does not change between zones is measured once for each grass, method and start."""

    def __init__(self, filled: Filled) -> None:
        self.filled = filled
        self._plant: dict[tuple[str, str], Facts] = {}
        rests_on = tuple(filled.held(key) for key in START_KEYS)
        self._dated: dict[tuple[str, dt.date, str, float], Facts] = filled.measured.setdefault(rests_on, {})
        self._free: dict[tuple[str, dt.date], float | None] = {}
        self._doses: dict[tuple[str, dt.date, str], Dose | None] = {}
        self._spells: dict[dt.date, Spell | None] = {}
        self._vigour: dict[tuple[str, dt.date, str], float] = {}
        # Days by which preparation puts the start of an option off, by its code; measured for the leading
        # ones.
        self.start_short: dict[str, int] = {}

    @cached_property
    def measured_site(self) -> Facts:
        """The measured facts of the site."""
        return site_facts(self.filled, {})

    def of_plant(self, plant: str, method: str) -> Facts:
        """Facts of a grass and method wherever and whenever it is used."""
        if (plant, method) not in self._plant:
            here = Plant(self.filled, plant, method)
            PLANT.measure(here)
            self._plant[plant, method] = here.facts
        return self._plant[plant, method]

    def readiness(
        self, key: str, start: dt.date, zone: str | None = None
    ) -> Mapping[str, readiness.Readiness]:
        """Readiness by stage of a grass and start on a day; of a zone with the light and water that
        it has.
        """
        assert self.filled.season is not None
        share = 1.0 if zone is None else self.vigour(key, start, zone)
        return self.filled.season.readiness(key, dates.day_of_year(start), share)

    def vigour(self, key: str, start: dt.date, zone: str) -> float:
        """The share of full growth that a zone allows a grass after a start, as `growth_share` has it."""
        if (key, start, zone) not in self._vigour:
            self._vigour[key, start, zone] = growth_share(self.filled, key, start, zone)
        return self._vigour[key, start, zone]

    def dose(self, draft: Draft, facts: Facts) -> Dose | None:
        """The first wettings of an option on a day without rain; None where they are not known."""
        assert draft.start is not None
        filled, made_from = self.filled, str(facts["option.made-from"])
        if filled.site is None:
            return None
        wakes_on = wakes(filled, draft.key, draft.variant, draft.start)
        key = draft.method, wakes_on, soil_for_water(filled, draft.zone)[0]
        if key not in self._doses:
            self._doses[key] = first_dose(filled, made_from, facts, wakes_on, draft.zone)
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

    def _of_start(self, draft: Draft, start: dt.date, season: str, share: float) -> Facts:
        """Facts of a grass and start on a day: temperatures, heat, window, winter, readiness."""
        key = (draft.key, start, draft.variant, share)
        if key not in self._dated:
            here = Start(self.filled, draft.key, start, draft.variant, season, share)
            START.measure(here)
            self._dated[key] = here.facts
        return self._dated[key]

    def option(self, draft: Draft, zone: Mapping[str, Any]) -> Facts:
        """All facts about an option beside those of its zone and site.

        Grass that was begun counts its readiness from its own start; its means and machines are past.
        """
        if not draft.new_grass:
            return {"option.remedy": draft.remedy}
        begun, start = draft.remedy == "carry-on", draft.start
        here = Here(self.filled, draft, self, self.measured_site, zone)
        facts = here.facts
        facts["option.remedy"] = draft.remedy
        facts.update(self.of_plant(draft.plant, draft.method))
        if start is not None:
            share = 1.0 if begun or self.filled.season is None else self.vigour(draft.key, start, draft.zone)
            facts.update(self._of_start(draft, start, str(facts["option.season-type"]), share))
        NEW.measure(here)
        if not begun:
            COMING.measure(here)
            return facts
        return {name: fact for name, fact in facts.items() if name not in PAST}

    def again(self, draft: Draft, zone: Mapping[str, Any], before: Facts, moving: Moving) -> Facts:
        """The same where only some answers differ: what is not `moving` stands as it stood `before`."""
        if not draft.new_grass or not moving.facts:
            return before
        if draft.remedy == "carry-on":
            return self.option(draft, zone)
        facts = dict(before)
        for name in moving.facts:
            facts.pop(name, None)
        if moving.of_plant:
            facts.update(self.of_plant(draft.plant, draft.method))
        if moving.of_start and draft.start is not None:
            share = 1.0 if self.filled.season is None else self.vigour(draft.key, draft.start, draft.zone)
            facts.update(self._of_start(draft, draft.start, str(facts["option.season-type"]), share))
        here = Here(self.filled, draft, self, self.measured_site, zone, facts)
        for row in moving.rows:
            row.put(here)
        return facts


# What is past once grass is begun.
PAST: Final = ("option.machine", "option.days-from-today")
# All of a situation that the facts of a grass and start rest on, beside the share of full growth.
START_KEYS: Final = tuple(dict.fromkeys(key for row in START.order for key in (*row.keys, *row.also)))


# ---------- new grass ----------
@NEW.fact("option.remedy")
def _remedy(here: Here) -> str:
    return here.draft.remedy


@NEW.fact("option.variant", "option.start-kind")
def _kind(here: Here) -> tuple[str, str]:
    return here.draft.variant, here.draft.start_kind


@NEW.fact("option.area-m2", keys=["areas"])
def _area(here: Here) -> float | None:
    return here.area


@NEW.fact("option.free-days", keys=FREE_DAYS, also=FREE_DAYS_MOVED_BY)
def _free(here: Here) -> float | None:
    start = here.draft.start
    return None if start is None else here.measures.free_days(here.draft.zone, start)


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
@COMING.fact("option.method-open")
def _open(here: Here) -> str:
    return "yes" if here.draft.open else "no"


@COMING.fact("option.wished", also=["wishes.avoid", "wishes.grass", "wishes.method"])
def _wished(here: Here) -> str:
    return wished(here.filled, here.draft)


@COMING.fact("option.matches-standing", facts=["zone.main-grass", "option.lead-grass"])
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
    """The first wettings, those of a day without rain: no rain of a month takes a dry day away."""
    return None if here.draft.start is None else here.measures.dose(here.draft, here.facts)


@COMING.fact("option.visits-needed", facts=["dose"])
def _visits(here: Here) -> float | None:
    dose = _dose(here)
    return None if dose is None else float(math.ceil(dose.a_day))


@COMING.fact("option.dry-days-week", keys=SPELL_KEYS, values=SPELL_VALUES)
def _dry_days(here: Here) -> float | None:
    """Of the days whose weather decides the first wettings."""
    start = here.draft.start
    in_ = None if start is None else here.measures.spell(start)
    return None if in_ is None else WEEK * in_.dry


@COMING.fact(
    "option.visits-short", keys=["means.water", "means.wettings_weekday"], facts=["option.visits-needed"]
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
    """Litres of a day without rain, those counted that do not arrive."""
    dose = _dose(here)
    if here.area is None or dose is None:
        return None
    return water.litres_to_send(here.area, dose.depth, here.filled.library.constants.water.efficiency)


@COMING.fact("option.litres-day", facts=["litres"])
def _litres_day(here: Here) -> float | None:
    return _litres(here)


@COMING.fact("option.litres-short", facts=["litres", "site.water-litres-day"])
def _litres_short(here: Here) -> float | None:
    litres, there = _litres(here), here.site.get("site.water-litres-day")
    return None if litres is None or there is None else litres - there


@COMING.fact("option.water-hours-day", keys=["means.water", "means.flow_l_min"], facts=["litres"])
def _water_hours(here: Here) -> float | None:
    m = here.filled.situation.means
    if here.draft.start is None:
        return None
    if m.water == "none":
        return 0.0
    litres = _litres(here)
    return None if litres is None or not m.flow_l_min else water.hours_for(litres, m.flow_l_min)


@COMING.fact(
    "option.water-hours-short", also=["means.watering_hours_day", "means.water", "limits.water_hours"],
    facts=["option.water-hours-day"], values=["hours-of-a-day", "hose-hours"],
)  # fmt: skip
def _water_hours_short(here: Here) -> float | None:
    hours, there = here.number("option.water-hours-day"), hours_a_day(here.filled)
    return None if hours is None or there is None else hours - there


@COMING.fact(
    "option.water-area-m2", keys=["means.flow_l_min"],
    also=["means.watering_hours_day", "limits.water_hours"], facts=["dose"],
    values=["hours-of-a-day", "hose-hours"],
)  # fmt: skip
def _water_area(here: Here) -> float | None:
    """The area that the flow keeps wet in the hours in which it may run."""
    dose, flow, hours = _dose(here), here.filled.situation.means.flow_l_min, hours_a_day(here.filled)
    if dose is None or flow is None or hours is None:
        return None
    efficiency = here.filled.library.constants.water.efficiency
    return water.litres_a_day(flow, hours) * efficiency / dose.depth


@COMING.fact("option.water-days-short", keys=["means.water_from"])
def _water_days_short(here: Here) -> int | None:
    first, start = here.filled.situation.means.water_from, here.draft.start
    return None if first is None or start is None else (first - start).days


@COMING.fact("option.labour-hours", keys=["areas"], values=["method-labour-low", "method-labour-high"])
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


@COMING.fact("option.money-days-short", keys=["means.budget_until"])
def _money_days_short(here: Here) -> int | None:
    last, start = here.filled.situation.means.budget_until, here.draft.start
    return None if last is None or start is None else (start - last).days


@COMING.fact("option.cost", keys=COST_KEYS, also=["today", "means.contractor"], values=COST_VALUES)
def _cost(here: Here) -> dict[str, float] | None:
    found = None if here.draft.start is None else cost(here.filled, here.draft)
    return None if found is None else {"low": found[0], "high": found[1]}


@COMING.fact(
    "option.budget-short",
    keys=["means.budget", *COST_KEYS],
    also=["today", "means.contractor"],
    values=[*COST_VALUES, "currency-per-dollar"],
)
def _budget_short(here: Here) -> dict[str, float] | None:
    budget = here.filled.situation.means.budget
    if budget is None or here.draft.start is None:
        return None
    ends = in_budget_money(here.filled, here.draft)
    return None if ends is None else {"low": ends[0] - budget, "high": ends[1] - budget}


# ---------- what is on offer ----------
OFFERS: Final = ("offer",)


@COMING.fact("option.offer", keys=OFFERS, values=["thick-sod-least"])
def _offer(here: Here) -> str | None:
    if here.draft.start is None:
        return None
    return "not-told" if here.offered is None else "offered" if here.offered else "not-offered"


@COMING.fact("option.offer-days-short", keys=[*OFFERS, "today"], values=["thick-sod-least"])
def _offer_days(here: Here) -> float | None:
    offer, start = here.offer, here.draft.start
    if offer is None or offer.lead_days is None or start is None:
        return None
    return offer.lead_days - (start - here.filled.today).days


@COMING.fact("option.offer-thickness-mm", keys=OFFERS, values=["thick-sod-least"])
def _offer_thickness(here: Here) -> float | None:
    return None if here.offer is None else here.offer.thickness_mm


@COMING.fact("option.offer-grown-on", keys=[*OFFERS, "offer.grown_on"], values=["thick-sod-least"])
def _offer_grown_on(here: Here) -> str | None:
    return None if here.offer is None else here.offer.grown_on


@COMING.fact("option.offer-treated", keys=OFFERS, values=["thick-sod-least"])
def _offer_treated(here: Here) -> str | None:
    if here.offer is None or here.offer.treated is None:
        return None
    return "yes" if here.offer.treated else "no"


@COMING.fact("option.offer-pls", keys=OFFERS, values=["thick-sod-least"])
def _offer_pls(here: Here) -> float | None:
    offer = here.offer
    if offer is None or offer.purity is None or offer.germination is None:
        return None
    return 100 * seed.pure_live_seed(offer.purity / 100, offer.germination / 100)


# ---------- what puts it off ----------
@COMING.fact("option.start-short")
def _start_short(here: Here) -> int | None:
    return here.measures.start_short.get(here.draft.code)


@COMING.fact("option.weeks-since", keys=["today"], facts=["zone.weeks-since"])
def _weeks_since(here: Here) -> dict[str, float] | None:
    start = here.draft.start
    if start is None:
        return None
    ahead = (start - here.filled.today).days / 7
    held = {kind: here.zone.get(f"zone.weeks-since.{kind}") for kind in HERBICIDE_CLASSES}
    return {kind: weeks + ahead for kind, weeks in held.items() if isinstance(weeks, float)}
