"""The facts of each zone: what stands there, what its grass can do, and what was done before."""

from __future__ import annotations

import math
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from decide.engine.language import FactType
from decide.facts.areas import field_as_told
from decide.facts.declare import Facts, Sheet, put
from decide.facts.draft import begun, lead_grass
from decide.facts.filled import Filled, ground_class, is_whole_field, soil_class, soil_of
from decide.facts.play import HOURS, HOURS_MOVED_BY, HOURS_VALUES, hours_by_growth
from decide.facts.told import told_facts
from decide.knowledge.schema import Grass
from decide.measure import dates, windows
from decide.measure.growth import Site
from decide.model.errors import SituationError, meant
from decide.model.situation import Standing, Zone, of_zone
from decide.model.work import HERBICIDE_CLASSES
from decide.model.written import coded

# The steps that establish grass.
ESTABLISHING: Final = ("sow", "overseed", "lay-sod", "sprig", "plug")


@dataclass
class Here:
    """A zone with its facts so far."""

    filled: Filled
    zone: Zone
    types: Mapping[str, FactType]
    facts: Facts = field(default_factory=dict)

    @property
    def code(self) -> str:
        """The code of the zone."""
        return coded(self.zone.name)

    @property
    def codes(self) -> list[str]:
        """The codes of all zones."""
        return [coded(zone.name) for zone in self.filled.situation.zone]

    @property
    def main(self) -> Grass | None:
        """The main grass of the zone where it is known."""
        name = self.facts.get("zone.main-grass")
        return self.filled.library.knowledge.grasses.get(str(name))

    def number(self, name: str) -> float | None:
        """A fact that is a number."""
        held = self.facts.get(name)
        return held if isinstance(held, float) else None


ZONE: Final = Sheet[Here]()


def zone_facts(filled: Filled, zone: Zone, types: Mapping[str, FactType]) -> Facts:
    """All facts about one zone."""
    here = Here(filled, zone, types, told_facts(types.values(), "zone", {"zone": zone}))
    ZONE.measure(here)
    return here.facts | own_ground(filled, zone)


def zone_facts_again(
    filled: Filled, zone: Zone, types: Mapping[str, FactType], told: Iterable[FactType], kept: Facts,
    moving: Container[str],
) -> Facts:  # fmt: skip
    """All facts about one zone, of which some are `kept`: those `told` and those `moving` are found anew."""
    here = Here(filled, zone, types, kept | told_facts(told, "zone", {"zone": zone}))
    ZONE.measure_again(here, moving)
    return here.facts | own_ground(filled, zone)


# ---------- as told, or as it is read where nothing is ----------
@ZONE.fact("zone.keep-off", also=["zone.keep_off"])
def _keep_off(here: Here) -> bool:
    """A part is worked on until somebody says to keep off; the advice shows this as assumed."""
    return here.zone.keep_off is True


@ZONE.fact(
    "zone.ails",
    also=[
        "zone.pests", "zone.weeds", "zone.disease_signs", "zone.bare_shape", "zone.tug", "zone.water_drop",
    ],
)  # fmt: skip
def _ails(here: Here) -> str:
    """Whether anything that lives in the turf, or its mark, was told."""
    zone = here.zone
    told = {*(zone.pests or ()), *(zone.weeds or ()), *(zone.disease_signs or ())} - {"none"}
    marked = zone.bare_shape in ("rounds", "lifts like carpet") or zone.tug == "lifts"
    return "something" if told or marked or zone.water_drop == "stays" else "nothing"


def own_ground(filled: Filled, zone: Zone) -> Facts:
    """What a part tells of its own soil and water: it stands there for what the field tells of them. No
    question asks for it, so no answer to one moves it.
    """
    facts: Facts = {}
    if zone.soil is not None:
        put(facts, "site.soil", soil_class(filled, zone.soil))
        put(facts, "site.soil-kind", zone.soil)
    if zone.drainage is not None:
        put(facts, "site.drainage", zone.drainage)
        put(facts, "site.ground-class", ground_class(filled, zone.drainage))
    put(facts, "site.water-stands-hours", zone.water_stands_hours)
    return facts


