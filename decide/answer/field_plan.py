"""The outline of the field, told or usual for its sport, and where each part lies by its name."""

from __future__ import annotations

from decide.decision.consultation import Consultation
from decide.facts.areas import kinds_of, shape_of, usual_sides
from decide.knowledge.schema import DrawnPlace
from decide.model.field_plan import Box, FieldPlan, PartDrawn
from decide.model.written import coded


def field_plan(c: Consultation) -> FieldPlan:
    """The plan of the field of a consultation."""
    filled, ground = c.filled, c.filled.situation.field
    kinds = [kind for use in filled.situation.use or [] for kind in kinds_of(filled, use)]
    sides = (ground.length_m, ground.width_m)
    told = None not in sides
    if not told:
        sides = next((found for kind in kinds if (found := usual_sides(filled, kind))), (None, None))
    fields = c.knowledge.fields
    return FieldPlan(
        sport=fields[kinds[0]].name if kinds else "",
        shape="oval" if shape_of(filled) == "oval" else "rectangle",
        length_m=sides[0],
        width_m=sides[1],
        size="told" if told else "usual" if None not in sides else "unknown",
        goals=bool(kinds) and fields[kinds[0]].goals,
        parts=_parts(c),
    )


def _parts(c: Consultation) -> list[PartDrawn]:
    """Each part with its boxes; those of one kind that are named one by one share the boxes out."""
    taken: dict[str, int] = {}
    parts: list[PartDrawn] = []
    for zone in c.zones.values():
        code, place = _place(c, zone.name)
        boxes = list(place.boxes) if place is not None else []
        if place is not None and not place.whole and not coded(zone.name).endswith("s") and len(boxes) > 1:
            nth = taken.get(code, 0)
            taken[code] = nth + 1
            boxes = boxes[nth : nth + 1]
        parts.append(
            PartDrawn(
                zone=zone.name,
                boxes=[
                    Box(along_from=a, along_to=b, across_from=left, across_to=right)
                    for a, b, left, right in boxes
                ],
            )
        )
    return parts


def _place(c: Consultation, zone: str) -> tuple[str, DrawnPlace | None]:
    """The row that the name of a part meets."""
    name = coded(zone)
    for code, row in c.knowledge.drawn.items():
        if name in row.words if row.whole else any(word in name for word in row.words):
            return code, row
    return "", None
