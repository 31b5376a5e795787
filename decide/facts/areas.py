"""The area of each zone: told, reckoned from its share, known from its name, or assumed."""

from __future__ import annotations

from typing import Final

from decide.facts.filled import Filled
from decide.model.situation import Zone
from decide.model.written import coded

# The values that the usual area of a field is made of; those of its parts stand in the table of areas.
AREA_VALUES: Final = tuple(f"field-{side}-{end}" for side in ("length", "width") for end in ("low", "high"))


def measure_areas(filled: Filled) -> None:
    """Area of each zone: told, or its share of the field, or the field itself where it is the only one and
    named so.
    """
    s = filled.situation
    field_area = s.field.area_m2
    if field_area is None and s.field.length_m and s.field.width_m:
        field_area = s.field.length_m * s.field.width_m
        filled.note("field.area_m2", round(field_area, 1), "computed", filled.text("facts-area-sides"))
    if field_area is None:
        field_area = _usual_area(filled)
    for zone in s.zone:
        area = zone.area_m2
        if area is None and field_area is not None and zone.share_percent is not None:
            area = field_area * zone.share_percent / 100
            filled.note(
                f"zone.{coded(zone.name)}.area_m2",
                round(area, 1),
                "computed",
                filled.text("facts-area-share"),
            )
        elif area is None and (named := _named_area(filled, zone)) is not None:
            area = named
            filled.note(
                f"zone.{coded(zone.name)}.area_m2", round(area, 1), "assumed", filled.text("facts-area-named")
            )
        elif area is None and field_area is not None and len(s.zone) == 1 and _is_whole(filled, zone):
            area = field_area
            if s.field.area_m2 is not None:
                filled.note(
                    f"zone.{coded(zone.name)}.area_m2",
                    round(area, 1),
                    "computed",
                    filled.text("facts-area-whole"),
                )
        if area is not None:
            filled.areas[coded(zone.name)] = round(area, 1)


def _named_area(filled: Filled, zone: Zone) -> float | None:
    """The area that a zone's own name tells by the rules of its game; two of them where the name is a
    plural.
    """
    name = coded(zone.name)
    for row in filled.library.knowledge.areas.values():
        if row.whole or not any(word in name for word in row.words):
            continue
        if row.field:
            return _usual_size(filled, row.field)
        one = filled.library.number(row.area)
        return None if one is None else one * (2 if name.endswith("s") else 1)
    return None


def _is_whole(filled: Filled, zone: Zone) -> bool:
    """Whether a zone's name is one of the field itself."""
    return any(row.whole and coded(zone.name) in row.words for row in filled.library.knowledge.areas.values())


def _usual_size(filled: Filled, field_: str) -> float | None:
    """The middle of the published lengths of a kind of field times that of the widths, m²; None where one is
    not known.
    """
    area = 1.0
    for side in ("length", "width"):
        ends = [filled.library.statement(f"field-{side}-{end}", field_) for end in ("low", "high")]
        if None in ends:
            return None
        area *= sum(end.amount for end in ends if end is not None) / 2
    return area


def _usual_area(filled: Filled) -> float | None:
    """The usual area of a field for the first sport that is named, assumed where nothing is told."""
    knowledge = filled.library.knowledge
    for use in filled.situation.use or []:
        for code, sport in knowledge.fields.items():
            if use.sport not in {
                code,
                coded(sport.name),
                coded(sport.sport),
                *(coded(word) for word in sport.also),
            }:
                continue
            area = _usual_size(filled, code)
            if area is not None:
                note = filled.text("facts-area-usual", sport=sport.name)
                filled.note("field.area_m2", round(area), "assumed", note)
                return area
    return None