@ZONE.fact("zone.drop-test", keys=["zone.water_drop"], also=["field.soil", "zone.soil"])
def _drop_test(here: Here) -> str | None:
    """What a drop does on the dry soil: told; it sinks into loam and clay."""
    told, soil = here.zone.water_drop, soil_class(here.filled, soil_of(here.filled, here.zone))
    return "sinks" if told is None and soil in ("loam", "clay") else told


@ZONE.fact("zone.disease-named", also=["zone.disease_signs"])
def _disease_named(here: Here) -> bool:
    """Whether a sign of disease was told; silence names none."""
    return bool(set(here.zone.disease_signs or ()) - {"none"})


@ZONE.fact("zone.weed-named", also=["zone.weeds"])
def _weed_named(here: Here) -> dict[str, bool]:
    """Whether a weed was told by its name; silence names none."""
    told = here.zone.weeds or ()
    return {kind: kind in told for kind in here.filled.library.knowledge.facts["zone.weed-named"].members}


@ZONE.fact("zone.cause", also=["zone.cause"])
def _cause(here: Here) -> str:
    """Somebody who names no cause has no idea of it: that is known, and leaves the cause itself to
    the signs.
    """
    return here.zone.cause or "unknown"


@ZONE.fact("zone.sun-hours", keys=["zone.sun_hours", "field.sun_hours"])
def _sun(here: Here) -> float | None:
    own = here.zone.sun_hours
    return here.filled.situation.field.sun_hours if own is None else own


@ZONE.fact("zone.area-m2", keys=["areas"], also=["zone.name"])
def _area(here: Here) -> float | None:
    return here.filled.areas.get(here.code)


@ZONE.fact("zone.wished", also=["zone.name", "proposal", "wishes.grass", "wishes.method", "offer"])
def _wished(here: Here) -> str:
    """Whether a wish, an offer of something to plant, or a step that somebody means to do is about
    new grass.
    """
    s, codes = here.filled.situation, here.codes
    wished = (
        any(p.step in ESTABLISHING and of_zone(p.zone, here.code, codes) for p in s.proposal)
        or s.wishes.grass is not None
        or s.wishes.method is not None
        or any(offer.what in here.filled.library.knowledge.plant_offers for offer in s.offer or [])
    )
    return "new-grass" if wished else "nothing"


@ZONE.fact(
    "zone.extent", keys=["areas"],
    also=[
        "zone.name", "zone.share_percent", "field.area_m2", "field.length_m", "field.width_m", "field.shape",
        "use",
    ],
    values=["part-of-field"],
)  # fmt: skip
def _extent(here: Here) -> str | None:
    """A part of the field or as good as all of it; by its share where that is known, else by how many parts
    were told.
    """
    filled, s, zone = here.filled, here.filled.situation, here.zone
    whole = sum(filled.areas.values()) if len(filled.areas) == len(s.zone) else None
    least = filled.library.number("part-of-field")
    told = field_as_told(filled)
    area, share = filled.areas.get(here.code), zone.share_percent
    if share is None and area is not None and (told or (whole if len(s.zone) > 1 else None)):
        share = 100 * area / (told or whole or area)
    if share is not None and least is not None:
        return "whole" if share >= least else "part"
    lone = len(s.zone) == 1
    if lone and is_whole_field(zone):
        return "whole"
    return "part" if not lone or not is_whole_field(zone) else None


@ZONE.fact("zone.part", also=["zone.name"])
def _part(here: Here) -> str:
    """A word of the tables stands in the name, and none that lifts it."""
    code = here.code
    words = {*code.split("-"), code}
    return next(
        (
            kind
            for kind, row in here.filled.library.knowledge.parts.items()
            if not words & set(row.unless)
            and (words & set(row.words) or any(word in code for word in row.words if "-" in word))
        ),
        "other",
    )


