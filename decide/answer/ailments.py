"""What lives in the turf that stands, as it was told, and what is done about it in each part."""

from __future__ import annotations

from decide.answer.teller import Teller
from decide.model.ground import Ailment


def ailments(t: Teller) -> list[Ailment]:
    """The rows of the table that hold in each part, the first first; a part that is left alone has none."""
    found: list[Ailment] = []
    barred = t.c.site.get("site.pesticides-barred") is True
    rows = sorted(t.k.ailments.items(), key=lambda item: item[1].order)
    for zone, own in t.c.zone_facts.items():
        facts = {**t.c.site, **own}
        for code, row in rows:
            if t.c.left_alone(zone) or not t.c.holds(row, facts):
                continue
            treat = t.text(row.treat, facts)
            if barred and row.treat:
                treat = " ".join(filter(None, (t.k.text("ailment-barred"), t.text(row.without, facts))))
            found.append(
                Ailment(
                    code=code,
                    zone=t.zone_name(zone),
                    name=row.name,
                    tell=t.text(row.tell, facts),
                    why=t.text(row.why, facts),
                    do=t.text(row.do, facts),
                    leave=t.text(row.leave, facts),
                    treat=treat,
                    sources=t.cite(row.sources),
                )
            )
    return found
