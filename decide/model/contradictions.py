"""What in a situation cannot all be true."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from decide.model.errors import meant
from decide.model.situation import EVERYWHERE, Offer, Place, Situation, of_zone, recorded
from decide.model.written import (
    coded,
)

_WHOLE_PERCENT: Final = 100
# shares that were each rounded may add up to a little more than the whole
_MOST_ROUNDED_PERCENT: Final = 100.5


def contradictions(s: Situation) -> Iterator[str]:
    """What in the situation cannot all be true, in words that say what to change."""
    dates, means = s.dates, s.means
    yield from _contradictions_of_place(s.place)
    for number, offer in enumerate(s.offer or [], 1):
        yield from _contradictions_of_offer(f"offer[{number}]", offer)
    if dates.today and dates.play_by and dates.play_by < dates.today:
        yield (
            f"dates.play_by ({dates.play_by}) lies before dates.today ({dates.today}); write a date still "
            "to come"
        )
    yield from _contradictions_of_dates(s)
    if means.water == "none" and means.flow_l_min:
        yield (
            'means.water is "none" but means.flow_l_min gives a flow; write how the field is watered, or '
            "leave the flow out"
        )
    if means.water == "none" and (means.water_litres_day or means.water_from):
        key = "water_litres_day" if means.water_litres_day else "water_from"
        yield (
            f'means.water is "none" but means.{key} says that there is some; write how the field is watered, '
            f"or leave {key} out"
        )
    if means.budget_from and means.budget_until and means.budget_until < means.budget_from:
        yield (
            f"means.budget_until ({means.budget_until}) lies before means.budget_from ({means.budget_from}); "
            "write the first day on which there is money, and the last"
        )
    if means.water == "none" and "travelling-sprinkler" in (means.equipment_own or []):
        yield (
            'means.water is "none" but a travelling sprinkler is at hand; write means.water = "travelling '
            'sprinkler", or take it off the list'
        )
    if s.site.dangers and "none" in s.site.dangers and len(s.site.dangers) > 1:
        yield 'site.dangers names dangers and "none"; take one of them out'
    shares = [zone.share_percent for zone in s.zone if zone.share_percent is not None]
    if sum(shares) > _MOST_ROUNDED_PERCENT:
        yield f"the zones' share_percent add up to {sum(shares):g}; together they are at most 100"
    if s.field.area_m2 and s.field.length_m and s.field.width_m:
        oval = math.pi / 4 if s.field.shape == "oval" else 1
        product = s.field.length_m * s.field.width_m * oval
        if not math.isclose(product, s.field.area_m2, rel_tol=0.25):
            yield (
                f"field.area_m2 ({s.field.area_m2:g}) is far from length times width ({product:g}); "
                "leave one of them out, or check the unit"
            )
    for zone in s.zone:
        parts = (zone.bare_percent or 0) + (zone.weeds_percent or 0)
        if parts > _WHOLE_PERCENT:
            yield (
                f"zone {zone.name!r}: bare and weeds together are {parts:g} percent; together they are at "
                "most 100"
            )
        if zone.area_m2 and s.field.area_m2 and zone.area_m2 > 1.05 * s.field.area_m2:
            yield (
                f"zone {zone.name!r} ({zone.area_m2:g} m2) is larger than the field ({s.field.area_m2:g} "
                "m2); check the unit"
            )
        green = sum(g.share_percent or 0 for g in zone.grass or [])
        if green > _MOST_ROUNDED_PERCENT:
            yield (
                f"zone {zone.name!r}: the grasses' shares add up to {green:g}; together they are at most 100"
            )
    names = {coded(zone.name) for zone in s.zone}
    named = (
        [p.zone for p in s.proposal]
        + [h.zone for h in (s.history.herbicides or [])]
        + [h.zone for h in (s.history.sown or [])]
    )
    for name in named:
        if name is not None and coded(name) not in names and coded(name) not in EVERYWHERE:
            yield (
                f"zone {name!r} is not among the zones ({', '.join(zone.name for zone in s.zone)}); write "
                "one of those"
            )
    yield from _contradictions_of_record(s, names)


def _contradictions_of_dates(s: Situation) -> Iterator[str]:
    """Dates of training and of matches, hours of play and days of watering that cannot both stand."""
    dates, ground = s.dates, s.field
    if dates.matches_by is not None and dates.play_by is not None:
        if dates.first_use == "matches":
            yield (
                'dates.matches_by stands beside first_use = "matches"; write first_use = "training", or '
                "keep dates.play_by alone"
            )
        elif dates.matches_by < dates.play_by:
            yield (
                f"dates.matches_by ({dates.matches_by}) lies before dates.play_by ({dates.play_by}), "
                "the date of training; change them over"
            )
    if s.limits.water_law == "none" and s.limits.water_days:
        yield (
            'limits.water_law is "none" but limits.water_days names days; write "restricted days", '
            "or leave the days out"
        )
    told = sum(use.hours_per_week or 0 for use in s.use or [] if use.months is None)
    if ground.play_hours_week is not None and told > ground.play_hours_week:
        yield (
            f"field.play_hours_week ({ground.play_hours_week:g}) is less than the uses' hours together "
            f"({told:g}); leave one of them out"
        )


def _contradictions_of_record(s: Situation, names: set[str]) -> Iterator[str]:
    """Days to come, zones that there are not, and two programmes in one zone."""
    for name, zone, date in recorded(s):
        if s.dates.today is not None and date > s.dates.today:
            yield (
                f"{name} is of {date}, which lies after dates.today ({s.dates.today}); write a day that has "
                "come"
            )
        if zone is not None and coded(zone) not in names and coded(zone) not in EVERYWHERE:
            yield (
                f"{name}: zone {zone!r} is not among the zones ({', '.join(each.name for each in s.zone)}); "
                f"{meant(coded(zone), names) or 'write one of those'}"
            )
    for each in names:
        rows = [row for row in s.ongoing if of_zone(row.zone, each, names)]
        if len(rows) > 1:
            yield (
                f"two ongoing programmes are told for zone {each!r}; keep the one that stands, and write "
                "the other under [[history.sown]]"
            )


# What a price, an amount or a pack may be counted in; a code writes / as -.
OFFER_UNITS: Final = (
    "kg", "g", "lb", "oz", "t", "short-ton", "long-ton", "m2", "ft2", "yd2", "square-metre", "square-foot",
    "square-yard", "1000-ft2",
    "1000ft2", "acre", "ha", "m3", "ft3", "yd3", "l", "litre", "gal", "bushel", "bu", "m", "ft", "yd", "each",
    "plug", "piece", "hour", "day", "week", "job", "load", "bag", "bale", "roll", "pallet",
)  # fmt: skip


def _contradictions_of_offer(name: str, offer: Offer) -> Iterator[str]:
    """Keys of an offer that say nothing of what is offered, or lack their unit."""
    if offer.unit in ("ton", "tons"):
        yield (
            f"{name}.unit is {offer.unit!r}, which is three weights; write t (1,000 kg), short-ton "
            "(2,000 lb) or long-ton (2,240 lb)"
        )
    elif offer.unit is not None and offer.unit not in OFFER_UNITS:
        yield (
            f"{name}.unit is {offer.unit!r}, which is no unit of sale; "
            f"{meant(offer.unit, OFFER_UNITS) or 'write kg, lb, m2, ft2, m3, l, each, hour or day'}"
        )
    if offer.pack is not None and offer.unit is None:
        yield f'{name}.pack stands without a unit; write unit = "kg" and pack = 25 for a bag of 25 kg'
    for key, value, kinds in (
        ("tool", offer.tool, ("hire",)), ("analysis", offer.analysis, ("fertilizer",)),
        ("bushel_l", offer.bushel_l, ("sprigs",)), ("purity", offer.purity, ("seed", "hydromulch")),
        ("germination", offer.germination, ("seed", "hydromulch")),
    ):  # fmt: skip
        if value is not None and offer.what not in kinds:
            yield (
                f"{name}.{key} is of {' or '.join(kinds)}, and this offer is of {offer.what}; take it out, "
                f"or write what = {kinds[0]!r}"
            )
    if offer.what == "hire" and offer.tool is None:
        yield f'{name} is of a hire and names no tool; write tool = "slit seeder" or another'
    if offer.analysis is not None and not 0 < sum(offer.analysis) <= _WHOLE_PERCENT:
        yield (
            f"{name}.analysis adds up to {sum(offer.analysis):g} percent; write the three numbers on the "
            "bag, as [18, 24, 12]"
        )


def _contradictions_of_place(place: Place) -> Iterator[str]:
    warmest, coldest = place.warmest_month_c, place.coldest_month_c
    if warmest is not None and coldest is not None and warmest < coldest:
        yield (
            f"place.warmest_month_c ({warmest:g}) is colder than place.coldest_month_c ({coldest:g}); "
            "change them over"
        )
    if place.monthly_mean_c and (warmest is not None or coldest is not None):
        yield (
            "place.monthly_mean_c says the warmest and the coldest month already; leave warmest_month_c and "
            "coldest_month_c out"
        )
    if place.latitude and place.hemisphere and (place.latitude < 0) != (place.hemisphere == "south"):
        yield (
            f"place.latitude ({place.latitude:g}) lies in the {'south' if place.latitude < 0 else 'north'}, "
            f"but place.hemisphere says {place.hemisphere}; "
            "south is negative, or leave hemisphere out"
        )
