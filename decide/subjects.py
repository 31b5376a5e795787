"""The facts of the site, of each zone, of each option and of each proposal: told ones as they stand, the others measured."""

from __future__ import annotations

import dataclasses
import datetime as dt
import math
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from typing import Any, Final

from decide.engine.language import Fact, FactType, rounded
from decide.errors import DecideError
from decide.fill import Filled, zone_of
from decide.measure import dates, growth, seed, soil, water
from decide.options import BEGINNINGS, START_KINDS, Draft, begun, is_free, lead_grass, offers, wished
from decide.situation import HERBICIDE_CLASSES, MONTHS, Offer, Proposal, Standing, Zone, coded, of_zone
from decide.units import convert

Facts = dict[str, Fact]

VALUES_READ: Final = frozenset({
    "youth-hour-share", "recovery-weeks-low", "recovery-weeks-high", "first-wettings", "first-wetting-depth", "visit-hours", "peak-heat-least",
    "method-labour-low", "method-labour-high", "cost-installed-low", "cost-installed-high", "cost-material-low",
    "cost-material-high", "cost-year", "seed-rate-new-low", "seed-rate-new-high", "thick-sod-least", "field-length-low",
    "field-length-high", "field-width-low", "field-width-high", "advice-days", "goal-area",
    "sun-hours-least", "growth-share-least", "start-report-holds",
})  # fmt: skip
ESTABLISHING: Final = ("sow", "overseed", "lay-sod", "sprig", "plug")


def as_fact(value: Any) -> Fact | None:
    """A value of the situation as rules see it; None where it is unknown."""
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, (int, float)):
        return rounded(float(value))
    if isinstance(value, str):
        return coded(value)
    return None


def _told(types: Iterable[FactType], scope: str, tables: Mapping[str, Any]) -> Facts:
    """The told facts of one scope; a list gives one fact for each of its members, true or false."""
    facts: Facts = {}
    for kind in types:
        if kind.kind != "told" or kind.scope != scope:
            continue
        table, _, key = kind.told.rpartition(".")
        holder = tables.get(table)
        value = getattr(holder, key, None) if holder is not None else None
        if value is None:
            continue
        if isinstance(value, list):
            member = kind.name.rpartition(".")[2]
            facts[kind.name] = member in {coded(str(item)) for item in value}
        else:
            fact = as_fact(value)
            if fact is not None:
                facts[kind.name] = fact
    return facts


def _put(facts: Facts, name: str, value: float | str | bool | None) -> None:
    """Add a fact unless it is unknown."""
    fact = as_fact(value)
    if fact is not None:
        facts[name] = fact


# ---------- site ----------
def _hours(filled: Filled, month: str) -> float | None:
    uses = filled.situation.use
    if uses is None or any(use.hours_per_week is None or use.months is None for use in uses):
        return None
    return sum(use.hours_per_week or 0 for use in uses if month in (use.months or []))


def _adult_hours(filled: Filled, month: str) -> float | None:
    """Hours a week in a month, those of young people counted by their share."""
    uses = filled.situation.use
    if uses is None or any(use.hours_per_week is None or use.months is None for use in uses):
        return None
    share = filled.library.number("youth-hour-share")
    total = 0.0
    for use in uses:
        if month in (use.months or []):
            weight = share if use.players == "youth" and share is not None else 1.0
            total += weight * (use.hours_per_week or 0)
    return total


def _free_days(filled: Filled, zone: str, start: dt.date) -> float | None:
    """Days from a start until somebody plays again, or until the date wanted where that is earlier."""
    play_by = filled.situation.dates.play_by
    limit = (play_by - start).days if play_by is not None and play_by >= start else None
    if zone_of(filled, zone).in_play is False:
        return limit
    known = False
    for step in range(366):
        free = is_free(filled, zone, start + dt.timedelta(days=step))
        if free is None:
            break
        known = True
        if not free:
            return step if limit is None else min(step, limit)
    if not known:
        return None
    return limit if limit is not None else 365


