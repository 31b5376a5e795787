"""The facts of the site, of each zone, of each option and of each proposal: told ones as they stand, the others measured."""

from __future__ import annotations

import dataclasses
import datetime as dt
import math
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from typing import Any, Final

from decide.engine.language import Fact, FactType, rounded
from decide.facts.complete import Filled, is_whole_field, zone_of
from decide.facts.draft import (
    Draft,
    begun,
    is_free,
    lead_grass,
    offers,
    planted,
    play_months,
    wished,
)
from decide.knowledge.tables import Statement
from decide.measure import dates, growth, readiness, seed, soil, water
from decide.model.errors import DecideError
from decide.model.situation import Offer, Standing, Zone, of_zone
from decide.model.units import convert
from decide.model.work import HERBICIDE_CLASSES, Proposal
from decide.model.written import MONTHS, coded

Facts = dict[str, Fact]

VALUES_READ: Final = frozenset({
    "youth-hour-share", "recovery-weeks-low", "recovery-weeks-high", "first-wettings", "first-wetting-depth", "visit-hours", "peak-heat-least",
    "method-labour-low", "method-labour-high", "cost-installed-low", "cost-installed-high", "cost-material-low",
    "cost-material-high", "cost-year", "seed-rate-new-low", "seed-rate-new-high", "thick-sod-least", "field-length-low",
    "field-length-high", "field-width-low", "field-width-high", "advice-days", "goal-area",
    "sun-hours-least", "growth-share-least", "start-report-holds", "part-of-field", "mostly-living",
    "helper-hours", "work-spread-weeks", "currency-per-dollar", "local-sod-laid-low", "local-sod-laid-high", "local-sod-low", "local-sod-high",
    "local-seed-laid-low", "local-seed-laid-high", "local-seed-low", "local-seed-high",
})  # fmt: skip
# The money of a country, where nobody told the currency.
CURRENCIES: Final[Mapping[str, str]] = {
    **dict.fromkeys(("at", "be", "cy", "de", "ee", "es", "fi", "fr", "gr", "hr", "ie", "it", "lt", "lu", "lv", "mt", "nl", "pt", "si", "sk"), "EUR"),
    "ae": "AED", "ar": "ARS", "au": "AUD", "br": "BRL", "bw": "BWP", "ca": "CAD", "ch": "CHF", "cl": "CLP", "cn": "CNY", "co": "COP", "cz": "CZK", "dk": "DKK",
    "eg": "EGP", "fj": "FJD", "gb": "GBP", "gh": "GHS", "hk": "HKD", "hu": "HUF", "id": "IDR", "il": "ILS", "in": "INR", "is": "ISK", "jm": "JMD", "jp": "JPY",
    "ke": "KES", "kr": "KRW", "lk": "LKR", "ma": "MAD", "mx": "MXN", "my": "MYR", "ng": "NGN", "no": "NOK", "nz": "NZD", "om": "OMR", "pe": "PEN", "ph": "PHP",
    "pk": "PKR", "pl": "PLN", "qa": "QAR", "ro": "RON", "rs": "RSD", "rw": "RWF", "sa": "SAR", "se": "SEK", "sg": "SGD", "th": "THB", "tr": "TRY", "tt": "TTD",
    "tw": "TWD", "tz": "TZS", "ug": "UGX", "us": "USD", "uy": "UYU", "vn": "VND", "za": "ZAR", "zm": "ZMW",
}  # fmt: skip
# Families of local prices by method and by whether a contractor does it, and what they are prices of.
_LOCAL_PRICES: Final[Mapping[tuple[str, bool], tuple[str, str]]] = {
    ("thin-sod", True): ("local-sod-laid", "thin sod bought and laid by a contractor"), ("thin-sod", False): ("local-sod", "thin sod alone"),
    ("broadcast-seed", True): ("local-seed-laid", "a lawn sown by a contractor"), ("broadcast-seed", False): ("local-seed", "the seed of a lawn alone"),
}  # fmt: skip
_OFFERED_PRICE: Final = "the price on offer, without work"
# Low, high, currency, year, and how it was found.
Priced = tuple[float, float, str, str, str]
# The readings of a range of days, from the soonest to the latest.
PARTS: Final = ("early", "middle", "late")
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
    """Hours a week in a month; a use whose months nobody told is counted in all of them."""
    uses = filled.situation.use
    if uses is None or any(use.hours_per_week is None for use in uses):
        return None
    return sum(use.hours_per_week or 0 for use in uses if use.months is None or month in use.months)