# ---------- what stands there ----------
def _shares(grasses: Sequence[Standing]) -> list[tuple[Standing, float]]:
    """Each grass with its share in percent; those without one share what is left alike."""
    told = sum(g.share_percent or 0 for g in grasses)
    untold = sum(g.share_percent is None for g in grasses)
    each = max(0.0, 100 - told) / untold if untold else 0.0
    return [(g, each if g.share_percent is None else g.share_percent) for g in grasses]


def _standing(zone: Zone) -> float | None:
    """Percent of the zone on which grass stands, dead grass too; None where nobody told how bare it is."""
    bare = zone.bare_percent
    return None if bare is None else max(0.0, 100 - bare - (zone.weeds_percent or 0))


def _share(zone: Zone, state: str) -> float:
    """Percent of what stands that is in a state."""
    return sum(share for g, share in _shares(zone.grass or []) if g.state == state)


@ZONE.fact("zone.living-percent", keys=["zone.bare_percent"], also=["zone.weeds_percent", "zone.grass"])
def _living(here: Here) -> float | None:
    standing = _standing(here.zone)
    if standing is None:
        return None
    return 0.0 if here.zone.grass == [] else standing * (100 - min(100, _share(here.zone, "dead"))) / 100


@ZONE.fact("zone.living-most-percent", also=["zone.bare_percent", "zone.weeds_percent"])
def _living_most(here: Here) -> float:
    """What the bare ground and the weeds that were told leave for living turf at most."""
    return max(0.0, 100 - (here.zone.bare_percent or 0) - (here.zone.weeds_percent or 0))


@ZONE.fact("zone.dormant-percent", keys=["zone.bare_percent", "zone.grass"], also=["zone.weeds_percent"])
def _dormant(here: Here) -> float | None:
    standing = _standing(here.zone)
    if standing is None or here.zone.grass is None:
        return None
    return standing * min(100, _share(here.zone, "dormant")) / 100


@ZONE.fact("zone.green-percent", keys=["zone.bare_percent", "zone.grass"], also=["zone.weeds_percent"])
def _green(here: Here) -> float | None:
    """Grass of which nobody said how it looks is green, unless some of it is said to be dormant or dead."""
    standing = _standing(here.zone)
    if standing is None or here.zone.grass is None:
        return None
    dead, dormant, green = (_share(here.zone, state) for state in ("dead", "dormant", "green"))
    if not green and (dormant or dead):
        return None
    return standing * (min(100, green) if green else 100) / 100


@ZONE.fact("zone.cover", facts=["zone.living-percent"], values=["mostly-living"])
def _cover(here: Here) -> str | None:
    living, half = here.number("zone.living-percent"), here.filled.library.number("mostly-living")
    return None if living is None or half is None else "most" if living >= half else "little"


def _beside(here: Here) -> Sequence[Standing]:
    """The grass of a zone; where nobody told it, that of the largest other part where it was told."""
    filled, zone = here.filled, here.zone
    if zone.grass is not None or zone.bare_percent is None:
        return zone.grass or []
    others = [
        other
        for other in filled.situation.zone
        if other is not zone and other.grass and other.keep_off is not True
    ]
    if not others:
        return []
    return max(others, key=lambda other: filled.areas.get(coded(other.name), 0.0)).grass or []


@ZONE.fact(
    "zone.main-grass", keys=["zone.grass"], also=["zone.name", "zone.bare_percent", "zone.keep_off", "areas"]
)
def _main_grass(here: Here) -> str | None:
    knowledge = here.filled.library.knowledge
    living = [g for g in _beside(here) if g.state != "dead"]
    if not living:
        return None
    best = max(living, key=lambda g: g.share_percent if g.share_percent is not None else 50.0)
    if best.grass == "unknown":
        return "unknown"
    code = knowledge.plants.get(best.grass, best.grass)
    if code not in knowledge.grasses and code not in knowledge.mixtures:
        raise SituationError(
            f"zone {here.zone.name!r}: {best.grass!r} is not a grass here",
            where="situation",
            instead=meant(best.grass, knowledge.plants),
        )
    return lead_grass(knowledge, code)