def site_facts(filled: Filled, types: Mapping[str, FactType]) -> Facts:
    """All facts about the site."""
    s = filled.situation
    facts = _told(
        types.values(), "site",
        {"place": s.place, "dates": s.dates, "site": s.site, "field": s.field, "now": filled.now, "history": s.history, "means": s.means, "limits": s.limits},
    )  # fmt: skip
    _put(facts, "site.country", filled.country or None)
    _put(facts, "site.region", filled.region or None)
    _put(facts, "site.hemisphere", filled.hemisphere or None)
    if "site.play-by-firm" not in facts:
        facts["site.play-by-firm"] = False
    if s.dates.play_by is not None:
        _put(facts, "site.days-to-play-by", (s.dates.play_by - filled.today).days)
    peaks = [hours for month in MONTHS if (hours := _hours(filled, month)) is not None]
    if peaks:
        _put(facts, "site.hours-peak", max(peaks))
    ground = "sand" if s.field.rootzone in ("sand cap", "sand built") else s.field.drainage
    _put(facts, "site.ground-class", ground)
    m = s.means
    visits = m.wettings_weekday if m.water != "none" else 0.0
    _put(facts, "site.visits-weekday", visits)
    if m.water == "none":
        _put(facts, "site.water-litres-day", 0.0)
    elif m.flow_l_min is not None:
        each = filled.library.number("visit-hours")
        hours = m.watering_hours_day
        if hours is None and visits is not None and each is not None:
            hours = visits * each
        if hours is not None:
            _put(facts, "site.water-litres-day", water.litres_a_day(m.flow_l_min, hours))
    if filled.site is not None:
        _season(filled, facts)
    return facts


def _season(filled: Filled, facts: Facts) -> None:
    """What the place and the day of the year say."""
    site, now = filled.site, filled.now
    assert site is not None
    day = dates.day_of_year(filled.today)
    if filled.climate is not None:
        _put(facts, "site.climate", filled.climate.code)
    _put(facts, "site.coldest-normal-c", site.year.low)
    _put(facts, "site.warmest-normal-c", site.year.peak)
    told_air = None
    if now.day_temp_c is not None and now.night_temp_c is not None:
        told_air = (now.day_temp_c + now.night_temp_c) / 2
    _put(facts, "site.air-c-now", told_air if told_air is not None else site.year.normal(day))
    for name, frost in (("first", site.frost.first), ("killing", site.frost.killing)):
        if frost is not None and site.frost.kind in ("usual", "some-years"):
            _put(facts, f"site.days-to-{name}-frost", dates.days_ahead(day, frost))
    if site.climate.rain:
        season = "warm" if site.heat_today("warm", day) > site.heat_today("cool", day) else "cool"
        _put(facts, "site.rain-short-mm-week", _rain_short(filled, day, season))


def _rain_short(filled: Filled, day: int, season: str) -> float | None:
    """Water that turf lacks a week about a day of the year, beyond usual rain; negative where rain is more."""
    site = filled.site
    if site is None or not site.climate.rain or filled.latitude is None or filled.climate is None:
        return None
    need = _need(filled, day, season)
    month = dates.month_of(day)
    return None if need is None else water.rain_short_mm_a_week(need, site.climate.rain[month - 1], dates.MONTH_LENGTHS[month - 1])


def _need(filled: Filled, day: int, season: str) -> float | None:
    if filled.season is None or filled.latitude is None:
        return None
    return water.need_mm_a_day(filled.season.site.year.normal(day), filled.latitude, day, filled.season.climate.code, season, filled.season.water)


# ---------- zones ----------
def _main_grass(filled: Filled, zone: Zone) -> str | None:
    names = filled.library.knowledge.plants
    living = [g for g in zone.grass or [] if g.state != "dead"]
    if not living:
        return None
    best = max(living, key=lambda g: (g.share_percent if g.share_percent is not None else 50.0))
    if best.grass == "unknown":
        return "unknown"
    code = names.get(best.grass, best.grass)
    if code not in filled.library.knowledge.grasses and code not in filled.library.knowledge.mixtures:
        from decide.errors import SituationError, meant

        raise SituationError(f"zone {zone.name!r}: {best.grass!r} is not a grass here", where="situation", instead=meant(best.grass, names))
    return lead_grass(filled.library.knowledge, code)


def _shares(grasses: Sequence[Standing]) -> list[tuple[Standing, float]]:
    """Each grass with its share in percent; those without one share what is left alike."""
    told = sum(g.share_percent or 0 for g in grasses)
    untold = sum(g.share_percent is None for g in grasses)
    each = max(0.0, 100 - told) / untold if untold else 0.0
    return [(g, each if g.share_percent is None else g.share_percent) for g in grasses]