def _adult_hours(filled: Filled, month: str) -> float | None:
    """Hours a week in a month, those of young people counted by their share."""
    uses = filled.situation.use
    if uses is None or any(use.hours_per_week is None for use in uses):
        return None
    share = filled.library.number("youth-hour-share")
    total = 0.0
    for use in uses:
        if use.months is None or month in use.months:
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
    facts["site.date-wanted"] = "not-told" if s.dates.play_by is None else "told"
    if s.dates.play_by is not None:
        _put(facts, "site.days-to-play-by", (s.dates.play_by - filled.today).days)
    adult = [hours for month in MONTHS if (hours := _adult_hours(filled, month)) is not None]
    if adult:
        _put(facts, "site.adult-hours-peak", max(adult))
    peaks = [hours for month in MONTHS if (hours := _hours(filled, month)) is not None]
    if peaks:
        _put(facts, "site.hours-peak", max(peaks))
    sports = {use.sport for use in s.use or ()}
    # Only of sports that are known to have none is it said that nothing is played to goals; another word for a sport may have them.
    goalless = {row.sport for row in filled.library.knowledge.fields.values() if not row.goals}
    if s.site.goals_anchored is not None or sports:
        facts["site.goals"] = (
            "with" if s.site.goals_anchored is not None or not sports <= goalless else "without"
        )
    months = play_months(filled)
    if months is not None and filled.site is not None:
        asleep = [
            m
            for n, m in enumerate(MONTHS, 1)
            if m in months and not filled.site.grows("warm", dates.middle_of_month(n))
        ]
        _put(facts, "site.play-months-warm-asleep", float(len(asleep)))
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
        _put(facts, "site.rain-short-mm-week", filled.rain_short(day, season))


# ---------- zones ----------
def _beside(filled: Filled, zone: Zone) -> list[Standing] | None:
    """The grass of a zone; where nobody told it, that of the largest other part where it was told."""
    if zone.grass is not None or zone.bare_percent is None:
        return zone.grass
    others = [
        other
        for other in filled.situation.zone
        if other is not zone and other.grass and other.keep_off is not True
    ]
    return max(others, key=lambda other: filled.areas.get(coded(other.name), 0.0)).grass if others else None


def _main_grass(filled: Filled, zone: Zone) -> str | None:
    names = filled.library.knowledge.plants
    living = [g for g in _beside(filled, zone) or [] if g.state != "dead"]
    if not living:
        return None
    best = max(living, key=lambda g: g.share_percent if g.share_percent is not None else 50.0)
    if best.grass == "unknown":
        return "unknown"
    code = names.get(best.grass, best.grass)
    if code not in filled.library.knowledge.grasses and code not in filled.library.knowledge.mixtures:
        from decide.model.errors import SituationError, meant

        raise SituationError(
            f"zone {zone.name!r}: {best.grass!r} is not a grass here",
            where="situation",
            instead=meant(best.grass, names),
        )
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
        dead, dormant, green = (
            sum(share for g, share in shares if g.state == state) for state in ("dead", "dormant", "green")
        )
        standing = max(0.0, 100 - zone.bare_percent - (zone.weeds_percent or 0))
        _put(
            facts, "zone.living-percent", 0.0 if zone.grass == [] else standing * (100 - min(100, dead)) / 100
        )
        if zone.grass is not None:
            _put(facts, "zone.dormant-percent", standing * min(100, dormant) / 100)
            if green or not (dormant or dead):
                _put(facts, "zone.green-percent", standing * (min(100, green) if green else 100) / 100)
    main = _main_grass(filled, zone)
    _put(facts, "zone.main-grass", main)
    if zone.grass == [] or (zone.grass and main is None):
        _put(facts, "zone.main-habit", "none")
    facts["zone.wished"] = "new-grass" if _wishes_new_grass(filled, code) else "nothing"
    _put(facts, "zone.extent", _extent(filled, zone))
    words = set(code.split("-")) | {code}
    facts["zone.part"] = next(
        (
            kind
            for kind, row in filled.library.knowledge.parts.items()
            if not words & set(row.unless)
            and (words & set(row.words) or any(word in code for word in row.words if "-" in word))
        ),
        "other",
    )
    living = facts.get("zone.living-percent")
    half = filled.library.number("mostly-living")
    if isinstance(living, float) and half is not None:
        facts["zone.cover"] = "most" if living >= half else "little"
    if main is not None and main != "unknown":
        row = filled.library.knowledge.grasses[main]
        if filled.climate is not None:
            facts["zone.main-fit"] = row.climates[filled.climate.code]
        _put(facts, "zone.main-season-type", row.season_type)
        _put(facts, "zone.main-habit", row.habit)
        if filled.site is not None:
            _zone_season(filled, facts, row.season_type, main)
    _history(filled, code, facts, types)
    return facts