@ZONE.fact("zone.main-habit", keys=["zone.grass"], facts=["zone.main-grass"])
def _main_habit(here: Here) -> str | None:
    """None where nothing lives; a grass that nobody knows has no habit that is known."""
    if here.main is not None:
        return here.main.habit
    bare = here.zone.grass == [] or (here.zone.grass and "zone.main-grass" not in here.facts)
    return "none" if bare else None


@ZONE.fact("zone.main-season-type", facts=["zone.main-grass"])
def _season_type(here: Here) -> str | None:
    return None if here.main is None else here.main.season_type


@ZONE.fact("zone.other-grass", "zone.other-season-type", keys=["zone.grass"], facts=["zone.main-grass"])
def _other(here: Here) -> tuple[str, str] | None:
    """The grass that holds most of the living cover after the main one, and its season type."""
    knowledge = here.filled.library.knowledge
    codes = (
        (lead_grass(knowledge, code), share)
        for standing, share in _shares(here.zone.grass or [])
        if standing.state != "dead"
        and (code := knowledge.plants.get(standing.grass, standing.grass)) in knowledge.grasses
    )
    others = [(code, share) for code, share in codes if code != here.facts.get("zone.main-grass")]
    if not others:
        return None
    code = max(others, key=lambda each: each[1])[0]
    return code, knowledge.grasses[code].season_type


@ZONE.fact("zone.main-fit", keys=["season"], facts=["zone.main-grass"])
def _fit(here: Here) -> str | None:
    if here.main is None or here.filled.climate is None:
        return None
    return here.filled.climate.fit(here.main.climates)[0]


# ---------- its growth ----------
def _growing(here: Here) -> tuple[Site, str, int] | None:
    """The place, the season type of the main grass, and the day of the year, where they are known."""
    season, site = here.facts.get("zone.main-season-type"), here.filled.site
    if site is None or not isinstance(season, str):
        return None
    return site, season, dates.day_of_year(here.filled.today)


@ZONE.fact("zone.heat-now", keys=["season", "today"], facts=["zone.main-season-type"])
def _heat(here: Here) -> float | None:
    found = _growing(here)
    return None if found is None else found[0].heat_today(found[1], found[2])


@ZONE.fact("zone.weeks-of-growth-left", keys=["season", "today"], facts=["zone.main-season-type"])
def _growth_left(here: Here) -> float | None:
    found = _growing(here)
    return None if found is None else found[0].growing_days_left(found[1], found[2]) / 7


@ZONE.fact("zone.weeks-to-growth", keys=["season", "today"], facts=["zone.main-season-type"])
def _growth_near(here: Here) -> float | None:
    found = _growing(here)
    days = None if found is None else found[0].wait_for_growth(found[1], found[2])
    return None if days is None else days / 7


def _idle_above(here: Here, site: Site, season: str) -> float | None:
    """The normal, C, above which summer holds cool-season turf back where no timer waters it; None where
    summers are mild, or water comes by itself.
    """
    library, told = here.filled.library, here.filled.situation.means.water
    means = library.knowledge.water_means[coded(told) if told else "not-told"]
    numbers = library.constants.windows
    by_itself = means.waters and not means.by_hand
    if season != "cool" or by_itself or site.year.peak < numbers.maritime_summer_peak_c:
        return None
    level = windows.stress_level(site, numbers)
    return None if math.isinf(level) else level