def zone_facts(filled: Filled, zone: Zone, types: Mapping[str, FactType]) -> Facts:
    """All facts about one zone."""
    s, code = filled.situation, coded(zone.name)
    facts = _told(types.values(), "zone", {"zone": zone})
    # A part is worked on until somebody says to keep off; the advice shows this as assumed.
    facts.setdefault("zone.keep-off", False)
    # Somebody who names no cause has no idea of it: that is known, and leaves the cause itself to the signs.
    facts.setdefault("zone.cause", "unknown")
    if "zone.sun-hours" not in facts:
        _put(facts, "zone.sun-hours", s.field.sun_hours)
    if code in filled.areas:
        facts["zone.area-m2"] = rounded(filled.areas[code])
    if zone.bare_percent is not None:
        shares = _shares(zone.grass or [])
        dead, dormant, green = (sum(share for g, share in shares if g.state == state) for state in ("dead", "dormant", "green"))
        standing = max(0.0, 100 - zone.bare_percent - (zone.weeds_percent or 0))
        _put(facts, "zone.living-percent", 0.0 if zone.grass == [] else standing * (100 - min(100, dead)) / 100)
        if zone.grass is not None:
            _put(facts, "zone.dormant-percent", standing * min(100, dormant) / 100)
            if green or not (dormant or dead):
                _put(facts, "zone.green-percent", standing * (min(100, green) if green else 100) / 100)
    main = _main_grass(filled, zone)
    _put(facts, "zone.main-grass", main)
    if zone.grass == [] or (zone.grass and main is None):
        _put(facts, "zone.main-habit", "none")
    if main is not None and main != "unknown":
        row = filled.library.knowledge.grasses[main]
        _put(facts, "zone.main-season-type", row.season_type)
        _put(facts, "zone.main-habit", row.habit)
        if filled.site is not None:
            _zone_season(filled, facts, row.season_type, main)
    _history(filled, code, facts, types)
    return facts


def _zone_season(filled: Filled, facts: Facts, season: str, main: str) -> None:
    site = filled.site
    assert site is not None
    day = dates.day_of_year(filled.today)
    _put(facts, "zone.heat-now", site.heat_today(season, day))
    _put(facts, "zone.weeks-of-growth-left", site.growing_days_left(season, day) / 7)
    play_by = filled.situation.dates.play_by
    for part, end in (("early", "low"), ("late", "high")):
        weeks = filled.library.number(f"recovery-weeks-{end}", main)
        days = None if weeks is None else site.days_of_growth(season, day, weeks * 7, filled.library.number("peak-heat-least", season))
        _put(facts, f"zone.recovery-days.{part}", days)
        if days is not None and play_by is not None:
            _put(facts, f"zone.recovery-spare.{part}", (play_by - filled.today).days - days)
    growing, resting = _hours_by_growth(filled, season)
    _put(facts, "zone.hours-growing", growing)
    _put(facts, "zone.hours-resting", resting)


def _hours_by_growth(filled: Filled, season: str) -> tuple[float | None, float | None]:
    """Adult hours a week in the busiest month with growth, and in the busiest without."""
    site = filled.site
    assert site is not None
    growing: list[float] = []
    resting: list[float] = []
    for number, month in enumerate(MONTHS, start=1):
        hours = _adult_hours(filled, month)
        if hours is None:
            return None, None
        (growing if site.grows(season, dates.middle_of_month(number)) else resting).append(hours)
    return (max(growing) if growing else None), (max(resting) if resting else None)


def _history(filled: Filled, zone: str, facts: Facts, types: Mapping[str, FactType]) -> None:
    """What was done before. Where a list is told and names nothing here, it is as long ago as the fact can say."""
    h, codes = filled.situation.history, [coded(each.name) for each in filled.situation.zone]
    if h.herbicides is not None:
        for kind in HERBICIDE_CLASSES:
            used = [spray.date for spray in h.herbicides if spray.kind == kind and of_zone(spray.zone, zone, codes)]
            facts[f"zone.sprayed.{kind}"] = bool(used)
            if used:
                _put(facts, f"zone.weeks-since.{kind}", (filled.today - max(used)).days / 7)
    under_way = begun(filled, zone)
    for name, rows, kinds in (("sown", h.sown, ("seed",)), ("sod", h.sod_laid, ("sod", "thick-sod"))):
        days = [row.date for row in rows or [] if of_zone(row.zone, zone, codes)]
        if under_way is not None and under_way.start is not None and START_KINDS[under_way.method] in kinds:
            days.append(under_way.start)
        if rows is None and not days:
            continue
        long_ago = types[f"zone.weeks-since-{name}"].high
        _put(facts, f"zone.weeks-since-{name}", (filled.today - max(days)).days / 7 if days else long_ago)