def _wishes_new_grass(filled: Filled, zone: str) -> bool:
    """Whether a wish, an offer of something to plant, or a step that somebody means to do is about new grass."""
    s = filled.situation
    codes = [coded(each.name) for each in s.zone]
    meant = any(p.step in ESTABLISHING and of_zone(p.zone, zone, codes) for p in s.proposal)
    return (
        meant
        or s.wishes.grass is not None
        or s.wishes.method is not None
        or any(offer.what in filled.library.knowledge.plant_offers for offer in s.offer or [])
    )


def _extent(filled: Filled, zone: Zone) -> str | None:
    """Whether a zone is a part of the field or as good as all of it; by its share where that is known, else by how many parts were told."""
    whole = sum(filled.areas.values()) if len(filled.areas) == len(filled.situation.zone) else None
    s, least = filled.situation, filled.library.number("part-of-field")
    field = s.field.area_m2 or (
        s.field.length_m * s.field.width_m if s.field.length_m and s.field.width_m else None
    )
    area = filled.areas.get(coded(zone.name))
    share = zone.share_percent
    if share is None and area is not None and (field or (whole if len(s.zone) > 1 else None)):
        share = 100 * area / (field or whole or area)
    if share is not None and least is not None:
        return "whole" if share >= least else "part"
    return (
        "whole"
        if len(s.zone) == 1 and is_whole_field(zone)
        else "part"
        if len(s.zone) > 1 or not is_whole_field(zone)
        else None
    )


def _zone_season(filled: Filled, facts: Facts, season: str, main: str) -> None:
    site = filled.site
    assert site is not None
    day = dates.day_of_year(filled.today)
    _put(facts, "zone.heat-now", site.heat_today(season, day))
    _put(facts, "zone.weeks-of-growth-left", site.growing_days_left(season, day) / 7)
    play_by = filled.situation.dates.play_by
    low, high = (filled.library.number(f"recovery-weeks-{end}", main) for end in ("low", "high"))
    middle = None if low is None or high is None else (low + high) / 2
    for part, weeks in (("early", low), ("middle", middle), ("late", high)):
        days = (
            None
            if weeks is None
            else site.days_of_growth(season, day, weeks * 7, filled.library.number("peak-heat-least", season))
        )
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
            used = [
                spray.date
                for spray in h.herbicides
                if spray.kind == kind and of_zone(spray.zone, zone, codes)
            ]
            facts[f"zone.sprayed.{kind}"] = bool(used)
            if used:
                _put(facts, f"zone.weeks-since.{kind}", (filled.today - max(used)).days / 7)
    under_way = begun(filled, zone)
    for name, rows, kinds in (("sown", h.sown, ("seed",)), ("sod", h.sod_laid, ("sod", "thick-sod"))):
        days = [row.date for row in rows or [] if of_zone(row.zone, zone, codes)]
        if under_way is not None and under_way.start is not None and under_way.planted_as in kinds:
            days.append(under_way.start)
        if rows is None and not days:
            continue
        long_ago = types[f"zone.weeks-since-{name}"].high
        _put(facts, f"zone.weeks-since-{name}", (filled.today - max(days)).days / 7 if days else long_ago)


# ---------- options ----------
_SEASONS: Final = ("winter", "spring", "summer", "autumn")