@ZONE.fact(
    "zone.recovery-days", keys=["season", "today"], also=["means.water"],
    facts=["zone.main-grass", "zone.main-season-type"],
    values=["recovery-weeks-low", "recovery-weeks-high", "peak-heat-least"],
)  # fmt: skip
def _recovery(here: Here) -> dict[str, float | None] | None:
    """Growing days of full growth; the heat of summer counts where water comes by itself."""
    found, number = _growing(here), here.filled.library.number
    if found is None:
        return None
    (site, season, day), main = found, str(here.facts["zone.main-grass"])
    low, high = number("recovery-weeks-low", main), number("recovery-weeks-high", main)
    middle = None if low is None or high is None else (low + high) / 2
    peak, idle = number("peak-heat-least", season), _idle_above(here, site, season)
    return {
        part: None if weeks is None else site.days_of_growth(season, day, weeks * 7, peak, idle)
        for part, weeks in (("early", low), ("middle", middle), ("late", high))
    }


@ZONE.fact("zone.recovery-spare", keys=["dates.play_by", "today"], facts=["zone.recovery-days"])
def _recovery_spare(here: Here) -> dict[str, float | None] | None:
    play_by = here.filled.situation.dates.play_by
    if play_by is None:
        return None
    left = (play_by - here.filled.today).days
    days = {part: here.number(f"zone.recovery-days.{part}") for part in ("early", "middle", "late")}
    return {part: None if each is None else left - each for part, each in days.items()}


@ZONE.fact(
    "zone.hours-growing", "zone.hours-resting", keys=[*HOURS, "season"], also=HOURS_MOVED_BY,
    facts=["zone.main-season-type"], values=[*HOURS_VALUES, "youth-hour-share"],
)  # fmt: skip
def _hours(here: Here) -> tuple[float | None, float | None] | None:
    season = here.facts.get("zone.main-season-type")
    return hours_by_growth(here.filled, season) if isinstance(season, str) else None


# ---------- what was done before ----------
def _sprays(here: Here) -> Iterator[tuple[str, float | None]]:
    """Each class of product with the weeks since it was last used here; None where it was not. A use whose
    day nobody told is read as one of today.
    """
    codes, today = here.codes, here.filled.today
    for kind in HERBICIDE_CLASSES:
        used = [
            spray.date or today
            for spray in here.filled.situation.history.herbicides or []
            if spray.kind == kind and of_zone(spray.zone, here.code, codes)
        ]
        yield kind, (today - max(used)).days / 7 if used else None


@ZONE.fact("zone.sprayed", keys=["history.herbicides"], also=["zone.name", "today"])
def _sprayed(here: Here) -> dict[str, bool] | None:
    if here.filled.situation.history.herbicides is None:
        return None
    return {kind: weeks is not None for kind, weeks in _sprays(here)}


@ZONE.fact("zone.weeks-since", keys=["history.herbicides"], also=["zone.name", "today"])
def _weeks_since(here: Here) -> dict[str, float | None] | None:
    if here.filled.situation.history.herbicides is None:
        return None
    return dict(_sprays(here))


def _weeks_since_start(here: Here, fact: str, key: str, kinds: Sequence[str]) -> float | None:
    """Weeks since grass was sown or laid; where a list is told and names nothing here, as long ago as the
    fact can say.
    """
    rows, codes = getattr(here.filled.situation.history, key), here.codes
    days = [row.date for row in rows or [] if of_zone(row.zone, here.code, codes)]
    under_way = begun(here.filled, here.code)
    if under_way is not None and under_way.start is not None and under_way.planted_as in kinds:
        days.append(under_way.start)
    if rows is None and not days:
        return None
    return (here.filled.today - max(days)).days / 7 if days else here.types[fact].high


@ZONE.fact("zone.weeks-since-sown", keys=["history.sown", "ongoing"], also=["zone.name", "today"])
def _sown(here: Here) -> float | None:
    return _weeks_since_start(here, "zone.weeks-since-sown", "sown", ("seed",))


@ZONE.fact("zone.weeks-since-sod", keys=["history.sod_laid", "ongoing"], also=["zone.name", "today"])
def _sod(here: Here) -> float | None:
    return _weeks_since_start(here, "zone.weeks-since-sod", "sod_laid", ("sod", "thick-sod"))