# ---------- options ----------
def _start_rests_on(filled: Filled) -> tuple[Any, ...]:
    """All of a situation that the facts of a grass and start on a day rest on."""
    dates_told = filled.situation.dates
    return filled.season, filled.today, filled.country, filled.region, filled.now.soil_temp_c, dates_told.play_by, dates_told.first_use


class Measures:
    """What does not change between zones is measured once for each grass, method and start."""

    def __init__(self, filled: Filled) -> None:
        self.filled = filled
        self._plant: dict[tuple[str, str], Facts] = {}
        self._dated: dict[tuple[str, dt.date, str], Facts] = filled.measured.setdefault(_start_rests_on(filled), {})
        self._free: dict[tuple[str, dt.date], float | None] = {}
        self._vigour: dict[tuple[str, dt.date, str], float] = {}

    def of_plant(self, plant: str, method: str) -> Facts:
        """Facts of a grass and method wherever and whenever it is used."""
        if (plant, method) not in self._plant:
            self._plant[plant, method] = self._plant_facts(plant, method)
        return self._plant[plant, method]

    def _plant_facts(self, plant: str, method: str) -> Facts:
        knowledge = self.filled.library.knowledge
        lead = lead_grass(knowledge, plant)
        grass, way = knowledge.grasses[lead], knowledge.methods[method]
        facts: Facts = {
            "option.method": method, "option.grass": plant, "option.lead-grass": lead,
            "option.mixture": plant if plant in knowledge.mixtures else "none",
            "option.season-type": grass.season_type, "option.habit": grass.habit, "option.life": grass.life,
            "option.made-from": way.made_from, "option.by-hand": way.by_hand, "option.slope-holding": way.slope_holding,
            "option.cost-class": way.cost_class, "option.sport": grass.sport, "option.wear": grass.wear,
            "option.recovery": grass.recovery, "option.shade": grass.shade, "option.salt": grass.salt,
            "option.drought": grass.drought, "option.cold": grass.cold, "option.heat": grass.heat,
        }  # fmt: skip
        if self.filled.climate is not None:
            facts["option.climate-fit"] = grass.climates[self.filled.climate.code]
        machine = self._machine(method)
        if machine is not None:
            facts["option.machine"] = machine
        if self.filled.site is not None:
            growing, resting = _hours_by_growth(self.filled, grass.season_type)
            _put(facts, "option.hours-growing", growing)
            _put(facts, "option.hours-resting", resting)
        return facts

    def _machine(self, method: str) -> str | None:
        """Where the machines come from: the worst over the groups that are needed; None where it cannot be known."""
        m = self.filled.situation.means
        worst: list[str] = []
        for group in self.filled.library.knowledge.methods[method].machines:
            own = {coded(tool) for tool in m.equipment_own or []}
            if m.water == "hand hose":
                own.add("hose")
            if m.water in ("travelling sprinkler", "in-ground sprinklers"):
                own |= {"hose", "travelling-sprinkler"}
            if set(group) & own:
                worst.append("own")
            elif set(group) & {coded(tool) for tool in m.equipment_hire or []}:
                worst.append("hire")
            elif m.contractor:
                worst.append("contractor")
            elif m.equipment_own is None and m.equipment_hire is None:
                return None
            elif m.equipment_own is None or m.equipment_hire is None or m.contractor is None:
                worst.append("unknown")
            else:
                worst.append("missing")
        for level in ("missing", "unknown", "contractor", "hire", "own"):
            if level in worst:
                return None if level == "unknown" else level
        return "own"

    def readiness(self, key: str, start: dt.date, zone: str | None = None) -> Mapping[str, growth.Readiness]:
        """Readiness by stage of a grass and start on a day; of a zone with the light and water that it has."""
        assert self.filled.season is not None
        return self.filled.season.readiness(key, dates.day_of_year(start), 1.0 if zone is None else self.vigour(key, start, zone))

    def vigour(self, key: str, start: dt.date, zone: str) -> float:
        """The share of full growth that a zone's sun, and rain where there is no water, allow a grass after a start: 0 to 1.

        Sun against the hours that the grass needs, rain of the month after the start against what turf uses then; no share
        under the least is reckoned, for rules judge such ground.
        """
        if (key, start, zone) not in self._vigour:
            self._vigour[key, start, zone] = self._growth_share(key, start, zone)
        return self._vigour[key, start, zone]

    def _growth_share(self, key: str, start: dt.date, zone: str) -> float:
        filled, number = self.filled, self.filled.library.number
        least = number("growth-share-least")
        if least is None:
            return 1.0
        lead = lead_grass(filled.library.knowledge, growth.split_key(key)[0])
        share, here = 1.0, filled.zones.get(zone)
        sun = here.sun_hours if here is not None and here.sun_hours is not None else filled.situation.field.sun_hours
        hours = number("sun-hours-least", lead)
        if sun is not None and hours:
            share = min(share, sun / hours)
        if filled.situation.means.water == "none" and filled.site is not None:
            day, season = dates.wrap(dates.day_of_year(start) + 15), filled.library.knowledge.grasses[lead].season_type
            short, need = _rain_short(filled, day, season), _need(filled, day, season)
            if short is not None and need and short > 0:
                share *= 1 - short / (7 * need)
        return round(min(1.0, max(least, share)), 2)

    def free_days(self, zone: str, start: dt.date) -> float | None:
        """Days from a start until somebody plays in the zone again, or until the date wanted where that is earlier."""
        if (zone, start) not in self._free:
            self._free[zone, start] = _free_days(self.filled, zone, start)
        return self._free[zone, start]

    def dated(self, key: str, start: dt.date, variant: str, season: str) -> Facts:
        """Facts of a grass and start on a day: temperatures, heat, window, winter, readiness."""
        if (key, start, variant) not in self._dated:
            self._dated[key, start, variant] = self._dated_facts(key, start, variant, season)
        return self._dated[key, start, variant]

    def _dated_facts(self, key: str, start: dt.date, variant: str, season: str) -> Facts:
        filled, facts = self.filled, Facts()
        _put(facts, "option.days-from-today", (start - filled.today).days)
        facts["option.month"] = MONTHS[start.month - 1]
        site = filled.site
        if site is None:
            return facts
        c, day = filled.library.constants, dates.day_of_year(start)
        facts["option.window"] = filled.windows(key, variant).quality_on(day)
        facts["option.published-window"] = filled.published(key, day) if variant in ("plain", "pregerminated") else "none"
        now = filled.now
        soil_c = soil.soil_normal(site.year, day, c.soil).celsius
        if now.soil_temp_c is not None and (start - filled.today).days <= (filled.library.number("start-report-holds") or 0):
            soil_c = now.soil_temp_c
        _put(facts, "option.soil-c", soil_c)
        _put(facts, "option.air-c", site.year.normal(day))
        first = site.year.mean(day, 30)
        _put(facts, "option.air-c-first-month", first)
        if filled.season is not None:
            _put(facts, "option.night-c-first-month", water.night_temperature(first, filled.season.climate.code, filled.season.water))
        _put(facts, "option.heat-to-growth-end", site.heat_to_growth_end(day))
        _put(facts, "option.heat-to-first-frost", site.heat_to_first_frost(day))
        _put(facts, "option.days-past-stop", filled.windows(key, variant).days_past_close(day))
        facts["option.first-winter"] = growth.winter(site, c.plants, key, day).level
        middle = dates.wrap(day + 15)
        _put(facts, "option.rain-short-mm-week", _rain_short(filled, middle, season))
        ready = self.readiness(key, start)
        play_by = filled.situation.dates.play_by
        left = None if play_by is None else (play_by - start).days
        for stage, name, spare in (("light-use", "light-use", "spare-light"), ("full-play", "full-play", "spare-full")):
            for part in ("early", "late"):
                days = getattr(ready[stage], part)
                _put(facts, f"option.{name}-days.{part}", days)
                if days is not None and left is not None:
                    _put(facts, f"option.{spare}.{part}", left - days)
        for part in ("early", "late"):
            _put(facts, f"option.rooted-days.{part}", getattr(ready["rooted"], part))
        light, full = ready["light-use"], ready["full-play"]
        why = full.why or light.why
        facts["option.never-ready"] = "dies" if "dies-in-winter" in (full.why, light.why) else "no-data" if why == "no-data" else "no"
        first_use = filled.situation.dates.first_use
        if first_use is not None:
            source = "option.spare-light" if first_use == "training" else "option.spare-full"
            for part in ("early", "late"):
                if f"{source}.{part}" in facts:
                    facts[f"option.spare.{part}"] = facts[f"{source}.{part}"]
        return facts

    def option(self, draft: Draft, zone: Facts) -> Facts:
        """All facts about an option beside those of its zone and site."""
        facts: Facts = {"option.remedy": draft.remedy}
        if draft.remedy == "carry-on":
            return {**facts, **self.under_way(draft)}
        if draft.remedy != "establish":
            return facts
        facts.update(self.of_plant(draft.plant, draft.method))
        facts["option.variant"] = draft.variant
        facts["option.method-open"] = "yes" if draft.open else "no"
        facts["option.start-kind"] = draft.start_kind
        facts["option.wished"] = wished(self.filled, draft)
        main = zone.get("zone.main-grass")
        if isinstance(main, str) and main != "unknown":
            facts["option.matches-standing"] = "same" if main == facts["option.lead-grass"] else "other"
        if draft.start is None:
            return facts
        facts.update(self.dated(draft.key, draft.start, draft.variant, str(facts["option.season-type"])))
        self._slow(draft, facts)
        self._rest(draft, facts)
        self._means(draft, facts)
        self._offer(draft, facts)
        for kind in HERBICIDE_CLASSES:
            weeks = zone.get(f"zone.weeks-since.{kind}")
            if isinstance(weeks, float):
                _put(facts, f"option.weeks-since.{kind}", weeks + (draft.start - self.filled.today).days / 7)
        return facts

    def _slow(self, draft: Draft, facts: Facts) -> None:
        """Put off the late days where light or water is short."""
        if draft.start is None or self.filled.site is None or self.vigour(draft.key, draft.start, draft.zone) == 1:
            return
        ready, dates_told = self.readiness(draft.key, draft.start, draft.zone), self.filled.situation.dates
        left = None if dates_told.play_by is None else (dates_told.play_by - draft.start).days
        for stage, spare in (("light-use", "spare-light"), ("full-play", "spare-full")):
            days, first = ready[stage].late, dates_told.first_use == ("training" if stage == "light-use" else "matches")
            for name, value in (
                (f"option.{stage}-days.late", days),
                (f"option.{spare}.late", None if days is None or left is None else left - days),
                *([("option.spare.late", None if days is None or left is None else left - days)] if first else []),
            ):
                facts.pop(name, None)
                _put(facts, name, value)

    def under_way(self, draft: Draft) -> Facts:
        """Facts of new grass that was begun: its readiness counts from its own start; its means and machines are past."""
        facts = {name: fact for name, fact in self.of_plant(draft.plant, draft.method).items() if name != "option.machine"}
        facts["option.variant"] = draft.variant
        facts["option.start-kind"] = draft.start_kind
        _put(facts, "option.area-m2", self.filled.areas.get(draft.zone))
        if draft.start is not None:
            facts.update(self.dated(draft.key, draft.start, draft.variant, str(facts["option.season-type"])))
            facts.pop("option.days-from-today", None)
            self._rest(draft, facts)
        return facts

    def _rest(self, draft: Draft, facts: Facts) -> None:
        assert draft.start is not None
        free = self.free_days(draft.zone, draft.start)
        _put(facts, "option.free-days", free)
        for stage, name in (("light", "option.light-use-days.late"), ("full", "option.full-play-days.late")):
            late = facts.get(name)
            if free is not None and isinstance(late, float):
                _put(facts, f"option.free-short-{stage}", late - free)

    def _means(self, draft: Draft, facts: Facts) -> None:
        filled, number = self.filled, self.filled.library.number
        area = filled.areas.get(draft.zone)
        made_from = str(facts["option.made-from"])
        visits, depth = number("first-wettings", made_from), number("first-wetting-depth", made_from)
        short = facts.get("option.rain-short-mm-week")
        # Where rain does not cover what turf uses there are dry days, and on a dry day a seedbed wants all its wettings.
        unmet = 0.0 if isinstance(short, float) and short <= 0 else 1.0
        m = filled.situation.means
        if visits is not None:
            needed = float(math.ceil(visits * unmet))
            _put(facts, "option.visits-needed", needed)
            if m.water == "in-ground sprinklers" and m.wettings_weekday is None:
                _put(facts, "option.visits-short", 0.0)
            elif m.water == "none":
                _put(facts, "option.visits-short", needed)
            elif m.wettings_weekday is not None:
                _put(facts, "option.visits-short", water.visits_short(needed, m.wettings_weekday))
        if area is None:
            return
        _put(facts, "option.area-m2", area)
        if visits is not None and depth is not None:
            litres = water.litres(area, visits * depth * unmet)
            _put(facts, "option.litres-day", litres)
            if self._site_litres is not None:
                _put(facts, "option.litres-short", litres - self._site_litres)
            if m.flow_l_min:
                _put(facts, "option.water-hours-day", water.hours_for(litres, m.flow_l_min))
        low, high = number("method-labour-low", draft.method), number("method-labour-high", draft.method)
        if low is not None and high is not None:
            _put(facts, "option.labour-hours.low", low * area / 1000)
            _put(facts, "option.labour-hours.high", high * area / 1000)
            if m.work_hours_per_week:
                _put(facts, "option.work-weeks", high * area / 1000 / m.work_hours_per_week)
        cost = self.cost(draft)
        if cost is not None:
            _put(facts, "option.cost.low", cost[0])
            _put(facts, "option.cost.high", cost[1])
            if m.budget is not None and cost[2] == self.currency():
                _put(facts, "option.budget-short.low", cost[0] - m.budget)
                _put(facts, "option.budget-short.high", cost[1] - m.budget)

    @cached_property
    def _site_litres(self) -> float | None:
        held = site_facts(self.filled, {}).get("site.water-litres-day")
        return held if isinstance(held, float) else None

    def currency(self) -> str | None:
        """The currency of the budget: told, or dollars in the United States."""
        told = self.filled.situation.means.currency
        return told if told is not None else "USD" if self.filled.country == "us" else None

    def cost(self, draft: Draft) -> tuple[float, float, str, str, str] | None:
        """Low, high, currency, year and how it was found: by the seller's price, else by dated published prices."""
        area = self.filled.areas.get(draft.zone)
        if area is None:
            return None
        told = self.filled.situation.offer or []
        for position in offers(self.filled, draft) or []:
            by_offer = self._offer_cost(told[position], draft, area)
            if by_offer is not None and self.currency() is not None:
                return by_offer[0], by_offer[1], str(self.currency()), str(self.filled.today.year), "the price on offer, without work"
        if self.filled.country != "us":
            # The dated prices are from the United States; elsewhere only a seller's own price is worth showing.
            return None
        number = self.filled.library.number
        m = self.filled.situation.means
        kind = "installed" if m.contractor else "material"
        low, high = number(f"cost-{kind}-low", draft.method), number(f"cost-{kind}-high", draft.method)
        year = number("cost-year", draft.method)
        if low is None or high is None or year is None:
            return None
        values = self.filled.library.knowledge.values
        ends = [values[f"cost-{kind}-{end}"].used.get(draft.method) for end in ("low", "high")]
        known = "published prices" if all(end is not None and end.published_price for end in ends) else "our own estimate from older or remembered prices"
        how = f"{known} of a contractor" if m.contractor else f"{known} of seed, sod or plants alone"
        return low * area, high * area, "USD", f"{year:.0f}", how

    def _offer_cost(self, offer: Offer, draft: Draft, area: float) -> tuple[float, float] | None:
        if offer.price is None or offer.unit is None:
            return None
        unit = offer.unit.replace("square-metre", "m2").replace("square-foot", "ft2")
        try:
            if offer.what == "sod":
                price = offer.price / convert(1, unit, "m2") * area
                return price, price
            if offer.what == "seed":
                lead = lead_grass(self.filled.library.knowledge, draft.plant)
                low = self.filled.library.number("seed-rate-new-low", lead)
                high = self.filled.library.number("seed-rate-new-high", lead)
                if low is None or high is None:
                    return None
                each = offer.price / convert(1, unit, "kg")
                return each * seed.seed_kg(low, area), each * seed.seed_kg(high, area)
        except DecideError:
            return None
        return None

    def _offer(self, draft: Draft, facts: Facts) -> None:
        found = offers(self.filled, draft)
        if found is None:
            facts["option.offer"] = "not-told"
            return
        facts["option.offer"] = "offered" if found else "not-offered"
        if not found:
            return
        offer = (self.filled.situation.offer or [])[found[0]]
        if offer.lead_days is not None and draft.start is not None:
            _put(facts, "option.offer-days-short", offer.lead_days - (draft.start - self.filled.today).days)
        _put(facts, "option.offer-thickness-mm", offer.thickness_mm)
        _put(facts, "option.offer-grown-on", offer.grown_on)
        if offer.treated is not None:
            facts["option.offer-treated"] = "yes" if offer.treated else "no"
        if offer.purity is not None and offer.germination is not None:
            _put(facts, "option.offer-pls", 100 * seed.pure_live_seed(offer.purity / 100, offer.germination / 100))