def season_of_year(day: dt.date, hemisphere: str) -> str | None:
    """The season of a day in its half of the earth, by whole months; None where the half is not known."""
    if hemisphere not in ("north", "south"):
        return None
    return _SEASONS[(day.month % 12 // 3 + (2 if hemisphere == "south" else 0)) % 4]


def _start_rests_on(filled: Filled) -> tuple[Any, ...]:
    """All of a situation that the facts of a grass and start on a day rest on."""
    dates_told = filled.situation.dates
    return (
        filled.season,
        filled.today,
        filled.country,
        filled.region,
        filled.now.soil_temp_c,
        dates_told.play_by,
        dates_told.first_use,
    )


class Measures:
    """What does not change between zones is measured once for each grass, method and start."""

    def __init__(self, filled: Filled) -> None:
        self.filled = filled
        self._plant: dict[tuple[str, str], Facts] = {}
        self._dated: dict[tuple[str, dt.date, str], Facts] = filled.measured.setdefault(
            _start_rests_on(filled), {}
        )
        self._free: dict[tuple[str, dt.date], float | None] = {}
        self._vigour: dict[tuple[str, dt.date, str], float] = {}
        # Days by which preparation puts the start of an option off, by its code; measured for the leading ones.
        self.start_short: dict[str, int] = {}

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

    def readiness(
        self, key: str, start: dt.date, zone: str | None = None
    ) -> Mapping[str, readiness.Readiness]:
        """Readiness by stage of a grass and start on a day; of a zone with the light and water that it has."""
        assert self.filled.season is not None
        return self.filled.season.readiness(
            key, dates.day_of_year(start), 1.0 if zone is None else self.vigour(key, start, zone)
        )

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
        sun = (
            here.sun_hours
            if here is not None and here.sun_hours is not None
            else filled.situation.field.sun_hours
        )
        hours = number("sun-hours-least", lead)
        if sun is not None and hours:
            share = min(share, sun / hours)
        if filled.situation.means.water == "none" and filled.site is not None:
            day, season = (
                dates.wrap(dates.day_of_year(start) + 15),
                filled.library.knowledge.grasses[lead].season_type,
            )
            short, need = filled.rain_short(day, season), filled.need_mm_a_day(day, season)
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
        _put(facts, "option.season", season_of_year(start, filled.hemisphere))
        site = filled.site
        if site is None:
            return facts
        c, day = filled.library.constants, dates.day_of_year(start)
        facts["option.window"] = filled.windows(key, variant).quality_on(day)
        facts["option.published-window"] = (
            filled.published(key, day) if variant in ("plain", "pregerminated") else "none"
        )
        now = filled.now
        soil_c = soil.soil_normal(site.year, day, c.soil).celsius
        if now.soil_temp_c is not None and (start - filled.today).days <= (
            filled.library.number("start-report-holds") or 0
        ):
            soil_c = now.soil_temp_c
        _put(facts, "option.soil-c", soil_c)
        _put(facts, "option.air-c", site.year.normal(day))
        first = site.year.mean(day, 30)
        _put(facts, "option.air-c-first-month", first)
        if filled.season is not None:
            _put(
                facts,
                "option.night-c-first-month",
                water.night_temperature(first, filled.season.climate.code, filled.season.water),
            )
        _put(facts, "option.heat-to-growth-end", site.heat_to_growth_end(day))
        _put(facts, "option.heat-to-first-frost", site.heat_to_first_frost(day))
        _put(facts, "option.days-past-stop", filled.windows(key, variant).days_past_close(day))
        _put(facts, "option.days-outside", float(filled.windows(key, variant).days_outside(day)))
        facts["option.first-winter"] = growth.winter(site, c.plants, key, day).level
        middle = dates.wrap(day + 15)
        _put(facts, "option.rain-short-mm-week", filled.rain_short(middle, season))
        ahead = [filled.rain_short(dates.wrap(middle + 30 * month), season) for month in range(5)]
        _put(
            facts,
            "option.rain-short-season-mm-week",
            max((short for short in ahead if short is not None), default=None),
        )
        ready = self.readiness(key, start)
        play_by = filled.situation.dates.play_by
        left = None if play_by is None else (play_by - start).days
        for stage, name, spare in (
            ("light-use", "light-use", "spare-light"),
            ("full-play", "full-play", "spare-full"),
        ):
            for part in PARTS:
                days = getattr(ready[stage], part)
                _put(facts, f"option.{name}-days.{part}", days)
                if days is not None and left is not None:
                    _put(facts, f"option.{spare}.{part}", left - days)
        for part in ("early", "late"):
            _put(facts, f"option.rooted-days.{part}", getattr(ready["rooted"], part))
        light, full = ready["light-use"], ready["full-play"]
        why = full.why or light.why
        facts["option.never-ready"] = (
            "dies" if "dies-in-winter" in (full.why, light.why) else "no-data" if why == "no-data" else "no"
        )
        # Where nobody told what is wanted first, matches are: the greater demand.
        source = (
            "option.spare-light" if filled.situation.dates.first_use == "training" else "option.spare-full"
        )
        for part in PARTS:
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
            facts["option.matches-standing"] = self._likeness(str(facts["option.lead-grass"]), main)
        if draft.start is None:
            return facts
        facts.update(self.dated(draft.key, draft.start, draft.variant, str(facts["option.season-type"])))
        self._slow(draft, facts)
        self._rest(draft, facts)
        self._means(draft, facts)
        self._hands(draft, facts)
        self._offer(draft, facts)
        _put(facts, "option.start-short", self.start_short.get(draft.code))
        for kind in HERBICIDE_CLASSES:
            weeks = zone.get(f"zone.weeks-since.{kind}")
            if isinstance(weeks, float):
                _put(facts, f"option.weeks-since.{kind}", weeks + (draft.start - self.filled.today).days / 7)
        return facts

    def _likeness(self, lead: str, main: str) -> str:
        """Whether new grass is the one that stands there, goes into it without showing, or is another."""
        if lead == main:
            return "same"
        return "blends" if lead in self.filled.library.knowledge.grasses[main].blends else "other"

    def _slow(self, draft: Draft, facts: Facts) -> None:
        """Put off the late days where light or water is short."""
        if (
            draft.start is None
            or self.filled.site is None
            or self.vigour(draft.key, draft.start, draft.zone) == 1
        ):
            return
        ready, dates_told = self.readiness(draft.key, draft.start, draft.zone), self.filled.situation.dates
        left = None if dates_told.play_by is None else (dates_told.play_by - draft.start).days
        wanted = "light-use" if dates_told.first_use == "training" else "full-play"
        for stage, spare in (("light-use", "spare-light"), ("full-play", "spare-full")):
            for part in ("middle", "late"):
                days = getattr(ready[stage], part)
                here = None if days is None or left is None else left - days
                for name, value in (
                    (f"option.{stage}-days.{part}", days),
                    (f"option.{spare}.{part}", here),
                    *([(f"option.spare.{part}", here)] if stage == wanted else []),
                ):
                    facts.pop(name, None)
                    _put(facts, name, value)

    def under_way(self, draft: Draft) -> Facts:
        """Facts of new grass that was begun: its readiness counts from its own start; its means and machines are past."""
        facts = {
            name: fact
            for name, fact in self.of_plant(draft.plant, draft.method).items()
            if name != "option.machine"
        }
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
        # Where rain does not cover what turf uses there are dry days, and on a dry day a seedbed wants all its wettings; what comes
        # alive, sod, sprigs and plugs, dies on the first dry days whatever a month brings.
        unmet = 0.0 if made_from == "seed" and isinstance(short, float) and short <= 0 else 1.0
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
        if m.water == "none":
            facts["option.water-hours-day"] = 0.0
        if area is None:
            return
        _put(facts, "option.area-m2", area)
        if visits is not None and depth is not None:
            litres = water.litres(area, visits * depth * unmet)
            _put(facts, "option.litres-day", litres)
            if self._site_litres is not None:
                _put(facts, "option.litres-short", litres - self._site_litres)
            if m.flow_l_min and m.water != "none":
                _put(facts, "option.water-hours-day", water.hours_for(litres, m.flow_l_min))
        low, high = number("method-labour-low", draft.method), number("method-labour-high", draft.method)
        if low is not None and high is not None:
            _put(facts, "option.labour-hours.low", low * area / 1000)
            _put(facts, "option.labour-hours.high", high * area / 1000)
        cost = self.cost(draft)
        if cost is not None:
            _put(facts, "option.cost.low", cost[0])
            _put(facts, "option.cost.high", cost[1])
        ends = None if m.budget is None else self._in_budget_money(draft, area, cost)
        if m.budget is not None and ends is not None:
            _put(facts, "option.budget-short.low", ends[0] - m.budget)
            _put(facts, "option.budget-short.high", ends[1] - m.budget)

    def _hands(self, draft: Draft, facts: Facts) -> None:
        """Hours of work beyond those that all hands have in the weeks about the start."""
        number, m = self.filled.library.number, self.filled.situation.means
        each, most = number("helper-hours"), number("work-spread-weeks")
        a_week = (
            m.work_hours_per_week
            if m.work_hours_per_week is not None
            else m.helpers * each
            if m.helpers is not None and each is not None
            else None
        )
        if a_week is None or most is None or draft.start is None:
            return
        there = a_week * min(most, 1 + (draft.start - self.filled.today).days / 7)
        for end in ("low", "high"):
            hours = facts.get(f"option.labour-hours.{end}")
            if isinstance(hours, float):
                _put(facts, f"option.hours-short.{end}", hours - there)

    @cached_property
    def _site_litres(self) -> float | None:
        held = site_facts(self.filled, {}).get("site.water-litres-day")
        return held if isinstance(held, float) else None

    def currency(self) -> str | None:
        """The currency of the budget: told, else that of the country."""
        told = self.filled.situation.means.currency
        return told if told is not None else CURRENCIES.get(self.filled.country)

    def cost(self, draft: Draft) -> Priced | None:
        """What it costs: by the seller's price, else by dated prices that are printed in the country of the place."""
        area = self.filled.areas.get(draft.zone)
        if area is None:
            return None
        told = self.filled.situation.offer or []
        for position in offers(self.filled, draft) or []:
            by_offer = self._offer_cost(told[position], draft, area)
            if by_offer is not None and self.currency() is not None:
                return (
                    by_offer[0],
                    by_offer[1],
                    str(self.currency()),
                    str(self.filled.today.year),
                    _OFFERED_PRICE,
                )
        if self.filled.country == "us":
            return self._us_cost(draft, area)
        each = self.local_price(draft, self.filled.situation.means.contractor is True)
        return None if each is None else (each[0] * area, each[1] * area, *each[2:])

    def local_rows(self, draft: Draft, contractor: bool) -> tuple[Statement, Statement] | None:
        """The low and the high price of a square metre in a country outside the United States, where both are printed with their year and in one money."""
        family, _ = _LOCAL_PRICES.get((draft.method, contractor), ("", ""))
        if not family or draft.variant != "plain":
            return None
        values = self.filled.library.knowledge.values
        low, high = (values[f"{family}-{end}"].used.get(self.filled.country) for end in ("low", "high"))
        if (
            low is None
            or high is None
            or not low.published_price
            or not high.published_price
            or low.currency != high.currency
        ):
            return None
        return low, high

    def local_price(self, draft: Draft, contractor: bool) -> Priced | None:
        """The price of a square metre outside the United States, with its place, money and year."""
        rows = self.local_rows(draft, contractor)
        if rows is None:
            return None
        low, high = rows
        years, places = sorted({low.year, high.year}), dict.fromkeys((low.place, high.place))
        what = _LOCAL_PRICES[draft.method, contractor][1]
        how = f"published prices of {what}, {' and '.join(places)}; gardens for the most part, and a field costs less by the square metre"
        return low.amount, high.amount, low.currency, "-".join(years), how

    def _in_budget_money(self, draft: Draft, area: float, cost: Priced | None) -> tuple[float, float] | None:
        """The ends of a cost in the money of the budget, by dated rates of exchange: to judge its size, never to be shown.

        Where no price of the place is known, those of the United States stand in for it.
        """
        mine, priced = self.currency(), cost or self._us_cost(draft, area)
        if mine is None or priced is None:
            return None
        if mine == priced[2]:
            # Prices of laying are those of gardens; a field cannot cost less than the sod alone.
            alone = (
                self.local_price(draft, False)
                if self.filled.country != "us" and priced[4] != _OFFERED_PRICE
                else None
            )
            low = priced[0] if alone is None or alone[2] != mine else min(priced[0], alone[0] * area)
            return low, priced[1]
        here, there = (
            self.filled.library.number("currency-per-dollar", code.lower()) for code in (mine, priced[2])
        )
        return None if here is None or there is None else (priced[0] * here / there, priced[1] * here / there)

    def _us_cost(self, draft: Draft, area: float) -> Priced | None:
        """The cost by prices of the United States."""
        number = self.filled.library.number
        m = self.filled.situation.means
        by_contractor = m.contractor or (
            self.filled.library.knowledge.methods[draft.method].by_hand == "no"
            and number("cost-material-low", draft.method) is None
        )
        kind = "installed" if by_contractor else "material"
        low, high = number(f"cost-{kind}-low", draft.method), number(f"cost-{kind}-high", draft.method)
        year = number("cost-year", draft.method)
        if low is None or high is None or year is None:
            return None
        values = self.filled.library.knowledge.values
        ends = [values[f"cost-{kind}-{end}"].used.get(draft.method) for end in ("low", "high")]
        known = (
            "published prices"
            if all(end is not None and end.published_price for end in ends)
            else "our own estimate from older or remembered prices"
        )
        how = f"{known} of a contractor" if by_contractor else f"{known} of seed, sod or plants alone"
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
            _put(
                facts,
                "option.offer-pls",
                100 * seed.pure_live_seed(offer.purity / 100, offer.germination / 100),
            )


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
    plant = (
        knowledge.plants.get(coded(named), "")
        if named
        else (main if isinstance(main, str) and main in knowledge.grasses else "")
    )
    if named and not plant:
        from decide.model.errors import SituationError, meant

        raise SituationError(
            f"proposal: {named!r} is not a grass or mixture here",
            where="situation",
            instead=meant(named, knowledge.plants),
        )
    if not plant:
        return None
    usual = {**knowledge.usual_methods, "overseed": knowledge.usual_methods["sow"]}
    seed_into_slits = proposal.tool == "slit seeder" and usual[proposal.step] == "broadcast-seed"
    method = proposal.method or ("slit-seed" if seed_into_slits else usual[proposal.step])
    start = proposal.start or filled.today
    open_ = method in knowledge.grasses[lead_grass(knowledge, plant)].made_by
    draft = planted(knowledge, zone, method, plant, "plain", start, open=open_)
    return dataclasses.replace(draft, variant=_proposed_variant(filled, proposal, draft, standing))


def _proposed_variant(filled: Filled, proposal: Proposal, draft: Draft, standing: Facts) -> str:
    """Winter overseeding where ryegrass is sown over a warm-season stand, dormant where the day lies in its time; else plain."""

    def has(code: str) -> bool:
        variant = filled.library.knowledge.variants.get(code)
        return variant is not None and draft.method in variant.methods and draft.plant in variant.grasses

    if (
        has("winter-overseed")
        and proposal.step == "overseed"
        and standing.get("zone.main-season-type") == "warm"
    ):
        return "winter-overseed"
    if not has("dormant") or filled.site is None or draft.start is None:
        return "plain"
    asleep = filled.windows(draft.key, "dormant").quality_on(dates.day_of_year(draft.start)) == "dormant"
    return "dormant" if asleep else "plain"


def step_facts(
    filled: Filled,
    proposal: Proposal,
    zone: Facts,
    types: Mapping[str, FactType],
    draft: Draft | None,
    measures: Measures,
) -> Facts:
    """All facts about a proposal beside those of its zone and site."""
    facts = _told(types.values(), "step", {"proposal": proposal})
    facts["step.step"] = proposal.step
    start = proposal.start or filled.today
    _put(facts, "step.days-from-today", (start - filled.today).days)
    facts["step.month"] = MONTHS[start.month - 1]
    _put(facts, "step.season", season_of_year(start, filled.hemisphere))
    _put(facts, "step.class", proposal.kind)
    _put(facts, "step.method", proposal.method)
    if proposal.amount is not None and proposal.unit is not None:
        unit = {
            "g-m2": "g/m2",
            "kg-ha": "kg/ha",
            "lb-1000ft2": "lb/1000ft2",
            "lb-1000-ft2": "lb/1000ft2",
            "lb-acre": "lb/acre",
        }.get(proposal.unit)
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
