"""The area of each zone: told, reckoned from its share, known from its name, or assumed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Final

from decide.facts.filled import Filled
from decide.knowledge.schema import PartArea
from decide.measure.area import oval, rectangle
from decide.model.situation import Use, Zone
from decide.model.written import coded

# The values that the usual area of a field is made of; those of its parts stand in the table of areas.
AREA_VALUES: Final = tuple(f"field-{side}-{end}" for side in ("length", "width") for end in ("low", "high"))
OVAL: Final = "oval"
_OF_SIDES: Final[Mapping[str, Callable[[float, float], float]]] = {"rectangle": rectangle, OVAL: oval}


def measure_areas(filled: Filled) -> None:
    """Area of each zone: told, or its share of the field, or the field itself where it is the only one and
    named so.
    """
    s = filled.situation
    field_area = field_as_told(filled)
    is_told = field_area is not None
    if field_area is not None and s.field.area_m2 is None:
        by = "facts-area-oval" if shape_of(filled) == OVAL else "facts-area-sides"
        filled.note("field.area_m2", round(field_area, 1), "computed", filled.text(by))
    if field_area is None:
        field_area = _usual_area(filled)
    for zone in s.zone:
        area, assumed = zone.area_m2, False
        if area is None and field_area is not None and zone.share_percent is not None:
            area, assumed = field_area * zone.share_percent / 100, not is_told
            filled.note(
                f"zone.{coded(zone.name)}.area_m2",
                round(area, 1),
                "computed",
                filled.text("facts-area-share"),
            )
        elif area is None and (named := _named_area(filled, zone)) is not None:
            area, assumed = named, True
            filled.note(
                f"zone.{coded(zone.name)}.area_m2", round(area, 1), "assumed", filled.text("facts-area-named")
            )
        elif area is None and field_area is not None and len(s.zone) == 1 and _is_whole(filled, zone):
            area, assumed = field_area, not is_told
            if s.field.area_m2 is not None:
                filled.note(
                    f"zone.{coded(zone.name)}.area_m2",
                    round(area, 1),
                    "computed",
                    filled.text("facts-area-whole"),
                )
        if area is not None:
            filled.areas[coded(zone.name)] = round(area, 1)
            if assumed:
                filled.assumed_areas.add(coded(zone.name))


def field_as_told(filled: Filled) -> float | None:
    """Area of the field, m2: told, or of its length and width by its shape; None where neither is told."""
    ground = filled.situation.field
    if ground.area_m2 is not None or not ground.length_m or not ground.width_m:
        return ground.area_m2
    return _OF_SIDES[shape_of(filled)](ground.length_m, ground.width_m)


def places_of(filled: Filled, zone: Zone) -> int:
    """Separate places that a zone is made of: told, else two where its name is the plural of a part that lies
    at both ends.
    """
    if zone.places is not None:
        return zone.places
    row = part_of(filled, zone)
    return 2 if row is not None and coded(zone.name).endswith("s") else 1


def shape_of(filled: Filled) -> str:
    """The shape of the field: told, else that of the first sport's ground."""
    told = filled.situation.field.shape
    if told is not None:
        return told
    kinds = (kind for use in filled.situation.use or [] for kind in kinds_of(filled, use))
    return next((filled.library.knowledge.fields[kind].shape for kind in kinds), "rectangle")


def kinds_of(filled: Filled, use: Use) -> Iterator[str]:
    """The kinds of ground that a use names."""
    return (
        code
        for code, sport in filled.library.knowledge.fields.items()
        if use.sport in {code, *(coded(word) for word in (sport.name, sport.sport, *sport.also))}
    )


def part_of(filled: Filled, zone: Zone) -> PartArea | None:
    """The row of the table of areas that a zone's name meets."""
    name = coded(zone.name)
    rows = filled.library.knowledge.areas.values()
    return next((row for row in rows if not row.whole and any(word in name for word in row.words)), None)


def _named_area(filled: Filled, zone: Zone) -> float | None:
    """The area that a zone's own name tells by the rules of its game, for each of its places."""
    row = part_of(filled, zone)
    if row is None:
        return None
    if row.field:
        return _usual_size(filled, row.field)
    one = filled.library.number(row.area)
    return None if one is None else one * places_of(filled, zone)


def _is_whole(filled: Filled, zone: Zone) -> bool:
    """Whether a zone's name is one of the field itself."""
    return any(row.whole and coded(zone.name) in row.words for row in filled.library.knowledge.areas.values())


def _usual_size(filled: Filled, kind: str) -> float | None:
    """Area of the middle of the published lengths and widths of a kind of ground, m2; None where one is not
    known.
    """
    sides = usual_sides(filled, kind)
    return None if sides is None else _OF_SIDES[filled.library.knowledge.fields[kind].shape](*sides)


def usual_sides(filled: Filled, kind: str) -> tuple[float, float] | None:
    """Middle of the published lengths and of the widths of a kind of ground, m; None where one is not
    known.
    """
    sides: list[float] = []
    for side in ("length", "width"):
        ends = [filled.library.statement(f"field-{side}-{end}", kind) for end in ("low", "high")]
        if None in ends:
            return None
        sides.append(sum(end.amount for end in ends if end is not None) / 2)
    return sides[0], sides[1]


def _usual_area(filled: Filled) -> float | None:
    """The usual area of a field for the first sport that is named, assumed where nothing is told.

    Ground that is only a part of its field, as a baseball infield is, says nothing of the whole: water, work
    and money would be counted for a tenth of it.
    """
    parts = {row.field for row in filled.library.knowledge.areas.values() if not row.whole}
    for use in filled.situation.use or []:
        for kind in kinds_of(filled, use):
            area = None if kind in parts else _usual_size(filled, kind)
            if area is not None:
                name = filled.library.knowledge.fields[kind].name
                filled.note(
                    "field.area_m2", round(area), "assumed", filled.text("facts-area-usual", sport=name)
                )
                return area
    return None