# ---------- proposals ----------
def proposal_zones(filled: Filled, proposal: Proposal) -> Sequence[str]:
    """The zones that a proposal is about."""
    codes = [coded(zone.name) for zone in filled.situation.zone]
    if proposal.zone is not None and coded(proposal.zone) in codes:
        return [coded(proposal.zone)]
    return [code for code in codes if of_zone(proposal.zone, code, codes)]


def proposal_draft(filled: Filled, proposal: Proposal, zone: str, standing: Facts) -> Draft | None:
    """The option that a proposal to establish grass amounts to; None for another step, or where no grass is named.

    Seed goes by the variant whose own time holds the day: dormant seed in the cold, winter grass over a warm-season one.
    """
    knowledge, main = filled.library.knowledge, standing.get("zone.main-grass")
    if proposal.step not in ESTABLISHING:
        return None
    named = proposal.mixture or proposal.grass
    plant = knowledge.plants.get(coded(named), "") if named else (main if isinstance(main, str) and main in knowledge.grasses else "")
    if named and not plant:
        from decide.errors import SituationError, meant

        raise SituationError(f"proposal: {named!r} is not a grass or mixture here", where="situation", instead=meant(named, knowledge.plants))
    if not plant:
        return None
    usual = {**BEGINNINGS, "overseed": BEGINNINGS["sow"]}
    seed_into_slits = proposal.tool == "slit seeder" and usual[proposal.step] == "broadcast-seed"
    method = proposal.method or ("slit-seed" if seed_into_slits else usual[proposal.step])
    start = proposal.start or filled.today
    open_ = method in knowledge.grasses[lead_grass(knowledge, plant)].made_by
    draft = Draft(zone, "establish", method, plant, "plain", start, "none", open_)
    return dataclasses.replace(draft, variant=_proposed_variant(filled, proposal, draft, standing))


def _proposed_variant(filled: Filled, proposal: Proposal, draft: Draft, standing: Facts) -> str:
    """Winter overseeding where ryegrass is sown over a warm-season stand, dormant where the day lies in its time; else plain."""
    def has(code: str) -> bool:
        variant = filled.library.knowledge.variants.get(code)
        return variant is not None and draft.method in variant.methods and draft.plant in variant.grasses

    if has("winter-overseed") and proposal.step == "overseed" and standing.get("zone.main-season-type") == "warm":
        return "winter-overseed"
    if not has("dormant") or filled.site is None or draft.start is None:
        return "plain"
    asleep = filled.windows(draft.key, "dormant").quality_on(dates.day_of_year(draft.start)) == "dormant"
    return "dormant" if asleep else "plain"


def step_facts(filled: Filled, proposal: Proposal, zone: Facts, types: Mapping[str, FactType], draft: Draft | None, measures: Measures) -> Facts:
    """All facts about a proposal beside those of its zone and site."""
    facts = _told(types.values(), "step", {"proposal": proposal})
    facts["step.step"] = proposal.step
    start = proposal.start or filled.today
    _put(facts, "step.days-from-today", (start - filled.today).days)
    facts["step.month"] = MONTHS[start.month - 1]
    _put(facts, "step.class", proposal.kind)
    _put(facts, "step.method", proposal.method)
    if proposal.amount is not None and proposal.unit is not None:
        unit = {"g-m2": "g/m2", "kg-ha": "kg/ha", "lb-1000ft2": "lb/1000ft2", "lb-1000-ft2": "lb/1000ft2", "lb-acre": "lb/acre"}.get(proposal.unit)
        if unit is not None:
            _put(facts, "step.amount-g-m2", convert(proposal.amount, unit, "g/m2"))
    season = zone.get("zone.main-season-type")
    if draft is not None:
        own = measures.option(draft, zone)
        facts["step.grass"] = draft.plant
        facts["step.method"] = draft.method
        season = own["option.season-type"]
    if isinstance(season, str):
        facts["step.season-type"] = season
    if filled.site is not None:
        day, now = dates.day_of_year(start), filled.now
        air = filled.site.year.normal(day)
        if start == filled.today and now.day_temp_c is not None and now.night_temp_c is not None:
            air = (now.day_temp_c + now.night_temp_c) / 2
        _put(facts, "step.air-c", air)
        standing = zone.get("zone.main-season-type")
        if isinstance(standing, str):
            _put(facts, "step.heat-standing", filled.site.heat_today(standing, day))
    ahead = (start - filled.today).days / 7
    for kind in HERBICIDE_CLASSES:
        weeks = zone.get(f"zone.weeks-since.{kind}")
        if isinstance(weeks, float):
            _put(facts, f"step.weeks-since.{kind}", weeks + ahead)
        elif zone.get(f"zone.sprayed.{kind}") is False:
            _put(facts, f"step.weeks-since.{kind}", types[f"step.weeks-since.{kind}"].high)
    for name in ("sown", "sod"):
        weeks = zone.get(f"zone.weeks-since-{name}")
        if isinstance(weeks, float):
            _put(facts, f"step.weeks-since-{name}", weeks + ahead)
    return facts


